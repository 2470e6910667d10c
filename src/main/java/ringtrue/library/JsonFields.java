package ringtrue.library;

import com.fasterxml.jackson.core.JsonFactory;
import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.core.StreamReadConstraints;
import com.fasterxml.jackson.core.StreamReadFeature;
import com.fasterxml.jackson.core.json.JsonReadFeature;
import com.fasterxml.jackson.databind.DeserializationFeature;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.json.JsonMapper;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.math.BigDecimal;
import java.math.MathContext;
import java.nio.charset.MalformedInputException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Iterator;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.function.Function;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import ringtrue.units.BadInputException;
import ringtrue.units.Dimension;
import ringtrue.units.Names;
import ringtrue.units.Quantity;

/**
 * An object of a JSON file, read strictly: unknown fields, wrong types, doubled names and missing
 * units are refused with one line that names the file and the field.
 */
final class JsonFields {
  private static final long LARGEST_FILE = 16L << 20;

  private static final int DEEPEST = 50;

  /** Something that is no value, like NaN, in the parser's complaint. */
  private static final Pattern TOKEN =
      Pattern.compile("(?:Non-standard|Unrecognized) token '([^']{1,60})'");

  private static final Pattern CHARACTER = Pattern.compile("Unexpected character \\('(.)'");

  /** What the parser adds for programmers. */
  private static final Pattern BRACKETS = Pattern.compile(" ?\\([^)]*\\)|`[^`]*`");

  private static final ObjectMapper MAPPER =
      JsonMapper.builder(
              JsonFactory.builder()
                  .streamReadConstraints(
                      StreamReadConstraints.builder()
                          .maxNestingDepth(DEEPEST)
                          .maxNumberLength(100)
                          .maxStringLength(1 << 20)
                          .build())
                  .build())
          .enable(StreamReadFeature.STRICT_DUPLICATE_DETECTION)
          .enable(DeserializationFeature.FAIL_ON_TRAILING_TOKENS)
          .disable(JsonReadFeature.ALLOW_NON_NUMERIC_NUMBERS)
          .build();

  /** Stands for whatever fields there are, in results to which later versions add. */
  private static final List<String> ANY = List.of("*");

  private final String file;
  private final String path;
  private final JsonNode node;
  private final List<String> known;

  private JsonFields(String file, String path, JsonNode node, List<String> known) {
    this.file = file;
    this.path = path;
    this.node = node;
    this.known = known;
    if (!node.isObject()) {
      throw problem("", "must be an object in braces, is " + describe(node));
    }
    for (Iterator<String> names = node.fieldNames(); names.hasNext(); ) {
      String name = names.next();
      if (known != ANY && !known.contains(name)) {
        String near =
            Names.closest(name, known)
                .map(n -> "did you mean \"" + n + "\"?")
                .orElse("known here: " + String.join(", ", known));
        throw problem(name, "unknown field; " + near);
      }
    }
  }

  /**
   * Opens a file and checks its format line.
   *
   * @param file the file
   * @param format name of the format, without version
   * @param version the newest version that is understood
   * @param known names of the fields that the outermost object may have, besides {@code format}
   */
  static JsonFields open(Path file, String format, int version, List<String> known) {
    String name = file.getFileName() == null ? file.toString() : file.getFileName().toString();
    return ofText(name, text(file, name), format, version, known);
  }

  /**
   * Opens what a command printed: no format line, and fields that are not known are left alone.
   *
   * @param file the file
   */
  static JsonFields openResult(Path file) {
    String name = file.getFileName() == null ? file.toString() : file.getFileName().toString();
    JsonNode root = parse(text(file, name), name);
    if (!root.isObject()) {
      throw new BadInputException(name + ": must hold one JSON object");
    }
    return new JsonFields(name, "", root, ANY);
  }

  /** Objects inside a result. */
  List<JsonFields> results(String field) {
    return objects(field, ANY);
  }

  /** An object inside a result. */
  Optional<JsonFields> result(String field) {
    return object(field, ANY);
  }

  /**
   * The same for text that is at hand.
   *
   * @param name what messages call it
   */
  static JsonFields ofText(
      String name, String text, String format, int version, List<String> known) {
    JsonNode root = parse(text, name);
    JsonNode said = root.isObject() ? root.get("format") : null;
    String wanted = "\"format\": \"" + format + "/" + version + "\"";
    if (!root.isObject()) {
      throw new BadInputException(name + ": must hold one JSON object that starts with " + wanted);
    }
    if (said == null || !said.isTextual()) {
      throw new BadInputException(name + ": format: missing; the file must start with " + wanted);
    }
    String[] parts = said.textValue().split("/", -1);
    if (!parts[0].equals(format)) {
      throw new BadInputException(
          name
              + ": format: is \""
              + said.textValue()
              + "\", but a \""
              + format
              + "/"
              + version
              + "\" is needed here");
    }
    if (parts.length != 2 || !parts[1].matches("[1-9]\\d{0,5}")) {
      throw new BadInputException(
          name + ": format: \"" + said.textValue() + "\" has no version; write " + wanted);
    }
    if (Integer.parseInt(parts[1]) > version) {
      throw new BadInputException(
          name
              + ": format: \""
              + said.textValue()
              + "\" is newer than this program understands (up to "
              + format
              + "/"
              + version
              + "); a newer program is needed");
    }
    FormatUpgrades.apply(name, (ObjectNode) root, format, Integer.parseInt(parts[1]), version);
    List<String> all = new ArrayList<>(known);
    all.add(0, "format");
    return new JsonFields(name, "", root, all);
  }

  private static String text(Path file, String name) {
    try {
      if (Files.isDirectory(file)) {
        throw new BadInputException(name + ": is a folder, not a file");
      }
      if (Files.size(file) > LARGEST_FILE) {
        throw new BadInputException(
            name
                + ": too large for a settings file ("
                + Files.size(file)
                + " bytes; at most 16 MB)");
      }
      return Files.readString(file, StandardCharsets.UTF_8);
    } catch (NoSuchFileException e) {
      throw new BadInputException(name + ": there is no such file (" + file + ")", e);
    } catch (MalformedInputException e) {
      throw new BadInputException(name + ": is not UTF-8 text", e);
    } catch (IOException e) {
      throw new BadInputException(name + ": cannot be read: " + e.getMessage(), e);
    }
  }

  /** A JSON text as it is, with the same limits; for looking through, not for taking apart. */
  static JsonNode tree(String text, String name) {
    return parse(text, name);
  }

  private static JsonNode parse(String text, String name) {
    String json = text.startsWith("\uFEFF") ? text.substring(1) : text;
    if (json.isBlank()) {
      throw new BadInputException(name + ": is empty; a JSON object is needed");
    }
    try {
      return MAPPER.readTree(json);
    } catch (JsonProcessingException e) {
      String where =
          e.getLocation() == null
              ? ""
              : "line "
                  + e.getLocation().getLineNr()
                  + ", column "
                  + e.getLocation().getColumnNr()
                  + ": ";
      throw new BadInputException(
          name + ": " + where + "not valid JSON: " + plainly(e.getOriginalMessage()), e);
    }
  }

  /** The parser's complaint in the words of the file, not of the parser. */
  static String plainly(String complaint) {
    String line = complaint.split("[\\r\\n]", 2)[0];
    if (line.startsWith("Trailing token")) {
      return "there is more text after the end of the object; one object is needed";
    }
    if (line.contains("nesting depth")) {
      return "objects and lists are nested more than " + DEEPEST + " deep";
    }
    if (line.startsWith("Unexpected end")) {
      return "the text ends too early; a closing brace, bracket or quote is missing";
    }
    if (line.startsWith("Illegal unquoted")) {
      return "a line break or control character stands inside quotes";
    }
    Matcher token = TOKEN.matcher(line);
    if (token.find()) {
      return "'"
          + token.group(1)
          + "' is no JSON value; text and quantities stand in quotes, like \"0.25 in\"";
    }
    Matcher character = CHARACTER.matcher(line);
    if (character.find()) {
      String hint =
          switch (character.group(1)) {
            case "/", "#" -> "; JSON has no comments";
            case "'" -> "; JSON quotes are \"";
            case "}", "]" -> "; is there a comma too many before it?";
            case "\"" -> "; is a comma missing before it?";
            default -> "";
          };
      return "unexpected " + character.group(1) + hint;
    }
    return BRACKETS.matcher(line).replaceAll("").strip();
  }

  /** A complaint about one of this object's fields. */
  BadInputException problem(String field, String what) {
    String place = path + (path.isEmpty() || field.isEmpty() ? "" : ".") + field;
    return new BadInputException(file + ": " + (place.isEmpty() ? "" : place + ": ") + what);
  }

  /** Whether a field may be there at all. */
  boolean knows(String field) {
    return known.contains(field);
  }

  boolean has(String field) {
    return node.has(field) && !node.get(field).isNull();
  }

  Optional<String> text(String field) {
    if (!has(field)) {
      return Optional.empty();
    }
    JsonNode value = node.get(field);
    if (!value.isTextual()) {
      throw problem(field, "must be text in quotes, is " + describe(value));
    }
    return Optional.of(value.textValue());
  }

  String requiredText(String field, String example) {
    return text(field).filter(t -> !t.isBlank()).orElseThrow(() -> missing(field, example));
  }

  /** A whole number. */
  Optional<Integer> whole(String field, int least, int most) {
    if (!has(field)) {
      return Optional.empty();
    }
    JsonNode value = node.get(field);
    boolean fits = value.isIntegralNumber() && value.canConvertToInt();
    if (!fits || value.intValue() < least || value.intValue() > most) {
      throw problem(
          field,
          "must be a whole number from " + least + " to " + most + ", is " + describe(value));
    }
    return Optional.of(value.intValue());
  }

  /** A plain number without a unit. */
  Optional<Double> number(String field) {
    if (!has(field)) {
      return Optional.empty();
    }
    JsonNode value = node.get(field);
    if (!value.isNumber() || !Double.isFinite(value.doubleValue())) {
      throw problem(field, "must be a number without quotes, is " + describe(value));
    }
    return Optional.of(value.doubleValue());
  }

  /** A quantity with its unit as text, in SI. */
  Optional<Double> quantity(String field, Dimension dimension) {
    return has(field)
        ? Optional.of(quantityOf(field, node.get(field), dimension))
        : Optional.empty();
  }

  double requiredQuantity(String field, Dimension dimension) {
    return quantity(field, dimension)
        .orElseThrow(() -> missing(field, '"' + dimension.example() + '"'));
  }

  /** A quantity that must be above zero. */
  Optional<Double> positive(String field, Dimension dimension) {
    Optional<Double> value = quantity(field, dimension);
    if (value.isPresent() && !(value.get() > 0)) {
      throw problem(
          field,
          "must be more than zero, is "
              + describe(node.get(field))
              + "; write it like \""
              + dimension.example()
              + '"');
    }
    return value;
  }

  double requiredPositive(String field, Dimension dimension) {
    return positive(field, dimension)
        .orElseThrow(() -> missing(field, '"' + dimension.example() + '"'));
  }

  /**
   * Refuses what can only be a slip of a unit or of a power of ten.
   *
   * @param value as read, SI
   * @param least smallest that makes sense, SI
   * @param most largest that makes sense, SI
   */
  double sensible(String field, double value, Dimension dimension, double least, double most) {
    if (value < least || value > most) {
      throw problem(
          field,
          describe(node.get(field))
              + " makes no sense here ("
              + Quantity.range(node.path(field).asText(), dimension, least, most)
              + "); write it like \""
              + dimension.example()
              + '"');
    }
    return value;
  }

  /** A quantity that must not be below zero. */
  Optional<Double> notNegative(String field, Dimension dimension) {
    Optional<Double> value = quantity(field, dimension);
    if (value.isPresent() && !(value.get() >= 0)) {
      throw problem(field, "must not be negative, is " + describe(node.get(field)));
    }
    return value;
  }

  /** A fraction from 0 to a largest one; NaN if it is left out. */
  double fraction(String field, double most) {
    Optional<Double> value = notNegative(field, Dimension.RATIO);
    if (value.isPresent() && value.get() > most) {
      throw problem(
          field,
          "must lie between 0 % and "
              + plain(100 * most)
              + " %, is "
              + plain(100 * value.get())
              + " %");
    }
    return value.orElse(Double.NaN);
  }

  /** A number as one would write it, to six digits. */
  static String plain(double value) {
    if (Math.abs(value) >= 1e12) {
      return Double.isInfinite(value) ? "over 1e308" : String.format(Locale.ROOT, "%.3g", value);
    }
    BigDecimal rounded = BigDecimal.valueOf(value).round(new MathContext(6));
    return rounded.signum() == 0 ? "0" : rounded.stripTrailingZeros().toPlainString();
  }

  private double quantityOf(String field, JsonNode value, Dimension dimension) {
    if (value.isNumber()) {
      throw problem(
          field,
          value.asText()
              + " has no unit; write a "
              + dimension.words()
              + " as text like \""
              + dimension.example()
              + '"');
    }
    if (!value.isTextual()) {
      throw problem(
          field,
          "must be a "
              + dimension.words()
              + " as text like \""
              + dimension.example()
              + "\", is "
              + describe(value));
    }
    double si;
    try {
      si = Quantity.parse(value.textValue(), dimension);
    } catch (BadInputException e) {
      throw problem(field, e.getMessage());
    }
    if (!Double.isFinite(si)) {
      throw problem(field, describe(value) + " is too large a number");
    }
    return si;
  }

  /** One quantity, or a list of them. */
  List<Double> quantities(String field, Dimension dimension) {
    JsonNode value = node.get(field);
    List<Double> all = new ArrayList<>();
    if (value == null || value.isNull()) {
      return all;
    }
    if (!value.isArray()) {
      all.add(quantityOf(field, value, dimension));
      return all;
    }
    for (int i = 0; i < value.size(); i++) {
      all.add(quantityOf(field + "[" + i + "]", value.get(i), dimension));
    }
    return all;
  }

  boolean isList(String field) {
    return has(field) && node.get(field).isArray();
  }

  boolean isText(String field) {
    return has(field) && node.get(field).isTextual();
  }

  /** A list of texts; empty if the field is left out. */
  List<String> texts(String field) {
    return list(
        field,
        (place, value) -> {
          if (!value.isTextual() || value.textValue().isBlank()) {
            throw problem(place, "must be text in quotes, is " + describe(value));
          }
          return value.textValue();
        });
  }

  /** A list of whole numbers from 1. */
  List<Integer> counts(String field) {
    return list(
        field,
        (place, value) -> {
          if (!value.isIntegralNumber() || !value.canConvertToInt() || value.intValue() < 1) {
            throw problem(place, "must be a whole number from 1, is " + describe(value));
          }
          return value.intValue();
        });
  }

  /** A list of objects. */
  List<JsonFields> objects(String field, List<String> known) {
    return list(field, (place, value) -> new JsonFields(file, joined(place), value, known));
  }

  /** A list of pairs of quantities. */
  List<double[]> pairs(String field, Dimension first, Dimension second) {
    return list(
        field,
        (place, value) -> {
          if (!value.isArray() || value.size() != 2) {
            throw problem(
                place,
                "must be a pair like [\""
                    + first.example()
                    + "\", \""
                    + second.example()
                    + "\"], is "
                    + describe(value));
          }
          return new double[] {
            quantityOf(place + "[0]", value.get(0), first),
            quantityOf(place + "[1]", value.get(1), second)
          };
        });
  }

  private interface Item<T> {
    T read(String place, JsonNode value);
  }

  private <T> List<T> list(String field, Item<T> item) {
    List<T> all = new ArrayList<>();
    if (!has(field)) {
      return all;
    }
    JsonNode values = node.get(field);
    if (!values.isArray()) {
      throw problem(field, "must be a list in brackets, is " + describe(values));
    }
    for (int i = 0; i < values.size(); i++) {
      all.add(item.read(field + "[" + i + "]", values.get(i)));
    }
    return all;
  }

  /** An object inside this one. */
  Optional<JsonFields> object(String field, List<String> known) {
    return has(field)
        ? Optional.of(new JsonFields(file, joined(field), node.get(field), known))
        : Optional.empty();
  }

  JsonFields requiredObject(String field, List<String> known, String example) {
    return object(field, known).orElseThrow(() -> missing(field, example));
  }

  /** One of several words. */
  <T> Optional<T> choice(String field, Iterable<T> choices, Function<T, String> word) {
    Optional<String> said = text(field);
    if (said.isEmpty()) {
      return Optional.empty();
    }
    List<String> words = new ArrayList<>();
    for (T choice : choices) {
      words.add(word.apply(choice));
      if (word.apply(choice).equalsIgnoreCase(said.get().trim())) {
        return Optional.of(choice);
      }
    }
    String near =
        Names.closest(said.get(), words).map(n -> "did you mean \"" + n + "\"? ").orElse("");
    throw problem(
        field,
        "\"" + said.get() + "\" is not known; " + near + "one of: " + String.join(", ", words));
  }

  BadInputException missing(String field, String example) {
    return problem(field, "missing; give something like " + example);
  }

  private String joined(String field) {
    return path.isEmpty() ? field : path + "." + field;
  }

  private static String describe(JsonNode value) {
    if (value.isObject()) {
      return "an object";
    }
    if (value.isArray()) {
      return "a list";
    }
    if (value.isNull()) {
      return "null";
    }
    String text = value.toString();
    return text.length() > 60 ? text.substring(0, 57) + "..." : text;
  }
}

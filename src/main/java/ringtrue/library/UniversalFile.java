package ringtrue.library;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.CharacterCodingException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import ringtrue.library.UniversalFunction.Axis;
import ringtrue.library.UniversalFunction.Binary;
import ringtrue.library.UniversalFunction.Place;
import ringtrue.library.UniversalFunction.Units;
import ringtrue.units.BadInputException;

/**
 * A universal file: datasets between lines that hold −1. Functions (58 and 58b) are read, units
 * (164) kept for the functions after them, all others counted. Values are read when they are asked
 * for.
 *
 * <p>Source of the layout: "Universal Dataset Number 58", revision of 30 June 1999, with the binary
 * form 58b, and "Universal Dataset Number 164", as published by the Structural Dynamics Research
 * Laboratory, University of Cincinnati. Data lines are taken apart at blanks, as most programs
 * write them, and by the fixed widths of the format where numbers touch.
 */
final class UniversalFile {
  private static final long LARGEST_FILE = 1L << 30;
  private static final int MOST_FUNCTIONS = 20_000;
  private static final int MOST_VALUES = 8_000_000;

  private final Path path;
  private final String name;
  private final List<UniversalFunction> functions = new ArrayList<>();
  private final Map<String, Integer> others = new TreeMap<>();
  private Units units = Units.UNSAID;
  private Units firstUnits = Units.UNSAID;

  private UniversalFile(Path path) {
    this.path = path;
    this.name = String.valueOf(path.getFileName());
  }

  /**
   * Looks through a file.
   *
   * @throws BadInputException if it is no universal file or a dataset 58 in it is damaged
   */
  static UniversalFile open(Path path) {
    UniversalFile file = new UniversalFile(path);
    file.reading(
        lines -> {
          file.scan(lines);
          return null;
        });
    return file;
  }

  List<UniversalFunction> functions() {
    return functions;
  }

  String name() {
    return name;
  }

  /** Datasets that are not read, by number, with how many there are. */
  Map<String, Integer> others() {
    return others;
  }

  private interface Task<T> {
    T on(UniversalLines lines) throws IOException;
  }

  private <T> T reading(Task<T> task) {
    if (Files.isDirectory(path)) {
      throw new BadInputException(name + ": is a folder, not a file");
    }
    try (UniversalLines lines = new UniversalLines(path, name)) {
      if (lines.size() > LARGEST_FILE) {
        throw new BadInputException(
            name
                + ": is larger than 1 GB; write the responses that are needed into a smaller file");
      }
      return task.on(lines);
    } catch (NoSuchFileException e) {
      throw new BadInputException(name + ": there is no such file (" + path + ")", e);
    } catch (IOException e) {
      throw new BadInputException(name + ": cannot be read: " + e.getMessage(), e);
    }
  }

  private BadInputException bad(long line, String what) {
    return new BadInputException(name + ": line " + line + ": " + what);
  }

  // Datasets --------------------------------------------------------------------------------------

  private static boolean isMark(String line) {
    return line.length() < 200 && line.strip().equals("-1");
  }

  private void scan(UniversalLines lines) throws IOException {
    String line;
    boolean any = false;
    while ((line = lines.next()) != null) {
      if (line.isBlank()) {
        continue;
      }
      if (!isMark(line)) {
        throw bad(
            lines.number(),
            any
                ? "a dataset must begin with \"    -1\""
                : "is no universal file, which begins with \"    -1\"");
      }
      any = true;
      String head = lines.next();
      if (head == null) {
        break;
      }
      String number = FortranFields.field(head, 0, 6);
      switch (number) {
        case "58" -> function(lines, head);
        case "164" -> units(lines);
        default -> {
          if (!FortranFields.isWhole(number) || number.isEmpty()) {
            throw bad(lines.number(), "a dataset must begin with its number, like \"    58\"");
          }
          others.merge(number, 1, Integer::sum);
          skip(lines);
        }
      }
    }
    if (!any) {
      throw new BadInputException(name + ": is empty; a universal file is needed");
    }
    // some programs write the units last: the first ones named hold for what came before
    functions.replaceAll(f -> f.units().said() ? f : f.withUnits(firstUnits));
  }

  private void skip(UniversalLines lines) throws IOException {
    String line = lines.next();
    while (line != null && !isMark(line)) {
      line = lines.next();
    }
  }

  private String required(UniversalLines lines, String what) throws IOException {
    String line = lines.next();
    if (line == null) {
      throw new BadInputException(
          name + ": line " + (lines.number() + 1) + ": the file ends before " + what);
    }
    return line;
  }

  /** Dataset 164: SI values are those of the file divided by its factors. */
  private void units(UniversalLines lines) throws IOException {
    String first = required(lines, "the units of dataset 164");
    String code = FortranFields.field(first, 10, 20);
    String line = required(lines, "the factors of dataset 164");
    long at = lines.number();
    double[] factors = numbers(line, 25, 25);
    if (factors == null || factors.length < 2) {
      throw bad(at, "the factors of length and force of dataset 164 are no numbers");
    }
    for (double factor : Arrays.copyOf(factors, 2)) {
      if (!(factor > 1e-12 && factor < 1e12)) {
        throw bad(at, "a factor of " + factor + " in dataset 164 is no unit");
      }
    }
    units = new Units(1 / factors[0], 1 / factors[1], code.isEmpty() ? "as in dataset 164" : code);
    if (!firstUnits.said()) {
      firstUnits = units;
    }
    skip(lines);
  }

  private void function(UniversalLines lines, String head) throws IOException {
    long start = lines.number() + 1;
    Binary binary = binary(head, lines.number());
    List<String> titles = new ArrayList<>();
    for (int i = 0; i < 5; i++) {
      titles.add(title(required(lines, "the titles of a dataset 58")));
    }
    String identity = required(lines, "the places of a dataset 58");
    long identityLine = lines.number();
    String form = required(lines, "the form of the values of a dataset 58");
    long formLine = lines.number();
    List<Axis> axes = new ArrayList<>();
    for (int i = 0; i < 4; i++) {
      axes.add(axis(required(lines, "the axes of a dataset 58"), lines.number()));
    }
    if (functions.size() == MOST_FUNCTIONS) {
      throw new BadInputException(name + ": holds more than " + MOST_FUNCTIONS + " functions");
    }
    String[] who = identity(identity, identityLine);
    double[] how = form(form, formLine);
    UniversalFunction function =
        new UniversalFunction(
            functions.size() + 1,
            start,
            List.copyOf(titles),
            FortranFields.whole(who[0]),
            FortranFields.whole(who[3]),
            place(who[4], who[5], who[6], identityLine),
            place(who[7], who[8], who[9], identityLine),
            (int) how[0],
            (int) how[1],
            how[2] == 1,
            how[3],
            how[4],
            List.copyOf(axes),
            binary,
            units,
            lines.position(),
            lines.number());
    functions.add(function);
    if (binary == null) {
      skip(lines);
    } else {
      lines.seek(lines.position() + binaryLength(lines, function), lines.number());
      String end = lines.next();
      if (end != null && end.isBlank()) {
        end = lines.next();
      }
    }
  }

  /** Text that may be UTF-8; empty where it says NONE, or looks like the end of a dataset. */
  private static String title(String line) {
    byte[] bytes = line.getBytes(StandardCharsets.ISO_8859_1);
    String text = line;
    try {
      text = StandardCharsets.UTF_8.newDecoder().decode(ByteBuffer.wrap(bytes)).toString();
    } catch (CharacterCodingException e) {
      // then it is one byte for each character
    }
    String plain = text.replaceAll("\\p{Cntrl}", " ").strip();
    return plain.equals("NONE") || plain.equals("-1")
        ? ""
        : plain.substring(0, Math.min(200, plain.length()));
  }

  private Binary binary(String head, long line) {
    String mark = head.length() > 6 ? head.substring(6, 7) : " ";
    if (mark.isBlank()) {
      return null;
    }
    int order = 0;
    int floats = 0;
    String bytes = FortranFields.field(head, 31, 12);
    String orderText = FortranFields.field(head, 7, 6);
    String floatText = FortranFields.field(head, 13, 6);
    if (FortranFields.isWhole(orderText) && FortranFields.isWhole(floatText)) {
      order = FortranFields.whole(orderText);
      floats = FortranFields.whole(floatText);
    }
    if (!mark.equalsIgnoreCase("b") || order < 1 || order > 2 || !bytes.matches("\\d{0,12}")) {
      throw bad(line, "is no head of a dataset 58 or 58b");
    }
    if (floats != 2) {
      throw bad(
          line,
          "holds binary numbers of another kind than IEEE 754 (format "
              + floats
              + "); write the file as text");
    }
    return new Binary(order == 1, bytes.isEmpty() ? 0 : Long.parseLong(bytes));
  }

  private static final int[][] IDENTITY = {
    {0, 5}, {5, 10}, {15, 5}, {20, 10}, {31, 10}, {41, 10}, {51, 4}, {56, 10}, {66, 10}, {76, 4}
  };

  /** Type, number, version, load case, then entity, node, direction of response and reference. */
  private String[] identity(String line, long at) {
    String[] parts = new String[IDENTITY.length];
    boolean fits = true;
    for (int i = 0; i < parts.length; i++) {
      parts[i] = FortranFields.field(line, IDENTITY[i][0], IDENTITY[i][1]);
      fits &= i == 4 || i == 7 || FortranFields.isWhole(parts[i]);
    }
    if (fits && !parts[0].isEmpty()) {
      return parts;
    }
    List<String> words = FortranFields.words(line);
    if (words.size() == parts.length) {
      fits = true;
      for (int i = 0; i < parts.length; i++) {
        parts[i] = words.get(i);
        fits &= i == 4 || i == 7 || FortranFields.isWhole(parts[i]);
      }
      if (fits) {
        return parts;
      }
    }
    throw bad(at, "does not say kind, node and direction as record 6 of a dataset 58 must");
  }

  private Place place(String entity, String node, String direction, long at) {
    int way = FortranFields.whole(direction);
    if (Math.abs(way) > 6) {
      throw bad(at, "direction " + way + " is none; they go from -6 to 6");
    }
    return new Place(title(entity), FortranFields.whole(node), way);
  }

  /** Ordinate type, number of values, even or not, first abscissa, step. */
  private double[] form(String line, long at) {
    String[] parts = new String[5];
    int[][] columns = {{0, 10}, {10, 10}, {20, 10}, {30, 13}, {43, 13}};
    for (int i = 0; i < parts.length; i++) {
      parts[i] = FortranFields.field(line, columns[i][0], columns[i][1]);
    }
    double[] form = form(parts);
    List<String> words = FortranFields.words(line);
    if (form == null && words.size() >= 5) {
      form = form(words.subList(0, 5).toArray(new String[0]));
    }
    if (form == null) {
      throw bad(at, "does not say the form of the values as record 7 of a dataset 58 must");
    }
    if (!Arrays.asList(2.0, 4.0, 5.0, 6.0).contains(form[0])) {
      throw bad(at, "values of type " + (int) form[0] + " are not known; 2, 4, 5 and 6 are");
    }
    if (!(form[1] >= 1 && form[1] <= MOST_VALUES)) {
      throw bad(
          at, "says " + (long) form[1] + " values; from 1 to " + MOST_VALUES + " can be read");
    }
    if (form[2] != 0 && form[2] != 1) {
      throw bad(at, "spacing of abscissas must be 0 or 1, is " + (long) form[2]);
    }
    return form;
  }

  private static double[] form(String[] parts) {
    double[] form = new double[5];
    for (int i = 0; i < 5; i++) {
      if (i < 3 && (parts[i].isEmpty() || !FortranFields.isWhole(parts[i]))) {
        return null;
      }
      form[i] = parts[i].isEmpty() ? 0 : FortranFields.number(parts[i]);
      if (Double.isNaN(form[i])) {
        return null;
      }
    }
    return form;
  }

  private Axis axis(String line, long at) {
    String[] parts = new String[4];
    int[][] columns = {{0, 10}, {10, 5}, {15, 5}, {20, 5}};
    boolean fits = true;
    for (int i = 0; i < 4; i++) {
      parts[i] = FortranFields.field(line, columns[i][0], columns[i][1]);
      fits &= FortranFields.isWhole(parts[i]);
    }
    List<String> words = FortranFields.words(line);
    String label = title(FortranFields.field(line, 26, 20));
    String unit = title(FortranFields.field(line, 47, 20));
    if (!fits || line.length() < 47) {
      // shifted by a writer that does not keep to columns
      if (words.size() < 4 || !words.subList(0, 4).stream().allMatch(FortranFields::isWhole)) {
        throw bad(at, "does not describe an axis as records 8 to 11 of a dataset 58 must");
      }
      parts = words.subList(0, 4).toArray(new String[0]);
      label = words.size() > 4 ? title(words.get(4)) : "";
      unit = words.size() > 5 ? title(words.get(words.size() - 1)) : "";
    }
    int length = FortranFields.whole(parts[1]);
    int force = FortranFields.whole(parts[2]);
    if (Math.abs(length) > 9 || Math.abs(force) > 9) {
      throw bad(at, "an exponent of units beyond 9 makes no sense");
    }
    return new Axis(FortranFields.whole(parts[0]), length, force, label, unit);
  }

  // Values ----------------------------------------------------------------------------------------

  /**
   * Numbers of a line.
   *
   * @param first width of the first and every odd field where numbers touch
   * @param second width of the others
   * @return null if something else is in it
   */
  private static double[] numbers(String line, int first, int... others) {
    double[] values = new double[8];
    int count = 0;
    boolean good = true;
    for (String word : FortranFields.words(line)) {
      double value = FortranFields.number(word);
      good &= !Double.isNaN(value);
      if (count == values.length) {
        values = Arrays.copyOf(values, 2 * count);
      }
      values[count++] = value;
    }
    if (good) {
      return Arrays.copyOf(values, count);
    }
    count = 0;
    int at = 0;
    String text = line.stripTrailing();
    while (at < text.length()) {
      int width =
          count % (others.length + 1) == 0 ? first : others[count % (others.length + 1) - 1];
      double value = FortranFields.number(FortranFields.field(text, at, width));
      if (Double.isNaN(value)) {
        return null;
      }
      if (count == values.length) {
        values = Arrays.copyOf(values, 2 * count);
      }
      values[count++] = value;
      at += width;
    }
    return Arrays.copyOf(values, count);
  }

  /** All numbers of a function, in the order of the file. */
  double[] numbers(UniversalFunction function) {
    return reading(
        lines -> {
          lines.seek(function.dataStart(), function.dataLine());
          return function.binary() == null ? text(lines, function) : binary(lines, function);
        });
  }

  private double[] text(UniversalLines lines, UniversalFunction f) throws IOException {
    int wanted = f.values() * f.width();
    double[] values = new double[Math.min(wanted, 4096)];
    int count = 0;
    String line;
    while ((line = lines.next()) != null && !isMark(line)) {
      double[] row =
          !f.doublePrecision()
              ? numbers(line, 13, 13)
              : f.even() ? numbers(line, 20, 20) : unevenDouble(line, f.complex());
      if (row == null) {
        throw bad(
            lines.number(),
            "\""
                + line.substring(0, Math.min(40, line.length())).strip()
                + "\" is no row of numbers");
      }
      if (count + row.length > wanted) {
        throw bad(
            lines.number(),
            "has more values than the "
                + f.values()
                + " that line "
                + (f.line() + 6)
                + " announces");
      }
      if (count + row.length > values.length) {
        values = Arrays.copyOf(values, Math.min(wanted, 2 * values.length + row.length));
      }
      System.arraycopy(row, 0, values, count, row.length);
      count += row.length;
    }
    if (count < wanted) {
      throw bad(
          lines.number(),
          "only "
              + count / f.width()
              + " of "
              + f.values()
              + " values of function "
              + f.number()
              + " are there");
    }
    return values;
  }

  private static double[] unevenDouble(String line, boolean complex) {
    return complex ? numbers(line, 13, 20, 20) : numbers(line, 13, 20);
  }

  /** Where the closing line follows is what tells a good length from a bad one. */
  private long binaryLength(UniversalLines lines, UniversalFunction f) throws IOException {
    long start = lines.position();
    long line = lines.number();
    for (long length : lengths(f)) {
      if (length > 0 && length <= lines.size() - start) {
        lines.seek(start + length, line);
        String end = lines.next();
        if (end != null && end.isBlank()) {
          end = lines.next();
        }
        if (end != null && isMark(end)) {
          lines.seek(start, line);
          return length;
        }
      }
    }
    throw bad(
        line,
        "no closing \"    -1\" follows the "
            + f.values()
            + " binary values of function "
            + f.number()
            + "; the file is damaged or of another layout: write it as text");
  }

  /** Possible lengths: as the format says, all in double precision, as the head says. */
  private static long[] lengths(UniversalFunction f) {
    long real = f.doublePrecision() ? 8 : 4;
    long ordinates = (f.complex() ? 2 : 1) * real;
    return new long[] {
      f.values() * (ordinates + (f.even() ? 0 : 4)),
      f.values() * (ordinates + (f.even() ? 0 : real))
    };
  }

  private double[] binary(UniversalLines lines, UniversalFunction f) throws IOException {
    long length = binaryLength(lines, f);
    int real = f.doublePrecision() ? 8 : 4;
    boolean shortAbscissa = !f.even() && length == lengths(f)[0];
    double[] values = new double[f.values() * f.width()];
    byte[] row = new byte[(int) (length / f.values())];
    ByteBuffer bytes =
        ByteBuffer.wrap(row)
            .order(f.binary().littleEndian() ? ByteOrder.LITTLE_ENDIAN : ByteOrder.BIG_ENDIAN);
    int at = 0;
    for (int i = 0; i < f.values(); i++) {
      if (lines.bytes(row) < row.length) {
        throw bad(lines.number(), "the file ends within the values of function " + f.number());
      }
      bytes.rewind();
      for (int c = 0; c < f.width(); c++) {
        boolean small = real == 4 || c == 0 && shortAbscissa;
        double value = small ? bytes.getFloat() : bytes.getDouble();
        if (!Double.isFinite(value)) {
          throw bad(
              lines.number(),
              "value " + (i + 1) + " of function " + f.number() + " is not a finite number");
        }
        values[at++] = value;
      }
    }
    return values;
  }
}

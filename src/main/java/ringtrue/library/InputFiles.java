package ringtrue.library;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.InvalidPathException;
import java.nio.file.Path;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.time.Instant;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import ringtrue.units.BadInputException;

/** The files that a result rests on, so that it can be computed again and checked. */
public final class InputFiles {
  private static final long LARGEST_TEXT = 1 << 20;
  private static final ObjectMapper JSON = new ObjectMapper();

  /** Fields that name other files. */
  private static final Set<String> NAMING = Set.of("recordings", "measurement", "frf", "modes");

  /** Fields that say nothing about sensors and set-up, or are told elsewhere. */
  private static final Set<String> TOLD_ELSEWHERE = Set.of("format", "name", "recordings");

  private InputFiles() {}

  /**
   * A file as it was read.
   *
   * @param file where it is, as it was named
   * @param bytes its size
   * @param changed when it was last changed
   * @param sha256 its SHA-256 (FIPS 180-4) in hexadecimal digits
   * @param text what it holds, where that is JSON of less than a megabyte; empty otherwise
   */
  public record Source(Path file, long bytes, Instant changed, String sha256, String text) {

    /** Whether it is a recording or a response, rather than a description. */
    public boolean isData() {
      return text.isEmpty();
    }
  }

  /**
   * A file and all that it names and that is there, each once: recordings of a measurement,
   * measurements and responses of a cut.
   *
   * @throws BadInputException if one cannot be read
   */
  public static List<Source> of(Path file) {
    Map<Path, Source> found = new LinkedHashMap<>();
    collect(file, found);
    return List.copyOf(found.values());
  }

  private static void collect(Path file, Map<Path, Source> found) {
    Path key = file.toAbsolutePath().normalize();
    if (found.containsKey(key)) {
      return;
    }
    Source source = source(file);
    found.put(key, source);
    if (!source.isData()) {
      try {
        for (String name : named(JSON.readTree(source.text), false)) {
          Path other = key.getParent().resolve(name);
          if (Files.isRegularFile(other)) {
            Path folder = file.getParent();
            collect(folder == null ? Path.of(name) : folder.resolve(name), found);
          }
        }
      } catch (InvalidPathException | IOException e) {
        // what the file names was read, or refused, by those who know its format
      }
    }
  }

  private static List<String> named(JsonNode node, boolean naming) {
    List<String> names = new ArrayList<>();
    if (naming && node.isTextual()) {
      names.add(node.textValue());
    }
    if (node.isArray()) {
      node.forEach(item -> names.addAll(named(item, naming)));
    }
    node.properties().forEach(f -> names.addAll(named(f.getValue(), NAMING.contains(f.getKey()))));
    return names;
  }

  /**
   * The format that a JSON file claims, {@code "ringtrue-cut/1"} for example; empty where it claims
   * none or cannot be read.
   */
  public static String format(Path file) {
    try {
      return Files.isRegularFile(file) && Files.size(file) <= LARGEST_TEXT
          ? JSON.readTree(Files.readString(file, StandardCharsets.UTF_8)).path("format").asText("")
          : "";
    } catch (IOException e) {
      return ""; // those who know the format say what is wrong
    }
  }

  /** One file without what it names. */
  public static Source source(Path file) {
    try {
      MessageDigest digest = MessageDigest.getInstance("SHA-256");
      byte[] part = new byte[1 << 16];
      long bytes = 0;
      try (InputStream in = Files.newInputStream(file)) {
        for (int n = in.read(part); n > 0; n = in.read(part)) {
          digest.update(part, 0, n);
          bytes += n;
        }
      }
      boolean json =
          file.toString().toLowerCase(Locale.ROOT).endsWith(".json") && bytes <= LARGEST_TEXT;
      return new Source(
          file,
          bytes,
          Files.getLastModifiedTime(file).toInstant(),
          HexFormat.of().formatHex(digest.digest()),
          json ? Files.readString(file, StandardCharsets.UTF_8) : "");
    } catch (IOException e) {
      throw new BadInputException(file.getFileName() + ": cannot be read: " + e.getMessage(), e);
    } catch (NoSuchAlgorithmException e) {
      throw new IllegalStateException("every Java has SHA-256", e);
    }
  }

  /**
   * What a measurement or cut file says, a line for each of its fields: name in words, values as
   * written.
   *
   * @param text a JSON object; nothing else gives lines
   */
  public static Map<String, String> said(String text) {
    Map<String, String> lines = new LinkedHashMap<>();
    try {
      JsonNode all = JSON.readTree(text);
      all.properties()
          .forEach(
              f -> {
                if (!TOLD_ELSEWHERE.contains(f.getKey())) {
                  lines.put(words(f.getKey()), value(f.getValue()));
                }
              });
    } catch (IOException e) {
      // the file was read, or refused, by those who know its format
    }
    return lines;
  }

  private static String value(JsonNode node) {
    List<String> parts = new ArrayList<>();
    if (node.isObject()) {
      node.properties()
          .forEach(
              f -> {
                String inner = value(f.getValue());
                boolean nested = f.getValue().isContainerNode();
                parts.add(words(f.getKey()) + " " + (nested ? "(" + inner + ")" : inner));
              });
      return String.join("; ", parts);
    }
    if (node.isArray()) {
      node.forEach(item -> parts.add(value(item)));
      return String.join(", ", parts);
    }
    return node.asText();
  }

  /** {@code "fullScale"} in words. */
  private static String words(String field) {
    return field.replaceAll("([a-z])([A-Z])", "$1 $2").toLowerCase(Locale.ROOT);
  }
}

package ringtrue.library;

import java.nio.charset.StandardCharsets;
import java.text.Normalizer;
import java.util.HashMap;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;

/**
 * Names of files inside an archive: those that every file system keeps as they are, that cannot
 * lead out of a folder, and of which no two can be the same file anywhere.
 */
final class ArchiveNames {
  private static final int LONGEST_PART_BYTES = 200;
  private static final int LONGEST_BYTES = 600;
  private static final int DEEPEST = 8;
  private static final String FORBIDDEN = "\\:*?\"<>|";

  /** What a set-up's folder holds: descriptions, recordings, tables, responses, notes, pictures. */
  private static final Set<String> KINDS =
      Set.of(
          "json", "jsonl", "log", "wav", "csv", "tsv", "txt", "dat", "asc", "unv", "uff", "uf58",
          "u58", "md", "png");

  /** Names taken so far, by what a file system may take them for; true for files. */
  private final Map<String, Boolean> taken = new HashMap<>();

  /** Whether a name's ending is of a kind that belongs into a set-up. */
  static boolean knownKind(String name) {
    int dot = name.lastIndexOf('.');
    return dot > 0 && KINDS.contains(name.substring(dot + 1).toLowerCase(Locale.ROOT));
  }

  /**
   * Why a name cannot be used, on its own or beside those before.
   *
   * @param name parts between slashes
   */
  Optional<String> refusal(String name) {
    String[] parts = name.split("/", -1);
    if (parts.length > DEEPEST || name.getBytes(StandardCharsets.UTF_8).length > LONGEST_BYTES) {
      return Optional.of("is too long or too deep");
    }
    for (String part : parts) {
      Optional<String> why = refusalOfPart(part);
      if (why.isPresent()) {
        return why;
      }
    }
    if (!knownKind(parts[parts.length - 1])) {
      return Optional.of("is of a kind that does not belong into a set-up");
    }
    return clash(parts);
  }

  /** Why one part of a name cannot be used. */
  static Optional<String> refusalOfPart(String part) {
    if (part.isEmpty()) {
      return Optional.of("has an empty part or begins with a slash");
    }
    if (part.equals(".") || part.equals("..")) {
      return Optional.of("leads out of its folder");
    }
    if (part.startsWith(".")) {
      return Optional.of("is hidden");
    }
    if (part.getBytes(StandardCharsets.UTF_8).length > LONGEST_PART_BYTES) {
      return Optional.of("is too long");
    }
    if (part.endsWith(".") || !part.equals(part.strip())) {
      return Optional.of("begins or ends with a blank, or ends with a dot");
    }
    if (device(part)) {
      return Optional.of("is the name of a device");
    }
    for (int i = 0; i < part.length(); ) {
      int c = part.codePointAt(i);
      i += Character.charCount(c);
      if (FORBIDDEN.indexOf(c) >= 0) {
        return Optional.of("has a letter that not every system allows (" + FORBIDDEN + ")");
      }
      switch (Character.getType(c)) {
        case Character.CONTROL,
            Character.FORMAT,
            Character.SURROGATE,
            Character.PRIVATE_USE,
            Character.UNASSIGNED,
            Character.LINE_SEPARATOR,
            Character.PARAGRAPH_SEPARATOR -> {
          return Optional.of("has a letter that cannot be seen");
        }
        default -> {}
      }
    }
    if (!Normalizer.isNormalized(part, Normalizer.Form.NFC)) {
      return Optional.of("has letters in a form that systems change (not NFC)");
    }
    return Optional.empty();
  }

  /** Names that one widespread system keeps for devices, whatever their ending. */
  private static boolean device(String part) {
    int dot = part.indexOf('.');
    String stem = (dot < 0 ? part : part.substring(0, dot)).strip().toUpperCase(Locale.ROOT);
    return stem.matches("CON|PRN|AUX|NUL|CONIN\\$|CONOUT\\$|(COM|LPT)[0-9\u00b9\u00b2\u00b3]");
  }

  private Optional<String> clash(String[] parts) {
    StringBuilder path = new StringBuilder();
    for (int i = 0; i < parts.length; i++) {
      boolean file = i == parts.length - 1;
      path.append(i == 0 ? "" : "/").append(folded(parts[i]));
      Boolean before = taken.putIfAbsent(path.toString(), file);
      if (before != null && (file || before)) {
        return Optional.of("is there twice, or as a file and as a folder");
      }
    }
    return Optional.empty();
  }

  /** The same for all names that some file system takes for one. */
  private static String folded(String part) {
    String plain = Normalizer.normalize(part, Normalizer.Form.NFKC);
    return Normalizer.normalize(
        plain.toUpperCase(Locale.ROOT).toLowerCase(Locale.ROOT), Normalizer.Form.NFKC);
  }
}

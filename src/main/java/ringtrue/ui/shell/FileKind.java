package ringtrue.ui.shell;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Locale;
import ringtrue.library.Dataset58;
import ringtrue.library.InputFiles;
import ringtrue.ui.desk.FileTaker;
import ringtrue.units.BadInputException;

/** What a file is, by what it holds and, where that does not tell, by the ending of its name. */
final class FileKind {
  private static final int LOOK_BYTES = 4096;

  /** What can be opened, for people. */
  static final String KNOWN = "Known: .wav .csv .txt .unv .zip and Ringtrue's own .json";

  private FileKind() {}

  /**
   * The format of a file, as {@link FileTaker} names it; empty if it is none that is known.
   *
   * @throws BadInputException if it cannot be read
   */
  static String of(Path file) {
    String name = String.valueOf(file.getFileName());
    if (Files.isDirectory(file)) {
      throw new BadInputException(name + ": is a folder; open a file in it");
    }
    byte[] head = head(file);
    if (head.length == 0) {
      throw new BadInputException(name + ": is empty");
    }
    String start = new String(head, StandardCharsets.ISO_8859_1);
    if (start.startsWith("RIFF") && start.startsWith("WAVE", 8)
        || start.startsWith("RF64") && start.startsWith("WAVE", 8)) {
      return FileTaker.WAV;
    }
    if (start.startsWith("PK\u0003\u0004")) {
      return FileTaker.ARCHIVE;
    }
    if (Dataset58.isNameOf(file)) {
      return FileTaker.UNIVERSAL;
    }
    String ending = name.toLowerCase(Locale.ROOT);
    String text = start.startsWith("\u00ef\u00bb\u00bf") ? start.substring(3) : start;
    if (ending.endsWith(".json") || text.stripLeading().startsWith("{")) {
      String format = InputFiles.format(file);
      if (format.isEmpty() && ending.endsWith(".json")) {
        throw new BadInputException(
            name
                + ": is not whole, or says nothing of its format; Ringtrue's own files begin with"
                + " {\"format\": \"ringtrue-...\"");
      }
      if (format.contains("modes")) {
        throw modes(name);
      }
      return format;
    }
    if (ending.endsWith(".wav")) {
      return FileTaker.WAV; // those who read it say what is wrong with it
    }
    if (!ending.endsWith(".csv") && !ending.endsWith(".txt") && !ending.endsWith(".dat")) {
      return "";
    }
    if (isModes(text)) {
      throw modes(name);
    }
    return isResponse(text) ? FileTaker.RESPONSE : FileTaker.TEXT;
  }

  /** A response tells its format or has a column of frequencies; a recording has neither. */
  private static boolean isResponse(String text) {
    return text.lines()
        .limit(40)
        .map(l -> l.strip().toLowerCase(Locale.ROOT))
        .anyMatch(
            l ->
                l.startsWith("#") && l.contains("ringtrue-frf")
                    || !l.startsWith("#") && l.startsWith("freq"));
  }

  private static BadInputException modes(String name) {
    return new BadInputException(
        name + ": holds modes; open the cut file that names them, and they come with it");
  }

  /** A table of modes has a column of damping. */
  private static boolean isModes(String text) {
    return text.lines()
        .limit(40)
        .map(l -> l.strip().toLowerCase(Locale.ROOT))
        .anyMatch(l -> !l.startsWith("#") && l.contains("damping_ratio"));
  }

  private static byte[] head(Path file) {
    try (InputStream in = Files.newInputStream(file)) {
      return in.readNBytes(LOOK_BYTES);
    } catch (IOException e) {
      throw new BadInputException(
          file.getFileName() + ": cannot be read; is it still there, and may you read it?", e);
    }
  }
}

package ringtrue.library;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.InvalidPathException;
import java.nio.file.Path;
import java.util.List;
import java.util.Locale;
import java.util.stream.Stream;
import ringtrue.units.BadInputException;

/** The user's own data folder, where each system expects it. */
public final class UserFolder {
  private UserFolder() {}

  /**
   * Own materials and machines: {@code ringtrue/catalogue} under the folder that {@code
   * RINGTRUE_HOME} names, or else the system's place for a user's data.
   */
  public static Path catalogue() {
    return data().resolve("catalogue");
  }

  /** Input profiles: {@code ringtrue/inputs} at the same place. */
  public static Path inputProfiles() {
    return data().resolve("inputs");
  }

  /** Saved set-ups: {@code ringtrue/library} at the same place. */
  public static Path library() {
    return data().resolve("library");
  }

  /**
   * The file of an input profile.
   *
   * @param said a file's path, or the name of a profile in the user's folder
   */
  public static Path inputProfile(String said) {
    try {
      Path file = Path.of(said);
      if (said.toLowerCase(Locale.ROOT).endsWith(".json") || Files.isRegularFile(file)) {
        return file;
      }
    } catch (InvalidPathException e) {
      // a name may hold what a path may not
    }
    return InputProfileFile.locate(inputProfiles(), said);
  }

  /** Where all of it lies. */
  public static Path data() {
    String own = System.getenv("RINGTRUE_HOME");
    if (own != null && !own.isBlank()) {
      return Path.of(own);
    }
    String home = System.getProperty("user.home", ".");
    String system = System.getProperty("os.name", "").toLowerCase(Locale.ROOT);
    String windows = System.getenv("APPDATA");
    String linux = System.getenv("XDG_DATA_HOME");
    Path data;
    if (system.contains("win") && windows != null) {
      data = Path.of(windows);
    } else if (system.contains("mac")) {
      data = Path.of(home, "Library", "Application Support");
    } else if (linux != null && !linux.isBlank()) {
      data = Path.of(linux);
    } else {
      data = Path.of(home, ".local", "share");
    }
    return data.resolve("ringtrue");
  }

  /** CSV and JSON files of a folder, by name. */
  public static List<Path> filesIn(Path folder) {
    try (Stream<Path> files = Files.list(folder)) {
      return files
          .filter(
              f -> f.getFileName().toString().toLowerCase(Locale.ROOT).matches(".*\\.(csv|json)"))
          .sorted()
          .toList();
    } catch (IOException e) {
      throw new BadInputException(folder + ": cannot be listed: " + e.getMessage(), e);
    }
  }
}

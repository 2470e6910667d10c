package ringtrue.library;

import java.io.IOException;
import java.nio.charset.MalformedInputException;
import java.nio.charset.StandardCharsets;
import java.nio.file.DirectoryIteratorException;
import java.nio.file.DirectoryStream;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.NoSuchFileException;
import java.nio.file.NotDirectoryException;
import java.nio.file.Path;
import java.nio.file.attribute.BasicFileAttributes;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.concurrent.TimeUnit;
import ringtrue.units.BadInputException;

/**
 * Reads a set-up's folder. Links are not followed, so that nothing outside the library is read; a
 * part that cannot be read is named, and the rest is read all the same.
 */
final class SetUpReader {
  /** How a sentence on a copy under a strange name goes on. */
  static final String STRAY = ": is no name that this library gives";

  private static final long LARGEST_FILE = 16L << 20;

  /**
   * How a file or folder looked before it was read.
   *
   * @param path relative to the set-up's folder; empty for the folder itself
   * @param modifiedNs time of its last change, ns; −1 where there was none
   * @param size length of a file, bytes; 0 for others
   */
  record Stamp(String path, long modifiedNs, long size) {

    static Stamp of(Path folder, String path) {
      try {
        BasicFileAttributes a =
            Files.readAttributes(
                path.isEmpty() ? folder : folder.resolve(path),
                BasicFileAttributes.class,
                LinkOption.NOFOLLOW_LINKS);
        return new Stamp(
            path, a.lastModifiedTime().to(TimeUnit.NANOSECONDS), a.isRegularFile() ? a.size() : 0);
      } catch (IOException e) {
        return new Stamp(path, -1, 0);
      }
    }

    boolean holds(Path folder) {
      return of(folder, path).equals(this);
    }
  }

  private final Path folder;
  private final String id;
  private final List<Stamp> stamps = new ArrayList<>();
  private final List<String> problems = new ArrayList<>();

  private SetUpReader(Path folder, String id) {
    this.folder = folder;
    this.id = id;
  }

  /**
   * Reads everything but recordings and responses.
   *
   * @param folder the set-up's folder
   * @param id its name
   * @param stamps gets how the files looked
   * @throws BadInputException if what is clamped where cannot be read
   */
  static SavedSetUp read(Path folder, String id, List<Stamp> stamps) {
    SetUpReader reader = new SetUpReader(folder, id);
    SavedSetUp read = reader.read();
    stamps.addAll(reader.stamps);
    return read;
  }

  private SavedSetUp read() {
    stamps.add(Stamp.of(folder, ""));
    requireFolder(folder, id);
    stamps.add(Stamp.of(folder, SetUpFile.NAME));
    String place = id + "/" + SetUpFile.NAME;
    SetUp setUp = SetUpFile.ofText(place, text(folder.resolve(SetUpFile.NAME), place));
    if (!setUp.id().equals(id)) {
      // a folder that was copied or renamed by hand: its name is what others refer to
      setUp = setUp.withId(id);
    }
    List<SavedMeasurement> measurements = measurements();
    List<Outcome> outcomes = outcomes();
    List<String> cuts = new ArrayList<>();
    for (String cut : names(SetUpFolder.CUTS)) {
      if (SetUpId.isOne(cut)) {
        cuts.add(cut);
      }
    }
    for (String name : names("")) {
      if (name.startsWith(SetUpFolder.CONFLICT)) {
        problems.add(
            id
                + "/"
                + name
                + ": somebody else changed the description at the same time; this is the other"
                + " change: take over what is right in it, then delete the file");
      } else if (!name.equals(SetUpFile.NAME) && name.endsWith(".json")) {
        stray(name);
      }
    }
    return new SavedSetUp(setUp, folder, measurements, outcomes, cuts, problems);
  }

  /** A name that nothing here has; programs that keep folders alike name their copies so. */
  private void stray(String name) {
    if (!name.startsWith(".") && !name.contains("/.")) {
      problems.add(
          id
              + "/"
              + name
              + STRAY
              + ", so it is not read; perhaps a copy that a program made which keeps folders"
              + " alike: take over what is right in it, then move it away");
    }
  }

  private List<SavedMeasurement> measurements() {
    List<SavedMeasurement> all = new ArrayList<>();
    for (String name : names(SetUpFolder.MEASUREMENTS)) {
      if (!SetUpId.isOne(name)) {
        stray(SetUpFolder.MEASUREMENTS + "/" + name);
        continue;
      }
      String file = SetUpFolder.MEASUREMENTS + "/" + name + "/" + SavedMeasurementFile.NAME;
      stamps.add(Stamp.of(folder, file));
      String place = id + "/" + file;
      try {
        requireFolder(
            folder.resolve(SetUpFolder.MEASUREMENTS).resolve(name),
            id + "/" + SetUpFolder.MEASUREMENTS + "/" + name);
        all.add(SavedMeasurementFile.ofText(name, place, text(folder.resolve(file), place)));
      } catch (BadInputException e) {
        problems.add(e.getMessage());
      }
    }
    all.sort(Comparator.comparing(SavedMeasurement::date).thenComparing(SavedMeasurement::id));
    return all;
  }

  private List<Outcome> outcomes() {
    List<Outcome> all = new ArrayList<>();
    for (String name : names(SetUpFolder.OUTCOMES)) {
      String outcome = name.endsWith(".json") ? name.substring(0, name.length() - 5) : "";
      if (!SetUpId.isOne(outcome)) {
        stray(SetUpFolder.OUTCOMES + "/" + name);
        continue;
      }
      String file = SetUpFolder.OUTCOMES + "/" + name;
      stamps.add(Stamp.of(folder, file));
      String place = id + "/" + file;
      try {
        all.add(Outcome.ofText(outcome, place, text(folder.resolve(file), place)));
      } catch (BadInputException e) {
        problems.add(e.getMessage());
      }
    }
    all.sort(Comparator.comparing(Outcome::date).thenComparing(Outcome::id));
    return all;
  }

  /** Names in a folder of the set-up, in order; none where there is no such folder. */
  private List<String> names(String sub) {
    Path where = sub.isEmpty() ? folder : folder.resolve(sub);
    if (!Files.isDirectory(where, LinkOption.NOFOLLOW_LINKS)) {
      if (Files.exists(where, LinkOption.NOFOLLOW_LINKS)) {
        problems.add(id + "/" + sub + ": is not a folder; it was left aside");
      }
      return List.of();
    }
    if (!sub.isEmpty() && !sub.equals(SetUpFolder.CUTS)) {
      // that it comes to be or goes shows in the time of the folder that holds it
      stamps.add(Stamp.of(folder, sub));
    }
    List<String> names = new ArrayList<>();
    try (DirectoryStream<Path> files = Files.newDirectoryStream(where)) {
      files.forEach(f -> names.add(f.getFileName().toString()));
    } catch (IOException | DirectoryIteratorException e) {
      problems.add(id + "/" + sub + ": cannot be listed: " + e.getMessage());
    }
    names.sort(Comparator.naturalOrder());
    return names;
  }

  /**
   * @throws BadInputException if it is not a folder of its own
   */
  static void requireFolder(Path folder, String place) {
    if (Files.isSymbolicLink(folder)) {
      throw new BadInputException(place + ": is a link, and links are not followed in a library");
    }
    if (!Files.isDirectory(folder, LinkOption.NOFOLLOW_LINKS)) {
      throw new BadInputException(
          place + (Files.exists(folder) ? ": is not a folder" : ": there is no such folder"));
    }
  }

  /**
   * The text of a file that lies in the library itself.
   *
   * @param place what messages call it
   * @throws BadInputException if it is a link, too large, no UTF-8 text, or not there
   */
  static String text(Path file, String place) {
    try {
      requireFile(file, place);
      return Files.readString(file, StandardCharsets.UTF_8);
    } catch (NoSuchFileException | NotDirectoryException e) {
      throw new BadInputException(place + ": is missing", e);
    } catch (MalformedInputException e) {
      throw new BadInputException(place + ": is not UTF-8 text", e);
    } catch (IOException e) {
      throw new BadInputException(place + ": cannot be read: " + SafeFile.reason(e), e);
    }
  }

  /**
   * @throws BadInputException if it is a link, no plain file or too large for text
   */
  static void requireFile(Path file, String place) throws IOException {
    BasicFileAttributes a =
        Files.readAttributes(file, BasicFileAttributes.class, LinkOption.NOFOLLOW_LINKS);
    if (a.isSymbolicLink()) {
      throw new BadInputException(place + ": is a link, and links are not followed in a library");
    }
    if (!a.isRegularFile()) {
      throw new BadInputException(place + ": is not a file");
    }
    if (a.size() > LARGEST_FILE) {
      throw new BadInputException(place + ": is larger than 16 MB, which no such file is");
    }
  }
}

package ringtrue.library;

import com.fasterxml.jackson.databind.JsonNode;
import java.io.IOException;
import java.nio.file.DirectoryIteratorException;
import java.nio.file.DirectoryStream;
import java.nio.file.Files;
import java.nio.file.InvalidPathException;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.util.Locale;
import ringtrue.units.BadInputException;

/**
 * Sees to it that the files of a library name only what lies in their own folder. A measurement or
 * a cut of the user's own may name any file; one that came with a library or an archive may not.
 */
final class NamesInside {
  private static final int DEEPEST = 8;

  private NamesInside() {}

  /** Checks every measurement and cut file under a folder. */
  static void requireAll(Path folder, String place) {
    requireAll(folder, place, 0);
  }

  private static void requireAll(Path folder, String place, int depth) {
    if (depth > DEEPEST) {
      throw new BadInputException(place + ": folders lie too deep in each other");
    }
    try (DirectoryStream<Path> files = Files.newDirectoryStream(folder)) {
      for (Path file : files) {
        String name = file.getFileName().toString();
        String here = place.isEmpty() ? name : place + "/" + name;
        if (Files.isDirectory(file, LinkOption.NOFOLLOW_LINKS)) {
          requireAll(file, here, depth + 1);
        } else if (name.toLowerCase(Locale.ROOT).endsWith(".json")) {
          require(file, here);
        }
      }
    } catch (IOException | DirectoryIteratorException e) {
      throw new BadInputException(place + ": cannot be listed: " + e.getMessage(), e);
    }
  }

  /**
   * Checks one file.
   *
   * @param file any JSON file of a library
   * @param place what messages call it
   * @throws BadInputException if it names something outside its folder
   */
  static void require(Path file, String place) {
    JsonNode all = JsonFields.tree(SetUpReader.text(file, place), place);
    String format = all.path("format").asText("");
    Path folder = file.toAbsolutePath().getParent();
    if (format.startsWith("ringtrue-measurement/")) {
      recordings(all.path("recordings"), folder, place + ": recordings");
      recordings(
          all.path("addedMass").path("recordings"), folder, place + ": addedMass.recordings");
    } else if (format.startsWith("ringtrue-cut/")) {
      for (String body : new String[] {"tool", "workpiece"}) {
        for (String axis : new String[] {"x", "y", "xy"}) {
          JsonNode given = all.path("dynamics").path(body).path(axis);
          String where = place + ": dynamics." + body + "." + axis;
          name(given.path("frf"), folder, where + ".frf");
          if (!given.has("saved")) {
            JsonNode measurement = given.path("measurement");
            name(measurement, folder, where + ".measurement");
            if (measurement.isTextual()) {
              require(folder.resolve(measurement.textValue()), where + ".measurement");
            }
          }
        }
      }
    }
  }

  private static void recordings(JsonNode list, Path folder, String place) {
    for (JsonNode each : list) {
      name(each, folder, place);
    }
  }

  private static void name(JsonNode said, Path folder, String place) {
    if (!said.isTextual()) {
      return;
    }
    String name = said.textValue();
    String shown = name.length() > 80 ? name.substring(0, 77) + "..." : name;
    try {
      Path path = Path.of(name);
      boolean plain = !name.isBlank() && !path.isAbsolute() && !name.contains("\\");
      Path at = folder;
      for (Path part : path) {
        String text = part.toString();
        plain &= !text.isEmpty() && !text.equals(".") && !text.equals("..") && !text.contains(":");
        at = at.resolve(text);
        plain &= !Files.isSymbolicLink(at);
      }
      if (plain) {
        return;
      }
    } catch (InvalidPathException e) {
      // no name at all
    }
    throw new BadInputException(
        place
            + ": \""
            + shown
            + "\" leads out of the folder; a file of a library names only what"
            + " lies beside it");
  }
}

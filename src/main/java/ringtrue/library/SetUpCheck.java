package ringtrue.library;

import java.io.IOException;
import java.nio.file.DirectoryIteratorException;
import java.nio.file.DirectoryStream;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import ringtrue.units.BadInputException;

/**
 * Looks into what a list passes over because it is large: recordings, responses and saved cuts of a
 * set-up. Recordings are opened as far as their headers and lengths; their samples are not judged.
 */
final class SetUpCheck {
  private final String id;
  private final List<String> problems = new ArrayList<>();

  private SetUpCheck(String id) {
    this.id = id;
  }

  /**
   * @param saved a set-up that can be read
   * @return what else of it is damaged or missing, one sentence each, place first
   */
  static List<String> problems(SavedSetUp saved) {
    SetUpCheck check = new SetUpCheck(saved.setUp().id());
    for (SavedMeasurement m : saved.measurements()) {
      check.measurement(saved.folder(m), SetUpFolder.MEASUREMENTS + "/" + m.id());
    }
    for (String cut : saved.cuts()) {
      check.cut(saved.cutFile(cut), SetUpFolder.CUTS + "/" + cut);
    }
    for (Outcome outcome : saved.outcomes()) {
      if (!saved.cuts().contains(outcome.cut())) {
        check.say(
            SetUpFolder.OUTCOMES + "/" + outcome.id() + ".json",
            "its cut " + outcome.cut() + " is missing");
      }
    }
    return List.copyOf(check.problems);
  }

  private void say(String place, String problem) {
    problems.add(id + "/" + place + ": " + problem);
  }

  private void measurement(Path folder, String place) {
    Path response = folder.resolve(SavedMeasurementFile.RESPONSE);
    if (Files.exists(response, LinkOption.NOFOLLOW_LINKS)) {
      tried(place, () -> FrequencyResponseCsv.read(response));
    }
    Path described = folder.resolve(SavedMeasurementFile.MEASUREMENT);
    if (Files.exists(described, LinkOption.NOFOLLOW_LINKS)) {
      tried(
          place,
          () -> {
            NamesInside.require(described, SavedMeasurementFile.MEASUREMENT);
            MeasurementFile.read(described);
          });
    } else {
      for (String name : names(folder)) {
        if (name.toLowerCase(Locale.ROOT).endsWith(".wav")) {
          say(
              place,
              SavedMeasurementFile.MEASUREMENT
                  + " is missing: nothing says what the recording "
                  + name
                  + " holds");
        }
      }
    }
  }

  private void cut(Path file, String place) {
    tried(
        place,
        () -> {
          NamesInside.require(file, SetUpFolder.CUT);
          for (Path named : CutCopy.namedIn(file)) {
            if (!Files.isRegularFile(named, LinkOption.NOFOLLOW_LINKS)) {
              throw new BadInputException(
                  SetUpFolder.CUT + ": names " + named.getFileName() + ", which is missing");
            }
          }
        });
  }

  private void tried(String place, Runnable reading) {
    try {
      reading.run();
    } catch (BadInputException e) {
      say(place, e.getMessage());
    }
  }

  private static List<String> names(Path folder) {
    List<String> names = new ArrayList<>();
    try (DirectoryStream<Path> files = Files.newDirectoryStream(folder)) {
      files.forEach(f -> names.add(f.getFileName().toString()));
    } catch (IOException | DirectoryIteratorException e) {
      // that the folder cannot be listed is said elsewhere
    }
    names.sort(Comparator.naturalOrder());
    return names;
  }
}

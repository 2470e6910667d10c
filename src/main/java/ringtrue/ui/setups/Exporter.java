package ringtrue.ui.setups;

import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.util.List;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.Progress;
import ringtrue.dynamics.ResponseForm;
import ringtrue.library.Dataset58Text;
import ringtrue.library.FrequencyResponseCsv;
import ringtrue.library.ModesCsv;
import ringtrue.library.SafeFile;
import ringtrue.library.SavedMeasurement;
import ringtrue.library.SavedMeasurementFile;
import ringtrue.library.SavedSetUp;
import ringtrue.library.SetUpLibrary;
import ringtrue.units.BadInputException;

/** Writes a saved set-up, or the latest of one of its directions, into a file. */
final class Exporter {
  private Exporter() {}

  /** What is written. */
  enum What {
    ARCHIVE("all of it, to import elsewhere (.zip)", ".zip"),
    MODES("modes of a direction (.csv)", "-modes.csv"),
    RESPONSE("response of a direction (.csv)", "-response.csv"),
    UNIVERSAL("response of a direction, universal file (.unv)", ".unv");

    private final String words;
    private final String ending;

    What(String words, String ending) {
      this.words = words;
      this.ending = ending;
    }

    String ending() {
      return ending;
    }

    @Override
    public String toString() {
      return words;
    }
  }

  /**
   * Writes it.
   *
   * @param axis direction, where one is asked for
   * @return remarks
   * @throws BadInputException if it cannot be written, or is there and may not be replaced
   */
  static List<String> write(
      SetUpLibrary library,
      String id,
      What what,
      String axis,
      Path to,
      boolean overwrite,
      Progress progress) {
    if (what == What.ARCHIVE) {
      return library.pack(id, to, overwrite, progress).stream()
          .map(n -> n + " stayed out: of a kind that belongs into no set-up")
          .toList();
    }
    SavedSetUp saved = library.read(id);
    List<SavedMeasurement> along = saved.along(axis);
    if (along.isEmpty()) {
      throw new BadInputException("it was not measured in " + axis);
    }
    SavedMeasurement latest = along.get(along.size() - 1);
    SafeFile.writeText(to, overwrite, text(saved, latest, what));
    return List.of();
  }

  private static String text(SavedSetUp saved, SavedMeasurement m, What what) {
    if (what == What.MODES) {
      return ModesCsv.toText(
          m.model()
              .orElseThrow(
                  () ->
                      new BadInputException("its modes have no stiffness, which the table needs")));
    }
    Path file = saved.folder(m).resolve(SavedMeasurementFile.RESPONSE);
    if (!Files.isRegularFile(file, LinkOption.NOFOLLOW_LINKS)) {
      throw new BadInputException("no response was saved with " + m.id());
    }
    FrequencyResponse response = FrequencyResponseCsv.read(file);
    return what == What.RESPONSE
        ? FrequencyResponseCsv.toText(response)
        : Dataset58Text.of(response, ResponseForm.RECEPTANCE);
  }
}

package ringtrue.ui.response;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.stream.Stream;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.library.FrequencyResponseCsv;
import ringtrue.library.SavedMeasurement;
import ringtrue.library.SavedMeasurementFile;
import ringtrue.library.SavedSetUp;
import ringtrue.library.SetUpLibrary;
import ringtrue.ui.job.Direction;

/**
 * A measurement of the saved set-up.
 *
 * @param saved what was found in it
 * @param folder where its files lie
 * @param kept whether its measured response was kept
 */
public record Older(SavedMeasurement saved, Path folder, boolean kept) {
  private static final DateTimeFormatter DATE =
      DateTimeFormatter.ofPattern("yyyy-MM-dd HH:mm", Locale.ROOT);

  /** Those in a direction, the newest first; reads files. */
  public static List<Older> of(SetUpLibrary library, String id, Direction direction) {
    SavedSetUp setUp = library.read(id);
    Stream<SavedMeasurement> along =
        setUp.along(direction.axis()).stream()
            .filter(m -> isOn(direction.part(), m))
            .sorted((a, b) -> b.date().compareTo(a.date()));
    return along
        .map(
            m -> {
              Path folder = setUp.folder(m);
              return new Older(
                  m, folder, Files.exists(folder.resolve(SavedMeasurementFile.RESPONSE)));
            })
        .toList();
  }

  /** A point that names the workpiece is on it; every other one may be on the tool. */
  private static boolean isOn(Direction.Part part, SavedMeasurement m) {
    boolean work = m.point().toLowerCase(Locale.ROOT).contains("workpiece");
    return m.point().isBlank() || work == (part == Direction.Part.WORKPIECE);
  }

  /** For people. */
  public String words() {
    return DATE.format(saved.date().atZone(ZoneId.systemDefault()))
        + (saved.name().isBlank() ? "" : ", " + saved.name());
  }

  /** Its measured response; empty where it was not kept. Reads a file. */
  public Optional<FrequencyResponse> response() {
    return kept
        ? Optional.of(FrequencyResponseCsv.read(folder.resolve(SavedMeasurementFile.RESPONSE)))
        : Optional.empty();
  }

  /**
   * As it is drawn: measured, or put together of its modes; empty where neither can be had. Reads a
   * file.
   */
  public Optional<Trace> trace() {
    Optional<FrequencyResponse> measured = response();
    if (measured.isPresent()) {
      return Optional.of(Trace.other(words() + " (measured)", measured.get()));
    }
    return saved
        .model()
        .map(
            m -> {
              boolean band = saved.bandHighHz() > saved.bandLowHz();
              double low = band ? saved.bandLowHz() : m.modes().get(0).frequencyHz() / 3;
              double high =
                  band ? saved.bandHighHz() : 3 * m.modes().get(m.modes().size() - 1).frequencyHz();
              return Trace.model(words() + " (from its modes)", m, low, high, Trace.Kind.MODEL);
            });
  }
}

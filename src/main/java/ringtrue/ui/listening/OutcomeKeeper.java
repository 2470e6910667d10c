package ringtrue.ui.listening;

import java.nio.file.Path;
import java.time.Instant;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import ringtrue.library.CutCopy;
import ringtrue.library.Outcome;
import ringtrue.library.SafeFile;
import ringtrue.library.SavedMeasurement;
import ringtrue.library.SavedSetUp;
import ringtrue.library.SetUpLibrary;
import ringtrue.ui.job.CutDraft;
import ringtrue.ui.job.Direction;
import ringtrue.ui.job.Job;
import ringtrue.ui.job.JobFolder;
import ringtrue.ui.job.Measured;

/**
 * Keeps what a cut did with a saved set-up; away from the event thread. The cut that is kept names
 * the set-up's own measurements where it has them, so that lobes of other cuts with it count this
 * one.
 *
 * @param library where set-ups are saved
 * @param in the job's folder
 * @param id the saved set-up
 * @param job whose set-up it is
 * @param run the cut as it was run
 */
record OutcomeKeeper(SetUpLibrary library, JobFolder in, String id, Job job, CutDraft run) {
  private static final String FILE = "cut-as-run.json";

  /**
   * Keeps it.
   *
   * @param text the cut's file
   * @param name what the cut is called
   * @param frequency of the chatter, as it was said; empty where it was not
   * @param simulated whether no cut was made
   * @return all that cuts with the set-up did
   */
  List<Outcome> keep(
      String text,
      String name,
      Outcome.Result result,
      String frequency,
      String note,
      boolean simulated) {
    SavedSetUp saved = library.read(id);
    Map<Direction, String> named = new LinkedHashMap<>();
    for (Direction direction : run.directions()) {
      boolean here =
          job.measured(direction).map(m -> m.kind() != Measured.Kind.SAVED).orElse(false);
      if (here) {
        newest(saved, direction)
            .ifPresent(
                m ->
                    named.put(
                        direction,
                        "{\"saved\": \"" + id + "\", \"measurement\": \"" + m.id() + "\"}"));
      }
    }
    Path file = in.file(FILE);
    SafeFile.writeText(file, true, new CutDraft(text).file(named));
    CutCopy copy = CutCopy.of(file);
    String hz = frequency.strip();
    library.add(
        id,
        name,
        copy.text(),
        copy::into,
        new Outcome(
            "new",
            Instant.now(),
            "new",
            result,
            hz.matches("[0-9.eE+]+") ? hz + " Hz" : hz,
            note.strip(),
            simulated));
    return library.read(id).outcomes();
  }

  /** The newest measurement along a direction of the same part, as far as its point tells. */
  private static Optional<SavedMeasurement> newest(SavedSetUp saved, Direction direction) {
    boolean work = direction.part() == Direction.Part.WORKPIECE;
    List<SavedMeasurement> along =
        saved.along(direction.axis()).stream()
            .filter(m -> m.point().toLowerCase(Locale.ROOT).contains("work") == work)
            .toList();
    return along.isEmpty() ? Optional.empty() : Optional.of(along.get(along.size() - 1));
  }
}

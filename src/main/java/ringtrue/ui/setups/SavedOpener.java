package ringtrue.ui.setups;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import ringtrue.library.SavedFit;
import ringtrue.library.SavedMeasurement;
import ringtrue.library.SavedRecordings;
import ringtrue.library.SavedSetUp;
import ringtrue.library.SetUp;
import ringtrue.library.SetUpLibrary;
import ringtrue.ui.job.CutDraft;
import ringtrue.ui.job.Direction;
import ringtrue.ui.job.Direction.Part;
import ringtrue.ui.job.Job;
import ringtrue.ui.job.JobFolder;
import ringtrue.ui.job.Measured;
import ringtrue.units.BadInputException;

/** Makes a job of a saved set-up; away from the event thread. */
final class SavedOpener {
  private SavedOpener() {}

  /**
   * A new job folder with the latest measurement of each direction, those of the workpiece or tool
   * that was saved together with it included. The saved set-ups stay as they are.
   *
   * @param jobs where jobs lie
   * @return the folder, ready to be resumed
   */
  static Path open(SetUpLibrary library, String id, Path jobs) {
    SavedSetUp chosen = library.read(id);
    List<SavedSetUp> all = new ArrayList<>(List.of(chosen));
    Parts.partner(chosen.setUp(), library.list().entries()).map(library::read).ifPresent(all::add);
    all.sort(Comparator.comparing(s -> Parts.of(s.setUp()))); // the tool tells most
    SetUp main = all.get(0).setUp();
    try (JobFolder folder = JobFolder.create(jobs)) {
      Job job = new Job(main.said(), Optional.of(main.id()), List.of(), CutDraft.NEW, false);
      job = job.with(SetUpWords.cut(job));
      SaveLog log = SaveLog.NOTHING;
      for (SavedSetUp saved : all) {
        Part part = Parts.of(saved.setUp());
        log = log.with(part, saved.setUp());
        for (SavedMeasurement m : saved.measurements()) {
          Direction direction = Parts.direction(part, m.axis());
          boolean latest = saved.along(m.axis()).indexOf(m) == saved.along(m.axis()).size() - 1;
          if (direction == null || !latest) {
            continue;
          }
          Measured measured = measured(saved, m, direction, folder);
          job = job.with(measured);
          log =
              log.with(
                  new SaveLog.Entry(
                      direction,
                      saved.setUp().id(),
                      m.id(),
                      measured.file(),
                      SaveLog.state(measured),
                      m.date()));
        }
      }
      log.write(folder.path());
      folder.write(job);
      return folder.path();
    }
  }

  private static Measured measured(
      SavedSetUp saved, SavedMeasurement m, Direction direction, JobFolder folder) {
    try {
      Optional<String> file = SavedRecordings.copy(saved, m, folder.path(), direction.key());
      if (file.isPresent()) {
        return Measured.of(direction, Measured.Kind.TAPS, file.get(), m.inputProfile())
            .withFit(SavedFit.of(saved.folder(m)));
      }
    } catch (BadInputException e) {
      // its recordings are damaged or gone; the modes that were saved can be used all the same
    }
    return Measured.of(
        direction, Measured.Kind.SAVED, saved.setUp().id() + "/" + m.id(), m.inputProfile());
  }
}

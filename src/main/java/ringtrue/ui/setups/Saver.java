package ringtrue.ui.setups;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import ringtrue.dynamics.Progress;
import ringtrue.library.MeasurementKeeper;
import ringtrue.library.NearestSetUps;
import ringtrue.library.SavedMeasurement;
import ringtrue.library.SavedSetUp;
import ringtrue.library.SetUp;
import ringtrue.library.SetUpLibrary;
import ringtrue.ui.job.Direction.Part;
import ringtrue.ui.job.Job;
import ringtrue.ui.job.JobFolder;
import ringtrue.ui.job.Measured;
import ringtrue.units.BadInputException;

/** Saves a job into the library; away from the event thread. */
final class Saver {
  private final SetUpLibrary library;
  private final JobFolder folder;
  private final Wish wish;
  private final Instant now = Instant.now();
  private final List<String> remarks = new ArrayList<>();

  /**
   * What the user answered.
   *
   * @param asNew save as a new set-up, though the job belongs to a saved one
   * @param clampedAgain whether it was clamped again since the measurement that is saved already
   */
  record Wish(boolean asNew, boolean clampedAgain) {}

  /**
   * How it ended.
   *
   * @param log what is saved now
   * @param id the set-up that the job belongs to
   * @param sentence what was done
   * @param remarks what the user should know
   */
  record Saved(SaveLog log, String id, String sentence, List<String> remarks) {}

  Saver(SetUpLibrary library, JobFolder folder, Wish wish) {
    this.library = library;
    this.folder = folder;
    this.wish = wish;
  }

  /**
   * @param log what was saved before
   * @throws BadInputException if it cannot be saved; what was saved before that stays
   */
  Saved save(Job job, SaveLog log, Progress progress) {
    SaveLog result = log;
    List<Part> parts = Parts.of(job);
    for (Part part : parts) {
      new SetUp("draft", 1, now, now, Parts.said(job, part)); // complains before long work
    }
    List<String> done = new ArrayList<>();
    for (int i = 0; i < parts.size(); i++) {
      double from = (double) i / parts.size();
      double share = 1.0 / parts.size();
      result =
          part(
              job,
              parts.get(i),
              result,
              done,
              (d, what) -> progress.at(from + share * Math.min(d, 1), what));
      result.write(folder.path());
    }
    result = result.at(now);
    result.write(folder.path());
    return new Saved(
        result,
        result.setUps().get(parts.get(0)).id(),
        String.join("; ", done),
        remarks.stream().distinct().toList());
  }

  private SaveLog part(Job job, Part part, SaveLog log, List<String> done, Progress progress) {
    Map<SetUp.Field, String> said = Parts.said(job, part);
    Optional<SetUp> base = wish.asNew ? Optional.empty() : base(job, part, log);
    List<Measured> due =
        Parts.measured(job, part).stream()
            .filter(m -> m.kind() != Measured.Kind.SAVED)
            .filter(m -> base.isEmpty() || !log.holds(m))
            .toList();
    List<MeasurementKeeper.Kept> kept = new ArrayList<>();
    for (int i = 0; i < due.size(); i++) {
      double from = (double) i / due.size();
      double share = 1.0 / due.size();
      kept.add(
          keep(
              due.get(i),
              base.isPresent() ? log.entry(due.get(i).direction()) : Optional.empty(),
              (d, what) -> progress.at(from + share * d, what)));
    }
    return base.isEmpty()
        ? fresh(part, said, due, kept, log, done)
        : more(part, base.get(), said, due, kept, log, done);
  }

  private Optional<SetUp> base(Job job, Part part, SaveLog log) {
    SetUp known = log.setUps().get(part);
    if (known != null) {
      if (!library.ids().contains(known.id())) {
        throw new BadInputException(
            known.id()
                + " is not in the library any more; bring it back from the bin, or save this as a"
                + " new set-up (Ctrl+Shift+S)");
      }
      return Optional.of(known);
    }
    return job.savedId()
        .filter(id -> log.setUps().values().stream().noneMatch(s -> s.id().equals(id)))
        .map(id -> library.read(id).setUp())
        .filter(s -> Parts.of(s) == part);
  }

  private MeasurementKeeper.Kept keep(
      Measured m, Optional<SaveLog.Entry> before, Progress progress) {
    Path file = folder.file(m.file());
    boolean sameTaps = before.map(e -> e.file().equals(m.file())).orElse(false);
    Instant date = sameTaps ? before.get().date() : written(file);
    MeasurementKeeper.About about =
        new MeasurementKeeper.About(
            date,
            m.direction().axis(),
            m.input(),
            !sameTaps && (before.isEmpty() || wish.clampedAgain),
            "",
            program());
    MeasurementKeeper.Kept kept =
        MeasurementKeeper.of(
            file, about, new MeasurementKeeper.Decided(m.setAside(), m.kept(), m.fit()), progress);
    if (m.kind() == Measured.Kind.RESPONSE) { // what taps tell is seen in the stages after this one
      kept.remarks().forEach(r -> remarks.add(m.direction().words() + ": " + r));
    }
    return kept;
  }

  private static Instant written(Path file) {
    try {
      return Files.getLastModifiedTime(file).toInstant();
    } catch (IOException e) {
      throw new BadInputException(file.getFileName() + ": is not there any more", e);
    }
  }

  private static String program() {
    String version = Saver.class.getPackage().getImplementationVersion();
    return "ringtrue " + (version == null ? "development" : version);
  }

  private SaveLog fresh(
      Part part,
      Map<SetUp.Field, String> said,
      List<Measured> due,
      List<MeasurementKeeper.Kept> kept,
      SaveLog log,
      List<String> done) {
    NearestSetUps.of(said, library.list().entries()).stream()
        .filter(n -> n.distance() == 0)
        .findFirst()
        .ifPresent(
            n ->
                remarks.add(
                    "Nothing that was said of it differs from \""
                        + n.entry().setUp().title()
                        + "\" of "
                        + Dates.day(n.entry().lastDate())
                        + ". If it is the same, open that one next time, so that its history stays"
                        + " together."));
    Instant born =
        log.setUps().values().stream()
            .filter(s -> !wish.asNew || s.created().equals(now))
            .map(SetUp::created)
            .findFirst()
            .orElse(now);
    SetUp setUp = library.create(said, kept, born);
    SaveLog result = log.with(part, setUp);
    SavedSetUp saved = library.read(setUp.id());
    for (Measured m : due) {
      SavedMeasurement its = saved.along(m.direction().axis()).get(0);
      result = result.with(entry(m, setUp.id(), its));
    }
    done.add(sentence("Saved", part, due.size(), " as " + setUp.id()));
    return result;
  }

  private SaveLog more(
      Part part,
      SetUp base,
      Map<SetUp.Field, String> said,
      List<Measured> due,
      List<MeasurementKeeper.Kept> kept,
      SaveLog log,
      List<String> done) {
    SaveLog result = log.with(part, base);
    for (int i = 0; i < due.size(); i++) {
      SavedMeasurement its = library.add(base.id(), kept.get(i).found(), kept.get(i).filling());
      result = result.with(entry(due.get(i), base.id(), its));
    }
    SetUp setUp = base;
    if (!base.said().equals(said)) {
      Map<SetUp.Field, String> more = new EnumMap<>(SetUp.Field.class);
      base.said().keySet().forEach(f -> more.put(f, ""));
      more.putAll(said);
      SetUpLibrary.Changed changed = library.change(base, more, now);
      setUp = changed.setUp();
      changed
          .conflict()
          .ifPresent(
              f ->
                  remarks.add(
                      "Somebody else changed the description at the same time; yours is kept as "
                          + f.getFileName()
                          + " beside it."));
    }
    done.add(
        sentence(
            "Added", part, due.size(), " to " + setUp.id() + ", revision " + setUp.revision()));
    return result.with(part, setUp);
  }

  private static SaveLog.Entry entry(Measured m, String setUp, SavedMeasurement its) {
    return new SaveLog.Entry(
        m.direction(), setUp, its.id(), m.file(), SaveLog.state(m), its.date());
  }

  private static String sentence(String verb, Part part, int count, String where) {
    String what =
        count == 0 ? "the description" : count == 1 ? "1 direction" : count + " directions";
    return verb + " " + what + (part == Part.WORKPIECE ? " of the workpiece" : "") + where;
  }
}

package ringtrue.ui.desk;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.BooleanSupplier;
import javax.swing.SwingUtilities;
import javax.swing.Timer;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Progress;
import ringtrue.library.Catalogue;
import ringtrue.library.Cut;
import ringtrue.library.CutFile;
import ringtrue.library.ModalWay;
import ringtrue.library.ModesCsv;
import ringtrue.library.SafeFile;
import ringtrue.library.SetUpLibrary;
import ringtrue.planning.CutPlan;
import ringtrue.planning.CutPlanner;
import ringtrue.report.LengthUnit;
import ringtrue.ui.job.CutDraft;
import ringtrue.ui.job.Direction;
import ringtrue.ui.job.Job;
import ringtrue.ui.job.JobFolder;
import ringtrue.ui.job.Measured;

/**
 * What follows from the job: responses and modes of its directions, the cut with its dynamics, and
 * the plan. All of it is kept up to date in the background; everything here is called on the event
 * thread.
 */
public final class Results {
  private static final String CUT = "cut.json";

  /** The problem of what was given up before it was there. */
  public static final String STOPPED = "it was stopped before it was worked out";

  /** How long a cut has to rest before its plan is made, ms. */
  private static final int REST_MS = 250;

  private final Tasks tasks;
  private final SetUpLibrary library;
  private final List<Runnable> listeners = new ArrayList<>();
  private final Map<Direction, Finding<DirectionResult>> found = new HashMap<>();
  private final Map<Direction, Tasks.Task> reading = new HashMap<>();
  private final Map<Direction, Measured> wanted = new HashMap<>();
  private Finding<Cut> cut = Finding.none("nothing is said of the cut yet");
  private Finding<CutPlan> plan = Finding.none("there is no cut to plan yet");
  private final Timer rest = new Timer(REST_MS, e -> startPlan());
  private Catalogue catalogue;
  private LengthUnit unit = LengthUnit.MILLIMETRE;
  private JobFolder folder;
  private Job job = Job.EMPTY;
  private String cutKey = "";
  private Direction tapped;
  private boolean cutRuns;
  private boolean cutAgain;
  private Tasks.Task planning;
  private Tasks.Task cutReading;
  private BooleanSupplier hurry = () -> false;

  Results(Tasks tasks, SetUpLibrary library, Catalogue catalogue) {
    this.tasks = tasks;
    this.library = library;
    this.catalogue = catalogue;
    rest.setRepeats(false);
    tasks.onChange(this::lookForCancel);
  }

  /** Told, on the event thread, whenever anything here changes. */
  public void onChange(Runnable listener) {
    listeners.add(listener);
  }

  /**
   * Says which direction is being tapped: what its first taps do not tell yet is no complaint.
   *
   * @param direction the one; null at the end
   */
  public void tapping(Direction direction) {
    Direction before = tapped;
    tapped = direction;
    if (before != null && !before.equals(direction)) {
      job.measured(before)
          .filter(m -> of(before).working() && !reading.containsKey(before))
          .ifPresent(this::read);
    }
  }

  /** Response and modes of a direction. */
  public Finding<DirectionResult> of(Direction direction) {
    return found.getOrDefault(direction, Finding.none("not measured yet"));
  }

  /** The cut with its dynamics. */
  public Finding<Cut> cut() {
    return cut;
  }

  /** Every limit of the cut, and better ones; no go where there are {@link #doubts}. */
  public Finding<CutPlan> plan() {
    if (plan.value().isEmpty()) {
      return plan;
    }
    return new Finding<>(
        plan.value().map(p -> p.doubted(doubts())), plan.problem(), plan.working());
  }

  /** Why the modes may not be those of the cut: sentences, the gravest first. */
  public List<String> doubts() {
    return Doubts.of(job, this::of).stream().map(Doubts.Doubt::words).toList();
  }

  /** Where something can be done about the gravest of the {@link #doubts}; empty without one. */
  public Optional<StageId> mended() {
    return Doubts.of(job, this::of).stream().findFirst().map(Doubts.Doubt::mended);
  }

  /** Work that writes the job's cut as the text of a cut file, with something said otherwise. */
  public Tasks.Work<String> writing(CutDraft otherwise) {
    JobFolder in = folder;
    Job of = job.with(otherwise);
    Map<Direction, ModalModel> models = models();
    return progress -> CutText.of(in, of, models);
  }

  /**
   * Work that reads the job's cut with something said otherwise, as when it was run in another way
   * than planned. Needs a job.
   */
  public Tasks.Work<Cut> reading(CutDraft otherwise) {
    JobFolder in = folder;
    Job of = job.with(otherwise);
    Map<Direction, ModalModel> models = models();
    Catalogue with = catalogue;
    return progress -> read(in, of, models, with, progress);
  }

  void catalogue(Catalogue other) {
    catalogue = other;
    cutKey = "";
    refreshCut();
  }

  void unit(LengthUnit other) {
    if (other != unit) {
      unit = other;
      planSoon();
    }
  }

  /** Another job: nothing of the old one holds. */
  void reset(JobFolder of, Job newJob) {
    List<Tasks.Task> old = List.copyOf(reading.values());
    reading.clear();
    old.forEach(Tasks.Task::cancel);
    wanted.clear();
    found.clear();
    stopPlan();
    cut = Finding.none("nothing is said of the cut yet");
    plan = Finding.none("there is no cut to plan yet");
    cutKey = "";
    folder = of;
    job(newJob);
  }

  /** The job changed: whatever follows from what changed is found anew. */
  void job(Job now) {
    job = now;
    boolean changed = false;
    for (Direction direction : List.copyOf(wanted.keySet())) {
      if (job.measured(direction).isEmpty()) {
        forget(direction);
        changed = true;
      }
    }
    for (Measured each : job.measured()) {
      Measured before = wanted.get(each.direction());
      if (each.equals(before)) {
        continue;
      }
      if (!onlyWords(each, before)) {
        read(each);
      }
      changed = true;
    }
    refreshCut();
    if (changed) {
      tell();
    }
  }

  /** What was said of the tool alone changes nothing of what was found. */
  private boolean onlyWords(Measured now, Measured before) {
    Direction direction = now.direction();
    if (before == null
        || reading.containsKey(direction)
        || !now.equals(before.withTool(now.with()))) {
      return false;
    }
    wanted.put(direction, now);
    Finding<DirectionResult> was = of(direction);
    found.put(
        direction, new Finding<>(was.value().map(r -> r.of(now)), was.problem(), was.working()));
    return true;
  }

  private void forget(Direction direction) {
    wanted.remove(direction);
    found.remove(direction);
    Optional.ofNullable(reading.remove(direction)).ifPresent(Tasks.Task::cancel);
  }

  private void read(Measured measured) {
    Direction direction = measured.direction();
    wanted.put(direction, measured);
    Optional.ofNullable(reading.remove(direction)).ifPresent(Tasks.Task::cancel);
    Finding<DirectionResult> before = of(direction);
    boolean related = before.value().map(b -> b.of().file().equals(measured.file())).orElse(false);
    found.put(direction, related ? before.stale() : new Finding<>(Optional.empty(), "", true));
    DirectionReader reader = new DirectionReader(folder, library, job.savedId());
    reading.put(
        direction,
        tasks.start(
            "modes of " + direction.words(),
            progress ->
                reader.read(
                    measured,
                    related ? before.value() : Optional.empty(),
                    early -> SwingUtilities.invokeLater(() -> early(measured, early)),
                    progress),
            result -> {
              reading.remove(direction);
              found.put(direction, Finding.of(result));
              refreshCut();
              tell();
            },
            complaint -> {
              reading.remove(direction);
              found.put(
                  direction,
                  direction.equals(tapped)
                      ? new Finding<>(Optional.empty(), "", true) // more taps are coming
                      : Finding.none(complaint));
              refreshCut();
              tell();
            }));
  }

  private void early(Measured measured, DirectionResult result) {
    Direction direction = measured.direction();
    if (measured.equals(wanted.get(direction)) && of(direction).working()) {
      found.put(direction, new Finding<>(Optional.of(result), "", true));
      tell();
    }
  }

  // ---- cut and plan

  private Map<Direction, ModalModel> models() {
    Map<Direction, ModalModel> models = new LinkedHashMap<>();
    for (Direction direction : job.cut().directions()) {
      of(direction)
          .value()
          .filter(r -> r.of().kind() != Measured.Kind.SAVED)
          .filter(r -> !job.cut().countsAsMeasured(r.of()))
          .flatMap(DirectionResult::model)
          .ifPresent(m -> models.put(direction, m));
    }
    return models;
  }

  private void refreshCut() {
    if (folder == null) {
      return;
    }
    if (waiting()) {
      return; // comes again when the modes are there
    }
    Job of = job;
    Map<Direction, ModalModel> models = models();
    String key = of.cut().json() + models + of.savedId() + saved(of);
    if (key.equals(cutKey)) {
      return;
    }
    if (cutRuns) {
      cutAgain = true;
      return;
    }
    cutKey = key;
    cutRuns = true;
    JobFolder in = folder;
    Catalogue with = catalogue;
    cutReading =
        tasks.start(
            "the cut",
            progress -> read(in, of, models, with, progress),
            c -> cutRead(in, Finding.of(c)),
            complaint -> cutRead(in, new Finding<>(Optional.empty(), plain(complaint), false)));
  }

  private static String saved(Job job) {
    return job.measured().stream().filter(m -> m.kind() == Measured.Kind.SAVED).toList().toString();
  }

  /** Nobody needs the file's name, as there is one cut only. */
  private static String plain(String complaint) {
    return complaint.startsWith(CUT + ": ") ? complaint.substring(CUT.length() + 2) : complaint;
  }

  private void cutRead(JobFolder in, Finding<Cut> read) {
    cutRuns = false;
    cutReading = null;
    if (in == folder) {
      cut = read;
      planSoon();
      tell();
    }
    if (cutAgain || in != folder) {
      cutAgain = false;
      cutKey = in == folder ? cutKey : "";
      refreshCut();
    }
  }

  private Cut read(
      JobFolder in, Job of, Map<Direction, ModalModel> models, Catalogue with, Progress progress) {
    String text = CutText.of(in, of, models);
    return CutFile.ofText(in.file(CUT), text, with, library, progress);
  }

  /**
   * The text of the cut file that stands for the job, modes beside it in the job's folder; away
   * from the event thread.
   */
  static final class CutText {
    private CutText() {}

    static String of(JobFolder in, Job job, Map<Direction, ModalModel> models) {
      Map<Direction, String> dynamics = new LinkedHashMap<>();
      for (Direction direction : job.cut().directions()) {
        Optional<Measured> measured = job.measured(direction);
        if (measured.isPresent() && measured.get().kind() == Measured.Kind.SAVED) {
          dynamics.put(
              direction,
              "{\"saved\": \""
                  + job.savedId().orElse("")
                  + "\", \"measurement\": \""
                  + measured.get().file()
                  + "\"}");
        } else if (models.containsKey(direction)) {
          String name = "modes-" + direction.key() + ".csv";
          SafeFile.writeText(in.file(name), true, ModesCsv.toText(models.get(direction)));
          dynamics.put(direction, "{\"modes\": \"" + name + "\"}");
        }
      }
      return job.cut().file(dynamics);
    }
  }

  private void planSoon() {
    stopPlan();
    plan =
        cut.ready()
            ? plan.stale()
            : Finding.none(cut.problem().isEmpty() ? "there is no cut to plan yet" : cut.problem());
    if (cut.ready()) {
      rest.restart();
    }
  }

  private void stopPlan() {
    rest.stop();
    Tasks.Task old = planning;
    planning = null;
    if (old != null) {
      old.cancel();
    }
  }

  /** What the user gave up does not stand as if it still went on. */
  private void lookForCancel() {
    boolean changed = false;
    for (Map.Entry<Direction, Tasks.Task> each : List.copyOf(reading.entrySet())) {
      if (each.getValue().cancelled()) {
        reading.remove(each.getKey());
        found.put(each.getKey(), stopped(of(each.getKey())));
        changed = true;
      }
    }
    if (cutReading != null && cutReading.cancelled()) {
      cutReading = null;
      cutRuns = false;
      cutKey = "";
      cut = Finding.none(STOPPED);
      stopPlan();
      plan = stopped(plan);
      changed = true;
    }
    if (planning != null && planning.cancelled()) {
      planning = null;
      plan = stopped(plan);
      changed = true;
    }
    if (changed) {
      SwingUtilities.invokeLater(this::tell);
    }
  }

  private static <T> Finding<T> stopped(Finding<T> before) {
    return new Finding<>(before.value(), STOPPED, false);
  }

  /** Whether the cut waits for modes that are being found. */
  public boolean waiting() {
    return job.cut().directions().stream().anyMatch(d -> of(d).working());
  }

  /** Whether something was given up that {@link #again} works out. */
  public boolean stopped() {
    return cut.problem().equals(STOPPED)
        || plan.problem().equals(STOPPED)
        || found.values().stream().anyMatch(f -> f.problem().equals(STOPPED));
  }

  /** Works out what was given up. */
  public void again() {
    for (Measured each : job.measured()) {
      if (of(each.direction()).problem().equals(STOPPED)) {
        read(each);
      }
    }
    if (cut.problem().equals(STOPPED)) {
      refreshCut();
    } else if (plan.problem().equals(STOPPED)) {
      planSoon();
    }
    tell();
  }

  /**
   * The plan is not begun as long as something else is in a hurry, such as a map that follows a
   * slider.
   *
   * @param other whether it is; asked on the event thread, true for a second or two at most
   */
  public void planAfter(BooleanSupplier other) {
    hurry = other;
  }

  private void startPlan() {
    if (hurry.getAsBoolean()) {
      rest.restart();
      return;
    }
    Cut of = cut.value().orElseThrow();
    boolean inches = unit == LengthUnit.INCH;
    planning =
        tasks.start(
            "the plan",
            progress ->
                CutPlanner.plan(
                    of.process(),
                    of.machine(),
                    of.planSettings().withInches(inches),
                    ModalWay.judge(of.process(), progress),
                    progress),
            p -> {
              plan = Finding.of(p);
              tell();
            },
            complaint -> {
              plan = Finding.none(complaint);
              tell();
            });
  }

  private void tell() {
    List.copyOf(listeners).forEach(Runnable::run);
  }
}

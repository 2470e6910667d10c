package ringtrue.ui.listening;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.concurrent.atomic.AtomicReference;
import javax.swing.SwingUtilities;
import ringtrue.acquisition.LiveInput;
import ringtrue.acquisition.SoundInputs;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Progress;
import ringtrue.library.Cut;
import ringtrue.library.HeardCuts;
import ringtrue.library.Outcome;
import ringtrue.planning.SoundAdvice;
import ringtrue.report.LengthUnit;
import ringtrue.signal.HeardCut;
import ringtrue.ui.desk.Desk;
import ringtrue.ui.desk.DirectionResult;
import ringtrue.ui.desk.Tasks;
import ringtrue.ui.job.CutDraft;
import ringtrue.ui.job.CutField;
import ringtrue.ui.job.Direction;
import ringtrue.ui.job.JobFolder;
import ringtrue.units.BadInputException;

/** What goes on in listening; everything here is called on the event thread. */
final class Listening {
  private static final int USUAL_RATE_HZ = 48_000;

  private final Desk desk;
  private final Map<CutField, String> otherwise = new EnumMap<>(CutField.class);
  private final AtomicReference<Listener.Moment> newest = new AtomicReference<>();
  private Optional<JobFolder> folder = Optional.empty();
  private Optional<Path> air = Optional.empty();
  private int channel = 1;
  private double fromS;
  private double toS = Double.POSITIVE_INFINITY;
  private Optional<Heard> heard = Optional.empty();
  private Optional<Listener.Moment> moment = Optional.empty();
  private Optional<HeardCut> lately = Optional.empty();
  private SoundAdvice advice = SoundAdvice.NONE;
  private String advised = "";
  private boolean advising;
  private Heard.Source source = Heard.Source.INPUT;
  private String complaint = "";
  private AtomicBoolean stop = new AtomicBoolean();
  private Tasks.Task task;
  private boolean frozen;
  private boolean saving;
  private boolean saved;
  private String saveComplaint = "";
  private List<Outcome> outcomes = List.of();
  private String outcomesOf = "";
  private int count;
  private boolean deaf;
  private Optional<Before> before = Optional.empty();

  /** What was heard before something else is read. */
  private record Before(Heard heard, Heard.Source source, boolean saved) {}

  Listening(Desk desk) {
    this.desk = desk;
    desk.onClose(() -> stop.set(true));
    desk.onChange(this::follow);
    desk.tasks().onChange(this::lookForCancel);
  }

  // ---- what there is

  Desk desk() {
    return desk;
  }

  boolean running() {
    return task != null;
  }

  /** Whether sound is coming at this moment. */
  boolean live() {
    return running() && moment.isPresent();
  }

  Optional<Heard> heard() {
    return heard;
  }

  Optional<Listener.Moment> moment() {
    return moment;
  }

  /** The verdict of the last seconds, or of the whole. */
  Optional<HeardCut> verdict() {
    return heard.isPresent() ? heard.map(Heard::sound) : lately;
  }

  SoundAdvice advice() {
    return heard.map(Heard::advice).orElse(advice);
  }

  Heard.Source source() {
    return source;
  }

  String complaint() {
    return complaint;
  }

  boolean frozen() {
    return frozen;
  }

  Optional<Path> air() {
    return air;
  }

  boolean saving() {
    return saving;
  }

  boolean saved() {
    return saved;
  }

  String saveComplaint() {
    return saveComplaint;
  }

  List<Outcome> outcomes() {
    return outcomes;
  }

  /** Whether this computer has no sound input. */
  boolean deaf() {
    return deaf;
  }

  void deaf(boolean hasNone) {
    deaf = hasNone;
    desk.tell();
  }

  /** Whether there is anything to hold a sound against. */
  boolean possible() {
    return desk.folder().isPresent() && desk.results().cut().value().isPresent();
  }

  /** Whether nothing is known of how the cut vibrates. */
  boolean untapped() {
    return desk.results().cut().problem().contains("dynamics: missing");
  }

  // ---- what was run

  /** The cut as it is stated to have been run. */
  CutDraft draft() {
    CutDraft draft = desk.job().cut();
    for (Map.Entry<CutField, String> each : otherwise.entrySet()) {
      draft = draft.with(each.getKey(), each.getValue());
    }
    return draft;
  }

  /** States a field of what was run; what was planned, or nothing, takes the statement back. */
  void state(CutField field, String text) {
    String said = text.strip();
    if (said.isEmpty() || said.equals(desk.job().cut().text(field))) {
      otherwise.remove(field);
    } else {
      otherwise.put(field, said);
    }
    complaint = "";
    saved = false;
    check();
  }

  boolean otherwise() {
    return !otherwise.isEmpty();
  }

  /** What was run is what was planned. */
  void asPlanned() {
    otherwise.clear();
    complaint = "";
    desk.tell();
  }

  private void check() {
    if (desk.folder().isEmpty()) {
      return;
    }
    CutDraft now = draft();
    desk.tasks()
        .start(
            "the cut as it was run",
            desk.results().reading(now),
            cut -> {
              if (now.equals(draft())) {
                complaint = "";
                desk.tell();
              }
            },
            words -> {
              if (now.equals(draft())) {
                complaint = words;
                desk.tell();
              }
            });
    desk.tell();
  }

  void air(Optional<Path> file) {
    air = file;
    desk.tell();
  }

  void channel(int number) {
    channel = number;
  }

  void stretch(double from, double to) {
    fromS = from;
    toS = to;
  }

  // ---- listening

  private interface Work {
    Heard run(Listener listener, JobFolder in) throws Exception;
  }

  /** Listens to a sound input; an empty name is the first one that opens. */
  void listen(String name) {
    AtomicBoolean end = new AtomicBoolean();
    start(
        Heard.Source.INPUT,
        end,
        (listener, in) -> {
          try (LiveInput input = open(name, channel)) {
            Path file = in.file(in.freeName("heard", ".wav") + ".wav");
            return listener.live(input, file, end, this::tell);
          }
        });
  }

  private static LiveInput open(String name, int channels) {
    SoundInputs inputs = SoundInputs.ofThisComputer();
    try {
      return inputs.open(name, USUAL_RATE_HZ, channels, 0);
    } catch (BadInputException e) {
      return inputs.open(name, 0, channels, 0);
    }
  }

  /** Plays and reads the sound of the simulated cut. */
  void simulated() {
    AtomicBoolean end = new AtomicBoolean();
    start(
        Heard.Source.SIMULATED,
        end,
        (listener, in) -> listener.simulated(in.file("simulated-cut.wav"), end, this::tell));
  }

  /** Reads a recording. */
  void read(Path file) {
    double from = fromS;
    double to = toS;
    Heard.Source as =
        heard.filter(h -> h.file().equals(file)).map(Heard::source).orElse(Heard.Source.RECORDING);
    start(as, new AtomicBoolean(), (listener, in) -> listener.read(file, from, to, as, ""));
  }

  private void start(Heard.Source from, AtomicBoolean end, Work work) {
    if (running() || desk.folder().isEmpty()) {
      return;
    }
    before = heard.map(h -> new Before(h, source, saved));
    source = from;
    stop = end;
    heard = Optional.empty();
    moment = Optional.empty();
    lately = Optional.empty();
    advice = SoundAdvice.NONE;
    advised = "";
    complaint = "";
    frozen = false;
    saved = false;
    saveComplaint = "";
    Tasks.Work<Cut> cut = desk.results().reading(draft());
    List<Known.Named> modes = modes();
    boolean inches = desk.unit() == LengthUnit.INCH;
    Optional<Path> quiet = air;
    int microphone = channel;
    JobFolder in = desk.folder().get();
    String key = "sound-" + ++count + " ";
    task =
        desk.tasks()
            .start(
                from == Heard.Source.RECORDING ? "reading the recording" : "listening",
                progress -> {
                  Known known = Known.of(cut.run(progress), modes, progress);
                  return work.run(
                      new Listener(known, inches, quiet, microphone, key, progress), in);
                },
                this::done,
                words -> {
                  task = null;
                  moment = Optional.empty();
                  asBefore();
                  complaint = words;
                  desk.tell();
                });
    desk.tell();
  }

  /** What was read before stays where the new one came to nothing. */
  private void asBefore() {
    before.ifPresent(
        b -> {
          heard = Optional.of(b.heard);
          source = b.source;
          saved = b.saved;
        });
    before = Optional.empty();
  }

  private void done(Heard found) {
    task = null;
    before = Optional.empty();
    moment = Optional.empty();
    frozen = false;
    heard = Optional.of(found);
    complaint = found.problem();
    desk.tell();
  }

  /** Away from the event thread; moments that were overtaken are left out. */
  private void tell(Listener.Moment now) {
    Listener.Moment before = newest.getAndUpdate(old -> merged(old, now));
    if (before == null) {
      SwingUtilities.invokeLater(this::show);
    }
  }

  private static Listener.Moment merged(Listener.Moment old, Listener.Moment now) {
    if (old == null) {
      return now;
    }
    return new Listener.Moment(
        now.timeS(),
        Math.max(old.peak(), now.peak()),
        old.clipped() || now.clipped(),
        now.spectrum(),
        now.gram(),
        now.heard().isPresent() ? now.heard() : old.heard());
  }

  private void show() {
    Listener.Moment now = newest.getAndSet(null);
    if (now == null || !running()) {
      return;
    }
    boolean first = moment.isEmpty();
    moment = Optional.of(now);
    if (now.heard().isPresent()) {
      lately = now.heard();
      advise();
      desk.tell();
    } else if (first) {
      desk.tell();
    }
    listeners.forEach(Runnable::run);
  }

  private final List<Runnable> listeners = new ArrayList<>();

  /** Told several times a second while sound comes. */
  void onMoment(Runnable listener) {
    listeners.add(listener);
  }

  /** Asks the lobes when something else is heard than they were asked about. */
  private void advise() {
    HeardCut now = lately.orElseThrow();
    String about = now.verdict() + " " + Math.round(now.chatterHz() / 20);
    if (about.equals(advised) || advising) {
      return;
    }
    advised = about;
    if (!HeardWords.decided(now)) {
      advice = SoundAdvice.NONE;
      return;
    }
    advising = true;
    Tasks.Work<Cut> cut = desk.results().reading(draft());
    boolean inches = desk.unit() == LengthUnit.INCH;
    Tasks.Task of = task;
    desk.tasks()
        .start(
            "what to do",
            progress -> HeardCuts.advice(cut.run(progress), now, inches, Progress.NONE),
            found -> {
              advising = false;
              if (of == task) {
                advice = found;
                desk.tell();
              }
            },
            words -> advising = false);
  }

  /** Ends listening; what came is read as a whole. */
  void stop() {
    if (live()) {
      stop.set(true);
    } else if (task != null) {
      task.cancel();
    }
  }

  /** Holds what is shown, or lets it go on; listening goes on meanwhile. */
  void freeze() {
    if (live()) {
      frozen = !frozen;
      desk.tell();
    }
  }

  private void lookForCancel() {
    if (task != null && task.cancelled()) {
      stop.set(true);
      task = null;
      moment = Optional.empty();
      asBefore();
      SwingUtilities.invokeLater(desk::tell);
    }
  }

  private List<Known.Named> modes() {
    List<Known.Named> modes = new ArrayList<>();
    for (Direction direction : draft().directions()) {
      Optional<ModalModel> model =
          desk.results().of(direction).value().flatMap(DirectionResult::model);
      if (model.isPresent()) {
        for (Mode mode : model.get().modes()) {
          modes.add(new Known.Named(direction.words(), mode.frequencyHz()));
        }
      }
    }
    return modes;
  }

  // ---- saving

  /** Why what was heard cannot be saved with the cut; empty if it can. */
  String whyNotSaved() {
    if (source == Heard.Source.SIMULATED && !desk.job().simulated()) {
      return "a simulated sound tells nothing of the real cut: there is nothing to save";
    }
    if (desk.job().savedId().isEmpty()) {
      return "what a cut did is kept with its set-up, and this set-up is not saved yet";
    }
    return "";
  }

  /** Whether what would be saved was never cut: the sound is simulated, or the whole machine is. */
  boolean onlySimulated() {
    return source == Heard.Source.SIMULATED || desk.job().simulated();
  }

  /** Whether the set-up has to be saved first. */
  boolean wantsSetUp() {
    return desk.job().savedId().isEmpty();
  }

  /** Keeps what the cut did with the saved set-up. */
  void save(Outcome.Result result, String frequency, String note) {
    if (saving || !whyNotSaved().isEmpty() || desk.folder().isEmpty()) {
      return;
    }
    saving = true;
    saveComplaint = "";
    String id = desk.job().savedId().orElseThrow();
    OutcomeKeeper keeper =
        new OutcomeKeeper(desk.library(), desk.folder().get(), id, desk.job(), draft());
    Tasks.Work<String> text = desk.results().writing(draft());
    Tasks.Work<Cut> cut = desk.results().reading(draft());
    boolean simulated = onlySimulated();
    desk.tasks()
        .start(
            "saving what the cut did",
            progress ->
                keeper.keep(
                    text.run(progress),
                    cut.run(progress).name(),
                    result,
                    frequency,
                    note,
                    simulated),
            all -> {
              saving = false;
              saved = true;
              outcomes = all;
              desk.tell();
            },
            words -> {
              saving = false;
              saveComplaint = words;
              desk.tell();
            });
    desk.tell();
  }

  /** Another job, or another saved set-up. */
  private void follow() {
    if (!desk.folder().equals(folder)) {
      folder = desk.folder();
      if (task != null) {
        stop.set(true);
        task.cancel();
        task = null;
      }
      otherwise.clear();
      before = Optional.empty();
      heard = Optional.empty();
      moment = Optional.empty();
      lately = Optional.empty();
      advice = SoundAdvice.NONE;
      air = Optional.empty();
      complaint = "";
      saveComplaint = "";
      saved = false;
      saving = false;
      outcomes = List.of();
      outcomesOf = "";
    }
    String id = desk.job().savedId().orElse("");
    if (!id.equals(outcomesOf)) {
      outcomesOf = id;
      outcomes = List.of();
      if (!id.isEmpty()) {
        desk.tasks()
            .start(
                "what cuts did",
                progress -> desk.library().read(id).outcomes(),
                all -> {
                  if (id.equals(outcomesOf)) {
                    outcomes = all;
                    desk.tell();
                  }
                },
                words -> {
                  if (id.equals(outcomesOf)) {
                    saveComplaint = words;
                    desk.tell();
                  }
                });
      }
    }
  }
}

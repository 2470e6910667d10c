package ringtrue.ui.tapping;

import java.nio.file.Path;
import java.util.ArrayDeque;
import java.util.Deque;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.function.Function;
import javax.swing.JComponent;
import ringtrue.acquisition.TapRecording;
import ringtrue.report.TapGuide;
import ringtrue.signal.AveragedResponse;
import ringtrue.signal.SessionTap;
import ringtrue.signal.Tap;
import ringtrue.signal.TapSignals;
import ringtrue.ui.desk.Act;
import ringtrue.ui.desk.Desk;
import ringtrue.ui.desk.DirectionResult;
import ringtrue.ui.desk.Doubts;
import ringtrue.ui.desk.Finding;
import ringtrue.ui.desk.NextStep;
import ringtrue.ui.desk.Stage;
import ringtrue.ui.desk.StageId;
import ringtrue.ui.desk.StageState;
import ringtrue.ui.desk.Tasks;
import ringtrue.ui.job.Direction;
import ringtrue.ui.job.Direction.Part;
import ringtrue.ui.job.Job;
import ringtrue.ui.job.JobFolder;
import ringtrue.ui.job.Measured;
import ringtrue.ui.job.TappedWith;
import ringtrue.ui.kit.Sign;
import ringtrue.units.BadInputException;

/**
 * Tapping: one direction after the other, live from an input or from a file, each tap with its
 * verdict.
 */
public final class TapsStage implements Stage {
  private static final long CLOSING_MS = 4000;

  private final Desk desk;
  private SensorForm sensors;
  private InputPanel inputs;
  private CautionsPanel cautions;
  private SensorForm channels;
  private SensorForm columns;
  private ImportPanel importPanel;
  private TapsView view;
  private StageKeys keys;
  private Direction chosen = Direction.TOOL_X;
  private boolean cautionsHold;
  private boolean asking;
  private boolean importing;
  private Waiting looking;
  private final Deque<Waiting> waiting = new ArrayDeque<>();
  private final Set<Path> comeAlong = new HashSet<>();
  private LiveTaps live;
  private JobFolder liveFolder;
  private String liveFile = "";
  private LiveState lastState;
  private Direction lastDirection;
  private JobFolder seenFolder;
  private String complaint = "";
  private DirectionResult shownResult;
  private TapSignals signals;
  private String signalsOf = "";
  private Tasks.Task reading;
  private boolean touched;

  /** Light; the view is made when it is shown. */
  public TapsStage(Desk desk) {
    this.desk = desk;
    desk.onChange(this::refresh);
    desk.onClose(new Closing());
    desk.add(new TapFiles(this));
    desk.add(
        Act.of(
                "tap-start",
                Act.Group.STAGE,
                "Start tapping, or the next direction",
                "F6",
                this::forward)
            .when(() -> isSeen() && live == null));
    desk.add(
        Act.of("tap-again", Act.Group.STAGE, "Tap again", "F8", this::tapAgain)
            .when(() -> isSeen() && live == null && desk.job().measured(chosen).isPresent()));
    desk.add(
        Act.of(
                "tap-aside-last",
                Act.Group.STAGE,
                "Set the last tap aside (Backspace)",
                "",
                this::asideLast)
            .when(() -> isSeen() && !rows().isEmpty()));
    desk.add(
        Act.of("tap-stop", Act.Group.STAGE, "Stop tapping (Esc)", "", this::stop)
            .when(() -> isSeen() && live != null));
    desk.add(
        Act.of(
                "tap-sounds",
                Act.Group.STAGE,
                "Sounds of tapping on or off",
                "ctrl shift M",
                () -> sounds(!desk.settings().on("sounds", true)))
            .when(this::isSeen));
  }

  private boolean isSeen() {
    return desk.folder().isPresent() && desk.stage() == StageId.TAPS;
  }

  @Override
  public StageId id() {
    return StageId.TAPS;
  }

  private SensorForm sensors() {
    if (sensors == null) {
      sensors = new SensorForm("taps", false);
    }
    return sensors;
  }

  private InputPanel inputs() {
    if (inputs == null) {
      inputs = new InputPanel(desk, sensors(), this::inputChanged);
    }
    return inputs;
  }

  private CautionsPanel cautions() {
    if (cautions == null) {
      cautions = new CautionsPanel(this::confirm);
    }
    return cautions;
  }

  private SensorForm channels() {
    if (channels == null) {
      channels = new SensorForm("import", false);
    }
    return channels;
  }

  private SensorForm columns() {
    if (columns == null) {
      columns = new SensorForm("import-text", true);
    }
    return columns;
  }

  private ImportPanel importPanel() {
    if (importPanel == null) {
      importPanel = new ImportPanel(desk, channels(), columns(), this::importOver);
    }
    return importPanel;
  }

  @Override
  public List<Runnable> making() {
    return List.of(
        this::sensors,
        this::inputs,
        this::cautions,
        this::channels,
        this::columns,
        this::importPanel,
        this::view);
  }

  @Override
  public JComponent view() {
    if (view == null) {
      view = new TapsView(new DirectionList(this::choose), inputs(), cautions(), importPanel());
      view.start.addActionListener(e -> forward());
      view.again.addActionListener(e -> tapAgain());
      view.aside.addActionListener(e -> asideLast());
      view.stop.addActionListener(e -> stop());
      view.sounds.addActionListener(e -> sounds(view.sounds.isSelected()));
      view.table.onSwitch(this::switchTap);
      view.table.onChoose(this::look);
      keys =
          new StageKeys(
              view,
              () -> live != null,
              new StageKeys.Keys() {
                @Override
                public boolean forward() {
                  return TapsStage.this.forward();
                }

                @Override
                public boolean back() {
                  return asideLast();
                }

                @Override
                public boolean end() {
                  return escape();
                }
              });
      refresh();
    }
    return view;
  }

  @Override
  public void shown() {
    keys.on();
    view.inputs.lookOnce();
    view.state.requestFocusInWindow();
  }

  @Override
  public void hidden() {
    keys.off();
  }

  // ---- how far it has come

  private boolean turning() {
    return desk.job().cut().turning();
  }

  private List<Direction> needed() {
    return desk.job().cut().directions().stream().filter(d -> d.part() == Part.TOOL).toList();
  }

  private boolean isLive(Direction direction) {
    return live != null && live.setup().direction().equals(direction);
  }

  private boolean isDone(Direction direction) {
    Finding<DirectionResult> found = desk.results().of(direction);
    return desk.job().measured(direction).isPresent()
        && !isLive(direction)
        && (found.value().isPresent() || found.problem().isEmpty());
  }

  /** "2 of 5 taps" where fewer were kept than were asked for. */
  private Optional<String> few(Direction direction) {
    return desk.job()
        .measured(direction)
        .filter(m -> !isLive(direction))
        .flatMap(m -> Doubts.few(m, desk.results().of(direction)));
  }

  private Optional<Direction> missing() {
    return needed().stream().filter(d -> !isDone(d)).findFirst();
  }

  private DirectionList.Status status(Direction direction) {
    Optional<Measured> measured = desk.job().measured(direction);
    if (isLive(direction)) {
      int kept = lastState == null ? 0 : lastState.kept();
      return new DirectionList.Status(Sign.BEGUN, "being tapped, " + kept + " kept");
    }
    if (measured.isEmpty()) {
      boolean optional = direction.part() == Part.WORKPIECE;
      return new DirectionList.Status(
          Sign.OPEN, optional ? "leave out if it is rigid" : "not measured");
    }
    Finding<DirectionResult> found = desk.results().of(direction);
    Optional<String> few = Doubts.few(measured.get(), found);
    if (few.isPresent()) {
      return new DirectionList.Status(Sign.CAUTION, few.get() + ": tap again");
    }
    if (found.value().isPresent()) {
      Optional<AveragedResponse> averaged = averaged(found.value().get());
      String words =
          averaged
              .map(a -> a.response().origin().averages())
              .map(n -> n + (n == 1 ? " tap kept" : " taps kept"))
              .orElse(
                  switch (measured.get().kind()) {
                    case RESPONSE -> "a response from elsewhere";
                    case SAVED -> "saved";
                    case TAPS -> "taps without force";
                  });
      return new DirectionList.Status(Sign.DONE, words);
    }
    return found.problem().isEmpty()
        ? new DirectionList.Status(Sign.BEGUN, "being read")
        : new DirectionList.Status(Sign.CAUTION, found.problem());
  }

  private static Optional<AveragedResponse> averaged(DirectionResult result) {
    return result.taps().map(t -> t.averaged());
  }

  @Override
  public StageState state() {
    if (live != null && lastState != null) {
      return new StageState(
          StageState.Kind.BEGUN,
          live.setup().direction().words() + ": " + lastState.kept() + " kept");
    }
    List<Direction> done = needed().stream().filter(this::isDone).toList();
    boolean bad =
        desk.job().measured().stream()
            .anyMatch(m -> !desk.results().of(m.direction()).problem().isEmpty());
    if (bad) {
      return new StageState(StageState.Kind.ATTENTION, "a direction has a problem");
    }
    Optional<String> other = TappedWith.mismatch(desk.job());
    if (other.isPresent()) {
      return new StageState(StageState.Kind.ATTENTION, other.get());
    }
    for (Measured each : desk.job().measured()) {
      Optional<String> few = few(each.direction());
      if (few.isPresent()) {
        return new StageState(
            StageState.Kind.ATTENTION, each.direction().words() + ": " + few.get());
      }
    }
    String axes = String.join(", ", done.stream().map(Direction::words).toList());
    if (missing().isEmpty()) {
      return new StageState(StageState.Kind.DONE, axes);
    }
    return done.isEmpty()
        ? new StageState(StageState.Kind.OPEN, "")
        : new StageState(StageState.Kind.BEGUN, axes);
  }

  @Override
  public Optional<NextStep> next() {
    if (live != null || view == null || importing) {
      return Optional.empty();
    }
    Optional<Direction> missing = missing();
    Optional<Direction> poor = needed().stream().filter(d -> few(d).isPresent()).findFirst();
    if (poor.isPresent()) {
      return Optional.of(
          new NextStep(
              "Tap again",
              poor.get().words() + ": " + few(poor.get()).orElseThrow(),
              () -> goOn(poor.get())));
    }
    if (missing.isPresent() && fromFiles()) {
      Direction direction = missing.get();
      return Optional.of(
          new NextStep(
              "Open the recording along " + direction.axis() + "…",
              direction.words() + " is missing; or choose an input and tap it",
              () -> {
                choose(direction);
                desk.acts().stream()
                    .filter(a -> a.id().equals("open-file"))
                    .findFirst()
                    .ifPresent(a -> a.action().run());
              }));
    }
    if (missing.isEmpty()) {
      return Optional.of(
          new NextStep("See the response", "what was tapped", () -> desk.go(StageId.RESPONSE)));
    }
    if (!cautionsHold && view.showsCautions()) {
      return Optional.of(
          new NextStep("All of that is so", "read the cautions first", this::confirm));
    }
    Direction direction = missing.get();
    boolean first = needed().stream().noneMatch(this::isDone);
    boolean broken = desk.job().measured(direction).isPresent();
    String words =
        broken
            ? "Tap " + direction.words() + " again"
            : first ? "Begin tapping" : "Tap along " + direction.axis();
    return Optional.of(
        new NextStep(words, direction.words() + " is missing", () -> goOn(direction)));
  }

  /** What there is comes from files, and the simulated machine has no place beside it. */
  private boolean fromFiles() {
    List<Measured> all = desk.job().measured();
    return view.inputs.simulated()
        && !all.isEmpty()
        && all.stream().noneMatch(Measured::isSimulated);
  }

  /** The simulated machine needs nobody to move a sensor first. */
  private void goOn(Direction direction) {
    boolean there = direction.equals(chosen);
    choose(direction);
    if (there || view.inputs.simulated()) {
      begin();
    }
  }

  // ---- doing

  private void choose(Direction direction) {
    if (live == null && !direction.equals(chosen)) {
      chosen = direction;
      asking = false;
      complaint = "";
      view.notice.clear();
      view.inputs.complain("");
      view.table.clearSelection();
      desk.tell();
    }
  }

  private void inputChanged() {
    if (view != null) {
      refresh();
    }
  }

  private void confirm() {
    cautionsHold = true;
    boolean wanted = asking;
    asking = false;
    desk.tell();
    view.state.requestFocusInWindow(); // it is seen only now
    if (wanted) {
      begin();
    }
  }

  /** Space, Enter, Page Down: whatever comes next. */
  private boolean forward() {
    if (importing) {
      view.importing.take();
    } else if (live == null && !cautionsHold && view.showsCautions()) {
      confirm();
    } else if (live == null && !isDone(chosen) && !fromFiles()) {
      begin();
    } else if (live == null) {
      next().ifPresent(step -> step.action().run());
    }
    return true;
  }

  private void tapAgain() {
    if (live == null && !importing) {
      begin();
    }
  }

  private void begin() {
    if (live != null || desk.folder().isEmpty()) {
      return;
    }
    if (!cautionsHold) {
      asking = true;
      desk.tell();
      return;
    }
    complaint = "";
    view.notice.clear();
    LiveTaps.Setup setup;
    try {
      setup = view.inputs.setup(chosen);
    } catch (BadInputException e) {
      view.inputs.complain(e.getMessage());
      return;
    }
    liveFolder = desk.folder().get();
    liveFile = "";
    lastState = null;
    lastDirection = chosen;
    boolean simulated = view.inputs.simulated();
    live = new LiveTaps(setup, liveFolder, new Told(setup, liveFolder, simulated));
    desk.results().tapping(live.setup().direction());
    view.state.requestFocusInWindow();
    view.state.show(new Banner(Sign.BEGUN, "WAIT", "The input is being opened."));
    view.show(TapPlots.OfTap.NONE);
    view.show(Optional.empty());
    view.table.clearSelection();
    shownResult = null;
    live.start();
    desk.tell();
  }

  private boolean asideLast() {
    List<TapRow> rows = rows();
    if (rows.isEmpty() || importing) {
      return false;
    }
    for (int i = rows.size() - 1; i >= 0; i--) {
      if (rows.get(i).kept() || i == rows.size() - 1 && live != null) {
        if (rows.get(i).kept()) {
          switchTap(rows.get(i).number(), false);
        }
        break;
      }
    }
    return true;
  }

  private void switchTap(int number, boolean on) {
    Direction of = chosen;
    if (desk.job().measured(of).filter(m -> m.kind() == Measured.Kind.TAPS).isEmpty()) {
      return;
    }
    desk.change(
        on ? "keep tap " + number : "set tap " + number + " aside",
        job -> job.measured(of).map(m -> job.with(m.withTap(number, on))).orElse(job));
  }

  private boolean escape() {
    if (importing) {
      view.importing.leave();
      return true;
    }
    if (live != null) {
      stop();
      return true;
    }
    return false;
  }

  private void stop() {
    if (live != null) {
      live.stop();
    }
  }

  private void sounds(boolean on) {
    desk.settings(s -> s.with("sounds", on));
  }

  /** The window closes: whatever was recorded is ended in order. */
  private final class Closing implements Desk.Ending {
    private volatile LiveTaps its;

    @Override
    public boolean ask() {
      its = live;
      if (its != null) {
        its.stop();
      }
      return its != null;
    }

    @Override
    public void await() throws InterruptedException {
      its.await(CLOSING_MS);
    }

    @Override
    public void take() {
      its.tellEnd();
    }
  }

  // ---- a session

  private final class Told implements LiveTaps.Listener {
    private final LiveTaps.Setup setup;
    private final JobFolder folder;
    private final boolean simulated;
    private final Optional<Measured> older;
    private boolean hasBegun;

    Told(LiveTaps.Setup setup, JobFolder folder, boolean simulated) {
      this.setup = setup;
      this.folder = folder;
      this.simulated = simulated;
      older = desk.job().measured(setup.direction());
    }

    /** Stopped before there were enough taps: those from before stay, unless the user wants. */
    private void keepOlder() {
      int kept = lastState == null ? 0 : lastState.kept();
      if (older.isEmpty() || kept >= setup.goal().taps()) {
        return;
      }
      desk.change(
          "keep the earlier taps of " + setup.direction().words(), job -> job.with(older.get()));
      view.notice.say(
          Sign.CAUTION,
          kept
              + " of "
              + setup.goal().taps()
              + " taps only: the earlier measurement stays in use. Ctrl+Z takes the new taps.");
    }

    private boolean here() {
      return desk.folder().filter(f -> f == folder).isPresent();
    }

    @Override
    public void shows(LiveState state) {
      if (!here() || live == null) {
        return;
      }
      boolean more =
          lastState == null
              || lastState.kept() != state.kept()
              || lastState.taps().size() != state.taps().size();
      boolean other = lastState == null || lastState.taps() != state.taps();
      LiveState before = lastState;
      lastState = state;
      view.state.show(state.banner());
      view.meters.show(state.meters());
      if (other) {
        view.table.show(rows());
      }
      if (before == null || !before.averaged().equals(state.averaged())) {
        view.show(state.averaged());
      }
      if (before == null || !before.last().equals(state.last())) {
        state.last().ifPresent(this::show);
      }
      if (more) {
        desk.tell();
      }
    }

    private void show(TapSignals s) {
      signals = s;
      signalsOf = "";
      view.show(TapPlots.of(s, row(s.tap()), live.responseUnit()));
    }

    @Override
    public void opened(List<String> remarks) {
      if (here() && !remarks.isEmpty()) {
        view.notice.say(Sign.CAUTION, Announcer.capital(String.join("; ", remarks)) + ".");
      }
    }

    @Override
    public void begun(String file) {
      if (hasBegun || !here()) {
        return;
      }
      hasBegun = true;
      liveFile = file;
      desk.change(
          "tap " + setup.direction().words(),
          job -> {
            Job with =
                job.with(
                    Measured.of(setup.direction(), Measured.Kind.TAPS, file, setup.words())
                        .asking(setup.goal().taps()));
            return with;
          });
    }

    @Override
    public void ended(Optional<String> file, Optional<String> problem) {
      if (!here()) {
        live = null;
        desk.results().tapping(null);
        return;
      }
      file.ifPresent(this::begun);
      live = null;
      desk.results().tapping(null);
      file.ifPresent(
          f ->
              desk.amend(
                  job ->
                      job.measured(setup.direction())
                          .filter(m -> m.file().equals(f))
                          .map(m -> job.with(m.rewritten()))
                          .orElse(job)));
      if (file.isPresent()) {
        keepOlder();
      }
      problem.ifPresent(
          p -> {
            if (file.isPresent()) {
              complaint = p;
              String kept = p.endsWith("is kept") ? "." : "; what came before is kept.";
              view.notice.say(Sign.BAD, Announcer.capital(p) + kept);
            } else {
              complaint = SensorField.sentence(p);
              view.inputs.complain(p);
            }
          });
      if (problem.isEmpty() && file.isPresent() && !simulated) {
        view.notice.say(Sign.CAUTION, TapGuide.AFTERWARDS);
      }
      desk.tell();
    }
  }

  // ---- files

  private record Waiting(Path file, Function<Path, TapImport.What> what) {}

  /**
   * Brings a file into the job; the next one is asked about when this one is taken or left.
   *
   * @param what what the file is; asked away from the event thread
   */
  void bring(Path file, Function<Path, TapImport.What> what) {
    if (desk.folder().isEmpty() || live != null) {
      desk.say("stop tapping first, then open " + file.getFileName());
      return;
    }
    if (!comeAlong.contains(file.toAbsolutePath().normalize())) {
      waiting.add(new Waiting(file, what));
    }
    if (importing) {
      view.importing.waiting(waiting.size());
    } else if (looking == null) {
      look();
    }
  }

  private void look() {
    Waiting one = waiting.poll();
    if (one == null) {
      return;
    }
    JobFolder folder = desk.folder().orElseThrow();
    looking = one;
    desk.tasks()
        .start(
            "looking at " + one.file.getFileName(),
            progress -> TapImport.look(one.file, one.what.apply(one.file)),
            looked -> {
              if (looking == one && desk.folder().filter(f -> f == folder).isPresent()) {
                comeAlong.addAll(looked.with());
                waiting.removeIf(w -> looked.with().contains(w.file.toAbsolutePath().normalize()));
                ask(() -> view.importing.show(looked, waiting.size()));
              }
            },
            problem -> {
              if (looking == one && desk.folder().filter(f -> f == folder).isPresent()) {
                ask(() -> view.importing.refuse(one.file, problem, waiting.size()));
              }
            });
  }

  private void ask(Runnable show) {
    looking = null;
    view();
    importing = true;
    show.run();
    desk.tell();
  }

  private void importOver() {
    importing = false;
    if (waiting.isEmpty()) {
      comeAlong.clear();
    } else {
      look();
    }
    desk.job().measured().stream()
        .filter(m -> !m.direction().equals(chosen))
        .filter(m -> desk.undoWords().orElse("").endsWith(" as " + m.direction().words()))
        .findFirst()
        .ifPresent(m -> chosen = m.direction());
    desk.tell();
    view.state.requestFocusInWindow();
  }

  // ---- showing

  private List<TapRow> rows() {
    if (lastState != null && chosen.equals(lastDirection) && (live != null || result().isEmpty())) {
      return lastState.taps().stream().map(SessionTap::tap).map(TapRow::of).toList();
    }
    return result()
        .flatMap(TapsStage::averaged)
        .map(a -> a.taps().stream().map(TapRow::of).toList())
        .orElse(List.of());
  }

  private Optional<TapRow> row(int tap) {
    return rows().stream().filter(r -> r.number() == tap).findFirst();
  }

  private Optional<DirectionResult> result() {
    return desk.job().measured(chosen).isPresent()
        ? desk.results().of(chosen).value()
        : Optional.empty();
  }

  private void refresh() {
    if (desk.folder().orElse(null) != seenFolder) {
      anotherJob();
    }
    if (live != null && !liveFile.isEmpty()) {
      desk.job()
          .measured(live.setup().direction())
          .filter(m -> m.file().equals(liveFile))
          .ifPresent(m -> live.decided(m.setAside(), m.kept()));
    }
    if (view == null || desk.folder().isEmpty()) {
      return;
    }
    if (desk.job().simulated() && desk.job().measured().isEmpty() && live == null && !touched) {
      touched = true;
      view.inputs.chooseSimulated();
    }
    List<Direction> seen = desk.job().cut().directions();
    if (!seen.contains(chosen) && live == null) {
      chosen = Direction.TOOL_X;
    }
    Map<Direction, DirectionList.Status> states = new LinkedHashMap<>();
    seen.forEach(d -> states.put(d, status(d)));
    view.directions.show(seen, chosen, live == null, states);
    view.picture.show(chosen);
    String where = Where.words(chosen, turning());
    if (!view.where.getText().equals(where)) {
      view.where.setText(where);
    }
    view.inputs.setEnabled(live == null);
    view.sounds.setSelected(desk.settings().on("sounds", true));
    pages();
    buttons();
    if (live == null) {
      still();
    }
  }

  private void anotherJob() {
    if (live != null) {
      live.stop();
      live = null;
      desk.results().tapping(null);
    }
    seenFolder = desk.folder().orElse(null);
    touched = false;
    asking = false;
    importing = false;
    looking = null;
    waiting.clear();
    comeAlong.clear();
    lastState = null;
    lastDirection = null;
    complaint = "";
    shownResult = null;
    signals = null;
    signalsOf = "";
    chosen = missing().orElse(Direction.TOOL_X);
    if (view != null) {
      view.notice.clear();
      view.table.clearSelection();
      view.show(TapPlots.OfTap.NONE);
      view.show(Optional.empty());
    }
  }

  private void pages() {
    boolean nothing = missing().isPresent() && desk.job().measured(chosen).isEmpty();
    if (importing) {
      view.showImport();
    } else if (!cautionsHold && live == null && (nothing || asking)) {
      view.cautions.simulated(view.inputs.simulated());
      view.showCautions();
    } else {
      view.showLive();
    }
  }

  private void buttons() {
    boolean done = isDone(chosen);
    Optional<NextStep> next = next();
    view.start.setText(
        (done ? next.map(NextStep::words).orElse("See the response") : "Start tapping")
            + "  (Space)");
    view.start.setVisible(live == null);
    view.again.setVisible(live == null && desk.job().measured(chosen).isPresent());
    view.stop.setVisible(live != null);
    view.meters.setVisible(live != null);
    view.aside.setEnabled(rows().stream().anyMatch(TapRow::kept));
  }

  /** What is seen while no session runs. */
  private void still() {
    Optional<DirectionResult> result = result();
    view.table.show(rows());
    view.state.show(stillBanner());
    if (result.orElse(null) == shownResult && (result.isPresent() || shownResult == null)) {
      if (result.isEmpty() && !chosen.equals(lastDirection)) {
        view.show(TapPlots.OfTap.NONE);
        view.show(Optional.empty());
      }
      return;
    }
    shownResult = result.orElse(null);
    view.show(result.flatMap(DirectionResult::response).map(Averaged::of));
    List<TapRow> rows = rows();
    if (rows.isEmpty()) {
      view.show(TapPlots.OfTap.NONE);
    } else {
      int tap = view.table.chosenTap();
      look(tap > 0 && tap <= rows.size() ? tap : rows.get(rows.size() - 1).number());
    }
  }

  private Banner stillBanner() {
    String words = chosen.words().toUpperCase(Locale.ROOT);
    Optional<Measured> measured = desk.job().measured(chosen);
    if (measured.isEmpty()) {
      return complaint.isEmpty()
          ? new Banner(
              Sign.OPEN,
              words,
              "Not measured. Space, Enter or Page Down begins; it tells you when to tap.")
          : new Banner(Sign.BAD, words + ": NOT STARTED", Announcer.capital(complaint) + ".");
    }
    Finding<DirectionResult> found = desk.results().of(chosen);
    if (found.value().isEmpty()) {
      return found.problem().isEmpty()
          ? (lastState != null && chosen.equals(lastDirection)
              ? lastState.banner()
              : new Banner(Sign.BEGUN, words, "Being read."))
          : new Banner(Sign.BAD, words + ": A PROBLEM", Announcer.capital(found.problem()) + ".");
    }
    DirectionResult result = found.value().get();
    Optional<AveragedResponse> averaged = averaged(result);
    if (averaged.isPresent()) {
      AveragedResponse a = averaged.get();
      Optional<String> few = few(chosen);
      return new Banner(
          few.isPresent() ? Sign.CAUTION : Sign.DONE,
          words + ": " + a.response().origin().averages() + " of " + a.taps().size() + " KEPT",
          String.format(
              Locale.ROOT,
              "%sUsable from %.0f to %.0f Hz. From %s.",
              few.map(f -> "Only " + f + ": tap again. ").orElse(""),
              a.response().origin().bandLowHz(),
              a.response().origin().bandHighHz(),
              measured.get().input()));
    }
    return new Banner(Sign.DONE, words, Announcer.capital(status(chosen).words()) + ".");
  }

  /** Shows what the sensors gave at a tap. */
  private void look(int tap) {
    if (live != null) {
      live.look(tap);
      return;
    }
    Optional<DirectionResult> result = result();
    if (result.isEmpty()
        || result.get().measurement().isEmpty()
        || averaged(result.get()).isEmpty()) {
      return;
    }
    AveragedResponse averaged = averaged(result.get()).get();
    Optional<Tap> found = averaged.taps().stream().filter(t -> t.number() == tap).findFirst();
    if (found.isEmpty()) {
      return;
    }
    TapRecording recording = result.get().measurement().get().recording();
    Optional<TapRow> row = Optional.of(TapRow.of(found.get()));
    String unit = recording.quantity().siUnit();
    String of = result.get().of().file() + " " + result.get().of().edition() + " " + tap;
    if (signals != null && of.equals(signalsOf)) {
      view.show(TapPlots.of(signals, row, unit));
      return;
    }
    if (reading != null) {
      reading.cancel();
    }
    reading =
        desk.tasks()
            .start(
                "tap " + tap,
                progress -> TapSignals.read(recording, found.get(), averaged.used().blockLengthS()),
                s -> {
                  signals = s;
                  signalsOf = of;
                  view.show(TapPlots.of(s, row, unit));
                },
                desk::say);
  }
}

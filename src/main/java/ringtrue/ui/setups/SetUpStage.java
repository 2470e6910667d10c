package ringtrue.ui.setups;

import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import java.util.Optional;
import javax.swing.ButtonGroup;
import javax.swing.JComponent;
import javax.swing.JPanel;
import javax.swing.JToggleButton;
import javax.swing.SwingUtilities;
import javax.swing.Timer;
import ringtrue.ui.desk.Act;
import ringtrue.ui.desk.Desk;
import ringtrue.ui.desk.FileTaker;
import ringtrue.ui.desk.NextStep;
import ringtrue.ui.desk.Stage;
import ringtrue.ui.desk.StageId;
import ringtrue.ui.desk.StageState;
import ringtrue.ui.desk.Tasks;
import ringtrue.ui.job.Direction;
import ringtrue.ui.job.Job;
import ringtrue.ui.job.JobFolder;
import ringtrue.ui.job.TappedWith;
import ringtrue.ui.kit.Deck;
import ringtrue.ui.kit.MigLayout;

/** The set-up at a glance, and the library of saved ones. */
public final class SetUpStage implements Stage {
  private static final String HERE = "here";
  private static final String SAVED = "saved";
  private static final int PREPARE_MS = 700;

  private final Desk desk;
  private final JToggleButton hereButton = new JToggleButton("This set-up (Ctrl+Shift+H)");
  private final JToggleButton savedButton = new JToggleButton("Saved set-ups (Ctrl+Shift+L)");
  private JPanel view;
  private Deck middle;
  private DirectionsPanel directions;
  private SaveQuestion question;
  private HereCard here;
  private SavedCard saved;
  private final Timer prepare = new Timer(PREPARE_MS, e -> shelf());
  private SaveLog log = SaveLog.NOTHING;
  private Path logOf;
  private Tasks.Task saving;

  /** Light; the view is made when it is shown. */
  public SetUpStage(Desk desk) {
    this.desk = desk;
    desk.add(
        Act.of("save", Act.Group.JOB, "Save the set-up", "ctrl S", this::askAndSave)
            .when(this::canSave));
    desk.add(
        Act.of(
                "save-as-new",
                Act.Group.JOB,
                "Save as a new set-up",
                "ctrl shift S",
                () -> save(new Saver.Wish(true, true)))
            .when(this::canSave));
    desk.add(
        Act.of("saved-set-ups", Act.Group.STAGE, "Saved set-ups", "ctrl shift L", this::showSaved)
            .when(this::open));
    desk.add(
        Act.of("this-set-up", Act.Group.STAGE, "This set-up", "ctrl shift H", this::showHere)
            .when(this::open));
    desk.add(
        new FileTaker() {
          @Override
          public boolean takes(Path file, String format) {
            return format.equals(FileTaker.ARCHIVE);
          }

          @Override
          public void take(Path file) {
            showSaved();
            shelf().take(file);
          }

          @Override
          public Optional<StageId> stage() {
            return Optional.of(StageId.SET_UP);
          }
        });
    desk.onChange(this::changed);
  }

  @Override
  public StageId id() {
    return StageId.SET_UP;
  }

  @Override
  public JComponent view() {
    if (view == null) {
      make();
    }
    return view;
  }

  private DirectionsPanel directions() {
    if (directions == null) {
      directions = new DirectionsPanel(desk);
    }
    return directions;
  }

  private SaveQuestion question() {
    if (question == null) {
      question = new SaveQuestion(this::save);
    }
    return question;
  }

  private HereCard here() {
    if (here == null) {
      here = new HereCard(desk, this, directions(), question());
    }
    return here;
  }

  @Override
  public List<Runnable> making() {
    return List.of(this::directions, this::question, this::here, this::view);
  }

  private void make() {
    here();
    middle = new Deck();
    middle.add(here.pane("setup-scroll"), HERE);
    prepare.setRepeats(false);
    ButtonGroup group = new ButtonGroup();
    group.add(hereButton);
    group.add(savedButton);
    hereButton.setName("setup-here");
    savedButton.setName("setup-saved");
    hereButton.setSelected(true);
    hereButton.addActionListener(e -> showHere());
    savedButton.addActionListener(e -> showSaved());
    view = new JPanel(new MigLayout("ins 0, fill", "[grow,fill]", "[]0[grow,fill]"));
    JPanel which = new JPanel(new MigLayout("ins 8 14 0 14"));
    which.add(hereButton);
    which.add(savedButton);
    view.add(which, "wrap");
    view.add(middle, "grow, wmin 0, hmin 0");
    here.refresh();
  }

  /** The saved set-ups; made a while after the rest was seen, or when they are asked for. */
  private SavedCard shelf() {
    prepare.stop();
    if (saved == null) {
      saved = new SavedCard(desk, this);
      middle.add(saved, SAVED);
    }
    return saved;
  }

  private boolean open() {
    return desk.folder().isPresent();
  }

  @Override
  public void shown() {
    here.refresh();
    if (savedButton.isSelected()) {
      shelf().shown();
    } else if (saved == null) {
      prepare.start();
    }
  }

  /** Brings the set-up at hand to the front. */
  void showHere() {
    if (desk.stage() != StageId.SET_UP) {
      desk.go(StageId.SET_UP);
    }
    hereButton.setSelected(true);
    middle.show(HERE);
    here.refresh();
    desk.tell();
  }

  /** Brings the saved set-ups to the front. */
  void showSaved() {
    if (desk.stage() != StageId.SET_UP) {
      desk.go(StageId.SET_UP);
    }
    view();
    shelf();
    savedButton.setSelected(true);
    middle.show(SAVED);
    saved.shown();
    desk.tell(); // the next step is another one
  }

  // ---- what is saved

  SaveLog log() {
    return log;
  }

  /** Whether it is being saved; not once that was cancelled. */
  boolean saving() {
    return saving != null && desk.tasks().running().contains(saving);
  }

  boolean canSave() {
    Job job = desk.job();
    return open() && !saving() && !(job.setUp().isEmpty() && job.measured().isEmpty());
  }

  private void changed() {
    Path now = desk.folder().map(JobFolder::path).orElse(null);
    if (now != null && !now.equals(logOf)) {
      logOf = now;
      log = SaveLog.NOTHING;
      if (here != null) {
        here.clearNotices();
      }
      desk.tasks()
          .start(
              "what is saved",
              progress -> SaveLog.read(now),
              read -> {
                if (now.equals(logOf)) {
                  log = read;
                  desk.tell();
                }
              },
              desk::say);
    } else if (now == null) {
      logOf = null;
      log = SaveLog.NOTHING;
    }
    belongs();
    if (here != null && here.isShowing()) {
      here.refresh();
    }
  }

  /** Undo may bring back a job from before it was saved; it belongs to its saved set-up still. */
  private void belongs() {
    Optional<String> id =
        Optional.ofNullable(log.setUps().get(Parts.of(desk.job()).get(0)))
            .map(ringtrue.library.SetUp::id);
    if (open() && id.isPresent() && !desk.job().savedId().equals(id)) {
      SwingUtilities.invokeLater(() -> desk.amend(job -> job.savedAs(id.get())));
    }
  }

  /** Saves; asks first what has to be known. */
  void askAndSave() {
    if (!canSave()) {
      return;
    }
    if (desk.stage() != StageId.SET_UP || !hereButton.isSelected()) {
      showHere();
    }
    if (!here.ask()) {
      save(new Saver.Wish(false, true));
    }
  }

  void save(Saver.Wish wish) {
    if (!canSave()) {
      return;
    }
    view();
    JobFolder folder = desk.folder().orElseThrow();
    Job job = desk.job();
    here.clearNotices();
    saving =
        desk.tasks()
            .start(
                "saving",
                progress ->
                    new Saver(desk.library(), folder, wish)
                        .save(job, SaveLog.read(folder.path()), progress),
                done -> saved(folder, done),
                problem -> {
                  here.complain(problem);
                  desk.say("not saved: " + problem);
                  desk.tell();
                });
    desk.tell();
  }

  private void saved(JobFolder folder, Saver.Saved done) {
    if (folder.path().equals(logOf)) {
      log = done.log();
      here.savedAs(done.sentence(), done.remarks());
      desk.amend(job -> job.savedAs(done.id()));
    }
    desk.say(done.sentence());
    desk.tell();
    if (saved != null) {
      saved.outdated();
    }
  }

  // ---- the path

  @Override
  public StageState state() {
    SaveState now = SaveState.of(desk.job(), log, Instant.now());
    Optional<String> other = TappedWith.mismatch(desk.job());
    if (other.isPresent()) {
      return new StageState(StageState.Kind.ATTENTION, other.get());
    }
    return new StageState(now.kind(), saving() ? "saving" : now.brief());
  }

  @Override
  public Optional<NextStep> next() {
    if (savedButton.isSelected() && view != null) {
      return Optional.of(
          new NextStep("Back to this set-up", "what is clamped and measured now", this::showHere));
    }
    for (Direction direction : desk.job().cut().directions()) {
      if (direction.part() == Direction.Part.TOOL
          && desk.job().measured(direction).isEmpty()
          && !desk.job().cut().describes(direction)) {
        return Optional.of(
            new NextStep(
                "Tap along " + direction.axis(),
                "the tool's " + direction.axis() + " direction is missing",
                () -> desk.go(StageId.TAPS)));
      }
    }
    for (StageId id : StageId.values()) {
      if (id != StageId.SET_UP
          && desk.stage(id) != null
          && desk.stage(id).state().kind() != StageState.Kind.DONE) {
        return Optional.of(new NextStep("On to " + id.title(), id.about(), () -> desk.go(id)));
      }
    }
    return canSave() && !log.holds(desk.job())
        ? Optional.of(new NextStep("Save", "into the library of set-ups", this::askAndSave))
        : Optional.empty();
  }
}

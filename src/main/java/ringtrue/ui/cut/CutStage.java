package ringtrue.ui.cut;

import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import javax.swing.JComponent;
import ringtrue.library.Cut;
import ringtrue.planning.CutPlan;
import ringtrue.report.PlanWords;
import ringtrue.ui.desk.Act;
import ringtrue.ui.desk.Desk;
import ringtrue.ui.desk.FileTaker;
import ringtrue.ui.desk.Finding;
import ringtrue.ui.desk.NextStep;
import ringtrue.ui.desk.Stage;
import ringtrue.ui.desk.StageId;
import ringtrue.ui.desk.StageState;
import ringtrue.ui.job.CutField;
import ringtrue.ui.job.TappedWith;

/** Every limit of the cut, better cuts, what if, the cut in time, and the report. */
public final class CutStage implements Stage {
  private static final int MOST_NAMES = 3;

  private final Desk desk;
  private CutForm form;
  private LimitsView limits;
  private OffersView offers;
  private SweepView sweep;
  private CutView view;

  /** Light; the view is made when it is shown. */
  public CutStage(Desk desk) {
    this.desk = desk;
    desk.add(
        Act.of(
                "cut-take-best",
                Act.Group.STAGE,
                "Take the best better cut",
                "ctrl shift B",
                () -> made().takeBest())
            .when(this::planned));
    desk.add(
        Act.of(
                "cut-sweep",
                Act.Group.STAGE,
                "What if: work it out",
                "F6",
                () -> {
                  go();
                  made().sweep();
                })
            .when(() -> desk.folder().isPresent() && desk.stage() == StageId.CUT));
    desk.add(
        Act.of(
                "cut-report",
                Act.Group.JOB,
                "Report of the job…",
                "ctrl shift R",
                () -> {
                  go();
                  made().report();
                })
            .when(() -> desk.folder().isPresent()));
    desk.add(
        Act.of(
                "cut-save-file",
                Act.Group.STAGE,
                "Save cut file…",
                "ctrl shift E",
                () -> {
                  go();
                  made().saveFile();
                })
            .when(() -> desk.folder().isPresent() && desk.stage() == StageId.CUT));
    desk.add(new Taker());
  }

  /** Opens cut files. */
  private final class Taker implements FileTaker {
    @Override
    public boolean takes(Path file, String format) {
      return format.startsWith("ringtrue-cut/");
    }

    @Override
    public void take(Path file) {
      made().open(file);
    }

    @Override
    public Optional<StageId> stage() {
      return Optional.of(StageId.CUT);
    }
  }

  private void go() {
    if (desk.stage() != StageId.CUT) {
      desk.go(StageId.CUT);
    }
  }

  private boolean planned() {
    return desk.results().plan().ready();
  }

  private CutView made() {
    if (view == null) {
      view = new CutView(desk, form(), limits(), offers(), sweep());
    }
    return view;
  }

  private CutForm form() {
    if (form == null) {
      form = new CutForm(desk);
    }
    return form;
  }

  private LimitsView limits() {
    if (limits == null) {
      limits = new LimitsView(desk);
    }
    return limits;
  }

  private OffersView offers() {
    if (offers == null) {
      offers = new OffersView(desk);
    }
    return offers;
  }

  private SweepView sweep() {
    if (sweep == null) {
      sweep = new SweepView(desk);
    }
    return sweep;
  }

  @Override
  public List<Runnable> making() {
    Runnable part = () -> form().buildNext();
    return List.of(
        this::limits,
        this::offers,
        this::sweep,
        this::form,
        part,
        part,
        part,
        part,
        part,
        part,
        part,
        this::made);
  }

  @Override
  public StageId id() {
    return StageId.CUT;
  }

  @Override
  public JComponent view() {
    return made().component();
  }

  @Override
  public void shown() {
    made().shown();
  }

  @Override
  public void hidden() {
    made().hidden();
  }

  @Override
  public StageState state() {
    Finding<CutPlan> plan = desk.results().plan();
    if (desk.folder().isEmpty()) {
      return new StageState(StageState.Kind.OPEN, "");
    }
    List<CutField> missing = CutEdits.missing(desk.job().cut());
    if (!missing.isEmpty()) {
      boolean nothing = desk.job().cut().equals(ringtrue.ui.job.CutDraft.NEW);
      return new StageState(
          nothing ? StageState.Kind.OPEN : StageState.Kind.BEGUN,
          nothing
              ? "not described yet"
              : "still to say: " + CutEdits.words(missing.get(0), desk.job().cut()));
    }
    String problem =
        desk.results().cut().problem().isEmpty() ? plan.problem() : desk.results().cut().problem();
    if (plan.working() || desk.results().cut().working() || desk.results().waiting()) {
      return new StageState(StageState.Kind.BEGUN, "working it out");
    }
    if (desk.results().stopped()) {
      return new StageState(StageState.Kind.BEGUN, "stopped: plan again");
    }
    if (plan.value().isEmpty() || !problem.isEmpty()) {
      boolean wrong = desk.results().cut().value().isEmpty() && !problem.contains("missing");
      return new StageState(
          wrong ? StageState.Kind.ATTENTION : StageState.Kind.BEGUN,
          wrong ? "something does not fit" : "no plan yet");
    }
    return judged(plan.value().get());
  }

  /** A plan in a few words. */
  static StageState judged(CutPlan plan) {
    List<String> exceeded = LimitBar.exceeded(plan);
    if (plan.verdict() == CutPlan.Verdict.UNKNOWN) {
      return new StageState(StageState.Kind.ATTENTION, "not known: " + plan.doubts().get(0));
    }
    if (plan.verdict() == CutPlan.Verdict.CARE) {
      return new StageState(
          StageState.Kind.ATTENTION, PlanWords.verdict(plan).replace("GO WITH CARE, ", ""));
    }
    if (exceeded.isEmpty()) {
      return new StageState(StageState.Kind.DONE, "inside all limits");
    }
    List<String> names = exceeded.subList(0, Math.min(MOST_NAMES, exceeded.size()));
    return new StageState(
        StageState.Kind.ATTENTION,
        exceeded.size()
            + (exceeded.size() == 1 ? " limit exceeded: " : " limits exceeded: ")
            + String.join(", ", names)
            + (names.size() < exceeded.size() ? ", …" : ""));
  }

  @Override
  public Optional<NextStep> next() {
    if (view == null) {
      return Optional.empty(); // it is being made
    }
    if (desk.folder().isEmpty()) {
      return Optional.empty();
    }
    List<CutField> missing = CutEdits.missing(desk.job().cut());
    if (!missing.isEmpty()) {
      return Optional.of(toSay(missing));
    }
    if (desk.results().stopped()) {
      return Optional.of(
          new NextStep("Plan again", "it was stopped half-way", () -> desk.results().again()));
    }
    Finding<CutPlan> plan = desk.results().plan();
    Optional<Cut> cut = desk.results().cut().value();
    if (!plan.ready() || cut.isEmpty()) {
      return Optional.empty();
    }
    if (TappedWith.mismatch(desk.job()).isPresent()) {
      return Optional.of(
          new NextStep(
              "Tap again",
              "another tool was tapped than the one that cuts",
              () -> desk.go(StageId.TAPS)));
    }
    boolean good = LimitBar.exceeded(plan.value().get()).isEmpty();
    if (!good
        && Offer.of(plan.value().get(), cut.get().process()).stream().anyMatch(Offer::helps)) {
      return Optional.of(
          new NextStep(
              "Take the best better cut",
              "this one is outside a limit; undo takes it back",
              () -> made().takeBest()));
    }
    if (!good) {
      return Optional.empty();
    }
    return Optional.of(
        desk.stage() == StageId.CUT && view != null && !view.watching()
            ? new NextStep(
                "Watch it in time",
                "inside all limits that could be judged: see it cut",
                () -> made().watch())
            : new NextStep(
                "Listen to the real cut",
                "the first cut in air, then in small steps, microphone near",
                () -> desk.go(StageId.LISTEN)));
  }

  private NextStep toSay(List<CutField> missing) {
    if (!made().form().setUpSays().isEmpty()) {
      return new NextStep(
          "Use what the set-up says",
          "tool and machine are described there already",
          () -> {
            go();
            made().form().useSetUp();
          });
    }
    if (desk.job().simulated()) {
      return new NextStep(
          "Take an example cut",
          "invented numbers, to be changed as you like",
          () -> {
            go();
            desk.change(
                "take an example cut",
                job -> job.with(CutEdits.example(job.cut(), desk.catalogue())));
          });
    }
    CutField first = missing.get(0);
    return new NextStep(
        "Say the " + CutEdits.words(first, desk.job().cut()),
        missing.size() == 1 ? "then every limit is shown" : missing.size() + " things are missing",
        () -> {
          go();
          made().form().goTo(first);
        });
  }
}

package ringtrue.ui.lobes;

import java.util.List;
import java.util.Optional;
import java.util.function.Consumer;
import javax.swing.JComponent;
import ringtrue.library.Cut;
import ringtrue.planning.CutPlan;
import ringtrue.planning.WhatHappens;
import ringtrue.ui.desk.Act;
import ringtrue.ui.desk.Desk;
import ringtrue.ui.desk.Finding;
import ringtrue.ui.desk.NextStep;
import ringtrue.ui.desk.Stage;
import ringtrue.ui.desk.StageId;
import ringtrue.ui.desk.StageState;
import ringtrue.ui.job.Direction;

/** Where the cut stays free of chatter: the map, and the cut as a marker in it. */
public final class LobesStage implements Stage {
  private final Desk desk;
  private LobesView view;

  /** Light; the view is made when it is shown. */
  public LobesStage(Desk desk) {
    this.desk = desk;
    act("lobes-take", "Move the cut with the arrow keys", "ctrl shift A", LobesView::takeCut);
    act("lobes-over", "Depth or width over speed", "ctrl shift W", LobesView::turnOver);
    act("lobes-chance-act", "Chance of no chatter", "ctrl shift K", v -> v.toggle(true));
    act("lobes-beside-act", "Quick look beside (zero-order)", "ctrl shift B", v -> v.toggle(false));
  }

  private void act(String id, String words, String keys, Consumer<LobesView> does) {
    desk.add(
        Act.of(id, Act.Group.STAGE, words, keys, () -> does.accept(view))
            .when(
                () -> view != null && desk.stage() == StageId.LOBES && desk.folder().isPresent()));
  }

  @Override
  public StageId id() {
    return StageId.LOBES;
  }

  @Override
  public JComponent view() {
    if (view == null) {
      view = new LobesView(desk);
    }
    return view;
  }

  @Override
  public void shown() {
    view.seen(true);
  }

  @Override
  public void hidden() {
    view.seen(false);
  }

  /** What the stage saw last, if the cut is still the same. */
  private Optional<WhatHappens> seen() {
    Optional<Here> here = view == null ? Optional.empty() : view.here();
    Optional<Cut> cut = desk.results().cut().value();
    boolean current =
        here.isPresent()
            && (desk.stage() == StageId.LOBES
                || cut.map(c -> c.process().equals(here.get().cut().process())).orElse(false));
    return current ? here.get().happens() : Optional.empty();
  }

  @Override
  public StageState state() {
    Finding<Cut> cut = desk.results().cut();
    if (cut.value().isEmpty() || !Here.gives(cut.value().get().process())) {
      return new StageState(StageState.Kind.OPEN, "");
    }
    List<Direction> unknown = Unknown.of(desk);
    List<String> doubts = desk.results().doubts();
    Optional<WhatHappens> seen = seen();
    if (!unknown.isEmpty() && seen.map(WhatHappens::stable).orElse(true)) {
      return new StageState(StageState.Kind.ATTENTION, Unknown.words(unknown));
    }
    if (!doubts.isEmpty() && seen.map(WhatHappens::stable).orElse(true)) {
      return new StageState(StageState.Kind.ATTENTION, doubts.get(0));
    }
    if (seen.isPresent()) {
      return new StageState(
          seen.get().stable() ? StageState.Kind.DONE : StageState.Kind.ATTENTION,
          seen.get().brief());
    }
    Optional<CutPlan.Limit> chatter =
        desk.results().plan().value().stream()
            .flatMap(p -> p.limits().stream())
            .filter(l -> l.name().equals("chatter"))
            .findFirst();
    if (chatter.isEmpty()) {
      return new StageState(StageState.Kind.BEGUN, "");
    }
    CutPlan.Limit limit = chatter.get();
    return limit.ok()
        ? new StageState(
            StageState.Kind.DONE,
            "stable, "
                + (desk.job().cut().turning() ? "chip width " : "depth ")
                + Readable.percent(1 - limit.share())
                + " below the limit")
        : new StageState(StageState.Kind.ATTENTION, "chatters");
  }

  @Override
  public Optional<NextStep> next() {
    Finding<Cut> cut = desk.results().cut();
    if (cut.value().isEmpty()) {
      return Optional.of(
          new NextStep(
              "Describe the cut", "tool, material and engagement", () -> desk.go(StageId.CUT)));
    }
    if (!Here.gives(cut.value().get().process())) {
      Direction first = desk.job().cut().directions().get(0);
      return Optional.of(
          new NextStep("Tap " + first.words(), "nothing gives yet", () -> desk.go(StageId.TAPS)));
    }
    return Optional.of(
        new NextStep("Plan the cut", "every limit, better cuts", () -> desk.go(StageId.CUT)));
  }
}

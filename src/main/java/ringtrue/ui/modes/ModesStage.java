package ringtrue.ui.modes;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import javax.swing.JComponent;
import ringtrue.ui.desk.Act;
import ringtrue.ui.desk.Desk;
import ringtrue.ui.desk.DirectionResult;
import ringtrue.ui.desk.Doubts;
import ringtrue.ui.desk.Finding;
import ringtrue.ui.desk.NextStep;
import ringtrue.ui.desk.Stage;
import ringtrue.ui.desk.StageId;
import ringtrue.ui.desk.StageState;
import ringtrue.ui.job.Measured;
import ringtrue.ui.response.DirectionPicker;

/** Natural frequencies, damping ratios and stiffnesses, and the say that the user has in them. */
public final class ModesStage implements Stage {
  private final Desk desk;
  private ModesPanel view;

  /** Light; the view is made when it is shown. */
  public ModesStage(Desk desk) {
    this.desk = desk;
    act(
        "modes-pick",
        "Pick or leave out the mode at the cursor",
        "F9",
        () -> panel().pickAtCursor());
    act(
        "modes-to-data",
        "Leave the modes to the data",
        "ctrl shift A",
        () -> panel().leaveToData());
    act("modes-usable-band", "Fit the usable band", "ctrl shift B", () -> panel().usableBand());
    act("modes-whole", "Show the whole band", "ctrl shift W", () -> panel().whole());
    act(
        "modes-frequency-axis",
        "Logarithmic frequency axis",
        "ctrl shift X",
        () -> panel().toggleAxis());
    act("modes-next-direction", "Next direction", "ctrl shift E", () -> DirectionPicker.next(desk));
  }

  private void act(String id, String what, String keys, Runnable action) {
    desk.add(
        Act.of(id, Act.Group.STAGE, what, keys, action)
            .when(() -> desk.folder().isPresent() && desk.stage() == StageId.MODES));
  }

  @Override
  public StageId id() {
    return StageId.MODES;
  }

  private ModesPanel panel() {
    if (view == null) {
      view = new ModesPanel(desk);
    }
    return view;
  }

  @Override
  public JComponent view() {
    return panel();
  }

  @Override
  public void shown() {
    panel().shown(true);
  }

  @Override
  public void hidden() {
    panel().shown(false);
  }

  @Override
  public StageState state() {
    List<Measured> all = desk.job().measured();
    if (all.isEmpty()) {
      return new StageState(StageState.Kind.OPEN, "not measured yet");
    }
    List<String> counts = new ArrayList<>();
    boolean working = false;
    boolean attention = false;
    boolean stiff = true;
    for (Measured each : all) {
      Finding<DirectionResult> found = desk.results().of(each.direction());
      if (!found.problem().isEmpty() || found.ready() && modes(found.value()) == 0) {
        return new StageState(
            StageState.Kind.ATTENTION,
            each.direction().words() + ": no mode; tap it again or widen the band");
      }
      Optional<String> left = found.value().filter(v -> found.ready()).flatMap(Doubts::unfitted);
      if (left.isPresent()) {
        return new StageState(
            StageState.Kind.ATTENTION, each.direction().words() + ": " + left.get());
      }
      working |= found.working();
      counts.add(found.working() ? "…" : String.valueOf(modes(found.value())));
      stiff &= found.working() || found.value().flatMap(DirectionResult::model).isPresent();
    }
    String words =
        String.join(" + ", counts)
            + (counts.equals(List.of("1")) ? " mode" : " modes")
            + (stiff ? "" : ", stiffness unknown");
    attention |= !stiff;
    return new StageState(
        working
            ? StageState.Kind.BEGUN
            : attention ? StageState.Kind.ATTENTION : StageState.Kind.DONE,
        working ? "fitting…" : words);
  }

  private static int modes(Optional<DirectionResult> result) {
    if (result.isEmpty()) {
      return 0;
    }
    DirectionResult r = result.get();
    return r.modes()
        .map(m -> m.model().modes().size())
        .or(() -> r.decays().map(d -> d.modes().modes().size()))
        .or(() -> r.saved().map(s -> s.modes().size()))
        .orElse(0);
  }

  @Override
  public Optional<NextStep> next() {
    if (desk.job().measured().isEmpty()) {
      return Optional.of(
          new NextStep("Tap", "nothing was measured yet", () -> desk.go(StageId.TAPS)));
    }
    boolean none =
        desk.job().measured().stream()
            .map(m -> desk.results().of(m.direction()))
            .anyMatch(f -> !f.working() && modes(f.value()) == 0);
    return Optional.of(
        none
            ? new NextStep("Tap again", "a direction has no mode", () -> desk.go(StageId.TAPS))
            : new NextStep(
                "See the lobes", "where the cut stays quiet", () -> desk.go(StageId.LOBES)));
  }
}

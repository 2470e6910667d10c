package ringtrue.ui.response;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.WeakHashMap;
import javax.swing.JComponent;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.ui.desk.Act;
import ringtrue.ui.desk.Desk;
import ringtrue.ui.desk.DirectionResult;
import ringtrue.ui.desk.Finding;
import ringtrue.ui.desk.NextStep;
import ringtrue.ui.desk.Stage;
import ringtrue.ui.desk.StageId;
import ringtrue.ui.desk.StageState;
import ringtrue.ui.job.Measured;

/** The averaged frequency response: how it looks, how far it can be trusted. */
public final class ResponseStage implements Stage {
  private final Desk desk;
  private final Map<FrequencyResponse, String> words = new WeakHashMap<>();
  private ResponsePanel view;

  /** Light; the view is made when it is shown. */
  public ResponseStage(Desk desk) {
    this.desk = desk;
    for (ResponseView each : ResponseView.values()) {
      act(
          "response-" + each.key(),
          "Show " + each.words().toLowerCase(Locale.ROOT),
          each.keys(),
          () -> panel().toggle(each));
    }
    act(
        "response-form",
        "Next form: receptance, mobility, accelerance",
        "ctrl shift F",
        () -> panel().nextForm());
    act(
        "response-frequency-axis",
        "Logarithmic frequency axis",
        "ctrl shift X",
        () -> panel().toggleFrequencyAxis());
    act(
        "response-magnitude-axis",
        "Logarithmic magnitude axis",
        "ctrl shift Y",
        () -> panel().toggleMagnitudeAxis());
    act("response-overlay", "Compare with others", "ctrl shift O", () -> panel().chooseOverlays());
    act("response-next-peak", "Cursor to the next peak", "F9", () -> panel().nextPeak());
    act(
        "response-next-direction",
        "Next direction",
        "ctrl shift E",
        () -> DirectionPicker.next(desk));
  }

  private void act(String id, String what, String keys, Runnable action) {
    desk.add(
        Act.of(id, Act.Group.STAGE, what, keys, action)
            .when(() -> desk.folder().isPresent() && desk.stage() == StageId.RESPONSE));
  }

  @Override
  public StageId id() {
    return StageId.RESPONSE;
  }

  private ResponsePanel panel() {
    if (view == null) {
      view = new ResponsePanel(desk);
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
    List<String> said = new ArrayList<>();
    boolean working = false;
    for (Measured each : all) {
      Finding<DirectionResult> found = desk.results().of(each.direction());
      if (!found.problem().isEmpty()) {
        return new StageState(
            StageState.Kind.ATTENTION, each.direction().words() + " failed; tap it again");
      }
      Optional<FrequencyResponse> response = found.value().flatMap(DirectionResult::response);
      working |= response.isEmpty() && found.working();
      response.ifPresent(r -> said.add(words(r)));
    }
    if (working) {
      return new StageState(StageState.Kind.BEGUN, "averaging…");
    }
    if (said.isEmpty()) {
      return new StageState(
          StageState.Kind.DONE,
          all.stream().allMatch(m -> m.kind() == Measured.Kind.SAVED)
              ? "saved modes"
              : "measured without force");
    }
    return new StageState(StageState.Kind.DONE, said.get(0));
  }

  private String words(FrequencyResponse r) {
    return words.computeIfAbsent(r, ResponseStage::summary);
  }

  /** In few words how far a response can be used. */
  static String summary(FrequencyResponse r) {
    double coherence = medianCoherence(r);
    return "usable "
        + ResponseContent.band(r)
        + (Double.isNaN(coherence)
            ? ""
            : String.format(Locale.ROOT, ", coherence %.2f", coherence));
  }

  /** Median coherence over the usable band; NaN where none is known. */
  static double medianCoherence(FrequencyResponse r) {
    int from = r.firstLineAtOrAbove(r.origin().bandLowHz());
    int to = r.firstLineAtOrAbove(r.origin().bandHighHz());
    double[] known = new double[Math.max(0, to - from)];
    int count = 0;
    for (int i = from; i < to; i++) {
      if (!Double.isNaN(r.coherence(i))) {
        known[count++] = r.coherence(i);
      }
    }
    if (count == 0) {
      return Double.NaN;
    }
    Arrays.sort(known, 0, count);
    return known[count / 2];
  }

  @Override
  public Optional<NextStep> next() {
    List<Measured> all = desk.job().measured();
    if (all.isEmpty()) {
      return Optional.of(
          new NextStep("Tap", "nothing was measured yet", () -> desk.go(StageId.TAPS)));
    }
    boolean failed =
        all.stream().anyMatch(m -> !desk.results().of(m.direction()).problem().isEmpty());
    return Optional.of(
        failed
            ? new NextStep("Tap again", "a direction cannot be used", () -> desk.go(StageId.TAPS))
            : new NextStep(
                "See the modes",
                "natural frequency, damping, stiffness",
                () -> desk.go(StageId.MODES)));
  }
}

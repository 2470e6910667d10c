package ringtrue.planning;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Progress;
import ringtrue.stability.CuttingCoefficients;
import ringtrue.stability.CuttingProcess;
import ringtrue.stability.Engagement;
import ringtrue.stability.Lobes;
import ringtrue.stability.LobesRequest;
import ringtrue.stability.StabilityMap;
import ringtrue.stability.Tool;

/** Cuts of a machine that is otherwise than its model in one known way. */
class OutcomeCheckTest {
  private static final double[] SPEEDS = {9000, 10500, 12000, 13500, 15000, 17000, 19000, 22000};

  private static CuttingProcess cut(double frequencyFactor, double coefficientFactor) {
    Tool tool =
        new Tool(
            0.01,
            List.of(0.0, 0.0),
            List.of(Math.PI, Math.PI),
            Double.NaN,
            Double.NaN,
            0,
            Double.NaN);
    Mode x = new Mode(850, 0.02, 3e6, 8, 0.001, 1e5, -90);
    Mode y = new Mode(1100 * frequencyFactor, 0.018, 2.2e6, 12, 0.001, 1e5, -90);
    return new CuttingProcess(
        CuttingProcess.Operation.MILLING,
        Optional.of(tool),
        Engagement.of(Engagement.Direction.DOWN, 0.002, 0.001, 0.01),
        new CuttingCoefficients(8e8 * coefficientFactor, 2.5e8 * coefficientFactor, 0, 0, 0.2),
        List.of(ModalModel.of(x)),
        List.of(ModalModel.of(y)),
        12000,
        5e-5,
        0,
        List.of(),
        0);
  }

  /** What the true machine does just above and below its own limits. */
  private static List<OutcomeCheck.Trial> trials(
      CuttingProcess truth, double margin, boolean heard) {
    List<OutcomeCheck.Trial> trials = new ArrayList<>();
    for (double rpm : SPEEDS) {
      StabilityMap.Line line =
          Lobes.compute(
                  truth,
                  new LobesRequest(
                      StabilityMap.Over.DEPTH, Optional.empty(), List.of(rpm), 0.03, List.of()),
                  Progress.NONE)
              .lines()
              .get(0);
      for (int side : new int[] {-1, 1}) {
        double depth = line.limitM() * (1 + side * margin);
        CuttingProcess at = truth.atSpeed(rpm).with(truth.engagement().withAxial(depth));
        boolean stable =
            line.stable().stream().anyMatch(s -> depth >= s.fromM() && depth <= s.toM());
        trials.add(
            new OutcomeCheck.Trial(
                "trial " + rpm + (side > 0 ? " above" : " below"),
                at,
                !stable,
                stable || !heard ? Double.NaN : line.chatterHz()));
      }
    }
    return trials;
  }

  @Test
  void cutsOfTheModelItselfAgree() {
    CuttingProcess model = cut(1, 1);
    OutcomeCheck.Result result = OutcomeCheck.of(model, trials(model, 0.05, true), Progress.NONE);
    assertThat(result.contradictions()).isZero();
    assertThat(result.judged()).allMatch(OutcomeCheck.Judged::frequencyAgrees);
    assertThat(result.causes()).isEmpty();
    assertThat(result.sentences()).containsExactly("all 16 cuts that were made agree with the map");
  }

  @Test
  void aModeThatMovedIsFound() {
    OutcomeCheck.Result result =
        OutcomeCheck.of(cut(1, 1), trials(cut(1.03, 1), 0.05, false), Progress.NONE);
    assertThat(result.contradictions()).isPositive();
    OutcomeCheck.Cause cause = result.causes().get(0);
    assertThat(cause.kind()).isEqualTo(OutcomeCheck.Kind.MODE_FREQUENCY);
    assertThat(cause.frequencyHz()).isEqualTo(1100);
    assertThat(cause.left()).isZero();
    assertThat(cause.explained()).isEqualTo(result.contradictions());
    assertThat(cause.factor()).isBetween(1.01, 1.035);
    assertThat(cause.sigmas()).isCloseTo(Math.log(cause.factor()) / (12.0 / 1100), within(1e-9));
    assertThat(result.sentences())
        .anySatisfy(
            s ->
                assertThat(s)
                    .startsWith("most likely: the natural frequency of the mode at 1100 Hz in y"));
  }

  /** Two cuts close below and above the border of the true machine leave 1.2 % for the factor. */
  @Test
  void aNarrowWindowOfCoefficientsIsFound() {
    for (double truth : new double[] {0.738, 0.762, 1.311}) {
      OutcomeCheck.Result result =
          OutcomeCheck.of(cut(1, 1), trials(cut(1, truth), 0.006, false), Progress.NONE);
      assertThat(result.contradictions()).isPositive();
      OutcomeCheck.Cause cause =
          result.causes().stream()
              .filter(c -> c.kind() == OutcomeCheck.Kind.COEFFICIENTS)
              .findFirst()
              .orElseThrow();
      assertThat(cause.left()).as("%s: %s", truth, cause).isZero();
      assertThat(cause.factor()).isBetween(0.994 * truth, 1.007 * truth);
      assertThat(cause.farthestFactor()).isBetween(0.993 * truth, 1.007 * truth);
    }
  }

  @Test
  void otherCoefficientsAreFound() {
    OutcomeCheck.Result result =
        OutcomeCheck.of(cut(1, 1), trials(cut(1, 1.3), 0.05, true), Progress.NONE);
    assertThat(result.contradictions()).isPositive();
    OutcomeCheck.Cause cause = result.causes().get(0);
    assertThat(cause.kind()).isEqualTo(OutcomeCheck.Kind.COEFFICIENTS);
    assertThat(cause.left()).isZero();
    assertThat(cause.factor()).isBetween(1.2, 1.37);
  }

  @Test
  void whatNothingPlausibleExplainsIsSaidToBeUnexplained() {
    CuttingProcess model = cut(1, 1);
    CuttingProcess tiny = model.with(model.engagement().withAxial(1e-6));
    OutcomeCheck.Result result =
        OutcomeCheck.of(
            model,
            List.of(new OutcomeCheck.Trial("scratch", tiny, true, Double.NaN)),
            Progress.NONE);
    assertThat(result.contradictions()).isEqualTo(1);
    assertThat(result.causes()).isEmpty();
    assertThat(result.sentences()).anySatisfy(s -> assertThat(s).contains("no plausible change"));
  }
}

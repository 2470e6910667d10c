package ringtrue.ui.response;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import org.junit.jupiter.api.Test;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.ResponseForm;
import ringtrue.report.LengthUnit;
import ringtrue.ui.plot.PlotContent;
import ringtrue.ui.plot.Scale;

/** What plots of a response hold, against a single mode in closed form. */
class ResponseContentTest {
  private static final double FN = 800;
  private static final double K = 5e6;
  private static final double ZETA = 0.02;

  private static FrequencyResponse measured() {
    return Trace.model("", ModalModel.of(Mode.of(FN, ZETA, K)), 100, 3000, Trace.Kind.MODEL)
        .response();
  }

  private static ResponseContent.Choice choice(ResponseForm form, LengthUnit unit) {
    return new ResponseContent.Choice(form, unit, true, true);
  }

  private static ResponseContent content(ResponseForm form, LengthUnit unit) {
    return new ResponseContent(List.of(Trace.measured("tool x", measured())), choice(form, unit));
  }

  @Test
  void atResonanceTheReceptanceIsOneOverTwoZetaK() {
    double[] at = content(ResponseForm.RECEPTANCE, LengthUnit.MILLIMETRE).place(FN);
    assertThat(at[1]).isCloseTo(-1e6 / (2 * ZETA * K), within(1e-3));
    assertThat(at[0]).isCloseTo(0, within(0.02));
  }

  @Test
  void mobilityAndAccelerancePlacesFollowByOmega() {
    double omega = 2 * Math.PI * FN;
    double receptance = 1 / (2 * ZETA * K);
    double[] mobility = content(ResponseForm.MOBILITY, LengthUnit.MILLIMETRE).place(FN);
    assertThat(mobility[0]).isCloseTo(1e3 * omega * receptance, within(0.01));
    double[] accelerance = content(ResponseForm.ACCELERANCE, LengthUnit.MILLIMETRE).place(FN);
    assertThat(accelerance[1]).isCloseTo(omega * omega * receptance, within(0.1));
  }

  @Test
  void inchesAndPoundsAreUnitsOnly() {
    FormUnit inch = FormUnit.of(ResponseForm.RECEPTANCE, LengthUnit.INCH);
    assertThat(inch.symbol()).isEqualTo("in/lbf");
    assertThat(inch.perSi()).isCloseTo(4.4482216152605 / 0.0254, within(1e-9));
    assertThat(FormUnit.stiffness(LengthUnit.INCH).perSi())
        .isCloseTo(0.0254 / 4.4482216152605, within(1e-12));
    assertThat(FormUnit.stiffness(LengthUnit.MILLIMETRE).perSi()).isCloseTo(1e-6, within(1e-18));
    assertThat(content(ResponseForm.MOBILITY, LengthUnit.INCH).of(ResponseView.REAL).y().label())
        .isEqualTo("real part of mobility (in/(s lbf))");
  }

  @Test
  void axesAreAsChosenAndShowTheBandWithItsSurroundings() {
    PlotContent log =
        content(ResponseForm.RECEPTANCE, LengthUnit.MILLIMETRE).of(ResponseView.MAGNITUDE);
    assertThat(log.x().scale()).isEqualTo(Scale.LOG);
    assertThat(log.y().scale()).isEqualTo(Scale.LOG);
    assertThat(log.x().from()).isBetween(50.0, 100.0);
    assertThat(log.x().to()).isBetween(3000.0, 4000.0);
    PlotContent linear =
        new ResponseContent(
                List.of(Trace.measured("tool x", measured())),
                new ResponseContent.Choice(
                    ResponseForm.RECEPTANCE, LengthUnit.MILLIMETRE, false, false))
            .of(ResponseView.MAGNITUDE);
    assertThat(linear.x().scale()).isEqualTo(Scale.LINEAR);
    assertThat(linear.y().to()).isCloseTo(1.08 * 1e6 / (2 * ZETA * K), within(0.05));
  }

  @Test
  void theUsableBandIsSaidInWordsAndItsCoherenceIsTheMedian() {
    FrequencyResponse r = measured();
    assertThat(ResponseStage.summary(r)).isEqualTo("usable 100 to 3000 Hz");
    double[] coherence = new double[r.lines()];
    java.util.Arrays.fill(coherence, 0.98);
    coherence[r.lines() / 2] = 0.1;
    FrequencyResponse known =
        new FrequencyResponse(
            r.frequencies(),
            new double[r.lines()],
            new double[r.lines()],
            coherence,
            null,
            r.origin());
    assertThat(ResponseStage.summary(known)).isEqualTo("usable 100 to 3000 Hz, coherence 0.98");
  }

  @Test
  void everyViewCanBeBuiltWithOthersLaidOver() {
    List<Trace> both =
        List.of(
            Trace.measured("tool x", measured()),
            Trace.other("tool y", measured()),
            Trace.model(
                "fitted", ModalModel.of(Mode.of(FN, ZETA, K)), measured(), Trace.Kind.MODEL));
    for (ResponseForm form : ResponseForm.values()) {
      for (ResponseView view : ResponseView.values()) {
        PlotContent plot = new ResponseContent(both, choice(form, LengthUnit.INCH)).of(view);
        assertThat(plot.layers().stream().map(l -> l.name()))
            .as(form + " " + view)
            .contains("tool x", "tool y", "fitted");
      }
    }
  }
}

package ringtrue.ui.simulation;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.nio.file.Path;
import org.junit.jupiter.api.Test;
import ringtrue.dynamics.Progress;
import ringtrue.library.Catalogue;
import ringtrue.library.Cut;
import ringtrue.library.CutFile;
import ringtrue.report.LengthUnit;
import ringtrue.stability.CutTrace;
import ringtrue.stability.Engagement;
import ringtrue.ui.plot.PlotContent;

class SimulatedTest {
  private static final Simulated CUT = simulated();

  private static Simulated simulated() {
    Cut cut =
        CutFile.read(
            Path.of("demo-measurements/cut-pocket-8mm.json"), Catalogue.bundled(), Progress.NONE);
    return Simulated.of(cut, Progress.NONE);
  }

  @Test
  void aToothThatIsDrawnInTheArcIsTheOneThatCuts() {
    CutTrace trace = CUT.result().trace();
    Engagement e = CUT.process().engagement();
    double[] tips = CutterPicture.tips(CUT);
    double lag =
        2
            * e.axialM()
            * Math.tan(CUT.process().tool().orElseThrow().helixRad().get(0))
            / CUT.process().tool().orElseThrow().diameterM();
    double slack = 4 * Math.PI / trace.stepsPerTurn() + 0.02;
    int cutting = 0;
    for (int i = 0; i < trace.size(); i++) {
      for (int j = 0; j < tips.length; j++) {
        double tip = CutterPicture.angle(trace, tips[j], i);
        if (trace.chipM(j, i) > 0) {
          cutting++;
          assertThat(tip).isBetween(e.entryRad() - slack, e.exitRad() + lag + slack);
        }
      }
    }
    assertThat(cutting).isPositive();
  }

  @Test
  void factorsAreRound() {
    assertThat(CutterPicture.factor(237)).isEqualTo(200);
    assertThat(CutterPicture.factor(99)).isEqualTo(50);
    assertThat(CutterPicture.factor(1.4)).isEqualTo(1);
    assertThat(CutterPicture.factor(0.2)).isEqualTo(1);
    assertThat(CutterPicture.factor(Double.NaN)).isEqualTo(1);
    assertThat(CutterPicture.factor(Double.POSITIVE_INFINITY)).isEqualTo(1);
  }

  @Test
  void chartsHoldWhatWasKept() {
    CutTrace trace = CUT.result().trace();
    PlotContent chart = new TraceCharts(trace, LengthUnit.MILLIMETRE, false).displacement();
    assertThat(chart.isEmpty()).isFalse();
    assertThat(chart.x().to()).isCloseTo(1e3 * trace.stepS() * (trace.size() - 1), within(1e-9));
    assertThat(chart.layers()).extracting(l -> l.name()).contains("along the feed");
  }

  @Test
  void itSaysThatItIsAModel() {
    assertThat(CUT.words()).anyMatch(w -> w.contains("model"));
    assertThat(CUT.figures(LengthUnit.MILLIMETRE)).contains("largest force");
  }

  @Test
  void theSoundIsNeverPlayedLoud() {
    double[] loud = new double[4800];
    java.util.Arrays.fill(loud, 1e6);
    byte[] bytes = new byte[2 * loud.length];
    SoundPlayer.pcm(loud, 0, loud.length, 1e6, SoundPlayer.LOUDEST, 48_000, bytes);
    int most = 0;
    for (int i = 0; i < loud.length; i++) {
      most = Math.max(most, Math.abs((bytes[2 * i + 1] << 8) | (bytes[2 * i] & 0xFF)));
    }
    assertThat(most).isEqualTo((int) Math.round(32767 * SoundPlayer.LOUDEST));
    assertThat(bytes[0]).isZero();
    assertThat(bytes[1]).isZero();
  }
}

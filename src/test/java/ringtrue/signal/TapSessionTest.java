package ringtrue.signal;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.util.List;
import org.junit.jupiter.api.Test;
import ringtrue.acquisition.BlowPlan;
import ringtrue.acquisition.MemoryRecording;
import ringtrue.acquisition.Recording;
import ringtrue.acquisition.RigChannel;
import ringtrue.acquisition.TapRecording;
import ringtrue.acquisition.VirtualRig;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Progress;

class TapSessionTest {
  private static final double FS = 48000;
  private static final Mode TIP = Mode.of(1240, 0.016, 2.1e6);
  private static final RigChannel HAMMER = RigChannel.of(2.25e-3, 1).withNoise(0.05e-3);
  private static final RigChannel SENSOR = RigChannel.of(1.04e-3, 10).withNoise(0.1e-3);
  private static final VirtualRig RIG = VirtualRig.of(TIP).withInputs(HAMMER, SENSOR);
  private static final BlowPlan PLAN =
      BlowPlan.of(8, 0.6, 40, 3e-4).withFirstOnset(1.2).withSpread(0.1, 0.15, 0.05, 0.03);

  @Test
  void averagesAreThoseOfTheRecording() throws IOException {
    Replayed live =
        live(RIG, PLAN.withDoubleHit(3, 0.004, 0.4).withStrength(5, 0.08), TapSession.Goal.taps(0))
            .run(441);
    compare(live);
  }

  private static void compare(Replayed live) throws IOException {
    live.session.settle();
    AveragedResponse now = live.session.averaged().orElseThrow();
    AveragedResponse later =
        ResponseEstimator.estimate(
            live.about, live.session.processing().orElseThrow(), Progress.NONE);
    assertThat(later.response().lines()).isEqualTo(now.response().lines());
    for (int i = 0; i < now.response().lines(); i++) {
      assertThat(now.response().real(i)).isEqualTo(later.response().real(i));
      assertThat(now.response().imag(i)).isEqualTo(later.response().imag(i));
      assertThat(now.response().coherence(i)).isEqualTo(later.response().coherence(i));
    }
    assertThat(now.response().origin().bandHighHz())
        .isEqualTo(later.response().origin().bandHighHz());
    assertThat(now.response().origin().bandLowHz())
        .isEqualTo(later.response().origin().bandLowHz());
  }

  private static Replayed live(VirtualRig rig, BlowPlan plan, TapSession.Goal goal)
      throws IOException {
    Recording recording =
        MemoryRecording.copyOf(rig.record("taps", FS, plan.durationS(7), plan.blows(7), 11));
    TapRecording about = rig.measurement("rig", "x", "tip", List.of(recording));
    return new Replayed(about, Processing.AUTOMATIC, goal);
  }
}

package ringtrue.signal;

import java.io.IOException;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import ringtrue.acquisition.BlowPlan;
import ringtrue.acquisition.MemoryRecording;
import ringtrue.acquisition.RigChannel;
import ringtrue.acquisition.TapRecording;
import ringtrue.acquisition.VirtualRig;
import ringtrue.dynamics.Mode;

/**
 * How long after the last sample of a tap's block its verdict and the new average are there: the
 * computing, and up to 10 ms until the step is full. The part of the sound input is not in it.
 */
public final class TapLatencyBench {
  private static final int TAPS = 30;

  private TapLatencyBench() {}

  public static void main(String[] arguments) throws IOException {
    for (double rate : new double[] {48_000, 96_000, 192_000}) {
      run(rate, false);
      run(rate, true);
    }
  }

  private static void run(double rate, boolean report) throws IOException {
    VirtualRig rig =
        VirtualRig.of(Mode.of(64, 0.03, 4e6), Mode.of(1240, 0.016, 2.1e6))
            .withInputs(
                RigChannel.of(2.25e-3, 1).withNoise(5e-6), RigChannel.of(1.04e-3, 10).withNoise(1e-5));
    BlowPlan plan =
        BlowPlan.of(TAPS, 2, 40, 3e-4).withFirstOnset(1.5).withSpread(0.02, 0.15, 0.05, 0.03);
    MemoryRecording recording =
        MemoryRecording.copyOf(rig.record("taps", rate, plan.durationS(1), plan.blows(1), 1));
    TapRecording about = rig.measurement("bench", "x", "tip", List.of(recording));
    double[] force = recording.channel(1);
    double[] response = recording.channel(2);
    TapSession session =
        new TapSession(
            about,
            Processing.AUTOMATIC,
            TapSession.Goal.taps(0),
            (frame, count, into) -> {
              for (int i = 0; i < count; i++) {
                into[2 * i] = force[(int) frame + i];
                into[2 * i + 1] = response[(int) frame + i];
              }
            });
    int portion = (int) (rate / 100);
    double[] frames = new double[2 * portion];
    double[] took = new double[TAPS];
    int judged = 0;
    long busy = System.nanoTime();
    for (int at = 0; at + portion <= force.length; at += portion) {
      for (int i = 0; i < portion; i++) {
        frames[2 * i] = force[at + i];
        frames[2 * i + 1] = response[at + i];
      }
      long before = System.nanoTime();
      List<TapEvent> events = session.take(frames, portion);
      if (events.stream().anyMatch(e -> e instanceof TapEvent.Judged) && judged < TAPS) {
        session.averaged();
        took[judged++] = (System.nanoTime() - before) * 1e-6;
      }
    }
    busy = System.nanoTime() - busy;
    if (report) {
      double first = took[0];
      double[] sorted = Arrays.copyOf(took, judged);
      Arrays.sort(sorted);
      System.out.printf(
          Locale.ROOT,
          "%.0f Hz, block %.3g s: first verdict %.1f ms, median %.1f ms, longest %.1f ms;"
              + " %.2f %% of one core%n",
          rate,
          session.taps().get(0).frames() / rate,
          first,
          sorted[judged / 2],
          sorted[judged - 1],
          100 * busy * 1e-9 / (force.length / rate));
    }
  }
}

package ringtrue.signal;

import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import ringtrue.acquisition.Channel;
import ringtrue.acquisition.Recording;
import ringtrue.acquisition.TapFinder.Onset;
import ringtrue.dynamics.Progress;

/**
 * Finds blows in a ringing response, reading it as a stream. A blow is where the response reaches
 * the trigger level and at least {@link #JUMP} times what it was shortly before; where the last one
 * still rings, its change from sample to sample must jump as well. Ringing that dies out or beats
 * does not do both; so a tap counts although the one before still rings, and a beat does not.
 */
final class ResponseOnsets {
  private static final int READ = 1 << 14;
  private static final double JUMP = 2;

  /** The response is looked over in steps of this. */
  private static final double STEP_S = 0.0005;

  /** What was "shortly before" ends this long ago, and reaches back over {@link #LOOK_BACK_S}. */
  private static final double RISE_S = 0.004;

  private static final double LOOK_BACK_S = 0.04;

  /** After so long below half the trigger level the response is at rest. */
  private static final double REST_S = 0.15;

  /** A response goes on rising for some time after a blow. */
  private static final double HOLD_OFF_S = 0.01;

  private final double level;
  private final int recording;
  private final int step;
  private final double[] before;
  private final double[] changes;
  private final int gap;
  private final long holdOff;
  private final long rest;
  private final List<Onset> found;

  private long frame;
  private int inStep;
  private double most;
  private double mostChange;
  private double last;
  private long loud = Long.MIN_VALUE / 2;
  private long reached = -1;
  private long steps;
  private long onset = -1;
  private double peak;

  private ResponseOnsets(double level, int recording, double fs, List<Onset> found) {
    this.level = level;
    this.recording = recording;
    this.step = (int) Math.max(1, Math.round(STEP_S * fs));
    this.gap = (int) Math.max(1, Math.round(RISE_S * fs / step));
    int back = (int) Math.max(4, Math.round(LOOK_BACK_S * fs / step));
    this.before = new double[gap + back];
    this.changes = new double[gap + back];
    this.rest = Math.round(REST_S * fs);
    this.holdOff = Math.max(3L * step, Math.round(HOLD_OFF_S * fs));
    this.found = found;
  }

  /**
   * @param recordings one or more
   * @param channel the sensor's channel
   * @param offsets resting value in each recording, SI
   * @param level trigger level, SI, positive
   * @param progress told from 0 to 1
   * @return onsets in order, with the largest response until the next
   */
  static List<Onset> find(
      List<Recording> recordings,
      Channel channel,
      List<Double> offsets,
      double level,
      Progress progress)
      throws IOException {
    List<Onset> found = new ArrayList<>();
    for (int r = 0; r < recordings.size(); r++) {
      Recording recording = recordings.get(r);
      ResponseOnsets watch = new ResponseOnsets(level, r, recording.sampleRateHz(), found);
      double[][] into = new double[recording.channels()][];
      double[] numbers = new double[READ];
      into[channel.number() - 1] = numbers;
      try (Recording.Cursor cursor = recording.from(0)) {
        for (int n = cursor.read(into, 0, READ); n > 0; n = cursor.read(into, 0, READ)) {
          for (int i = 0; i < n; i++) {
            watch.see(numbers[i] * channel.scale() - offsets.get(r));
          }
          progress.at(
              (r + (double) watch.frame / recording.frames()) / recordings.size(),
              "looking for taps in " + recording.name());
        }
      }
      watch.finish();
    }
    return List.copyOf(found);
  }

  private void see(double value) {
    double size = Math.abs(value);
    double change = frame == 0 ? 0 : Math.abs(value - last);
    last = value;
    most = size > most ? size : most;
    mostChange = change > mostChange ? change : mostChange;
    if (reached < 0 && size >= level) {
      reached = frame;
    }
    frame++;
    if (++inStep == step) {
      endStep();
    }
  }

  private void endStep() {
    if (reached >= 0
        && (onset < 0 || reached - onset >= holdOff)
        && most >= JUMP * calmer(before)
        && (reached - loud > rest || mostChange >= JUMP * calmer(changes))) {
      close();
      onset = reached;
      peak = 0;
    }
    if (onset >= 0) {
      peak = Math.max(peak, most);
    }
    if (most >= level / 2) {
      loud = frame - 1;
    }
    int place = (int) (steps++ % before.length);
    before[place] = most;
    changes[place] = mostChange;
    most = 0;
    mostChange = 0;
    reached = -1;
    inStep = 0;
  }

  /** Largest response in the steps shortly before. */
  private double calmer(double[] past) {
    double largest = 0;
    for (long s = Math.max(0, steps - past.length); s <= steps - gap; s++) {
      largest = Math.max(largest, past[(int) (s % past.length)]);
    }
    return largest;
  }

  private void finish() {
    if (inStep > 0) {
      endStep();
    }
    close();
  }

  private void close() {
    if (onset >= 0) {
      found.add(new Onset(recording, onset, peak));
      onset = -1;
    }
  }
}

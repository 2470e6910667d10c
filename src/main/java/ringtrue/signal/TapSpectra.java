package ringtrue.signal;

import java.util.Arrays;
import java.util.List;
import ringtrue.acquisition.TapRecording;
import ringtrue.dynamics.FrequencyResponse;

/**
 * The spectra of each kept tap in a band, from which any choice of the taps can be averaged as the
 * whole was: same windows, estimator, sensor mass and usable band. Immutable; may be used from
 * several threads.
 */
public final class TapSpectra {
  private final AveragedResponse averaged;
  private final TapRecording recording;
  private final Planner.Plan plan;
  private final List<Averages> each;
  private final double[] forceN;

  TapSpectra(
      AveragedResponse averaged,
      TapRecording recording,
      Planner.Plan plan,
      List<JudgedTap> kept,
      List<Averages> each) {
    this.averaged = averaged;
    this.recording = recording;
    this.plan = plan;
    this.each = List.copyOf(each);
    this.forceN = kept.stream().mapToDouble(j -> j.pulse.largest()).toArray();
  }

  /** Number of taps. */
  public int taps() {
    return each.size();
  }

  /** Peak force of a tap, N; taps are counted from 0 here, in the order of the recordings. */
  public double peakForceN(int tap) {
    return forceN[tap];
  }

  /** The response of one tap alone, with coherence and error unknown. */
  public FrequencyResponse of(int tap) {
    int[] times = new int[taps()];
    times[tap] = 1;
    return average(times);
  }

  /** The response of all taps once: the averaged response in the band. */
  public FrequencyResponse all() {
    int[] times = new int[taps()];
    Arrays.fill(times, 1);
    return average(times);
  }

  /**
   * The response averaged over some of the taps.
   *
   * @param times how many times each tap counts, 0 or more, at least one of them 1 or more
   */
  public FrequencyResponse average(int[] times) {
    if (times.length != taps()) {
      throw new IllegalArgumentException(times.length + " numbers for " + taps() + " taps");
    }
    Averages some = new Averages(each.get(0).first(), each.get(0).lines());
    for (int t = 0; t < times.length; t++) {
      if (times[t] < 0) {
        throw new IllegalArgumentException("a tap cannot count " + times[t] + " times");
      }
      if (times[t] > 0) {
        some.add(each.get(t), times[t]);
      }
    }
    if (some.taps() == 0) {
      throw new IllegalArgumentException("an average needs at least one tap");
    }
    ResponseEstimator.Lines lines =
        ResponseEstimator.lines(
            plan.shape(), some, plan.estimator(), recording.quantity(), recording.skewS());
    if (recording.sensorMassKg() > 0) {
      lines.takeSensorOff(recording.sensorMassKg(), plan.shape(), some.taps(), averaged.shared());
    }
    FrequencyResponse.Origin origin = averaged.response().origin();
    return new FrequencyResponse(
        lines.frequency(),
        lines.real(),
        lines.imag(),
        lines.coherence(),
        lines.error(),
        new FrequencyResponse.Origin(
            origin.axis(),
            origin.point(),
            some.taps(),
            origin.windowTimeConstantS(),
            origin.bandLowHz(),
            origin.bandHighHz(),
            origin.source(),
            List.of()));
  }
}

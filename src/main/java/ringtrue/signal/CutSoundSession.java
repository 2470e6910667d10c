package ringtrue.signal;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import ringtrue.dynamics.Progress;

/**
 * Reads the sound of a cut as it comes. Every second the last {@value #WINDOW_S} s are judged, so
 * that a change is said within {@value #LATEST_S} s of its beginning; the machine has time to
 * spare, since judging takes a few hundredths of a second. Sound from before the entry is kept and
 * used as what sounds in air.
 */
public final class CutSoundSession {
  static final double WINDOW_S = 4;

  /** A line must be there in half of a window before it counts, and windows end every second. */
  public static final double LATEST_S = 3.5;

  private static final double EVERY_S = 1;
  private static final double KEPT_S = 60;
  private static final double LEAST_AIR_S = 0.5;

  private final CutSoundReader reader;
  private final double sampleRateHz;
  private final List<AirSound> air;
  private final double[] kept;
  private long samples;
  private long judgedAt;
  private Optional<HeardCut> last = Optional.empty();
  private AirSound heardAir;

  /**
   * Begins to listen.
   *
   * @param reader knows the cut
   * @param sampleRateHz samples per second
   * @param airSamples a recording in air at the same rate, fractions of full scale; empty for none
   */
  public CutSoundSession(CutSoundReader reader, double sampleRateHz, double[] airSamples) {
    this.reader = reader;
    this.sampleRateHz = sampleRateHz;
    this.air = new ArrayList<>();
    if (airSamples.length > 0) {
      air.add(new AirSound(airSamples, 0, airSamples.length, sampleRateHz, false));
    }
    this.kept = new double[(int) (KEPT_S * sampleRateHz)];
  }

  /**
   * Takes samples.
   *
   * @param block samples, fractions of full scale
   * @param count how many of them
   * @return what the last seconds sound like, if another second is over
   */
  public Optional<HeardCut> take(double[] block, int count) {
    for (int i = 0; i < count; i++) {
      kept[(int) ((samples + i) % kept.length)] = block[i];
    }
    samples += count;
    if (samples - judgedAt < EVERY_S * sampleRateHz) {
      return Optional.empty();
    }
    judgedAt = samples;
    double[] window = latest(WINDOW_S);
    HeardCut now =
        reader.read(
            window, sampleRateHz, timeS() - window.length / sampleRateHz, allAir(), Progress.NONE);
    keepAir(now, window);
    last = Optional.of(now);
    return last;
  }

  private List<AirSound> allAir() {
    List<AirSound> all = new ArrayList<>(air);
    if (heardAir != null) {
      all.add(heardAir);
    }
    return all;
  }

  /** What came before the entry in a window that holds one is how it sounds in air. */
  private void keepAir(HeardCut now, double[] window) {
    double start = timeS() - window.length / sampleRateHz;
    int before = (int) ((now.fromS() - start) * sampleRateHz);
    boolean heard = now.verdict() != HeardCut.Verdict.NOTHING_HEARD;
    if (heardAir == null && heard && before > 2 * LEAST_AIR_S * sampleRateHz) {
      // what is near the entry may be the entry itself
      heardAir =
          new AirSound(window, 0, (int) (before - LEAST_AIR_S * sampleRateHz), sampleRateHz, true);
    }
  }

  /** How long it has listened, s. */
  public double timeS() {
    return samples / sampleRateHz;
  }

  /** The last seconds, or fewer if there were not so many; at most a minute. */
  public double[] latest(double seconds) {
    int n = (int) Math.min(Math.min(samples, kept.length), Math.ceil(seconds * sampleRateHz));
    double[] out = new double[n];
    int at = (int) ((samples - n) % kept.length);
    int first = Math.min(n, kept.length - at);
    System.arraycopy(kept, at, out, 0, first);
    System.arraycopy(kept, 0, out, first, n - first);
    return out;
  }

  /** The whole of the last minute, read once more with all that is known by now. */
  public HeardCut result(Progress progress) {
    double[] all = latest(KEPT_S);
    return reader.read(
        Arrays.copyOf(all, all.length),
        sampleRateHz,
        timeS() - all.length / sampleRateHz,
        allAir(),
        progress);
  }
}

package ringtrue.signal;

import java.util.Arrays;
import java.util.HashMap;
import java.util.Map;

/**
 * What sounds while nothing is cut: another recording with the spindle running in air, or the part
 * of a recording before the entry or after the exit.
 */
final class AirSound {
  private static final double MOST_S = 20;

  private final double[] samples;
  private final double sampleRateHz;
  private final boolean sameRecording;
  private final Map<Integer, float[]> spectra = new HashMap<>();

  /**
   * @param samples copied, up to 20 s of it
   * @param from first sample
   * @param to end, exclusive
   * @param sameRecording whether speed, microphone and gain are those of the cut
   */
  AirSound(double[] samples, int from, int to, double sampleRateHz, boolean sameRecording) {
    int end = (int) Math.min(to, from + MOST_S * sampleRateHz);
    this.samples = Arrays.copyOfRange(samples, from, end);
    this.sampleRateHz = sampleRateHz;
    this.sameRecording = sameRecording;
  }

  boolean sameRecording() {
    return sameRecording;
  }

  double lengthS() {
    return samples.length / sampleRateHz;
  }

  /** The mean of its short spectra, with frames no longer than it lasts. */
  private float[] spectrum(int wanted) {
    return spectra.computeIfAbsent(
        wanted,
        n -> {
          int size = n;
          while (size > samples.length && size > 64) {
            size /= 2;
          }
          if (size > samples.length) {
            return new float[4];
          }
          SoundFrames frames = SoundFrames.of(samples, 0, samples.length, sampleRateHz, size);
          float[] mean = new float[frames.bins()];
          for (int t = 0; t < frames.count(); t++) {
            float[] p = frames.frame(t);
            for (int k = 0; k < mean.length; k++) {
              mean[k] += p[k] / frames.count();
            }
          }
          return mean;
        });
  }

  /**
   * Largest power of a line within so much of a frequency.
   *
   * @param size samples of a frame at best
   */
  double powerNear(double frequencyHz, double withinHz, int size) {
    float[] p = spectrum(size);
    double binHz = Math.min(SoundFrames.TOP_HZ, sampleRateHz / 2) / p.length;
    double[] top = new double[2];
    SoundFrames.top(p, frequencyHz / binHz, Math.max(1, withinHz / binHz), top);
    return top[1];
  }
}

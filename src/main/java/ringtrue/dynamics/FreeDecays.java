package ringtrue.dynamics;

import java.util.List;
import java.util.Optional;

/**
 * What a structure does after blows whose force nobody measured: the response to each, from the
 * blow's onset until the next one comes or nothing is left. Immutable.
 *
 * @param sampleRateHz samples per second
 * @param taps one stretch of response for each tap, in SI units
 * @param quiet the sensor at rest, longest stretch known; empty where none is
 * @param slowPoles rates of decaying exponentials that the measuring chain adds, 1/s: {@code 2π fc}
 *     of each first-order high-pass
 * @param blowS how long after the onset the blow may still act, s, where the user said so
 * @param asked taps, numbered from 0, that the user wants used whatever they look like
 */
public record FreeDecays(
    double sampleRateHz,
    List<Stretch> taps,
    Stretch quiet,
    List<Double> slowPoles,
    Optional<Double> blowS,
    List<Integer> asked) {

  public FreeDecays {
    if (!(sampleRateHz > 0) || Double.isInfinite(sampleRateHz)) {
      throw new IllegalArgumentException("sample rate must be positive, was " + sampleRateHz);
    }
    taps = List.copyOf(taps);
    slowPoles = List.copyOf(slowPoles);
    asked = List.copyOf(asked);
  }

  /** The same without some of its taps, numbered from 0. */
  public FreeDecays without(List<Integer> left) {
    List<Stretch> rest =
        java.util.stream.IntStream.range(0, taps.size())
            .filter(i -> !left.contains(i))
            .mapToObj(taps::get)
            .toList();
    return new FreeDecays(sampleRateHz, rest, quiet, slowPoles, blowS, List.of());
  }

  /** Samples of one channel, SI. */
  public static final class Stretch {
    private final double[] samples;

    /**
     * @param samples copied
     */
    public Stretch(double[] samples) {
      this.samples = samples.clone();
    }

    public int size() {
      return samples.length;
    }

    public double at(int index) {
      return samples[index];
    }

    /** A copy of some of the samples. */
    public double[] copy(int from, int to) {
      return java.util.Arrays.copyOfRange(samples, from, to);
    }
  }
}

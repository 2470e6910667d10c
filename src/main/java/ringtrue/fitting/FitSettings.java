package ringtrue.fitting;

import java.util.Optional;
import ringtrue.units.BadInputException;

/**
 * What the user wants of a fit. Whatever is empty is chosen from the data.
 *
 * @param bandLowHz lower end of the band to fit, Hz; otherwise that of the response's usable band
 * @param bandHighHz upper end of the band to fit, Hz; otherwise that of the response's usable band
 * @param count number of modes; otherwise as many as the data support
 */
public record FitSettings(
    Optional<Double> bandLowHz, Optional<Double> bandHighHz, Optional<Integer> count) {

  /** Most modes that can be asked for. */
  public static final int MOST_MODES = 30;

  /** Band and number of modes chosen from the data. */
  public static final FitSettings AUTOMATIC =
      new FitSettings(Optional.empty(), Optional.empty(), Optional.empty());

  /**
   * @throws BadInputException if a number cannot be meant
   */
  public FitSettings {
    bandLowHz.ifPresent(hz -> requireFrequency("lower", hz));
    bandHighHz.ifPresent(hz -> requireFrequency("upper", hz));
    if (bandLowHz.isPresent() && bandHighHz.isPresent() && bandLowHz.get() >= bandHighHz.get()) {
      throw new BadInputException(
          "band: the lower end, "
              + Sentence.hertz(bandLowHz.get())
              + ", must lie below the upper end, "
              + Sentence.hertz(bandHighHz.get()));
    }
    if (count.isPresent() && (count.get() < 1 || count.get() > MOST_MODES)) {
      throw new BadInputException(
          "count: the number of modes must lie between 1 and "
              + MOST_MODES
              + ", was "
              + count.get());
    }
  }

  private static void requireFrequency(String end, double hz) {
    if (!(hz >= 0) || Double.isInfinite(hz)) {
      throw new BadInputException(
          "band: the " + end + " end must be a frequency of 0 Hz or more, was " + hz + " Hz");
    }
  }
}

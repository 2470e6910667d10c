package ringtrue.fitting;

import java.util.List;
import java.util.Optional;
import ringtrue.units.BadInputException;

/**
 * What the user wants of a fit. Whatever is empty is chosen from the data.
 *
 * @param bandLowHz lower end of the band to fit, Hz; otherwise that of the response's usable band
 * @param bandHighHz upper end of the band to fit, Hz; otherwise that of the response's usable band
 * @param count number of modes; otherwise as many as the data support
 * @param picksHz natural frequencies picked by hand, Hz: one mode is fitted near each, and none
 *     elsewhere inside the band; empty to let the data say
 */
public record FitSettings(
    Optional<Double> bandLowHz,
    Optional<Double> bandHighHz,
    Optional<Integer> count,
    List<Double> picksHz) {

  /** Most modes that can be asked for. */
  public static final int MOST_MODES = 30;

  /** Band and number of modes chosen from the data. */
  public static final FitSettings AUTOMATIC =
      new FitSettings(Optional.empty(), Optional.empty(), Optional.empty(), List.of());

  /**
   * @throws BadInputException if a number cannot be meant
   */
  public FitSettings {
    picksHz = picksHz.stream().sorted().toList();
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
    for (double pick : picksHz) {
      if (!(pick > 0) || Double.isInfinite(pick)) {
        throw new BadInputException("pick: must be a frequency above 0 Hz, was " + pick + " Hz");
      }
    }
    if (picksHz.size() > MOST_MODES) {
      throw new BadInputException("pick: at most " + MOST_MODES + " modes, not " + picksHz.size());
    }
    if (count.isPresent() && !picksHz.isEmpty() && count.get() != picksHz.size()) {
      throw new BadInputException(
          "count: " + count.get() + " modes cannot be had at " + picksHz.size() + " picked ones");
    }
  }

  /** The same for another band, Hz. */
  public FitSettings withBand(double lowHz, double highHz) {
    return new FitSettings(Optional.of(lowHz), Optional.of(highHz), count, picksHz);
  }

  /** The same with this number of modes. */
  public FitSettings withCount(int modes) {
    return new FitSettings(bandLowHz, bandHighHz, Optional.of(modes), picksHz);
  }

  /** The same with natural frequencies picked by hand, Hz. */
  public FitSettings withPicks(List<Double> hz) {
    return new FitSettings(bandLowHz, bandHighHz, count, hz);
  }

  private static void requireFrequency(String end, double hz) {
    if (!(hz >= 0) || Double.isInfinite(hz)) {
      throw new BadInputException(
          "band: the " + end + " end must be a frequency of 0 Hz or more, was " + hz + " Hz");
    }
  }
}

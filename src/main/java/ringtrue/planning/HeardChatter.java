package ringtrue.planning;

import java.util.List;
import java.util.stream.Stream;

/**
 * What was heard of a cut, as far as advice needs it.
 *
 * @param speedRpm speed of the spindle in the cut, rpm
 * @param chatterHz strongest line of the chatter, Hz; NaN where the cut was heard not to chatter
 * @param flip whether the chatter is at half the tooth passing
 * @param besideHz other lines that are about as strong and do not belong to it, Hz
 */
public record HeardChatter(double speedRpm, double chatterHz, boolean flip, List<Double> besideHz) {
  public HeardChatter {
    besideHz = List.copyOf(besideHz);
    if (!(speedRpm > 0) || Double.isInfinite(speedRpm)) {
      throw new IllegalArgumentException("spindle speed must be positive, was " + speedRpm);
    }
    if (!Double.isNaN(chatterHz) && !(chatterHz > 0 && chatterHz < 1e6)) {
      throw new IllegalArgumentException("chatter frequency must be positive, was " + chatterHz);
    }
  }

  /** One motion alone. */
  public HeardChatter(double speedRpm, double chatterHz, boolean flip) {
    this(speedRpm, chatterHz, flip, List.of());
  }

  /** The strongest line, and those beside it, Hz. */
  List<Double> allHz() {
    return Stream.concat(Stream.of(chatterHz), besideHz.stream()).toList();
  }

  /** A cut that was heard not to chatter. */
  public static HeardChatter none(double speedRpm) {
    return new HeardChatter(speedRpm, Double.NaN, false);
  }

  public boolean chatters() {
    return !Double.isNaN(chatterHz);
  }
}

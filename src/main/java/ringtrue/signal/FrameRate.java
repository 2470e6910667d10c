package ringtrue.signal;

import java.math.BigDecimal;
import java.math.MathContext;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import ringtrue.acquisition.ResponseQuantity;
import ringtrue.acquisition.TapRecording;

/** What the frame rate of a film, or any slow displacement record, keeps from being seen. */
public final class FrameRate {

  /** Displacement sampled more slowly than this is taken to come from film. */
  private static final double FILM_TO_HZ = 5000;

  private FrameRate() {}

  /** Whether a recording's rate is one of film, so that its limits have to be said. */
  public static boolean isFilm(TapRecording recording) {
    return recording.quantity() == ResponseQuantity.DISPLACEMENT
        && recording.sampleRateHz() <= FILM_TO_HZ;
  }

  /**
   * The limits of a film.
   *
   * @param framesPerS frame rate
   * @param force whether the film stands beside a force, so that amplitudes matter
   */
  public static List<String> limits(double framesPerS, boolean force) {
    List<String> all = new ArrayList<>();
    all.add(
        text(
            "%s frames a second show nothing above %s Hz; what vibrates faster folds down and"
                + " looks like a low mode: film again at another rate, a true mode stays where it is",
            plain(framesPerS), plain(framesPerS / 2)));
    all.add(
        text(
            "a picture averages over its exposure: exposed for the whole frame, a vibration of %s Hz"
                + " (a quarter of the frame rate) shows %.0f %% of its amplitude, one of %s Hz %.0f %%"
                + (force
                    ? "; stiffness comes out too high by as much, so only modes well below half the"
                        + " rate can be trusted"
                    : "; natural frequency and damping are not moved by it, but modes near half the"
                        + " rate get lost"),
            plain(framesPerS / 4),
            100 * exposure(0.25),
            plain(0.45 * framesPerS),
            100 * exposure(0.45)));
    return all;
  }

  /**
   * What a mode's place below half the frame rate means; empty for one that is well below.
   *
   * @param fn natural frequency as it seems, Hz
   * @param framesPerS frame rate
   */
  public static List<String> of(double fn, double framesPerS) {
    List<String> all = new ArrayList<>();
    if (fn > 0.25 * framesPerS) {
      all.add(
          text(
              "the mode at %.5g Hz has only %.2g frames in a period: it may as well be one at %.5g or"
                  + " %.5g Hz that folds down; film at least at %.4g frames a second",
              fn, framesPerS / fn, framesPerS - fn, framesPerS + fn, 8 * fn));
    }
    return all;
  }

  /** Part of the amplitude that is left after averaging over a whole frame: sin(πx)/(πx). */
  static double exposure(double cyclesPerFrame) {
    double x = Math.PI * cyclesPerFrame;
    return x == 0 ? 1 : Math.sin(x) / x;
  }

  private static String plain(double value) {
    return new BigDecimal(value, new MathContext(5)).stripTrailingZeros().toPlainString();
  }

  private static String text(String format, Object... values) {
    return String.format(Locale.ROOT, format, values);
  }
}

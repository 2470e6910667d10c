package ringtrue.report;

import java.awt.image.BufferedImage;
import java.io.IOException;
import java.io.OutputStream;
import javax.imageio.ImageIO;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.ResponseForm;
import ringtrue.fitting.FittedModes;
import ringtrue.fitting.FittedResponse;
import ringtrue.fitting.SetUpComparison;
import ringtrue.library.Cut;
import ringtrue.signal.AveragedResponse;
import ringtrue.stability.StabilityMap;

/** Finished results as pixels; {@link Drawings} has them as vector graphics too. */
public final class Pictures {
  static final int WIDTH = 1200;

  private Pictures() {}

  /** Writes a picture as PNG. */
  public static void writePng(BufferedImage picture, OutputStream out) throws IOException {
    ImageIO.setUseCache(false);
    ImageIO.write(picture, "png", out);
  }

  /** Magnitude with two-sigma band, phase and coherence of an averaged response, as receptance. */
  public static BufferedImage response(AveragedResponse averaged) {
    return response(averaged, ResponseForm.RECEPTANCE);
  }

  /** The same in another form. */
  public static BufferedImage response(AveragedResponse averaged, ResponseForm form) {
    return Drawings.response(averaged, form).image(1);
  }

  /** Measured response with the fitted model over it, and each mode's Nyquist circle. */
  public static BufferedImage modes(FrequencyResponse response, FittedModes fitted) {
    return modes(response, fitted, 1);
  }

  /**
   * The same in finer pixels.
   *
   * @param scale pixels for each one of the usual picture, 1 or more
   */
  public static BufferedImage modes(FrequencyResponse response, FittedModes fitted, double scale) {
    return Drawings.modes(response, fitted).image(scale);
  }

  /**
   * How far the modes can be trusted: misfit against noise, and poles over rising orders.
   *
   * @param scale pixels for each one of the usual picture, 1 or more
   */
  public static BufferedImage modesCheck(
      FrequencyResponse response, FittedModes fitted, double scale) {
    return Drawings.modesCheck(response, fitted).image(scale);
  }

  /**
   * Two measurements of a set-up over each other.
   *
   * @param scale pixels for each one of the usual picture, 1 or more
   */
  public static BufferedImage comparison(
      FittedResponse before, FittedResponse now, SetUpComparison comparison, double scale) {
    return Drawings.comparison(before, now, comparison).image(scale);
  }

  /** Stability over spindle speed with the cut marked. */
  public static BufferedImage lobes(StabilityMap map, Cut cut, LengthUnit unit) {
    return Drawings.lobes(map, cut, unit).image(1);
  }
}

package ringtrue.report;

import java.awt.image.BufferedImage;
import java.io.IOException;
import java.io.OutputStream;
import java.util.Locale;
import java.util.function.BiFunction;
import javax.imageio.ImageIO;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.ResponseForm;
import ringtrue.fitting.FittedModes;
import ringtrue.fitting.FittedResponse;
import ringtrue.fitting.SetUpComparison;
import ringtrue.library.Cut;
import ringtrue.planning.CutPlan;
import ringtrue.planning.Sweep;
import ringtrue.signal.AveragedResponse;
import ringtrue.signal.Tap;
import ringtrue.stability.StabilityMap;

/** Draws finished results. Nothing is computed here but what a picture needs. */
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
    FrequencyResponse response = averaged.response();
    FrequencyResponse.Origin origin = response.origin();
    long kept = averaged.taps().stream().filter(t -> t.verdict() == Tap.Verdict.KEPT).count();
    String caption =
        String.format(
            Locale.ROOT,
            "%s%s, from %d of %d taps, %s estimator, %.3g Hz between"
                + " lines%s. Usable band %.0f to %.0f Hz, between the dotted lines. Shaded: two sigma of the"
                + " magnitude.",
            switch (form) {
              case RECEPTANCE -> "Receptance (displacement per force)";
              case MOBILITY -> "Mobility (velocity per force)";
              case ACCELERANCE -> "Accelerance (acceleration per force)";
            },
            ResponseCharts.where(origin),
            kept,
            averaged.taps().size(),
            averaged.used().estimator().word(),
            response.resolutionHz(),
            Double.isFinite(origin.windowTimeConstantS())
                ? String.format(
                    Locale.ROOT,
                    ", exponential window %.3g ms (adds damping; the fit takes it out)",
                    origin.windowTimeConstantS() * 1e3)
                : "",
            origin.bandLowHz(),
            origin.bandHighHz());
    Panels panels = new Panels(WIDTH, ResponseCharts.title(origin), caption);
    ResponseCharts.Span span =
        ResponseCharts.Span.around(response, origin.bandLowHz(), origin.bandHighHz());
    ResponseCharts.View view = new ResponseCharts.View(form, origin.windowTimeConstantS());
    ResponseCharts.magnitude(panels, response, span, null, view);
    ResponseCharts.phase(panels, response, span, null, view);
    ResponseCharts.coherence(panels, response, span);
    return panels.paint();
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
    return new ModesPicture(response, fitted).fit().paint(scale);
  }

  /**
   * How far the modes can be trusted: misfit against noise, and poles over rising orders.
   *
   * @param scale pixels for each one of the usual picture, 1 or more
   */
  public static BufferedImage modesCheck(
      FrequencyResponse response, FittedModes fitted, double scale) {
    return new ModesPicture(response, fitted).check().paint(scale);
  }

  /**
   * Two measurements of a set-up over each other.
   *
   * @param scale pixels for each one of the usual picture, 1 or more
   */
  public static BufferedImage comparison(
      FittedResponse before, FittedResponse now, SetUpComparison comparison, double scale) {
    return new ComparisonPicture(before, now, comparison).paint(scale);
  }

  /** Stability over spindle speed with the cut marked. */
  public static BufferedImage lobes(StabilityMap map, Cut cut, LengthUnit unit) {
    return new LobesPicture(map, cut, unit).paint();
  }

  /**
   * Every limit of a plan as a bar with numbers and words, and the better cuts.
   *
   * @param shown writes a number with its SI unit the way people read it
   * @param scale pixels for each one of the usual picture, 1 or more
   */
  public static BufferedImage plan(
      CutPlan plan,
      Cut cut,
      LengthUnit unit,
      BiFunction<Double, String, String> shown,
      double scale) {
    return new PlanPicture(plan, cut, unit, shown).paint(scale);
  }

  /**
   * Every limit of a cut against one thing that is varied.
   *
   * @param scale pixels for each one of the usual picture, 1 or more
   */
  public static BufferedImage sweep(Sweep sweep, Cut cut, LengthUnit unit, double scale) {
    return new SweepPicture(sweep, cut, unit).paint(scale);
  }
}

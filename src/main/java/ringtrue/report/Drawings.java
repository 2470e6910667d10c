package ringtrue.report;

import java.util.Locale;
import ringtrue.acquisition.TapRecording;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.ResponseForm;
import ringtrue.fitting.FittedModes;
import ringtrue.fitting.FittedResponse;
import ringtrue.fitting.SetUpComparison;
import ringtrue.library.Cut;
import ringtrue.library.DecayMeasurement;
import ringtrue.signal.AveragedResponse;
import ringtrue.signal.KnownMass;
import ringtrue.signal.Tap;
import ringtrue.stability.StabilityMap;

/** Draws finished results. Nothing is computed here but what a picture needs. */
public final class Drawings {
  private Drawings() {}

  /**
   * Magnitude with two-sigma band, phase and coherence of an averaged response.
   *
   * @param form displacement, velocity or acceleration per force
   */
  public static Picture response(AveragedResponse averaged, ResponseForm form) {
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
    return charts(response, form, caption).picture();
  }

  /** The same of a response that was read from a file, as receptance. */
  public static Picture response(FrequencyResponse response) {
    FrequencyResponse.Origin origin = response.origin();
    String caption =
        String.format(
            Locale.ROOT,
            "Receptance (displacement per force)%s, from %d %s, %.3g Hz between lines%s. Usable band"
                + " %.0f to %.0f Hz, between the dotted lines. Shaded: two sigma of the magnitude.",
            ResponseCharts.where(origin),
            origin.averages(),
            origin.averages() == 1 ? "tap" : "taps",
            response.resolutionHz(),
            Double.isFinite(origin.windowTimeConstantS())
                ? String.format(
                    Locale.ROOT,
                    ", exponential window %.3g ms (adds damping; the fit takes it out)",
                    origin.windowTimeConstantS() * 1e3)
                : "",
            origin.bandLowHz(),
            origin.bandHighHz());
    return charts(response, ResponseForm.RECEPTANCE, caption).picture();
  }

  private static Panels charts(FrequencyResponse response, ResponseForm form, String caption) {
    FrequencyResponse.Origin origin = response.origin();
    Panels panels = new Panels(Pictures.WIDTH, ResponseCharts.title(origin), caption);
    ResponseCharts.Span span =
        ResponseCharts.Span.around(response, origin.bandLowHz(), origin.bandHighHz());
    ResponseCharts.View view = new ResponseCharts.View(form, origin.windowTimeConstantS());
    ResponseCharts.magnitude(panels, response, span, null, view);
    ResponseCharts.phase(panels, response, span, null, view);
    ResponseCharts.coherence(panels, response, span);
    return panels;
  }

  /** Measured response with the fitted model over it, and each mode's Nyquist circle. */
  public static Picture modes(FrequencyResponse response, FittedModes fitted) {
    return new ModesPicture(response, fitted).fit().picture();
  }

  /** How far the modes can be trusted: misfit against noise, and poles over rising orders. */
  public static Picture modesCheck(FrequencyResponse response, FittedModes fitted) {
    return new ModesPicture(response, fitted).check().picture();
  }

  /** Two measurements of a set-up over each other. */
  public static Picture comparison(
      FittedResponse before, FittedResponse now, SetUpComparison comparison) {
    return new ComparisonPicture(before, now, comparison).picture();
  }

  /** Stability over spindle speed with the cut marked. */
  public static Picture lobes(StabilityMap map, Cut cut, LengthUnit unit) {
    return new LobesPicture(map, cut, unit).picture();
  }

  /** One tap's free decay with the fitted modes over it, where no force was measured. */
  public static Picture decay(TapRecording recording, DecayMeasurement measured) {
    return DecayPicture.picture(recording, measured);
  }

  /** What hammer and sensor together read on a known mass. */
  public static Picture calibration(FrequencyResponse response, KnownMass found) {
    return CalibrationPicture.picture(response, found);
  }
}

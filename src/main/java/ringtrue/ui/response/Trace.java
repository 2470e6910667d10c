package ringtrue.ui.response;

import java.util.List;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.Receptance;

/**
 * One response that is drawn.
 *
 * @param name what the legend calls it
 * @param response its values; modelled ones without coherence and error
 * @param kind what it is
 */
public record Trace(String name, FrequencyResponse response, Kind kind) {

  /** What it is. */
  public enum Kind {
    /** The measurement that everything is about. */
    MAIN,
    /** Measured, for comparison. */
    OTHER,
    /** A sum of modes. */
    MODEL,
    /** Residual terms alone. */
    RESIDUAL
  }

  /** Enough frequencies for a smooth line where there is no measurement to go by. */
  private static final int POINTS = 4000;

  /** The measurement itself. */
  public static Trace measured(String name, FrequencyResponse response) {
    return new Trace(name, response, Kind.MAIN);
  }

  /** Another one. */
  public static Trace other(String name, FrequencyResponse response) {
    return new Trace(name, response, Kind.OTHER);
  }

  /**
   * A model at the frequencies of a measurement.
   *
   * @param model with the measurement's exponential window in it
   * @param like the measurement
   */
  public static Trace model(String name, Receptance model, FrequencyResponse like, Kind kind) {
    return new Trace(name, sampled(model, like.frequencies(), like.origin()), kind);
  }

  /** A model by itself, over a band. */
  public static Trace model(String name, Receptance model, double lowHz, double highHz, Kind kind) {
    double[] hz = new double[POINTS];
    double from = Math.log(Math.max(1, lowHz / 2));
    double to = Math.log(1.5 * highHz);
    for (int i = 0; i < POINTS; i++) {
      hz[i] = Math.exp(from + (to - from) * i / (POINTS - 1));
    }
    return new Trace(
        name, sampled(model, hz, FrequencyResponse.Origin.unknown(lowHz, highHz)), kind);
  }

  private static FrequencyResponse sampled(
      Receptance model, double[] hz, FrequencyResponse.Origin of) {
    double[] re = new double[hz.length];
    double[] im = new double[hz.length];
    double[] g = new double[2];
    for (int i = 0; i < hz.length; i++) {
      model.at(hz[i], g);
      re[i] = g[0];
      im[i] = g[1];
    }
    return new FrequencyResponse(
        hz,
        re,
        im,
        null,
        null,
        new FrequencyResponse.Origin(
            of.axis(),
            of.point(),
            of.averages(),
            of.windowTimeConstantS(),
            of.bandLowHz(),
            of.bandHighHz(),
            of.source(),
            List.of()));
  }
}

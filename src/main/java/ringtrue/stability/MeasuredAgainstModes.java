package ringtrue.stability;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.stability.HarmonicStructure.Measured;
import ringtrue.stability.StabilityMap.Line;
import ringtrue.stability.StabilityMap.Loss;

/**
 * The limits from responses as measured against those from the modes fitted to them: do they agree,
 * and if not, which part of the response makes the difference.
 *
 * <p>At the speed where they differ most, and at others that differ for another reason, the lower
 * of the two limits is looked at: to first order its inverse changes by the sum over harmonics of
 * weight times the difference of the two receptances ({@link LimitSensitivity}). The harmonic with
 * the largest share points to a frequency. Around it the difference stands out of the measurement's
 * own error over some band, and the part of that band is named where it is largest.
 */
public final class MeasuredAgainstModes {
  /** Relative difference of two limits that is always let pass. */
  static final double LET_PASS = 0.05;

  private static final double SIGMAS = 3;
  private static final double LEAST_DIFFERENCE = 0.03;
  private static final double PART_OF_PEAK = 0.25;
  private static final int LINES_BRIDGED = 2;

  /** Lines that must stand out together: one in a hundred does so by chance. */
  private static final int LEAST_LINES = 4;

  /** Part of the speeds that may lie outside a 95 % band without any cause. */
  private static final double BY_CHANCE = 0.1;

  private static final int MOST_BANDS = 3;
  private static final int MOST_SPEEDS = 40;
  private static final String[] AXES = {"x", "y", "xy"};

  private final StabilityMap measured;
  private final CuttingProcess measuredProcess;
  private final StabilityMap modal;
  private final CuttingProcess modalProcess;

  private MeasuredAgainstModes(
      StabilityMap measured,
      CuttingProcess measuredProcess,
      StabilityMap modal,
      CuttingProcess modalProcess) {
    this.measured = measured;
    this.measuredProcess = measuredProcess;
    this.modal = modal;
    this.modalProcess = modalProcess;
  }

  /**
   * @param measured limits from the responses as measured
   * @param measuredProcess the cut with these responses
   * @param modal limits at the same speeds from fitted modes, by the same method or by another one
   *     that solves the full periodic equation
   * @param modalProcess the cut with the modes
   * @return one sentence if they agree, otherwise what differs and the bands that cause it
   * @throws IllegalArgumentException if the maps are not over the same length and speeds
   */
  public static List<String> compare(
      StabilityMap measured,
      CuttingProcess measuredProcess,
      StabilityMap modal,
      CuttingProcess modalProcess) {
    if (measured.over() != modal.over() || measured.lines().size() != modal.lines().size()) {
      throw new IllegalArgumentException("maps to compare must be over the same length and speeds");
    }
    for (int i = 0; i < measured.lines().size(); i++) {
      if (measured.lines().get(i).speedRpm() != modal.lines().get(i).speedRpm()) {
        throw new IllegalArgumentException("maps to compare must have the same speeds");
      }
    }
    return new MeasuredAgainstModes(measured, measuredProcess, modal, modalProcess).sentences();
  }

  /** One speed at which the limits differ: the modal limit relative to the measured one, less 1. */
  private record Difference(int index, double relative) {
    double size() {
      return Math.abs(relative);
    }
  }

  /** A part of a response that the two do not agree in. */
  private record Band(int direction, double lowHz, double highHz, double modeHz) {
    boolean holds(int otherDirection, double hz) {
      return direction == otherDirection && hz >= lowHz && hz <= highHz;
    }
  }

  /** The harmonic that contributes most to the difference of a limit. */
  private record Cause(int direction, double hz) {}

  private List<String> sentences() {
    List<Difference> beyond = new ArrayList<>();
    double largest = 0;
    for (int i = 0; i < measured.lines().size(); i++) {
      Line a = measured.lines().get(i);
      Line b = modal.lines().get(i);
      double relative = b.limitM() / a.limitM() - 1;
      largest = Math.max(largest, Math.abs(relative));
      boolean inBand = b.limitM() >= a.limitLowM() && b.limitM() <= a.limitHighM();
      if (Math.abs(relative) > LET_PASS && !inBand) {
        beyond.add(new Difference(i, relative));
      }
    }
    List<String> all = new ArrayList<>();
    if (beyond.isEmpty()) {
      all.add(
          String.format(
              Locale.ROOT,
              largest <= LET_PASS
                  ? "the limits from the responses as measured and from the fitted modes agree within"
                      + " %.1f %% at all %d speeds"
                  : "the limits from the responses as measured and from the fitted modes differ by up"
                      + " to %.1f %%, which is within 5 %% or the error band at each of the %d"
                      + " speeds",
              100 * largest,
              measured.lines().size()));
      return all;
    }
    beyond.sort(Comparator.comparingDouble(d -> -d.size()));
    all.add(summary(beyond));
    causes(beyond, all);
    return all;
  }

  private String summary(List<Difference> beyond) {
    Difference worst = beyond.get(0);
    Line a = measured.lines().get(worst.index());
    Line b = modal.lines().get(worst.index());
    return String.format(
        Locale.ROOT,
        "the limits from the responses as measured and from the fitted modes differ by more than 5 %%"
            + " and the error band at %d of %d speeds, most at %s rpm: %s as measured, %s from the"
            + " modes (%+.0f %%)",
        beyond.size(),
        measured.lines().size(),
        Plain.number(a.speedRpm()),
        limit(a),
        limit(b),
        100 * worst.relative());
  }

  private static String limit(Line line) {
    String length = String.format(Locale.ROOT, "%.3f mm", 1e3 * line.limitM());
    return line.loss() == Loss.NONE ? "no limit up to " + length : length;
  }

  private void causes(List<Difference> beyond, List<String> all) {
    List<Band> bands = new ArrayList<>();
    int unknown = 0;
    for (Difference difference : beyond.subList(0, Math.min(MOST_SPEEDS, beyond.size()))) {
      if (bands.size() == MOST_BANDS) {
        break;
      }
      Cause cause = cause(difference).orElse(null);
      if (cause == null) {
        unknown++;
        continue;
      }
      if (bands.stream().anyMatch(b -> b.holds(cause.direction(), cause.hz()))) {
        continue;
      }
      Band band = band(cause, difference).orElse(null);
      if (band == null) {
        unknown++;
        continue;
      }
      take(band, bands);
    }
    bands.forEach(band -> all.add(sentence(band)));
    if (bands.isEmpty() && beyond.size() <= Math.max(1, BY_CHANCE * measured.lines().size())) {
      all.add(
          "no band of the measured responses stands out as the cause: random error alone leaves one"
              + " limit in twenty outside its band");
    } else if (bands.isEmpty() && unknown > 0) {
      all.add(
          "no band of the measured responses stands out as the cause: compare the response and the"
              + " modes over the whole range");
    }
  }

  /** Bands that touch become one, with the missing mode of the first that has one. */
  private static void take(Band band, List<Band> bands) {
    for (int i = 0; i < bands.size(); i++) {
      Band other = bands.get(i);
      if (other.direction() == band.direction()
          && other.lowHz() <= band.highHz()
          && band.lowHz() <= other.highHz()) {
        bands.set(
            i,
            new Band(
                band.direction(),
                Math.min(other.lowHz(), band.lowHz()),
                Math.max(other.highHz(), band.highHz()),
                Double.isNaN(other.modeHz()) ? band.modeHz() : other.modeHz()));
        return;
      }
    }
    bands.add(band);
  }

  private static String sentence(Band band) {
    return String.format(
            Locale.ROOT,
            "the fitted modes miss the response between %.0f and %.0f Hz in %s",
            band.lowHz(),
            band.highHz(),
            AXES[band.direction()])
        + (Double.isNaN(band.modeHz())
            ? ": fit that band again"
            : String.format(Locale.ROOT, ": a mode near %.0f Hz may be missing", band.modeHz()));
  }

  /** The harmonic whose difference moves the lower of the two limits most. */
  private Optional<Cause> cause(Difference difference) {
    boolean measuredIsLower = difference.relative() > 0;
    StabilityMap map = measuredIsLower ? measured : modal;
    CuttingProcess own = measuredIsLower ? measuredProcess : modalProcess;
    CuttingProcess other = measuredIsLower ? modalProcess : measuredProcess;
    Line line = map.lines().get(difference.index());
    LimitSensitivity sensitivity = LimitSensitivity.of(own, map, line).orElse(null);
    if (sensitivity == null) {
      return Optional.empty();
    }
    HarmonicStructure here = structure(own, line.speedRpm());
    HarmonicStructure there = structure(other, line.speedRpm());
    HillLoop.Shape shape = sensitivity.shape();
    Cause best = null;
    double most = 0;
    for (int k = 0; k < shape.hz().length; k++) {
      double hz = Math.abs(shape.hz()[k]);
      double[] g = value(here, hz);
      double[] instead = value(there, hz);
      for (int d = HarmonicStructure.XX; d <= HarmonicStructure.XY; d++) {
        // The whole influence, not only the part along the real axis: differences are not small.
        double share =
            sensitivity.influence(k, d)
                * Math.hypot(instead[2 * d] - g[2 * d], instead[2 * d + 1] - g[2 * d + 1]);
        if (share > most) {
          most = share;
          best = new Cause(d, hz);
        }
      }
    }
    return Optional.ofNullable(best);
  }

  private static HarmonicStructure structure(CuttingProcess process, double speedRpm) {
    return new HarmonicStructure(process.resolvedAt(speedRpm));
  }

  private static double[] value(HarmonicStructure structure, double hz) {
    double[] into = new double[HarmonicStructure.ROOM];
    structure.at(hz, into, new double[2]);
    return into;
  }

  /** Grows the band around a frequency over the measured lines that the modes do not hold. */
  private Optional<Band> band(Cause cause, Difference difference) {
    double rpm = measured.lines().get(difference.index()).speedRpm();
    HarmonicStructure asMeasured = structure(measuredProcess, rpm);
    HarmonicStructure fitted = structure(modalProcess, rpm);
    int d = cause.direction();
    List<Measured> responses = asMeasured.measured(d);
    if (responses.isEmpty()) {
      return Optional.empty();
    }
    Measured whole = responses.get(0);
    FrequencyResponse response = whole.response;
    int first = response.firstLineAtOrAbove(whole.lowHz);
    int last = response.firstLineAtOrAbove(whole.highHz * (1 + 1e-12)) - 1;
    int start = Math.min(last, Math.max(first, response.firstLineAtOrAbove(cause.hz())));
    double[] there = value(asMeasured, response.frequencyHz(start));
    double floor = 0.3 * Math.hypot(there[2 * d], there[2 * d + 1]);
    double[] miss = new double[last + 1];
    int low = start;
    int high = start;
    int peak = -1;
    int lines = 0;
    for (int step = -1; step <= 1; step += 2) {
      int missed = 0;
      for (int i = start; i >= first && i <= last && missed <= LINES_BRIDGED; i += step) {
        double hz = response.frequencyHz(i);
        double[] g = value(asMeasured, hz);
        double[] m = value(fitted, hz);
        double size = Math.hypot(g[2 * d], g[2 * d + 1]);
        miss[i] = Math.hypot(g[2 * d] - m[2 * d], g[2 * d + 1] - m[2 * d + 1]);
        boolean out =
            miss[i] > SIGMAS * sigma(responses, hz)
                && miss[i] > LEAST_DIFFERENCE * Math.max(size, floor);
        missed = out ? 0 : missed + 1;
        if (out) {
          lines++;
          low = Math.min(low, i);
          high = Math.max(high, i);
          peak = peak < 0 || miss[i] > miss[peak] ? i : peak;
        }
      }
    }
    // What is missing at one frequency shows far away from it, too: name the core.
    while (peak >= 0 && miss[low] < PART_OF_PEAK * miss[peak]) {
      low++;
    }
    while (peak >= 0 && miss[high] < PART_OF_PEAK * miss[peak]) {
      high--;
    }
    if (lines < LEAST_LINES || low == high) {
      return Optional.empty();
    }
    return Optional.of(
        new Band(
            d,
            response.frequencyHz(low),
            response.frequencyHz(high),
            missingMode(asMeasured, fitted, d, response, low, peak, high)));
  }

  /** Size of the random error of the sum of the measured responses, m/N. */
  private static double sigma(List<Measured> responses, double hz) {
    double variance = 0;
    for (Measured one : responses) {
      int line = Math.min(one.response.firstLineAtOrAbove(hz), one.response.lines() - 1);
      double error = one.response.relativeError(line) * one.response.magnitude(line);
      variance += Double.isNaN(error) ? 0 : error * error;
    }
    return Math.sqrt(variance);
  }

  /** Frequency of a resonance in what is left after the modes; NaN if it does not look like one. */
  private static double missingMode(
      HarmonicStructure asMeasured,
      HarmonicStructure fitted,
      int d,
      FrequencyResponse response,
      int low,
      int peak,
      int high) {
    if (peak == low || peak == high) {
      return Double.NaN;
    }
    double hz = response.frequencyHz(peak);
    double[] g = value(asMeasured, hz);
    double[] m = value(fitted, hz);
    double re = g[2 * d] - m[2 * d];
    double im = g[2 * d + 1] - m[2 * d + 1];
    double size = Math.hypot(re, im);
    boolean quarterBehind = (d == HarmonicStructure.XY ? Math.abs(im) : -im) > 0.7 * size;
    return quarterBehind && size > 0.3 * Math.hypot(g[2 * d], g[2 * d + 1]) ? hz : Double.NaN;
  }
}

package ringtrue.stability;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;

/**
 * The surface that a simulated cut leaves: in milling the wall beside the cutter, in turning the
 * face that the edge leaves. Lengths are what is left on the work against the nominal surface:
 * positive where material stays, negative where the cut is too deep.
 *
 * @param name which surface
 * @param heightM heights above the tip at which it was followed, m
 * @param errorM mean error at each height, m
 * @param meanM mean over all of it, the location error, m
 * @param roughnessM mean distance of the profiles from their own means (Ra), feed marks and
 *     waviness together, m
 * @param peakToValleyM largest peak to valley of a profile, m
 * @param alongM places along the profile at the middle height, m; in turning along the
 *     circumference where its diameter is known, else turns
 * @param profileM that profile, m
 */
public record CutSurface(
    String name,
    List<Double> heightM,
    List<Double> errorM,
    double meanM,
    double roughnessM,
    double peakToValleyM,
    List<Double> alongM,
    List<Double> profileM) {

  private static final int HEIGHTS = 12;
  private static final int PLACES_OF_FEED = 24;
  private static final int MOST_PLACES = 40_000;

  public CutSurface {
    heightM = List.copyOf(heightM);
    errorM = List.copyOf(errorM);
    alongM = List.copyOf(alongM);
    profileM = List.copyOf(profileM);
  }

  /** The surface of the last turns; empty where no wall is left, or the trace is too short. */
  static Optional<CutSurface> of(CutMarch march, CutTrace trace, CuttingProcess process) {
    if (trace.size() < 3 * march.steps) {
      return Optional.empty();
    }
    if (march.turning) {
      return Optional.of(turned(march, trace, process));
    }
    Engagement engagement = process.engagement();
    boolean down = engagement.exitRad() >= Math.PI - 1e-6;
    if (!down && engagement.entryRad() > 1e-6) {
      return Optional.empty();
    }
    return wall(march, trace, down, process.feedPerToothM());
  }

  /**
   * Furthest reach of all teeth into the wall at places along it, on the tooth's real path: the
   * tooth passes the wall's angle on a circle that moves with feed and vibration.
   */
  private static Optional<CutSurface> wall(
      CutMarch march, CutTrace trace, boolean down, double feedM) {
    int n = trace.size();
    double sign = down ? -1 : 1;
    double least = Double.POSITIVE_INFINITY;
    double most = Double.NEGATIVE_INFINITY;
    double across = 0;
    for (int i = 0; i < n; i++) {
      least = Math.min(least, trace.y[i]);
      most = Math.max(most, trace.y[i]);
      across = Math.max(across, Math.abs(trace.x[i]));
    }
    double radius = march.radiusM;
    double span =
        Math.min(
            0.5,
            Math.sqrt(2 * (most - least + feedM * feedM / radius) / radius) + 4 * feedM / radius);
    int around = (int) Math.ceil(span / (2 * Math.PI) * march.steps) + 1;
    double begin = trace.feed[0] + across + 2 * feedM * march.flutes + radius * span;
    double end = trace.feed[n - 1] - across - 2 * feedM * march.flutes - radius * span;
    int places = (int) Math.min(MOST_PLACES, (end - begin) / feedM * PLACES_OF_FEED);
    if (!(end > begin) || places < 8) {
      begin = trace.feed[0] + across + feedM * march.flutes;
      end = trace.feed[n - 1] - across - feedM * march.flutes;
      places = (int) Math.min(MOST_PLACES, (end - begin) / feedM * PLACES_OF_FEED);
      if (!(end > begin) || places < 8) {
        return Optional.empty();
      }
    }
    double step = (end - begin) / places;
    int heights = Math.min(HEIGHTS, march.slices);
    List<Double> height = new ArrayList<>();
    List<Double> error = new ArrayList<>();
    double[] middle = new double[0];
    double rough = 0;
    double valley = 0;
    double[] furthest = new double[places];
    for (int h = 0; h < heights; h++) {
      int s = (int) ((h + 0.5) * march.slices / heights);
      Arrays.fill(furthest, Double.NEGATIVE_INFINITY);
      for (int j = 0; j < march.flutes; j++) {
        pass(march, trace, down, sign, around, j, s, begin, step, furthest);
      }
      double mean = 0;
      double low = Double.POSITIVE_INFINITY;
      double high = Double.NEGATIVE_INFINITY;
      int seen = 0;
      for (double value : furthest) {
        if (value > Double.NEGATIVE_INFINITY) {
          mean -= value;
          low = Math.min(low, -value);
          high = Math.max(high, -value);
          seen++;
        }
      }
      if (seen == 0) {
        continue;
      }
      mean /= seen;
      double away = 0;
      for (double value : furthest) {
        away += value > Double.NEGATIVE_INFINITY ? Math.abs(-value - mean) : 0;
      }
      rough += away / seen;
      valley = Math.max(valley, high - low);
      height.add(march.heightM(s));
      error.add(mean);
      if (h == heights / 2) {
        middle = furthest.clone();
      }
    }
    if (height.isEmpty()) {
      return Optional.empty();
    }
    List<Double> along = new ArrayList<>();
    List<Double> profile = new ArrayList<>();
    for (int i = 0; i < middle.length; i++) {
      if (middle[i] > Double.NEGATIVE_INFINITY) {
        along.add((i + 0.5) * step);
        profile.add(-middle[i]);
      }
    }
    return Optional.of(
        new CutSurface(
            down ? "wall where the teeth leave" : "wall where the teeth enter",
            height,
            error,
            error.stream().mapToDouble(e -> e).average().orElseThrow(),
            rough / height.size(),
            valley,
            along,
            profile));
  }

  /** All passes of one flute at one height. */
  private static void pass(
      CutMarch march,
      CutTrace trace,
      boolean down,
      double sign,
      int around,
      int flute,
      int slice,
      double begin,
      double step,
      double[] furthest) {
    double dAngle = 2 * Math.PI / march.steps;
    double at = ((down ? Math.PI : 0) + march.offRad(flute, slice)) / dAngle;
    at -= march.steps * Math.floor(at / march.steps);
    double runout = march.runoutM(flute, slice);
    double radius = march.radiusM;
    for (double pass = at; pass < trace.size(); pass += march.steps) {
      int first = Math.max(0, (int) pass - around);
      int last = Math.min(trace.size() - 1, (int) pass + around);
      for (int i = first; i < last; i++) {
        double e0 = (i - pass) * dAngle;
        // towards the feed past the wall where teeth enter, against it where they leave
        double x0 = trace.feed[i] + trace.x[i] + sign * radius * e0;
        double x1 = trace.feed[i + 1] + trace.x[i + 1] + sign * radius * (e0 + dAngle);
        double p0 = (x0 - begin) / step - 0.5;
        double p1 = (x1 - begin) / step - 0.5;
        int from = (int) Math.max(0, Math.ceil(Math.min(p0, p1)));
        int to = (int) Math.min(furthest.length - 1.0, Math.floor(Math.max(p0, p1)));
        for (int p = from; p <= to; p++) {
          double u = p1 == p0 ? 0 : (p - p0) / (p1 - p0);
          double angle = e0 + u * dAngle;
          double out =
              sign * (trace.y[i] + u * (trace.y[i + 1] - trace.y[i]))
                  + runout
                  - radius * angle * angle / 2;
          furthest[p] = Math.max(furthest[p], out);
        }
      }
    }
  }

  /** What the edge leaves at each angle of the work after several turns. */
  private static CutSurface turned(CutMarch march, CutTrace trace, CuttingProcess process) {
    int n = march.steps;
    int turns = trace.size() / n;
    double cos = Math.cos(process.modeAngleRad());
    double feed = process.feedPerToothM();
    List<Double> along = new ArrayList<>();
    List<Double> profile = new ArrayList<>();
    double diameter = process.turnedDiameterM();
    for (int k = 0; k < n; k++) {
      double furthest = Double.NEGATIVE_INFINITY;
      for (int r = 0; r < turns; r++) {
        int i = trace.size() - n + k - r * n;
        if (i >= 0) {
          furthest = Math.max(furthest, cos * trace.x[i] - r * feed);
        }
      }
      along.add((double) k / n * (Double.isNaN(diameter) ? 1 : Math.PI * diameter));
      profile.add(-furthest);
    }
    double mean = profile.stream().mapToDouble(v -> v).average().orElseThrow();
    double rough = profile.stream().mapToDouble(v -> Math.abs(v - mean)).average().orElseThrow();
    double low = profile.stream().mapToDouble(v -> v).min().orElseThrow();
    double high = profile.stream().mapToDouble(v -> v).max().orElseThrow();
    return new CutSurface(
        "turned surface",
        List.of(process.engagement().axialM() / 2),
        List.of(mean),
        mean,
        rough,
        high - low,
        along,
        profile);
  }
}

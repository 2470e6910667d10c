package ringtrue.stability;

import java.util.Arrays;

/**
 * Which part of which flute is in the cut at each angle of the spindle, and the matrix that turns a
 * change of position into a change of cutting force there: {@code F = b A(ψ) Δr}, A in Pa, the mean
 * over the axial depth of {@link DirectionalFactors#at}, in closed form along the helix.
 *
 * <p>The tip of flute j stands at φ_j = ψ − Σ pitch; at height z its edge lags by 2 z tan β/D.
 */
final class ToothArcs {
  private static final double FULL = 2 * Math.PI - 1e-9;

  private final double[] offset;
  private final double[] lagPerM;
  private final double[] pitch;
  private final double entry;
  private final double exit;
  private final double ktc;
  private final double kr;
  private final int perPeriod;
  private final boolean straight;
  private final boolean equalHelix;

  /**
   * @param tool the cutter
   * @param entryRad angle at which a tooth enters, rad
   * @param exitRad angle at which it leaves, rad
   * @param force cutting forces
   */
  ToothArcs(Tool tool, double entryRad, double exitRad, CuttingCoefficients force) {
    int n = tool.flutes();
    double sum = tool.pitchRad().stream().mapToDouble(p -> p).sum();
    pitch = tool.pitchRad().stream().mapToDouble(p -> p * 2 * Math.PI / sum).toArray();
    offset = new double[n];
    for (int j = 1; j < n; j++) {
      offset[j] = offset[j - 1] + pitch[j - 1];
    }
    lagPerM =
        tool.helixRad().stream().mapToDouble(h -> 2 * Math.tan(h) / tool.diameterM()).toArray();
    entry = entryRad;
    exit = exitRad;
    ktc = force.ktcPa();
    kr = force.krcPa() / force.ktcPa();
    straight = Arrays.stream(lagPerM).allMatch(l -> Math.abs(l) < 1e-9);
    equalHelix = tool.equalHelix();
    perPeriod = pattern(pitch, lagPerM);
    if (tool.evenPitch()) {
      Arrays.fill(pitch, 2 * Math.PI / n);
      for (int j = 0; j < n; j++) {
        offset[j] = 2 * Math.PI * j / n;
      }
    }
  }

  /** Fewest flutes after which pitch and helix repeat. */
  private static int pattern(double[] pitch, double[] lag) {
    int n = pitch.length;
    for (int m = 1; m < n; m++) {
      boolean repeats = n % m == 0;
      for (int j = 0; repeats && j < n; j++) {
        int k = (j + m) % n;
        repeats =
            Math.abs(pitch[j] - pitch[k]) < 1e-9
                && Math.abs(lag[j] - lag[k]) < 1e-9 * (1 + Math.abs(lag[j]));
      }
      if (repeats) {
        return m;
      }
    }
    return n;
  }

  int flutes() {
    return pitch.length;
  }

  /** Angle after which everything repeats, rad. */
  double periodRad() {
    double sum = 0;
    for (int j = 0; j < perPeriod; j++) {
      sum += pitch[j];
    }
    return perPeriod == pitch.length ? 2 * Math.PI : sum;
  }

  /** Flutes in a period. */
  int perPeriod() {
    return perPeriod;
  }

  /** Whether no flute has a helix. */
  boolean straight() {
    return straight;
  }

  boolean equalHelix() {
    return equalHelix;
  }

  /** Whether one delay serves every flute at every height, and it is the period. */
  boolean oneDelay() {
    return perPeriod == 1;
  }

  /** Whether there are straight teeth of which never more than one is in the cut. */
  boolean singleTooth() {
    double least = Arrays.stream(pitch).min().orElseThrow();
    return straight && exit - entry <= least + 1e-12;
  }

  /** Angle between flute j and the one that cut before it, at a height, rad. */
  double delayRad(int j, double heightM) {
    int before = (j + pitch.length - 1) % pitch.length;
    return pitch[before] + (lagPerM[j] - lagPerM[before]) * heightM;
  }

  /** Shortest delay of any flute down to a depth, rad. */
  double shortestDelayRad(double depthM) {
    double least = Double.POSITIVE_INFINITY;
    for (int j = 0; j < pitch.length; j++) {
      least = Math.min(least, Math.min(delayRad(j, 0), delayRad(j, depthM)));
    }
    return least;
  }

  /**
   * Angles within a period at which an end of an edge enters or leaves the cut, rising, the first
   * again one period later as the last. Where nothing ever enters or leaves: 0 and the period.
   */
  double[] breaks(double depthM) {
    double period = periodRad();
    double[] all = new double[4 * pitch.length];
    int n = 0;
    if (exit - entry < FULL) {
      for (int j = 0; j < pitch.length; j++) {
        for (double edge : new double[] {entry, exit}) {
          all[n++] = within(offset[j] + edge, period);
          if (Math.abs(lagPerM[j] * depthM) > 1e-9) {
            all[n++] = within(offset[j] + edge + lagPerM[j] * depthM, period);
          }
        }
      }
    }
    if (n == 0) {
      return new double[] {0, period};
    }
    Arrays.sort(all, 0, n);
    double[] kept = new double[n + 1];
    int count = 0;
    for (int i = 0; i < n; i++) {
      boolean again = count > 0 && all[i] - kept[count - 1] < 1e-9;
      boolean wraps = count > 0 && kept[0] + period - all[i] < 1e-9;
      if (!again && !wraps) {
        kept[count++] = all[i];
      }
    }
    kept[count] = kept[0] + period;
    return Arrays.copyOf(kept, count + 1);
  }

  private static double within(double angle, double period) {
    double a = angle % period;
    return a < 0 ? a + period : a;
  }

  /** A run of angles that one flute has in the cut, as heights of its edge. */
  @FunctionalInterface
  interface Stretch {
    /**
     * @param tipRad angle of the flute's tip, whole turns taken off so that the stretch fits
     * @param lowRad lowest angle of the stretch; the same as {@code highRad} for a straight tooth
     * @param highRad highest angle
     */
    void at(double tipRad, double lowRad, double highRad);
  }

  /** Calls back for every stretch of flute j that is in the cut at spindle angle ψ. */
  void stretches(int j, double psiRad, double depthM, Stretch to) {
    double lag = lagPerM[j] * depthM;
    double tip = psiRad - offset[j];
    double low = Math.min(tip, tip - lag);
    double high = Math.max(tip, tip - lag);
    int first = (int) Math.ceil((low - exit) / (2 * Math.PI) - 1e-9);
    int last = (int) Math.floor((high - entry) / (2 * Math.PI) + 1e-9);
    for (int turn = first; turn <= last; turn++) {
      double shift = 2 * Math.PI * turn;
      double from = Math.max(low - shift, entry);
      double to2 = Math.min(high - shift, exit);
      boolean point = high - low < 1e-9;
      if (point ? from <= to2 + 1e-9 : from < to2) {
        to.at(tip - shift, from, to2);
      }
    }
  }

  /**
   * Adds flute j's part of A(ψ), mean over the depth, Pa.
   *
   * @param into xx, xy, yx, yy
   */
  void add(int j, double psiRad, double depthM, double[] into) {
    double lag = Math.abs(lagPerM[j] * depthM);
    stretches(
        j,
        psiRad,
        depthM,
        (tip, low, high) -> {
          DirectionalFactors f =
              lag < 1e-9
                  ? DirectionalFactors.at(tip, kr)
                  : DirectionalFactors.averaged(low, high, kr);
          double scale = 0.5 * ktc / (lag < 1e-9 ? 1 : lag);
          into[0] += scale * f.axx();
          into[1] += scale * f.axy();
          into[2] += scale * f.ayx();
          into[3] += scale * f.ayy();
        });
  }

  /**
   * Adds the mean over the depth of chip direction times itself, (sin φ, cos φ)ᵀ(sin φ, cos φ), of
   * all flutes in the cut.
   *
   * @param into xx, xy, yx, yy
   */
  void addNormal(double psiRad, double depthM, double[] into) {
    for (int j = 0; j < pitch.length; j++) {
      double lag = Math.abs(lagPerM[j] * depthM);
      stretches(
          j,
          psiRad,
          depthM,
          (tip, low, high) -> {
            double span = high - low;
            double middle = lag < 1e-9 ? tip : 0.5 * (low + high);
            double part = lag < 1e-9 ? 1 : span / lag;
            double sinc = span < 1e-9 ? 1 : Math.sin(span) / span;
            double cos2 = part * 0.5 * sinc * Math.cos(2 * middle);
            double sin2 = part * 0.5 * sinc * Math.sin(2 * middle);
            into[0] += 0.5 * part - cos2;
            into[1] += sin2;
            into[2] += sin2;
            into[3] += 0.5 * part + cos2;
          });
    }
  }

  /** The tooth in the cut at ψ as force direction times chip direction: angle, or NaN if none. */
  double toothAngle(double psiRad) {
    double[] angle = {Double.NaN};
    for (int j = 0; j < pitch.length; j++) {
      stretches(j, psiRad, 0, (tip, low, high) -> angle[0] = tip);
    }
    return angle[0];
  }

  double ktc() {
    return ktc;
  }

  double kr() {
    return kr;
  }

  double lagPerM(int j) {
    return lagPerM[j];
  }

  /** Whether anything is in the cut at ψ. */
  boolean cuts(double psiRad, double depthM) {
    boolean[] any = new boolean[1];
    for (int j = 0; j < pitch.length; j++) {
      stretches(j, psiRad, depthM, (tip, low, high) -> any[0] = true);
    }
    return any[0];
  }

  /** Largest width of cut in angle, rad, for bounds. */
  double sweptRad() {
    return exit - entry;
  }
}

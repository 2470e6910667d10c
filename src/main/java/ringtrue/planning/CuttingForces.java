package ringtrue.planning;

import java.util.Arrays;
import java.util.TreeSet;
import ringtrue.stability.CuttingCoefficients;
import ringtrue.stability.CuttingProcess;
import ringtrue.stability.Engagement;
import ringtrue.stability.Tool;

/**
 * Forces of a milling cut that does not vibrate, over one turn of the spindle: the mechanistic
 * model with linear coefficients and edge terms (Altintas, Manufacturing Automation, 2nd ed. 2012,
 * ch. 2; Budak, Altintas &amp; Armarego 1996), in the axes of the cut file.
 *
 * <p>Flute j at height z stands at φ = θ − σ_j − 2 z tan(helix_j)/D, with θ the angle of flute 0 at
 * the tip and σ the sum of the pitch angles before. Its chip is {@code h = min over i of f Δ_i/(2π)
 * sin φ + R_j − R_i}, nothing where that is negative: Δ_i is the angle that flute i runs ahead (2π
 * for itself, a turn ago), f the feed per turn, and R the radius with run-out. The minimum is the
 * surface that all earlier passes left together, so a flute that missed leaves its share to the
 * next one. Paths are circles (feed small against the diameter).
 *
 * <p>Run-out is a parallel offset ρ of the cutter's axis towards flute 0 at the tip, {@code R = D/2
 * + ρ cos(σ_j + 2 z tan(helix_j)/D)} (Kline &amp; DeVor 1983); a dial indicator on the shank reads
 * 2ρ. Entry and exit angles are taken as without run-out.
 *
 * <p>Integrals along the edge are in closed form for equal helices (the chip is a sine in φ there,
 * with or without run-out), by Gauss–Legendre quadrature between the breaks otherwise, relative
 * error about 1e-8. Averages over the turn integrate over the angle in closed form and along the
 * axis in closed form or by quadrature, relative error below 1e-6. Peaks come from the angles
 * sampled, the angles at which a flute enters or leaves among them.
 */
public final class CuttingForces {
  private static final double TURN = 2 * Math.PI;

  /** Distance from an entry or exit at which the side limits are taken, rad. */
  private static final double SIDE = 1e-9;

  /** Gauss–Legendre rule of four points on [−1, 1]. */
  private static final double[] NODES = {
    -0.8611363115940526, -0.3399810435848563, 0.3399810435848563, 0.8611363115940526
  };

  private static final double[] WEIGHTS = {
    0.3478548451374538, 0.6521451548625461, 0.6521451548625461, 0.3478548451374538
  };

  private static final int DEEPEST_BISECTION = 14;

  private final Tool tool;
  private final Engagement engagement;
  private final CuttingCoefficients coefficients;
  private final double feedPerTurnM;
  private final int flutes;
  private final double[] behindRad;
  private final double[] lagRadPerM;
  private final boolean equalHelix;

  private final double[] angleRad;
  private final double[] xN;
  private final double[] yN;
  private final double[] tangentialN;
  private final int[] teeth;
  private final double meanXN;
  private final double meanYN;
  private final double meanTangentialN;
  private final double meanTeeth;
  private final double largestChipM;
  private WallError wall;

  private CuttingForces(
      Tool tool,
      Engagement engagement,
      CuttingCoefficients coefficients,
      double feedPerToothM,
      int anglesPerTurn) {
    this.tool = tool;
    this.engagement = engagement;
    this.coefficients = coefficients;
    this.flutes = tool.flutes();
    this.feedPerTurnM = feedPerToothM * flutes;
    this.behindRad = new double[flutes];
    this.lagRadPerM = new double[flutes];
    for (int j = 0; j < flutes; j++) {
      behindRad[j] = j == 0 ? 0 : behindRad[j - 1] + tool.pitchRad().get(j - 1);
      lagRadPerM[j] = 2 * Math.tan(tool.helixRad().get(j)) / tool.diameterM();
    }
    this.equalHelix = tool.equalHelix();

    Sums mean = new Sums();
    average(mean);
    meanXN = mean.x;
    meanYN = mean.y;
    meanTangentialN = mean.tangential;
    largestChipM = findLargestChip();

    angleRad = angles(anglesPerTurn);
    int n = angleRad.length;
    xN = new double[n];
    yN = new double[n];
    tangentialN = new double[n];
    teeth = new int[n];
    Sums now = new Sums();
    for (int i = 0; i < n; i++) {
      now.clear();
      for (int j = 0; j < flutes; j++) {
        if (flute(j, angleRad[i], now)) {
          teeth[i]++;
        }
      }
      xN[i] = now.x;
      yN[i] = now.y;
      tangentialN[i] = now.tangential;
    }
    meanTeeth = averageTeeth();
  }

  /**
   * Forces of a milling cut.
   *
   * @param process a milling cut; its dynamics and speed do not matter here
   * @throws IllegalArgumentException if it is not milling
   */
  public static CuttingForces of(CuttingProcess process) {
    return of(process, 720);
  }

  /**
   * Forces of a milling cut at a chosen number of angles.
   *
   * @param process a milling cut
   * @param anglesPerTurn evenly spaced angles in a turn, beside those where a flute enters or
   *     leaves; 720 give peaks within 1e-3
   * @throws IllegalArgumentException if it is not milling or there are fewer than 16 angles
   */
  public static CuttingForces of(CuttingProcess process, int anglesPerTurn) {
    if (process.operation() != CuttingProcess.Operation.MILLING) {
      throw new IllegalArgumentException("forces over a turn are those of milling");
    }
    if (anglesPerTurn < 16) {
      throw new IllegalArgumentException("at least 16 angles, were " + anglesPerTurn);
    }
    return new CuttingForces(
        process.tool().orElseThrow(),
        process.engagement(),
        process.coefficients(),
        process.feedPerToothM(),
        anglesPerTurn);
  }

  /** Number of angles sampled: a turn, or one tooth passing if all teeth are alike. */
  public int samples() {
    return angleRad.length;
  }

  /** Angle after which the forces repeat, rad: a turn, or one tooth passing. */
  public double periodRad() {
    return teethAlike() ? TURN / flutes : TURN;
  }

  /** Angle θ of flute 0 at the tip at sample i, rad, rising. */
  public double angleRad(int i) {
    return angleRad[i];
  }

  /** Force on the cutter along the feed at sample i, N. */
  public double xN(int i) {
    return xN[i];
  }

  /** Force on the cutter across the feed at sample i, N. */
  public double yN(int i) {
    return yN[i];
  }

  /** Sum of the flutes' tangential forces at sample i, N; times D/2 it is the torque. */
  public double tangentialN(int i) {
    return tangentialN[i];
  }

  /** Teeth that cut at sample i, each counted once however short its edge in the cut. */
  public int teeth(int i) {
    return teeth[i];
  }

  /** Average force along the feed, N. */
  public double meanXN() {
    return meanXN;
  }

  /** Average force across the feed, N. */
  public double meanYN() {
    return meanYN;
  }

  /** Average of the summed tangential force, N. */
  public double meanTangentialN() {
    return meanTangentialN;
  }

  /** Average torque, N m. */
  public double meanTorqueNm() {
    return meanTangentialN * tool.diameterM() / 2;
  }

  /** Average power at the cutter at a spindle speed, W. */
  public double meanPowerW(double speedRpm) {
    return meanTorqueNm() * TURN * speedRpm / 60;
  }

  /** Largest torque, N m. */
  public double peakTorqueNm() {
    return Arrays.stream(tangentialN).max().orElse(0) * tool.diameterM() / 2;
  }

  /** Power at the largest torque at a spindle speed, W. */
  public double peakPowerW(double speedRpm) {
    return peakTorqueNm() * TURN * speedRpm / 60;
  }

  /**
   * Work that the rotor has to lend and take back within a turn where its motor gives the average
   * torque only, J: the range of the integral of what exceeds the average.
   */
  public double borrowedWorkJ() {
    double least = 0;
    double most = 0;
    double sum = 0;
    for (int i = 0; i < angleRad.length; i++) {
      int next = (i + 1) % angleRad.length;
      double width = angleRad[next] - angleRad[i] + (next == 0 ? periodRad() : 0);
      sum += width * ((tangentialN[i] + tangentialN[next]) / 2 - meanTangentialN);
      least = Math.min(least, sum);
      most = Math.max(most, sum);
    }
    return (most - least) * tool.diameterM() / 2;
  }

  /** Share of the time in which no tooth cuts. */
  public double idleShare() {
    double idle = 0;
    for (int i = 0; i < angleRad.length; i++) {
      int next = (i + 1) % angleRad.length;
      double width = angleRad[next] - angleRad[i] + (next == 0 ? periodRad() : 0);
      idle += teeth[i] == 0 && teeth[next] == 0 ? width : 0;
    }
    return idle / periodRad();
  }

  /** Smallest force in the plane of the cut, N. */
  public double leastResultantN() {
    double least = Double.POSITIVE_INFINITY;
    for (int i = 0; i < angleRad.length; i++) {
      least = Math.min(least, Math.hypot(xN[i], yN[i]));
    }
    return least;
  }

  /** Where the wall is left; made when first asked for, by one thread. */
  WallError wall() {
    if (wall == null) {
      wall = new WallError(this, tool, engagement);
    }
    return wall;
  }

  /**
   * Largest displacement across the feed under the forces as if they were steady, whatever its
   * sign, m.
   *
   * @param yyMPerN static compliance in y
   * @param xyMPerN static cross compliance, displacement in y by force in x
   */
  double peakDeflectionM(double yyMPerN, double xyMPerN) {
    double peak = 0;
    for (int i = 0; i < angleRad.length; i++) {
      peak = Math.max(peak, Math.abs(yyMPerN * yN[i] + xyMPerN * xN[i]));
    }
    return peak;
  }

  /** Largest force in the plane of the cut, N. */
  public double peakResultantN() {
    double peak = 0;
    for (int i = 0; i < angleRad.length; i++) {
      peak = Math.max(peak, Math.hypot(xN[i], yN[i]));
    }
    return peak;
  }

  /** Largest force across the feed, whatever its sign, N. */
  public double peakAcrossN() {
    double peak = 0;
    for (double y : yN) {
      peak = Math.max(peak, Math.abs(y));
    }
    return peak;
  }

  /** Largest chip thickness that any tooth cuts, run-out and uneven pitch included, m. */
  public double largestChipM() {
    return largestChipM;
  }

  /** Smallest number of teeth in the cut at any moment. */
  public int leastTeeth() {
    return Arrays.stream(teeth).min().orElse(0);
  }

  /** Largest number of teeth in the cut at any moment. */
  public int mostTeeth() {
    return Arrays.stream(teeth).max().orElse(0);
  }

  /** Number of teeth in the cut, averaged over the turn. */
  public double meanTeeth() {
    return meanTeeth;
  }

  /** Angle that flute i runs ahead of flute j at a height, in (0, 2π]. */
  private double aheadRad(int i, int j, double z) {
    if (i == j) {
      return TURN;
    }
    double gap = behindRad[j] - behindRad[i] + (lagRadPerM[j] - lagRadPerM[i]) * z;
    double inTurn = gap - TURN * Math.floor(gap / TURN);
    return inTurn == 0 ? TURN : inTurn;
  }

  /** What run-out adds to the radius of flute j at a height, m. */
  private double runoutM(int j, double z) {
    return tool.runoutM() == 0 ? 0 : tool.runoutM() * Math.cos(behindRad[j] + lagRadPerM[j] * z);
  }

  /** Chip thickness of flute j at a height for a given sin φ, m; negative where it misses. */
  private double chipM(int j, double z, double sine) {
    double thin = Double.POSITIVE_INFINITY;
    double own = runoutM(j, z);
    for (int i = 0; i < flutes; i++) {
      double chip = feedPerTurnM * aheadRad(i, j, z) / TURN * sine + own - runoutM(i, z);
      thin = Math.min(thin, chip);
    }
    return thin;
  }

  /** Which flute left the surface that flute j meets; −1 where it misses. */
  private int surfaceOf(int j, double z, double sine) {
    double thin = Double.POSITIVE_INFINITY;
    int whose = -1;
    double own = runoutM(j, z);
    for (int i = 0; i < flutes; i++) {
      double chip = feedPerTurnM * aheadRad(i, j, z) / TURN * sine + own - runoutM(i, z);
      if (chip < thin) {
        thin = chip;
        whose = i;
      }
    }
    return thin > 0 ? whose : -1;
  }

  /** The flute just ahead of flute j, which alone matters where there is no run-out. */
  private int predecessor(int j, double z) {
    int best = j;
    for (int i = 0; i < flutes; i++) {
      if (aheadRad(i, j, z) < aheadRad(best, j, z)) {
        best = i;
      }
    }
    return best;
  }

  /** Adds what flute j does at spindle angle θ; true if any of it cuts. */
  private boolean flute(int j, double theta, Sums into) {
    double axial = engagement.axialM();
    double tip = theta - behindRad[j];
    double lag = lagRadPerM[j] * axial;
    double low = Math.min(tip, tip - lag);
    double high = Math.max(tip, tip - lag);
    double first = Math.ceil((low - engagement.exitRad()) / TURN);
    boolean cuts = false;
    for (double k = first; engagement.entryRad() + k * TURN <= high; k++) {
      double from = Math.max(low, engagement.entryRad() + k * TURN);
      double to = Math.min(high, engagement.exitRad() + k * TURN);
      if (!(to >= from)) {
        continue;
      }
      if (Math.abs(lag) < 1e-12) {
        cuts |= equalHelix ? sines(j, theta, tip, tip, axial, into) : edge(j, tip, 0, axial, into);
      } else if (to > from) {
        double z1 = (tip - to) / lagRadPerM[j];
        double z2 = (tip - from) / lagRadPerM[j];
        cuts |=
            equalHelix
                ? sines(j, theta, from, to, Math.abs(z2 - z1), into)
                : edge(j, tip, Math.min(z1, z2), Math.max(z1, z2), into);
      }
    }
    return cuts;
  }

  /**
   * Equal helices: along the edge every candidate chip is a sin φ + b cos φ at a fixed θ, so all
   * breaks and integrals are in closed form.
   */
  private boolean sines(int j, double theta, double from, double to, double length, Sums into) {
    double rho = tool.runoutM();
    if (rho == 0) {
      double a = feedPerTurnM * aheadRad(predecessor(j, 0), j, 0) / TURN;
      // beyond half a turn the tooth moves away from the work
      double back = Math.PI + TURN * Math.floor((from + to) / 2 / TURN);
      double[] ends = {from, back, to};
      return pieces(ends, new double[] {a}, new double[] {0}, length, into);
    }
    double[] a = new double[flutes];
    double[] b = new double[flutes];
    for (int i = 0; i < flutes; i++) {
      double other = theta + behindRad[i] - behindRad[j];
      a[i] = feedPerTurnM * aheadRad(i, j, 0) / TURN + rho * (Math.sin(theta) - Math.sin(other));
      b[i] = rho * (Math.cos(theta) - Math.cos(other));
    }
    double[] breaks = new double[2 + flutes * (flutes + 1)];
    int n = 0;
    breaks[n++] = from;
    breaks[n++] = to;
    for (int i = 0; i < flutes; i++) {
      for (int k = i; k < flutes; k++) {
        double da = k == i ? a[i] : a[i] - a[k];
        double db = k == i ? b[i] : b[i] - b[k];
        double zero = Math.atan2(-db, da);
        double above = zero + Math.PI * Math.ceil((from - zero) / Math.PI);
        while (above < to && n < breaks.length) {
          breaks[n++] = above;
          above += Math.PI;
        }
      }
    }
    double[] sorted = Arrays.copyOf(breaks, n);
    Arrays.sort(sorted);
    return pieces(sorted, a, b, length, into);
  }

  private boolean pieces(double[] ends, double[] a, double[] b, double length, Sums into) {
    double from = ends[0];
    double to = ends[ends.length - 1];
    if (to == from) {
      return piece(from, from, length, a, b, into);
    }
    boolean cuts = false;
    double before = from;
    for (double end : ends) {
      double next = Math.min(to, Math.max(before, end));
      if (next > before) {
        cuts |= piece(before, next, length * (next - before) / (to - from), a, b, into);
      }
      before = next;
    }
    return cuts;
  }

  private boolean piece(double from, double to, double length, double[] a, double[] b, Sums into) {
    double middle = (from + to) / 2;
    double sin = Math.sin(middle);
    double cos = Math.cos(middle);
    int least = 0;
    for (int i = 1; i < a.length; i++) {
      if (a[i] * sin + b[i] * cos < a[least] * sin + b[least] * cos) {
        least = i;
      }
    }
    if (!(a[least] * sin + b[least] * cos > 0)) {
      return false;
    }
    into.add(middle, to - from, length, a[least], b[least], 0);
    return true;
  }

  /** Unequal helices: quadrature along the edge, halving where another surface takes over. */
  private boolean edge(int j, double tip, double z1, double z2, Sums into) {
    if (!(z2 > z1)) {
      return false;
    }
    int panels = 1 + (int) (Math.abs(lagRadPerM[j]) * (z2 - z1) / 0.4);
    boolean cuts = false;
    for (int p = 0; p < panels; p++) {
      cuts |=
          panel(
              j,
              tip,
              z1 + (z2 - z1) * p / panels,
              z1 + (z2 - z1) * (p + 1) / panels,
              DEEPEST_BISECTION,
              into);
    }
    return cuts;
  }

  private boolean panel(int j, double tip, double z1, double z2, int levels, Sums into) {
    double middle = (z1 + z2) / 2;
    int whose = surfaceOf(j, middle, Math.sin(tip - lagRadPerM[j] * middle));
    boolean smooth =
        whose == surfaceOf(j, z1, Math.sin(tip - lagRadPerM[j] * z1))
            && whose == surfaceOf(j, z2, Math.sin(tip - lagRadPerM[j] * z2));
    if (!smooth && levels > 0) {
      boolean below = panel(j, tip, z1, middle, levels - 1, into);
      return panel(j, tip, middle, z2, levels - 1, into) || below;
    }
    boolean cuts = false;
    for (int q = 0; q < NODES.length; q++) {
      double z = middle + NODES[q] * (z2 - z1) / 2;
      double phi = tip - lagRadPerM[j] * z;
      double chip = chipM(j, z, Math.sin(phi));
      if (chip > 0) {
        into.add(phi, 0, WEIGHTS[q] * (z2 - z1) / 2, 0, 0, chip);
        cuts = true;
      }
    }
    return cuts;
  }

  /** Averages over a turn: at each height the angle runs through the arc once a turn. */
  private void average(Sums into) {
    double axial = engagement.axialM();
    for (int j = 0; j < flutes; j++) {
      boolean same = equalHelix && (tool.runoutM() == 0 || lagRadPerM[j] == 0);
      if (same) {
        arc(j, 0, axial, into);
        continue;
      }
      double most = Arrays.stream(lagRadPerM).map(Math::abs).max().orElse(0);
      int panels = 4 + (int) (most * axial / 0.15);
      for (int p = 0; p < panels; p++) {
        for (int q = 0; q < NODES.length; q++) {
          double z = axial * (p + (1 + NODES[q]) / 2) / panels;
          arc(j, z, axial / panels * WEIGHTS[q] / 2, into);
        }
      }
    }
  }

  /** Adds flute j's pass through the arc at one height, divided by a turn. */
  private void arc(int j, double z, double lengthM, Sums into) {
    boolean round = tool.runoutM() == 0;
    int n = round ? 1 : flutes;
    double[] slope = new double[n];
    double[] offset = new double[n];
    for (int i = 0; i < n; i++) {
      int other = round ? predecessor(j, z) : i;
      slope[i] = feedPerTurnM * aheadRad(other, j, z) / TURN;
      offset[i] = runoutM(j, z) - runoutM(other, z);
    }
    TreeSet<Double> ends = new TreeSet<>();
    ends.add(engagement.entryRad());
    ends.add(engagement.exitRad());
    for (int i = 0; i < n; i++) {
      addCrossing(-offset[i] / slope[i], ends);
      for (int k = i + 1; k < n; k++) {
        addCrossing((offset[k] - offset[i]) / (slope[i] - slope[k]), ends);
      }
    }
    double before = Double.NaN;
    for (double end : ends) {
      if (end > before) {
        double middle = (before + end) / 2;
        double sine = Math.sin(middle);
        int least = 0;
        for (int i = 1; i < n; i++) {
          if (slope[i] * sine + offset[i] < slope[least] * sine + offset[least]) {
            least = i;
          }
        }
        if (slope[least] * sine + offset[least] > 0) {
          double share = lengthM * (end - before) / TURN;
          into.add(middle, end - before, share, slope[least], 0, offset[least]);
        }
      }
      before = end;
    }
  }

  /** Adds the angles of the arc at which sin φ has a value. */
  private void addCrossing(double sine, TreeSet<Double> ends) {
    if (!(Math.abs(sine) <= 1)) {
      return;
    }
    double angle = Math.asin(sine);
    for (double phi : new double[] {angle, Math.PI - angle, angle + TURN}) {
      if (phi > engagement.entryRad() && phi < engagement.exitRad()) {
        ends.add(phi);
      }
    }
  }

  private double findLargestChip() {
    double entry = engagement.entryRad();
    double exit = engagement.exitRad();
    double sine =
        entry <= Math.PI / 2 && exit >= Math.PI / 2 ? 1 : Math.max(Math.sin(entry), Math.sin(exit));
    boolean varies = tool.runoutM() != 0 || !equalHelix;
    int heights = varies ? 128 : 0;
    double most = 0;
    for (int j = 0; j < flutes; j++) {
      for (int p = 0; p <= heights; p++) {
        double z = heights == 0 ? 0 : engagement.axialM() * p / heights;
        most = Math.max(most, chipM(j, z, sine));
      }
    }
    return most;
  }

  private boolean teethAlike() {
    return tool.evenPitch() && equalHelix && tool.runoutM() == 0;
  }

  private double[] angles(int perTurn) {
    double period = teethAlike() ? TURN / flutes : TURN;
    int n = teethAlike() ? Math.max(16, (perTurn + flutes - 1) / flutes) : perTurn;
    TreeSet<Double> all = new TreeSet<>();
    for (int i = 0; i < n; i++) {
      all.add(period * i / n);
    }
    for (int j = 0; j < flutes; j++) {
      double top = lagRadPerM[j] * engagement.axialM();
      for (double edge : new double[] {engagement.entryRad(), engagement.exitRad()}) {
        for (double at : new double[] {edge + behindRad[j], edge + behindRad[j] + top}) {
          // just before and just after; never at it, where the count of teeth means nothing
          double event = at - period * Math.floor(at / period);
          all.subSet(event - SIDE, event + SIDE).clear();
          all.subSet(event - period - SIDE, event - period + SIDE).clear();
          for (double side : new double[] {at - SIDE, at + SIDE}) {
            all.add(side - period * Math.floor(side / period));
          }
        }
      }
    }
    return all.stream().mapToDouble(Double::doubleValue).toArray();
  }

  private double averageTeeth() {
    if (tool.runoutM() == 0 && engagement.exitRad() <= Math.PI + 1e-12) {
      double sum = 0;
      for (int j = 0; j < flutes; j++) {
        double swept =
            engagement.exitRad()
                - engagement.entryRad()
                + Math.abs(lagRadPerM[j]) * engagement.axialM();
        sum += Math.min(1, swept / TURN);
      }
      return sum;
    }
    double period = teethAlike() ? TURN / flutes : TURN;
    double sum = 0;
    for (int i = 0; i < angleRad.length; i++) {
      int next = (i + 1) % angleRad.length;
      double width = angleRad[next] - angleRad[i] + (next == 0 ? period : 0);
      sum += width * (teeth[i] + teeth[next]) / 2;
    }
    return sum / period;
  }

  /** Sums of forces over stretches of edge. */
  private final class Sums {
    private double x;
    private double y;
    private double tangential;

    private void clear() {
      x = 0;
      y = 0;
      tangential = 0;
    }

    /**
     * Adds a stretch over which φ runs evenly through [middle − width/2, middle + width/2], with
     * chip {@code a sin φ + b cos φ + c}. Means over the stretch are written with sin(w)/w, which
     * stays exact as the width goes to nothing (straight flutes).
     */
    private void add(double middle, double width, double length, double a, double b, double c) {
      double half = sinc(width / 2);
      double whole = sinc(width);
      double sin = Math.sin(middle);
      double cos = Math.cos(middle);
      double s = sin * half;
      double k = cos * half;
      double ss = (1 - (cos * cos - sin * sin) * whole) / 2;
      double kk = 1 - ss;
      double sk = sin * cos * whole;
      // means of h, h sin φ, h cos φ
      double h = a * s + b * k + c;
      double hs = a * ss + b * sk + c * s;
      double hk = a * sk + b * kk + c * k;
      double ktc = coefficients.ktcPa();
      double krc = coefficients.krcPa();
      double kte = coefficients.kteNPerM();
      double kre = coefficients.kreNPerM();
      tangential += length * (ktc * h + kte);
      x -= length * (ktc * hk + kte * k + krc * hs + kre * s);
      y += length * (ktc * hs + kte * s - krc * hk - kre * k);
    }

    private static double sinc(double x) {
      return Math.abs(x) < 1e-4 ? 1 - x * x / 6 : Math.sin(x) / x;
    }
  }
}

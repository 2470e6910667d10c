package ringtrue.stability;

import java.util.Arrays;
import ringtrue.stability.CuttingProcess.Operation;
import ringtrue.stability.SimulationSettings.StockEdge;

/**
 * A cut marching through time, one step after the other.
 *
 * <p><b>Structure.</b> Each mode is a complex number that turns and decays by an exact factor in
 * each step. The force acts as one blow F·dt in the middle of the step (Strang's splitting: free
 * flight, blow, free flight), so that the displacement at a step never depends on the force of the
 * same step, and the scheme is explicit, of second order and, without damping, symplectic. Steps
 * divide the turn evenly.
 *
 * <p><b>Work.</b> Each axial slice of the work keeps, for every angle of the tool's circle, the
 * furthest that any tooth ever reached there: {@code S = max (r·n + feed·n + R)} with n = (sin φ,
 * cos φ), displacement r of the tool against the work and R the tooth's radius. The chip is what
 * the tooth reaches beyond it, nothing where it does not; then the tooth's own reach takes its
 * place. So a tooth that missed leaves its share to the next, over as many passes as it takes.
 * Paths are circles, as in {@code CuttingForces} (feed small against the diameter).
 *
 * <p>Where every flute passes the same angles at whole steps, the surface is read and written in
 * place. Otherwise (uneven pitch that fits no grid, unequal helices) it is read between the angles
 * by a cubic, and written two steps late from a cubic through the displacements, so that a tooth
 * never reads what it has just cut.
 *
 * <p><b>Engagement.</b> At a wall (entry at 0, exit at 180 deg) the tooth leaves by the circle; a
 * free edge of the stock stays in its place while the tool moves ({@link StockEdge}). Teeth are in
 * the cut for the part of a step, and of a slice, that they are.
 */
final class CutMarch {
  private static final double TURN = 2 * Math.PI;
  private static final double NOTHING_LEFT = -1e300;

  /** A slice spans at most this angle of lag. */
  private static final double SLICE_RAD = Math.toRadians(3);

  private static final int FEWEST_SLICES = 6;
  private static final int MOST_NODES = 4_000_000;
  private static final int FEWEST_STEPS = 360;
  private static final int MOST_STEPS = 200_000;
  private static final double STEPS_OF_ARC = 24;

  /** How far beyond the arc the surface is kept for a tool that moves across, rad. */
  private static final double EDGE_MARGIN = 0.25;

  private static final double GRID = 1e-9;

  /** Steps after which nothing remembers a tool that does not vibrate. */
  private static final int LEAD_IN = 8;

  final int steps;
  final int flutes;
  final int slices;
  final int size;
  final double dtS;
  final double radiusM;
  final double omega;
  final boolean turning;
  final boolean aligned;
  final double highestHz;

  /** Whether a turn would need more steps than are taken. */
  final boolean tooMany;

  final ModalCoordinates modes;
  final double[] re;
  final double[] im;

  private final double[] turnRe;
  private final double[] turnIm;
  private final double[] kick;
  private final double[] lambdaRe;
  private final double[] lambdaIm;
  private final int[] in;
  private final int[] out;
  private final double ktc;
  private final double krc;
  private final double kte;
  private final double kre;
  private final double sliceM;
  private final double feedPerStepM;
  private final double feedPerToothM;
  private final double dampingPerM;
  private final double[] mobility = new double[4];
  private final double[] instant = new double[4];
  private final boolean gives;

  private final double[] sine;
  private final double[] cosine;
  private final double[] behind;
  private final double[] slope;
  private final double[] offCos;
  private final double[] offSin;
  private final double[] gridCos;
  private final double[] gridSin;
  private final double[] radial;
  private final int[] whole;
  private final double[] read;
  private final double[] late;
  private final double[] surface;
  private final double[] recentX = new double[4];
  private final double[] recentY = new double[4];
  private final double[] recentFeed = new double[4];

  private final double dAngle;
  private final double blur;
  private final double entry;
  private final double exit;
  private final boolean entryMoves;
  private final boolean exitMoves;
  private final double low;
  private final double high;

  private int at;
  private double feedSteps;
  private long done;
  private double from;
  private double to;
  private double sumS;
  private double sumC;
  private double sumH;
  private double sumHs;
  private double sumHc;
  private double sumW;
  private double sumSs;
  private double sumSc;
  private double sumCc;

  /** Relative displacement at the step just done, m. */
  double x;

  double y;

  /** Relative velocity in its middle, m/s. */
  double vx;

  double vy;

  /** Force on the cutter, N; the summed tangential force, N. */
  double fx;

  double fy;
  double tangential;

  /** Chip of each flute, largest over its height, m; negative where it passes above the work. */
  final double[] chip;

  /** Whether each flute is in its arc. */
  final boolean[] inArc;

  /**
   * @param process the cut, tables of modes read at its speed, no measured responses
   */
  CutMarch(CuttingProcess process, double stepsPerCycle, StockEdge edge) {
    turning = process.operation() == Operation.TURNING;
    Tool tool = process.tool().orElse(null);
    Engagement engagement = process.engagement();
    CuttingCoefficients force = process.coefficients();
    double depth = engagement.axialM();
    double turnS = 60 / process.speedRpm();
    omega = TURN / turnS;
    flutes = turning ? 1 : tool.flutes();
    radiusM = turning ? Double.NaN : tool.diameterM() / 2;
    ktc = force.ktcPa();
    krc = force.krcPa();
    kte = force.kteNPerM();
    kre = force.kreNPerM();
    entry = turning ? 0 : engagement.entryRad();
    exit = turning ? TURN : engagement.exitRad();

    modes = ModalCoordinates.of(process, depth);
    int n = modes.size();
    size = n;
    double slopeMost = 0;
    behind = new double[flutes];
    slope = new double[flutes];
    for (int j = 0; j < flutes && !turning; j++) {
      behind[j] = j == 0 ? 0 : behind[j - 1] + tool.pitchRad().get(j - 1);
      slope[j] = 2 * Math.tan(tool.helixRad().get(j)) / tool.diameterM();
      slopeMost = Math.max(slopeMost, Math.abs(slope[j]));
    }
    double lag = slopeMost * depth;
    boolean equal = turning || tool.equalHelix();
    highestHz = highestHz(depth);
    double wanted =
        Math.max(
            Math.max(FEWEST_STEPS, stepsPerCycle * highestHz * turnS),
            STEPS_OF_ARC * (stepsPerCycle / 40) * TURN / (exit - entry));
    wanted = Math.max(wanted, stepsPerCycle / 40 * FEWEST_STEPS);
    tooMany = wanted > MOST_STEPS;
    steps = steps((int) Math.ceil(Math.min(wanted, MOST_STEPS)), equal);
    int fine = Math.max(FEWEST_SLICES, (int) Math.ceil(lag / SLICE_RAD * stepsPerCycle / 40));
    slices = lag < 1e-9 ? 1 : Math.min(fine, Math.max(FEWEST_SLICES, MOST_NODES / steps));
    sliceM = depth / slices;
    aligned = equal && onGrid(steps);
    dtS = turnS / steps;
    dAngle = TURN / steps;
    blur = Math.max(dAngle, slopeMost * sliceM);
    feedPerStepM = process.feedPerToothM() * flutes / steps;
    feedPerToothM = process.feedPerToothM();
    double cuttingSpeed = process.cuttingSpeedMPerS(process.speedRpm());
    dampingPerM =
        process.processDampingNPerM() == 0 ? 0 : process.processDampingNPerM() / cuttingSpeed;

    entryMoves = !turning && edge == StockEdge.IN_PLACE && entry > 1e-6 && entry < Math.PI;
    exitMoves = !turning && edge == StockEdge.IN_PLACE && exit < Math.PI - 1e-6;
    double gap = Math.max(8 * dAngle, 2 * blur);
    low = entry - (entryMoves ? Math.max(EDGE_MARGIN, gap) : gap);
    high = Math.min(low + TURN - dAngle, exit + (exitMoves ? Math.max(EDGE_MARGIN, gap) : gap));

    re = new double[n];
    im = new double[n];
    turnRe = new double[n];
    turnIm = new double[n];
    kick = new double[n];
    lambdaRe = new double[n];
    lambdaIm = new double[n];
    in = new int[n];
    out = new int[n];
    for (int k = 0; k < n; k++) {
      lambdaRe[k] = modes.lambdaRe(k);
      lambdaIm[k] = modes.lambdaIm(k);
      double decay = Math.exp(lambdaRe[k] * dtS);
      turnRe[k] = decay * Math.cos(lambdaIm[k] * dtS);
      turnIm[k] = decay * Math.sin(lambdaIm[k] * dtS);
      kick[k] = modes.gain(k) * dtS;
      in[k] = modes.in(k);
      out[k] = modes.out(k);
      mobility[2 * out[k] + in[k]] += modes.gain(k) * lambdaIm[k];
    }
    for (int i = 0; i < 4; i++) {
      instant[i] = modes.instant(i / 2, i % 2);
    }
    gives = instant[0] != 0 || instant[1] != 0 || instant[2] != 0 || instant[3] != 0;

    sine = new double[steps];
    cosine = new double[steps];
    for (int k = 0; k < steps; k++) {
      double angle = turning ? Math.PI / 2 - process.modeAngleRad() : k * dAngle;
      sine[k] = Math.sin(angle);
      cosine[k] = Math.cos(angle);
    }
    int edges = flutes * slices;
    offCos = new double[edges];
    offSin = new double[edges];
    radial = new double[edges];
    whole = new int[edges];
    read = new double[4 * edges];
    late = new double[4 * edges];
    gridCos = new double[slices];
    gridSin = new double[slices];
    for (int s = 0; s < slices; s++) {
      double z = (s + 0.5) * sliceM;
      double base = slope[0] * z;
      gridCos[s] = Math.cos(base);
      gridSin[s] = Math.sin(base);
      for (int j = 0; j < flutes; j++) {
        int e = j * slices + s;
        double off = behind[j] + slope[j] * z;
        offCos[e] = Math.cos(off);
        offSin[e] = Math.sin(off);
        radial[e] = turning ? 0 : tool.runoutM() * Math.cos(off);
        double q = (off - base) / dAngle;
        if (aligned) {
          whole[e] = (int) Math.rint(q);
        } else {
          whole[e] = (int) Math.floor(q);
          double f = q - whole[e];
          cubic(1 - f, read, 4 * e);
          cubic(f, late, 4 * e);
        }
      }
    }
    surface = new double[steps * slices];
    chip = new double[flutes];
    inArc = new boolean[flutes];
    plough();
  }

  /** Modes and the stiffness that the cut adds to them. */
  private double highestHz(double depthM) {
    double highest = 0;
    double lightest = 0;
    for (int k = 0; k < modes.size(); k++) {
      highest = Math.max(highest, modes.omega(k));
      lightest += Math.abs(modes.gain(k) * modes.lambdaIm(k));
    }
    double cut = lightest * Math.hypot(ktc, krc) * depthM;
    return Math.sqrt(highest * highest + cut) / TURN;
  }

  /** The next number of steps that is a whole number for each pitch, if there is one soon. */
  private int steps(int least, boolean equalHelix) {
    if (equalHelix) {
      for (int n = least; n <= least + 720; n++) {
        if (onGrid(n)) {
          return n;
        }
      }
    }
    return (least + flutes - 1) / flutes * flutes;
  }

  private boolean onGrid(int n) {
    for (double angle : behind) {
      double at = angle / TURN * n;
      if (Math.abs(at - Math.rint(at)) > GRID * n) {
        return false;
      }
    }
    return true;
  }

  /** Weights of a cubic through values at −1, 0, 1, 2. */
  private static void cubic(double u, double[] into, int first) {
    into[first] = -u * (u - 1) * (u - 2) / 6;
    into[first + 1] = (u + 1) * (u - 1) * (u - 2) / 2;
    into[first + 2] = -(u + 1) * u * (u - 2) / 2;
    into[first + 3] = (u + 1) * u * (u - 1) / 6;
  }

  /** The surface that a tool which does not vibrate has left in the turn before. */
  private void plough() {
    Arrays.fill(surface, NOTHING_LEFT);
    for (int s = 0; s < slices; s++) {
      for (int j = 0; j < flutes; j++) {
        int e = j * slices + s;
        double q =
            turning
                ? 0
                : (behind[j] - behind[0] + (slope[j] - slope[0]) * (s + 0.5) * sliceM) / dAngle;
        for (int k = 0; k < steps; k++) {
          // flute j was at node k at the latest step before the first
          double when = k + q;
          when -= steps * Math.ceil(when / steps);
          when = when == 0 ? -steps : when;
          double sin = turning ? 1 : sine[k] * gridCos[s] - cosine[k] * gridSin[s];
          int i = k * slices + s;
          surface[i] = Math.max(surface[i], when * feedPerStepM * sin + radial[e]);
        }
      }
    }
  }

  /**
   * Brings structure and surface into the motion that the forces of a tool which does not vibrate
   * would keep up, each turn alike; that is the periodic motion of the cut itself where all teeth
   * follow each other evenly, and close to it elsewhere. Then strikes a small blow.
   *
   * @param displacementM displacement that the blow makes, m
   */
  void start(double displacementM) {
    double[] forceX = new double[steps];
    double[] forceY = new double[steps];
    for (int i = 0; i < 4; i++) {
      recentFeed[i] = (i - 4) * feedPerStepM;
    }
    for (int turn = 0; turn < 2; turn++) {
      for (int i = 0; i < steps; i++) {
        edges(0);
        remember(0, 0);
        cut(0, 0, true);
        force(0, 0);
        forceX[at] = fx;
        forceY[at] = fy;
        next();
      }
    }
    for (int i = 0; i < steps; i++) {
      push(forceX[i], forceY[i]);
      turnModes();
    }
    for (int k = 0; k < size; k++) {
      double decay = Math.exp(lambdaRe[k] * dtS * steps);
      double a = 1 - decay * Math.cos(lambdaIm[k] * dtS * steps);
      double b = -decay * Math.sin(lambdaIm[k] * dtS * steps);
      double below = a * a + b * b;
      double r = (re[k] * a + im[k] * b) / below;
      im[k] = (im[k] * a - re[k] * b) / below;
      re[k] = r;
    }
    for (int i = 0; i < 2 * steps; i++) {
      if (i == LEAD_IN) {
        Arrays.fill(surface, NOTHING_LEFT);
      }
      displacement();
      x += instant[0] * forceX[at] + instant[1] * forceY[at];
      y += instant[2] * forceX[at] + instant[3] * forceY[at];
      edges(y);
      remember(x, y);
      cut(x, y, true);
      push(forceX[at], forceY[at]);
      turnModes();
      next();
    }
    double most = 0;
    for (int k = 0; k < size; k++) {
      most = Math.max(most, Math.abs(modes.gain(k)));
    }
    for (int k = 0; k < size && most > 0; k++) {
      re[k] += modes.gain(k) * displacementM / most;
    }
    done = 0;
  }

  /** One step: forces at its middle, then on. */
  void step() {
    displacement();
    if (gives) {
      edges(y);
      cut(x, y, false);
      yieldAtOnce();
    }
    edges(y);
    remember(x, y);
    cut(x, y, true);
    velocity();
    double oldVx = vx;
    double oldVy = vy;
    force(vx, vy);
    push(fx, fy);
    vx = oldVx + 0.5 * dtS * (mobility[0] * fx + mobility[1] * fy);
    vy = oldVy + 0.5 * dtS * (mobility[2] * fx + mobility[3] * fy);
    turnModes();
    next();
  }

  /** Steps done since the start. */
  long done() {
    return done;
  }

  /** Whole steps into the present turn. */
  int at() {
    return at;
  }

  /** Advance of the tool at the step just done, m. */
  double feedM() {
    return (feedSteps - 1) * feedPerStepM;
  }

  private void next() {
    at++;
    if (at == steps) {
      at = 0;
    }
    done++;
    feedSteps++;
  }

  private void displacement() {
    double sumX = 0;
    double sumY = 0;
    for (int k = 0; k < size; k++) {
      if (out[k] == 0) {
        sumX += im[k];
      } else {
        sumY += im[k];
      }
    }
    x = sumX;
    y = sumY;
  }

  private void velocity() {
    double sumX = 0;
    double sumY = 0;
    for (int k = 0; k < size; k++) {
      double v = lambdaRe[k] * im[k] + lambdaIm[k] * re[k];
      if (out[k] == 0) {
        sumX += v;
      } else {
        sumY += v;
      }
    }
    vx = sumX;
    vy = sumY;
  }

  private void push(double forceX, double forceY) {
    for (int k = 0; k < size; k++) {
      re[k] += kick[k] * (in[k] == 0 ? forceX : forceY);
    }
  }

  private void turnModes() {
    for (int k = 0; k < size; k++) {
      double r = turnRe[k] * re[k] - turnIm[k] * im[k];
      im[k] = turnRe[k] * im[k] + turnIm[k] * re[k];
      re[k] = r;
    }
  }

  /** Where teeth enter and leave while the tool is displaced across the feed. */
  private void edges(double across) {
    from = entry;
    to = exit;
    if (entryMoves) {
      from = moved(entry, across);
    }
    if (exitMoves) {
      to = moved(exit, across);
    }
  }

  private double moved(double angle, double across) {
    double cos = Math.cos(angle) - across / radiusM;
    double edge = Math.acos(Math.max(-1, Math.min(1, cos)));
    return Math.max(angle - EDGE_MARGIN + blur, Math.min(angle + EDGE_MARGIN - blur, edge));
  }

  private void remember(double nowX, double nowY) {
    if (!aligned) {
      for (int i = 0; i < 3; i++) {
        recentX[i] = recentX[i + 1];
        recentY[i] = recentY[i + 1];
        recentFeed[i] = recentFeed[i + 1];
      }
      recentX[3] = nowX;
      recentY[3] = nowY;
      recentFeed[3] = feedSteps * feedPerStepM;
    }
  }

  /** Chips of all flutes at a displacement, and what forces need of them. */
  private void cut(double nowX, double nowY, boolean write) {
    sumS = 0;
    sumC = 0;
    sumH = 0;
    sumHs = 0;
    sumHc = 0;
    sumW = 0;
    sumSs = 0;
    sumSc = 0;
    sumCc = 0;
    for (int j = 0; j < flutes; j++) {
      chip[j] = NOTHING_LEFT;
      inArc[j] = false;
      double tip = at * dAngle - behind[j];
      if (tip < 0) {
        tip += TURN;
      }
      if (turning) {
        stretch(j, 0, 1, 0, true, nowX, nowY, write);
        continue;
      }
      double lag = slope[j] * sliceM;
      double top = lag * slices;
      double first = Math.ceil((low - Math.max(tip, tip - top)) / TURN);
      for (double m = first; Math.min(tip, tip - top) + m * TURN <= high; m++) {
        double angle = tip + m * TURN;
        int begin = 0;
        int end = slices;
        if (Math.abs(lag) > 1e-12) {
          double a = (angle - high) / lag - 0.5;
          double b = (angle - low) / lag - 0.5;
          begin = (int) Math.max(0, Math.ceil(Math.min(a, b)));
          end = (int) Math.min(slices, Math.floor(Math.max(a, b)) + 1);
        } else if (angle < low || angle > high) {
          continue;
        }
        stretch(j, begin, end, angle, false, nowX, nowY, write);
      }
    }
  }

  /** Slices of one flute between two heights; the angle is that of its tip. */
  private void stretch(
      int j,
      int begin,
      int end,
      double angle,
      boolean always,
      double nowX,
      double nowY,
      boolean write) {
    double feed = feedSteps * feedPerStepM;
    double along = turning ? 0 : feed;
    double straight = turning ? feed : 0;
    double sk = sine[at];
    double ck = cosine[at];
    double lag = slope[j] * sliceM;
    double perBlur = 1 / blur;
    double half = 0.5 * blur;
    double most = chip[j];
    boolean inside = false;
    double s0 = 0;
    double c0 = 0;
    double h0 = 0;
    double hs = 0;
    double hc = 0;
    double w0 = 0;
    double ss = 0;
    double sc = 0;
    double cc = 0;
    for (int s = begin; s < end; s++) {
      int e = j * slices + s;
      double sin = sk * offCos[e] - ck * offSin[e];
      double cos = ck * offCos[e] + sk * offSin[e];
      double reach = (nowX + along) * sin + nowY * cos + straight + radial[e];
      double left;
      if (aligned) {
        int node = at - whole[e];
        node += node < 0 ? steps : 0;
        int i = node * slices + s;
        left = surface[i];
        if (write) {
          surface[i] = cutBack(left, reach, sin);
        }
      } else {
        left = between(e, s, write);
      }
      double phi = angle - lag * (s + 0.5);
      double h = reach - left;
      double a = phi - half;
      double b = phi + half;
      double part = 1;
      if (!always) {
        // the stretch of the angles that this step and slice stand for which lies within the arc
        // and touches, where the chip runs along it as that of a tool at rest
        a = Math.max(a, from);
        b = Math.min(b, to);
        if (b > a) {
          inside = true;
          most = Math.max(most, h);
        }
        double slope = feedPerToothM * cos;
        if (h < Math.abs(slope) * half) {
          if (slope < 0) {
            b = Math.min(b, phi - h / slope);
          } else {
            a = Math.max(a, phi - h / slope);
          }
        }
        part = (b - a) * perBlur;
        h += slope * (0.5 * (a + b) - phi);
      } else {
        inside = true;
        most = Math.max(most, h);
      }
      if (part > 0 && h > 0) {
        double ws = part * sin;
        double wc = part * cos;
        w0 += part;
        s0 += ws;
        c0 += wc;
        h0 += part * h;
        hs += ws * h;
        hc += wc * h;
        ss += ws * sin;
        sc += ws * cos;
        cc += wc * cos;
      }
    }
    chip[j] = most;
    inArc[j] |= inside;
    sumW += w0;
    sumS += s0;
    sumC += c0;
    sumH += h0;
    sumHs += hs;
    sumHc += hc;
    sumSs += ss;
    sumSc += sc;
    sumCc += cc;
  }

  /**
   * What a tooth leaves. Beyond a wall teeth draw back from it with the feed, and what they left
   * goes with them, so that it stays smooth across the wall's angle.
   */
  private double cutBack(double left, double reach, double sin) {
    double before = sin < 0 && !turning ? left + feedPerToothM * sin : left;
    return Math.max(before, reach);
  }

  /** What was left at an angle between nodes; then the node two steps behind is cut. */
  private double between(int e, int s, boolean write) {
    int node = at - whole[e] - 2;
    node = Math.floorMod(node, steps);
    int first = node;
    double left = 0;
    for (int i = 0; i < 4; i++) {
      left += read[4 * e + i] * surface[node * slices + s];
      node = node + 1 == steps ? 0 : node + 1;
    }
    if (write) {
      double lateX = 0;
      double lateY = 0;
      double lateFeed = 0;
      for (int i = 0; i < 4; i++) {
        double weight = late[4 * e + i];
        lateX += weight * recentX[i];
        lateY += weight * recentY[i];
        lateFeed += weight * recentFeed[i];
      }
      double sin = sine[first] * gridCos[s] - cosine[first] * gridSin[s];
      double cos = cosine[first] * gridCos[s] + sine[first] * gridSin[s];
      double reach = (lateX + lateFeed) * sin + lateY * cos + radial[e];
      int i = first * slices + s;
      surface[i] = cutBack(surface[i], reach, sin);
    }
    return left;
  }

  /** Forces of the chips at hand, with process damping against a velocity. */
  private void force(double velocityX, double velocityY) {
    fx = -sliceM * (ktc * sumHc + kte * sumC + krc * sumHs + kre * sumS);
    fy = sliceM * (ktc * sumHs + kte * sumS - krc * sumHc - kre * sumC);
    tangential = sliceM * (ktc * sumH + kte * sumW);
    if (dampingPerM > 0 && sumW > 0) {
      double d = dampingPerM * sliceM;
      double dxx = d * sumSs;
      double dxy = d * sumSc;
      double dyy = d * sumCc;
      double bx = fx - dxx * velocityX - dxy * velocityY;
      double by = fy - dxy * velocityX - dyy * velocityY;
      // half of this step's own blow counts: (1 + D M⁻¹ dt/2) F = b
      double half = 0.5 * dtS;
      double a11 = 1 + half * (dxx * mobility[0] + dxy * mobility[2]);
      double a12 = half * (dxx * mobility[1] + dxy * mobility[3]);
      double a21 = half * (dxy * mobility[0] + dyy * mobility[2]);
      double a22 = 1 + half * (dxy * mobility[1] + dyy * mobility[3]);
      double det = a11 * a22 - a12 * a21;
      fx = (a22 * bx - a12 * by) / det;
      fy = (a11 * by - a21 * bx) / det;
    }
  }

  /**
   * Moves by what follows the force at once: r = r₀ + C F(r), with F linear in r about r₀ for the
   * teeth that touch there.
   */
  private void yieldAtOnce() {
    force(0, 0);
    // dF/dr for the chips in contact
    double xx = -sliceM * (ktc * sumSc + krc * sumSs);
    double xy = -sliceM * (ktc * sumCc + krc * sumSc);
    double yx = sliceM * (ktc * sumSs - krc * sumSc);
    double yy = sliceM * (ktc * sumSc - krc * sumCc);
    double bx = instant[0] * fx + instant[1] * fy;
    double by = instant[2] * fx + instant[3] * fy;
    double a11 = 1 - instant[0] * xx - instant[1] * yx;
    double a12 = -instant[0] * xy - instant[1] * yy;
    double a21 = -instant[2] * xx - instant[3] * yx;
    double a22 = 1 - instant[2] * xy - instant[3] * yy;
    double det = a11 * a22 - a12 * a21;
    x += (a22 * bx - a12 * by) / det;
    y += (a11 * by - a21 * bx) / det;
  }

  /** Reach of what is left at a node of a slice against the nominal one, m; for turned surfaces. */
  double left(int node, int slice) {
    return surface[node * slices + slice];
  }

  /** Run-out of flute j at slice s, m. */
  double runoutM(int j, int s) {
    return radial[j * slices + s];
  }

  /** Angle by which flute j lags at slice s behind flute 0 at the tip, rad. */
  double offRad(int j, int s) {
    return behind[j] + slope[j] * (s + 0.5) * sliceM;
  }

  /** Height of the middle of a slice, m. */
  double heightM(int s) {
    return (s + 0.5) * sliceM;
  }

  /** Advance in a step, m. */
  double feedPerStepM() {
    return feedPerStepM;
  }

  /** Amplitude of mode k over the square root of its energy's scale: ω/g. */
  double weight(int k) {
    return Math.abs(modes.omega(k) / modes.gain(k));
  }
}

package ringtrue.stability;

import java.util.ArrayList;
import java.util.List;
import org.apache.commons.math3.complex.Complex;

/**
 * A judge of stability: the linear delay equation of a cut (no loss of contact, no static chip),
 * marched through time by the classical Runge–Kutta method of fourth order; displacements of the
 * cut before are read between the steps by cubic Hermite polynomials. Steps end where a flute
 * enters or leaves.
 *
 * <p>The growth is the largest multiplier of the marched period: the motion that a start without a
 * past has become after a turn is the first of a row of states, and the period's map projected on
 * them gives the growth ({@link DominantMultiplier}).
 */
final class LinearCutInTime {
  /**
   * How fine.
   *
   * @param stepsPerCycle time steps in one cycle of the fastest mode
   * @param slicesPerFlute axial slices where helices differ
   */
  record Fineness(double stepsPerCycle, int slicesPerFlute) {
    static final Fineness USUAL = new Fineness(36, 24);
  }

  private static final double LARGEST_ANGLE = Math.toRadians(6);
  private static final int LEAST_STEPS_OF_PIECE = 4;
  private static final double TOLERANCE = 1e-6;

  private final CutEquation cut;
  private final int oscillators;
  private final int steps;
  private final double[] node;

  // Stages: start, middle and end of each step, one after the other.
  private final double[] present;
  private final int[] firstTerm;
  private final int[] cell;
  private final double[] term;
  private static final int NUMBERS_OF_TERM = 8;

  LinearCutInTime(CuttingProcess process, double speedRpm, double depthM, Fineness fineness) {
    cut = new CutEquation(process, speedRpm, depthM, fineness.slicesPerFlute());
    oscillators = cut.oscillators.size();
    double longest =
        Math.min(
            2 * Math.PI / (cut.fastest() * fineness.stepsPerCycle()),
            Math.min(0.5 * cut.shortestDelayS(), LARGEST_ANGLE / (2 * Math.PI) * cut.turnS));
    node = nodes(cut.breaks(), longest);
    steps = node.length - 1;
    present = new double[3 * steps * 8];
    firstTerm = new int[3 * steps + 1];
    List<double[]> terms = new ArrayList<>();
    List<Integer> cells = new ArrayList<>();
    double[] matrix = new double[8];
    for (int i = 0; i < steps; i++) {
      double middle = 0.5 * (node[i] + node[i + 1]);
      double[] times = {node[i], middle, node[i + 1]};
      for (int s = 0; s < 3; s++) {
        int stage = 3 * i + s;
        firstTerm[stage] = terms.size();
        for (int k = 0; k < cut.slices.size(); k++) {
          if (cut.at(k, times[s], middle, matrix)) {
            for (int l = 0; l < 8; l++) {
              present[8 * stage + l] += matrix[l];
            }
            double delay = cut.slices.get(k).delayS();
            double back = delay == cut.periodS ? times[s] : times[s] - delay + cut.periodS;
            int c = find(back);
            double h = node[c % steps + 1] - node[c % steps];
            double from = c < steps ? node[c] : node[c - steps] + cut.periodS;
            double u = (back - from) / h;
            terms.add(
                new double[] {
                  matrix[0],
                  matrix[1],
                  matrix[2],
                  matrix[3],
                  (1 + 2 * u) * (1 - u) * (1 - u),
                  h * u * (1 - u) * (1 - u),
                  u * u * (3 - 2 * u),
                  -h * u * u * (1 - u)
                });
            cells.add(c);
          }
        }
      }
    }
    firstTerm[3 * steps] = terms.size();
    cell = cells.stream().mapToInt(c -> c).toArray();
    term = new double[NUMBERS_OF_TERM * terms.size()];
    for (int i = 0; i < terms.size(); i++) {
      System.arraycopy(terms.get(i), 0, term, NUMBERS_OF_TERM * i, NUMBERS_OF_TERM);
    }
  }

  private static double[] nodes(double[] breaks, double longest) {
    List<Double> all = new ArrayList<>();
    for (int i = 0; i + 1 < breaks.length; i++) {
      double length = breaks[i + 1] - breaks[i];
      // Very short pieces, as between edges that nearly coincide, need no division.
      int least = length < 0.05 * longest ? 1 : LEAST_STEPS_OF_PIECE;
      int pieces = Math.max(least, (int) Math.ceil(length / longest));
      for (int k = 0; k < pieces; k++) {
        all.add(breaks[i] + length * k / pieces);
      }
    }
    all.add(breaks[breaks.length - 1]);
    return all.stream().mapToDouble(t -> t).toArray();
  }

  /** Step that holds a time, counted from the beginning of the period before; 0 is its start. */
  private int find(double time) {
    int period = time >= cut.periodS ? 1 : 0;
    double within = time - period * cut.periodS;
    int at = java.util.Arrays.binarySearch(node, within);
    int step = at >= 0 ? at : -at - 2;
    return period * steps + Math.min(Math.max(step, 0), steps - 1);
  }

  /**
   * State: x, y, x′, y′ at the start of every step of the period before, then displacement and
   * velocity of every oscillator now; velocities divided by the largest angular frequency.
   */
  int dimension() {
    return 4 * steps + 2 * oscillators;
  }

  /** What a state becomes after one period. */
  void period(double[] from, double[] into) {
    double scale = cut.fastest();
    double[] path = new double[4 * (2 * steps + 1)];
    for (int i = 0; i < steps; i++) {
      path[4 * i] = from[4 * i];
      path[4 * i + 1] = from[4 * i + 1];
      path[4 * i + 2] = from[4 * i + 2] * scale;
      path[4 * i + 3] = from[4 * i + 3] * scale;
    }
    int n = oscillators;
    double[] z = new double[2 * n];
    for (int k = 0; k < n; k++) {
      z[k] = from[4 * steps + k];
      z[n + k] = from[4 * steps + n + k] * scale;
    }
    double[] k1 = new double[2 * n];
    double[] k2 = new double[2 * n];
    double[] k3 = new double[2 * n];
    double[] k4 = new double[2 * n];
    double[] trial = new double[2 * n];
    double[] old = new double[2];
    write(z, path, steps);
    for (int i = 0; i < steps; i++) {
      double h = node[i + 1] - node[i];
      old(3 * i, path, old);
      slope(3 * i, z, old, k1);
      old(3 * i + 1, path, old);
      sum(z, 0.5 * h, k1, trial);
      slope(3 * i + 1, trial, old, k2);
      sum(z, 0.5 * h, k2, trial);
      slope(3 * i + 1, trial, old, k3);
      old(3 * i + 2, path, old);
      sum(z, h, k3, trial);
      slope(3 * i + 2, trial, old, k4);
      for (int k = 0; k < 2 * n; k++) {
        z[k] += h / 6 * (k1[k] + 2 * k2[k] + 2 * k3[k] + k4[k]);
      }
      write(z, path, steps + i + 1);
    }
    for (int i = 0; i < steps; i++) {
      int at = 4 * (steps + i);
      into[4 * i] = path[at];
      into[4 * i + 1] = path[at + 1];
      into[4 * i + 2] = path[at + 2] / scale;
      into[4 * i + 3] = path[at + 3] / scale;
    }
    for (int k = 0; k < n; k++) {
      into[4 * steps + k] = z[k];
      into[4 * steps + n + k] = z[n + k] / scale;
    }
  }

  private static void sum(double[] z, double h, double[] k, double[] into) {
    for (int i = 0; i < z.length; i++) {
      into[i] = z[i] + h * k[i];
    }
  }

  private void write(double[] z, double[] path, int at) {
    for (int l = 4 * at; l < 4 * at + 4; l++) {
      path[l] = 0;
    }
    for (int k = 0; k < oscillators; k++) {
      int out = cut.oscillators.get(k).out();
      path[4 * at + out] += z[k];
      path[4 * at + 2 + out] += z[oscillators + k];
    }
  }

  /** Force by the displacements of the cut before. */
  private void old(int stage, double[] path, double[] into) {
    double fx = 0;
    double fy = 0;
    for (int t = firstTerm[stage]; t < firstTerm[stage + 1]; t++) {
      int w = NUMBERS_OF_TERM * t;
      int p = 4 * cell[t];
      double x =
          term[w + 4] * path[p]
              + term[w + 5] * path[p + 2]
              + term[w + 6] * path[p + 4]
              + term[w + 7] * path[p + 6];
      double y =
          term[w + 4] * path[p + 1]
              + term[w + 5] * path[p + 3]
              + term[w + 6] * path[p + 5]
              + term[w + 7] * path[p + 7];
      fx += term[w] * x + term[w + 1] * y;
      fy += term[w + 2] * x + term[w + 3] * y;
    }
    into[0] = fx;
    into[1] = fy;
  }

  private void slope(int stage, double[] z, double[] old, double[] into) {
    int n = oscillators;
    double x = 0;
    double y = 0;
    double vx = 0;
    double vy = 0;
    for (int k = 0; k < n; k++) {
      if (cut.oscillators.get(k).out() == 0) {
        x += z[k];
        vx += z[n + k];
      } else {
        y += z[k];
        vy += z[n + k];
      }
    }
    int a = 8 * stage;
    double fx = present[a] * x + present[a + 1] * y - old[0];
    double fy = present[a + 2] * x + present[a + 3] * y - old[1];
    fx += present[a + 4] * vx + present[a + 5] * vy;
    fy += present[a + 6] * vx + present[a + 7] * vy;
    for (int k = 0; k < n; k++) {
      CutEquation.Oscillator o = cut.oscillators.get(k);
      into[k] = z[n + k];
      into[n + k] =
          o.gain() * (o.in() == 0 ? fx : fy)
              - 2 * o.zeta() * o.omega() * z[n + k]
              - o.omega() * o.omega() * z[k];
    }
  }

  /** A start without a past: every oscillator moves, in a way drawn from a seed. */
  double[] start(long seed) {
    double[] state = new double[dimension()];
    double[] now = DominantMultiplier.random(2 * oscillators, seed);
    System.arraycopy(now, 0, state, 4 * steps, now.length);
    return state;
  }

  /**
   * Largest multiplier of one growth period (tooth passing with one delay, else a spindle turn), of
   * a complex pair the one with the positive imaginary part. Over tooth passings the angle is that
   * of the whole turn where several were taken at once; see {@link #growth()} for the size.
   */
  Complex multiplier() {
    double[] first = new double[dimension()];
    period(start(1), first);
    return DominantMultiplier.of(this::period, first, TOLERANCE);
  }

  /** Spectral radius over one growth period. */
  double growth() {
    return multiplier().abs();
  }
}

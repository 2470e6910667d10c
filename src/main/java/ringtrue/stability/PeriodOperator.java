package ringtrue.stability;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;

/**
 * What one period does to the vibration of a milling cut, at one speed: engaged-arc collocation.
 *
 * <p>The state is what the cutter left behind at the nodes of the engaged stretches of the last
 * period, and one complex number for each {@linkplain ModalCoordinates coordinate}. Free flight is
 * an exponential; in the cut the force is collocated at Gauss nodes ({@link GaussPanel}) of
 * stretches between the angles at which an edge enters or leaves. With v the force (one number for
 * each node where one straight tooth cuts or one direction moves, two otherwise), y = Y_c c + Y_v v
 * the position seen by the chip and h what was left behind: {@code v = b (A y − B h)}.
 *
 * <p>Delayed differential equation of milling: Insperger & Stépán 2011, ch. 5; spectral collocation
 * of it: Butcher et al. 2009; exact free flight between engaged arcs: Bayly et al. 2003.
 */
final class PeriodOperator {
  private static final double NODES_PER_RADIAN = 0.57;
  private static final double NODES_AT_LEAST = 3.2;

  /** The strongest frequency is looked for up to so many times the highest natural frequency. */
  private static final double BEYOND_MODES = 1.7;

  private static final int MOST_COLUMNS = 3000;

  /** Where helices differ each node reads many others. */
  private static final int MOST_COLUMNS_UNEQUAL = 1500;

  private final ModalCoordinates modes;
  private final ToothArcs arcs;
  private final double depthM;
  private final double periodS;
  private final double radPerS;
  private final int extra;
  private final int channels;
  private final boolean single;
  private final int axis;
  private final int width;
  private final int coordinates;
  private final int nodes;
  private final List<Piece> pieces = new ArrayList<>();
  private final double damping;

  /** A stretch in the cut and the free flight after it. */
  private static final class Piece {
    double startS;
    double lengthS;
    double afterS;
    GaussPanel panel;
    int firstNode;
    int size;
    double[] gc;
    double[] gv;
    double[] yc;
    double[] yv;
    double[] r;
    double[] flightRe;
    double[] flightIm;
    double[] forceX;
    double[] forceY;
    Reading lastPeriod;
    Reading thisPeriod;
    double[] factors;
    int[] pivots;
    Columns columns;
  }

  /** The matrices of a piece column by column, which is how one state is taken through it fast. */
  private record Columns(double[] gc, double[] yc, double[] yv, double[] r) {

    static Columns of(Piece piece, int states) {
      int m = piece.size;
      return new Columns(
          Kernels.transposed(piece.gc, m, states),
          Kernels.transposed(piece.yc, m, states),
          Kernels.transposed(piece.yv, m, m),
          Kernels.transposed(piece.r, states, m));
    }
  }

  /** Rows of the force take from nodes of the past, each with a weight. */
  private static final class Reading {
    int[] row = new int[16];
    int[] column = new int[16];
    double[] weight = new double[16];
    int count;

    void add(int toRow, int fromColumn, double by) {
      if (count == row.length) {
        row = Arrays.copyOf(row, 2 * count);
        column = Arrays.copyOf(column, 2 * count);
        weight = Arrays.copyOf(weight, 2 * count);
      }
      row[count] = toRow;
      column[count] = fromColumn;
      weight[count++] = by;
    }

    /** The same with what is read from one place by one row in one sum. */
    Reading summed(int rows, int columns) {
      double[] all = new double[rows * columns];
      for (int i = 0; i < count; i++) {
        all[row[i] * columns + column[i]] += weight[i];
      }
      Reading summed = new Reading();
      for (int i = 0; i < all.length; i++) {
        if (all[i] != 0) {
          summed.add(i / columns, i % columns, all[i]);
        }
      }
      return summed;
    }
  }

  /**
   * @param modes what vibrates
   * @param arcs what is in the cut
   * @param speedRpm spindle speed, rpm
   * @param depthM axial depth for which stretches and nodes are laid out, m
   * @param dampingPa process damping over cutting speed C/V, N s/m²; 0 for none
   * @param extra nodes for each stretch beyond the rule
   */
  PeriodOperator(
      ModalCoordinates modes,
      ToothArcs arcs,
      double speedRpm,
      double depthM,
      double dampingPa,
      int extra) {
    this.modes = modes;
    this.arcs = arcs;
    this.depthM = depthM;
    this.extra = extra;
    this.damping = dampingPa;
    radPerS = 2 * Math.PI * speedRpm / 60;
    periodS = arcs.periodRad() / radPerS;
    boolean onlyX = !modes.moves(1) && !modes.gives(1);
    boolean onlyY = !modes.moves(0) && !modes.gives(0);
    single = arcs.singleTooth() && dampingPa == 0 && !onlyX && !onlyY;
    channels = single || onlyX || onlyY ? 1 : 2;
    axis = onlyX ? 0 : onlyY ? 1 : -1;
    coordinates = modes.size();
    nodes = layOut();
    width = nodes * channels + 2 * coordinates;
    for (Piece piece : pieces) {
      fill(piece);
    }
  }

  /** Length of the state. */
  int width() {
    return width;
  }

  /** Nodes in a period. */
  int nodes() {
    return nodes;
  }

  /** Whether the period has more nodes than can be worked with. */
  static boolean tooLong(ModalCoordinates modes, ToothArcs arcs, double speedRpm, double depthM) {
    double highest = 0;
    for (int k = 0; k < modes.size(); k++) {
      highest = Math.max(highest, modes.omega(k));
    }
    double seconds = arcs.periodRad() / (2 * Math.PI * speedRpm / 60);
    double swept =
        Math.min(
            1, arcs.perPeriod() * (arcs.sweptRad() + depthM * maxLag(arcs)) / arcs.periodRad());
    return 2 * NODES_PER_RADIAN * highest * seconds * swept
        > (arcs.equalHelix() ? MOST_COLUMNS : MOST_COLUMNS_UNEQUAL);
  }

  private static double maxLag(ToothArcs arcs) {
    double most = 0;
    for (int j = 0; j < arcs.flutes(); j++) {
      most = Math.max(most, Math.abs(arcs.lagPerM(j)));
    }
    return most;
  }

  double periodS() {
    return periodS;
  }

  private double stiffened(double depth) {
    double most = 0;
    double cutting = arcs.ktc() * Math.hypot(1, arcs.kr()) * depth;
    double highest = 0;
    for (int k = 0; k < coordinates; k++) {
      double w = modes.omega(k);
      highest = Math.max(highest, w);
      double perMass = Math.abs(modes.gain(k)) * modes.lambdaIm(k);
      most = Math.max(most, Math.sqrt(w * w + 0.5 * cutting * perMass));
    }
    return Math.min(most, 2 * highest);
  }

  /** Cuts the period into stretches and gives each its nodes; returns their number. */
  private int layOut() {
    double[] breaks = arcs.breaks(depthM);
    double fastest = stiffened(depthM);
    double shortest = arcs.oneDelay() ? periodS : arcs.shortestDelayRad(depthM) / radPerS;
    double free = 0;
    int count = 0;
    Piece last = null;
    for (int i = 0; i + 1 < breaks.length; i++) {
      double from = breaks[i];
      double to = breaks[i + 1];
      if (!arcs.cuts(0.5 * (from + to), depthM)) {
        if (last == null) {
          free += (to - from) / radPerS;
        } else {
          last.afterS += (to - from) / radPerS;
        }
        continue;
      }
      double seconds = (to - from) / radPerS;
      double turn = fastest * seconds + 2 * (to - from);
      int room = GaussPanel.MOST_NODES;
      int parts = 1;
      while (turn / parts > 1 && wanted(turn / parts) > room
          || seconds / parts > 0.999 * shortest && !arcs.oneDelay()) {
        parts++;
      }
      for (int k = 0; k < parts; k++) {
        Piece piece = new Piece();
        piece.startS = (from - breaks[0]) / radPerS + seconds * k / parts;
        piece.lengthS = seconds / parts;
        piece.panel = GaussPanel.of(count(turn / parts));
        piece.firstNode = count;
        piece.size = piece.panel.nodes() * channels;
        count += piece.panel.nodes();
        pieces.add(piece);
        last = piece;
      }
    }
    if (last != null) {
      last.afterS += free;
      if (free > 0) {
        // the state is taken just after the first break that follows the free part
        for (Piece piece : pieces) {
          piece.startS -= free;
        }
      }
    }
    start = breaks[0] + free * radPerS;
    return count;
  }

  private double start;

  private int wanted(double radians) {
    return (int) Math.ceil(NODES_AT_LEAST + NODES_PER_RADIAN * radians) + extra;
  }

  private int count(double radians) {
    return Math.min(GaussPanel.MOST_NODES, Math.max(2, wanted(radians)));
  }

  private double psi(Piece piece, int i) {
    return start + radPerS * (piece.startS + piece.panel.node(i) * piece.lengthS);
  }

  private void fill(Piece piece) {
    int p = piece.panel.nodes();
    int m = piece.size;
    int states = 2 * coordinates;
    double[] force = new double[p * 2 * channels];
    double[] see = new double[p * 2 * channels];
    double[][] a = new double[p][];
    directions(piece, force, see, a);

    double[] positions = new double[m * states];
    double[] velocities = new double[m * states];
    piece.r = new double[states * m];
    piece.flightRe = new double[coordinates];
    piece.flightIm = new double[coordinates];
    free(piece, force, see, positions, velocities);
    double[] seen = new double[m * m];
    double[] speed = new double[m * m];
    forced(piece, force, see, seen, speed);

    piece.yc = positions;
    piece.yv = seen;
    piece.gc = new double[m * states];
    piece.gv = new double[m * m];
    for (int i = 0; i < p; i++) {
      // at the depth of the layout; straight teeth have the same A at every depth
      double[] normal = damping == 0 ? null : normalDamping(piece, i);
      for (int r = 0; r < channels; r++) {
        int row = i * channels + r;
        for (int s = 0; s < channels; s++) {
          int from = i * channels + s;
          double factor = a[i][r * channels + s];
          axpy(piece.gc, row * states, positions, from * states, states, factor);
          axpy(piece.gv, row * m, seen, from * m, m, factor);
          if (normal != null) {
            double drag = -normal[r * channels + s];
            axpy(piece.gc, row * states, velocities, from * states, states, drag);
            axpy(piece.gv, row * m, speed, from * m, m, drag);
          }
        }
      }
    }
    past(piece, a);
    piece.forceX = new double[m];
    piece.forceY = new double[m];
    for (int i = 0; i < p; i++) {
      for (int s = 0; s < channels; s++) {
        piece.forceX[i * channels + s] = force[(i * channels + s) * 2];
        piece.forceY[i * channels + s] = force[(i * channels + s) * 2 + 1];
      }
    }
  }

  private static void axpy(
      double[] to, int toAt, double[] from, int fromAt, int count, double factor) {
    for (int i = 0; i < count; i++) {
      to[toAt + i] += factor * from[fromAt + i];
    }
  }

  /** For each node: force direction of each channel, what each channel sees, and A between them. */
  private void directions(Piece piece, double[] force, double[] see, double[][] a) {
    for (int i = 0; i < piece.panel.nodes(); i++) {
      double psi = psi(piece, i);
      int at = i * channels * 2;
      if (single) {
        double phi = arcs.toothAngle(psi);
        double sin = Math.sin(phi);
        double cos = Math.cos(phi);
        force[at] = -cos - arcs.kr() * sin;
        force[at + 1] = sin - arcs.kr() * cos;
        see[at] = sin;
        see[at + 1] = cos;
        a[i] = new double[] {arcs.ktc()};
        continue;
      }
      double[] full = new double[4];
      for (int j = 0; j < arcs.flutes(); j++) {
        arcs.add(j, psi, depthM, full);
      }
      if (channels == 1) {
        force[at + axis] = 1;
        see[at + axis] = 1;
        a[i] = new double[] {full[3 * axis]};
      } else {
        force[at] = 1;
        force[at + 3] = 1;
        see[at] = 1;
        see[at + 3] = 1;
        a[i] = full;
      }
    }
  }

  /** Mean over the depth of chip direction times itself, over all flutes, times C/V. */
  private double[] normalDamping(Piece piece, int i) {
    double[] sum = new double[4];
    arcs.addNormal(psi(piece, i), depthM, sum);
    for (int k = 0; k < 4; k++) {
      sum[k] *= damping;
    }
    return channels == 2 ? sum : new double[] {sum[3 * axis]};
  }

  /** Free vibration from the start to the nodes, and what forces at the nodes leave at the end. */
  private void free(
      Piece piece, double[] force, double[] see, double[] positions, double[] velocities) {
    int p = piece.panel.nodes();
    int states = 2 * coordinates;
    int m = piece.size;
    for (int k = 0; k < coordinates; k++) {
      double lre = modes.lambdaRe(k);
      double lim = modes.lambdaIm(k);
      double end = piece.lengthS + piece.afterS;
      double size = Math.exp(lre * end);
      piece.flightRe[k] = size * Math.cos(lim * end);
      piece.flightIm[k] = size * Math.sin(lim * end);
      for (int i = 0; i < p; i++) {
        double t = piece.panel.node(i) * piece.lengthS;
        double e = Math.exp(lre * t);
        double re = e * Math.cos(lim * t);
        double im = e * Math.sin(lim * t);
        double left = Math.exp(lre * (end - t));
        double leftRe = left * Math.cos(lim * (end - t));
        double leftIm = left * Math.sin(lim * (end - t));
        double weight = modes.gain(k) * piece.panel.weight(i) * piece.lengthS;
        for (int c = 0; c < channels; c++) {
          int row = i * channels + c;
          double sees = see[row * 2 + modes.out(k)];
          positions[row * states + 2 * k] = sees * im;
          positions[row * states + 2 * k + 1] = sees * re;
          velocities[row * states + 2 * k] = sees * (lre * im + lim * re);
          velocities[row * states + 2 * k + 1] = sees * (lre * re - lim * im);
          double takes = weight * force[row * 2 + modes.in(k)];
          piece.r[2 * k * m + row] = takes * leftRe;
          piece.r[(2 * k + 1) * m + row] = takes * leftIm;
        }
      }
    }
  }

  /** Response from rest to forces at the nodes. */
  private void forced(Piece piece, double[] force, double[] see, double[] seen, double[] speed) {
    int p = piece.panel.nodes();
    int m = piece.size;
    int values = piece.panel.values();
    double[] re = new double[values];
    double[] im = new double[values];
    double[] vre = new double[values];
    double[] vim = new double[values];
    double[] g = new double[2];
    double[] w = new double[p * p];
    double[] wv = new double[p * p];
    for (int out = 0; out < 2; out++) {
      for (int in = 0; in < 2; in++) {
        if (!modes.couples(out, in)) {
          continue;
        }
        for (int v = 0; v < values; v++) {
          double a = piece.panel.eigenRe(v);
          double b = piece.panel.eigenIm(v);
          double square = piece.lengthS * (a * a + b * b);
          double sRe = a / square;
          double sIm = -b / square;
          modes.receptance(out, in, sRe, sIm, g);
          re[v] = g[0] + modes.instant(out, in);
          im[v] = g[1];
          vre[v] = sRe * g[0] - sIm * g[1];
          vim[v] = sRe * g[1] + sIm * g[0];
        }
        Arrays.fill(w, 0);
        piece.panel.matrix(re, im, w);
        if (damping != 0) {
          Arrays.fill(wv, 0);
          piece.panel.matrix(vre, vim, wv);
        }
        for (int i = 0; i < p; i++) {
          for (int j = 0; j < p; j++) {
            for (int c = 0; c < channels; c++) {
              double sees = see[(i * channels + c) * 2 + out];
              if (sees == 0) {
                continue;
              }
              for (int d = 0; d < channels; d++) {
                double both = sees * force[(j * channels + d) * 2 + in];
                int at = (i * channels + c) * m + j * channels + d;
                seen[at] += both * w[i * p + j];
                speed[at] += both * wv[i * p + j];
              }
            }
          }
        }
      }
    }
  }

  /** What was left behind by the flutes before. */
  private void past(Piece piece, double[][] a) {
    piece.lastPeriod = new Reading();
    piece.thisPeriod = new Reading();
    int p = piece.panel.nodes();
    for (int i = 0; i < p; i++) {
      if (arcs.oneDelay()) {
        for (int r = 0; r < channels; r++) {
          for (int s = 0; s < channels; s++) {
            int column = (piece.firstNode + i) * channels + s;
            piece.lastPeriod.add(i * channels + r, column, a[i][r * channels + s]);
          }
        }
        continue;
      }
      double t = piece.startS + piece.panel.node(i) * piece.lengthS;
      double psi = psi(piece, i);
      if (single) {
        int tooth = -1;
        for (int j = 0; j < arcs.flutes(); j++) {
          boolean[] here = new boolean[1];
          arcs.stretches(j, psi, 0, (tip, low, high) -> here[0] = true);
          tooth = here[0] ? j : tooth;
        }
        read(piece, i, t - arcs.delayRad(tooth, 0) / radPerS, a[i]);
        continue;
      }
      for (int j = 0; j < arcs.flutes(); j++) {
        if (arcs.equalHelix()) {
          double[] full = new double[4];
          arcs.add(j, psi, depthM, full);
          read(piece, i, t - arcs.delayRad(j, 0) / radPerS, reduced(full));
        } else {
          readAlong(piece, i, t, psi, j);
        }
      }
    }
    if (!arcs.equalHelix()) {
      // many points along the edge read the same nodes
      piece.lastPeriod = piece.lastPeriod.summed(piece.size, nodes * channels);
      piece.thisPeriod = piece.thisPeriod.summed(piece.size, nodes * channels);
    }
  }

  private double[] reduced(double[] full) {
    return channels == 2 ? full : new double[] {full[3 * axis]};
  }

  /** Where helices differ the delay changes along the edge: Gauss points over the height. */
  private void readAlong(Piece piece, int i, double t, double psi, int j) {
    int points = 6 + 2 * Math.max(0, extra);
    GaussPanel rule = GaussPanel.of(Math.min(points, GaussPanel.MOST_NODES));
    double lag = arcs.lagPerM(j);
    boolean upright = Math.abs(lag * depthM) < 1e-9;
    arcs.stretches(
        j,
        psi,
        depthM,
        (tip, low, high) -> {
          double z1 = upright ? 0 : (tip - high) / lag;
          double z2 = upright ? depthM : (tip - low) / lag;
          double from = Math.min(z1, z2);
          double length = Math.abs(z2 - z1);
          for (int k = 0; k < rule.nodes(); k++) {
            double z = from + rule.node(k) * length;
            double share = 0.5 * arcs.ktc() * rule.weight(k) * length / depthM;
            DirectionalFactors f = DirectionalFactors.at(tip - lag * z, arcs.kr());
            double[] full = {share * f.axx(), share * f.axy(), share * f.ayx(), share * f.ayy()};
            read(piece, i, t - arcs.delayRad(j, z) / radPerS, reduced(full));
          }
        });
  }

  private void read(Piece piece, int i, double when, double[] a) {
    boolean none = true;
    for (double v : a) {
      none &= v == 0;
    }
    if (none) {
      return;
    }
    double time = when;
    boolean last = false;
    if (time < -1e-12 * periodS) {
      time += periodS;
      last = true;
    }
    Piece source = holding(time);
    double[] weights = new double[source.panel.nodes()];
    double x = (time - source.startS) / source.lengthS;
    source.panel.interpolate(x, weights);
    for (int l = 0; l < weights.length; l++) {
      if (weights[l] == 0) {
        continue;
      }
      for (int r = 0; r < channels; r++) {
        for (int s = 0; s < channels; s++) {
          int column = (source.firstNode + l) * channels + s;
          double w = weights[l] * a[r * channels + s];
          (last ? piece.lastPeriod : piece.thisPeriod).add(i * channels + r, column, w);
        }
      }
    }
  }

  /** The piece that holds a time, or the nearest one. */
  private Piece holding(double time) {
    Piece best = pieces.get(0);
    double away = Double.POSITIVE_INFINITY;
    for (Piece piece : pieces) {
      double outside =
          Math.max(0, Math.max(piece.startS - time, time - piece.startS - piece.lengthS));
      if (outside < away) {
        away = outside;
        best = piece;
      }
    }
    return best;
  }

  /**
   * The matrix of a period at a depth; for helical teeth it must be the depth of the layout.
   *
   * @param depth axial depth, m
   * @param into room; made anew if too small
   * @param stride columns of a row in memory, {@link #width} or more
   * @return rows of {@code stride}, {@link #width} of them
   */
  double[] matrix(double depth, double[] into, int stride) {
    int rows = width;
    double[] all = into != null && into.length >= rows * stride ? into : new double[rows * stride];
    Arrays.fill(all, 0, rows * stride, 0);
    int states = 2 * coordinates;
    int first = nodes * channels;
    double[] c = new double[states * stride];
    for (int k = 0; k < states; k++) {
      c[k * stride + first + k] = 1;
    }
    march(depth, null, c, all, null, stride);
    System.arraycopy(c, 0, all, first * stride, states * stride);
    return all;
  }

  /**
   * Takes states through a period.
   *
   * @param old what was left behind in the last period, nodes × channels rows; null for one column
   *     for each
   * @param c coordinates, two rows each: at the start, then at the end
   * @param y zeros: gets what is left behind in this period
   * @param forces gets the forces at the nodes; null if they are not wanted
   */
  private void march(
      double depth, double[] old, double[] c, double[] y, double[] forces, int stride) {
    int states = 2 * coordinates;
    for (Piece piece : pieces) {
      int m = piece.size;
      double[] v = new double[m * stride];
      Kernels.addProduct(piece.gc, m, states, c, 0, v, 0, stride, depth);
      Reading last = piece.lastPeriod;
      for (int i = 0; i < last.count; i++) {
        double weight = -depth * last.weight[i];
        if (old == null) {
          v[last.row[i] * stride + last.column[i]] += weight;
        } else {
          axpy(v, last.row[i] * stride, old, last.column[i] * stride, stride, weight);
        }
      }
      Reading now = piece.thisPeriod;
      for (int i = 0; i < now.count; i++) {
        double weight = -depth * now.weight[i];
        axpy(v, now.row[i] * stride, y, now.column[i] * stride, stride, weight);
      }
      double[] l = new double[m * m];
      for (int i = 0; i < m * m; i++) {
        l[i] = -depth * piece.gv[i];
      }
      for (int i = 0; i < m; i++) {
        l[i * m + i] += 1;
      }
      Kernels.solve(l, m, v, stride);
      int row = piece.firstNode * channels;
      Kernels.addProduct(piece.yc, m, states, c, 0, y, row * stride, stride, 1);
      Kernels.addProduct(piece.yv, m, m, v, 0, y, row * stride, stride, 1);
      fly(piece, c, stride);
      Kernels.addProduct(piece.r, states, m, v, 0, c, 0, stride, 1);
      if (forces != null) {
        System.arraycopy(v, 0, forces, row * stride, m * stride);
      }
    }
  }

  /** Makes ready for {@link #apply} at a depth. */
  void prepare(double depth) {
    for (Piece piece : pieces) {
      int m = piece.size;
      double[] l = new double[m * m];
      for (int i = 0; i < m; i++) {
        for (int j = 0; j < m; j++) {
          l[j * m + i] = -depth * piece.gv[i * m + j];
        }
      }
      for (int i = 0; i < m; i++) {
        l[i * m + i] += 1;
      }
      piece.factors = l;
      piece.pivots = Kernels.factor(l, m);
      if (piece.columns == null) {
        piece.columns = Columns.of(piece, 2 * coordinates);
      }
    }
  }

  /**
   * Takes one state through a period, after {@link #prepare}, without making a matrix of it.
   *
   * @param depth the depth made ready for, m
   * @param from the state, of length {@link #width}
   * @param to gets the state a period later
   */
  void apply(double depth, double[] from, double[] to) {
    int states = 2 * coordinates;
    int first = nodes * channels;
    double[] c = Arrays.copyOfRange(from, first, width);
    double[] v = new double[GaussPanel.MOST_NODES * channels];
    double[] pushed = new double[states];
    for (Piece piece : pieces) {
      int m = piece.size;
      Columns columns = piece.columns;
      Arrays.fill(v, 0, m, 0);
      Kernels.addColumns(columns.gc, states, c, v, 0, m, depth);
      Reading last = piece.lastPeriod;
      for (int i = 0; i < last.count; i++) {
        v[last.row[i]] -= depth * last.weight[i] * from[last.column[i]];
      }
      Reading now = piece.thisPeriod;
      for (int i = 0; i < now.count; i++) {
        v[now.row[i]] -= depth * now.weight[i] * to[now.column[i]];
      }
      Kernels.solve(piece.factors, piece.pivots, m, v);
      int row = piece.firstNode * channels;
      Arrays.fill(to, row, row + m, 0);
      Kernels.addColumns(columns.yc, states, c, to, row, m, 1);
      Kernels.addColumns(columns.yv, m, v, to, row, m, 1);
      Arrays.fill(pushed, 0);
      Kernels.addColumns(columns.r, m, v, pushed, 0, states, 1);
      for (int k = 0; k < coordinates; k++) {
        double x = c[2 * k];
        double y = c[2 * k + 1];
        double re = piece.flightRe[k];
        double im = piece.flightIm[k];
        c[2 * k] = re * x - im * y + pushed[2 * k];
        c[2 * k + 1] = im * x + re * y + pushed[2 * k + 1];
      }
    }
    System.arraycopy(c, 0, to, first, states);
  }

  /**
   * The strongest frequency of the vibration that belongs to a multiplier: of all the frequencies
   * (±θ + 2πk)/T that it is made of, the one with the largest displacement (Insperger, Stépán,
   * Bayly & Mann 2003).
   *
   * @param depth axial depth, m
   * @param vector state, real and imaginary parts in turn
   * @param angle angle of the multiplier, rad
   * @return frequency, Hz
   */
  double strongestHz(double depth, double[] vector, double angle) {
    int first = nodes * channels;
    double[] old = Arrays.copyOf(vector, 2 * first);
    double[] c = Arrays.copyOfRange(vector, 2 * first, 2 * width);
    double[] forces = new double[2 * first];
    march(depth, old, c, new double[2 * first], forces, 2);
    double highest = 0;
    for (int k = 0; k < coordinates; k++) {
      highest = Math.max(highest, modes.omega(k));
    }
    double base = 2 * Math.PI / periodS;
    int most = (int) Math.ceil(BEYOND_MODES * highest / base) + 1;
    Harmonics harmonics = new Harmonics(forces, angle / periodS - most * base, base);
    double best = -1;
    double strongest = angle / periodS;
    double[] f = new double[4];
    double[] g = new double[2];
    for (int k = -most; k <= most; k++) {
      double omega = angle / periodS + k * base;
      harmonics.next(f);
      double size = 0;
      for (int out = 0; out < 2; out++) {
        double re = 0;
        double im = 0;
        for (int in = 0; in < 2; in++) {
          if (modes.couples(out, in)) {
            modes.receptance(out, in, omega, g);
            re += g[0] * f[2 * in] - g[1] * f[2 * in + 1];
            im += g[0] * f[2 * in + 1] + g[1] * f[2 * in];
          }
        }
        size += re * re + im * im;
      }
      if (size > best) {
        best = size;
        strongest = omega;
      }
    }
    return Math.abs(strongest) / (2 * Math.PI);
  }

  /** Fourier coefficients of the force in x and y, one frequency after the other. */
  private final class Harmonics {
    private final double[] x;
    private final double[] y;
    private final double[] turnRe;
    private final double[] turnIm;

    /**
     * @param forces at the nodes, real and imaginary parts in turn
     * @param firstRadPerS first frequency
     * @param stepRadPerS from one frequency to the next
     */
    Harmonics(double[] forces, double firstRadPerS, double stepRadPerS) {
      x = new double[2 * nodes];
      y = new double[2 * nodes];
      turnRe = new double[nodes];
      turnIm = new double[nodes];
      for (Piece piece : pieces) {
        for (int i = 0; i < piece.panel.nodes(); i++) {
          int node = piece.firstNode + i;
          double t = piece.startS + piece.panel.node(i) * piece.lengthS;
          double weight = piece.panel.weight(i) * piece.lengthS;
          double cos = weight * Math.cos(firstRadPerS * t);
          double sin = -weight * Math.sin(firstRadPerS * t);
          turnRe[node] = Math.cos(stepRadPerS * t);
          turnIm[node] = -Math.sin(stepRadPerS * t);
          for (int s = 0; s < channels; s++) {
            int row = i * channels + s;
            int at = 2 * (piece.firstNode * channels + row);
            double re = forces[at] * cos - forces[at + 1] * sin;
            double im = forces[at] * sin + forces[at + 1] * cos;
            x[2 * node] += piece.forceX[row] * re;
            x[2 * node + 1] += piece.forceX[row] * im;
            y[2 * node] += piece.forceY[row] * re;
            y[2 * node + 1] += piece.forceY[row] * im;
          }
        }
      }
    }

    /** The next one: real and imaginary part in x, then in y. */
    void next(double[] f) {
      Arrays.fill(f, 0);
      for (int i = 0; i < nodes; i++) {
        f[0] += x[2 * i];
        f[1] += x[2 * i + 1];
        f[2] += y[2 * i];
        f[3] += y[2 * i + 1];
        turn(x, i);
        turn(y, i);
      }
    }

    private void turn(double[] v, int i) {
      double re = v[2 * i];
      double im = v[2 * i + 1];
      v[2 * i] = re * turnRe[i] - im * turnIm[i];
      v[2 * i + 1] = re * turnIm[i] + im * turnRe[i];
    }
  }

  private void fly(Piece piece, double[] c, int stride) {
    for (int k = 0; k < coordinates; k++) {
      double re = piece.flightRe[k];
      double im = piece.flightIm[k];
      int a = 2 * k * stride;
      int b = a + stride;
      for (int i = 0; i < stride; i++) {
        double x = c[a + i];
        double y = c[b + i];
        c[a + i] = re * x - im * y;
        c[b + i] = im * x + re * y;
      }
    }
  }
}

package ringtrue.fitting;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.function.DoubleUnaryOperator;
import java.util.stream.IntStream;
import org.apache.commons.math3.linear.Array2DRowRealMatrix;
import org.apache.commons.math3.linear.ArrayRealVector;
import org.apache.commons.math3.linear.LUDecomposition;
import org.apache.commons.math3.linear.RealMatrix;
import org.apache.commons.math3.linear.SingularMatrixException;

/**
 * Maximum-likelihood fit of decays in the frequency domain. Frequencies and decay rates are shared
 * by all taps, amplitudes and phases belong to each tap and are eliminated by linear least squares
 * (variable projection, Golub and Pereyra 1973, with Kaufman's (1975) Jacobian, whose normal matrix
 * gives the exact covariance of what is left).
 *
 * <p>On the lines of a transform of N samples a decay is {@code R/(1 − z e^(−iω))} with R constant.
 * What else there is in a tap is linear as well: tails of known rate; the jumps in value and slope
 * from the end of the stretch back to its beginning, which are all that a slow background shows of
 * itself at higher lines (Euler and Maclaurin); and the first two samples, which stand for what
 * dies within them.
 */
final class DecayRefinement {

  /**
   * A damped exponential shared by all taps.
   *
   * @param alpha decay rate, 1/s; 0 for a tone
   * @param omega damped angular frequency, rad/s
   * @param tone whether it never decays
   */
  record Term(double alpha, double omega, boolean tone) {
    static Term tone(double hz) {
      return new Term(0, 2 * Math.PI * hz, true);
    }

    double fn() {
      return Math.hypot(alpha, omega) / (2 * Math.PI);
    }

    double hz() {
      return omega / (2 * Math.PI);
    }

    double zeta() {
      return alpha / Math.hypot(alpha, omega);
    }

    /** Half-power bandwidth, Hz. */
    double bandwidthHz() {
      return alpha / Math.PI;
    }

    int unknowns() {
      return tone ? 1 : 2;
    }
  }

  /** What one tap says at given terms. */
  static final class TapView {
    double chiSquare;
    int freedom;

    /** Residues R of each term, real and imaginary, at the tap's first sample. */
    double[] residue;

    /** Normal matrix and gradient in the shared unknowns; null where not asked for. */
    double[][] normal;

    double[] gradient;

    /** Misfit over its sigma in each real row: all real parts, then all imaginary ones. */
    double[] left;
  }

  /** A fit with everything that judging it takes. */
  static final class Fit {
    final List<Term> terms;
    final List<TapView> taps;
    final double chiSquare;
    boolean converged;

    Fit(List<Term> terms, List<TapView> taps) {
      this.terms = List.copyOf(terms);
      this.taps = taps;
      this.chiSquare = taps.stream().mapToDouble(v -> v.chiSquare).sum();
    }

    int freedom() {
      return taps.stream().mapToInt(v -> v.freedom).sum();
    }

    /** Chi-square over degrees of freedom. */
    double reduced() {
      return chiSquare / Math.max(1, freedom());
    }

    int unknowns() {
      return terms.stream().mapToInt(Term::unknowns).sum();
    }

    RealMatrix normal() {
      double[][] sum = new double[unknowns()][unknowns()];
      for (TapView v : taps) {
        for (int i = 0; i < sum.length; i++) {
          for (int j = 0; j < sum.length; j++) {
            sum[i][j] += v.normal[i][j];
          }
        }
      }
      return new Array2DRowRealMatrix(sum, false);
    }

    /** Where the unknowns of a term begin. */
    int place(int term) {
      return terms.subList(0, term).stream().mapToInt(Term::unknowns).sum();
    }
  }

  private static final int MOST_STEPS = 60;

  private final DecaySpectra spectra;
  private final int[][] lines;
  private final double[][] cos;
  private final double[][] sin;
  private final double[][] weight;
  private final boolean shortRecord;

  /**
   * @param spectra the decays
   * @param bandsHz bands whose lines count
   * @param level noise over frequency, as variance of white noise
   */
  DecayRefinement(DecaySpectra spectra, List<double[]> bandsHz, DoubleUnaryOperator level) {
    this.spectra = spectra;
    int taps = spectra.taps();
    lines = new int[taps][];
    cos = new double[taps][];
    sin = new double[taps][];
    weight = new double[taps][];
    for (int t = 0; t < taps; t++) {
      int n = spectra.samples[t];
      lines[t] = spectra.lines(t, bandsHz);
      int count = lines[t].length;
      cos[t] = new double[count];
      sin[t] = new double[count];
      weight[t] = new double[count];
      for (int i = 0; i < count; i++) {
        double angle = 2 * Math.PI * lines[t][i] / n;
        cos[t][i] = Math.cos(angle);
        sin[t][i] = Math.sin(angle);
        double variance = n * level.applyAsDouble(lines[t][i] * spectra.fs / n) / 2;
        weight[t][i] = 1 / Math.sqrt(Math.max(variance, Double.MIN_NORMAL));
      }
    }
    shortRecord = spectra.longest() < 200;
  }

  int lines() {
    return Arrays.stream(lines).mapToInt(l -> l.length).sum();
  }

  double lineHz(int tap, int index) {
    return lines[tap][index] * spectra.fs / spectra.samples[tap];
  }

  /** The linear part alone. */
  Fit linear(List<Term> terms) {
    return look(terms, null);
  }

  /** Levenberg-Marquardt from a start. */
  Fit from(List<Term> start) {
    return from(start, null, MOST_STEPS, 1e-7);
  }

  /**
   * @param free which terms may move; null for all
   * @param steps at most
   * @param tolerance part of chi-square whose gain is no longer worth a step
   */
  Fit from(List<Term> start, boolean[] free, int steps, double tolerance) {
    boolean[] moves = free;
    if (moves == null) {
      moves = new boolean[start.size()];
      Arrays.fill(moves, true);
    }
    Fit fit = look(start, moves);
    double lambda = 1e-4;
    for (int step = 0; step < steps && fit.unknowns() > 0; step++) {
      boolean better = false;
      for (int attempt = 0; attempt < 8 && !better; attempt++) {
        double[] move = move(fit, moves, lambda);
        if (move == null) {
          lambda = Math.max(lambda, 1e-9) * 10;
          continue;
        }
        Fit next = look(moved(fit.terms, move), moves);
        double gain = fit.chiSquare - next.chiSquare;
        if (gain >= 0) {
          better = true;
          lambda = Math.max(1e-12, lambda / 10);
          boolean done = gain <= tolerance * Math.max(fit.chiSquare, fit.freedom());
          fit = next;
          if (done) {
            fit.converged = true;
            return fit;
          }
        } else {
          if (-gain <= 1e-12 * fit.chiSquare) {
            fit.converged = true;
            return fit;
          }
          lambda = lambda * 10;
        }
      }
      if (!better) {
        fit.converged = true;
        return fit;
      }
    }
    return fit;
  }

  private static double[] move(Fit fit, boolean[] moves, double lambda) {
    RealMatrix normal = fit.normal();
    int p = fit.unknowns();
    double[] gradient = new double[p];
    for (TapView v : fit.taps) {
      for (int i = 0; i < p; i++) {
        gradient[i] += v.gradient[i];
      }
    }
    for (int j = 0; j < fit.terms.size(); j++) {
      for (int i = 0; i < fit.terms.get(j).unknowns(); i++) {
        int at = fit.place(j) + i;
        if (!moves[j] || !(normal.getEntry(at, at) > 0)) {
          for (int c = 0; c < p; c++) {
            normal.setEntry(at, c, 0);
            normal.setEntry(c, at, 0);
          }
          normal.setEntry(at, at, 1);
          gradient[at] = 0;
        } else {
          normal.multiplyEntry(at, at, 1 + lambda);
        }
      }
    }
    try {
      return new LUDecomposition(normal, 0)
          .getSolver()
          .solve(new ArrayRealVector(gradient))
          .toArray();
    } catch (SingularMatrixException e) {
      return null;
    }
  }

  private List<Term> moved(List<Term> terms, double[] move) {
    List<Term> all = new ArrayList<>();
    double cell = 2 * Math.PI * spectra.spacingHz();
    double nyquist = Math.PI * spectra.fs;
    int at = 0;
    for (Term t : terms) {
      if (t.tone) {
        double step = Math.max(-cell / 2, Math.min(cell / 2, move[at]));
        all.add(new Term(0, t.omega + step, true));
        at += 1;
      } else {
        double most = Math.max(2 * t.alpha, cell);
        double alpha = t.alpha + Math.max(-0.7 * t.alpha, Math.min(3 * t.alpha, move[at]));
        double omega = t.omega + Math.max(-most, Math.min(most, move[at + 1]));
        all.add(
            new Term(
                Math.min(alpha, nyquist), Math.max(cell / 10, Math.min(nyquist, omega)), false));
        at += 2;
      }
    }
    return all;
  }

  private Fit look(List<Term> terms, boolean[] moves) {
    TapView[] views = new TapView[spectra.taps()];
    IntStream range = IntStream.range(0, views.length);
    (views.length > 1 ? range.parallel() : range)
        .forEach(t -> views[t] = new Tap(t, terms).view(moves));
    return new Fit(terms, List.of(views));
  }

  /** Linear least squares of one tap. */
  private final class Tap {
    private final int tap;
    private final List<Term> terms;
    private final int n;
    private final double[][] q;
    private final double[][] r;
    private int columns;

    Tap(int tap, List<Term> terms) {
      this.tap = tap;
      this.terms = terms;
      this.n = lines[tap].length;
      int most = 2 * terms.size() + spectra.slowPoles.length + 4;
      this.q = new double[most][];
      this.r = new double[most][most];
    }

    TapView view(boolean[] moves) {
      for (Term term : terms) {
        double[] a = new double[2 * n];
        double[] b = new double[2 * n];
        waves(term, a, b);
        add(a);
        add(b);
      }
      for (double rate : spectra.slowPoles) {
        add(tail(Math.exp(-rate / spectra.fs)));
      }
      add(tail(1));
      if (!shortRecord) {
        add(slope());
        add(sample(0));
        add(sample(1));
      }
      double[] y = new double[2 * n];
      for (int i = 0; i < n; i++) {
        y[i] = spectra.re[tap][lines[tap][i]] * weight[tap][i];
        y[n + i] = spectra.im[tap][lines[tap][i]] * weight[tap][i];
      }
      double[] inQ = project(y);
      TapView view = new TapView();
      view.left = y;
      view.chiSquare = dot(y, y);
      view.freedom = Math.max(0, 2 * n - columns);
      double[] x = solved(inQ);
      view.residue = new double[2 * terms.size()];
      for (int j = 0; j < terms.size(); j++) {
        residue(terms.get(j), x[2 * j], x[2 * j + 1], view.residue, j);
      }
      if (moves != null) {
        slopes(view, x, moves);
      }
      return view;
    }

    /** Cosine and sine part of a decay, weighted: B(z) + B(z*) and i(B(z) − B(z*)). */
    private void waves(Term term, double[] a, double[] b) {
      double size = Math.exp(-term.alpha / spectra.fs);
      double zr = size * Math.cos(term.omega / spectra.fs);
      double zi = size * Math.sin(term.omega / spectra.fs);
      double[] up = new double[2];
      double[] down = new double[2];
      for (int i = 0; i < n; i++) {
        double w = weight[tap][i];
        inverse(zr, zi, i, up);
        inverse(zr, -zi, i, down);
        a[i] = w * (up[0] + down[0]);
        a[n + i] = w * (up[1] + down[1]);
        b[i] = -w * (up[1] - down[1]);
        b[n + i] = w * (up[0] - down[0]);
      }
    }

    /** 1/(1 − z e^(−iω)) at a line. */
    private void inverse(double zr, double zi, int i, double[] into) {
      double c = cos[tap][i];
      double s = sin[tap][i];
      double dr = 1 - (zr * c + zi * s);
      double di = -(zi * c - zr * s);
      double square = Math.max(dr * dr + di * di, 1e-24);
      into[0] = dr / square;
      into[1] = -di / square;
    }

    private double[] tail(double z) {
      double[] a = new double[2 * n];
      double[] one = new double[2];
      for (int i = 0; i < n; i++) {
        inverse(z, 0, i, one);
        a[i] = weight[tap][i] * one[0];
        a[n + i] = weight[tap][i] * one[1];
      }
      return a;
    }

    /** e^(−iω)/(1 − e^(−iω))². */
    private double[] slope() {
      double[] a = new double[2 * n];
      double[] one = new double[2];
      for (int i = 0; i < n; i++) {
        inverse(1, 0, i, one);
        double re = one[0] * one[0] - one[1] * one[1];
        double im = 2 * one[0] * one[1];
        double c = cos[tap][i];
        double s = -sin[tap][i];
        a[i] = weight[tap][i] * (re * c - im * s);
        a[n + i] = weight[tap][i] * (re * s + im * c);
      }
      return a;
    }

    private double[] sample(int index) {
      double[] a = new double[2 * n];
      for (int i = 0; i < n; i++) {
        a[i] = weight[tap][i] * (index == 0 ? 1 : cos[tap][i]);
        a[n + i] = weight[tap][i] * (index == 0 ? 0 : -sin[tap][i]);
      }
      return a;
    }

    /** Adds a column: Gram-Schmidt, twice. */
    private void add(double[] column) {
      int c = columns++;
      double before = Math.sqrt(dot(column, column));
      for (int round = 0; round < 2; round++) {
        for (int i = 0; i < c; i++) {
          if (q[i] != null) {
            double part = dot(q[i], column);
            r[i][c] += part;
            subtract(column, part, q[i]);
          }
        }
      }
      double size = Math.sqrt(dot(column, column));
      if (!(size > 1e-11 * before)) {
        q[c] = null;
        return;
      }
      for (int i = 0; i < column.length; i++) {
        column[i] /= size;
      }
      r[c][c] = size;
      q[c] = column;
    }

    /** Takes out of a vector what the columns can make, and says how much of each it was. */
    private double[] project(double[] y) {
      double[] parts = new double[columns];
      for (int round = 0; round < 2; round++) {
        for (int i = 0; i < columns; i++) {
          if (q[i] != null) {
            double part = dot(q[i], y);
            parts[i] += part;
            subtract(y, part, q[i]);
          }
        }
      }
      return parts;
    }

    private double[] solved(double[] inQ) {
      double[] x = new double[columns];
      for (int i = columns - 1; i >= 0; i--) {
        if (q[i] != null) {
          double sum = inQ[i];
          for (int j = i + 1; j < columns; j++) {
            sum -= r[i][j] * x[j];
          }
          x[i] = sum / r[i][i];
        }
      }
      return x;
    }

    /** What stands before 1/(1 − z e^(−iω)) is R(1 − z^N). */
    private void residue(Term term, double a, double b, double[] into, int j) {
      double all = spectra.samples[tap] / spectra.fs;
      double size = Math.exp(-term.alpha * all);
      double re = 1 - size * Math.cos(term.omega * all);
      double im = -size * Math.sin(term.omega * all);
      double square = Math.max(re * re + im * im, 1e-24);
      into[2 * j] = (a * re + b * im) / square;
      into[2 * j + 1] = (b * re - a * im) / square;
    }

    private void slopes(TapView view, double[] x, boolean[] moves) {
      int p = terms.stream().mapToInt(Term::unknowns).sum();
      double[][] d = new double[p][];
      int at = 0;
      for (int j = 0; j < terms.size(); j++) {
        Term term = terms.get(j);
        double[] byAlpha = new double[2 * n];
        double[] byOmega = new double[2 * n];
        if (moves[j]) {
          slopes(term, x[2 * j], x[2 * j + 1], byAlpha, byOmega);
        }
        if (!term.tone) {
          d[at++] = byAlpha;
        }
        d[at++] = byOmega;
      }
      for (double[] column : d) {
        project(column);
      }
      view.normal = new double[p][p];
      view.gradient = new double[p];
      for (int i = 0; i < p; i++) {
        view.gradient[i] = dot(d[i], view.left);
        for (int j = 0; j <= i; j++) {
          view.normal[i][j] = dot(d[i], d[j]);
          view.normal[j][i] = view.normal[i][j];
        }
      }
    }

    /** With B' = e^(−iω)/(1 − z e^(−iω))²: R B' z/fs times −1 by α, times i by ω. */
    private void slopes(Term term, double a, double b, double[] byAlpha, double[] byOmega) {
      double size = Math.exp(-term.alpha / spectra.fs);
      double zr = size * Math.cos(term.omega / spectra.fs);
      double zi = size * Math.sin(term.omega / spectra.fs);
      double[] one = new double[2];
      for (int side = 1; side >= -1; side -= 2) {
        // R z/fs, or its conjugate for the conjugate pole
        double rr = (a * zr - b * zi) / spectra.fs;
        double ri = side * (a * zi + b * zr) / spectra.fs;
        for (int i = 0; i < n; i++) {
          inverse(zr, side * zi, i, one);
          double sr = one[0] * one[0] - one[1] * one[1];
          double si = 2 * one[0] * one[1];
          double c = cos[tap][i];
          double s = -sin[tap][i];
          double br = sr * c - si * s;
          double bi = sr * s + si * c;
          double vr = weight[tap][i] * (rr * br - ri * bi);
          double vi = weight[tap][i] * (rr * bi + ri * br);
          byAlpha[i] -= vr;
          byAlpha[n + i] -= vi;
          byOmega[i] -= side * vi;
          byOmega[n + i] += side * vr;
        }
      }
    }
  }

  private static double dot(double[] a, double[] b) {
    double s0 = 0;
    double s1 = 0;
    int i = 0;
    for (; i + 1 < a.length; i += 2) {
      s0 += a[i] * b[i];
      s1 += a[i + 1] * b[i + 1];
    }
    return i < a.length ? s0 + s1 + a[i] * b[i] : s0 + s1;
  }

  private static void subtract(double[] from, double part, double[] what) {
    for (int i = 0; i < from.length; i++) {
      from[i] -= part * what[i];
    }
  }
}

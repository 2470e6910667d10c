package ringtrue.stability;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.apache.commons.math3.complex.Complex;
import ringtrue.dynamics.Mode;

/**
 * Rightmost characteristic root of a cut with averaged directional factors, {@code det(I − b R(s)
 * scale G(s) a) = 0} with R(s) the mean of {@code 1 − e^(−sτ)}.
 *
 * <p>The number of roots to the right of a line Re s = σ is the number of poles there less the
 * turns of the determinant along the line (argument principle); bisection on σ brackets the
 * rightmost root, Newton's method from the places where the determinant is smallest sharpens it.
 */
final class CharacteristicRoots {
  private static final double FINEST_TURN_RAD = 0.3;

  private final RegenerativeLoop loop;
  private final SearchBand.ModalParts modes;
  private final Regeneration regeneration;
  private final double depthM;

  /**
   * @param loop directional factors and scale
   * @param modes the modes that its receptances consist of
   * @param regeneration delays
   * @param depthM axial depth, m
   */
  CharacteristicRoots(
      RegenerativeLoop loop,
      SearchBand.ModalParts modes,
      Regeneration regeneration,
      double depthM) {
    this.loop = loop;
    this.modes = modes;
    this.regeneration = regeneration;
    this.depthM = depthM;
  }

  /** Largest |e^(sT)| over all roots, T the growth period; 0 if nothing gives. */
  double growth() {
    if (modes.x().isEmpty() && modes.y().isEmpty()) {
      return 0;
    }
    return Math.exp(rightmost().getReal() * regeneration.growthPeriodS());
  }

  /** The rightmost root with Im s ≥ 0, 1/s. */
  Complex rightmost() {
    double unit = 1 / regeneration.longestS();
    double none = 0; // no root to the right of this
    double some = 0; // at least one to the right of this
    if (rootsRightOf(0) == 0) {
      for (double step = 0.1 * unit; ; step *= 2) {
        some = none - step;
        if (rootsRightOf(some) > 0) {
          break;
        }
        none = some;
      }
    } else {
      for (double step = 0.1 * unit; ; step *= 2) {
        none = some + step;
        if (rootsRightOf(none) == 0) {
          break;
        }
        some = none;
      }
    }
    while (none - some > 1e-11 * unit + 1e-13 * Math.abs(none)) {
      double width = none - some;
      if (width < 0.05 * unit) {
        Complex polished = polish(some, none);
        if (polished != null) {
          return polished;
        }
      }
      double middle = some + 0.5 * width;
      if (rootsRightOf(middle) > 0) {
        some = middle;
      } else {
        none = middle;
      }
    }
    return new Complex(0.5 * (some + none), Double.NaN);
  }

  /**
   * Newton's method from the places along the line where the determinant is smallest; the result
   * counts if it lies between the lines and no root lies to the right of it.
   */
  private Complex polish(double some, double none) {
    double middle = 0.5 * (some + none);
    double[] omega = frequencies(middle);
    double[] size = new double[omega.length];
    for (int i = 0; i < omega.length; i++) {
      size[i] = determinant(new Complex(middle, omega[i])).abs();
    }
    Complex best = null;
    for (int i = 0; i < omega.length; i++) {
      boolean low =
          (i == 0 || size[i] <= size[i - 1]) && (i + 1 == omega.length || size[i] <= size[i + 1]);
      if (low) {
        Complex root = newton(new Complex(middle, omega[i]));
        if (root != null
            && root.getReal() >= some
            && root.getReal() <= none
            && (best == null || root.getReal() > best.getReal())) {
          best = root;
        }
      }
    }
    if (best == null) {
      return null;
    }
    double beside = 1e-4 * (none - some);
    return best.getReal() + beside >= none || rootsRightOf(best.getReal() + beside) == 0
        ? best
        : null;
  }

  private Complex newton(Complex start) {
    Complex s = start;
    double scale = Math.max(s.abs(), 1 / regeneration.longestS());
    for (int i = 0; i < 40; i++) {
      double h = 1e-6 * scale;
      Complex slope = determinant(s.add(h)).subtract(determinant(s.subtract(h))).divide(2 * h);
      Complex step = determinant(s).divide(slope);
      if (step.isNaN() || step.isInfinite()) {
        return null;
      }
      s = s.subtract(step);
      if (step.abs() < 1e-13 * scale) {
        return new Complex(s.getReal(), Math.abs(s.getImaginary()));
      }
    }
    return null;
  }

  /** Roots with a real part above a value, both of a pair counted. */
  int rootsRightOf(double sigma) {
    int poles = 0;
    for (List<Mode> direction : List.of(modes.x(), modes.y())) {
      for (Mode mode : direction) {
        if (-mode.dampingRatio() * 2 * Math.PI * mode.frequencyHz() > sigma) {
          poles += 2;
        }
      }
    }
    double[] omega = frequencies(sigma);
    double turned = 0;
    Complex before = determinant(new Complex(sigma, omega[0]));
    for (int i = 1; i < omega.length; i++) {
      Complex now = determinant(new Complex(sigma, omega[i]));
      turned += turn(sigma, omega[i - 1], before, omega[i], now, 40);
      before = now;
    }
    return (int) Math.round(poles - turned / Math.PI);
  }

  private double turn(double sigma, double wa, Complex a, double wb, Complex b, int deepest) {
    double angle = angle(a, b);
    if (deepest == 0) {
      return angle;
    }
    double wm = 0.5 * (wa + wb);
    if (Math.abs(angle) < FINEST_TURN_RAD
        && Math.max(a.abs(), b.abs()) < 1.5 * Math.min(a.abs(), b.abs())) {
      return angle;
    }
    Complex m = determinant(new Complex(sigma, wm));
    return turn(sigma, wa, a, wm, m, deepest - 1) + turn(sigma, wm, m, wb, b, deepest - 1);
  }

  private static double angle(Complex a, Complex b) {
    double re = a.getReal() * b.getReal() + a.getImaginary() * b.getImaginary();
    double im = a.getReal() * b.getImaginary() - a.getImaginary() * b.getReal();
    return Math.atan2(im, re);
  }

  /**
   * Angular frequencies close enough for the modes and for the delays, up to where nothing turns.
   */
  private double[] frequencies(double sigma) {
    List<Mode> all = new ArrayList<>(modes.x());
    all.addAll(modes.y());
    double highest = all.stream().mapToDouble(Mode::frequencyHz).max().orElseThrow();
    double end = 2 * Math.PI * highest * 1.5;
    double most = 1 + Math.exp(Math.min(500, -sigma * regeneration.longestS()));
    while (2 * depthM * most * strength(new Complex(sigma, end)) > 0.1) {
      end *= 1.25;
    }
    double wave = 2 * Math.PI / regeneration.longestS() / 24;
    List<Double> list = new ArrayList<>();
    int waves = (int) Math.ceil(end / wave);
    for (int i = 0; i <= waves; i++) {
      list.add(end * i / waves);
    }
    for (Mode mode : all) {
      double wn = 2 * Math.PI * mode.frequencyHz();
      double wd = wn * Math.sqrt(1 - mode.dampingRatio() * mode.dampingRatio());
      double unit = Math.max(Math.abs(mode.dampingRatio() * wn + sigma), 1e-6 * wn);
      for (double u = 0; unit * Math.sinh(u) < Math.max(wd, end - wd); u += 0.2) {
        double away = unit * Math.sinh(u);
        if (wd - away > 0) {
          list.add(wd - away);
        }
        if (wd + away < end) {
          list.add(wd + away);
        }
      }
    }
    double[] omega = list.stream().mapToDouble(w -> w).sorted().distinct().toArray();
    return Arrays.copyOf(omega, omega.length);
  }

  private double strength(Complex s) {
    DirectionalFactors a = loop.factors();
    double size = Math.abs(a.axx()) + Math.abs(a.axy()) + Math.abs(a.ayx()) + Math.abs(a.ayy());
    return Math.abs(loop.scalePa())
        * size
        * Math.max(receptance(modes.x(), s).abs(), receptance(modes.y(), s).abs());
  }

  private Complex determinant(Complex s) {
    DirectionalFactors a = loop.factors();
    Complex gx = receptance(modes.x(), s);
    Complex gy = receptance(modes.y(), s);
    Complex gain = regeneration.at(s).multiply(depthM * loop.scalePa());
    Complex trace = gx.multiply(a.axx()).add(gy.multiply(a.ayy()));
    Complex product = gx.multiply(gy).multiply(a.determinant());
    return Complex.ONE.subtract(gain.multiply(trace)).add(gain.multiply(gain).multiply(product));
  }

  private static Complex receptance(List<Mode> modes, Complex s) {
    Complex sum = Complex.ZERO;
    for (Mode mode : modes) {
      double wn = 2 * Math.PI * mode.frequencyHz();
      Complex below = s.multiply(s).add(s.multiply(2 * mode.dampingRatio() * wn)).add(wn * wn);
      sum = sum.add(new Complex(wn * wn / mode.stiffnessNPerM()).divide(below));
    }
    return sum;
  }
}

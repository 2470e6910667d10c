package ringtrue.stability;

import java.util.ArrayList;
import java.util.List;
import java.util.stream.DoubleStream;
import org.apache.commons.math3.complex.Complex;
import ringtrue.dynamics.Mode;

/**
 * Rightmost characteristic root of a cut with averaged directional factors, {@code det(I − b R(s)
 * scale G(s) a) = 0} with R(s) the {@link Regeneration}.
 *
 * <p>The number of roots to the right of a line Re s = σ is the number of poles there less the
 * turns of the determinant along the line (argument principle); bisection on σ brackets the
 * rightmost root, Newton's method from the places where the determinant is smallest sharpens it.
 */
final class CharacteristicRoots {
  private static final double FINEST_TURN = 0.3; // tangent of the angle
  private static final int NODES_PER_WAVE = 16;
  private static final int ROOM = 2;

  private final RegenerativeLoop loop;
  private final Regeneration regeneration;
  private final double depthM;
  private final List<Mode> modes;
  private final double[][] x;
  private final double[][] y;

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
    this.regeneration = regeneration;
    this.depthM = depthM;
    this.modes = new ArrayList<>(modes.x());
    this.modes.addAll(modes.y());
    this.x = rows(modes.x());
    this.y = rows(modes.y());
  }

  /** A mode as wn², 2ζwn, wn²/k. */
  private static double[][] rows(List<Mode> modes) {
    return modes.stream()
        .map(
            mode -> {
              double wn = 2 * Math.PI * mode.frequencyHz();
              double square = wn * wn;
              return new double[] {
                square, 2 * mode.dampingRatio() * wn, square / mode.stiffnessNPerM()
              };
            })
        .toArray(double[][]::new);
  }

  /** Largest |e^(sT)| over all roots, T the growth period; 0 if nothing gives. */
  double growth() {
    return modes.isEmpty() ? 0 : Math.exp(rightmost() * regeneration.growthPeriodS());
  }

  /** Real part of the rightmost root, 1/s. */
  double rightmost() {
    double unit = 1 / regeneration.longestS();
    double none = 0; // no root to the right of this
    double some = 0; // at least one to the right of this
    if (rootsRightOf(0) == 0) {
      double step = 0.1 * unit;
      for (some = -step; rootsRightOf(some) == 0; some -= step) {
        none = some;
        step *= 2;
      }
    } else {
      double step = 0.1 * unit;
      for (none = step; rootsRightOf(none) > 0; none += step) {
        some = none;
        step *= 2;
      }
    }
    while (none - some > 1e-11 * unit + 1e-13 * Math.abs(none)) {
      double width = none - some;
      if (width < 0.3 * unit) {
        double polished = polish(some, none);
        if (!Double.isNaN(polished)) {
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
    return 0.5 * (some + none);
  }

  /**
   * Newton's method from the places along the middle line where the determinant is smallest. The
   * result counts if it lies between the lines and no root lies to the right of it; otherwise NaN.
   */
  private double polish(double some, double none) {
    double middle = 0.5 * (some + none);
    double[] omega = frequencies(middle);
    double[] size = new double[omega.length];
    double[] into = new double[ROOM];
    for (int i = 0; i < omega.length; i++) {
      determinant(middle, omega[i], into);
      size[i] = into[0] * into[0] + into[1] * into[1];
    }
    double best = Double.NaN;
    for (int i = 0; i < omega.length; i++) {
      boolean low =
          (i == 0 || size[i] <= size[i - 1]) && (i + 1 == omega.length || size[i] <= size[i + 1]);
      if (low && size[i] < 1) {
        double root = newton(new Complex(middle, omega[i]));
        if (root >= some && root <= none && !(root <= best)) {
          best = root;
        }
      }
    }
    if (Double.isNaN(best)) {
      return best;
    }
    double beside = 1e-4 * (none - some);
    return best + beside >= none || rootsRightOf(best + beside) == 0 ? best : Double.NaN;
  }

  private double newton(Complex start) {
    Complex s = start;
    double scale = Math.max(s.abs(), 1 / regeneration.longestS());
    double h = 1e-6 * scale;
    for (int i = 0; i < 30; i++) {
      Complex slope = determinant(s.add(h)).subtract(determinant(s.subtract(h))).divide(2 * h);
      Complex step = determinant(s).divide(slope);
      if (step.isNaN() || step.isInfinite()) {
        return Double.NaN;
      }
      s = s.subtract(step);
      if (step.abs() < 1e-13 * scale) {
        return s.getReal();
      }
    }
    return Double.NaN;
  }

  /** Roots with a real part above a value, both of a pair counted. */
  int rootsRightOf(double sigma) {
    int poles = 0;
    for (Mode mode : modes) {
      if (-mode.dampingRatio() * 2 * Math.PI * mode.frequencyHz() > sigma) {
        poles += 2;
      }
    }
    double[] omega = frequencies(sigma);
    double[] into = new double[ROOM];
    determinant(sigma, omega[0], into);
    double re = into[0];
    double im = into[1];
    double turned = 0;
    for (int i = 1; i < omega.length; i++) {
      determinant(sigma, omega[i], into);
      double nextRe = into[0];
      double nextIm = into[1];
      turned += turn(sigma, omega[i - 1], re, im, omega[i], nextRe, nextIm, into, 40);
      re = nextRe;
      im = nextIm;
    }
    return (int) Math.round(poles - turned / Math.PI);
  }

  /** Angle by which the determinant turns between two frequencies, halved until it is small. */
  private double turn(
      double sigma,
      double wa,
      double aRe,
      double aIm,
      double wb,
      double bRe,
      double bIm,
      double[] into,
      int deepest) {
    double along = aRe * bRe + aIm * bIm;
    double across = aRe * bIm - aIm * bRe;
    double aa = aRe * aRe + aIm * aIm;
    double bb = bRe * bRe + bIm * bIm;
    boolean close =
        Math.abs(across) < FINEST_TURN * along && Math.max(aa, bb) < 2.25 * Math.min(aa, bb);
    if (close || deepest == 0) {
      return Math.atan2(across, along);
    }
    double wm = 0.5 * (wa + wb);
    determinant(sigma, wm, into);
    double re = into[0];
    double im = into[1];
    return turn(sigma, wa, aRe, aIm, wm, re, im, into, deepest - 1)
        + turn(sigma, wm, re, im, wb, bRe, bIm, into, deepest - 1);
  }

  /** Angular frequencies close enough for modes and delays, up to where nothing turns any more. */
  private double[] frequencies(double sigma) {
    double highest = modes.stream().mapToDouble(Mode::frequencyHz).max().orElseThrow();
    double end = 2 * Math.PI * highest * 1.5;
    while (2 * depthM * regeneration.largest(sigma, Math.hypot(sigma, end)) * strength(sigma, end)
        > 0.1) {
      end *= 1.25;
    }
    DoubleStream.Builder list = DoubleStream.builder();
    double waves = end * regeneration.longestS() / (2 * Math.PI);
    int pieces = (int) Math.ceil(NODES_PER_WAVE * waves);
    for (int i = 0; i <= pieces; i++) {
      list.add(end * i / pieces);
    }
    for (Mode mode : modes) {
      double wn = 2 * Math.PI * mode.frequencyHz();
      double wd = wn * Math.sqrt(1 - mode.dampingRatio() * mode.dampingRatio());
      double unit = Math.max(Math.abs(mode.dampingRatio() * wn + sigma), 1e-6 * wn);
      double away = 0;
      for (double u = 0; away < Math.max(wd, end - wd); u += 0.2) {
        away = unit * Math.sinh(u);
        if (wd - away > 0) {
          list.add(wd - away);
        }
        if (wd + away < end) {
          list.add(wd + away);
        }
      }
    }
    return list.build().sorted().distinct().toArray();
  }

  /** A bound of the loop's eigenvalues, 1/m. */
  private double strength(double sigma, double omega) {
    DirectionalFactors a = loop.factors();
    double size = Math.abs(a.axx()) + Math.abs(a.axy()) + Math.abs(a.ayx()) + Math.abs(a.ayy());
    double[] into = new double[ROOM];
    receptance(x, sigma, omega, into);
    double most = Math.hypot(into[0], into[1]);
    receptance(y, sigma, omega, into);
    return Math.abs(loop.scalePa()) * size * Math.max(most, Math.hypot(into[0], into[1]));
  }

  private Complex determinant(Complex s) {
    double[] into = new double[ROOM];
    determinant(s.getReal(), s.getImaginary(), into);
    return new Complex(into[0], into[1]);
  }

  private void determinant(double sigma, double omega, double[] into) {
    DirectionalFactors a = loop.factors();
    receptance(x, sigma, omega, into);
    double xRe = into[0];
    double xIm = into[1];
    receptance(y, sigma, omega, into);
    double yRe = into[0];
    double yIm = into[1];
    regeneration.at(sigma, omega, into);
    double gain = depthM * loop.scalePa();
    double gRe = gain * into[0];
    double gIm = gain * into[1];
    double d = a.determinant();
    double productRe = d * (xRe * yRe - xIm * yIm);
    double productIm = d * (xRe * yIm + xIm * yRe);
    // 1 − g (trace − g product)
    double innerRe = a.axx() * xRe + a.ayy() * yRe - gRe * productRe + gIm * productIm;
    double innerIm = a.axx() * xIm + a.ayy() * yIm - gRe * productIm - gIm * productRe;
    into[0] = 1 - gRe * innerRe + gIm * innerIm;
    into[1] = -gRe * innerIm - gIm * innerRe;
  }

  private static void receptance(double[][] rows, double sigma, double omega, double[] into) {
    double re = 0;
    double im = 0;
    for (double[] row : rows) {
      double belowRe = sigma * sigma - omega * omega + row[1] * sigma + row[0];
      double belowIm = omega * (2 * sigma + row[1]);
      double scale = row[2] / (belowRe * belowRe + belowIm * belowIm);
      re += scale * belowRe;
      im -= scale * belowIm;
    }
    into[0] = re;
    into[1] = im;
  }
}

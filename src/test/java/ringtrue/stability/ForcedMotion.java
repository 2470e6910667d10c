package ringtrue.stability;

import java.util.List;
import ringtrue.dynamics.Receptance;
import ringtrue.planning.CuttingForces;

/**
 * The motion that the forces of a tool which does not vibrate keep up, in the frequency domain:
 * Fourier coefficients of the closed-form forces times the receptances. Without regeneration, as it
 * is where all teeth follow each other evenly (Schmitz & Mann 2006).
 */
final class ForcedMotion {
  private final double[] xRe;
  private final double[] xIm;
  private final double[] yRe;
  private final double[] yIm;

  ForcedMotion(CuttingProcess process, int harmonics) {
    CuttingForces forces = CuttingForces.of(process, 4320);
    double hz = process.speedRpm() / 60;
    int n = forces.samples();
    double period =
        process.tool().orElseThrow().evenPitch()
                && process.tool().orElseThrow().equalHelix()
                && process.tool().orElseThrow().runoutM() == 0
            ? 2 * Math.PI / process.tool().orElseThrow().flutes()
            : 2 * Math.PI;
    int step = (int) Math.round(2 * Math.PI / period);
    xRe = new double[harmonics + 1];
    xIm = new double[harmonics + 1];
    yRe = new double[harmonics + 1];
    yIm = new double[harmonics + 1];
    double[] g = new double[2];
    for (int k = 0; k <= harmonics; k += step) {
      double fxRe = 0;
      double fxIm = 0;
      double fyRe = 0;
      double fyIm = 0;
      for (int i = 0; i < n; i++) {
        int next = (i + 1) % n;
        double before = forces.angleRad(i);
        double width = forces.angleRad(next) - before + (next == 0 ? period : 0);
        for (int side : new int[] {i, next}) {
          double angle = side == i ? before : before + width;
          double w = 0.5 * width / period;
          fxRe += w * forces.xN(side) * Math.cos(k * angle);
          fxIm -= w * forces.xN(side) * Math.sin(k * angle);
          fyRe += w * forces.yN(side) * Math.cos(k * angle);
          fyIm -= w * forces.yN(side) * Math.sin(k * angle);
        }
      }
      double twice = k == 0 ? 1 : 2;
      double at = Math.max(k * hz, 1e-6);
      sum(process.x(), at, g);
      xRe[k] = twice * (fxRe * g[0] - fxIm * g[1]);
      xIm[k] = twice * (fxRe * g[1] + fxIm * g[0]);
      sum(process.y(), at, g);
      yRe[k] = twice * (fyRe * g[0] - fyIm * g[1]);
      yIm[k] = twice * (fyRe * g[1] + fyIm * g[0]);
    }
  }

  private static void sum(List<Receptance> parts, double hz, double[] into) {
    double re = 0;
    double im = 0;
    for (Receptance part : parts) {
      part.at(hz, into);
      re += into[0];
      im += into[1];
    }
    into[0] = re;
    into[1] = im;
  }

  /** Displacement along the feed while flute 0 stands at an angle, m. */
  double x(double angleRad) {
    return at(xRe, xIm, angleRad);
  }

  /** Displacement across the feed, m. */
  double y(double angleRad) {
    return at(yRe, yIm, angleRad);
  }

  private static double at(double[] re, double[] im, double angleRad) {
    double sum = 0;
    for (int k = 0; k < re.length; k++) {
      sum += re[k] * Math.cos(k * angleRad) - im[k] * Math.sin(k * angleRad);
    }
    return sum;
  }

  /** Largest displacement over a turn, m. */
  double peak() {
    double most = 0;
    for (int i = 0; i < 720; i++) {
      most = Math.max(most, Math.hypot(x(i * Math.PI / 360), y(i * Math.PI / 360)));
    }
    return most;
  }
}

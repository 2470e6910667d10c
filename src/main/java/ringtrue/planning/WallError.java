package ringtrue.planning;

import java.util.List;
import java.util.Optional;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.Receptance;
import ringtrue.stability.CuttingProcess;
import ringtrue.stability.Engagement;
import ringtrue.stability.Tool;

/**
 * Where a stable milling cut leaves the wall: the steady vibration under the periodic cutting
 * force, read at the moments at which each flute makes the wall (surface location error; Schmitz
 * &amp; Mann 2006, Int. J. Mach. Tools Manuf. 46, 1369, from memory): {@code Y(f) = Gyy(f) Fy(f) +
 * Gxy(f) Fx(f)} for each harmonic of the force, edge terms, helix and run-out included.
 *
 * <p>The force is that of the cut without vibration. Where all teeth are alike that is exact: in
 * the steady state each tooth repeats the path of the one before, so what regeneration adds to the
 * chip is nothing. With run-out, uneven pitch or different helices it is left out. Near chatter the
 * steady state takes long to be reached; beyond it there is none.
 *
 * <p>The wall is at φ = 0 in up milling, at 180° in down milling, on both sides of a slot. A flute
 * makes it at height z at the spindle angle {@code θ = φ + σ_j + 2 z tan(helix)/D}. With run-out
 * the flute that reaches furthest counts at each height.
 */
final class WallError {
  /** Harmonics of the tooth passing; their share of a displacement falls with the third power. */
  private static final int HARMONICS = 40;

  private static final int HEIGHTS = 9;
  private static final double ANGLE_SLIP = 1e-9;

  private final Tool tool;
  private final Engagement engagement;
  private final double perRad; // harmonics' step in the angle, 1/rad: 1 for a turn
  private final double[] xRe;
  private final double[] xIm;
  private final double[] yRe;
  private final double[] yIm;

  /**
   * Where the wall lies.
   *
   * @param errorM what is left on the wall, m: positive too thick (undercut), negative too thin
   *     (overcut); where it is largest along the height
   * @param lowM least along the height, m
   * @param highM most along the height, m
   * @param side which wall: up, down, where both are cut the worse one
   */
  record Wall(double errorM, double lowM, double highM, String side) {

    private Wall worse(Wall other) {
      return Math.abs(other.errorM) > Math.abs(errorM) ? other : this;
    }
  }

  /** Transforms the forces over their period; they do not know the speed. */
  WallError(CuttingForces forces, Tool tool, Engagement engagement) {
    this.tool = tool;
    this.engagement = engagement;
    double period = forces.periodRad();
    this.perRad = 2 * Math.PI / period;
    int n = (int) Math.ceil(HARMONICS * tool.flutes() / perRad);
    xRe = new double[n + 1];
    xIm = new double[n + 1];
    yRe = new double[n + 1];
    yIm = new double[n + 1];
    xRe[0] = forces.meanXN();
    yRe[0] = forces.meanYN();
    transform(forces, period);
  }

  /**
   * Fourier coefficients of the forces with straight lines between the samples: {@code c_m = Σ
   * slope_i (e^(−iκθ_{i+1}) − e^(−iκθ_i)) / (P κ²)}, since what stands at the ends of the pieces
   * cancels around the period.
   */
  private void transform(CuttingForces forces, double period) {
    int samples = forces.samples();
    int harmonics = xRe.length - 1;
    double[] re = new double[harmonics + 1];
    double[] im = new double[harmonics + 1];
    double[] nextRe = new double[harmonics + 1];
    double[] nextIm = new double[harmonics + 1];
    turns(-perRad * forces.angleRad(0), re, im);
    for (int i = 0; i < samples; i++) {
      int next = (i + 1) % samples;
      double to = forces.angleRad(next) + (next == 0 ? period : 0);
      double width = to - forces.angleRad(i);
      turns(-perRad * to, nextRe, nextIm);
      if (width > 0) {
        double slopeX = (forces.xN(next) - forces.xN(i)) / width;
        double slopeY = (forces.yN(next) - forces.yN(i)) / width;
        for (int m = 1; m <= harmonics; m++) {
          double dRe = nextRe[m] - re[m];
          double dIm = nextIm[m] - im[m];
          xRe[m] += slopeX * dRe;
          xIm[m] += slopeX * dIm;
          yRe[m] += slopeY * dRe;
          yIm[m] += slopeY * dIm;
        }
      }
      System.arraycopy(nextRe, 0, re, 0, harmonics + 1);
      System.arraycopy(nextIm, 0, im, 0, harmonics + 1);
    }
    for (int m = 1; m <= harmonics; m++) {
      double scale = 1 / (period * m * perRad * m * perRad);
      xRe[m] *= scale;
      xIm[m] *= scale;
      yRe[m] *= scale;
      yIm[m] *= scale;
    }
  }

  /** e^(i m angle) for all m. */
  private static void turns(double angle, double[] re, double[] im) {
    double c = Math.cos(angle);
    double s = Math.sin(angle);
    re[0] = 1;
    im[0] = 0;
    for (int m = 1; m < re.length; m++) {
      re[m] = re[m - 1] * c - im[m - 1] * s;
      im[m] = im[m - 1] * c + re[m - 1] * s;
    }
  }

  /** Whether the arc reaches a wall at all. */
  static boolean madeBy(Engagement engagement) {
    return up(engagement) || down(engagement);
  }

  private static boolean up(Engagement e) {
    return e.entryRad() <= ANGLE_SLIP;
  }

  private static boolean down(Engagement e) {
    return e.exitRad() >= Math.PI - ANGLE_SLIP && e.entryRad() < Math.PI;
  }

  /**
   * The wall at a spindle speed.
   *
   * @param cut the cut that the forces are of, at any speed
   * @return empty where the arc reaches no wall
   */
  Optional<Wall> at(CuttingProcess cut) {
    CuttingProcess here = cut.resolvedAt(cut.speedRpm());
    double stepHz = here.speedRpm() / 60 * perRad;
    int n = xRe.length;
    double[] re = new double[n];
    double[] im = new double[n];
    double[] into = new double[2];
    for (int m = 0; m < n; m++) {
      sum(here.y(), m * stepHz, into);
      re[m] = into[0] * yRe[m] - into[1] * yIm[m];
      im[m] = into[0] * yIm[m] + into[1] * yRe[m];
      if (!here.xy().isEmpty()) {
        sum(here.xy(), m * stepHz, into);
        re[m] += into[0] * xRe[m] - into[1] * xIm[m];
        im[m] += into[0] * xIm[m] + into[1] * xRe[m];
      }
    }
    Wall wall = null;
    if (down(engagement)) {
      wall = wall(re, im, Math.PI, 1, "down");
    }
    if (up(engagement)) {
      Wall other = wall(re, im, 0, -1, "up");
      wall = wall == null ? other : wall.worse(other);
    }
    return Optional.ofNullable(wall);
  }

  private static void sum(List<Receptance> parts, double hz, double[] into) {
    double re = 0;
    double im = 0;
    for (Receptance part : parts) {
      if (hz == 0) {
        re += StaticCompliance.of(List.of(part)).metrePerNewton();
        continue;
      }
      if (part instanceof FrequencyResponse response) {
        // outside the band a measured response shows nonsense: at rest below, nothing above
        if (hz < response.origin().bandLowHz()) {
          re += StaticCompliance.of(List.of(part)).metrePerNewton();
          continue;
        }
        if (hz > response.origin().bandHighHz()) {
          continue;
        }
      }
      part.at(hz, into);
      re += into[0];
      im += into[1];
    }
    into[0] = re;
    into[1] = im;
  }

  /**
   * @param phi angle at which a tooth makes the wall, rad
   * @param sign +1 where a displacement in +y leaves material, −1 where it takes more
   */
  private Wall wall(double[] re, double[] im, double phi, int sign, String side) {
    int flutes = tool.flutes();
    boolean plain = tool.runoutM() == 0 && tool.helixRad().stream().allMatch(h -> h == 0);
    int heights = plain ? 1 : HEIGHTS;
    boolean alike = perRad > 1.5; // one tooth stands for all
    int teeth = alike ? 1 : flutes;
    double low = Double.POSITIVE_INFINITY;
    double high = Double.NEGATIVE_INFINITY;
    for (int h = 0; h < heights; h++) {
      double z = heights == 1 ? 0 : engagement.axialM() * h / (heights - 1);
      double behind = 0;
      double left = Double.POSITIVE_INFINITY;
      for (int j = 0; j < teeth; j++) {
        double lag = behind + 2 * z * Math.tan(tool.helixRad().get(j)) / tool.diameterM();
        double moved = sign * displacement(re, im, phi + lag);
        left = Math.min(left, moved - tool.runoutM() * Math.cos(lag));
        behind += tool.pitchRad().get(j);
      }
      low = Math.min(low, left);
      high = Math.max(high, left);
    }
    return new Wall(Math.abs(low) > Math.abs(high) ? low : high, low, high, side);
  }

  private double displacement(double[] re, double[] im, double theta) {
    double c = Math.cos(perRad * theta);
    double s = Math.sin(perRad * theta);
    double turnRe = 1;
    double turnIm = 0;
    double sum = re[0];
    for (int m = 1; m < re.length; m++) {
      double next = turnRe * c - turnIm * s;
      turnIm = turnIm * c + turnRe * s;
      turnRe = next;
      sum += 2 * (re[m] * turnRe - im[m] * turnIm);
    }
    return sum;
  }
}

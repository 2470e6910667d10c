package ringtrue.stability;

import java.util.ArrayList;
import java.util.List;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.OppositeMode;
import ringtrue.dynamics.Receptance;
import ringtrue.dynamics.Residual;

/**
 * The linear equation of a milling cut at one speed and depth, written down for the judges of the
 * tests without a look at how the program solves it: oscillators {@code q″ + 2ζω q′ + ω² q =
 * ±(ω²/k) F} that are driven in one direction and move in one, and edges cut into axial slices,
 * each with its own delay.
 */
final class CutEquation {
  /** One mode: force direction in, motion direction out (0 is x, 1 is y). */
  record Oscillator(double omega, double zeta, double gain, int in, int out) {}

  /**
   * Part of a flute between two heights.
   *
   * @param lowRad smallest angle of its points when flute 0 has its tip at angle 0
   * @param widthRad how much larger the largest one is; 0 for a straight edge
   * @param depthM axial length
   * @param delayS time since the flute before cut here, taken at half its length
   */
  record Slice(double lowRad, double widthRad, double depthM, double delayS) {}

  private static final double TURN = 2 * Math.PI;
  private static final double STRAIGHT = 1e-7;
  private static final int SAMPLES = 16;

  final List<Oscillator> oscillators = new ArrayList<>();
  final List<Slice> slices = new ArrayList<>();
  private final int parts;
  final double turnS;
  final double periodS;
  private final double entry;
  private final double exit;
  private final double ktc;
  private final double krc;
  private final double damping;

  /**
   * @param slicesPerFlute number of slices of each flute where helices differ; otherwise one is
   *     exact
   */
  CutEquation(CuttingProcess process, double speedRpm, double depthM, int slicesPerFlute) {
    Tool tool = process.tool().orElseThrow();
    add(process.x(), 0, 0);
    add(process.y(), 1, 1);
    add(process.xy(), 1, 0);
    add(process.xy(), 0, 1);
    entry = process.engagement().entryRad();
    exit = process.engagement().exitRad();
    ktc = process.coefficients().ktcPa();
    krc = process.coefficients().krcPa();
    turnS = 60 / speedRpm;
    damping = process.processDampingNPerM() / (Math.PI * tool.diameterM() / turnS);
    int n = tool.flutes();
    boolean one = tool.evenPitch() && tool.equalHelix();
    periodS = one ? turnS / n : turnS;
    parts = tool.equalHelix() ? 1 : slicesPerFlute;
    double tip = 0;
    for (int j = 0; j < n; j++) {
      // The flute that cut here before flute j is j − 1; between them lies pitch j − 1.
      int before = (j + n - 1) % n;
      double perM = 2 * Math.tan(tool.helixRad().get(j)) / tool.diameterM();
      double perMBefore = 2 * Math.tan(tool.helixRad().get(before)) / tool.diameterM();
      for (int s = 0; s < parts; s++) {
        double z0 = depthM * s / parts;
        double z1 = depthM * (s + 1) / parts;
        double angle = tool.pitchRad().get(before) + 0.5 * (z0 + z1) * (perM - perMBefore);
        if (!(angle > 0)) {
          throw new IllegalArgumentException("flutes meet at " + depthM + " m");
        }
        slices.add(
            new Slice(
                tip - Math.max(perM * z0, perM * z1),
                Math.abs(perM) * (z1 - z0),
                z1 - z0,
                one ? periodS : turnS * angle / TURN));
      }
      tip -= tool.pitchRad().get(j);
    }
  }

  private void add(List<Receptance> parts, int in, int out) {
    for (Receptance part : parts) {
      if (part instanceof Mode mode) {
        add(mode, 1, in, out);
      } else if (part instanceof OppositeMode opposite) {
        add(opposite.mode(), -1, in, out);
      } else if (part instanceof ModalModel model && model.residual().equals(Residual.NONE)) {
        model.modes().forEach(mode -> add(mode, 1, in, out));
      } else if (part != Receptance.RIGID) {
        throw new IllegalArgumentException("the judges know modes only, not " + part);
      }
    }
  }

  private void add(Mode mode, double sign, int in, int out) {
    oscillators.add(
        new Oscillator(
            TURN * mode.frequencyHz(), mode.dampingRatio(), sign / mode.massKg(), in, out));
  }

  double fastest() {
    return oscillators.stream().mapToDouble(Oscillator::omega).max().orElseThrow();
  }

  double shortestDelayS() {
    return slices.stream().mapToDouble(Slice::delayS).min().orElseThrow();
  }

  /**
   * Times within one period at which a whole flute enters, leaves, or begins or ends to do so, in
   * rising order from 0 to the period.
   */
  double[] breaks() {
    List<Double> times = new ArrayList<>(List.of(0.0, periodS));
    for (int i = 0; i < slices.size(); i++) {
      if (i % parts != 0 && i % parts != parts - 1) {
        continue;
      }
      Slice slice = slices.get(i);
      for (double edge : new double[] {entry, exit}) {
        for (double end : new double[] {slice.lowRad, slice.lowRad + slice.widthRad}) {
          double at = turnS * (edge - end) / TURN;
          at -= periodS * Math.floor(at / periodS);
          times.add(at);
        }
      }
    }
    double[] sorted = times.stream().mapToDouble(t -> t).sorted().toArray();
    List<Double> apart = new ArrayList<>();
    for (double t : sorted) {
      if (apart.isEmpty() || t - apart.get(apart.size() - 1) > 1e-10 * periodS) {
        apart.add(t);
      }
    }
    if (periodS - apart.get(apart.size() - 1) < 1e-10 * periodS) {
      apart.set(apart.size() - 1, periodS);
    } else {
      apart.add(periodS);
    }
    return apart.stream().mapToDouble(t -> t).toArray();
  }

  /**
   * Force by chip thickness of one slice.
   *
   * @param slice number of the slice
   * @param timeS time
   * @param insideS time that decides whether a straight edge is in the cut: {@code timeS}, or a
   *     little to the side of it where it enters or leaves just then
   * @param into dFx/dΔx, dFx/dΔy, dFy/dΔx, dFy/dΔy in N/m, then the same by velocity in N s/m
   * @return whether any of it is in the cut
   */
  boolean at(int slice, double timeS, double insideS, double[] into) {
    Slice s = slices.get(slice);
    double low = s.lowRad + TURN * timeS / turnS;
    if (s.widthRad >= STRAIGHT) {
      return over(low, s.widthRad, s.depthM, into);
    }
    double where = s.lowRad + TURN * insideS / turnS;
    where -= TURN * Math.floor(where / TURN);
    if (where < entry || where > exit) {
      return false;
    }
    double sin = Math.sin(low);
    double cos = Math.cos(low);
    fill(sin * sin, sin * cos, cos * cos, s.depthM, into);
    return true;
  }

  /**
   * The mean of {@link #at} over a stretch of time: exact for a straight edge, of a helical one the
   * mean of a few values.
   */
  boolean mean(int slice, double fromS, double lengthS, double[] into) {
    Slice s = slices.get(slice);
    if (s.widthRad < STRAIGHT) {
      return over(s.lowRad + TURN * fromS / turnS, TURN * lengthS / turnS, s.depthM, into);
    }
    double[] sum = new double[8];
    boolean any = false;
    for (int i = 0; i < SAMPLES; i++) {
      double time = fromS + lengthS * (i + 0.5) / SAMPLES;
      if (at(slice, time, time, into)) {
        any = true;
        for (int l = 0; l < 8; l++) {
          sum[l] += into[l] / SAMPLES;
        }
      }
    }
    System.arraycopy(sum, 0, into, 0, 8);
    return any;
  }

  /** Mean over angles from low to low + width, of which those in the cut count. */
  private boolean over(double low, double width, double depthM, double[] into) {
    double ss = 0;
    double sc = 0;
    double cc = 0;
    for (double turn = TURN * Math.floor((low - exit) / TURN);
        turn + entry < low + width;
        turn += TURN) {
      double from = Math.max(low, turn + entry);
      double to = Math.min(low + width, turn + exit);
      if (to > from) {
        double sines = 0.25 * (Math.sin(2 * to) - Math.sin(2 * from));
        ss += 0.5 * (to - from) - sines;
        cc += 0.5 * (to - from) + sines;
        sc -= 0.25 * (Math.cos(2 * to) - Math.cos(2 * from));
      }
    }
    fill(ss / width, sc / width, cc / width, depthM, into);
    return ss + cc > 0;
  }

  private void fill(double ss, double sc, double cc, double depthM, double[] into) {
    into[0] = -depthM * (ktc * sc + krc * ss);
    into[1] = -depthM * (ktc * cc + krc * sc);
    into[2] = depthM * (ktc * ss - krc * sc);
    into[3] = depthM * (ktc * sc - krc * cc);
    into[4] = -depthM * damping * ss;
    into[5] = -depthM * damping * sc;
    into[6] = into[5];
    into[7] = -depthM * damping * cc;
  }
}

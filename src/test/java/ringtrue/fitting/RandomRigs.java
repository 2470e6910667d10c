package ringtrue.fitting;

import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Residual;
import ringtrue.fitting.VectorFitting.Pole;

/** Invented structures of five kinds, 1 to 12 modes each, to find poles in. */
final class RandomRigs {
  /** Ratio of a mode's own peak to the noise from which on it should be found. */
  static final double CLEAR = 10;

  private RandomRigs() {}

  /** What is hard about a structure. */
  enum Kind {
    /** 25 Hz to 8 kHz. */
    WIDE,
    /** ζ from 0.1 %. */
    LIGHTLY_DAMPED,
    /** ζ up to 10 %. */
    HEAVILY_DAMPED,
    /** Stiffness ratios up to 1000:1. */
    STIFF_AND_SOFT,
    /** Modes as near as one half-power bandwidth. */
    CLOSE
  }

  static SyntheticTaps rig(Kind kind, int seed) {
    Random random = new Random(1000L * kind.ordinal() + seed);
    boolean wide = kind == Kind.WIDE;
    int count = 1 + random.nextInt(12);
    double low = wide ? 25 : 150;
    double span = Math.log(wide ? 320 : 20);
    List<Mode> modes = new ArrayList<>();
    for (int tries = 0; modes.size() < count && tries < 1000; tries++) {
      double fn = low * Math.exp(span * random.nextDouble());
      double zeta =
          switch (kind) {
            case LIGHTLY_DAMPED -> 0.001 * Math.exp(2 * random.nextDouble());
            case HEAVILY_DAMPED -> 0.02 * Math.exp(1.6 * random.nextDouble());
            default -> 0.003 * Math.exp(2.3 * random.nextDouble());
          };
      double ratio = kind == Kind.STIFF_AND_SOFT ? Math.log(1000) : 2.5;
      Mode mode = Mode.of(fn, zeta, 2e6 * Math.exp(ratio * random.nextDouble()));
      double apart = kind == Kind.CLOSE ? 1 : 2;
      boolean free =
          modes.stream()
              .allMatch(
                  m ->
                      Math.abs(m.frequencyHz() - fn)
                          > apart * (m.halfPowerBandwidthHz() + mode.halfPowerBandwidthHz()) / 2);
      if (free && mode.halfPowerBandwidthHz() > 3) {
        modes.add(mode);
      }
    }
    SyntheticTaps taps = new SyntheticTaps(modes.toArray(new Mode[0]));
    taps.sampleRateHz = wide ? 32768 : 8192;
    taps.blockLength = 16384;
    taps.contactS = wide ? 0.1e-3 : 0.3e-3;
    taps.averages = 8;
    taps.snrDb = 60 + 25 * random.nextDouble();
    if (random.nextInt(3) == 0) {
      taps.windowTimeConstantS = 0.3;
    }
    if (random.nextInt(2) == 0) {
      taps.residual = new Residual(2e-8 * random.nextDouble(), 0.3 * random.nextDouble());
    }
    return taps;
  }

  /** Whether a mode lies in the band and its own peak stands out of the noise. */
  static boolean isClear(Mode mode, FitLines lines) {
    double omega = 2 * Math.PI * mode.frequencyHz();
    int i = 0;
    while (i < lines.size() && lines.omega[i] < omega) {
      i++;
    }
    double peak = 1 / (2 * mode.stiffnessNPerM() * (mode.dampingRatio() + lines.shift / omega));
    return i > 0 && i < lines.size() && peak > CLEAR * lines.sigma[i];
  }

  /** Whether a pole is near enough to a mode for a refinement to end there. */
  static boolean isNear(Pole pole, Mode mode, FitLines lines) {
    double omega = 2 * Math.PI * mode.frequencyHz();
    double decay = mode.dampingRatio() * omega + lines.shift;
    double found = lines.shift - pole.re();
    return Math.abs(pole.omega() - omega) < 0.7 * decay + 0.25 * lines.spacing
        && found < 2 * decay
        && decay < 2 * found;
  }

  static boolean isInside(Pole pole, FitLines lines) {
    return pole.im() > 0
        && pole.omega() >= lines.omega[0]
        && pole.omega() <= lines.omega[lines.size() - 1];
  }
}

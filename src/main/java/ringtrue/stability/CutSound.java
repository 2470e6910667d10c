package ringtrue.stability;

import ringtrue.stability.SimulationSettings.Sound;

/**
 * The sound of a simulated cut: velocity of the tool against the workpiece, or the cutting force
 * without its mean, along the direction in which it varies most, evenly in time. What lies above
 * nine tenths of half the rate is filtered out before it could fold down.
 */
public final class CutSound {
  private final Sound quantity;
  private final int rateHz;
  private final double directionRad;
  private final double[] samples;

  CutSound(Sound quantity, int rateHz, double directionRad, double[] samples) {
    this.quantity = quantity;
    this.rateHz = rateHz;
    this.directionRad = directionRad;
    this.samples = samples;
  }

  /** What the samples are. */
  public Sound quantity() {
    return quantity;
  }

  /** Samples per second. */
  public int rateHz() {
    return rateHz;
  }

  /** Direction from +x (the feed) towards +y that is heard, rad, in (−π/2, π/2]. */
  public double directionRad() {
    return directionRad;
  }

  /** Number of samples. */
  public int size() {
    return samples.length;
  }

  /** One sample, m/s or N. */
  public double at(int i) {
    return samples[i];
  }

  /** All samples, m/s or N; a copy. */
  public double[] samples() {
    return samples.clone();
  }

  /** Largest size of a sample. */
  public double peak() {
    double peak = 0;
    for (double s : samples) {
      peak = Math.max(peak, Math.abs(s));
    }
    return peak;
  }

  /**
   * A full scale under which nothing is clipped: the smallest of 1, 2, 5 times a power of ten that
   * is at least a tenth above the peak; 1 for silence.
   */
  public double fullScale() {
    double wanted = 1.1 * peak();
    if (!(wanted > 0)) {
      return 1;
    }
    double ten = Math.pow(10, Math.floor(Math.log10(wanted)));
    for (double digit : new double[] {1, 2, 5}) {
      if (digit * ten >= wanted) {
        return digit * ten;
      }
    }
    return 10 * ten;
  }

  /** Takes values of two directions at one rate and makes a sound of them at another. */
  static final class Maker {
    private static final int CROSSINGS = 24;
    private static final double CUTOFF = 0.45;
    private static final double KAISER = 9;
    private static final int FINE = 256;

    private final SimulationSettings.SoundRequest request;
    private final double inputHz;
    private final double[] kernel;
    private final double halfS;
    private final int ring;
    private final double[] ringX;
    private final double[] ringY;
    private final double[] outX;
    private final double[] outY;
    private long taken;
    private int made;

    Maker(SimulationSettings.SoundRequest request, double inputHz) {
      this.request = request;
      this.inputHz = inputHz;
      double cutoff = CUTOFF * Math.min(inputHz, request.rateHz());
      halfS = CROSSINGS / (2 * cutoff);
      kernel = kernel(cutoff / inputHz);
      ring = Integer.highestOneBit((int) Math.ceil(2 * halfS * inputHz) + 8) * 2;
      ringX = new double[ring];
      ringY = new double[ring];
      int size = (int) Math.max(1, Math.round(request.seconds() * request.rateHz()));
      outX = new double[size];
      outY = new double[size];
    }

    /** Half of a windowed sinc whose sum over input samples is 1. */
    private static double[] kernel(double cutoffPerSample) {
      int n = CROSSINGS * FINE;
      double[] half = new double[n + 2];
      double scale = bessel(KAISER);
      for (int i = 0; i <= n; i++) {
        double crossings = (double) i / FINE;
        double inside = 1 - (double) i / n * i / n;
        double sinc = i == 0 ? 1 : Math.sin(Math.PI * crossings) / (Math.PI * crossings);
        half[i] =
            2 * cutoffPerSample * sinc * bessel(KAISER * Math.sqrt(Math.max(0, inside))) / scale;
      }
      return half;
    }

    private static double bessel(double x) {
      double sum = 1;
      double term = 1;
      for (int k = 1; k < 60; k++) {
        term *= x / (2 * k) * (x / (2 * k));
        sum += term;
      }
      return sum;
    }

    boolean finished() {
      return made == outX.length;
    }

    double done() {
      return (double) made / outX.length;
    }

    /** The first sample of the sound is half a filter later than the first value taken. */
    void take(double x, double y) {
      int at = (int) (taken & (ring - 1));
      ringX[at] = x;
      ringY[at] = y;
      taken++;
      while (!finished()) {
        double when = halfS + (double) made / request.rateHz();
        if (when + halfS > (taken - 1) / inputHz) {
          return;
        }
        make(when);
      }
    }

    private void make(double whenS) {
      double perCrossing = CROSSINGS / halfS * FINE;
      long first = (long) Math.ceil((whenS - halfS) * inputHz);
      long last = (long) Math.floor((whenS + halfS) * inputHz);
      double sumX = 0;
      double sumY = 0;
      double top = CROSSINGS * FINE;
      for (long i = first; i <= last; i++) {
        double place = Math.min(top, Math.abs(i / inputHz - whenS) * perCrossing);
        int k = (int) place;
        double weight = kernel[k] + (place - k) * (kernel[k + 1] - kernel[k]);
        int at = (int) (i & (ring - 1));
        sumX += weight * ringX[at];
        sumY += weight * ringY[at];
      }
      outX[made] = sumX;
      outY[made] = sumY;
      made++;
    }

    CutSound finish() {
      int n = made;
      if (request.quantity() == Sound.FORCE) {
        level(outX, n);
        level(outY, n);
      }
      double xx = 0;
      double xy = 0;
      double yy = 0;
      for (int i = 0; i < n; i++) {
        xx += outX[i] * outX[i];
        xy += outX[i] * outY[i];
        yy += outY[i] * outY[i];
      }
      double direction = 0.5 * Math.atan2(2 * xy, xx - yy);
      double cos = Math.cos(direction);
      double sin = Math.sin(direction);
      double[] all = new double[n];
      for (int i = 0; i < n; i++) {
        all[i] = cos * outX[i] + sin * outY[i];
      }
      return new CutSound(request.quantity(), request.rateHz(), direction, all);
    }

    private static void level(double[] values, int n) {
      double mean = 0;
      for (int i = 0; i < n; i++) {
        mean += values[i] / n;
      }
      for (int i = 0; i < n; i++) {
        values[i] -= mean;
      }
    }
  }
}

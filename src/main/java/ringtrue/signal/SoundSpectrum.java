package ringtrue.signal;

/** The spectrum of the part of a sound in which it is cut, averaged, with the noise in it. */
public final class SoundSpectrum {
  private final double stepHz;
  private final float[] levelDb;
  private final float[] noiseDb;

  SoundSpectrum(double stepHz, double[] power, double[] noise) {
    this.stepHz = stepHz;
    this.levelDb = decibels(power);
    this.noiseDb = decibels(noise);
  }

  private static float[] decibels(double[] power) {
    float[] db = new float[power.length];
    for (int k = 0; k < db.length; k++) {
      db[k] = (float) decibels(power[k]);
    }
    return db;
  }

  static double decibels(double power) {
    return 10 * Math.log10(Math.max(power, 1e-20));
  }

  /** Number of lines; the first is at 0 Hz. */
  public int size() {
    return levelDb.length;
  }

  /** Hz between lines. */
  public double stepHz() {
    return stepHz;
  }

  /** Level at a line, dB; 0 is a sine of full scale. */
  public double levelDb(int line) {
    return levelDb[line];
  }

  /** Mean level of the noise around a line, dB. */
  public double noiseDb(int line) {
    return noiseDb[line];
  }
}

package ringtrue.signal;

/**
 * Level over time and frequency, thinned to what a picture can show: each cell holds the largest
 * level of what falls into it.
 */
public final class Spectrogram {
  private static final int MOST_COLUMNS = 500;
  private static final int MOST_ROWS = 512;

  private final double fromS;
  private final double toS;
  private final double topHz;
  private final float[][] levelDb;

  private Spectrogram(double fromS, double toS, double topHz, float[][] levelDb) {
    this.fromS = fromS;
    this.toS = toS;
    this.topHz = topHz;
    this.levelDb = levelDb;
  }

  static Spectrogram of(SoundFrames frames, double fromS, double topHz) {
    int bins = (int) Math.max(2, Math.min(frames.bins(), topHz / frames.binHz()));
    int rows = Math.min(MOST_ROWS, bins);
    int columns = Math.min(MOST_COLUMNS, frames.count());
    float[][] level = new float[columns][rows];
    for (int t = 0; t < frames.count(); t++) {
      float[] p = frames.frame(t);
      float[] column = level[(int) ((long) t * columns / frames.count())];
      for (int k = 0; k < bins; k++) {
        int row = (int) ((long) k * rows / bins);
        column[row] = Math.max(column[row], p[k]);
      }
    }
    for (float[] column : level) {
      for (int r = 0; r < rows; r++) {
        column[r] = (float) SoundSpectrum.decibels(column[r]);
      }
    }
    double half = frames.hop() / 2.0 / frames.sampleRateHz();
    return new Spectrogram(
        fromS + frames.middleS(0) - half,
        fromS + frames.middleS(frames.count() - 1) + half,
        bins * frames.binHz(),
        level);
  }

  /** Time of its left edge, s. */
  public double fromS() {
    return fromS;
  }

  /** Time of its right edge, s. */
  public double toS() {
    return toS;
  }

  /** Frequency of its upper edge, Hz; the lower one is 0. */
  public double topHz() {
    return topHz;
  }

  public int columns() {
    return levelDb.length;
  }

  public int rows() {
    return levelDb[0].length;
  }

  /** Level of a cell, dB; 0 is a sine of full scale. */
  public double levelDb(int column, int row) {
    return levelDb[column][row];
  }
}

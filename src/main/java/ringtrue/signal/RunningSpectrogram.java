package ringtrue.signal;

import java.util.ArrayDeque;
import java.util.Deque;
import java.util.List;

/**
 * Level over time and frequency while a sound comes: short spectra, one after the other, of which
 * the last seconds are kept. Used by one thread.
 */
public final class RunningSpectrogram {
  private static final double FRAME_S = 0.2;
  private static final int HOPS = 2;

  private final double sampleRateHz;
  private final int size;
  private final int rows;
  private final int most;
  private final double[] waiting;
  private final Deque<Column> columns = new ArrayDeque<>();
  private int held;
  private long taken;

  /**
   * A short spectrum.
   *
   * @param timeS middle of its frame, s from the beginning
   * @param levelDb level of each line from 0 Hz on, dB; 0 is a sine of full scale
   */
  public record Column(double timeS, float[] levelDb) {}

  /**
   * Begins.
   *
   * @param sampleRateHz samples per second
   * @param topHz highest frequency of interest, Hz
   * @param keptS seconds to keep
   */
  public RunningSpectrogram(double sampleRateHz, double topHz, double keptS) {
    this.sampleRateHz = sampleRateHz;
    this.size = Math.max(64, Integer.highestOneBit((int) (FRAME_S * sampleRateHz)));
    this.rows =
        (int)
            Math.max(
                2,
                Math.min(
                    Math.floor(SoundFrames.TOP_HZ / stepHz()),
                    Math.min(size / 2.0, Math.ceil(topHz / stepHz()) + 1)));
    this.most = (int) Math.max(1, keptS * sampleRateHz * HOPS / size);
    this.waiting = new double[size];
  }

  /** Hz between the lines of a spectrum. */
  public double stepHz() {
    return sampleRateHz / size;
  }

  /** Lines of a spectrum. */
  public int rows() {
    return rows;
  }

  /**
   * Takes samples.
   *
   * @param block samples, fractions of full scale
   * @param count how many of them
   */
  public void take(double[] block, int count) {
    for (int i = 0; i < count; i++) {
      waiting[held++] = block[i];
      taken++;
      if (held == size) {
        column();
        int hop = size / HOPS;
        System.arraycopy(waiting, hop, waiting, 0, size - hop);
        held = size - hop;
      }
    }
  }

  private void column() {
    SoundFrames frame = SoundFrames.of(waiting, 0, size, sampleRateHz, size);
    float[] power = frame.frame(0);
    float[] level = new float[Math.min(rows, power.length)];
    for (int k = 0; k < level.length; k++) {
      level[k] = (float) SoundSpectrum.decibels(power[k]);
    }
    columns.addLast(new Column((taken - size / 2.0) / sampleRateHz, level));
    if (columns.size() > most) {
      columns.removeFirst();
    }
  }

  /** The short spectra kept, the oldest first; none is changed later. */
  public List<Column> columns() {
    return List.copyOf(columns);
  }

  /**
   * Mean spectrum of the last seconds.
   *
   * @param seconds how many
   * @return level of each line, dB; empty before the first frame is full
   */
  public float[] mean(double seconds) {
    if (columns.isEmpty()) {
      return new float[0];
    }
    double from = columns.getLast().timeS - seconds;
    double[] sum = new double[columns.getLast().levelDb.length];
    int n = 0;
    for (Column column : columns) {
      if (column.timeS >= from) {
        for (int k = 0; k < sum.length; k++) {
          sum[k] += Math.pow(10, column.levelDb[k] / 10);
        }
        n++;
      }
    }
    float[] mean = new float[sum.length];
    for (int k = 0; k < mean.length; k++) {
      mean[k] = (float) SoundSpectrum.decibels(sum[k] / n);
    }
    return mean;
  }
}

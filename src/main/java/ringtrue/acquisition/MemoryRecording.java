package ringtrue.acquisition;

import java.io.IOException;

/** A recording that is in memory as a whole: short ones, and those that tests make. */
public final class MemoryRecording implements Recording {
  private final String name;
  private final double sampleRateHz;
  private final double[][] samples;

  /**
   * @param name name for messages and reports
   * @param sampleRateHz samples per second, positive
   * @param samples one array for each channel, all of the same length; copied
   */
  public MemoryRecording(String name, double sampleRateHz, double[]... samples) {
    if (!(sampleRateHz > 0) || Double.isInfinite(sampleRateHz)) {
      throw new IllegalArgumentException("sample rate must be positive, was " + sampleRateHz);
    }
    if (samples.length == 0) {
      throw new IllegalArgumentException("a recording needs at least one channel");
    }
    this.name = name;
    this.sampleRateHz = sampleRateHz;
    this.samples = new double[samples.length][];
    for (int c = 0; c < samples.length; c++) {
      if (samples[c].length != samples[0].length) {
        throw new IllegalArgumentException(
            "channels must be equally long, were "
                + samples[0].length
                + " and "
                + samples[c].length
                + " samples");
      }
      this.samples[c] = samples[c].clone();
    }
  }

  /** Takes all of another recording into memory. */
  public static MemoryRecording copyOf(Recording other) throws IOException {
    int frames = Math.toIntExact(other.frames());
    double[][] samples = new double[other.channels()][frames];
    try (Cursor cursor = other.from(0)) {
      int done = 0;
      while (done < frames) {
        int got = cursor.read(samples, done, frames - done);
        if (got == 0) {
          throw new IOException(other.name() + " ended after " + done + " of " + frames);
        }
        done += got;
      }
    }
    return new MemoryRecording(other.name(), other.sampleRateHz(), samples);
  }

  /** A copy of one channel's samples; channels are counted from 1. */
  public double[] channel(int number) {
    return samples[number - 1].clone();
  }

  @Override
  public String name() {
    return name;
  }

  @Override
  public double sampleRateHz() {
    return sampleRateHz;
  }

  @Override
  public int channels() {
    return samples.length;
  }

  @Override
  public long frames() {
    return samples[0].length;
  }

  @Override
  public Cursor from(long frame) {
    if (frame < 0 || frame > frames()) {
      throw new IllegalArgumentException("frame " + frame + " is outside 0.." + frames());
    }
    return new Cursor() {
      private int next = (int) frame;

      @Override
      public int read(double[][] into, int offset, int wanted) {
        if (into.length != samples.length) {
          throw new IllegalArgumentException(
              "needs one array or null for each of " + samples.length + " channels");
        }
        int now = Math.min(wanted, samples[0].length - next);
        for (int c = 0; c < samples.length; c++) {
          if (into[c] != null) {
            System.arraycopy(samples[c], next, into[c], offset, now);
          }
        }
        next += now;
        return now;
      }

      @Override
      public void close() {
        // nothing is held
      }
    };
  }
}

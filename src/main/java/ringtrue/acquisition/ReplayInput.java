package ringtrue.acquisition;

import java.io.IOException;
import java.util.Arrays;
import java.util.List;
import ringtrue.units.BadInputException;

/**
 * A recording that comes as if it were live. Numbers beyond 1, as text files and float files may
 * hold, are divided by a power of two for each channel, so that they are fractions of full scale as
 * those of every live input; {@link #fullScale} tells it.
 */
public final class ReplayInput implements LiveInput {
  private static final int BLOCK = 4096;

  private final String name;
  private final Recording recording;
  private final int bits;
  private final double[] scale;
  private final Pace.Run run;
  private final Recording.Cursor cursor;
  private final double[][] block;
  private long taken;
  private volatile boolean closed;

  private ReplayInput(String name, Recording recording, int bits, double[] scale, Pace pace)
      throws IOException {
    this.name = name;
    this.recording = recording;
    this.bits = bits;
    this.scale = scale;
    this.block = new double[recording.channels()][BLOCK];
    this.cursor = recording.from(0);
    this.run = pace.new Run(recording.sampleRateHz());
  }

  /**
   * Begins to replay. A recording that is not of 16, 24 or 32-bit integers counts as one of 32
   * bits, and is read through once to find its largest numbers.
   *
   * @param recording of a whole number of Hz
   * @param pace how fast
   */
  public static ReplayInput of(Recording recording, Pace pace) throws IOException {
    if (recording.sampleRateHz() != Math.rint(recording.sampleRateHz())) {
      throw new BadInputException(
          recording.name()
              + ": a live input needs a whole number of Hz, the rate is "
              + recording.sampleRateHz());
    }
    boolean integers = recording instanceof WavRecording wav && !wav.floating();
    double[] scale = new double[recording.channels()];
    Arrays.fill(scale, 1);
    if (!integers) {
      findScale(recording, scale);
    }
    int bits = integers ? ((WavRecording) recording).bits() : 32;
    return new ReplayInput(recording.name() + " (replayed)", recording, bits, scale, pace);
  }

  /** A recording whose numbers are known to be fractions of full scale in so many bits. */
  static ReplayInput exact(Recording recording, int bits, Pace pace) throws IOException {
    double[] scale = new double[recording.channels()];
    Arrays.fill(scale, 1);
    return new ReplayInput(recording.name(), recording, bits, scale, pace);
  }

  private static void findScale(Recording recording, double[] scale) throws IOException {
    double[][] block = new double[recording.channels()][BLOCK];
    try (Recording.Cursor cursor = recording.from(0)) {
      for (int got = cursor.read(block, 0, BLOCK); got > 0; got = cursor.read(block, 0, BLOCK)) {
        for (int c = 0; c < scale.length; c++) {
          for (int i = 0; i < got; i++) {
            while (Math.abs(block[c][i]) >= scale[c]) {
              scale[c] *= 2;
            }
          }
        }
      }
    }
  }

  /**
   * What a fraction of 1 stands for in the recording's own numbers.
   *
   * @param channel counted from 1
   */
  public double fullScale(int channel) {
    return scale[channel - 1];
  }

  @Override
  public String name() {
    return name;
  }

  @Override
  public double sampleRateHz() {
    return recording.sampleRateHz();
  }

  @Override
  public int channels() {
    return recording.channels();
  }

  @Override
  public int bits() {
    return bits;
  }

  @Override
  public int read(double[] frames, int most) throws IOException {
    if (closed || taken == recording.frames()) {
      return -1;
    }
    int wanted = (int) Math.min(Math.min(most, BLOCK), recording.frames() - taken);
    int got = cursor.read(block, 0, run.due(taken, wanted));
    if (got == 0) {
      return -1;
    }
    int channels = scale.length;
    for (int c = 0; c < channels; c++) {
      for (int i = 0; i < got; i++) {
        frames[i * channels + c] = block[c][i] / scale[c];
      }
    }
    taken += got;
    return got;
  }

  @Override
  public List<Gap> gaps() {
    return List.of();
  }

  @Override
  public void close() throws IOException {
    closed = true;
    cursor.close();
  }
}

package ringtrue.cli;

import java.io.IOException;
import java.util.List;
import ringtrue.acquisition.LiveInput;
import ringtrue.acquisition.Recording;

/** A recording that comes as if it were being recorded just now. */
final class ReplayedRecording implements LiveInput {
  private final Recording recording;
  private final int bits;
  private final double framesPerNano;
  private final Recording.Cursor cursor;
  private final double[][] split;
  private final long start = System.nanoTime();
  private long done;

  /**
   * @param bits what its numbers fit into
   * @param timesRealTime how fast it comes; infinite for at once
   */
  ReplayedRecording(Recording recording, int bits, double timesRealTime) throws IOException {
    this.recording = recording;
    this.bits = bits;
    this.framesPerNano = recording.sampleRateHz() * timesRealTime * 1e-9;
    this.cursor = recording.from(0);
    this.split = new double[recording.channels()][(int) Math.ceil(recording.sampleRateHz())];
  }

  @Override
  public String name() {
    return recording.name();
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
    int n = cursor.read(split, 0, Math.min(most, split[0].length));
    if (n <= 0) {
      return -1;
    }
    done += n;
    try {
      long early = (long) (done / framesPerNano) - (System.nanoTime() - start);
      if (early > 0) {
        Thread.sleep(early / 1_000_000, (int) (early % 1_000_000));
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw new IOException("interrupted", e);
    }
    for (int i = 0; i < n; i++) {
      for (int c = 0; c < split.length; c++) {
        frames[i * split.length + c] = split[c][i];
      }
    }
    return n;
  }

  @Override
  public List<Gap> gaps() {
    return List.of();
  }

  @Override
  public void close() throws IOException {
    cursor.close();
  }
}

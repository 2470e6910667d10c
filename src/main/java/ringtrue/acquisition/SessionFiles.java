package ringtrue.acquisition;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import ringtrue.units.BadInputException;

/**
 * A session's WAV file and, beside it, the log of its taps and gaps. What was taken is there
 * whatever becomes of the program; see {@link StreamedWav} and {@link TapLog}.
 */
public final class SessionFiles implements TapKeeper {
  private final StreamedWav wav;
  private final TapLog log;
  private final Path logPath;
  private double[][] split = new double[0][];

  private SessionFiles(StreamedWav wav, TapLog log, Path logPath) {
    this.wav = wav;
    this.log = log;
    this.logPath = logPath;
  }

  /**
   * Begins both files.
   *
   * @param file the WAV file; the log is {@link TapLog#beside} it
   * @param input what will be recorded
   * @param overwrite whether files that are there may be replaced
   * @throws BadInputException if they are there and may not be, or no WAV file can hold the input
   */
  public static SessionFiles create(Path file, LiveInput input, boolean overwrite)
      throws IOException {
    double rate = input.sampleRateHz();
    if (rate != Math.rint(rate)) {
      throw new BadInputException(
          input.name() + ": a WAV file needs a whole number of Hz, the rate is " + rate);
    }
    StreamedWav wav =
        StreamedWav.create(file, (int) rate, input.channels(), input.bits(), overwrite);
    Path beside = TapLog.beside(file);
    try {
      return new SessionFiles(wav, TapLog.create(wav, rate, beside, overwrite), beside);
    } catch (IOException | BadInputException e) {
      wav.close();
      Files.deleteIfExists(file);
      throw e;
    }
  }

  @Override
  public void frames(double[] frames, int count) throws IOException {
    wav.write(frames, count);
  }

  /** Frames taken so far. */
  public long frames() {
    return wav.frames();
  }

  @Override
  public void gap(LiveInput.Gap gap) throws IOException {
    log.append(gap);
  }

  /** Of a block that begins before the first frame, or ends after the last, what is there. */
  @Override
  public void verdict(Verdict verdict) throws IOException {
    long first = Math.max(0, verdict.firstFrame());
    long end = Math.min(verdict.firstFrame() + verdict.frames(), wav.frames());
    log.append(
        new TapLog.Entry(
            verdict.tap(),
            first,
            end - first,
            verdict.verdict(),
            verdict.reason(),
            verdict.numbers()));
  }

  @Override
  public void read(long frame, int count, double[] into) throws IOException {
    int channels = wav.channels();
    if (split.length == 0 || split[0].length < count) {
      split = new double[channels][count];
    }
    try (Recording.Cursor cursor = WavRecording.open(wav.path()).from(frame)) {
      int got = 0;
      while (got < count) {
        int n = cursor.read(split, got, count - got);
        if (n <= 0) {
          throw new IOException(
              wav.path().getFileName() + ": ends before frame " + (frame + count));
        }
        got += n;
      }
    }
    for (int i = 0; i < count; i++) {
      for (int c = 0; c < channels; c++) {
        into[i * channels + c] = split[c][i];
      }
    }
  }

  /** Closes both files and deletes them, where nothing came that is worth keeping. */
  public void discard() throws IOException {
    close();
    Files.deleteIfExists(wav.path());
    Files.deleteIfExists(logPath);
  }

  @Override
  public void close() throws IOException {
    try (log) {
      wav.close();
    }
  }
}

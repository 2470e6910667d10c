package ringtrue.cli;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import ringtrue.acquisition.LiveInput;
import ringtrue.acquisition.Recording;
import ringtrue.acquisition.TapKeeper;
import ringtrue.acquisition.WavRecording;
import ringtrue.acquisition.WavWriter;
import ringtrue.acquisition.WavWriter.SampleFormat;
import ringtrue.units.BadInputException;

/** A session's WAV file, and beside it its verdicts, one line of JSON for each. */
final class SessionFiles implements TapKeeper {
  private final WavWriter wav;
  private final FileChannel log;
  private final int channels;
  private final double[][] split;
  private double[][] joined = new double[0][];

  private SessionFiles(WavWriter wav, FileChannel log, int channels) {
    this.wav = wav;
    this.log = log;
    this.channels = channels;
    this.split = new double[channels][1];
  }

  /**
   * @param file the WAV file
   * @param input what will be recorded
   * @param overwrite whether files that are there may be replaced
   */
  static SessionFiles create(Path file, LiveInput input, boolean overwrite) throws IOException {
    double rate = input.sampleRateHz();
    if (rate != Math.rint(rate)) {
      throw new BadInputException(
          input.name() + ": a WAV file needs a whole number of Hz, the rate is " + rate);
    }
    SampleFormat format =
        input.bits() <= 16
            ? SampleFormat.INT16
            : input.bits() <= 24 ? SampleFormat.INT24 : SampleFormat.INT32;
    WavWriter wav = WavWriter.create(file, format, input.channels(), (int) rate, overwrite);
    Path beside = log(file);
    if (overwrite) {
      Files.deleteIfExists(beside);
    }
    FileChannel log;
    try {
      log = FileChannel.open(beside, StandardOpenOption.CREATE_NEW, StandardOpenOption.WRITE);
    } catch (java.nio.file.FileAlreadyExistsException e) {
      wav.close();
      throw new BadInputException(
          beside + ": is there already; add --overwrite to replace it, or choose another name", e);
    }
    return new SessionFiles(wav, log, input.channels());
  }

  /** Where the verdicts of a recording are. */
  static Path log(Path wav) {
    String name = String.valueOf(wav.getFileName()).replaceFirst("(?i)\\.wav$", "");
    return wav.resolveSibling(name + ".taps.jsonl");
  }

  @Override
  public void frames(double[] frames, int count) throws IOException {
    for (int i = 0; i < count; i++) {
      for (int c = 0; c < channels; c++) {
        split[c][0] = frames[i * channels + c];
      }
      wav.write(split, 0, 1);
    }
  }

  @Override
  public void verdict(Verdict verdict) throws IOException {
    wav.flush();
    String line =
        JsonOut.text(
            o -> {
              o.put("tap", verdict.tap())
                  .put("firstFrame", verdict.firstFrame())
                  .put("frames", verdict.frames())
                  .put("verdict", verdict.verdict())
                  .put("reason", verdict.reason());
              verdict.numbers().forEach(o::put);
            });
    ByteBuffer bytes = ByteBuffer.wrap(line.getBytes(StandardCharsets.UTF_8));
    while (bytes.hasRemaining()) {
      log.write(bytes);
    }
    log.force(false);
  }

  @Override
  public void read(long frame, int count, double[] into) throws IOException {
    wav.flush();
    if (joined.length == 0 || joined[0].length < count) {
      joined = new double[channels][count];
    }
    Recording written = WavRecording.open(wav.written(), "the recording");
    try (Recording.Cursor cursor = written.from(frame)) {
      int got = 0;
      while (got < count) {
        int n = cursor.read(joined, got, count - got);
        if (n <= 0) {
          throw new IOException("the recording ends before frame " + (frame + count));
        }
        got += n;
      }
    }
    for (int i = 0; i < count; i++) {
      for (int c = 0; c < channels; c++) {
        into[i * channels + c] = joined[c][i];
      }
    }
  }

  @Override
  public void close() throws IOException {
    try {
      wav.commit();
    } finally {
      wav.close();
      log.close();
    }
  }
}

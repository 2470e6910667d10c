package ringtrue.acquisition;

import java.io.Closeable;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.FileAlreadyExistsException;
import java.nio.file.FileSystemException;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import ringtrue.units.BadInputException;

/**
 * A WAV file that is written while it is recorded, under its own name from the first frame on, so
 * that whatever happens to the program, what was recorded is there and can be read.
 *
 * <ul>
 *   <li>Each {@link #write} hands its frames to the operating system before it returns: they
 *       survive the program, killed or not.
 *   <li>{@link #force()} brings everything written so far to the disk, with a header that fits it:
 *       this survives a power cut. It is called before the verdict of a tap is announced; in
 *       between, the operating system writes when it likes.
 *   <li>The header's sizes follow every {@value #HEADER_EVERY_S} s, so that any program can read
 *       the file. Until {@link #close()} it also holds a mark by which {@link WavRecording} takes
 *       all frames that are there, whatever the sizes say.
 *   <li>Beyond 4 GiB it turns into RF64, for which room is kept in the header (EBU Tech 3306,
 *       2009).
 * </ul>
 *
 * <p>The header lies within the first 512 bytes and is written in one go, so that it is never half
 * old and half new. For one thread, which must not be interrupted while it writes.
 */
public final class StreamedWav implements Closeable {
  /** Stands in a JUNK chunk while the file is being recorded. */
  static final String MARK = "still recording ";

  private static final double HEADER_EVERY_S = 0.1;
  private static final long LARGEST_RIFF = 0xFFFF_FFFFL - 256;
  private static final int HEADER_BYTES = 12 + 8 + 28 + 8 + 16 + 8 + 40 + 8;

  private final Path target;
  private final FileChannel file;
  private final int channels;
  private final int bits;
  private final int sampleRateHz;
  private final int frameBytes;
  private final double steps;
  private final long largestRiff;
  private ByteBuffer buffer = ByteBuffer.allocate(1 << 16).order(ByteOrder.LITTLE_ENDIAN);
  private final ByteBuffer header =
      ByteBuffer.allocate(HEADER_BYTES).order(ByteOrder.LITTLE_ENDIAN);
  private long frames;
  private long framesInHeader;
  private boolean open = true;
  private boolean failed;

  private StreamedWav(
      Path target, FileChannel file, int sampleRateHz, int channels, int bits, long largestRiff)
      throws IOException {
    this.target = target;
    this.file = file;
    this.channels = channels;
    this.bits = bits;
    this.sampleRateHz = sampleRateHz;
    this.frameBytes = channels * bits / 8;
    this.steps = Math.scalb(1.0, bits - 1);
    this.largestRiff = largestRiff;
    writeHeader(true);
  }

  /**
   * Begins a file.
   *
   * @param target where it shall be
   * @param sampleRateHz 1 to 384000
   * @param channels 1 to 16
   * @param bits 16, 24 or 32
   * @param overwrite whether a file of that name may be replaced; it is gone when this returns
   * @throws BadInputException if there is one that may not be replaced, or no folder for it
   */
  public static StreamedWav create(
      Path target, int sampleRateHz, int channels, int bits, boolean overwrite) throws IOException {
    return create(target, sampleRateHz, channels, bits, overwrite, LARGEST_RIFF);
  }

  /** The same with another size at which the file becomes RF64. */
  static StreamedWav create(
      Path target, int sampleRateHz, int channels, int bits, boolean overwrite, long largestRiff)
      throws IOException {
    PcmFormat.packed(sampleRateHz, channels, bits);
    FileChannel file = createFile(target, overwrite);
    try {
      return new StreamedWav(target, file, sampleRateHz, channels, bits, largestRiff);
    } catch (IOException e) {
      file.close();
      Files.deleteIfExists(target);
      throw new IOException(target.getFileName() + ": cannot be written: " + reason(e), e);
    }
  }

  /** Makes a new file; the other one of that name goes only if it may. */
  static FileChannel createFile(Path target, boolean overwrite) throws IOException {
    if (Files.isDirectory(target)) {
      throw new BadInputException(target + ": is a folder; a file name is needed");
    }
    if (overwrite) {
      Files.deleteIfExists(target);
    }
    try {
      FileChannel file =
          FileChannel.open(target, StandardOpenOption.WRITE, StandardOpenOption.CREATE_NEW);
      forceFolder(target.toAbsolutePath().getParent());
      return file;
    } catch (FileAlreadyExistsException e) {
      throw new BadInputException(
          target + ": is there already; add --overwrite to replace it, or choose another name", e);
    } catch (NoSuchFileException e) {
      throw new BadInputException(target + ": the folder it shall go to does not exist", e);
    } catch (IOException e) {
      throw new BadInputException(target + ": cannot be written: " + reason(e), e);
    }
  }

  /** Brings the file's name to the disk too, where the system has a way to. */
  private static void forceFolder(Path folder) {
    try (FileChannel names = FileChannel.open(folder, StandardOpenOption.READ)) {
      names.force(true);
    } catch (IOException e) {
      // Windows cannot, and keeps the name anyway
    }
  }

  /**
   * Appends frames. What an input gave in as many bits comes back the same; other numbers are
   * rounded to the nearest step, and set to the end of the range beyond it.
   *
   * @param samples frames one after the other, channel by channel within each; finite
   * @param count how many frames
   * @throws IOException if they cannot be written, as on a full disk; all frames of before are in
   *     the file, and no more can be appended
   */
  public void write(double[] samples, int count) throws IOException {
    if (!open || failed) {
      throw new IOException(target.getFileName() + ": nothing more can be written to it");
    }
    int bytes = Math.multiplyExact(count, frameBytes);
    if (buffer.capacity() < bytes) {
      buffer = ByteBuffer.allocate(bytes).order(ByteOrder.LITTLE_ENDIAN);
    }
    buffer.clear();
    for (int i = 0; i < count * channels; i++) {
      put(samples[i]);
    }
    buffer.flip();
    long start = HEADER_BYTES + frames * frameBytes;
    try {
      while (buffer.hasRemaining()) {
        file.write(buffer, start + buffer.position());
      }
      frames += count;
      if (frames - framesInHeader >= HEADER_EVERY_S * sampleRateHz) {
        writeHeader(true);
      }
    } catch (IOException e) {
      failed = true;
      throw lost(e);
    }
  }

  private void put(double value) {
    double scaled = Math.rint(value * steps);
    if (Double.isNaN(scaled)) {
      throw new IllegalArgumentException("a sample must be a number");
    }
    int number = (int) Math.max(-steps, Math.min(steps - 1, scaled));
    if (bits == 16) {
      buffer.putShort((short) number);
    } else if (bits == 24) {
      buffer.putShort((short) number).put((byte) (number >> 16));
    } else {
      buffer.putInt(number);
    }
  }

  private IOException lost(IOException e) {
    return new IOException(
        target.getFileName()
            + ": cannot be written any further: "
            + reason(e)
            + "; the first "
            + frames
            + " frames are kept",
        e);
  }

  static String reason(IOException e) {
    if (e instanceof FileSystemException f && f.getReason() != null) {
      return f.getReason();
    }
    String said = String.valueOf(e.getMessage());
    return said.equals("No space left on device") ? "the disk is full" : said;
  }

  /** Frames written so far. */
  public long frames() {
    return frames;
  }

  /** Channels in a frame. */
  int channels() {
    return channels;
  }

  /** Where it is. */
  public Path path() {
    return target;
  }

  /** Brings everything written so far to the disk, so that it outlives a power cut. */
  public void force() throws IOException {
    try {
      if (open && framesInHeader < frames) {
        writeHeader(true);
      }
      file.force(false);
    } catch (IOException e) {
      throw lost(e);
    }
  }

  /** Finishes the file: right sizes, no mark any more, everything on the disk. */
  @Override
  public void close() throws IOException {
    if (!open) {
      return;
    }
    open = false;
    try {
      // half a block may be left of a write that failed
      file.truncate(HEADER_BYTES + frames * frameBytes);
      if ((frames * frameBytes & 1) == 1 && !failed) {
        file.write(ByteBuffer.wrap(new byte[1]), HEADER_BYTES + frames * frameBytes);
      }
      writeHeader(false);
      file.force(true);
    } catch (IOException e) {
      throw lost(e);
    } finally {
      file.close();
    }
  }

  private void writeHeader(boolean recording) throws IOException {
    long dataBytes = frames * frameBytes;
    long riffBytes = HEADER_BYTES - 8 + dataBytes + (dataBytes & 1);
    boolean wide = riffBytes > largestRiff;
    header.clear();
    header.put(ascii(wide ? "RF64" : "RIFF")).putInt(wide ? -1 : (int) riffBytes);
    header.put(ascii("WAVE"));
    header.put(ascii(wide ? "ds64" : "JUNK")).putInt(28);
    header.putLong(wide ? riffBytes : 0).putLong(wide ? dataBytes : 0);
    header.putLong(wide ? frames : 0).putInt(0);
    header.put(ascii("JUNK")).putInt(MARK.length());
    header.put(recording ? ascii(MARK) : new byte[MARK.length()]);
    header.put(ascii("fmt ")).putInt(40);
    header.putShort((short) 0xFFFE).putShort((short) channels).putInt(sampleRateHz);
    header.putInt(sampleRateHz * frameBytes).putShort((short) frameBytes).putShort((short) bits);
    header.putShort((short) 22).putShort((short) bits).putInt(0);
    header.putShort((short) 1).put(WavRecording.subformatTail());
    header.put(ascii("data")).putInt(wide ? -1 : (int) dataBytes);
    header.flip();
    while (header.hasRemaining()) {
      file.write(header, header.position());
    }
    framesInHeader = frames;
  }

  private static byte[] ascii(String text) {
    return text.getBytes(StandardCharsets.US_ASCII);
  }
}

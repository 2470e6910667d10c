package ringtrue.acquisition;

import java.io.Closeable;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.AtomicMoveNotSupportedException;
import java.nio.file.FileAlreadyExistsException;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.StandardOpenOption;
import ringtrue.units.BadInputException;

/**
 * Writes a WAV file block by block. Samples go to a temporary file in the same folder, whose header
 * is brought up to date with every buffer, so that a power cut loses little; {@link #commit()} puts
 * it into place in one step. Closing without that throws the temporary file away.
 *
 * <p>More than two channels, or integers of more than 16 bits, take the extensible header that the
 * format demands for them.
 */
public final class WavWriter implements Closeable {
  private static final int BUFFER_BYTES = 1 << 16;
  private static final long LARGEST = 0xFFFF_FFFFL - 128;

  /** How samples are stored. */
  public enum SampleFormat {
    INT16(16, false),
    INT24(24, false),
    INT32(32, false),
    FLOAT32(32, true),
    FLOAT64(64, true);

    final int bits;
    final boolean floating;

    SampleFormat(int bits, boolean floating) {
      this.bits = bits;
      this.floating = floating;
    }
  }

  private final Path target;
  private final Path temporary;
  private final boolean overwrite;
  private final SampleFormat format;
  private final int channels;
  private final int sampleRateHz;
  private final int headerBytes;
  private final FileChannel file;
  private final ByteBuffer buffer;
  private long dataBytes;
  private boolean open = true;

  private WavWriter(
      Path target, SampleFormat format, int channels, int sampleRateHz, boolean overwrite)
      throws IOException {
    this.target = target;
    this.format = format;
    this.channels = channels;
    this.sampleRateHz = sampleRateHz;
    this.overwrite = overwrite;
    boolean extensible = channels > 2 || !format.floating && format.bits > 16;
    // a float file needs a fact chunk, a plain integer one does not
    this.headerBytes = extensible ? 80 : format.floating ? 58 : 44;
    int frameBytes = channels * format.bits / 8;
    this.buffer =
        ByteBuffer.allocate(Math.max(1, BUFFER_BYTES / frameBytes) * frameBytes)
            .order(ByteOrder.LITTLE_ENDIAN);
    refuseExisting();
    Path folder = target.toAbsolutePath().getParent();
    Path free = null;
    FileChannel opened = null;
    for (int i = 0; opened == null; i++) {
      free = folder.resolve("." + target.getFileName() + "." + i + ".part");
      try {
        opened = FileChannel.open(free, StandardOpenOption.WRITE, StandardOpenOption.CREATE_NEW);
      } catch (FileAlreadyExistsException e) {
        if (i > 1000) {
          throw e;
        }
      } catch (NoSuchFileException e) {
        throw new BadInputException(
            target.getFileName() + ": the folder it shall go to does not exist", e);
      }
    }
    this.temporary = free;
    this.file = opened;
    writeHeader();
  }

  /**
   * Begins a file.
   *
   * @param target where it shall be
   * @param format how samples are stored
   * @param channels 1 to 16
   * @param sampleRateHz 1 to 384000
   * @param overwrite whether an existing file may be replaced
   * @throws BadInputException if it exists and may not be replaced, or its folder does not exist
   */
  public static WavWriter create(
      Path target, SampleFormat format, int channels, int sampleRateHz, boolean overwrite)
      throws IOException {
    if (channels < 1 || channels > WavRecording.MAX_CHANNELS) {
      throw new IllegalArgumentException("1 to 16 channels can be written, not " + channels);
    }
    if (sampleRateHz < 1 || sampleRateHz > WavRecording.MAX_RATE_HZ) {
      throw new IllegalArgumentException("sample rate out of range: " + sampleRateHz + " Hz");
    }
    return new WavWriter(target, format, channels, sampleRateHz, overwrite);
  }

  /** Writes a whole recording; its sample rate must be a whole number of Hz. */
  public static void write(Recording recording, Path target, SampleFormat format, boolean overwrite)
      throws IOException {
    double rate = recording.sampleRateHz();
    if (rate != Math.rint(rate)) {
      throw new BadInputException(
          recording.name() + ": a WAV file needs a whole number of Hz, the rate is " + rate);
    }
    double[][] block = new double[recording.channels()][8192];
    try (WavWriter writer = create(target, format, recording.channels(), (int) rate, overwrite);
        Recording.Cursor cursor = recording.from(0)) {
      int got = cursor.read(block, 0, 8192);
      while (got > 0) {
        writer.write(block, 0, got);
        got = cursor.read(block, 0, 8192);
      }
      writer.commit();
    }
  }

  /**
   * Appends frames. Integers are rounded to the nearest step; what lies outside their range is set
   * to its end, as a converter would.
   *
   * @param samples one array for each channel, fractions of full scale; finite
   * @param offset where in the arrays to begin
   * @param frames how many
   */
  public void write(double[][] samples, int offset, int frames) throws IOException {
    if (samples.length != channels) {
      throw new IllegalArgumentException("needs " + channels + " channels, got " + samples.length);
    }
    for (int i = offset; i < offset + frames; i++) {
      for (int c = 0; c < channels; c++) {
        put(samples[c][i]);
      }
      if (!buffer.hasRemaining()) {
        flush();
      }
    }
  }

  private void put(double value) {
    if (!Double.isFinite(value)) {
      throw new IllegalArgumentException("a sample must be a finite number, was " + value);
    }
    switch (format) {
      case FLOAT32 -> buffer.putFloat((float) value);
      case FLOAT64 -> buffer.putDouble(value);
      default -> {
        double steps = Math.scalb(1.0, format.bits - 1);
        int number = (int) Math.max(-steps, Math.min(steps - 1, Math.rint(value * steps)));
        if (format == SampleFormat.INT16) {
          buffer.putShort((short) number);
        } else if (format == SampleFormat.INT24) {
          buffer.putShort((short) number).put((byte) (number >> 16));
        } else {
          buffer.putInt(number);
        }
      }
    }
  }

  /** Brings everything written so far to the temporary file, with a header that fits it. */
  public void flush() throws IOException {
    buffer.flip();
    if (dataBytes + buffer.remaining() > LARGEST) {
      throw new BadInputException(
          target.getFileName() + ": a WAV file cannot hold more than 4 GB; use shorter recordings");
    }
    while (buffer.hasRemaining()) {
      dataBytes += file.write(buffer, headerBytes + dataBytes);
    }
    buffer.clear();
    writeHeader();
  }

  /** Frames written so far. */
  public long frames() {
    int frameBytes = channels * format.bits / 8;
    return (dataBytes + buffer.position()) / frameBytes;
  }

  /**
   * Finishes the file and moves it into place.
   *
   * @throws BadInputException if meanwhile a file of that name exists and may not be replaced
   */
  public void commit() throws IOException {
    if (!open) {
      throw new IllegalStateException("already closed");
    }
    flush();
    if ((dataBytes & 1) == 1) {
      file.write(ByteBuffer.wrap(new byte[1]), headerBytes + dataBytes);
    }
    file.force(false);
    file.close();
    refuseExisting();
    try {
      Files.move(temporary, target, StandardCopyOption.ATOMIC_MOVE);
    } catch (AtomicMoveNotSupportedException e) {
      Files.move(temporary, target, StandardCopyOption.REPLACE_EXISTING);
    }
    open = false;
  }

  @Override
  public void close() throws IOException {
    if (open) {
      open = false;
      file.close();
      Files.deleteIfExists(temporary);
    }
  }

  private void refuseExisting() {
    if (!overwrite && Files.exists(target)) {
      throw new BadInputException(
          target.getFileName() + ": the file exists already; say --overwrite to replace it");
    }
  }

  private void writeHeader() throws IOException {
    int frameBytes = channels * format.bits / 8;
    ByteBuffer header = ByteBuffer.allocate(headerBytes).order(ByteOrder.LITTLE_ENDIAN);
    header.put(ascii("RIFF"));
    header.putInt((int) (headerBytes - 8 + dataBytes + (dataBytes & 1)));
    header.put(ascii("WAVEfmt "));
    boolean extensible = headerBytes == 80;
    header.putInt(extensible ? 40 : format.floating ? 18 : 16);
    int code = format.floating ? 3 : 1;
    header.putShort((short) (extensible ? 0xFFFE : code));
    header.putShort((short) channels);
    header.putInt(sampleRateHz);
    header.putInt(sampleRateHz * frameBytes);
    header.putShort((short) frameBytes);
    header.putShort((short) format.bits);
    if (extensible) {
      // 22 more bytes: valid bits, no loudspeaker positions, subformat
      header.putShort((short) 22).putShort((short) format.bits).putInt(0);
      header.putShort((short) code).put(WavRecording.subformatTail());
    } else if (format.floating) {
      header.putShort((short) 0);
    }
    if (headerBytes > 44) {
      header.put(ascii("fact")).putInt(4).putInt((int) (dataBytes / frameBytes));
    }
    header.put(ascii("data")).putInt((int) dataBytes);
    header.flip();
    while (header.hasRemaining()) {
      file.write(header, header.position());
    }
  }

  private static byte[] ascii(String text) {
    return text.getBytes(StandardCharsets.US_ASCII);
  }
}

package ringtrue.acquisition;

import java.io.IOException;
import java.lang.invoke.MethodHandles;
import java.lang.invoke.VarHandle;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.List;
import java.util.Locale;
import ringtrue.units.BadInputException;

/**
 * A WAV file: 16, 24 or 32-bit integer or 32 or 64-bit float samples, 1 to 16 channels, up to 384
 * kHz, in a RIFF or RF64 file. A sample is integer / 2<sup>bits−1</sup>, or the float itself.
 *
 * <p>Only the header is read when it is opened; samples are read through a buffer of fixed size, so
 * the memory needed does not depend on the length. Integers of fewer valid bits than their
 * container sit at its top, as the format demands, and need no other treatment.
 *
 * <p>Source of the layout: "Multimedia Programming Interface and Data Specifications 1.0" (1991),
 * chapter "WAVE"; the extensible form by its 2001 supplement; RF64 by EBU Tech 3306 (2009).
 */
public final class WavRecording implements Recording {
  static final int MAX_CHANNELS = 16;
  static final int MAX_RATE_HZ = 384_000;

  private static final int PCM = 1;
  private static final int FLOAT = 3;
  private static final int EXTENSIBLE = 0xFFFE;
  private static final long UNKNOWN_SIZE = 0xFFFF_FFFFL;
  private static final int BUFFER_BYTES = 1 << 16;

  /** Last 14 bytes of the subformat GUID xxxxxxxx-0000-0010-8000-00AA00389B71. */
  private static final byte[] SUBFORMAT_TAIL = {
    0, 0, 0, 0, 0x10, 0, (byte) 0x80, 0, 0, (byte) 0xAA, 0, 0x38, (byte) 0x9B, 0x71
  };

  private static final VarHandle SHORT = little(short[].class);
  private static final VarHandle INT = little(int[].class);
  private static final VarHandle LONG = little(long[].class);

  private final Path path;
  private final String name;
  private final int sampleRateHz;
  private final int channels;
  private final boolean floating;
  private final int bytesPerSample;
  private final long dataStart;
  private final long frames;
  private final List<String> remarks;

  private WavRecording(
      Path path, String name, Format format, long dataStart, long frames, List<String> remarks) {
    this.path = path;
    this.name = name;
    this.sampleRateHz = format.sampleRateHz;
    this.channels = format.channels;
    this.floating = format.floating;
    this.bytesPerSample = format.bits / 8;
    this.dataStart = dataStart;
    this.frames = frames;
    this.remarks = remarks;
  }

  /** Opens a file under its own file name. */
  public static WavRecording open(Path path) throws IOException {
    return open(path, String.valueOf(path.getFileName()));
  }

  /**
   * Opens a file.
   *
   * @param path where it is
   * @param name what messages and reports call it
   * @throws BadInputException if it does not exist, or is no WAV file that can be read
   */
  public static WavRecording open(Path path, String name) throws IOException {
    try (FileChannel file = InputFile.open(path, name)) {
      return new Header(path, name, file).read();
    }
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
    return channels;
  }

  @Override
  public long frames() {
    return frames;
  }

  /** Bits of one stored sample: 16, 24 or 32, or 64 for a float. */
  public int bits() {
    return 8 * bytesPerSample;
  }

  /** Whether samples are stored as floats, which have no fixed overload level. */
  public boolean floating() {
    return floating;
  }

  /** Says how much was taken of a file whose recorder was stopped before it could finish it. */
  @Override
  public List<String> remarks() {
    return remarks;
  }

  @Override
  public Cursor from(long frame) throws IOException {
    if (frame < 0 || frame > frames) {
      throw new IllegalArgumentException("frame " + frame + " is outside 0.." + frames);
    }
    return new WavCursor(frame);
  }

  static byte[] subformatTail() {
    return SUBFORMAT_TAIL.clone();
  }

  private static VarHandle little(Class<?> array) {
    return MethodHandles.byteArrayViewVarHandle(array, ByteOrder.LITTLE_ENDIAN);
  }

  private record Format(int channels, int sampleRateHz, int bits, boolean floating) {}

  /** Walks through the chunks up to the samples. */
  private static final class Header {
    private final Path path;
    private final String name;
    private final FileChannel file;
    private final long size;
    private final ByteBuffer bytes = ByteBuffer.allocate(64).order(ByteOrder.LITTLE_ENDIAN);

    Header(Path path, String name, FileChannel file) throws IOException {
      this.path = path;
      this.name = name;
      this.file = file;
      this.size = file.size();
    }

    WavRecording read() throws IOException {
      if (size == 0) {
        throw bad("the file is empty");
      }
      if (take(0, 12) < 12) {
        throw bad("not a WAV sound file (only " + size + " bytes long)");
      }
      String container = text(0);
      boolean wide = container.equals("RF64");
      if (container.equals("RIFX")) {
        throw bad("big-endian WAV (RIFX) is not supported; save it as an ordinary WAV");
      }
      if (!wide && !container.equals("RIFF") || !text(8).equals("WAVE")) {
        throw bad("not a WAV sound file, whatever its name says");
      }
      long riffSize = bytes.getInt(4) & 0xFFFF_FFFFL;
      long wideDataSize = -1;
      boolean unfinished = false;
      Format format = null;
      long at = 12;
      while (take(at, 8) == 8) {
        String chunk = text(0);
        long length = bytes.getInt(4) & 0xFFFF_FFFFL;
        long body = at + 8;
        if (chunk.equals("ds64")) {
          if (take(body, 24) < 24) {
            throw bad("truncated in its ds64 chunk");
          }
          wideDataSize = bytes.getLong(8);
        } else if (chunk.equals("JUNK") && length == StreamedWav.MARK.length()) {
          unfinished = take(body, 16) == 16 && StreamedWav.MARK.equals(text(0, 16));
        } else if (chunk.equals("fmt ")) {
          format = format(body, length);
        } else if (chunk.equals("data")) {
          if (format == null) {
            throw bad("its samples (data chunk) come before any description of them (fmt chunk)");
          }
          boolean riffSizeHolds = Math.abs(size - 8 - riffSize) <= 1;
          if (!unfinished && wide && length == UNKNOWN_SIZE && wideDataSize > 0) {
            length = wideDataSize;
          } else if (unfinished || length == UNKNOWN_SIZE || length == 0 && !riffSizeHolds) {
            // a recorder that was stopped before it could write the sizes
            unfinished = true;
            length = size - body;
          }
          return recording(format, body, length, unfinished);
        }
        at = body + length + (length & 1);
      }
      throw bad(
          format == null
              ? "it holds no description of its samples (no fmt chunk)"
              : "it holds no samples (no data chunk)");
    }

    private WavRecording recording(Format format, long body, long length, boolean unfinished) {
      long frameBytes = (long) format.channels * format.bits / 8;
      long claimed = length / frameBytes;
      long present = Math.max(0, size - body) / frameBytes;
      if (claimed > present) {
        throw bad(
            "truncated: its header claims "
                + claimed
                + " frames, "
                + present
                + " are there; record or copy it again");
      }
      if (claimed == 0) {
        throw bad("it holds no samples (0 frames)");
      }
      List<String> remarks =
          unfinished ? List.of(allThatIsThere(format, claimed, length % frameBytes)) : List.of();
      return new WavRecording(path, name, format, body, claimed, remarks);
    }

    private String allThatIsThere(Format format, long frames, long rest) {
      return String.format(
          Locale.ROOT,
          "%s: the recorder was stopped before it could finish the file; all %d frames (%.3f s)"
              + " that are there were taken%s",
          name,
          frames,
          (double) frames / format.sampleRateHz,
          rest > 0 ? ", half a frame at the end left out" : "");
    }

    private Format format(long body, long length) throws IOException {
      int got = take(body, (int) Math.min(40, length));
      if (got < 16) {
        throw bad("its fmt chunk is " + got + " bytes long, 16 are needed");
      }
      int code = bytes.getShort(0) & 0xFFFF;
      int channels = bytes.getShort(2) & 0xFFFF;
      long rate = bytes.getInt(4) & 0xFFFF_FFFFL;
      int blockAlign = bytes.getShort(12) & 0xFFFF;
      int bits = bytes.getShort(14) & 0xFFFF;
      if (code == EXTENSIBLE) {
        if (got < 40) {
          throw bad("its extensible fmt chunk is " + got + " bytes long, 40 are needed");
        }
        int valid = bytes.getShort(18) & 0xFFFF;
        if (valid > bits) {
          throw bad("it claims " + valid + " valid bits in samples of " + bits + " bits");
        }
        code = bytes.getShort(24) & 0xFFFF;
        for (int i = 0; i < SUBFORMAT_TAIL.length; i++) {
          if (bytes.get(26 + i) != SUBFORMAT_TAIL[i]) {
            throw bad("its subformat is unknown; integer PCM or IEEE float is needed");
          }
        }
      }
      if (code != PCM && code != FLOAT) {
        throw bad(
            String.format(
                "format code 0x%04X%s is not supported; integer PCM (1) or IEEE float (3) is"
                    + " needed",
                code, coding(code)));
      }
      boolean floating = code == FLOAT;
      if (floating ? bits != 32 && bits != 64 : bits != 16 && bits != 24 && bits != 32) {
        throw bad(
            bits
                + "-bit "
                + (floating
                    ? "float samples are not supported; 32 or 64 bits are"
                    : "integer samples are not supported; 16, 24 or 32 bits are"));
      }
      if (channels == 0 || channels > MAX_CHANNELS) {
        throw bad("it claims " + channels + " channels; 1 to " + MAX_CHANNELS + " can be read");
      }
      if (rate == 0 || rate > MAX_RATE_HZ) {
        throw bad(
            "it claims a sample rate of " + rate + " Hz; 1 to " + MAX_RATE_HZ + " can be read");
      }
      if (blockAlign != channels * bits / 8) {
        throw bad(
            "its header contradicts itself: "
                + channels
                + " channels of "
                + bits
                + " bits make frames of "
                + channels * bits / 8
                + " bytes, it claims "
                + blockAlign);
      }
      return new Format(channels, (int) rate, bits, floating);
    }

    private static String coding(int code) {
      return switch (code) {
        case 2, 0x11 -> " (ADPCM)";
        case 6 -> " (A-law)";
        case 7 -> " (mu-law)";
        case 0x50, 0x55 -> " (MPEG)";
        default -> "";
      };
    }

    private int take(long position, int wanted) throws IOException {
      bytes.clear().limit(wanted);
      while (bytes.hasRemaining()) {
        int got = file.read(bytes, position + bytes.position());
        if (got < 0) {
          break;
        }
      }
      return bytes.position();
    }

    private String text(int offset) {
      return text(offset, 4);
    }

    private String text(int offset, int length) {
      return new String(bytes.array(), offset, length, StandardCharsets.ISO_8859_1);
    }

    private BadInputException bad(String what) {
      return new BadInputException(name + ": " + what);
    }
  }

  private final class WavCursor implements Cursor {
    private final byte[] bytes;
    private final ByteBuffer buffer;
    private final int frameBytes = channels * bytesPerSample;
    private final FileChannel file;
    private long next;

    WavCursor(long frame) throws IOException {
      next = frame;
      int whole = Math.max(1, BUFFER_BYTES / frameBytes) * frameBytes;
      bytes = new byte[whole];
      buffer = ByteBuffer.wrap(bytes);
      file = InputFile.open(path, name);
    }

    @Override
    public int read(double[][] into, int offset, int wanted) throws IOException {
      if (into.length != channels) {
        throw new IllegalArgumentException(
            "needs one array or null for each of " + channels + " channels, got " + into.length);
      }
      int done = 0;
      while (done < wanted && next < frames) {
        int now =
            (int) Math.min(Math.min(wanted - done, frames - next), buffer.capacity() / frameBytes);
        buffer.clear().limit(now * frameBytes);
        while (buffer.hasRemaining()) {
          if (file.read(buffer, dataStart + next * frameBytes + buffer.position()) < 0) {
            throw new BadInputException(
                name + ": the file became shorter while it was read, at frame " + next);
          }
        }
        for (int c = 0; c < channels; c++) {
          if (into[c] != null) {
            decode(c, into[c], offset + done, now);
          }
        }
        next += now;
        done += now;
      }
      return done;
    }

    private void decode(int channel, double[] into, int offset, int count) {
      int at = channel * bytesPerSample;
      int step = frameBytes;
      if (floating) {
        decodeFloats(channel, into, offset, count);
      } else if (bytesPerSample == 2) {
        for (int i = 0; i < count; i++, at += step) {
          into[offset + i] = (short) SHORT.get(bytes, at) * 0x1p-15;
        }
      } else if (bytesPerSample == 3) {
        for (int i = 0; i < count; i++, at += step) {
          int number = bytes[at] & 0xFF | (bytes[at + 1] & 0xFF) << 8 | bytes[at + 2] << 16;
          into[offset + i] = number * 0x1p-23;
        }
      } else {
        for (int i = 0; i < count; i++, at += step) {
          into[offset + i] = (int) INT.get(bytes, at) * 0x1p-31;
        }
      }
    }

    private void decodeFloats(int channel, double[] into, int offset, int count) {
      int at = channel * bytesPerSample;
      for (int i = 0; i < count; i++, at += frameBytes) {
        double value =
            bytesPerSample == 4
                ? Float.intBitsToFloat((int) INT.get(bytes, at))
                : Double.longBitsToDouble((long) LONG.get(bytes, at));
        if (!(Math.abs(value) <= Double.MAX_VALUE)) {
          throw new BadInputException(
              name
                  + ": frame "
                  + (next + i)
                  + " of channel "
                  + (channel + 1)
                  + " is not a finite number ("
                  + value
                  + ")");
        }
        into[offset + i] = value;
      }
    }

    @Override
    public void close() throws IOException {
      file.close();
    }
  }
}

package ringtrue.acquisition;

import com.sun.management.OperatingSystemMXBean;
import java.io.IOException;
import java.lang.management.GarbageCollectorMXBean;
import java.lang.management.ManagementFactory;
import java.lang.management.MemoryPoolMXBean;
import java.lang.management.MemoryType;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Locale;
import java.util.Map;

/**
 * A long recording at 192 kHz in two channels of 24 bits: a simulated device, the ring, the file on
 * disk and a tap's line every second. The device holds half a second as a sound system does, and
 * drops what is not taken by then. Arguments: minutes of sound, how many times real time (1 unless
 * said otherwise). Prints gaps, heap and processor time.
 */
public final class LongSessionBench {
  private static final PcmFormat FORMAT = PcmFormat.packed(192_000, 2, 24);
  private static final int BUFFER_FRAMES = 96_000;

  private LongSessionBench() {}

  /** Frames that carry their number, as many as the time that has passed. */
  private static final class Device implements SoundInput.Source {
    private final Pace.Run run;
    private final double framesPerNano;
    private final long start = System.nanoTime();
    private final long last;
    private final boolean drops;
    private volatile long next;
    private long dropped;

    Device(double timesRealTime, long last) {
      this.run = new Pace(timesRealTime).new Run(FORMAT.sampleRateHz());
      this.framesPerNano = FORMAT.sampleRateHz() * timesRealTime * 1e-9;
      this.drops = timesRealTime == 1;
      this.last = last;
    }

    @Override
    public int read(byte[] into, int bytes) {
      int frames = bytes / FORMAT.frameBytes();
      if (next >= last) {
        return 0;
      }
      run.due(next + frames - 1, 1);
      long late = (long) ((System.nanoTime() - start) * framesPerNano) - next - BUFFER_FRAMES;
      if (drops && late > 0) {
        dropped += late;
        next += late;
      }
      long number = next;
      for (int i = 0, at = 0; i < frames; i++, number++) {
        for (int b = 0; b < 3; b++) {
          into[at++] = (byte) (number >> 8 * b);
        }
        for (int b = 0; b < 3; b++) {
          into[at++] = (byte) (number >> 8 * b + 20);
        }
      }
      next = number;
      return frames * FORMAT.frameBytes();
    }

    /** A clock that goes with the sound, where the sound does not go with the clock. */
    long soundNanos() {
      return (long) (next * 1e9 / FORMAT.sampleRateHz());
    }

    @Override
    public void close() {
      // nothing is held
    }
  }

  public static void main(String[] args) throws IOException {
    double minutes = args.length > 0 ? Double.parseDouble(args[0]) : 3;
    double times = args.length > 1 ? Double.parseDouble(args[1]) : 1;
    long frames = Math.round(minutes * 60 * FORMAT.sampleRateHz());
    Path folder = Files.createDirectories(Path.of("target", "long-session"));
    Path file = folder.resolve("long.wav");
    OperatingSystemMXBean system =
        (OperatingSystemMXBean) ManagementFactory.getOperatingSystemMXBean();
    long cpu = system.getProcessCpuTime();
    long start = System.nanoTime();
    Device device = new Device(times, frames);
    double[] block = new double[2 * 4096];
    long wrong = 0;
    long expected = 0;
    int taps = 0;
    try (SoundInput input =
            new SoundInput(
                "simulated device",
                FORMAT,
                device,
                times == 1 ? 0.25 : 60,
                0,
                times == 1 ? System::nanoTime : device::soundNanos);
        StreamedWav wav = StreamedWav.create(file, FORMAT.sampleRateHz(), 2, 24, true);
        TapLog log = TapLog.create(wav, FORMAT.sampleRateHz(), TapLog.beside(file), true)) {
      while (wav.frames() < frames - device.dropped) {
        int got = input.read(block, 4096);
        for (int i = 0; i < got; i++, expected++) {
          long number = (long) Math.scalb(block[2 * i], 23) & 0xFFFFFF;
          if (number != (expected & 0xFFFFFF)) {
            wrong++;
            expected = expected & ~0xFFFFFFL | number;
          }
        }
        wav.write(block, got);
        if (wav.frames() / FORMAT.sampleRateHz() > taps) {
          taps++;
          long first = wav.frames() - FORMAT.sampleRateHz() / 2;
          log.append(
              new TapLog.Entry(
                  taps, first, FORMAT.sampleRateHz() / 2, "kept", "", Map.of("peakForceN", 30.0)));
        }
      }
      double seconds = (System.nanoTime() - start) * 1e-9;
      double busy = (system.getProcessCpuTime() - cpu) * 1e-9;
      System.out.printf(
          Locale.ROOT,
          "%.1f min of sound in %.1f s, %d taps; dropped by the device %d frames, breaks in the"
              + " numbering %d, gaps reported %s%n",
          minutes,
          seconds,
          taps,
          device.dropped,
          wrong,
          input.gaps());
      System.out.printf(
          Locale.ROOT,
          "processor %.1f s: %.1f %% of one core for sound in real time%n",
          busy,
          100 * busy / (minutes * 60));
    }
    long peak = 0;
    for (MemoryPoolMXBean pool : ManagementFactory.getMemoryPoolMXBeans()) {
      peak += pool.getType() == MemoryType.HEAP ? pool.getPeakUsage().getUsed() : 0;
    }
    long collections = 0;
    for (GarbageCollectorMXBean gc : ManagementFactory.getGarbageCollectorMXBeans()) {
      collections += Math.max(0, gc.getCollectionCount());
    }
    System.out.printf(
        Locale.ROOT,
        "heap at its peak %.1f MB, %d collections; file of %.0f MB%n",
        peak * 1e-6,
        collections,
        Files.size(file) * 1e-6);
    Files.delete(file);
    Files.delete(TapLog.beside(file));
  }
}

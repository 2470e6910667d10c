package ringtrue.acquisition;

import java.io.IOException;
import java.util.List;
import java.util.concurrent.locks.LockSupport;
import java.util.function.LongSupplier;

/**
 * A sound input. Its own thread takes the frames from the sound system and copies them into a ring
 * buffer that was made beforehand; {@link #read} takes them from there whenever it can. The ring
 * holds {@value #RING_S} s (less for many channels at high rates), and on top of it the recording
 * thread holds frames back for as long as the sound system's own buffer is sure to have room.
 *
 * <p>Frames that find no room are counted. Frames that the sound system loses are seen from the
 * clock, see {@link ClockWatch}. Either is reported in {@link #gaps()}, never passed over.
 */
public final class SoundInput implements LiveInput {
  static final int RING_S = 10;
  private static final long CLOSING_MS = 1000;
  private static final int MOST_RING_BYTES = 64 << 20;
  private static final double CHUNK_S = 0.01;
  private static final long STALL_NANOS = 3_000_000_000L;
  private static final long POLL_NANOS = 50_000_000L;

  /** Where frames come from. */
  interface Source {
    /**
     * Waits for frames and takes them.
     *
     * @param into filled from its beginning
     * @param bytes how many bytes, whole frames
     * @return how many came; fewer than asked for only when no more will come for now; 0 or less if
     *     the source is gone
     */
    int read(byte[] into, int bytes);

    /** Ends a read that waits, and gives the device back. */
    void close();
  }

  private final String name;
  private final PcmFormat format;
  private final Source source;
  private final LongSupplier clock;
  private final long patienceNanos;
  private final FrameRing ring;
  private final GapTable gaps = new GapTable();
  private final int resumeFrames;
  private final byte[] scratch;
  private final Thread thread;
  private boolean overrun;
  private volatile boolean closing;
  private volatile boolean ended;
  private volatile String problem;
  private volatile long lastArrival;

  /**
   * @param name what it is called
   * @param format layout of the source's frames
   * @param source where frames come from; closed with this
   * @param patienceS how long the source can do without being read, s
   * @param ringFrames room in the ring; 0 for what is usual
   * @param clock nanoseconds that pass steadily
   */
  SoundInput(
      String name,
      PcmFormat format,
      Source source,
      double patienceS,
      int ringFrames,
      LongSupplier clock) {
    this.name = name;
    this.format = format;
    this.source = source;
    this.clock = clock;
    this.patienceNanos = Math.round(patienceS * 1e9);
    this.ring = new FrameRing(format.frameBytes(), ringFrames > 0 ? ringFrames : usualRing(format));
    this.resumeFrames = Math.min(format.sampleRateHz(), ring.capacity() / 2);
    this.scratch = new byte[4096 * format.frameBytes()];
    this.lastArrival = clock.getAsLong();
    this.thread = new Thread(this::record, "sound input");
    thread.setDaemon(true);
    thread.setPriority(Thread.MAX_PRIORITY);
    thread.start();
  }

  private static int usualRing(PcmFormat format) {
    long wanted = (long) RING_S * format.sampleRateHz();
    return (int) Math.min(wanted, MOST_RING_BYTES / format.frameBytes());
  }

  private void record() {
    try {
      pump();
    } catch (RuntimeException e) {
      if (!closing) {
        problem = name + ": the sound system failed: " + e.getMessage();
      }
    } finally {
      ended = true;
      ring.wake();
    }
  }

  private void pump() {
    int frameBytes = format.frameBytes();
    int chunkFrames = Math.max(16, (int) (CHUNK_S * format.sampleRateHz()));
    byte[] chunk = new byte[chunkFrames * frameBytes];
    ClockWatch watch = new ClockWatch(format.sampleRateHz(), clock.getAsLong());
    long arrived = 0;
    long storedBeforeSuspicion = 0;
    while (!closing) {
      int got = source.read(chunk, chunk.length);
      if (got < frameBytes) {
        if (!closing) {
          problem =
              name
                  + ": no more frames come: the device was unplugged, or taken away by the system;"
                  + " what was recorded before is kept";
        }
        return;
      }
      long now = clock.getAsLong();
      lastArrival = now;
      int frames = got / frameBytes;
      arrived += frames;
      boolean before = watch.suspicious();
      long stored = ring.written();
      long missing = watch.arrived(arrived, now);
      if (missing > 0) {
        gaps.note(GapTable.BY_CLOCK, storedBeforeSuspicion, missing);
      } else if (!before && watch.suspicious()) {
        storedBeforeSuspicion = stored;
      }
      store(chunk, frames);
    }
  }

  private void store(byte[] chunk, int frames) {
    int done = 0;
    // once frames are lost there is no waiting, which would make the sound system lose more, and
    // it is one long gap rather than many short ones
    if (!overrun || ring.room() >= resumeFrames) {
      overrun = false;
      done = ring.write(chunk, 0, frames);
      long until = System.nanoTime() + patienceNanos;
      while (done < frames && !closing && System.nanoTime() < until) {
        LockSupport.parkNanos(1_000_000);
        done += ring.write(chunk, done * format.frameBytes(), frames - done);
      }
    }
    if (done < frames) {
      overrun = true;
      gaps.note(GapTable.OVERRUN, ring.written(), frames - done);
    }
  }

  @Override
  public String name() {
    return name;
  }

  @Override
  public double sampleRateHz() {
    return format.sampleRateHz();
  }

  @Override
  public int channels() {
    return format.channels();
  }

  @Override
  public int bits() {
    return format.bits();
  }

  /** Layout of the frames as the sound system gives them. */
  public PcmFormat format() {
    return format;
  }

  @Override
  public int read(double[] frames, int most) throws IOException {
    int wanted = Math.min(most, scratch.length / format.frameBytes());
    while (true) {
      boolean last = ended;
      int got = ring.read(scratch, wanted);
      if (got > 0) {
        format.decode(scratch, got, frames);
        return got;
      }
      if (last) {
        if (problem != null) {
          throw new IOException(problem);
        }
        return -1;
      }
      if (clock.getAsLong() - lastArrival > STALL_NANOS) {
        throw new IOException(
            name
                + ": no frames came for "
                + STALL_NANOS / 1_000_000_000
                + " s: unplugged, or held by another program; what was recorded before is kept");
      }
      ring.await(POLL_NANOS);
    }
  }

  @Override
  public List<Gap> gaps() {
    return gaps.upTo(ring.taken());
  }

  /** Stops recording. Frames that arrived before can still be read. */
  @Override
  public void close() {
    closing = true;
    // where the device is gone, its system may never come back from this
    Thread closer = new Thread(source::close, "sound input end");
    closer.setDaemon(true);
    closer.start();
    boolean interrupted = false;
    try {
      closer.join(CLOSING_MS);
      thread.join(CLOSING_MS);
    } catch (InterruptedException e) {
      interrupted = true;
    }
    ended = true;
    if (interrupted) {
      Thread.currentThread().interrupt();
    }
  }
}

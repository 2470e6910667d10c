package ringtrue.acquisition;

import java.util.concurrent.atomic.AtomicLong;
import java.util.concurrent.locks.LockSupport;

/**
 * Frames between the thread that must never wait and the one that may: one writer, one reader, all
 * room taken beforehand, no lock. What does not fit is not stored; the writer is told how much.
 */
final class FrameRing {
  private final byte[] store;
  private final int frameBytes;
  private final int capacity;
  private final AtomicLong written = new AtomicLong();
  private final AtomicLong taken = new AtomicLong();
  private volatile Thread waiting;

  /**
   * @param frameBytes bytes of a frame
   * @param capacity frames that there is room for
   */
  FrameRing(int frameBytes, int capacity) {
    this.store = new byte[Math.multiplyExact(frameBytes, capacity)];
    this.frameBytes = frameBytes;
    this.capacity = capacity;
  }

  int capacity() {
    return capacity;
  }

  /** Frames that there is room for now. Writer only. */
  int room() {
    return (int) (capacity - (written.getPlain() - taken.getAcquire()));
  }

  /** Frames stored so far, those taken included. */
  long written() {
    return written.getAcquire();
  }

  /** Frames taken so far. */
  long taken() {
    return taken.getAcquire();
  }

  /**
   * Stores frames, as many as there is room for. Writer only.
   *
   * @param from bytes of the frames
   * @param offset first byte of the first frame
   * @param frames how many
   * @return how many were stored
   */
  int write(byte[] from, int offset, int frames) {
    long end = written.getPlain();
    int now = Math.min(frames, room());
    int start = (int) (end % capacity);
    int first = Math.min(now, capacity - start);
    System.arraycopy(from, offset, store, start * frameBytes, first * frameBytes);
    System.arraycopy(from, offset + first * frameBytes, store, 0, (now - first) * frameBytes);
    // a full fence, so that a reader about to wait is either seen here or sees the frames itself
    written.set(end + now);
    wake();
    return now;
  }

  /** Lets a waiting reader look again. */
  void wake() {
    Thread reader = waiting;
    if (reader != null) {
      LockSupport.unpark(reader);
    }
  }

  /**
   * Takes frames that are there, without waiting. Reader only.
   *
   * @return how many were taken, perhaps 0
   */
  int read(byte[] into, int most) {
    long begin = taken.getPlain();
    int now = (int) Math.min(most, written.getAcquire() - begin);
    int start = (int) (begin % capacity);
    int first = Math.min(now, capacity - start);
    System.arraycopy(store, start * frameBytes, into, 0, first * frameBytes);
    System.arraycopy(store, 0, into, first * frameBytes, (now - first) * frameBytes);
    taken.setRelease(begin + now);
    return now;
  }

  /** Waits until frames come, {@link #wake} is called or a time is over. Reader only. */
  void await(long nanos) {
    waiting = Thread.currentThread();
    try {
      if (written.get() == taken.getPlain()) {
        LockSupport.parkNanos(this, nanos);
      }
    } finally {
      waiting = null;
    }
  }
}

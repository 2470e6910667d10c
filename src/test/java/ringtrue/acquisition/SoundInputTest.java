package ringtrue.acquisition;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.concurrent.atomic.AtomicLong;
import java.util.concurrent.locks.LockSupport;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;

/** Devices that misbehave on purpose; frames carry their own number. */
@Timeout(60)
class SoundInputTest {
  private static final PcmFormat FORMAT = PcmFormat.packed(48_000, 1, 32);

  /** Gives numbered frames without waiting, up to a number. */
  private static class Numbered implements SoundInput.Source {
    final long last;
    long next;

    Numbered(long last) {
      this.last = last;
    }

    @Override
    public int read(byte[] into, int bytes) {
      int count = (int) Math.min(bytes / 4, last - next);
      for (int i = 0; i < count; i++, next++) {
        for (int b = 0; b < 4; b++) {
          into[4 * i + b] = (byte) (next >> 8 * b);
        }
      }
      return 4 * count;
    }

    @Override
    public void close() {
      // nothing is held
    }
  }

  private static long number(double value) {
    return (long) Math.scalb(value, 31);
  }

  @Test
  void whatCameBeforeTheDeviceWentCanBeReadThenOneSentenceSaysSo() throws IOException {
    double[] frames = new double[1000];
    try (SoundInput input =
        new SoundInput("box", FORMAT, new Numbered(100_123), 5, 0, System::nanoTime)) {
      long next = 0;
      while (next < 100_123) {
        int got = input.read(frames, 1000);
        for (int i = 0; i < got; i++) {
          assertThat(number(frames[i])).isEqualTo(next + i);
        }
        next += got;
      }
      for (int again = 0; again < 2; again++) {
        assertThatThrownBy(() -> input.read(frames, 1000))
            .isInstanceOf(IOException.class)
            .hasMessage(
                "box: no more frames come: the device was unplugged, or taken away by the system;"
                    + " what was recorded before is kept");
      }
      assertThat(input.gaps()).isEmpty();
    }
  }

  @Test
  void aDeviceThatFallsSilentIsNotWaitedForForEver() {
    CountDownLatch closed = new CountDownLatch(1);
    SoundInput.Source silent =
        new SoundInput.Source() {
          @Override
          public int read(byte[] into, int bytes) {
            try {
              closed.await();
            } catch (InterruptedException e) {
              Thread.currentThread().interrupt();
            }
            return 0;
          }

          @Override
          public void close() {
            closed.countDown();
          }
        };
    // a clock on which every look is half a second later
    AtomicLong clock = new AtomicLong();
    try (SoundInput input =
        new SoundInput("box", FORMAT, silent, 0, 0, () -> clock.addAndGet(500_000_000))) {
      assertThatThrownBy(() -> input.read(new double[10], 10))
          .isInstanceOf(IOException.class)
          .hasMessageContaining("box: no frames came for 3 s");
    }
  }

  /** Nobody reads for a while: what is lost is counted to the frame and said where. */
  @Test
  void framesThatFindNoRoomAreCounted() throws IOException, InterruptedException {
    CountDownLatch given = new CountDownLatch(1);
    CountDownLatch readOn = new CountDownLatch(1);
    Numbered source =
        new Numbered(1_000_000) {
          @Override
          public int read(byte[] into, int bytes) {
            if (next == 48_000) {
              given.countDown();
              try {
                readOn.await();
              } catch (InterruptedException e) {
                Thread.currentThread().interrupt();
              }
            }
            return next == 96_000 ? 0 : super.read(into, bytes);
          }
        };
    try (SoundInput input = new SoundInput("box", FORMAT, source, 0, 10_000, System::nanoTime)) {
      given.await();
      double[] frames = new double[10_000];
      long taken = 0;
      long expected = 0;
      for (int got = input.read(frames, 4000); taken < 10_000; got = input.read(frames, 4000)) {
        for (int i = 0; i < got; i++) {
          assertThat(number(frames[i])).isEqualTo(expected++);
        }
        taken += got;
        if (taken == 10_000) {
          break;
        }
      }
      assertThat(input.gaps())
          .containsExactly(
              new LiveInput.Gap(
                  10_000, 38_000, "this program was too slow to take the frames (counted)"));
      readOn.countDown();
      long first = -1;
      while (first < 0) {
        int got = input.read(frames, 480);
        first = got > 0 ? number(frames[0]) : -1;
      }
      assertThat(first).isEqualTo(48_000);
    }
  }

  /** A reader that is too slow all the time: every lost frame is in a gap, at its place. */
  @Test
  void framesReadAndFramesMissedAreAllFrames() throws IOException {
    Numbered source =
        new Numbered(400_000) {
          @Override
          public int read(byte[] into, int bytes) {
            LockSupport.parkNanos(100_000);
            return super.read(into, bytes);
          }
        };
    List<long[]> read = new ArrayList<>();
    try (SoundInput input = new SoundInput("box", FORMAT, source, 0, 5000, () -> 0)) {
      double[] frames = new double[300];
      long taken = 0;
      while (true) {
        int got;
        try {
          got = input.read(frames, 300);
        } catch (IOException ended) {
          break;
        }
        for (int i = 0; i < got; i++) {
          read.add(new long[] {taken + i, number(frames[i])});
        }
        taken += got;
        LockSupport.parkNanos(500_000);
      }
      List<LiveInput.Gap> gaps = input.gaps();
      assertThat(gaps).hasSizeBetween(2, 200);
      int next = 0;
      long missed = 0;
      for (long[] frame : read) {
        while (next < gaps.size() && gaps.get(next).atFrame() == frame[0]) {
          missed += gaps.get(next++).missingFrames();
        }
        if (frame[1] != frame[0] + missed) {
          assertThat(frame[1]).as("frame %d", frame[0]).isEqualTo(frame[0] + missed);
        }
      }
      while (next < gaps.size()) {
        missed += gaps.get(next++).missingFrames();
      }
      assertThat(taken + missed).isEqualTo(400_000);
    }
  }

  /** A source that is never read too late has no gaps, however slowly it is taken. */
  @Test
  void withinItsPatienceNothingIsLost() throws IOException {
    try (SoundInput input =
        new SoundInput("box", FORMAT, new Numbered(300_000), 10, 1000, System::nanoTime)) {
      double[] frames = new double[700];
      long next = 0;
      while (next < 300_000) {
        int got = input.read(frames, 700);
        assertThat(number(frames[0])).isEqualTo(next);
        next += got;
      }
      assertThat(input.gaps()).isEmpty();
    }
  }

  /** The sound system drops a second without a word: seen from the clock, at its place. */
  @Test
  void framesThatTheSystemDropsAreSeenFromTheClock() throws IOException {
    AtomicLong clock = new AtomicLong();
    Numbered source =
        new Numbered(48_000 * 12) {
          @Override
          public int read(byte[] into, int bytes) {
            int got = super.read(into, bytes);
            // 10 ms a block, and once a second more
            clock.addAndGet(10_000_000 + (next == 48_000 * 5 ? 1_000_000_000 : 0));
            return got;
          }
        };
    try (SoundInput input = new SoundInput("box", FORMAT, source, 10, 0, clock::get)) {
      double[] frames = new double[4000];
      long taken = 0;
      while (taken < 48_000 * 12) {
        taken += input.read(frames, 4000);
      }
      List<LiveInput.Gap> gaps = input.gaps();
      assertThat(gaps).hasSize(1);
      assertThat(gaps.get(0).atFrame()).isEqualTo(48_000 * 5 - 480);
      assertThat(gaps.get(0).missingFrames()).isBetween(47_500L, 48_500L);
      assertThat(gaps.get(0).why()).contains("estimated from the clock");
    }
  }

  @Test
  void closingEndsAReadThatWaits() throws Exception {
    AtomicBoolean closed = new AtomicBoolean();
    CountDownLatch gone = new CountDownLatch(1);
    SoundInput.Source waiting =
        new SoundInput.Source() {
          @Override
          public int read(byte[] into, int bytes) {
            try {
              gone.await();
            } catch (InterruptedException e) {
              Thread.currentThread().interrupt();
            }
            return 0;
          }

          @Override
          public void close() {
            closed.set(true);
            gone.countDown();
          }
        };
    SoundInput input = new SoundInput("box", FORMAT, waiting, 0, 0, System::nanoTime);
    int[] answer = {0};
    Thread reader =
        new Thread(
            () -> {
              try {
                answer[0] = input.read(new double[10], 10);
              } catch (IOException e) {
                answer[0] = -100;
              }
            });
    reader.start();
    Thread.sleep(50);
    input.close();
    reader.join(5000);
    assertThat(answer[0]).isEqualTo(-1);
    assertThat(closed).isTrue();
  }
}

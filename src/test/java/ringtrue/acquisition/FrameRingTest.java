package ringtrue.acquisition;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Random;
import java.util.concurrent.atomic.AtomicLong;
import org.junit.jupiter.api.Test;

class FrameRingTest {
  private static final long FRAMES = 3_000_000;

  /** Frames that carry their own number, in blocks of any size, through a ring that wraps often. */
  @Test
  void everyFrameComesOutOnceAndInOrder() throws InterruptedException {
    FrameRing ring = new FrameRing(4, 1009);
    AtomicLong waits = new AtomicLong();
    Thread writer =
        new Thread(
            () -> {
              Random random = new Random(1);
              byte[] block = new byte[4 * 700];
              long next = 0;
              while (next < FRAMES) {
                int count = (int) Math.min(1 + random.nextInt(700), FRAMES - next);
                for (int i = 0; i < count; i++) {
                  number(block, 4 * i, (int) (next + i));
                }
                int done = 0;
                while (done < count) {
                  int now = ring.write(block, 4 * done, count - done);
                  if (now == 0) {
                    waits.incrementAndGet();
                    Thread.onSpinWait();
                  }
                  done += now;
                }
                next += count;
              }
            });
    writer.start();
    Random random = new Random(2);
    byte[] got = new byte[4 * 500];
    long next = 0;
    while (next < FRAMES) {
      int count = ring.read(got, 1 + random.nextInt(500));
      for (int i = 0; i < count; i++) {
        if (number(got, 4 * i) != next + i) {
          assertThat(number(got, 4 * i)).isEqualTo(next + i);
        }
      }
      next += count;
      if (count == 0) {
        ring.await(20_000_000);
      }
    }
    writer.join();
    assertThat(ring.taken()).isEqualTo(FRAMES).isEqualTo(ring.written());
    assertThat(ring.read(got, 1)).isZero();
  }

  @Test
  void storesWhatThereIsRoomForAndSaysHowMuch() {
    FrameRing ring = new FrameRing(2, 10);
    byte[] block = new byte[2 * 8];
    assertThat(ring.write(block, 0, 8)).isEqualTo(8);
    assertThat(ring.write(block, 0, 8)).isEqualTo(2);
    assertThat(ring.write(block, 0, 8)).isZero();
    assertThat(ring.read(new byte[6], 3)).isEqualTo(3);
    assertThat(ring.write(block, 0, 8)).isEqualTo(3);
    assertThat(ring.written()).isEqualTo(13);
  }

  private static void number(byte[] block, int at, int value) {
    for (int b = 0; b < 4; b++) {
      block[at + b] = (byte) (value >> 8 * b);
    }
  }

  private static int number(byte[] block, int at) {
    return block[at] & 0xFF
        | (block[at + 1] & 0xFF) << 8
        | (block[at + 2] & 0xFF) << 16
        | block[at + 3] << 24;
  }
}

package ringtrue.signal;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import ringtrue.acquisition.Channel;
import ringtrue.acquisition.Recording;
import ringtrue.acquisition.ResponseQuantity;
import ringtrue.acquisition.TapRecording;
import ringtrue.dynamics.Progress;

/** A recording of any length must pass through a bounded part of memory. */
class LongRecordingTest {
  private static final int FS = 96000;
  private static final int EVERY = 5 * FS;
  private static final long FRAMES = 12L * 60 * FS;

  /** Taps every five seconds, made as they are read: 12 minutes would be 1.1 GB as numbers. */
  private static final class Endless implements Recording {
    private int largestRead;

    @Override
    public String name() {
      return "endless";
    }

    @Override
    public double sampleRateHz() {
      return FS;
    }

    @Override
    public int channels() {
      return 2;
    }

    @Override
    public long frames() {
      return FRAMES;
    }

    @Override
    public Cursor from(long frame) {
      return new Cursor() {
        private long next = frame;

        @Override
        public int read(double[][] into, int offset, int frames) {
          largestRead = Math.max(largestRead, frames);
          int n = (int) Math.min(frames, FRAMES - next);
          for (int i = 0; i < n; i++) {
            int after = (int) ((next + i) % EVERY) - FS;
            boolean rings = after >= 0 && after < FS;
            if (into[0] != null) {
              into[0][offset + i] =
                  after >= 0 && after < 30 ? 100 * Math.sin(Math.PI * (after + 0.5) / 30) : 0;
            }
            if (into[1] != null) {
              into[1][offset + i] =
                  rings
                      ? Math.exp(-after * (80.0 / FS)) * Math.sin(2 * Math.PI * 700 / FS * after)
                      : 0;
            }
          }
          next += n;
          return n;
        }

        @Override
        public void close() {
          // nothing is held open
        }
      };
    }
  }

  @Test
  void isReadInBoundedPieces() {
    Endless endless = new Endless();
    TapRecording taps =
        new TapRecording(
            "long",
            "x",
            "",
            List.of(endless),
            Optional.of(new Channel(1, 1, Double.POSITIVE_INFINITY, 1, 0)),
            new Channel(2, 1, Double.POSITIVE_INFINITY, 1, 0),
            ResponseQuantity.ACCELERATION,
            0,
            0);
    AveragedResponse averaged =
        ResponseEstimator.estimate(taps, Processing.AUTOMATIC, Progress.NONE);
    assertThat(averaged.taps()).hasSize(144);
    assertThat(averaged.response().origin().averages()).isEqualTo(144);
    assertThat(endless.largestRead).isLessThanOrEqualTo(EVERY);
    assertThat(averaged.used().blockLengthS()).isLessThan(1);
  }
}

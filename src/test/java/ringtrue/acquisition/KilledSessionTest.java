package ringtrue.acquisition;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * A recording session is killed (SIGKILL) at random moments: every tap whose verdict was announced
 * is there afterwards. {@code -Dringtrue.kills=200} for more of them.
 */
class KilledSessionTest {
  private static final int KILLS = Integer.getInteger("ringtrue.kills", 20);

  @TempDir Path folder;

  @Test
  void everyAnnouncedTapIsThere() throws IOException, InterruptedException {
    Random random = new Random(17);
    int announced = 0;
    int unfinished = 0;
    for (int kill = 0; kill < KILLS; kill++) {
      Path wav = folder.resolve("session-" + kill + ".wav");
      try (Child session = Child.java(Map.of(), Session.class, wav.toString())) {
        // some are killed while they begin, most while taps come
        if (random.nextInt(10) > 0) {
          assertThat(session.says("tap", 60)).as("%s", session.lines()).isTrue();
        }
        long nanos = (long) (random.nextDouble() * 4e8);
        Thread.sleep(nanos / 1_000_000, (int) (nanos % 1_000_000));
        session.process.destroyForcibly();
        assertThat(session.ends(20)).as("%s", session.lines()).isNotZero();
        List<String> taps = session.lines("tap").stream().filter(l -> l.endsWith(".")).toList();
        announced += taps.size();
        if (!taps.isEmpty()) {
          unfinished += check(wav, taps);
        }
      }
    }
    System.out.println(
        KILLS + " kills, " + announced + " taps announced, all there; " + unfinished + " remarks");
    assertThat(announced).isGreaterThan(2 * KILLS);
    assertThat(unfinished).isPositive();
  }

  private static int check(Path wav, List<String> taps) throws IOException {
    WavRecording recording = WavRecording.open(wav);
    TapLog.Content log = TapLog.read(TapLog.beside(wav));
    assertThat(log.taps()).hasSizeGreaterThanOrEqualTo(taps.size());
    for (int i = 0; i < taps.size(); i++) {
      TapLog.Entry tap = log.taps().get(i);
      assertThat(tap.tap() + " " + tap.firstFrame() + " " + tap.verdict() + ".")
          .isEqualTo(taps.get(i));
      double[][] block = new double[2][(int) tap.frames()];
      try (Recording.Cursor cursor = recording.from(tap.firstFrame())) {
        assertThat(cursor.read(block, 0, (int) tap.frames())).isEqualTo((int) tap.frames());
      }
      for (int k = 0; k < tap.frames(); k++) {
        long frame = tap.firstFrame() + k;
        if (block[0][k] != sample(frame, 0) || block[1][k] != sample(frame, 1)) {
          assertThat(block[0][k]).as("frame %d", frame).isEqualTo(sample(frame, 0));
          assertThat(block[1][k]).as("frame %d", frame).isEqualTo(sample(frame, 1));
        }
      }
    }
    Files.delete(wav);
    return recording.remarks().size() + log.remarks().size();
  }

  /** A number of 24 bits that depends on the place. */
  private static double sample(long frame, int channel) {
    long mixed = (frame * 2 + channel) * 0x9E3779B97F4A7C15L;
    return (mixed >> 40) * 0x1p-23;
  }

  /** Records as fast as it can; a tap every few thousand frames. */
  static final class Session {
    private Session() {}

    public static void main(String[] args) throws IOException {
      Path path = Path.of(args[0]);
      double[] frames = new double[2 * 480];
      try (StreamedWav wav = StreamedWav.create(path, 192_000, 2, 24, false);
          TapLog log = TapLog.create(wav, 192_000, TapLog.beside(path), false)) {
        int tap = 0;
        while (wav.frames() < 200_000_000) {
          for (int i = 0; i < 480; i++) {
            frames[2 * i] = sample(wav.frames() + i, 0);
            frames[2 * i + 1] = sample(wav.frames() + i, 1);
          }
          wav.write(frames, 480);
          if (wav.frames() % 4800 == 0) {
            tap++;
            long first = wav.frames() - 4000;
            String verdict = tap % 3 == 0 ? "double hit" : "kept";
            log.append(new TapLog.Entry(tap, first, 4000, verdict, "", Map.of("peakForceN", 3.0)));
            System.out.println("tap " + tap + " " + first + " " + verdict + ".");
          }
        }
      }
    }
  }
}

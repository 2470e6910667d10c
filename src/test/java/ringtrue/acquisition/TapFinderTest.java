package ringtrue.acquisition;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatExceptionOfType;
import static org.assertj.core.api.Assertions.within;

import java.io.IOException;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;
import ringtrue.acquisition.TapFinder.Direction;
import ringtrue.acquisition.TapFinder.Level;
import ringtrue.acquisition.TapFinder.Onset;
import ringtrue.acquisition.TapFinder.Trigger;
import ringtrue.dynamics.Progress;
import ringtrue.units.BadInputException;

class TapFinderTest {
  private static final double FS = 10000;
  private static final Channel FORCE = new Channel(1, 2, 1, 1, 0);

  /**
   * The onset is the first sample at or above the level, here 0.5 of the largest peak of 2 · 0.8.
   */
  @Test
  void onsetIsTheFirstSampleAtOrAboveTheLevel() throws IOException {
    double[] x = new double[4000];
    ramp(x, 1000, 0.1, 0.2, 0.4, 0.8, 0.3);
    ramp(x, 3000, 0.39, 0.41, 0.1);
    List<Onset> found = find(x, 0.5, 0.01);
    assertThat(found).extracting(Onset::frame).containsExactly(1002L, 3001L);
    assertThat(found.get(0).peak()).isEqualTo(1.6);
    assertThat(found.get(1).peak()).isEqualTo(0.82);
  }

  @Test
  void survivesTheEdgesOfItsBuffers() throws IOException {
    double[] x = new double[200_000];
    ramp(x, 65534, 0.1, 0.5, 1, 0.5);
    ramp(x, 131072, 1, 0.5);
    assertThat(find(x, 0.5, 0.01)).extracting(Onset::frame).containsExactly(65535L, 131072L);
  }

  @Test
  void aNoisyEdgeIsOneTap() throws IOException {
    double[] x = new double[4000];
    // Up and down around the level of 0.5, never below half of it.
    ramp(x, 1000, 0.6, 0.45, 0.7, 0.4, 1, 0.48, 0.55, 0.3, 0.52);
    assertThat(find(x, 0.5, 0)).hasSize(1);
    ramp(x, 1009, 0.2, 0.6);
    assertThat(find(x, 0.5, 0)).hasSize(2);
    assertThat(find(x, 0.5, 0.01)).hasSize(1);
  }

  /** What begins within the hold-off does not become a tap when the hold-off ends. */
  @Test
  void aLongBounceIsNoTapOfItsOwn() throws IOException {
    double[] x = new double[4000];
    x[1000] = 1;
    for (int i = 1080; i < 1200; i++) {
      x[i] = 0.9;
    }
    assertThat(find(x, 0.5, 0.01)).extracting(Onset::frame).containsExactly(1000L);
  }

  @Test
  void offsetNoiseAndBothDirections() throws IOException {
    Random random = new Random(4);
    double[] x = new double[60_000];
    for (int i = 0; i < x.length; i++) {
      x[i] = 0.25 + 0.001 * random.nextGaussian();
    }
    for (int at = 5000; at < x.length; at += 10_000) {
      x[at] -= 0.2;
      x[at + 1] -= 0.3;
      x[at + 2] -= 0.1;
    }
    MemoryRecording recording = new MemoryRecording("down", FS, x);
    Level level = level(recording);
    assertThat(level.offsets().get(0)).isCloseTo(0.5, within(1e-4));
    assertThat(level.noise()).isCloseTo(0.002, within(0.0002));
    assertThat(level.direction()).isEqualTo(Direction.DOWN);
    assertThat(level.lowest()).isCloseTo(-0.6, within(0.02));
    assertThat(level.triggerFraction()).isEqualTo(TapFinder.USUAL_FRACTION);
    for (Direction direction : List.of(Direction.DOWN, Direction.EITHER)) {
      assertThat(
              TapFinder.find(
                  List.of(recording),
                  FORCE,
                  level,
                  new Trigger(0.1, direction, 0.01, 0),
                  Progress.NONE))
          .extracting(Onset::frame)
          .containsExactly(5000L, 15000L, 25000L, 35000L, 45000L, 55000L);
    }
    assertThat(
            TapFinder.find(
                List.of(recording),
                FORCE,
                level,
                new Trigger(0.1, Direction.UP, 0.01, 0),
                Progress.NONE))
        .isEmpty();
  }

  /** A response that rings through zero is quiet only once it stays small. */
  @Test
  void aRingingResponseNeedsToBeQuietBeforeTheNextTap() throws IOException {
    double[] x = new double[20_000];
    for (int tap = 0; tap < 2; tap++) {
      for (int i = 0; i < 8000; i++) {
        x[1000 + tap * 10_000 + i] = Math.exp(-i / 1000.0) * Math.sin(2 * Math.PI * 100 / FS * i);
      }
    }
    MemoryRecording recording = new MemoryRecording("ringing", FS, x);
    Level level = level(recording);
    Trigger trigger = new Trigger(0.2, Direction.EITHER, 0, 0.01);
    assertThat(TapFinder.find(List.of(recording), FORCE, level, trigger, Progress.NONE)).hasSize(2);
  }

  @Test
  void eachRecordingHasItsOwnOffset() throws IOException {
    double[] a = new double[2000];
    double[] b = new double[2000];
    java.util.Arrays.fill(b, 0.4);
    ramp(a, 700, 0.5, 1);
    b[900] = 0.9;
    b[901] = 1.4;
    List<Recording> both =
        List.of(new MemoryRecording("a", FS, a), new MemoryRecording("b", FS, b));
    Level level = TapFinder.survey(both, List.of(FORCE), Progress.NONE).levels().get(0);
    assertThat(level.offsets()).containsExactly(0.0, 0.8);
    assertThat(
            TapFinder.find(
                both, FORCE, level, new Trigger(1, Direction.UP, 0.01, 0), Progress.NONE))
        .extracting(Onset::recording, Onset::frame)
        .containsExactly(
            org.assertj.core.groups.Tuple.tuple(0, 700L),
            org.assertj.core.groups.Tuple.tuple(1, 900L));
  }

  @Test
  void mergingKeepsTheFirstOnsetAndTheLargestPeak() {
    List<Onset> onsets =
        List.of(
            new Onset(0, 100, 1), new Onset(0, 150, 3), new Onset(0, 260, 2), new Onset(1, 120, 1));
    assertThat(TapFinder.merge(onsets, 100))
        .containsExactly(new Onset(0, 100, 3), new Onset(0, 260, 2), new Onset(1, 120, 1));
  }

  @Test
  void saysWhatIsMissing() {
    MemoryRecording recording = new MemoryRecording("one.wav", FS, new double[100]);
    assertThatExceptionOfType(BadInputException.class)
        .isThrownBy(
            () ->
                TapFinder.survey(
                    List.of(recording), List.of(new Channel(3, 1, 1, 1, 0)), Progress.NONE))
        .withMessage("one.wav: has 1 channel, channel 3 was asked for");
  }

  private static List<Onset> find(double[] x, double fraction, double holdOffS) throws IOException {
    MemoryRecording recording = new MemoryRecording("test", FS, x);
    Level level = level(recording);
    return TapFinder.find(
        List.of(recording),
        FORCE,
        level,
        new Trigger(fraction * level.peak(), Direction.UP, holdOffS, 0),
        Progress.NONE);
  }

  private static Level level(Recording recording) throws IOException {
    return TapFinder.survey(List.of(recording), List.of(FORCE), Progress.NONE).levels().get(0);
  }

  private static void ramp(double[] x, int at, double... values) {
    System.arraycopy(values, 0, x, at, values.length);
  }
}

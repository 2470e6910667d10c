package ringtrue;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import org.junit.jupiter.api.Test;
import ringtrue.ListeningStudy.Outcome;

/**
 * A part of what {@code src/site/listening.md} shows; {@code fixtures/sound/attempts.txt} says at
 * which attempt each seed draws its cut, so that the test need not search.
 */
class ListeningStudyTest {
  private static final int PART = Integer.getInteger("ringtrue.sounds", 40);

  @Test
  void soundsOfSimulatedCutsAreReadRight() throws IOException {
    List<String> lines =
        Files.readAllLines(Path.of("fixtures", "sound", "attempts.txt")).stream()
            .filter(l -> !l.startsWith("#"))
            .limit(PART)
            .toList();
    List<Outcome> all =
        lines.parallelStream()
            .map(l -> l.split(" "))
            .map(
                l -> SimulatedSounds.of(Long.parseLong(l[0]), Integer.parseInt(l[1])).orElseThrow())
            .map(ListeningStudy::outcome)
            .toList();
    List<Outcome> wrong = all.stream().filter(o -> !o.right()).toList();
    assertThat(wrong.size() / (double) all.size()).as(wrong.toString()).isLessThanOrEqualTo(0.1);
    List<Outcome> chatter =
        all.stream().filter(o -> o.chatters() && Double.isFinite(o.chatterError())).toList();
    assertThat(chatter).isNotEmpty();
    long close = chatter.stream().filter(o -> Math.abs(o.chatterError()) < 0.002).count();
    assertThat(close / (double) chatter.size()).isGreaterThanOrEqualTo(0.9);
  }
}

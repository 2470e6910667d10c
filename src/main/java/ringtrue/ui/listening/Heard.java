package ringtrue.ui.listening;

import java.nio.file.Path;
import java.util.List;
import ringtrue.planning.SoundAdvice;
import ringtrue.signal.HeardCut;
import ringtrue.ui.plot.PlotContent;

/**
 * A sound that was read.
 *
 * @param known what was known of the cut
 * @param sound what it tells
 * @param advice what the lobes have to say to it
 * @param source where it came from
 * @param file where it lies
 * @param lengthS how long the recording is, s
 * @param spectrum its spectrum, to be shown
 * @param gram its level over time, to be shown
 * @param problem what broke it off; empty if nothing did
 */
record Heard(
    Known known,
    HeardCut sound,
    SoundAdvice advice,
    Source source,
    Path file,
    double lengthS,
    PlotContent spectrum,
    PlotContent gram,
    List<String> remarks,
    String problem) {

  /** Where a sound comes from. */
  enum Source {
    INPUT("listened to"),
    RECORDING("recording"),
    SIMULATED("simulated sound, not a real cut");

    private final String words;

    Source(String words) {
      this.words = words;
    }

    String words() {
      return words;
    }
  }

  Heard {
    remarks = List.copyOf(remarks);
  }
}

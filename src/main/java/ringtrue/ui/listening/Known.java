package ringtrue.ui.listening;

import java.util.ArrayList;
import java.util.List;
import ringtrue.dynamics.Progress;
import ringtrue.library.Cut;
import ringtrue.library.HeardCuts;
import ringtrue.signal.CutSoundReader;
import ringtrue.signal.HeardStructure;
import ringtrue.signal.StatedCut;

/**
 * What is known of a cut before it is heard.
 *
 * @param cut the cut as it is stated to have been run
 * @param stated speed and teeth
 * @param reader reads its sound
 * @param modes natural frequencies with their names
 * @param topHz highest frequency that is shown, Hz
 * @param remarks what was assumed
 */
public record Known(
    Cut cut,
    StatedCut stated,
    CutSoundReader reader,
    List<Named> modes,
    double topHz,
    List<String> remarks) {

  private static final double LEAST_TOP_HZ = 3000;
  private static final double MOST_TOP_HZ = 10_000;
  private static final double ROUND_HZ = 500;
  private static final int TEETH_SHOWN = 5;
  private static final double ABOVE_MODES = 1.3;

  /**
   * A frequency with its name.
   *
   * @param name like {@code "tool x"}
   * @param hz frequency, Hz
   */
  public record Named(String name, double hz) {}

  public Known {
    modes = List.copyOf(modes);
    remarks = List.copyOf(remarks);
  }

  /**
   * Gathers it; away from the event thread.
   *
   * @param named modes as they were measured; where there are none, those of the cut are taken
   */
  public static Known of(Cut cut, List<Named> named, Progress progress) {
    List<String> remarks = new ArrayList<>(cut.remarks());
    StatedCut stated = HeardCuts.stated(cut.process());
    HeardStructure structure = HeardCuts.structure(cut.process(), remarks, progress);
    List<Named> modes =
        named.isEmpty()
            ? structure.modesHz().stream().map(hz -> new Named("mode", hz)).toList()
            : named;
    return new Known(
        cut, stated, new CutSoundReader(stated, structure), modes, top(stated, modes), remarks);
  }

  /** Five times tooth passing and all modes, as far as that makes sense. */
  static double top(StatedCut stated, List<Named> modes) {
    double wanted = TEETH_SHOWN * stated.toothOrder() * stated.spindleHz();
    for (Named mode : modes) {
      wanted = Math.max(wanted, ABOVE_MODES * mode.hz());
    }
    double round = ROUND_HZ * Math.ceil(wanted / ROUND_HZ);
    return Math.max(LEAST_TOP_HZ, Math.min(MOST_TOP_HZ, round));
  }
}

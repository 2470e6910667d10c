package ringtrue.ui.lobes;

import java.util.List;

/** Which remarks about a map say how it was computed, rather than what to mind when cutting. */
final class MapRemark {
  private static final List<String> NUMERICAL =
      List.of(
          "nodes",
          "averaged directional factors",
          "stable stretches narrower",
          "were stepped through",
          "growth is not given",
          "chatter was looked for",
          "searched to",
          "by simulation in time",
          "lower residual",
          "outside their usable bands");

  private MapRemark() {}

  /** Whether a remark is about the computing. */
  static boolean numerical(String remark) {
    return NUMERICAL.stream().anyMatch(remark::contains);
  }

  /** Whether a remark says what the headline says already: that a direction counts as rigid. */
  static boolean rigid(String remark) {
    return remark.contains("is taken as rigid");
  }
}

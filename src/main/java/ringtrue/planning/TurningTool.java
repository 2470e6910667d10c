package ringtrue.planning;

/**
 * A turning tool as far as limits need it. What is not known is NaN and is then not judged.
 *
 * @param diameterM diameter of a round bar, m
 * @param overhangM how far it stands out of its holder, m
 * @param edgeRadiusM radius of the cutting edge, m
 */
public record TurningTool(double diameterM, double overhangM, double edgeRadiusM) {

  /** Nothing is known of it. */
  public static final TurningTool UNKNOWN = new TurningTool(Double.NaN, Double.NaN, Double.NaN);

  public TurningTool {
    if (diameterM <= 0 || overhangM <= 0 || edgeRadiusM <= 0) {
      throw new IllegalArgumentException("diameter, overhang and edge radius must be positive");
    }
  }
}

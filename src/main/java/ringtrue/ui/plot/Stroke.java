package ringtrue.ui.plot;

import java.awt.BasicStroke;

/** How a line is drawn, told apart without colours. */
public enum Stroke {
  SOLID,
  DASHED,
  DOTTED,
  /** No line, marks only. */
  NONE;

  /**
   * The line to draw with.
   *
   * @param width thickness, in pixels
   */
  java.awt.Stroke of(double width) {
    float w = (float) width;
    return switch (this) {
      case SOLID, NONE -> new BasicStroke(w, BasicStroke.CAP_ROUND, BasicStroke.JOIN_BEVEL);
      case DASHED ->
          new BasicStroke(
              w, BasicStroke.CAP_BUTT, BasicStroke.JOIN_BEVEL, 1, new float[] {5 * w, 3 * w}, 0);
      case DOTTED ->
          new BasicStroke(
              w, BasicStroke.CAP_ROUND, BasicStroke.JOIN_BEVEL, 1, new float[] {0.1f, 2.6f * w}, 0);
    };
  }
}

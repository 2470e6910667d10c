package ringtrue.ui.plot;

import java.awt.BasicStroke;

/**
 * Lines that fall on whole pixels of the screen.
 *
 * @param unit size of things against those at a font of 12
 * @param fine pixels of the screen for each unit of the surface
 */
record Pen(double unit, double fine) {
  private int pixels() {
    return (int) Math.max(1, Math.round(unit * fine));
  }

  /** A thin line of whole pixels. */
  BasicStroke thin() {
    return new BasicStroke((float) (pixels() / fine));
  }

  /** The nearest place where a thin line is sharp. */
  double sharp(double at) {
    double pixel = at * fine;
    return (pixels() % 2 == 1 ? Math.floor(pixel) + 0.5 : Math.round(pixel)) / fine;
  }
}

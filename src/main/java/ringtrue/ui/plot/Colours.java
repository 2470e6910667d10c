package ringtrue.ui.plot;

import java.awt.Color;
import javax.swing.UIManager;

/**
 * Ground and lines of a plot.
 *
 * @param dark whether they suit a dark look
 * @param around ground around the frame
 * @param inside ground inside the frame
 * @param grid lines at ticks
 * @param faint lines at minor ticks
 * @param frame the frame
 * @param text words and numbers
 * @param quiet words that stand back
 */
record Colours(
    boolean dark,
    Color around,
    Color inside,
    Color grid,
    Color faint,
    Color frame,
    Color text,
    Color quiet) {
  private static final Color WHITE = Color.WHITE;

  /** For pictures that leave the window. */
  static Colours paper() {
    return of(false, WHITE);
  }

  /** For the look that is on now. */
  static Colours now() {
    Color panel = UIManager.getColor("Panel.background");
    boolean dark = Ink.isDarkNow();
    return of(dark, panel != null ? panel : dark ? new Color(0x3C3F41) : WHITE);
  }

  private static Colours of(boolean dark, Color around) {
    return dark
        ? new Colours(
            true,
            around,
            new Color(0x1F2224),
            new Color(0x3B4044),
            new Color(0x2B2F32),
            new Color(0x8A9096),
            Ink.TEXT.color(true),
            Ink.QUIET.color(true))
        : new Colours(
            false,
            around,
            WHITE,
            new Color(0xDADDE0),
            new Color(0xEFF1F2),
            new Color(0x6E7379),
            Ink.TEXT.color(false),
            new Color(0x5A6067));
  }
}

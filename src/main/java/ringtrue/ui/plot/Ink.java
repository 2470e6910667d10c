package ringtrue.ui.plot;

import com.formdev.flatlaf.FlatLaf;
import java.awt.Color;
import javax.swing.UIManager;

/**
 * What a colour is for. The tones are chosen after the colour-blind safe set of Okabe and Ito, made
 * darker on white and lighter on black until lines and small text stand out.
 *
 * @see <a href="https://jfly.uni-koeln.de/color/">Okabe and Ito, Color universal design</a>
 */
public enum Ink {
  /** The first of several curves: blue. */
  FIRST(0x0072B2, 0x5CB8EE),
  /** The second: vermilion. */
  SECOND(0xC75300, 0xFF8B4D),
  /** The third: bluish green. */
  THIRD(0x007F5C, 0x3FCFA4),
  /** The fourth: reddish purple. */
  FOURTH(0xA8487F, 0xE8A0C9),
  /** The fifth: ochre. */
  FIFTH(0x946600, 0xEBC04A),
  /** What is well. */
  GOOD(0x00775A, 0x45CDA5),
  /** What is not. */
  BAD(0xB8380A, 0xFF8560),
  /** What wants a second look. */
  CAUTION(0x946600, 0xF0C24E),
  /** What is there for comparison only. */
  QUIET(0x6E7379, 0x9DA3AA),
  /** As dark, or as light, as text. */
  TEXT(0x202428, 0xE4E6E8),
  /** What can be taken hold of. */
  ACCENT(0x6A2C91, 0xD3B2F5);

  private final Color onLight;
  private final Color onDark;

  Ink(int onLight, int onDark) {
    this.onLight = new Color(onLight);
    this.onDark = new Color(onDark);
  }

  /** The tone on a light or on a dark ground. */
  public Color color(boolean dark) {
    return dark ? onDark : onLight;
  }

  /** The tone in the look that is on now. */
  public Color color() {
    return color(isDarkNow());
  }

  /** Whether the look that is on now is a dark one. */
  public static boolean isDarkNow() {
    if (UIManager.getLookAndFeel() instanceof FlatLaf look) {
      return look.isDark();
    }
    Color ground = UIManager.getColor("Panel.background");
    return ground != null && ground.getRed() + ground.getGreen() + ground.getBlue() < 384;
  }
}

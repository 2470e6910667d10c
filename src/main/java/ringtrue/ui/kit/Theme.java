package ringtrue.ui.kit;

import com.formdev.flatlaf.FlatDarkLaf;
import com.formdev.flatlaf.FlatLaf;
import com.formdev.flatlaf.FlatLightLaf;
import java.awt.Color;
import java.util.Map;
import ringtrue.ui.desk.Settings;

/** How the window looks: light or dark, and how large. */
public final class Theme {
  private Theme() {}

  /**
   * Sets it up before the first component is made.
   *
   * @param settings {@code theme} light or dark; {@code scale} percent, 0 for the system's own
   */
  public static void prepare(Settings settings) {
    double percent = settings.number("scale", 0);
    if (percent >= 100 && percent <= 250 && System.getProperty("flatlaf.uiScale") == null) {
      System.setProperty("flatlaf.uiScale", String.valueOf(percent / 100));
    }
    apply(settings.text("theme", "light").equals("dark"));
  }

  /** Light or dark, at once for windows that are open. */
  public static void apply(boolean dark) {
    FlatLaf.setGlobalExtraDefaults(
        Map.of(
            "@accentColor", dark ? "#56b4e9" : "#0072b2",
            "Component.focusWidth", "1",
            "Component.arc", "6",
            "Button.arc", "6",
            "ScrollBar.width", "12"));
    if (dark) {
      FlatDarkLaf.setup();
    } else {
      FlatLightLaf.setup();
    }
    FlatLaf.updateUI();
  }

  /** Whether the look is dark. */
  public static boolean dark() {
    return FlatLaf.isLafDark();
  }

  /** Colour of what is good, readable on the look's background; never without a sign or word. */
  public static Color good() {
    return dark() ? new Color(0x4f, 0xc9, 0x9a) : new Color(0x00, 0x7a, 0x58);
  }

  /** Colour of what is bad. */
  public static Color bad() {
    return dark() ? new Color(0xf0, 0x90, 0x50) : new Color(0xb8, 0x4a, 0x00);
  }

  /** Colour of what wants care. */
  public static Color caution() {
    return dark() ? new Color(0xf0, 0xd0, 0x50) : new Color(0x8a, 0x63, 0x00);
  }
}

package ringtrue.ui.kit;

import com.formdev.flatlaf.FlatDarkLaf;
import com.formdev.flatlaf.FlatLaf;
import com.formdev.flatlaf.FlatLightLaf;
import com.formdev.flatlaf.util.UIScale;
import java.awt.Color;
import java.awt.Toolkit;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import ringtrue.ui.desk.Settings;

/** How the window looks: light or dark, and how large. */
public final class Theme {
  private Theme() {}

  /**
   * Sets it up before the first component is made.
   *
   * @param settings {@code theme} light, dark or system; {@code scale} percent of the system's own
   *     size
   */
  public static void prepare(Settings settings) {
    apply(wanted(settings));
    scale((int) settings.number("scale", 100));
  }

  /** Whether dark is wanted. */
  public static boolean wanted(Settings settings) {
    String said = settings.text("theme", "light");
    return said.equals("system") ? systemDark().orElse(false) : said.equals("dark");
  }

  /** Whether the system's own look is dark, where it tells. */
  public static Optional<Boolean> systemDark() {
    return Optional.ofNullable(
            Toolkit.getDefaultToolkit().getDesktopProperty("gnome.Net/ThemeName"))
        .map(name -> name.toString().toLowerCase(Locale.ROOT).contains("dark"));
  }

  /**
   * Sets the size of everything, at once for windows that are open.
   *
   * @param percent of the system's own size, 100 to 250; others are held to that range
   */
  public static void scale(int percent) {
    if (!scaled(percent)) {
      UIScale.setZoomFactor(factor(percent));
      FlatLaf.updateUI();
    }
  }

  /**
   * Changes both for windows that are open, in short pieces of the event thread's time.
   *
   * @param dark whether it is to be dark
   * @param percent of the system's own size
   * @param then run when what is seen has changed; not if nothing has to
   */
  public static void change(boolean dark, int percent, Runnable then) {
    if (scaled(percent) && dark == dark()) {
      return;
    }
    UIScale.setZoomFactor(factor(percent));
    if (dark != dark()) {
      look(dark);
    }
    Relook.begin(then);
  }

  /** Whether everything has that size. */
  private static boolean scaled(int percent) {
    return UIScale.getZoomFactor() == factor(percent);
  }

  private static float factor(int percent) {
    return Math.max(100, Math.min(250, percent)) / 100f;
  }

  /** Colour of words on the accent colour. */
  public static Color onAccent() {
    return dark() ? new Color(0x0b, 0x1d, 0x29) : Color.WHITE;
  }

  /** Light or dark, at once for windows that are open. */
  public static void apply(boolean dark) {
    look(dark);
    FlatLaf.updateUI();
  }

  private static void look(boolean dark) {
    FlatLaf.setGlobalExtraDefaults(
        Map.of(
            "@accentColor", dark ? "#56b4e9" : "#0072b2",
            "Component.focusWidth", "1",
            "Component.arc", "6",
            "Button.arc", "6",
            "ScrollBar.width", "12",
            "TextComponent.selectAllOnFocusPolicy", "always"));
    if (dark) {
      FlatDarkLaf.setup();
    } else {
      FlatLightLaf.setup();
    }
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

package ringtrue.ui.help;

import java.awt.event.InputEvent;
import java.awt.event.KeyEvent;
import java.util.List;
import java.util.function.Function;
import javax.swing.KeyStroke;
import ringtrue.ui.desk.Act;

/** Pages that are made while the program runs: keys, about, licences. */
final class HelpPages {
  private HelpPages() {}

  /**
   * All keys: of the menu, and of charts.
   *
   * @param of what is written behind an act, as the stage that it belongs to; may be empty
   */
  static String keys(List<Act> acts, Function<Act, String> of) {
    StringBuilder html = new StringBuilder("<h1>All keys</h1>\n");
    html.append("<p>Alt and an underlined letter opens a menu or presses a button; Tab and")
        .append(" Shift+Tab go from one part to the next, Space presses it.</p>\n");
    for (Act.Group group : Act.Group.values()) {
      List<Act> its = acts.stream().filter(a -> a.group() == group && a.keys() != null).toList();
      if (its.isEmpty()) {
        continue;
      }
      html.append("<h2><a name=\"keys-")
          .append(group.title().toLowerCase(java.util.Locale.ROOT))
          .append("\">")
          .append(group.title())
          .append("</a></h2>\n<table border=\"0\" cellpadding=\"2\">\n");
      its.forEach(a -> row(html, words(a.keys()), a.words() + of.apply(a)));
      html.append("</table>\n");
    }
    html.append(
        "<h2><a name=\"keys-more\">Elsewhere</a></h2>\n<table border=\"0\" cellpadding=\"2\">\n");
    row(html, "Escape", "stops the work that is shown at the bottom; in a field: as it was");
    row(html, "Enter", "in a field: what is written counts");
    row(html, "Ctrl+Shift+Z", "does again what was undone, like Ctrl+Y");
    html.append("</table>\n<p>Keys in charts: see the page <a href=\"plots\">Charts</a>.</p>\n");
    return html.toString();
  }

  private static void row(StringBuilder html, String keys, String what) {
    html.append("<tr><td><b>")
        .append(HelpBook.escaped(keys))
        .append("</b></td><td>")
        .append(HelpBook.escaped(what))
        .append("</td></tr>\n");
  }

  /** Keys for people, like {@code Ctrl+Shift+K}. */
  static String words(KeyStroke keys) {
    StringBuilder words = new StringBuilder();
    int held = keys.getModifiers();
    if ((held & InputEvent.CTRL_DOWN_MASK) != 0) {
      words.append("Ctrl+");
    }
    if ((held & InputEvent.ALT_DOWN_MASK) != 0) {
      words.append("Alt+");
    }
    if ((held & InputEvent.SHIFT_DOWN_MASK) != 0) {
      words.append("Shift+");
    }
    return words
        .append(
            switch (keys.getKeyCode()) {
              case KeyEvent.VK_COMMA -> ",";
              case KeyEvent.VK_EQUALS -> "=";
              case KeyEvent.VK_MINUS -> "-";
              default -> KeyEvent.getKeyText(keys.getKeyCode());
            })
        .toString();
  }

  /** What this program is. */
  static String about(String version) {
    return """
        <h1>About Ringtrue</h1>
        <p>From the hammer tap to a cut that stays quiet: frequency response, modes, stability lobes, cut plan and \
        listening.</p>
        <table border="0" cellpadding="2">
        <tr><td><b>Version</b></td><td>%s</td></tr>
        <tr><td><b>Java</b></td><td>%s, %s</td></tr>
        <tr><td><b>System</b></td><td>%s %s, %s</td></tr>
        <tr><td><b>Licence</b></td><td>Apache License 2.0: <a href="licence">its text</a>; \
        <a href="parts">licences of the parts</a></td></tr>
        </table>
        <h2><a name="estimates">Estimates, not permission</a></h2>
        <p>Results are estimates: measured at standstill, at one point, in one posture and one clamping, and computed \
        with cutting forces that may be off by tens of per cent. They do not replace the limits marked on machine, \
        spindle, holder and tool. <b>Local codes and licensed practice come first.</b></p>
        <h2><a name="about-cautions">Cautions</a></h2>
        <ul>
        <li>Tap only with the spindle stopped and locked out, edges covered, eyes protected. Carbide is brittle: its \
        splinters fly.</li>
        <li>Take sensor, cable, wax and hammer off before any start of the spindle, and check draw bar, collet nut and \
        vise, which taps can loosen.</li>
        <li>A spindle that stalls or faults must stop the feed at once. Have that wiring checked by a qualified \
        person.</li>
        <li>Keep guards and enclosure closed while a cut is tried.</li>
        </ul>
        """
        .formatted(
            HelpBook.escaped(version),
            HelpBook.escaped(System.getProperty("java.version", "")),
            HelpBook.escaped(System.getProperty("java.vendor", "")),
            HelpBook.escaped(System.getProperty("os.name", "")),
            HelpBook.escaped(System.getProperty("os.version", "")),
            HelpBook.escaped(System.getProperty("os.arch", "")));
  }

  /** A text as it is. */
  static String text(String title, String text) {
    return "<h1>" + title + "</h1>\n<pre>" + HelpBook.escaped(text) + "</pre>\n";
  }
}

package ringtrue.ui.kit;

import com.formdev.flatlaf.util.UIScale;
import java.awt.Font;
import java.util.List;
import java.util.Map;
import java.util.WeakHashMap;
import javax.swing.JComponent;
import javax.swing.UIManager;

/**
 * Letters that differ from the look's own, as of a heading. They are derived anew at every change
 * of look or size, also for what is not seen at that moment. On the event thread only.
 */
public final class Letters {
  private static final Map<JComponent, Letters> ALL = new WeakHashMap<>();

  static {
    UIManager.addPropertyChangeListener(
        e -> {
          if ("lookAndFeel".equals(e.getPropertyName())) {
            again();
          }
        });
    UIScale.addPropertyChangeListener(e -> again());
  }

  private final float larger;
  private final int style;

  private Letters(float larger, int style) {
    this.larger = larger;
    this.style = style;
  }

  /** Bold letters of the usual size. */
  public static <C extends JComponent> C bold(C of) {
    return bold(of, 1);
  }

  /**
   * Bold letters of another size.
   *
   * @param larger than a label's, by this factor
   */
  public static <C extends JComponent> C bold(C of, double larger) {
    return set(of, larger, Font.BOLD);
  }

  /**
   * Plain letters of another size.
   *
   * @param larger than a label's, by this factor
   */
  public static <C extends JComponent> C plain(C of, double larger) {
    return set(of, larger, Font.PLAIN);
  }

  private static <C extends JComponent> C set(C of, double larger, int style) {
    Letters letters = new Letters((float) larger, style);
    ALL.put(of, letters);
    letters.give(of);
    return of;
  }

  private void give(JComponent to) {
    Font label = UIManager.getFont("Label.font");
    Font wanted = label.deriveFont(style, label.getSize2D() * larger);
    if (!wanted.equals(to.getFont())) {
      to.setFont(wanted);
    }
  }

  private static void again() {
    for (JComponent each : List.copyOf(ALL.keySet())) {
      Letters letters = ALL.get(each);
      if (letters != null) {
        letters.give(each);
      }
    }
  }
}

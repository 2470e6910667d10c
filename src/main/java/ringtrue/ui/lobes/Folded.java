package ringtrue.ui.lobes;

import java.awt.Rectangle;
import java.util.function.Consumer;
import javax.swing.JPanel;
import javax.swing.JToggleButton;
import javax.swing.SwingConstants;
import javax.swing.SwingUtilities;
import ringtrue.ui.kit.MigLayout;
import ringtrue.ui.kit.Wrapped;

/** Text under a heading that opens and closes it. */
final class Folded extends JPanel {
  private final JToggleButton head = new JToggleButton();
  private final Wrapped text = new Wrapped("");
  private final String title;

  /**
   * @param name of the heading, kebab-case; the text's ends with {@code -text}
   * @param turned told when it is opened or closed
   */
  Folded(String name, String title, Consumer<Boolean> turned) {
    super(new MigLayout("ins 0, fillx, hidemode 3, wrap 1, gap 0 2", "[grow,fill]"));
    this.title = title;
    setOpaque(false);
    head.setName(name);
    head.setHorizontalAlignment(SwingConstants.LEADING);
    head.putClientProperty("JButton.buttonType", "borderless");
    head.addActionListener(
        e -> {
          update();
          turned.accept(head.isSelected());
          if (head.isSelected()) {
            SwingUtilities.invokeLater(
                () -> scrollRectToVisible(new Rectangle(getSize()))); // once it is laid out
          }
        });
    text.setName(name + "-text");
    add(head, "growx, wmin 0");
    add(text, "growx, wmin 0");
    update();
  }

  /** Opens or closes it. */
  void open(boolean wanted) {
    if (head.isSelected() != wanted) {
      head.setSelected(wanted);
      update();
    }
  }

  /** Shows other words; nothing at all of it while there are none. */
  void say(String words) {
    if (!text.getText().equals(words)) {
      text.setText(words);
    }
    setVisible(!words.isEmpty());
  }

  private void update() {
    boolean open = head.isSelected();
    head.setText((open ? "\u25be " : "\u25b8 ") + title);
    head.getAccessibleContext()
        .setAccessibleName(title + (open ? ", open, space folds it" : ", folded, space opens it"));
    text.setVisible(open);
    revalidate();
  }
}

package ringtrue.ui.cut;

import javax.swing.JComponent;
import javax.swing.JPanel;
import javax.swing.JToggleButton;
import javax.swing.SwingConstants;
import ringtrue.ui.desk.Desk;
import ringtrue.ui.kit.Letters;
import ringtrue.ui.kit.MigLayout;

/** A group under a heading that can be folded away; what is folded is remembered. */
final class Fold extends JPanel {
  private final JToggleButton head = new JToggleButton();
  private final JComponent content;
  private final String title;
  private String brief = "";

  /**
   * @param name of the heading, kebab-case
   * @param open whether it is open the first time
   */
  Fold(Desk desk, String name, String title, boolean open, JComponent content) {
    super(new MigLayout("ins 0, fillx, hidemode 3, gap 0 2", "[grow,fill]", ""));
    this.content = content;
    this.title = title;
    setOpaque(false);
    head.setName(name);
    head.setSelected(desk.settings().on("open-" + name, open));
    head.setHorizontalAlignment(SwingConstants.LEADING);
    head.putClientProperty("JButton.buttonType", "borderless");
    Letters.bold(head, 1.1);
    head.addActionListener(
        e -> {
          desk.settings(s -> s.with("open-" + name, head.isSelected()));
          update();
        });
    add(head, "growx, wmin 0, wrap");
    add(content, "growx, wmin 0");
    update();
  }

  /** What stands beside the heading while it is folded. */
  void summary(String words) {
    if (!words.equals(brief)) {
      brief = words;
      update();
    }
  }

  /** Opens it. */
  void open() {
    if (!head.isSelected()) {
      head.doClick(0);
    }
  }

  private void update() {
    boolean open = head.isSelected();
    head.setText((open ? "▾ " : "▸ ") + title + (open || brief.isEmpty() ? "" : ": " + brief));
    head.getAccessibleContext()
        .setAccessibleName(title + (open ? ", open, space folds it" : ", folded, space opens it"));
    content.setVisible(open);
    revalidate();
  }
}

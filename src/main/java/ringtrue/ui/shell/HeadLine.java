package ringtrue.ui.shell;

import java.awt.Font;
import javax.swing.ButtonGroup;
import javax.swing.JComponent;
import javax.swing.JLabel;
import javax.swing.JPanel;
import javax.swing.JToggleButton;
import javax.swing.UIManager;
import ringtrue.report.LengthUnit;
import ringtrue.ui.desk.Desk;
import ringtrue.ui.kit.MigLayout;
import ringtrue.ui.kit.Sign;

/** The line at the top: which set-up this is, whether it is simulated, and the units. */
final class HeadLine extends JPanel {
  private final Desk desk;
  private final JLabel title = new JLabel();
  private final JLabel simulated = new JLabel("Simulated: these are not your machine's numbers");
  private final JToggleButton millimetres = new JToggleButton("mm");
  private final JToggleButton inches = new JToggleButton("in");

  HeadLine(Desk desk) {
    super(new MigLayout("ins 8 14 6 14, fillx, hidemode 3", "[shrinkprio 200][grow][]0[]", "[]"));
    this.desk = desk;
    title.setName("head-title");
    simulated.setName("head-simulated");
    simulated.setIcon(Sign.CAUTION);
    ButtonGroup units = new ButtonGroup();
    unit(millimetres, units, "head-mm", "millimetres", LengthUnit.MILLIMETRE);
    unit(inches, units, "head-inch", "inches", LengthUnit.INCH);
    add(title, "cell 0 0, wmin 60");
    add(simulated, "cell 1 0, gapleft 20, wmin 0");
    add(millimetres, "cell 2 0");
    add(inches, "cell 3 0");
    desk.onChange(this::refresh);
    updateUI();
    refresh();
  }

  private void refresh() {
    boolean open = desk.folder().isPresent();
    show(title, open);
    show(simulated, open && desk.job().simulated());
    if (open && !desk.job().title().equals(title.getText())) {
      title.setText(desk.job().title());
      title.setToolTipText(desk.job().title());
    }
    JToggleButton now = desk.unit() == LengthUnit.INCH ? inches : millimetres;
    if (!now.isSelected()) {
      now.setSelected(true);
    }
  }

  private void unit(
      JToggleButton button, ButtonGroup group, String name, String words, LengthUnit unit) {
    button.setName(name);
    button.setToolTipText("Lengths in " + words + " (Ctrl+U changes)");
    button.getAccessibleContext().setAccessibleName("Lengths in " + words);
    button.addActionListener(e -> desk.settings(s -> s.withUnit(unit)));
    group.add(button);
  }

  private static void show(JComponent part, boolean seen) {
    if (part.isVisible() != seen) {
      part.setVisible(seen);
    }
  }

  @Override
  public void updateUI() {
    super.updateUI();
    if (title != null) {
      Font font = UIManager.getFont("Label.font");
      title.setFont(font.deriveFont(Font.BOLD, font.getSize2D() * 1.25f));
    }
  }
}

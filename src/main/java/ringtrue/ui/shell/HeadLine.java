package ringtrue.ui.shell;

import java.awt.Font;
import javax.swing.JButton;
import javax.swing.JComponent;
import javax.swing.JLabel;
import javax.swing.JPanel;
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
  private final JButton unit = new JButton();

  HeadLine(Desk desk) {
    super(new MigLayout("ins 8 14 6 14, fillx, hidemode 3", "[shrinkprio 200][grow][]", "[]"));
    this.desk = desk;
    title.setName("head-title");
    simulated.setName("head-simulated");
    simulated.setIcon(Sign.CAUTION);
    unit.setName("head-unit");
    unit.addActionListener(
        e ->
            desk.settings(
                s ->
                    s.withUnit(
                        s.unit() == LengthUnit.INCH ? LengthUnit.MILLIMETRE : LengthUnit.INCH)));
    add(title, "cell 0 0, wmin 60");
    add(simulated, "cell 1 0, gapleft 20, wmin 0");
    add(unit, "cell 2 0");
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
    boolean inch = desk.unit() == LengthUnit.INCH;
    String words = inch ? "inches" : "millimetres";
    if (!words.equals(unit.getText())) {
      unit.setText(words);
      unit.setToolTipText("Lengths in " + words + "; press to change (Ctrl+U)");
      unit.getAccessibleContext().setAccessibleName("Unit of lengths: " + words);
    }
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

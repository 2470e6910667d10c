package ringtrue.ui.tapping;

import java.awt.Font;
import javax.swing.JButton;
import javax.swing.JLabel;
import javax.swing.JPanel;
import javax.swing.UIManager;
import ringtrue.report.TapGuide;
import ringtrue.ui.kit.MigLayout;
import ringtrue.ui.kit.Notice;
import ringtrue.ui.kit.Sign;
import ringtrue.ui.kit.Wrapped;

/** What must be so before the first tap, in place of the live view until it was said to be so. */
final class CautionsPanel extends JPanel {
  private static final float LARGE = 1.35f;

  private final JLabel title = new JLabel("Before the first tap");
  private final Notice simulated = new Notice("taps-cautions-simulated");
  private final JButton button = new JButton("All of that is so  (Enter)");

  CautionsPanel(Runnable confirmed) {
    super(
        new MigLayout(
            "ins 16 24 16 24, wrap 2, fillx, gapy 12, hidemode 3", "[]12[grow,fill]", "[top]"));
    setName("taps-cautions");
    setOpaque(false);
    title.setIcon(Sign.CAUTION);
    add(title, "span 2");
    add(simulated, "span 2, growx, wmin 0");
    for (String caution : TapGuide.CAUTIONS) {
      Wrapped words = new Wrapped(caution);
      words.letters(LARGE, false);
      words.getAccessibleContext().setAccessibleName(caution);
      add(new JLabel(Sign.CAUTION), "gaptop 4");
      JPanel holder = new JPanel(new MigLayout("ins 0, fillx", "[grow,fill]"));
      holder.setOpaque(false);
      holder.add(words, "growx, wmin 0");
      add(holder, "growx, wmin 0");
    }
    button.setName("taps-cautions-so");
    button.addActionListener(e -> confirmed.run());
    button.setRequestFocusEnabled(false);
    add(button, "span 2, gaptop 8, h 48lp!, wmin 260lp");
    updateUI();
  }

  void simulated(boolean is) {
    if (is) {
      simulated.say(
          Sign.NOTE,
          "The simulated machine is chosen: nothing moves and nobody strikes. At a real one all of"
              + " this must be so:");
    } else {
      simulated.clear();
    }
  }

  @Override
  public void updateUI() {
    super.updateUI();
    if (button != null) {
      Font font = UIManager.getFont("Label.font");
      title.setFont(font.deriveFont(Font.BOLD, font.getSize2D() * 1.7f));
      button.setFont(font.deriveFont(Font.BOLD, font.getSize2D() * LARGE));
    }
  }
}

package ringtrue.ui.simulation;

import java.util.List;
import javax.swing.ButtonGroup;
import javax.swing.JComponent;
import javax.swing.JPanel;
import javax.swing.JToggleButton;
import javax.swing.UIManager;
import ringtrue.ui.desk.Desk;
import ringtrue.ui.kit.MigLayout;

/** Two pairs of plots: side by side where there is room, otherwise the one that is chosen. */
final class PlotPairs extends JPanel {
  private static final String CHOSEN = "simulation-plots";

  /** Width and height, in letters, from which all are shown. */
  private static final int WIDE = 75;

  private static final int HIGH = 28;

  private final JPanel choice = new JPanel(new MigLayout("ins 0, gap 6 0"));
  private final JToggleButton first;
  private final JToggleButton second;
  private final List<JComponent> pairs;
  private boolean roomy;

  /**
   * @param desk remembers which pair was chosen
   * @param firstWords what the first pair is called; its first letter is its key with Alt
   * @param secondWords what the second pair is called
   */
  PlotPairs(
      Desk desk,
      String firstWords,
      List<? extends JComponent> firstPair,
      String secondWords,
      List<? extends JComponent> secondPair) {
    super(new MigLayout("ins 0, fill, hidemode 3, gap 6 4", "[grow,fill]", "[][grow,fill]"));
    setOpaque(false);
    choice.setOpaque(false);
    pairs = List.of(pair(firstPair), pair(secondPair));
    first = button(firstWords, "simulation-first-plots");
    second = button(secondWords, "simulation-second-plots");
    ButtonGroup group = new ButtonGroup();
    group.add(first);
    group.add(second);
    boolean other = desk.settings().text(CHOSEN, "first").equals("second");
    (other ? second : first).setSelected(true);
    first.addActionListener(e -> chosen(desk, "first"));
    second.addActionListener(e -> chosen(desk, "second"));
    choice.add(first);
    choice.add(second);
    add(choice, "span, wrap");
    pairs.forEach(p -> add(p, "grow, wmin 0, hmin 0, sg"));
    arrange();
  }

  private static JToggleButton button(String words, String name) {
    JToggleButton button = new JToggleButton(words);
    button.setName(name);
    button.setMnemonic(words.charAt(0));
    button.setToolTipText("Show these plots (Alt+" + words.charAt(0) + ")");
    return button;
  }

  private static JPanel pair(List<? extends JComponent> plots) {
    JPanel panel =
        new JPanel(new MigLayout("ins 0, fill, wrap 1, gap 0 4", "[grow,fill]", "[grow,fill]"));
    panel.setOpaque(false);
    plots.forEach(p -> panel.add(p, "grow, wmin 0, hmin 0, sg"));
    return panel;
  }

  private void chosen(Desk desk, String which) {
    desk.settings(s -> s.with(CHOSEN, which));
    arrange();
  }

  private void arrange() {
    choice.setVisible(!roomy);
    pairs.get(0).setVisible(roomy || first.isSelected());
    pairs.get(1).setVisible(roomy || second.isSelected());
    revalidate();
  }

  @Override
  public void doLayout() {
    int letter = UIManager.getFont("Label.font").getSize();
    boolean now = getWidth() >= WIDE * letter && getHeight() >= HIGH * letter;
    if (now != roomy) {
      roomy = now;
      arrange();
    }
    super.doLayout();
  }
}

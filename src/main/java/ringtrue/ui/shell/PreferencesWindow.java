package ringtrue.ui.shell;

import java.awt.Font;
import java.awt.Insets;
import java.awt.Point;
import java.awt.Rectangle;
import java.awt.Toolkit;
import java.awt.event.ActionEvent;
import java.util.List;
import javax.swing.AbstractAction;
import javax.swing.BorderFactory;
import javax.swing.ButtonGroup;
import javax.swing.JButton;
import javax.swing.JCheckBox;
import javax.swing.JComboBox;
import javax.swing.JComponent;
import javax.swing.JDialog;
import javax.swing.JFrame;
import javax.swing.JLabel;
import javax.swing.JPanel;
import javax.swing.JRadioButton;
import javax.swing.JScrollPane;
import javax.swing.KeyStroke;
import javax.swing.SwingUtilities;
import javax.swing.UIManager;
import javax.swing.event.PopupMenuEvent;
import javax.swing.event.PopupMenuListener;
import ringtrue.report.LengthUnit;
import ringtrue.ui.desk.Desk;
import ringtrue.ui.desk.Settings;
import ringtrue.ui.help.HelpWindow;
import ringtrue.ui.kit.MigLayout;
import ringtrue.ui.kit.Theme;
import ringtrue.ui.kit.Wrapped;

/** What the user prefers. Everything counts at once and is remembered. */
final class PreferencesWindow extends JDialog {
  private static final List<Integer> SIZES = List.of(100, 125, 150, 175, 200, 225, 250);

  private final Desk desk;
  private final JRadioButton millimetres = radio("millimetres", "prefs-mm", 'M');
  private final JRadioButton inches = radio("inches", "prefs-inch", 'I');
  private final JRadioButton light = radio("light", "prefs-light", 'L');
  private final JRadioButton dark = radio("dark", "prefs-dark", 'D');
  private final JRadioButton system = radio("as the system", "prefs-system", 'Y');
  private final JComboBox<String> size = new JComboBox<>();
  private final JCheckBox sounds = new JCheckBox("Sounds for taps and verdicts");
  private final JButton cautions = new JButton("Read the cautions");
  private boolean showing;

  PreferencesWindow(Desk desk, JFrame owner, HelpWindow help) {
    super(owner, "Preferences", false);
    this.desk = desk;
    setName("preferences");
    JPanel page =
        new JPanel(
            new MigLayout("ins 18 20 16 20, wrap 2, gapy 10", "[right]14[grow,fill,360lp::]", ""));
    page.add(new JLabel("Lengths"));
    page.add(row(millimetres, inches));
    page.add(new JLabel("Look"));
    page.add(Theme.systemDark().isPresent() ? row(light, dark, system) : row(light, dark));
    JLabel sizeLabel = new JLabel("Size of everything");
    sizeLabel.setLabelFor(size);
    sizeLabel.setDisplayedMnemonic('S');
    size.setName("prefs-size");
    size.getAccessibleContext().setAccessibleName("Size of everything");
    SIZES.forEach(s -> size.addItem(s == 100 ? "as the system (100 %)" : s + " %"));
    page.add(sizeLabel);
    page.add(size, "growx 0");
    page.add(new JLabel("Sounds"));
    sounds.setName("prefs-sounds");
    sounds.setMnemonic('O');
    page.add(sounds);
    page.add(new JLabel("Cautions"));
    cautions.setName("prefs-cautions");
    cautions.setMnemonic('C');
    cautions.setToolTipText("Taps asks for them before the first tap of each session");
    cautions.addActionListener(e -> help.open("start#safety"));
    page.add(cautions, "growx 0");
    page.add(new JLabel("Saved set-ups"), "aligny top");
    page.add(place("prefs-library", desk.home().resolve("library").toString()), "wmin 0");
    page.add(new JLabel("Jobs"), "aligny top");
    page.add(place("prefs-jobs", desk.jobs().toString()), "wmin 0");
    JButton close = new JButton("Close (Esc)");
    close.setName("prefs-close");
    close.addActionListener(e -> setVisible(false));
    page.add(new JLabel(""));
    page.add(close, "growx 0, gaptop 8, alignx right");
    JScrollPane scroll = new JScrollPane(page);
    scroll.setBorder(BorderFactory.createEmptyBorder());
    scroll.getVerticalScrollBar().setUnitIncrement(24);
    setContentPane(scroll);
    getRootPane()
        .getInputMap(JComponent.WHEN_IN_FOCUSED_WINDOW)
        .put(KeyStroke.getKeyStroke("ESCAPE"), "close");
    getRootPane()
        .getActionMap()
        .put(
            "close",
            new AbstractAction() {
              @Override
              public void actionPerformed(ActionEvent e) {
                setVisible(false);
              }
            });
    group(millimetres, inches);
    group(light, dark, system);
    listen();
    desk.onSettings(this::show);
  }

  private static JRadioButton radio(String words, String name, char mnemonic) {
    JRadioButton button = new JRadioButton(words);
    button.setName(name);
    button.setMnemonic(mnemonic);
    return button;
  }

  private static JPanel row(JRadioButton... buttons) {
    JPanel row = new JPanel(new MigLayout("ins 0, gapx 16", "", ""));
    for (JRadioButton each : buttons) {
      row.add(each);
    }
    return row;
  }

  private static void group(JRadioButton... buttons) {
    ButtonGroup group = new ButtonGroup();
    for (JRadioButton each : buttons) {
      group.add(each);
    }
  }

  private static Wrapped place(String name, String where) {
    Wrapped text = new Wrapped(where);
    text.setName(name);
    text.setFocusable(true);
    text.setLineWrap(true);
    text.setWrapStyleWord(false);
    text.getAccessibleContext().setAccessibleName("Folder " + where);
    text.setFont(UIManager.getFont("Label.font").deriveFont(Font.PLAIN));
    return text;
  }

  private void listen() {
    millimetres.addActionListener(e -> set(s -> s.withUnit(LengthUnit.MILLIMETRE)));
    inches.addActionListener(e -> set(s -> s.withUnit(LengthUnit.INCH)));
    light.addActionListener(e -> set(s -> s.with("theme", "light")));
    dark.addActionListener(e -> set(s -> s.with("theme", "dark")));
    system.addActionListener(e -> set(s -> s.with("theme", "system")));
    size.addActionListener(e -> resize());
    size.addPopupMenuListener(
        new PopupMenuListener() {
          @Override
          public void popupMenuWillBecomeVisible(PopupMenuEvent e) {
            // nothing counts before it closes
          }

          @Override
          public void popupMenuWillBecomeInvisible(PopupMenuEvent e) {
            resize();
          }

          @Override
          public void popupMenuCanceled(PopupMenuEvent e) {
            // what was chosen before stays
          }
        });
    sounds.addActionListener(e -> set(s -> s.with("sounds", sounds.isSelected())));
  }

  /** Another size counts when the list is closed, and after the list has ended its own work. */
  private void resize() {
    if (showing) {
      return;
    }
    SwingUtilities.invokeLater(
        () -> {
          if (!size.isPopupVisible()) {
            int to = SIZES.get(Math.max(0, size.getSelectedIndex()));
            set(s -> (int) s.number("scale", SIZES.get(0)) == to ? s : s.with("scale", to));
          }
        });
  }

  /** As large as what is in it, but no larger than the screen, and wholly on it. */
  void fit() {
    pack();
    Rectangle screen = getGraphicsConfiguration().getBounds();
    Insets edges = Toolkit.getDefaultToolkit().getScreenInsets(getGraphicsConfiguration());
    int wide = screen.width - edges.left - edges.right;
    int high = screen.height - edges.top - edges.bottom;
    int bar = high < getHeight() ? UIManager.getInt("ScrollBar.width") + 4 : 0;
    setSize(Math.min(wide, getWidth() + bar), Math.min(high, getHeight()));
    Point at = getLocation();
    setLocation(
        Math.max(screen.x + edges.left, Math.min(at.x, screen.x + edges.left + wide - getWidth())),
        Math.max(screen.y + edges.top, Math.min(at.y, screen.y + edges.top + high - getHeight())));
  }

  private void set(java.util.function.UnaryOperator<Settings> by) {
    if (!showing) {
      desk.settings(by);
    }
  }

  private void show(Settings settings) {
    showing = true;
    (settings.unit() == LengthUnit.INCH ? inches : millimetres).setSelected(true);
    switch (settings.text("theme", "light")) {
      case "dark" -> dark.setSelected(true);
      case "system" -> (Theme.systemDark().isPresent() ? system : light).setSelected(true);
      default -> light.setSelected(true);
    }
    size.setSelectedIndex(Math.max(0, SIZES.indexOf((int) settings.number("scale", SIZES.get(0)))));
    sounds.setSelected(settings.on("sounds", true));
    showing = false;
    fit();
  }

  /** Shows it, and brings it to the front. */
  void open() {
    show(desk.settings());
    fit();
    if (!isVisible()) {
      setLocationRelativeTo(getOwner());
      fit();
    }
    setVisible(true);
    toFront();
  }
}

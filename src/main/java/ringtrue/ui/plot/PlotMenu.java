package ringtrue.ui.plot;

import javax.swing.JCheckBoxMenuItem;
import javax.swing.JMenu;
import javax.swing.JMenuItem;
import javax.swing.JPopupMenu;
import javax.swing.KeyStroke;

/** What can be done with a plot as a whole. */
final class PlotMenu {
  private PlotMenu() {}

  static JPopupMenu of(Plot plot) {
    JPopupMenu menu = new JPopupMenu("Plot");
    JMenuItem copy = item(menu, "Copy picture", 'C', "plot-copy", plot::copyPicture);
    copy.setAccelerator(KeyStroke.getKeyStroke("ctrl C"));
    menu.addSeparator();
    item(menu, "Save PNG…", 'P', "plot-save-png", () -> plot.save(".png"));
    item(menu, "Save SVG…", 'S', "plot-save-svg", () -> plot.save(".svg"));
    item(menu, "Save CSV…", 'V', "plot-save-csv", () -> plot.save(".csv"));
    menu.addSeparator();
    JMenuItem all = item(menu, "Show all", 'A', "plot-show-all", plot::resetView);
    all.setAccelerator(KeyStroke.getKeyStroke('0'));
    JMenuItem back = item(menu, "Zoom of before", 'Z', "plot-zoom-back", plot::back);
    back.setAccelerator(KeyStroke.getKeyStroke("BACK_SPACE"));
    if (!plot.scene().legend().isEmpty()) {
      menu.add(layers(plot));
    }
    menu.addSeparator();
    item(menu, "Mouse and keys", 'M', "plot-help", plot::showHelp);
    return menu;
  }

  private static JMenu layers(Plot plot) {
    JMenu layers = new JMenu("Shown");
    layers.setMnemonic('H');
    int number = 1;
    for (String name : plot.scene().legend().keySet()) {
      JCheckBoxMenuItem item = new JCheckBoxMenuItem(name, plot.isShown(name));
      if (number <= 9) {
        item.setAccelerator(KeyStroke.getKeyStroke((char) ('0' + number)));
      }
      item.addActionListener(e -> plot.setShown(name, item.isSelected()));
      layers.add(item);
      number++;
    }
    return layers;
  }

  private static JMenuItem item(
      JPopupMenu menu, String words, char key, String name, Runnable deed) {
    JMenuItem item = new JMenuItem(words, key);
    item.setName(name);
    item.addActionListener(e -> deed.run());
    menu.add(item);
    return item;
  }
}

package ringtrue.ui.shell;

import java.util.ArrayList;
import java.util.EnumMap;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.Set;
import javax.swing.JMenu;
import javax.swing.JMenuBar;
import javax.swing.JMenuItem;
import javax.swing.KeyStroke;
import javax.swing.event.MenuEvent;
import javax.swing.event.MenuListener;
import ringtrue.ui.desk.Act;
import ringtrue.ui.desk.Desk;

/**
 * The menu: everything that can be done, with its keys. Of what belongs to a stage only that of the
 * stage that is seen is shown, and what else can be done now. Where two acts have the same keys,
 * those of the stage that is seen count.
 */
final class MenuLine extends JMenuBar {
  private record Item(Act act, JMenuItem item) {}

  /**
   * An item whose keys act at once. A plain one shows itself pressed for 68 ms first, though its
   * menu is closed, and holds the event thread meanwhile.
   */
  private static final class Prompt extends JMenuItem {
    Prompt(String words) {
      super(words);
    }

    @Override
    public void doClick(int pressedMs) {
      super.doClick(0);
    }
  }

  private final Desk desk;
  private final Map<Act.Group, JMenu> menus = new EnumMap<>(Act.Group.class);
  private final List<Item> items = new ArrayList<>();

  MenuLine(Desk desk) {
    this.desk = desk;
    setName("menu");
    for (Act.Group group : Act.Group.values()) {
      JMenu menu = new JMenu(group.title());
      menu.setName("menu-" + group.title().toLowerCase(Locale.ROOT));
      menu.setMnemonic(group.title().charAt(0));
      menu.addMenuListener(whenOpened());
      menus.put(group, menu);
      add(menu);
    }
    desk.onChange(this::refresh);
    refresh();
  }

  private void run(Act act) {
    desk.settle();
    if (act.enabled().getAsBoolean()) {
      act.action().run();
    }
  }

  private MenuListener whenOpened() {
    return new MenuListener() {
      @Override
      public void menuSelected(MenuEvent e) {
        refresh();
      }

      @Override
      public void menuDeselected(MenuEvent e) {
        refresh();
      }

      @Override
      public void menuCanceled(MenuEvent e) {
        refresh();
      }
    };
  }

  /** Takes in acts that were added meanwhile, as by a stage that was seen for the first time. */
  private void takeIn() {
    List<Act> acts = desk.acts();
    for (Act act : acts.subList(items.size(), acts.size())) {
      JMenuItem item = new Prompt(act.words());
      item.setName("act-" + act.id());
      item.setAccelerator(act.keys());
      item.addActionListener(e -> run(act));
      menus.get(act.group()).add(item);
      items.add(new Item(act, item));
    }
  }

  private boolean ofSeenStage(Act act) {
    return desk.folder().isPresent() && desk.owner(act).filter(s -> s == desk.stage()).isPresent();
  }

  private void refresh() {
    takeIn();
    Set<KeyStroke> taken = new HashSet<>();
    boolean[] possible = new boolean[items.size()];
    for (int i = 0; i < possible.length; i++) {
      Act act = items.get(i).act;
      possible[i] = act.enabled().getAsBoolean();
      if (possible[i] && act.keys() != null && ofSeenStage(act)) {
        taken.add(act.keys());
      }
    }
    boolean anyOfStage = false;
    for (int i = 0; i < possible.length; i++) {
      Act act = items.get(i).act;
      JMenuItem item = items.get(i).item;
      boolean own = ofSeenStage(act);
      boolean shown = act.group() != Act.Group.STAGE || own || possible[i];
      anyOfStage |= shown && act.group() == Act.Group.STAGE;
      if (item.isVisible() != shown) {
        item.setVisible(shown);
      }
      if (item.isEnabled() != possible[i]) {
        item.setEnabled(possible[i]);
      }
      KeyStroke keys = own || !taken.contains(act.keys()) ? act.keys() : null;
      if (!Objects.equals(keys, item.getAccelerator())) {
        item.setAccelerator(keys);
      }
      switch (act.id()) {
        case "undo" -> name(item, "Undo", desk.undoWords());
        case "redo" -> name(item, "Redo", desk.redoWords());
        default -> {
          // its words stay
        }
      }
    }
    JMenu stage = menus.get(Act.Group.STAGE);
    if (stage.isVisible() != anyOfStage) {
      stage.setVisible(anyOfStage);
    }
  }

  private static void name(JMenuItem item, String verb, Optional<String> what) {
    String words = what.map(w -> verb + ": " + w).orElse(verb);
    if (!words.equals(item.getText())) {
      item.setText(words);
    }
  }
}

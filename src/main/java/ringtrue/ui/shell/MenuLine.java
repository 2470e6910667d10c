package ringtrue.ui.shell;

import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import javax.swing.JMenu;
import javax.swing.JMenuBar;
import javax.swing.JMenuItem;
import javax.swing.event.MenuEvent;
import javax.swing.event.MenuListener;
import ringtrue.ui.desk.Act;
import ringtrue.ui.desk.Desk;

/** The menu: everything that can be done, with its keys. */
final class MenuLine extends JMenuBar {
  private record Item(Act act, JMenuItem item) {}

  private final Desk desk;
  private final List<Item> items = new ArrayList<>();

  MenuLine(Desk desk) {
    this.desk = desk;
    setName("menu");
    Map<Act.Group, JMenu> menus = new EnumMap<>(Act.Group.class);
    for (Act.Group group : Act.Group.values()) {
      JMenu menu = new JMenu(group.title());
      menu.setName("menu-" + group.title().toLowerCase(java.util.Locale.ROOT));
      menu.setMnemonic(group.title().charAt(0));
      menus.put(group, menu);
    }
    for (Act act : desk.acts()) {
      JMenuItem item = new JMenuItem(act.words());
      item.setName("act-" + act.id());
      item.setAccelerator(act.keys());
      item.addActionListener(e -> run(act));
      menus.get(act.group()).add(item);
      items.add(new Item(act, item));
    }
    menus.forEach(
        (group, menu) -> {
          if (menu.getItemCount() > 0) {
            menu.addMenuListener(whenOpened());
            add(menu);
          }
        });
    desk.onChange(this::refresh);
    refresh();
  }

  private void run(Act act) {
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

  private void refresh() {
    for (Item each : items) {
      boolean possible = each.act.enabled().getAsBoolean();
      if (each.item.isEnabled() != possible) {
        each.item.setEnabled(possible);
      }
      switch (each.act.id()) {
        case "undo" -> name(each.item, "Undo", desk.undoWords());
        case "redo" -> name(each.item, "Redo", desk.redoWords());
        default -> {
          // its words stay
        }
      }
    }
  }

  private static void name(JMenuItem item, String verb, Optional<String> what) {
    String words = what.map(w -> verb + ": " + w).orElse(verb);
    if (!words.equals(item.getText())) {
      item.setText(words);
    }
  }
}

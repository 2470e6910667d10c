package ringtrue.ui.setups;

import java.util.List;
import javax.swing.DefaultListModel;
import javax.swing.JButton;
import javax.swing.JList;
import javax.swing.JPanel;
import javax.swing.JScrollPane;
import javax.swing.KeyStroke;
import ringtrue.library.SetUpLibrary.Removed;
import ringtrue.ui.kit.MigLayout;
import ringtrue.ui.kit.Notice;
import ringtrue.ui.kit.Sign;

/** What was removed. Nothing is deleted but by emptying it. */
final class BinPane extends JPanel {
  private final Shelf shelf;
  private final DefaultListModel<Removed> items = new DefaultListModel<>();
  private final JList<Removed> list = new JList<>(items);
  private final JButton restore = new JButton("Bring back (Enter)");
  private final JButton beside = new JButton("Bring back beside it");
  private final JButton empty = new JButton("Empty the bin");
  private final JButton sure = new JButton("Delete all of it for good");
  private final JButton keep = new JButton("Keep it");
  private final Notice notice = new Notice("bin-notice");

  BinPane(Shelf shelf) {
    super(new MigLayout("ins 6 0 0 0, fill, hidemode 3", "[grow,fill]"));
    this.shelf = shelf;
    list.setName("bin-list");
    list.getAccessibleContext().setAccessibleName("What is in the bin, the latest first");
    list.setCellRenderer(
        new javax.swing.DefaultListCellRenderer() {
          @Override
          public java.awt.Component getListCellRendererComponent(
              JList<?> of, Object value, int index, boolean selected, boolean focus) {
            return super.getListCellRendererComponent(
                of, words((Removed) value), index, selected, focus);
          }
        });
    list.getInputMap().put(KeyStroke.getKeyStroke("ENTER"), "restore");
    list.getActionMap().put("restore", HereCard.action(() -> restore(false)));
    restore.setName("bin-restore");
    beside.setName("bin-restore-beside");
    empty.setName("bin-empty");
    sure.setName("bin-empty-sure");
    keep.setName("bin-keep");
    restore.addActionListener(e -> restore(false));
    beside.addActionListener(e -> restore(true));
    empty.addActionListener(e -> ask());
    sure.addActionListener(e -> empty());
    keep.addActionListener(e -> open());
    add(notice, "growx, wmin 0, wrap");
    add(new JScrollPane(list), "grow, push, hmin 0, wrap");
    JPanel buttons = new JPanel(new MigLayout("ins 0, hidemode 3"));
    for (JButton each : List.of(restore, beside, empty, sure, keep)) {
      buttons.add(each);
    }
    add(buttons);
  }

  static String words(Removed r) {
    return Dates.minute(r.removed())
        + "   "
        + r.id()
        + (r.part().isEmpty() ? "" : ", " + r.part().replaceFirst("s/", " "));
  }

  /** Lists it anew. */
  void open() {
    notice.clear();
    asking(false);
    beside.setVisible(false);
    shelf
        .desk()
        .tasks()
        .start(
            "the bin",
            progress -> shelf.desk().library().bin(),
            this::shown,
            problem -> notice.say(Sign.BAD, problem));
  }

  private void shown(List<Removed> all) {
    items.clear();
    items.addAll(all);
    restore.setEnabled(!all.isEmpty());
    empty.setEnabled(!all.isEmpty());
    if (all.isEmpty()) {
      notice.say(Sign.NOTE, "The bin is empty.");
    } else {
      list.setSelectedIndex(0);
      list.requestFocusInWindow();
    }
  }

  private void asking(boolean on) {
    sure.setVisible(on);
    keep.setVisible(on);
    empty.setVisible(!on);
  }

  private void ask() {
    asking(true);
    notice.say(
        Sign.CAUTION,
        "Delete "
            + DirectionWords.counted(items.size(), "thing")
            + " for good? They cannot be brought back then.");
    keep.requestFocusInWindow();
  }

  private void empty() {
    shelf
        .desk()
        .tasks()
        .start(
            "emptying the bin",
            progress -> shelf.desk().library().emptyBin(),
            count -> {
              open();
              shelf.say(Sign.DONE, "Deleted " + count + " for good.");
            },
            problem -> notice.say(Sign.BAD, problem));
  }

  private void restore(boolean otherId) {
    Removed chosen = list.getSelectedValue();
    if (chosen == null) {
      return;
    }
    shelf
        .desk()
        .tasks()
        .start(
            "bringing back",
            progress -> shelf.desk().library().restore(chosen.name(), otherId),
            back -> {
              shelf.say(Sign.DONE, "Brought " + back.id() + " back.");
              shelf.reload();
              open();
            },
            problem -> {
              notice.say(Sign.BAD, problem.replaceFirst(" \\(--new-id .*\\)$", "."));
              beside.setVisible(problem.contains("is there already") && chosen.part().isEmpty());
            });
  }
}

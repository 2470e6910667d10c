package ringtrue.ui.setups;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import javax.swing.JButton;
import javax.swing.JComboBox;
import javax.swing.JLabel;
import javax.swing.JPanel;
import ringtrue.library.LibraryEntry;
import ringtrue.ui.kit.MigLayout;
import ringtrue.ui.kit.Notice;
import ringtrue.ui.kit.Sign;

/** Where an export goes, and what is written. */
final class ExportPane extends JPanel {
  private final Shelf shelf;
  private final JComboBox<Exporter.What> what = new JComboBox<>(Exporter.What.values());
  private final JComboBox<String> axis = new JComboBox<>();
  private final PathRow path = new PathRow("export", "File to write", true, this::write);
  private final JButton write = new JButton("Write (Enter)");
  private final Notice notice = new Notice("export-notice");
  private String id = "";
  private Optional<Path> mayReplace = Optional.empty();

  ExportPane(Shelf shelf) {
    super(new MigLayout("ins 8 0 0 0, fillx, hidemode 3", "[][grow,fill]", "[]8[]8[]8[]push"));
    this.shelf = shelf;
    what.setName("export-what");
    axis.setName("export-axis");
    write.setName("export-write");
    what.getAccessibleContext().setAccessibleName("What is written");
    axis.getAccessibleContext().setAccessibleName("Direction");
    what.addActionListener(e -> name());
    axis.addActionListener(e -> name());
    write.addActionListener(e -> write());
    add(new JLabel("Export"));
    add(what, "split 3, growx 0");
    add(new JLabel("direction"));
    add(axis, "growx 0, wrap");
    add(new JLabel("into"));
    add(path, "wmin 0, wrap");
    add(write, "skip 1, growx 0, wrap");
    add(notice, "span, growx, wmin 0");
  }

  void show(LibraryEntry entry) {
    id = entry.setUp().id();
    axis.removeAllItems();
    entry.measured().stream()
        .map(LibraryEntry.Measured::axis)
        .distinct()
        .sorted()
        .forEach(axis::addItem);
    notice.clear();
    name();
  }

  void focus() {
    path.focus();
  }

  private void name() {
    Exporter.What which = (Exporter.What) what.getSelectedItem();
    boolean whole = which == Exporter.What.ARCHIVE;
    axis.setEnabled(!whole);
    String along = whole || axis.getSelectedItem() == null ? "" : "-" + axis.getSelectedItem();
    path.show(
        Path.of(System.getProperty("user.home")).resolve(id + along + which.ending()).toString());
  }

  private void write() {
    Optional<Path> to = path.file();
    if (to.isEmpty()) {
      notice.say(Sign.BAD, "Write where to, like ~/" + id + ".zip.");
      return;
    }
    Path file = to.get();
    boolean replace = mayReplace.equals(to);
    Exporter.What which = (Exporter.What) what.getSelectedItem();
    String along = String.valueOf(axis.getSelectedItem());
    String of = id;
    record Written(boolean there, List<String> remarks) {}
    shelf
        .desk()
        .tasks()
        .start(
            "export",
            progress ->
                !replace && Files.exists(file)
                    ? new Written(true, List.of())
                    : new Written(
                        false,
                        Exporter.write(
                            shelf.desk().library(), of, which, along, file, replace, progress)),
            done -> {
              if (done.there) {
                mayReplace = to;
                notice.say(
                    Sign.CAUTION,
                    file.getFileName() + " is there already. Write again to replace it.");
              } else {
                mayReplace = Optional.empty();
                notice.say(Sign.DONE, "Wrote " + file + ". " + String.join(" ", done.remarks));
              }
            },
            problem -> notice.say(Sign.BAD, problem));
  }
}

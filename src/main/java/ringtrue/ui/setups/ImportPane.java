package ringtrue.ui.setups;

import java.nio.file.Path;
import java.util.List;
import java.util.function.Consumer;
import javax.swing.JButton;
import javax.swing.JLabel;
import javax.swing.JPanel;
import ringtrue.dynamics.Progress;
import ringtrue.ui.kit.MigLayout;
import ringtrue.ui.kit.Notice;
import ringtrue.ui.kit.Sign;

/** Takes in set-ups that were packed into a file. */
final class ImportPane extends JPanel {
  private final Shelf shelf;
  private final Consumer<String> taken;
  private final PathRow path = new PathRow("import", "Archive to take in", false, this::take);
  private final Notice notice = new Notice("import-notice");

  /**
   * @param taken told the id of what was taken in
   */
  ImportPane(Shelf shelf, Consumer<String> taken) {
    super(new MigLayout("ins 8 0 0 0, fillx, hidemode 3", "[][grow,fill]", "[]8[]8[]8[]push"));
    this.shelf = shelf;
    this.taken = taken;
    JButton take = new JButton("Take in (Enter)");
    take.setName("import-take");
    take.addActionListener(e -> take());
    add(
        new JLabel("Take in a set-up that was exported. You can drop the file on the window, too."),
        "span, wrap");
    add(new JLabel("from"));
    add(path, "wmin 0, wrap");
    add(take, "skip 1, growx 0, wrap");
    add(notice, "span, growx, wmin 0");
  }

  void focus() {
    notice.clear();
    path.focus();
  }

  void take(Path file) {
    path.show(file.toString());
    take();
  }

  private void take() {
    if (path.file().isEmpty()) {
      notice.say(Sign.BAD, "Write which file, like ~/set-up.zip.");
      return;
    }
    Path file = path.file().get();
    record Taken(String id, List<String> problems) {}
    shelf
        .desk()
        .tasks()
        .start(
            "import",
            progress -> {
              String id = shelf.desk().library().unpack(file, progress);
              return new Taken(id, shelf.desk().library().look(List.of(id), Progress.NONE));
            },
            done -> {
              notice.say(
                  done.problems.isEmpty() ? Sign.DONE : Sign.CAUTION,
                  "Taken in as "
                      + done.id
                      + "."
                      + (done.problems.isEmpty() ? "" : " " + String.join(" ", done.problems)));
              taken.accept(done.id);
            },
            problem -> notice.say(Sign.BAD, problem));
  }
}

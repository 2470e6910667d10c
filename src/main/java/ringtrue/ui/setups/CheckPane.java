package ringtrue.ui.setups;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import javax.swing.BorderFactory;
import javax.swing.JButton;
import javax.swing.JPanel;
import javax.swing.JScrollPane;
import ringtrue.dynamics.Progress;
import ringtrue.library.SetUpLibrary;
import ringtrue.ui.kit.MigLayout;
import ringtrue.ui.kit.Notice;
import ringtrue.ui.kit.Sign;
import ringtrue.ui.kit.Wrapped;

/** What of the library cannot be read. */
final class CheckPane extends JPanel {
  private final Shelf shelf;
  private final Notice notice = new Notice("check-notice");
  private final Wrapped problems = new Wrapped("");
  private final JButton aside = new JButton("Set damaged aside");

  private record Looked(int setUps, List<String> moved, List<String> problems) {}

  CheckPane(Shelf shelf) {
    super(new MigLayout("ins 6 0 0 0, fill, hidemode 3", "[grow,fill]"));
    this.shelf = shelf;
    problems.setName("check-problems");
    problems.setFocusable(true);
    aside.setName("check-aside");
    aside.setToolTipText(
        "Moves what cannot be read to the folder _damaged in the library; nothing is deleted");
    aside.addActionListener(e -> look(true));
    JScrollPane scroll = new JScrollPane(problems);
    scroll.setBorder(BorderFactory.createEmptyBorder());
    add(notice, "growx, wmin 0, wrap");
    add(scroll, "grow, push, hmin 0, wrap");
    add(aside, "growx 0");
  }

  /** Looks, perhaps after setting aside what is damaged. */
  void look(boolean setAside) {
    notice.say(Sign.BEGUN, "Looking into recordings, responses and cuts.");
    problems.setText("");
    aside.setEnabled(false);
    SetUpLibrary library = shelf.desk().library();
    shelf
        .desk()
        .tasks()
        .start(
            "checking the library",
            progress -> looked(library, setAside, progress),
            found -> {
              notice.say(
                  found.problems.isEmpty() ? Sign.DONE : Sign.CAUTION,
                  DirectionWords.counted(found.setUps, "set-up")
                      + " can be read, "
                      + (found.problems.isEmpty()
                          ? "nothing is damaged."
                          : DirectionWords.counted(found.problems.size(), "problem")
                              + ". Bring damaged files back from a backup, or measure again; what"
                              + " cannot be read does not count."));
              List<String> all = new ArrayList<>(found.moved);
              all.addAll(found.problems);
              problems.setText(String.join("\n", all));
              aside.setEnabled(!found.problems.isEmpty());
              if (setAside) {
                shelf.reload();
              }
            },
            problem -> notice.say(Sign.BAD, problem));
  }

  private static Looked looked(SetUpLibrary library, boolean setAside, Progress progress) {
    List<String> moved = setAside ? library.setDamagedAside(Instant.now()) : List.of();
    SetUpLibrary.Listing all = library.list();
    List<String> problems = new ArrayList<>(all.unreadable());
    all.entries().forEach(e -> problems.addAll(e.problems()));
    problems.addAll(
        library.look(all.entries().stream().map(e -> e.setUp().id()).toList(), progress));
    return new Looked(all.entries().size(), moved, problems);
  }
}

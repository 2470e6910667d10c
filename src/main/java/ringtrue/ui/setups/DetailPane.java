package ringtrue.ui.setups;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.stream.Collectors;
import javax.swing.DefaultListModel;
import javax.swing.JList;
import javax.swing.JPanel;
import javax.swing.JScrollPane;
import javax.swing.KeyStroke;
import javax.swing.ListSelectionModel;
import ringtrue.library.Outcome;
import ringtrue.library.SavedMeasurement;
import ringtrue.library.SavedSetUp;
import ringtrue.library.SetUp;
import ringtrue.ui.desk.Tasks;
import ringtrue.ui.kit.MigLayout;
import ringtrue.ui.kit.Sign;
import ringtrue.ui.kit.Wrapped;

/** All that is kept of the chosen set-up. */
final class DetailPane extends JPanel {
  private final Shelf shelf;
  private final Wrapped about = new Wrapped("");
  private final DefaultListModel<Line> lines = new DefaultListModel<>();
  private final JList<Line> list = new JList<>(lines);
  private Tasks.Task reading;
  private String id = "";

  /**
   * A line.
   *
   * @param text what it says
   * @param part id of the measurement or outcome that it is about; empty if about none
   */
  record Line(String text, String part) {
    @Override
    public String toString() {
      return text;
    }
  }

  DetailPane(Shelf shelf) {
    super(new MigLayout("ins 6 0 0 0, fill", "[grow,fill]", "[]6[grow,fill]"));
    this.shelf = shelf;
    about.setName("saved-about");
    list.setName("saved-parts");
    list.setSelectionMode(ListSelectionModel.SINGLE_SELECTION);
    list.getAccessibleContext().setAccessibleName("Measurements and outcomes of the chosen set-up");
    list.setToolTipText("Delete moves a measurement or an outcome to the bin");
    list.getInputMap().put(KeyStroke.getKeyStroke("DELETE"), "to-bin");
    list.getActionMap().put("to-bin", HereCard.action(this::remove));
    add(about, "growx, wmin 0, wrap");
    add(new JScrollPane(list), "grow, hmin 0");
  }

  void clear(String words) {
    id = "";
    about.setText(words);
    lines.clear();
  }

  /** Reads and shows a set-up. */
  void show(String which) {
    if (reading != null) {
      reading.cancel();
    }
    id = which;
    reading =
        shelf
            .desk()
            .tasks()
            .start(
                "reading a set-up",
                progress -> shelf.desk().library().read(which),
                this::shown,
                problem -> clear(problem));
  }

  private void shown(SavedSetUp saved) {
    about.setText(about(saved.setUp()));
    lines.clear();
    lines(saved).forEach(lines::addElement);
  }

  static String about(SetUp s) {
    return s.said().entrySet().stream()
            .filter(e -> e.getKey() != SetUp.Field.NAME)
            .map(e -> e.getKey().words() + " " + e.getValue().replaceAll("\\s+", " "))
            .collect(Collectors.joining(", "))
        + "; "
        + s.id()
        + ", saved "
        + Dates.day(s.created())
        + ", revision "
        + s.revision()
        + " of "
        + Dates.day(s.changed());
  }

  static List<Line> lines(SavedSetUp saved) {
    List<Line> all = new ArrayList<>();
    for (SavedMeasurement m : saved.measurements()) {
      String modes =
          m.modes().isEmpty()
              ? "no modes"
              : m.modes().stream()
                      .map(x -> String.format(Locale.ROOT, "%.1f", x.frequencyHz()))
                      .collect(Collectors.joining(", "))
                  + " Hz";
      all.add(
          new Line(
              m.axis()
                  + (m.point().isEmpty() ? "" : " at " + m.point())
                  + ", "
                  + Dates.minute(m.date())
                  + ", "
                  + DirectionWords.counted(m.averages(), "tap")
                  + ", "
                  + modes
                  + (m.clampedAgain() ? "" : ", same clamping as before")
                  + (m.note().isEmpty() ? "" : "; " + m.note()),
              m.id()));
    }
    for (Outcome o : saved.outcomes()) {
      all.add(
          new Line(
              "cut "
                  + o.words()
                  + ", "
                  + Dates.minute(o.date())
                  + ", "
                  + o.cut()
                  + (o.chatterFrequency().isEmpty() ? "" : ", at " + o.chatterFrequency())
                  + (o.note().isEmpty() ? "" : "; " + o.note()),
              o.id()));
    }
    saved.problems().forEach(p -> all.add(new Line("cannot be read: " + p, "")));
    if (all.isEmpty()) {
      all.add(new Line("nothing was measured yet", ""));
    }
    return all;
  }

  private void remove() {
    Line line = list.getSelectedValue();
    if (line == null || line.part.isEmpty()) {
      return;
    }
    String of = id;
    shelf
        .desk()
        .tasks()
        .start(
            "moving to the bin",
            progress -> shelf.desk().library().remove(of, line.part, Instant.now()),
            removed -> {
              shelf.say(Sign.NOTE, "Moved " + line.part + " to the bin; Bin (B) brings it back.");
              shelf.reload();
            },
            problem -> shelf.say(Sign.BAD, problem));
  }
}

package ringtrue.ui.setups;

import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import javax.swing.JButton;
import javax.swing.JLabel;
import javax.swing.JPanel;
import ringtrue.ui.desk.Desk;
import ringtrue.ui.desk.DirectionResult;
import ringtrue.ui.desk.Finding;
import ringtrue.ui.job.Direction;
import ringtrue.ui.job.Measured;
import ringtrue.ui.kit.Letters;
import ringtrue.ui.kit.MigLayout;
import ringtrue.ui.kit.Sign;
import ringtrue.ui.kit.Wrapped;

/** The four directions: measured or missing, how well, and whether they are saved. */
final class DirectionsPanel extends JPanel {
  private static final List<Direction> ALL =
      List.of(Direction.TOOL_X, Direction.TOOL_Y, Direction.WORK_X, Direction.WORK_Y);

  private final Desk desk;
  private final Map<Direction, Row> rows = new HashMap<>();

  private final class Row {
    private final Direction direction;
    private final JLabel name = new JLabel();
    private final JLabel quality = new JLabel();
    private final Wrapped facts = new Wrapped("");
    private final JLabel saved = new JLabel();
    private final JButton out = new JButton("Take out");

    private List<Object> of = List.of();
    private DirectionWords last;

    Row(Direction direction) {
      this.direction = direction;
      String words = direction.words();
      name.setText(words.substring(0, 1).toUpperCase(Locale.ROOT) + words.substring(1));
      Letters.bold(name);
      quality.setName("direction-" + direction.key());
      facts.setName("direction-" + direction.key() + "-facts");
      saved.setName("direction-" + direction.key() + "-saved");
      out.setName("direction-" + direction.key() + "-out");
      out.getAccessibleContext().setAccessibleName("Take " + words + " out of this set-up");
      out.setToolTipText("Takes what was measured out of this set-up; Ctrl+Z brings it back");
      out.addActionListener(
          e -> desk.change("take " + words + " out", job -> job.without(direction)));
      add(name);
      add(quality);
      add(facts, "growx, wmin 0");
      add(saved);
      add(out);
    }

    /** Worked out anew only when the finding is another one. */
    private DirectionWords words(Optional<Measured> measured, Finding<DirectionResult> finding) {
      List<Object> now =
          List.of(
              measured.isPresent(),
              finding.problem(),
              finding.working(),
              finding.value().map(System::identityHashCode).orElse(0));
      if (!now.equals(of)) {
        of = now;
        last = DirectionWords.of(direction, measured, finding);
      }
      return last;
    }

    void refresh(SaveLog log) {
      Optional<Measured> measured = desk.job().measured(direction);
      DirectionWords words = words(measured, desk.results().of(direction));
      quality.setIcon(words.sign());
      quality.setText(words.quality());
      String both =
          words.why().isEmpty()
              ? words.facts()
              : words.facts().isEmpty() ? words.why() : words.facts() + " - " + words.why();
      if (!facts.getText().equals(both)) {
        facts.setText(both);
      }
      String kept =
          measured.isEmpty()
              ? ""
              : log.holds(measured.get())
                  ? log.entry(direction)
                      .map(e -> "saved, " + Dates.minute(e.date()))
                      .orElse("saved")
                  : "not saved";
      saved.setText(kept);
      saved.setIcon(measured.isEmpty() ? null : log.holds(measured.get()) ? Sign.DONE : Sign.OPEN);
      out.setVisible(measured.isPresent());
      quality
          .getAccessibleContext()
          .setAccessibleName(
              direction.words() + ": " + words.quality() + ". " + both + ". " + kept);
    }
  }

  DirectionsPanel(Desk desk) {
    super(
        new MigLayout(
            "ins 0, wrap 5, fillx, gapy 5, hidemode 0",
            "[]16[]16[grow,fill]16[]16[]",
            "[center][center][center][center]"));
    this.desk = desk;
    setOpaque(false);
    for (Direction direction : ALL) {
      rows.put(direction, new Row(direction));
    }
  }

  void refresh(SaveLog log) {
    rows.values().forEach(r -> r.refresh(log));
  }
}

package ringtrue.ui.setups;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import javax.swing.BorderFactory;
import javax.swing.JPanel;
import javax.swing.JScrollPane;
import javax.swing.JTable;
import javax.swing.table.DefaultTableModel;
import ringtrue.dynamics.Progress;
import ringtrue.fitting.SetUpComparison;
import ringtrue.library.SavedComparison;
import ringtrue.library.SavedMeasurement;
import ringtrue.library.SavedSetUp;
import ringtrue.ui.kit.MigLayout;
import ringtrue.ui.kit.Sign;
import ringtrue.ui.kit.Wrapped;
import ringtrue.units.BadInputException;

/** Two set-ups beside each other, or one against its time before. */
final class ComparePane extends JPanel {
  private static final String[] COLUMNS = {
    "", "Hz before", "Hz now", "change", "damping %", "now", "N/um before", "now", "changed?"
  };

  private static final int[] WIDTHS = {24, 80, 70, 70, 84, 50, 96, 60, 90};

  private final Shelf shelf;
  private final Wrapped words = new Wrapped("");
  private final DefaultTableModel model =
      new DefaultTableModel(COLUMNS, 0) {
        @Override
        public boolean isCellEditable(int row, int column) {
          return false;
        }
      };

  /**
   * What was found.
   *
   * @param sentences for people
   * @param rows modes side by side
   */
  record Found(List<String> sentences, List<String[]> rows) {}

  ComparePane(Shelf shelf) {
    super(new MigLayout("ins 6 0 0 0, fill", "[grow 35,fill]12[grow 65,fill]", "[grow,fill]"));
    this.shelf = shelf;
    words.setName("compare-words");
    JTable table = new JTable(model);
    table.setName("compare-modes");
    table.getAccessibleContext().setAccessibleName("Modes side by side");
    JScrollPane text = new JScrollPane(words);
    text.setBorder(BorderFactory.createEmptyBorder());
    add(text, "grow, wmin 100, hmin 0");
    for (int i = 0; i < WIDTHS.length; i++) {
      table.getColumnModel().getColumn(i).setPreferredWidth(WIDTHS[i]);
    }
    add(new JScrollPane(table), "grow, w 62%, wmin 300, hmin 0");
  }

  /**
   * Compares in the background.
   *
   * @param before the earlier set-up, or the same
   * @param now the later one
   */
  void show(String before, String now) {
    words.setText("being compared");
    model.setRowCount(0);
    shelf
        .desk()
        .tasks()
        .start(
            "comparing",
            progress ->
                compare(
                    shelf.desk().library().read(before),
                    shelf.desk().library().read(now),
                    progress),
            this::shown,
            problem -> {
              words.setText(problem);
              shelf.say(Sign.BAD, problem);
            });
  }

  private void shown(Found found) {
    words.setText(String.join("\n\n", found.sentences));
    words.setCaretPosition(0);
    found.rows.forEach(model::addRow);
  }

  static Found compare(SavedSetUp before, SavedSetUp now, Progress progress) {
    boolean same = before.setUp().id().equals(now.setUp().id());
    List<String> sentences = new ArrayList<>();
    List<String[]> rows = new ArrayList<>();
    sentences.add(
        same
            ? now.setUp().title() + ": the latest measurement against the one before."
            : now.setUp().title() + ", against " + before.setUp().title() + ".");
    if (!same) {
      List<String> differences = SavedComparison.differences(before.setUp(), now.setUp());
      sentences.add(
          differences.isEmpty()
              ? "Nothing that is said of them differs."
              : "Said otherwise: " + String.join("; ", differences) + ".");
    }
    List<String> axes =
        now.measurements().stream().map(SavedMeasurement::axis).distinct().sorted().toList();
    boolean any = false;
    for (String axis : axes) {
      List<SavedMeasurement> later = now.along(axis);
      List<SavedMeasurement> earlier = before.along(axis);
      int at = same ? earlier.size() - 2 : earlier.size() - 1;
      if (at < 0) {
        sentences.add(
            axis
                + (same
                    ? ": measured once, nothing to compare it with."
                    : ": in one of them only."));
        continue;
      }
      any = true;
      SavedMeasurement b = earlier.get(at);
      SavedMeasurement n = later.get(later.size() - 1);
      try {
        add(axis, SavedComparison.of(before, b, now, n, progress), sentences, rows);
      } catch (BadInputException e) {
        sentences.add(axis + ": " + e.getMessage());
        modes(axis, b, n, rows);
      }
    }
    if (!any && !same) {
      sentences.add("They were measured in no direction in common.");
    }
    return new Found(sentences, rows);
  }

  private static void add(
      String axis, SavedComparison compared, List<String> sentences, List<String[]> rows) {
    SetUpComparison c = compared.comparison();
    sentences.add(
        axis
            + ", "
            + Dates.minute(compared.before().date())
            + " and "
            + Dates.minute(compared.now().date())
            + ": "
            + c.verdict().word()
            + ". "
            + c.sentence());
    if (!Double.isNaN(c.agreement().shape())) {
      sentences.add(
          String.format(
              Locale.ROOT,
              "Likeness of the responses from %.0f to %.0f Hz: shape (FRAC) %.4f, shape and size"
                  + " %.4f.",
              c.bandLowHz(),
              c.bandHighHz(),
              c.agreement().shape(),
              c.agreement().amplitude()));
    }
    sentences.addAll(c.meaning());
    sentences.addAll(compared.remarks());
    sentences.addAll(c.remarks());
    for (SetUpComparison.Pair p : c.pairs()) {
      rows.add(
          row(
              axis,
              Optional.of(
                  new Three(
                      p.before().frequencyHz(),
                      p.before().dampingRatio(),
                      p.before().stiffnessNPerM())),
              Optional.of(
                  new Three(
                      p.now().frequencyHz(), p.now().dampingRatio(), p.now().stiffnessNPerM())),
              p.isSignificant() ? "changed" : "no"));
    }
    c.gone()
        .forEach(
            l ->
                rows.add(
                    row(
                        axis,
                        Optional.of(
                            new Three(
                                l.mode().frequencyHz(),
                                l.mode().dampingRatio(),
                                l.mode().stiffnessNPerM())),
                        Optional.empty(),
                        "only before")));
    c.added()
        .forEach(
            l ->
                rows.add(
                    row(
                        axis,
                        Optional.empty(),
                        Optional.of(
                            new Three(
                                l.mode().frequencyHz(),
                                l.mode().dampingRatio(),
                                l.mode().stiffnessNPerM())),
                        "only now")));
  }

  /** The three numbers of a mode. */
  private record Three(double hz, double damping, double stiffness) {}

  /** Without responses the modes can be put beside each other, but not judged. */
  private static void modes(
      String axis, SavedMeasurement before, SavedMeasurement now, List<String[]> rows) {
    for (int i = 0; i < Math.max(before.modes().size(), now.modes().size()); i++) {
      rows.add(row(axis, mode(before, i), mode(now, i), "not judged"));
    }
  }

  private static Optional<Three> mode(SavedMeasurement m, int i) {
    return i < m.modes().size()
        ? Optional.of(
            new Three(
                m.modes().get(i).frequencyHz(),
                m.modes().get(i).dampingRatio(),
                m.modes().get(i).stiffnessNPerM()))
        : Optional.empty();
  }

  private static String[] row(
      String axis, Optional<Three> before, Optional<Three> now, String changed) {
    String shift =
        before.isPresent() && now.isPresent()
            ? String.format(Locale.ROOT, "%+.2f %%", 100 * (now.get().hz / before.get().hz - 1))
            : "";
    return new String[] {
      axis,
      text(before, "%.1f", Three::hz, 1),
      text(now, "%.1f", Three::hz, 1),
      shift,
      text(before, "%.2f", Three::damping, 100),
      text(now, "%.2f", Three::damping, 100),
      text(before, "%.3g", Three::stiffness, 1e-6),
      text(now, "%.3g", Three::stiffness, 1e-6),
      changed
    };
  }

  private static String text(
      Optional<Three> mode,
      String format,
      java.util.function.ToDoubleFunction<Three> of,
      double factor) {
    return mode.map(m -> of.applyAsDouble(m) * factor)
        .filter(v -> !Double.isNaN(v))
        .map(v -> String.format(Locale.ROOT, format, v))
        .orElse("");
  }
}

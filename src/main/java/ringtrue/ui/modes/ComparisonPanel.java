package ringtrue.ui.modes;

import java.awt.event.MouseEvent;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import javax.swing.JComboBox;
import javax.swing.JLabel;
import javax.swing.JPanel;
import javax.swing.JScrollPane;
import javax.swing.JTable;
import javax.swing.table.DefaultTableModel;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.fitting.FitSettings;
import ringtrue.fitting.FittedModes;
import ringtrue.fitting.FittedResponse;
import ringtrue.fitting.ModeFitter;
import ringtrue.fitting.SetUpComparer;
import ringtrue.fitting.SetUpComparison;
import ringtrue.fitting.SetUpComparison.Change;
import ringtrue.library.SavedMeasurement;
import ringtrue.ui.desk.Desk;
import ringtrue.ui.kit.MigLayout;
import ringtrue.ui.kit.Notice;
import ringtrue.ui.kit.Sign;
import ringtrue.ui.response.Latest;
import ringtrue.ui.response.Older;
import ringtrue.ui.response.SidePanel;
import ringtrue.units.BadInputException;

/** Whether the set-up is still what it was at an older measurement. */
final class ComparisonPanel extends JPanel {
  private final JComboBox<String> choice = new JComboBox<>();
  private final Notice verdict = new Notice("modes-compare-verdict");
  private final SidePanel words = new SidePanel("modes-compare-words");
  private final DefaultTableModel model =
      new DefaultTableModel() {
        @Override
        public boolean isCellEditable(int row, int column) {
          return false;
        }
      };
  private final JTable table =
      new JTable(model) {
        @Override
        public String getToolTipText(MouseEvent event) {
          int row = rowAtPoint(event.getPoint());
          return row < 0 || row >= whole.size() ? null : whole.get(row);
        }
      };
  private List<String> whole = List.of();
  private final Latest work;
  private List<Older> older = List.of();
  private Optional<FittedResponse> now = Optional.empty();
  private Object compared;
  private boolean filling;

  ComparisonPanel(Desk desk) {
    super(
        new MigLayout(
            "ins 6 0 0 0, fill, wrap 1, hidemode 3",
            "[grow,fill]",
            "[][][grow 50,fill][grow,fill]"));
    work = new Latest(desk.tasks(), "comparison with the older measurement");
    JLabel label = new JLabel("Compare with");
    label.setLabelFor(choice);
    choice.setName("modes-compare-choice");
    choice.getAccessibleContext().setAccessibleName("Older measurement to compare with");
    choice.addActionListener(
        e -> {
          if (!filling) {
            compare();
          }
        });
    table.setName("modes-compare-table");
    table.getAccessibleContext().setAccessibleName("What changed of each mode");
    table.setFillsViewportHeight(true);
    add(label, "split 2, grow 0");
    add(choice, "growx, wmin 0");
    add(verdict, "growx, wmin 0");
    add(new JScrollPane(table), "grow, hmin 60lp, wmin 0");
    add(words, "grow, hmin 40lp, wmin 0");
    model.setColumnIdentifiers(new Object[] {"Mode", "Frequency", "Damping", "Stiffness"});
  }

  /** What there is to choose from, the newest first. */
  void older(List<Older> list) {
    if (list.equals(older)) {
      return;
    }
    older = list;
    filling = true;
    choice.removeAllItems();
    choice.addItem(list.isEmpty() ? "no older measurement is saved" : "nothing");
    list.forEach(o -> choice.addItem(o.words()));
    choice.setEnabled(!list.isEmpty());
    filling = false;
    compared = null;
    compare();
  }

  /** What is compared with it. */
  void now(Optional<FittedResponse> fitted) {
    if (!fitted.equals(now)) {
      now = fitted;
      compare();
    }
  }

  /** A comparison, and what it takes for granted. */
  private record Compared(SetUpComparison found, String assumed) {}

  private void compare() {
    int index = choice.getSelectedIndex() - 1;
    if (index < 0 || index >= older.size() || now.isEmpty()) {
      compared = null;
      model.setRowCount(0);
      words.clear();
      verdict.clear();
      if (index >= 0) {
        verdict.say(Sign.NOTE, "Only a measured response can be compared.");
      }
      return;
    }
    Older before = older.get(index);
    FittedResponse today = now.get();
    record Key(Older before, FittedResponse today) {}
    Key key = new Key(before, today);
    if (key.equals(compared)) {
      return;
    }
    compared = key;
    List<SavedMeasurement> known = older.stream().map(Older::saved).toList();
    work.want(
        progress -> {
          FrequencyResponse response =
              before
                  .response()
                  .orElseThrow(
                      () ->
                          new BadInputException(
                              "only the modes of that measurement were kept, not its response: it"
                                  + " cannot be compared"));
          FittedModes fitted = ModeFitter.fit(response, FitSettings.AUTOMATIC, progress);
          // the modes as they were saved: their sigmas know more than the response does
          FittedResponse then =
              new FittedResponse(
                  response, before.saved().model().map(fitted::withModel).orElse(fitted));
          Clamping clamping = Clamping.of(known, before.saved(), today.fitted().model());
          return new Compared(
              SetUpComparer.compare(then, today, clamping.scatter()), clamping.words());
        },
        found -> {
          if (key.equals(compared)) {
            show(found);
          }
        },
        complaint -> {
          if (key.equals(compared)) {
            model.setRowCount(0);
            words.clear();
            verdict.say(Sign.CAUTION, complaint);
          }
        });
  }

  private void show(Compared all) {
    SetUpComparison found = all.found;
    verdict.say(
        switch (found.verdict()) {
          case UNCHANGED -> Sign.DONE;
          case CHANGED -> Sign.CAUTION;
          case CANNOT_TELL -> Sign.NOTE;
        },
        found.sentence());
    model.setRowCount(0);
    for (List<String> row : rows(found)) {
      model.addRow(row.toArray());
    }
    whole = whole(found);
    words.clear();
    if (found.pairs().stream().anyMatch(SetUpComparison.Pair::isSignificant)) {
      words.line("* more than chance would make");
    }
    found.meaning().forEach(words::line);
    words.remark(all.assumed, "modes-compare-assumed");
    found.remarks().forEach(r -> words.remark(r, "modes-compare-remark"));
    words.done();
  }

  /** Each mode with its changes; a star marks those that are more than chance. */
  static List<List<String>> rows(SetUpComparison found) {
    List<List<String>> rows = new ArrayList<>();
    for (SetUpComparison.Pair pair : found.pairs()) {
      rows.add(
          List.of(
              String.format(Locale.ROOT, "%.0f Hz", pair.now().frequencyHz()),
              percent(pair.frequency()),
              percent(pair.damping()),
              percent(pair.stiffness())));
    }
    for (SetUpComparison.Lone lone : found.gone()) {
      rows.add(List.of(hertz(lone.mode().frequencyHz()), "only then", "", ""));
    }
    for (SetUpComparison.Lone lone : found.added()) {
      rows.add(List.of(hertz(lone.mode().frequencyHz()), "only now", "", ""));
    }
    return rows;
  }

  /** The same with all digits and sigmas. */
  static List<String> whole(SetUpComparison found) {
    return found.pairs().stream()
        .map(
            p ->
                String.format(
                    Locale.ROOT,
                    "%.2f → %.2f Hz (%+.2f Hz); %s; %s; %s",
                    p.before().frequencyHz(),
                    p.now().frequencyHz(),
                    p.shiftHz(),
                    sigma("frequency", p.frequency()),
                    sigma("damping", p.damping()),
                    sigma("stiffness", p.stiffness())))
        .toList();
  }

  private static String hertz(double hz) {
    return String.format(Locale.ROOT, "%.0f Hz", hz);
  }

  private static String percent(Change change) {
    return Double.isNaN(change.relative())
        ? "unknown"
        : String.format(
            Locale.ROOT, "%+.1f %%%s", 100 * change.relative(), change.significant() ? " *" : "");
  }

  private static String sigma(String what, Change change) {
    return String.format(
        Locale.ROOT, "%s %+.2f %% ± %.2f %%", what, 100 * change.relative(), 100 * change.sigma());
  }
}

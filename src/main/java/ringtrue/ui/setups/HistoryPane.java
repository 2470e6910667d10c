package ringtrue.ui.setups;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.function.ToDoubleFunction;
import javax.swing.BorderFactory;
import javax.swing.JComboBox;
import javax.swing.JLabel;
import javax.swing.JPanel;
import javax.swing.JScrollPane;
import ringtrue.dynamics.Mode;
import ringtrue.fitting.ModeDrift;
import ringtrue.library.DriftWords;
import ringtrue.library.SavedMeasurement;
import ringtrue.library.SavedSetUp;
import ringtrue.library.SetUpHistory;
import ringtrue.ui.kit.MigLayout;
import ringtrue.ui.kit.Sign;
import ringtrue.ui.kit.Wrapped;
import ringtrue.ui.plot.Axis;
import ringtrue.ui.plot.Ink;
import ringtrue.ui.plot.Mark;
import ringtrue.ui.plot.Plot;
import ringtrue.ui.plot.PlotContent;
import ringtrue.ui.plot.Stroke;

/** Each mode of a set-up through its measurements. */
final class HistoryPane extends JPanel {
  private static final double SECONDS_A_DAY = 86_400;
  private static final Ink[] INKS = {Ink.FIRST, Ink.SECOND, Ink.THIRD, Ink.FOURTH, Ink.FIFTH};
  private static final Mark[] MARKS = {
    Mark.CIRCLE, Mark.SQUARE, Mark.TRIANGLE, Mark.DIAMOND, Mark.CROSS
  };

  /** What is drawn of a mode. */
  private enum Value {
    FREQUENCY("natural frequency", Mode::frequencyHz, Mode::frequencyHzSigma),
    DAMPING("damping ratio", Mode::dampingRatio, Mode::dampingRatioSigma),
    STIFFNESS("stiffness", Mode::stiffnessNPerM, Mode::stiffnessNPerMSigma);

    private final String words;
    private final ToDoubleFunction<Mode> of;
    private final ToDoubleFunction<Mode> sigma;

    Value(String words, ToDoubleFunction<Mode> of, ToDoubleFunction<Mode> sigma) {
      this.words = words;
      this.of = of;
      this.sigma = sigma;
    }

    @Override
    public String toString() {
      return words;
    }
  }

  private final Shelf shelf;
  private final JComboBox<String> axis = new JComboBox<>();
  private final JComboBox<Value> value = new JComboBox<>(Value.values());
  private final Plot plot = new Plot("Modes of the chosen set-up over time");
  private final Wrapped words = new Wrapped("");
  private List<SetUpHistory> all = List.of();
  private boolean filling;

  HistoryPane(Shelf shelf) {
    super(new MigLayout("ins 6 0 0 0, fill", "[grow 60,fill]12[grow 40,fill]", "[][grow,fill]"));
    this.shelf = shelf;
    axis.setName("history-axis");
    value.setName("history-value");
    plot.setName("history-plot");
    words.setName("history-words");
    axis.getAccessibleContext().setAccessibleName("Direction");
    value.getAccessibleContext().setAccessibleName("What is drawn");
    axis.addActionListener(e -> draw());
    value.addActionListener(e -> draw());
    JPanel top = new JPanel(new MigLayout("ins 0"));
    top.add(new JLabel("Change since the first of the"));
    top.add(value);
    top.add(new JLabel("in direction"));
    top.add(axis);
    add(top, "span, wrap");
    add(plot, "grow, wmin 200, hmin 0");
    JScrollPane scroll = new JScrollPane(words);
    scroll.setBorder(BorderFactory.createEmptyBorder());
    add(scroll, "grow, wmin 100, hmin 0");
  }

  /** Works out and shows a set-up's history. */
  void show(String id) {
    plot.show(PlotContent.empty("being worked out"));
    words.setText("");
    shelf
        .desk()
        .tasks()
        .start(
            "history",
            progress -> {
              SavedSetUp saved = shelf.desk().library().read(id);
              List<SetUpHistory> found = new ArrayList<>();
              saved.measurements().stream()
                  .map(SavedMeasurement::axis)
                  .distinct()
                  .sorted()
                  .forEach(a -> SetUpHistory.of(saved, a).ifPresent(found::add));
              return found;
            },
            this::shown,
            problem -> {
              plot.show(PlotContent.empty(problem));
              shelf.say(Sign.BAD, problem);
            });
  }

  private void shown(List<SetUpHistory> found) {
    all = found;
    filling = true;
    axis.removeAllItems();
    found.forEach(h -> axis.addItem(h.axis()));
    filling = false;
    draw();
  }

  private void draw() {
    if (filling) {
      return;
    }
    int at = axis.getSelectedIndex();
    if (at < 0 || at >= all.size()) {
      plot.show(PlotContent.empty("no measurement with modes whose stiffness is known"));
      words.setText("");
      return;
    }
    SetUpHistory h = all.get(at);
    plot.show(content(h, (Value) value.getSelectedItem()));
    words.setText(String.join("\n\n", sentences(h)));
    words.setCaretPosition(0);
  }

  /** What is drawn: percent of change since the first, with one sigma, over days. */
  private static PlotContent content(SetUpHistory h, Value what) {
    Instant first = h.measurements().get(0).date();
    double[] days =
        h.measurements().stream()
            .mapToDouble(m -> (m.date().getEpochSecond() - first.getEpochSecond()) / SECONDS_A_DAY)
            .toArray();
    double last = Math.max(days[days.length - 1], 1e-3);
    double most = 0.1;
    List<double[][]> series = new ArrayList<>();
    for (ModeDrift drift : h.drifts()) {
      double reference = what.of.applyAsDouble(drift.track().found().get(0));
      double[] y = new double[days.length];
      double[] barsX = new double[3 * days.length];
      double[] barsY = new double[3 * days.length];
      for (int i = 0; i < days.length; i++) {
        Mode mode = drift.track().modes().get(i);
        y[i] = mode == null ? Double.NaN : 100 * (what.of.applyAsDouble(mode) / reference - 1);
        double s = mode == null ? Double.NaN : 100 * what.sigma.applyAsDouble(mode) / reference;
        barsX[3 * i] = days[i];
        barsX[3 * i + 1] = days[i];
        barsX[3 * i + 2] = Double.NaN;
        barsY[3 * i] = y[i] - s;
        barsY[3 * i + 1] = y[i] + s;
        barsY[3 * i + 2] = Double.NaN;
        for (double v : new double[] {y[i], y[i] - s, y[i] + s}) {
          most = Double.isNaN(v) ? most : Math.max(most, Math.abs(v));
        }
      }
      series.add(new double[][] {y, barsX, barsY});
    }
    PlotContent.Builder content =
        PlotContent.of(
                Axis.linear("days since " + Dates.day(first), -0.03 * last, 1.03 * last),
                Axis.linear("change (%)", -1.15 * most, 1.15 * most))
            .title(h.axis() + ", " + what.words + ", one sigma")
            .viewKey(h.axis() + what);
    for (int k = 0; k < series.size(); k++) {
      String name =
          String.format(Locale.ROOT, "%.0f Hz", h.drifts().get(k).track().latest().frequencyHz());
      double[][] s = series.get(k);
      Ink ink = INKS[k % INKS.length];
      content.curve(name, days, s[0], ink, Stroke.SOLID, MARKS[k % MARKS.length]);
      content.curve(name, s[1], s[2], ink, Stroke.SOLID, Mark.NONE);
    }
    return content.build();
  }

  static List<String> sentences(SetUpHistory h) {
    List<String> all = new ArrayList<>();
    for (ModeDrift drift : h.drifts()) {
      List<String> its = DriftWords.of(drift, SetUpHistory.scatter(h.measurements()));
      all.add(
          String.format(
              Locale.ROOT,
              "Mode near %.1f Hz: %s.",
              drift.track().latest().frequencyHz(),
              its.isEmpty() ? "found once only" : String.join("; ", its)));
    }
    int clampings = h.spread().clampings();
    all.add(
        clampings < 2
            ? "Measured in one clamping: nothing is known of what clamping again does."
            : "Measured in " + clampings + " clampings.");
    all.addAll(h.spread().remarks());
    return all;
  }
}

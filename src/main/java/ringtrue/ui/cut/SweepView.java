package ringtrue.ui.cut;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalDouble;
import javax.swing.DefaultComboBoxModel;
import javax.swing.JButton;
import javax.swing.JComboBox;
import javax.swing.JComponent;
import javax.swing.JLabel;
import javax.swing.JPanel;
import javax.swing.JProgressBar;
import javax.swing.Timer;
import ringtrue.library.Cut;
import ringtrue.library.ModalWay;
import ringtrue.planning.CutPlan;
import ringtrue.planning.PlanSettings;
import ringtrue.planning.Sweep;
import ringtrue.planning.SweepParameter;
import ringtrue.report.LengthUnit;
import ringtrue.report.SweepWords;
import ringtrue.ui.desk.Desk;
import ringtrue.ui.desk.Tasks;
import ringtrue.ui.job.CutField;
import ringtrue.ui.kit.Field;
import ringtrue.ui.kit.MigLayout;
import ringtrue.ui.kit.Notice;
import ringtrue.ui.kit.Sign;
import ringtrue.ui.plot.Axis;
import ringtrue.ui.plot.Ink;
import ringtrue.ui.plot.Mark;
import ringtrue.ui.plot.Plot;
import ringtrue.ui.plot.PlotContent;
import ringtrue.ui.plot.Stroke;
import ringtrue.units.Dimension;

/** What if: one thing of the cut is varied, and every limit is shown against it. */
final class SweepView {
  private static final int VALUES = 81;
  private static final double LEAST_TOP = 140;
  private static final double MOST_TOP = 250;
  private static final int PROGRESS_MS = 100;
  private static final Ink[] INKS = {Ink.FIRST, Ink.SECOND, Ink.THIRD, Ink.FOURTH, Ink.FIFTH};
  private static final Stroke[] STROKES = {Stroke.SOLID, Stroke.DASHED, Stroke.DOTTED};

  private final Desk desk;
  private final JPanel view =
      new JPanel(
          new MigLayout("ins 8 12 8 12, fill, hidemode 3", "[grow,fill]", "[][][][grow,fill]"));
  private final JComboBox<String> parameter = new JComboBox<>();
  private final Field from = new Field("cut-sweep-from", "from", 6);
  private final Field to = new Field("cut-sweep-to", "to", 6);
  private final JButton start = new JButton("Work it out (F6)");
  private final JButton cancel = new JButton("Stop");
  private final JProgressBar bar = new JProgressBar(0, 100);
  private final Notice notice = new Notice("cut-sweep-says");
  private final Plot plot = new Plot("share of each limit that is used");
  private final Timer watch = new Timer(PROGRESS_MS, e -> progress());
  private Tasks.Task running;
  private Cut filledFor;
  private Cut sweptOf;
  private Sweep swept;
  private boolean filling;

  SweepView(Desk desk) {
    this.desk = desk;
    parameter.setName("cut-sweep-parameter");
    parameter.getAccessibleContext().setAccessibleName("what is varied");
    List<String> words = new ArrayList<>();
    for (SweepParameter p : SweepParameter.values()) {
      words.add(words(p));
    }
    parameter.setModel(new DefaultComboBoxModel<>(words.toArray(new String[0])));
    parameter.addActionListener(
        e -> {
          if (!filling) {
            fill();
          }
        });
    start.setName("cut-sweep-start");
    start.addActionListener(e -> start());
    cancel.setName("cut-sweep-cancel");
    cancel.addActionListener(e -> stop());
    bar.setName("cut-sweep-progress");
    bar.getAccessibleContext().setAccessibleName("progress of what if");
    plot.setName("cut-sweep-plot");
    from.onCommit(t -> from.show(complete(t)));
    to.onCommit(t -> to.show(complete(t)));
    JPanel line =
        new JPanel(
            new MigLayout(
                "ins 0, fillx, hidemode 3",
                "[][grow,fill,60::170][][60:110:140,grow][][60:110:140,grow][]",
                "[top]"));
    JLabel what = new JLabel("What if");
    what.setLabelFor(parameter);
    line.add(what, "gaptop 4");
    line.add(parameter, "growx, wmin 60");
    line.add(from.label(), "gaptop 4");
    line.add(from, "growx, wmin 60");
    line.add(to.label(), "gaptop 4");
    line.add(to, "growx, wmin 60");
    line.add(start);
    JPanel going = new JPanel(new MigLayout("ins 0, fillx, hidemode 3", "[grow,fill][]"));
    going.add(bar, "growx");
    going.add(cancel);
    view.add(line, "growx, wmin 0, wrap");
    view.add(going, "growx, wrap");
    view.add(notice, "growx, wmin 0, wrap");
    view.add(plot, "grow, hmin 120");
    bar.setVisible(false);
    cancel.setVisible(false);
    plot.show(PlotContent.empty("Choose what to vary, then press Work it out (F6)."));
  }

  JComponent view() {
    return view;
  }

  /** What a parameter is called. */
  static String words(SweepParameter parameter) {
    return switch (parameter) {
      case SPEED -> "spindle speed";
      case AXIAL -> "axial depth";
      case RADIAL -> "radial width";
      case FEED_PER_TOOTH -> "feed per tooth";
      case HELIX -> "helix";
      case RUNOUT -> "run-out";
      case EDGE_RADIUS -> "edge radius";
      case KTC -> "tangential coefficient";
      case KRC -> "radial coefficient";
      case KTE -> "tangential edge coefficient";
      case KRE -> "radial edge coefficient";
      case FORCES -> "all cutting forces";
    };
  }

  private SweepParameter chosen() {
    return SweepParameter.values()[parameter.getSelectedIndex()];
  }

  private String complete(String text) {
    Dimension dimension = chosen().dimension();
    return CutValues.bare(
        text.strip(), dimension == Dimension.RATIO ? "%" : CutValues.unit(dimension, desk.unit()));
  }

  /** Shows what holds for the job's cut now. */
  void refresh() {
    Optional<Cut> cut = desk.results().cut().value();
    start.setEnabled(cut.isPresent() && running == null);
    if (cut.isPresent() && filledFor == null) {
      fill();
    }
    if (swept != null && sweptOf != null && !cut.equals(Optional.of(sweptOf))) {
      notice.say(Sign.CAUTION, "The cut has changed since: work it out again (F6).");
    }
  }

  /** Ends to vary between, about what the cut has. */
  private void fill() {
    Optional<Cut> cut = desk.results().cut().value();
    if (cut.isEmpty()) {
      return;
    }
    filledFor = cut.get();
    double[] ends = ends(chosen(), cut.get());
    from.show(text(ends[0]));
    to.show(text(ends[1]));
    from.complain("");
    to.complain("");
  }

  private String text(double si) {
    Dimension dimension = chosen().dimension();
    return dimension == Dimension.RATIO
        ? CutValues.number(100 * si, 4) + " %"
        : CutValues.text(dimension, Double.parseDouble(CutValues.number(si, 4)), desk.unit());
  }

  /** Where to vary it, in SI (speed in rpm): about its own value, within what makes sense. */
  static double[] ends(SweepParameter parameter, Cut cut) {
    double own;
    try {
      own = parameter.of(cut.process());
    } catch (java.util.NoSuchElementException e) {
      own = Double.NaN; // a tool's number in turning
    }
    switch (parameter) {
      case SPEED:
        double low = cut.machine().minSpeedRpm();
        double high = cut.machine().maxSpeedRpm();
        return new double[] {
          Double.isNaN(low) ? own / 2 : low, Double.isNaN(high) ? 2 * own : high
        };
      case RADIAL:
        double wide = cut.process().tool().map(t -> t.diameterM()).orElse(2 * own);
        return new double[] {Double.isNaN(own) ? wide / 20 : own / 4, wide};
      case HELIX:
        return new double[] {0, Math.toRadians(55)};
      case RUNOUT:
        return new double[] {0, 20e-6};
      case EDGE_RADIUS:
        return new double[] {2e-6, 30e-6};
      default:
        return own > 0 ? new double[] {own / 4, 2 * own} : new double[] {1e-6, 1e-3};
    }
  }

  /** Works it out in the background. */
  void start() {
    Optional<Cut> cut = desk.results().cut().value();
    if (cut.isEmpty()) {
      notice.say(Sign.NOTE, "Describe the cut first.");
      return;
    }
    Dimension dimension = chosen().dimension();
    OptionalDouble low = end(from, dimension);
    OptionalDouble high = end(to, dimension);
    if (low.isEmpty() || high.isEmpty()) {
      return;
    }
    if (!(high.getAsDouble() > low.getAsDouble())) {
      to.complain("must be more than where it begins");
      return;
    }
    stop();
    List<Double> values = new ArrayList<>();
    for (int i = 0; i < VALUES; i++) {
      values.add(low.getAsDouble() + (high.getAsDouble() - low.getAsDouble()) * i / (VALUES - 1.0));
    }
    SweepParameter what = chosen();
    Cut of = cut.get();
    LengthUnit unit = desk.unit();
    PlanSettings settings = of.planSettings().withInches(unit == LengthUnit.INCH);
    notice.clear();
    running =
        desk.tasks()
            .start(
                "what if " + words(what),
                progress ->
                    Sweep.of(
                        of.process(),
                        of.machine(),
                        settings,
                        ModalWay.judge(of.process(), progress),
                        what,
                        values,
                        progress),
                sweep -> {
                  ended();
                  show(sweep, of, unit);
                },
                complaint -> {
                  ended();
                  notice.say(Sign.BAD, CutField.withoutPlace(complaint));
                });
    bar.setValue(0);
    bar.setVisible(true);
    cancel.setVisible(true);
    start.setEnabled(false);
    watch.start();
  }

  private OptionalDouble end(Field field, Dimension dimension) {
    String text = complete(field.text());
    field.show(text);
    OptionalDouble si = CutValues.si(dimension, text);
    field.complain(si.isPresent() ? "" : "write it like " + dimension.example());
    return si;
  }

  private void progress() {
    if (running != null) {
      bar.setValue((int) Math.round(100 * running.done()));
    }
  }

  private void stop() {
    if (running != null) {
      running.cancel();
      ended();
    }
  }

  private void ended() {
    running = null;
    watch.stop();
    bar.setVisible(false);
    cancel.setVisible(false);
    start.setEnabled(desk.results().cut().value().isPresent());
  }

  private void show(Sweep sweep, Cut of, LengthUnit unit) {
    swept = sweep;
    sweptOf = of;
    plot.show(content(sweep, unit));
    String said = SweepWords.summary(sweep, unit);
    notice.say(
        sweep.inside().isEmpty() ? Sign.CAUTION : Sign.NOTE,
        said.substring(0, 1).toUpperCase(Locale.ROOT)
            + said.substring(1)
            + ". One thing is varied, all else is as it is.");
  }

  /** What the plot shows of a sweep. */
  static PlotContent content(Sweep sweep, LengthUnit unit) {
    Dimension dimension = sweep.parameter().dimension();
    double[] xs =
        sweep.rows().stream()
            .mapToDouble(r -> SweepWords.shown(r.value(), dimension, unit))
            .toArray();
    double most = LEAST_TOP;
    for (Sweep.Row row : sweep.rows()) {
      for (CutPlan.Limit l : row.limits()) {
        most = l.advice() || !Double.isFinite(l.share()) ? most : Math.max(most, 103 * l.share());
      }
    }
    PlotContent.Builder b =
        PlotContent.of(
                Axis.linear(
                    words(sweep.parameter())
                        + " ("
                        + SweepWords.unit(dimension, unit).strip()
                        + ")",
                    xs[0],
                    xs[xs.length - 1]),
                Axis.linear("share of the limit (%)", 0, Math.min(MOST_TOP, most)))
            .title("What if " + words(sweep.parameter()) + "?")
            .viewKey(sweep.parameter().word() + unit);
    for (Sweep.Stretch s : sweep.inside()) {
      b.span(
          "inside every limit",
          SweepWords.shown(s.from(), dimension, unit),
          SweepWords.shown(s.to(), dimension, unit),
          Ink.GOOD);
    }
    b.lines("limit", new double[] {100}, List.of("limit"), false, Ink.TEXT, Stroke.SOLID);
    List<String> names = sweep.limitNames();
    for (int i = 0; i < names.size(); i++) {
      String name = names.get(i);
      double[] ys =
          sweep.rows().stream()
              .mapToDouble(r -> r.limit(name).map(l -> 100 * l.share()).orElse(Double.NaN))
              .toArray();
      b.curve(
          name,
          xs,
          ys,
          INKS[i % INKS.length],
          STROKES[i / INKS.length % STROKES.length],
          Mark.NONE);
    }
    if (Double.isFinite(sweep.ownValue())) {
      b.lines(
          "this cut",
          new double[] {SweepWords.shown(sweep.ownValue(), dimension, unit)},
          List.of("this cut"),
          true,
          Ink.ACCENT,
          Stroke.DASHED);
    }
    return b.build();
  }
}

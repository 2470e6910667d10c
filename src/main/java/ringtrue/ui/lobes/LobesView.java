package ringtrue.ui.lobes;

import java.awt.BorderLayout;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Set;
import java.util.function.DoubleFunction;
import java.util.stream.IntStream;
import javax.swing.BorderFactory;
import javax.swing.ButtonGroup;
import javax.swing.JButton;
import javax.swing.JCheckBox;
import javax.swing.JComboBox;
import javax.swing.JComponent;
import javax.swing.JLabel;
import javax.swing.JPanel;
import javax.swing.JScrollPane;
import javax.swing.JToggleButton;
import javax.swing.ScrollPaneConstants;
import net.miginfocom.swing.MigLayout;
import ringtrue.library.CatalogueMaterial;
import ringtrue.library.Cut;
import ringtrue.planning.CutPlan;
import ringtrue.report.LengthUnit;
import ringtrue.report.LobesWords;
import ringtrue.stability.CuttingProcess;
import ringtrue.stability.CuttingProcess.Operation;
import ringtrue.stability.Method;
import ringtrue.stability.StabilityMap.Over;
import ringtrue.ui.desk.Desk;
import ringtrue.ui.desk.Finding;
import ringtrue.ui.desk.StageId;
import ringtrue.ui.job.CutDraft;
import ringtrue.ui.job.CutField;
import ringtrue.ui.job.Direction;
import ringtrue.ui.kit.Field;
import ringtrue.ui.kit.Notice;
import ringtrue.ui.kit.Sign;
import ringtrue.ui.kit.Wrapped;
import ringtrue.ui.plot.Plot;
import ringtrue.ui.plot.PlotContent;
import ringtrue.ui.response.WrapFlow;
import ringtrue.units.Dimension;

/** The map with the cut in it, what happens there, and what can be changed. */
final class LobesView extends JPanel implements LobesWork.Listener {
  private static final String AUTOMATIC = "automatic";
  private static final double PER_VIEW = 400;
  private static final double MOST_HELIX_RAD = Math.toRadians(60);
  private static final double MOST_DAMPING_N_PER_M = 3e5;

  private final Desk desk;
  private final LobesWork work;
  private final Plot plot = new Plot("stability over spindle speed");
  private final JToggleButton depth = new JToggleButton("Depth");
  private final JToggleButton width = new JToggleButton("Width");
  private final JComboBox<String> method = new JComboBox<>();
  private final JCheckBox chance = new JCheckBox("Chance of no chatter");
  private final JCheckBox zeroOrder = new JCheckBox("Zero-order beside");
  private final Field from = new Field("lobes-from", "Speeds from", 7).example("machine");
  private final Field to = new Field("lobes-to", "to", 7).example("machine");
  private final Field upTo = new Field("lobes-up-to", "up to", 6).example(AUTOMATIC);
  private final Wrapped status = new Wrapped(" ");
  private final Notice problem = new Notice("lobes-problem");
  private final JButton mend = new JButton();
  private final JLabel sign = new JLabel();
  private final Wrapped brief = new Wrapped("");
  private final Wrapped sentence = new Wrapped("");
  private final LimitBars bars = new LimitBars();
  private final Wrapped remarks = new Wrapped("");
  private final List<Lever> levers = new ArrayList<>();
  private final JComboBox<String> flutes = new JComboBox<>();
  private final JLabel flutesLabel = new JLabel("flutes");
  private final JComboBox<String> material = new JComboBox<>();
  private Runnable mending = () -> {};
  private boolean refreshing;
  private boolean seen;
  private Cut cut;
  private Here here;
  private String workProblem = "";
  private Object folder;

  LobesView(Desk desk) {
    super(new MigLayout("ins 10 12 6 12, fill", "[grow,fill]14[350lp!,fill]", "[grow,fill]"));
    this.desk = desk;
    work = new LobesWork(desk, this);
    setName("lobes");
    add(left(), "grow, wmin 0, hmin 0");
    JScrollPane scroll =
        new JScrollPane(
            right(),
            ScrollPaneConstants.VERTICAL_SCROLLBAR_AS_NEEDED,
            ScrollPaneConstants.HORIZONTAL_SCROLLBAR_NEVER);
    scroll.setBorder(BorderFactory.createEmptyBorder());
    scroll.getVerticalScrollBar().setUnitIncrement(16);
    scroll.setName("lobes-right");
    add(scroll, "grow, wmin 0, hmin 0");
    plot.setName("lobes-plot");
    plot.onHandle((id, x, y, finished) -> drag(x, y, finished));
    desk.onChange(this::refresh);
    desk.results().planAfter(work::hurries);
  }

  // ---- parts

  private JPanel left() {
    JPanel left = new JPanel(new BorderLayout(0, 4));
    JPanel top = new JPanel(new MigLayout("ins 0, gap 0 4, wrap 1, fillx", "[grow,fill]", "[]4[]"));
    JPanel first = WrapFlow.panel(6);
    JPanel second = WrapFlow.panel(6);
    top.add(first, "growx, wmin 0");
    top.add(second, "growx, wmin 0");
    ButtonGroup group = new ButtonGroup();
    group.add(depth);
    group.add(width);
    depth.setName("lobes-over-depth");
    width.setName("lobes-over-width");
    depth.setToolTipText("Axial depth over speed (Ctrl+Shift+W changes)");
    width.setToolTipText("Radial width over speed (Ctrl+Shift+W changes)");
    depth.addActionListener(e -> remember("lobes.over", "depth"));
    width.addActionListener(e -> remember("lobes.over", "width"));
    method.setName("lobes-method");
    method.getAccessibleContext().setAccessibleName("Method");
    method.addItem(AUTOMATIC);
    method.addItem(Method.PERIODIC.word());
    method.addItem(Method.ZERO_ORDER.word());
    method.addItem(Method.MULTI_FREQUENCY.word());
    method.setToolTipText("How the map is computed");
    method.addActionListener(e -> remember("lobes.method", method.getSelectedItem()));
    chance.setName("lobes-chance");
    chance.setToolTipText(
        "Draw modes and cutting forces inside their uncertainties; takes a while (Ctrl+Shift+K)");
    chance.addActionListener(e -> remember("lobes.chance", chance.isSelected()));
    zeroOrder.setName("lobes-beside");
    zeroOrder.setToolTipText("The map by averaged factors, for comparison (Ctrl+Shift+B)");
    zeroOrder.addActionListener(e -> remember("lobes.beside", zeroOrder.isSelected()));
    JLabel how = new JLabel("Method");
    how.setLabelFor(method);
    first.add(together(depth, width));
    first.add(together(how, method));
    first.add(chance);
    second.add(together(from.label(), from, to.label(), to));
    second.add(together(upTo.label(), upTo));
    second.add(zeroOrder);
    from.onCommit(t -> range(from, "lobes.from", t, Dimension.SPINDLE_SPEED));
    to.onCommit(t -> range(to, "lobes.to", t, Dimension.SPINDLE_SPEED));
    upTo.onCommit(t -> range(upTo, "lobes.upTo", t, Dimension.LENGTH));
    left.add(top, BorderLayout.NORTH);
    left.add(plot, BorderLayout.CENTER);
    status.setName("lobes-status");
    left.add(status, BorderLayout.SOUTH);
    return left;
  }

  /** What stays in one row where the others wrap. */
  private static JPanel together(JComponent... parts) {
    JPanel panel = new JPanel(new MigLayout("ins 0, gap 6, hidemode 3"));
    for (JComponent each : parts) {
      panel.add(each);
    }
    return panel;
  }

  private JPanel right() {
    JPanel right =
        new WidthPanel(
            new MigLayout(
                "ins 0 0 0 8, wrap 3, fillx, hidemode 3, gapy 4", "[][grow,fill][100lp!]"));
    problem.setName("lobes-problem");
    mend.setName("lobes-mend");
    mend.addActionListener(e -> mending.run());
    brief.setName("lobes-brief");
    brief.letters(1.25f, true);
    sentence.setName("lobes-sentence");
    remarks.setName("lobes-remarks");
    sentence.setFocusable(true);
    remarks.setFocusable(true);
    right.add(problem, "span 3, growx, wmin 0");
    right.add(mend, "span 3, gapbottom 8");
    right.add(sign, "span 3, split 2, aligny top");
    right.add(brief, "growx, wmin 0");
    right.add(sentence, "span 3, growx, wmin 0");
    right.add(bars, "span 3, growx, gaptop 6, gapbottom 8");
    lever(right, "lobes-speed", "speed", CutField.SPEED, Dimension.SPINDLE_SPEED);
    lever(right, "lobes-axial", "depth", CutField.AXIAL, Dimension.LENGTH);
    lever(right, "lobes-radial", "width", CutField.RADIAL, Dimension.LENGTH);
    lever(right, "lobes-helix", "helix", CutField.HELIX, Dimension.ANGLE);
    lever(right, "lobes-damping", "damping", CutField.PROCESS_DAMPING, Dimension.STIFFNESS);
    flutes.setName("lobes-flutes");
    flutes.getAccessibleContext().setAccessibleName("flutes");
    flutesLabel.setLabelFor(flutes);
    IntStream.rangeClosed(1, 12).forEach(n -> flutes.addItem(Integer.toString(n)));
    flutes.addActionListener(
        e -> {
          if (!refreshing && flutes.getSelectedItem() != null) {
            say(CutField.FLUTES, flutes.getSelectedItem().toString(), false);
          }
        });
    right.add(flutesLabel);
    right.add(flutes, "span 2, growx");
    material.setName("lobes-material");
    material.getAccessibleContext().setAccessibleName("work material");
    JLabel materialLabel = new JLabel("material");
    materialLabel.setLabelFor(material);
    desk.catalogue().materials().stream().map(CatalogueMaterial::name).forEach(material::addItem);
    material.addActionListener(
        e -> {
          if (!refreshing && material.getSelectedItem() != null) {
            say(CutField.MATERIAL, material.getSelectedItem().toString(), false);
          }
        });
    right.add(materialLabel);
    right.add(material, "span 2, growx, wmin 0");
    right.add(remarks, "span 3, growx, wmin 0, gaptop 10");
    return right;
  }

  private void lever(JPanel into, String name, String words, CutField of, Dimension dimension) {
    Lever lever = new Lever(name, words, of, dimension, (t, more) -> say(of, t, more), desk::rest);
    levers.add(lever);
    into.add(lever.label());
    into.add(lever.slider(), "growx, wmin 0");
    into.add(lever.field(), "growx");
  }

  // ---- what the user does

  private void remember(String name, Object value) {
    if (!refreshing) {
      desk.settings(s -> s.with(name, value));
    }
  }

  private void range(Field field, String name, String text, Dimension dimension) {
    if (!text.isBlank() && !(Readable.value(text, dimension) > 0)) {
      field.complain("write it like " + (dimension == Dimension.LENGTH ? "4 mm" : "6000 rpm"));
      return;
    }
    field.complain("");
    desk.settings(s -> s.with(name, text));
  }

  private void say(CutField field, String text, boolean more) {
    String words = "change the " + field.words();
    desk.change(words, more ? field.name() : "", job -> job.with(job.cut().with(field, text)));
  }

  private void drag(double x, double y, boolean finished) {
    LengthUnit unit = desk.unit();
    double[] xs = plot.shownX();
    double[] ys = plot.shownY();
    String rpm = Readable.speed(x, Readable.step((xs[1] - xs[0]) / PER_VIEW));
    String length =
        Readable.length(
            Math.max(0, y) / unit.of(1), Readable.step((ys[1] - ys[0]) / PER_VIEW), unit);
    CutField of = wanted().over() == Over.DEPTH ? CutField.AXIAL : CutField.RADIAL;
    desk.change(
        "move the cut",
        "drag",
        job -> job.with(job.cut().with(CutField.SPEED, rpm).with(of, length)));
    if (finished) {
      desk.rest();
    }
  }

  /** Changes between depth and width. */
  void turnOver() {
    desk.settings(s -> s.with("lobes.over", wanted().over() == Over.DEPTH ? "width" : "depth"));
  }

  /** Switches a check box as a press would. */
  void toggle(boolean ofChance) {
    (ofChance ? chance : zeroOrder).doClick(0);
  }

  /** Lets the arrow keys move the cut. */
  void takeCut() {
    plot.requestFocusInWindow();
  }

  // ---- what is wanted

  private Wanted wanted() {
    boolean turning = desk.job().cut().turning();
    Over over =
        !turning && desk.settings().text("lobes.over", "depth").equals("width")
            ? Over.WIDTH
            : Over.DEPTH;
    String word = desk.settings().text("lobes.method", AUTOMATIC);
    Optional<Method> how = Optional.empty();
    for (Method each : Method.values()) {
      if (each.word().equals(word) && !turning) {
        how = Optional.of(each);
      }
    }
    return new Wanted(
        over,
        how,
        number("lobes.from", Dimension.SPINDLE_SPEED),
        number("lobes.to", Dimension.SPINDLE_SPEED),
        number("lobes.upTo", Dimension.LENGTH));
  }

  private double number(String name, Dimension dimension) {
    return Readable.value(desk.settings().text(name, ""), dimension);
  }

  // ---- showing

  /** Its view came to the front, or left it. */
  void seen(boolean now) {
    seen = now;
    if (seen) {
      refresh();
    } else {
      work.stopGrowing();
    }
  }

  private void refresh() {
    if (!seen || desk.folder().isEmpty()) {
      return;
    }
    if (folder != desk.folder().get()) {
      folder = desk.folder().get();
      cut = null;
      here = null;
      workProblem = "";
      work.reset();
      plot.show(PlotContent.empty("The map comes when modes and cut are known."));
      bars.show(List.of(), desk.unit());
    }
    refreshing = true;
    controls();
    refreshing = false;
    Finding<Cut> read = desk.results().cut();
    read.value()
        .ifPresent(
            base ->
                work.show(
                    desk.job().cut(),
                    base,
                    wanted(),
                    new LobesWork.Extras(
                        chance.isSelected(),
                        zeroOrder.isSelected(),
                        desk.unit(),
                        wanted().maxM())));
    trouble(read);
    words();
  }

  private void controls() {
    CutDraft draft = desk.job().cut();
    Wanted wanted = wanted();
    boolean turning = draft.turning();
    LengthUnit unit = desk.unit();
    (wanted.over() == Over.DEPTH ? depth : width).setSelected(true);
    depth.setText(turning ? "Chip width" : "Depth");
    width.setVisible(!turning);
    width.setEnabled(draft.has(CutField.RADIAL));
    method.setEnabled(!turning);
    method.setSelectedItem(desk.settings().text("lobes.method", AUTOMATIC));
    chance.setSelected(desk.settings().on("lobes.chance", false));
    zeroOrder.setSelected(desk.settings().on("lobes.beside", false));
    zeroOrder.setVisible(!turning);
    from.show(desk.settings().text("lobes.from", ""));
    to.show(desk.settings().text("lobes.to", ""));
    upTo.show(desk.settings().text("lobes.upTo", ""));
    double diameter = Readable.value(draft.text(CutField.DIAMETER), Dimension.LENGTH);
    double most = most(draft, diameter);
    for (Lever lever : levers) {
      String said = draft.text(lever.of());
      switch (lever.of()) {
        case SPEED -> {
          double fastest = Readable.value(draft.text(CutField.MAX_SPEED), Dimension.SPINDLE_SPEED);
          double now = Readable.value(said, Dimension.SPINDLE_SPEED);
          double largest = fastest > 0 ? fastest : now > 0 ? 2 * now : 24_000;
          lever.show(said, largest, v -> Readable.speed(v, Readable.step(largest / PER_VIEW)));
        }
        case AXIAL -> lever.show(said, most, length(most, unit));
        case RADIAL -> {
          double largest = Double.isNaN(diameter) ? 0.01 : diameter;
          lever.show(said, largest, length(largest, unit));
          lever.visible(!turning && !draft.has(CutField.ENTRY));
        }
        case HELIX -> {
          lever.show(said, MOST_HELIX_RAD, a -> Readable.number(Math.toDegrees(a), 1) + " deg");
          lever.visible(!turning);
          lever.usable(
              !said.contains(","), "each flute has its own helix; change them in the Cut stage");
        }
        default -> lever.show(said, MOST_DAMPING_N_PER_M, c -> Readable.number(c, 1000) + " N/m");
      }
    }
    flutes.setVisible(!turning);
    flutesLabel.setVisible(!turning);
    flutes.setSelectedItem(draft.has(CutField.FLUTES) ? draft.text(CutField.FLUTES) : null);
    flutes.setEnabled(!draft.has(CutField.PITCH) && !draft.text(CutField.HELIX).contains(","));
    String of = draft.text(CutField.MATERIAL);
    material.setSelectedItem(
        desk.catalogue().materials().stream()
            .map(CatalogueMaterial::name)
            .filter(n -> n.equalsIgnoreCase(of))
            .findFirst()
            .orElse(null));
  }

  private double most(CutDraft draft, double diameter) {
    double flutesLength = Readable.value(draft.text(CutField.FLUTE_LENGTH), Dimension.LENGTH);
    if (!Double.isNaN(flutesLength)) {
      return flutesLength;
    }
    if (!draft.turning() && !Double.isNaN(diameter)) {
      return 3 * diameter;
    }
    return work.moment().map(m -> m.map().maxM()).orElse(0.01);
  }

  private static DoubleFunction<String> length(double most, LengthUnit unit) {
    double step = Readable.step(unit.of(most) / PER_VIEW * 2);
    return m -> Readable.length(m, step, unit);
  }

  /** What is missing, and where it can be given. */
  private void trouble(Finding<Cut> read) {
    boolean measuring =
        desk.job().cut().directions().stream().anyMatch(d -> desk.results().of(d).working());
    String said = "";
    Sign as = Sign.NOTE;
    String press = "";
    Runnable then = () -> {};
    if (measuring && cut == null) {
      said = "The modes are being worked out.";
    } else if (!read.problem().isEmpty()) {
      String missing = CutField.of(read.problem()).map(f -> "The " + f.words() + ": ").orElse("");
      said = missing.isEmpty() ? read.problem() : missing + rest(read.problem());
      as = Sign.CAUTION;
      press = "Describe the cut";
      then = () -> desk.go(StageId.CUT);
    } else if (cut != null && !Here.gives(cut.process())) {
      Direction first = desk.job().cut().directions().get(0);
      boolean tapped = desk.job().measured(first).isPresent();
      said =
          tapped
              ? "No modes are known yet, so nothing can chatter on this map."
              : "Nothing gives yet: tap "
                  + first.words()
                  + " first; the direction of the feed is x, across it is y.";
      as = Sign.CAUTION;
      press = tapped ? "Look at the modes" : "Tap " + first.words();
      then = () -> desk.go(tapped ? StageId.MODES : StageId.TAPS);
    } else if (!workProblem.isEmpty()) {
      said = workProblem;
      as = Sign.CAUTION;
    } else if (here != null) {
      List<String> doubts = desk.results().doubts();
      if (!doubts.isEmpty()) {
        said = doubts.get(0) + ".";
        as = Sign.CAUTION;
        boolean unfitted = said.contains("not fitted");
        press = unfitted ? "Look at the modes" : "Go to Taps";
        then = () -> desk.go(unfitted ? StageId.MODES : StageId.TAPS);
      }
    }
    said =
        said.isEmpty() ? said : said.substring(0, 1).toUpperCase(Locale.ROOT) + said.substring(1);
    if (!said.equals(problem.text()) || said.isEmpty()) {
      if (said.isEmpty()) {
        problem.clear();
      } else {
        problem.say(as, said);
      }
    }
    mend.setText(press);
    mend.setVisible(!press.isEmpty());
    mending = then;
  }

  private static String rest(String complaint) {
    int colon = complaint.indexOf(": ");
    return colon < 0 ? complaint : complaint.substring(colon + 2);
  }

  private void words() {
    boolean known = here != null && here.happens().isPresent();
    brief.setVisible(known);
    sentence.setVisible(known);
    sign.setVisible(known);
    if (known) {
      boolean sure = desk.results().doubts().isEmpty();
      sign.setIcon(!here.happens().get().stable() ? Sign.BAD : sure ? Sign.DONE : Sign.CAUTION);
      String text = here.happens().get().brief();
      brief.setText(text.substring(0, 1).toUpperCase(Locale.ROOT) + text.substring(1));
      sentence.setText(here.happens().get().words());
    }
    bars.show(here == null ? List.of() : limits(), desk.unit());
  }

  /** Those of the plan once it has caught up, as it knows the chance as well. */
  private List<CutPlan.Limit> limits() {
    boolean caughtUp =
        desk.results().plan().ready()
            && wanted().over() == Over.DEPTH
            && wanted().method().isEmpty()
            && desk.results().cut().value().map(here.cut()::equals).orElse(false);
    return caughtUp ? desk.results().plan().value().orElseThrow().limits() : here.limits();
  }

  // ---- what was found

  @Override
  public void cut(Cut now) {
    cut = now;
    workProblem = "";
    place();
    if (!Here.gives(now.process())) {
      here = null;
      plot.show(PlotContent.empty("Nothing gives yet: tap first."));
      status.setText(" ");
      trouble(desk.results().cut());
    }
  }

  /** Puts the marker where the cut is, unless the hand holds it. */
  private void place() {
    if (cut == null || plot.content().isEmpty()) {
      return;
    }
    CuttingProcess process = cut.process();
    double length =
        wanted().over() == Over.DEPTH
            ? process.engagement().axialM()
            : process.engagement().radialM();
    double x = process.speedRpm();
    double y = desk.unit().of(length);
    plot.handle(LobesContent.CUT, x, y);
    boolean outside =
        x < plot.content().x().from() || x > plot.content().x().to() || y > plot.content().y().to();
    if (outside) {
      work.redraw();
    }
  }

  @Override
  public void here(Here now) {
    here = now;
    trouble(desk.results().cut());
    words();
    desk.tell();
  }

  @Override
  public void map(MapMoment moment, PlotContent content) {
    workProblem = "";
    plot.show(content);
    place();
    status.setText(status(moment));
    Set<String> said = new LinkedHashSet<>();
    moment.drawn().ifPresent(d -> said.addAll(drawn(d)));
    said.addAll(moment.map().remarks());
    said.addAll(moment.cut().remarks());
    said.add(
        "the machine's own movement counts only as far as it was tapped at standstill;"
            + " approach a limit in small steps from below");
    StringBuilder text = new StringBuilder();
    for (String each : said) {
      text.append(text.isEmpty() ? "" : "\n").append("• ").append(each);
    }
    boolean above =
        Arrays.stream(moment.powerM()).anyMatch(Double::isFinite)
            && Arrays.stream(moment.powerM()).noneMatch(m -> desk.unit().of(m) < content.y().to());
    if (above) {
      text.append("\n• the power limit of the spindle lies above what is shown");
    }
    if (!remarks.getText().contentEquals(text)) {
      remarks.setText(text.toString());
    }
  }

  private static List<String> drawn(ringtrue.stability.StabilityMap map) {
    List<String> said = new ArrayList<>();
    map.probability()
        .flatMap(p -> p.sensitivities().stream().findFirst())
        .ifPresent(s -> said.add("what moves the limit most: " + s.input()));
    map.remarks().stream().filter(r -> r.contains("95 %")).forEach(said::add);
    return said;
  }

  private String status(MapMoment moment) {
    boolean turning = moment.cut().process().operation() == Operation.TURNING;
    String method = LobesWords.method(moment.map());
    String why = !turning && wanted().method().isEmpty() ? ", chosen as the best for this cut" : "";
    return (moment.complete() || work.fine() ? "" : "Growing finer … ")
        + "By "
        + method
        + why
        + ". "
        + LobesWords.steps(moment.map());
  }

  @Override
  public void problem(String said) {
    if (!said.equals(workProblem)) {
      workProblem = said;
      trouble(desk.results().cut());
    }
  }

  /** What happens at the cut; empty while nothing is known. */
  Optional<Here> here() {
    return Optional.ofNullable(here);
  }

  /** The cut as it is shown. */
  Optional<Cut> cutShown() {
    return Optional.ofNullable(cut);
  }

  /** Whether the map is still being worked on. */
  boolean busy() {
    return work.busy();
  }

  Plot plot() {
    return plot;
  }

  Optional<MapMoment> moment() {
    return work.moment();
  }
}

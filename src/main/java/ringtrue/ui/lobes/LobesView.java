package ringtrue.ui.lobes;

import com.formdev.flatlaf.util.UIScale;
import java.awt.BorderLayout;
import java.awt.Component;
import java.awt.KeyboardFocusManager;
import java.awt.Rectangle;
import java.beans.PropertyChangeEvent;
import java.beans.PropertyChangeListener;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Set;
import java.util.function.DoubleFunction;
import java.util.stream.Collectors;
import java.util.stream.IntStream;
import javax.swing.BorderFactory;
import javax.swing.ButtonGroup;
import javax.swing.DefaultListCellRenderer;
import javax.swing.JButton;
import javax.swing.JCheckBox;
import javax.swing.JComboBox;
import javax.swing.JComponent;
import javax.swing.JLabel;
import javax.swing.JList;
import javax.swing.JPanel;
import javax.swing.JScrollPane;
import javax.swing.JToggleButton;
import javax.swing.ScrollPaneConstants;
import javax.swing.SwingUtilities;
import javax.swing.Timer;
import ringtrue.library.CatalogueMaterial;
import ringtrue.library.Cut;
import ringtrue.planning.CutPlan;
import ringtrue.report.LengthUnit;
import ringtrue.report.LobesWords;
import ringtrue.stability.CuttingProcess;
import ringtrue.stability.CuttingProcess.Operation;
import ringtrue.stability.Method;
import ringtrue.stability.StabilityMap;
import ringtrue.stability.StabilityMap.Line;
import ringtrue.stability.StabilityMap.Over;
import ringtrue.ui.desk.Desk;
import ringtrue.ui.desk.Finding;
import ringtrue.ui.desk.StageId;
import ringtrue.ui.job.CutDraft;
import ringtrue.ui.job.CutField;
import ringtrue.ui.job.Direction;
import ringtrue.ui.kit.Field;
import ringtrue.ui.kit.MigLayout;
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
  private static final String FOCUS = "permanentFocusOwner";
  private static final int TICK_MS = 500;
  private static final int ZOOM_RESTS_MS = 300;
  private static final int LEAST_MAP_HEIGHT = 260;
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
  private final JCheckBox zeroOrder = new JCheckBox("Quick look beside (zero-order)");
  private final Field from = new Field("lobes-from", "Speeds from", 9);
  private final Field to = new Field("lobes-to", "to", 9);
  private final Field upTo = new Field("lobes-up-to", "Depth up to", 8);
  private final Wrapped status = new Wrapped(" ");
  private final Notice problem = new Notice("lobes-problem");
  private final JButton mend = new JButton();
  private final JLabel sign = new JLabel();
  private final Wrapped brief = new Wrapped("");
  private final Wrapped sentence = new Wrapped("");
  private final LimitBars bars = new LimitBars();
  private final Wrapped remarks = new Wrapped("");
  private final Folded how;
  private final Wrapped going = new Wrapped("");
  private final JButton stop = new JButton("Stop drawing (Ctrl+Shift+K)");
  private final JPanel beside =
      new JPanel(new MigLayout("ins 0, fillx, hidemode 3", "[grow,fill][]"));
  private final JPanel left = new JPanel(new BorderLayout(0, 4));
  private final JPanel controls = WrapFlow.panel(5);
  private final JPanel south =
      new JPanel(new MigLayout("ins 0, fillx, wrap 1, hidemode 3", "[grow,fill]"));
  private final PropertyChangeListener follows = this::keepSeen;
  private final Timer tick = new Timer(TICK_MS, e -> beside());
  private final Timer zoom = new Timer(ZOOM_RESTS_MS, e -> zoomed());
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

  /** That of the map as it is shown. */
  private LengthUnit plotUnit = LengthUnit.MILLIMETRE;

  /** The cut for which the map was last made to reach farther. */
  private Cut reached;

  LobesView(Desk desk) {
    super(new BorderLayout());
    this.desk = desk;
    how =
        new Folded(
            "lobes-how", "How this map was computed", open -> desk.remember("lobes.how", open));
    how.open(desk.settings().on("lobes.how", false));
    how.say("");
    work = new LobesWork(desk, this);
    setName("lobes");
    SideBySide page = new SideBySide(left(), right(), pane(null, "lobes-right"), this::arranged);
    page.setBorder(BorderFactory.createEmptyBorder(10, 12, 6, 12));
    add(pane(page, "lobes-page"));
    plot.setName("lobes-plot");
    plot.onHandle((id, x, y, finished) -> drag(x, y, finished));
    zoom.setRepeats(false);
    plot.onView(zoom::restart);
    desk.onChange(this::refresh);
    desk.results().planAfter(work::hurries);
  }

  // ---- parts

  private static JScrollPane pane(JComponent of, String name) {
    JScrollPane pane =
        new JScrollPane(
            of,
            ScrollPaneConstants.VERTICAL_SCROLLBAR_AS_NEEDED,
            ScrollPaneConstants.HORIZONTAL_SCROLLBAR_NEVER);
    pane.setBorder(BorderFactory.createEmptyBorder());
    pane.getVerticalScrollBar().setUnitIncrement(16);
    pane.setName(name);
    return pane;
  }

  /** Never lower than what shows something. */
  private JPanel map() {
    JPanel map =
        new JPanel(new BorderLayout()) {
          @Override
          public java.awt.Dimension getMinimumSize() {
            return new java.awt.Dimension(
                plot.getMinimumSize().width, UIScale.scale(LEAST_MAP_HEIGHT));
          }
        };
    map.add(plot);
    return map;
  }

  private JPanel left() {
    JPanel top = controls;
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
    method.setRenderer(
        new DefaultListCellRenderer() {
          @Override
          public Component getListCellRendererComponent(
              JList<?> list, Object value, int index, boolean selected, boolean focus) {
            return super.getListCellRendererComponent(
                list, methodWords(String.valueOf(value)), index, selected, focus);
          }
        });
    method.setToolTipText("How the map is computed");
    method.addActionListener(e -> remember("lobes.method", method.getSelectedItem()));
    chance.setName("lobes-chance");
    chance.setToolTipText(
        "Draw modes and cutting forces inside their uncertainties: coarse first, then finer"
            + " (Ctrl+Shift+K)");
    chance.addActionListener(e -> remember("lobes.chance", chance.isSelected()));
    zeroOrder.setName("lobes-beside");
    zeroOrder.setToolTipText("The map by averaged cutting forces, for comparison (Ctrl+Shift+B)");
    zeroOrder.addActionListener(e -> remember("lobes.beside", zeroOrder.isSelected()));
    JLabel by = new JLabel("Method");
    by.setLabelFor(method);
    top.add(together(depth, width));
    top.add(together(by, method));
    top.add(chance);
    top.add(together(from.label(), from, to.label(), to));
    top.add(together(upTo.label(), upTo));
    top.add(zeroOrder);
    from.onCommit(t -> range(from, "lobes.from", t, Dimension.SPINDLE_SPEED));
    to.onCommit(t -> range(to, "lobes.to", t, Dimension.SPINDLE_SPEED));
    upTo.onCommit(t -> range(upTo, "lobes.upTo", t, Dimension.LENGTH));
    left.add(top, BorderLayout.NORTH);
    left.add(map(), BorderLayout.CENTER);
    status.setName("lobes-status");
    going.setName("lobes-going");
    stop.setName("lobes-chance-stop");
    stop.addActionListener(e -> stopDrawing());
    beside.add(going, "growx, wmin 0");
    beside.add(stop);
    beside.setVisible(false);
    south.add(beside, "growx, wmin 0");
    south.add(status, "growx, wmin 0");
    left.add(south, BorderLayout.SOUTH);
    return left;
  }

  /** On a page that scrolls the map comes first, what it is made of below it. */
  private void arranged(boolean beside) {
    if (beside) {
      left.add(controls, BorderLayout.NORTH);
    } else {
      south.add(controls, "growx, wmin 0");
    }
    left.revalidate();
  }

  /** What the keyboard comes to is scrolled into sight. */
  private void keepSeen(PropertyChangeEvent event) {
    if (event.getNewValue() instanceof JComponent owner
        && owner != plot
        && SwingUtilities.isDescendingFrom(owner, this)) {
      owner.scrollRectToVisible(new Rectangle(owner.getSize()));
    }
  }

  private static String methodWords(String word) {
    return switch (word) {
      case "zero-order" -> "quick look (zero-order)";
      case "periodic" -> "full (periodic)";
      case "multi-frequency" -> "measured (multi-frequency)";
      default -> word;
    };
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
                "ins 0 0 0 8, wrap 3, fillx, hidemode 3, gapy 4", "[][grow,fill][pref!]"));
    problem.setName("lobes-problem");
    mend.setName("lobes-mend");
    mend.addActionListener(e -> mending.run());
    sign.setName("lobes-sign");
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
    lever(right, "lobes-damping", "process damping", CutField.PROCESS_DAMPING, Dimension.STIFFNESS);
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
    right.add(how, "span 3, growx, wmin 0, gaptop 4");
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

  private void range(Field field, String name, String written, Dimension dimension) {
    boolean length = dimension == Dimension.LENGTH;
    String text =
        written.isBlank() || written.strip().equalsIgnoreCase(AUTOMATIC)
            ? ""
            : Readable.complete(written, length ? desk.unit().symbol() : "rpm");
    if (!text.isBlank() && !(Readable.value(text, dimension) > 0)) {
      field.complain("write it like " + (length ? "4 mm" : "6000 rpm"));
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
    LengthUnit unit = plotUnit;
    double[] xs = plot.shownX();
    double[] ys = plot.shownY();
    String rpm = Readable.speed(inRange(x), Readable.step((xs[1] - xs[0]) / PER_VIEW));
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

  /** The margin of the map is no place for a cut. */
  private double inRange(double rpm) {
    List<Line> lines = work.moment().map(m -> m.map().lines()).orElse(List.of());
    if (lines.isEmpty()) {
      return rpm;
    }
    double first = lines.stream().mapToDouble(Line::speedRpm).min().orElseThrow();
    double last = lines.stream().mapToDouble(Line::speedRpm).max().orElseThrow();
    return Math.max(first, Math.min(last, rpm));
  }

  private void zoomed() {
    if (!seen || plot.content().isEmpty()) {
      return;
    }
    double[] xs = plot.shownX();
    work.zoomed(xs[0], xs[1]);
  }

  private void stopDrawing() {
    if (!work.stopDrawing()) {
      desk.settings(s -> s.with("lobes.chance", false));
    }
  }

  /** Changes between depth and width. */
  void turnOver() {
    desk.settings(s -> s.with("lobes.over", wanted().over() == Over.DEPTH ? "width" : "depth"));
  }

  /** Switches a check box as a press would; ends the drawing while it goes on. */
  void toggle(boolean ofChance) {
    if (ofChance && work.drawing()) {
      stopDrawing();
      return;
    }
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
    if (seen != now) {
      KeyboardFocusManager focus = KeyboardFocusManager.getCurrentKeyboardFocusManager();
      focus.removePropertyChangeListener(FOCUS, follows);
      if (now) {
        focus.addPropertyChangeListener(FOCUS, follows);
      }
    }
    seen = now;
    if (seen) {
      refresh();
      zoom.restart();
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
      bars.show(List.of(), desk.unit(), "", true);
      reached = null;
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
    upTo.show(Readable.inUnit(desk.settings().text("lobes.upTo", ""), unit));
    from.example(ofMachine(draft, CutField.MIN_SPEED, "lowest"));
    to.example(ofMachine(draft, CutField.MAX_SPEED, "highest"));
    upTo.example(AUTOMATIC);
    String length = lengthWord();
    upTo.label()
        .setText(length.substring(0, 1).toUpperCase(Locale.ROOT) + length.substring(1) + " up to");
    double diameter = Readable.value(draft.text(CutField.DIAMETER), Dimension.LENGTH);
    double most = most(draft, diameter);
    for (Lever lever : levers) {
      String said = draft.text(lever.of());
      switch (lever.of()) {
        case SPEED -> {
          double fastest = Readable.value(draft.text(CutField.MAX_SPEED), Dimension.SPINDLE_SPEED);
          double now = Readable.value(said, Dimension.SPINDLE_SPEED);
          double largest = fastest > 0 ? fastest : now > 0 ? 2 * now : 24_000;
          lever.show(
              said, largest, unit, v -> Readable.speed(v, Readable.step(largest / PER_VIEW)));
        }
        case AXIAL -> {
          lever.show(said, most, unit, length(most, unit));
          lever.call(
              turning ? "chip width" : "depth", turning ? "chip width" : CutField.AXIAL.words());
        }
        case RADIAL -> {
          double largest = Double.isNaN(diameter) ? 0.01 : diameter;
          lever.show(said, largest, unit, length(largest, unit));
          lever.visible(!turning && !draft.has(CutField.ENTRY));
        }
        case HELIX -> {
          lever.show(
              said, MOST_HELIX_RAD, unit, a -> Readable.number(Math.toDegrees(a), 1) + " deg");
          lever.visible(!turning);
          lever.usable(
              !said.contains(","), "each flute has its own helix; change them in the Cut stage");
        }
        default ->
            lever.show(said, MOST_DAMPING_N_PER_M, unit, c -> Readable.number(c, 1000) + " N/m");
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

  private static String ofMachine(CutDraft draft, CutField field, String otherwise) {
    double rpm = Readable.value(draft.text(field), Dimension.SPINDLE_SPEED);
    return Double.isNaN(rpm) ? otherwise : "spindle's " + Readable.number(rpm, 1);
  }

  /** What the map is over, as "depth". */
  private String lengthWord() {
    return desk.job().cut().turning()
        ? "chip width"
        : wanted().over() == Over.DEPTH ? "depth" : "width";
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
      List<Direction> unknown = Unknown.of(desk);
      if (!unknown.isEmpty()) {
        Direction first = unknown.get(0);
        boolean tapped = desk.job().measured(first).isPresent();
        said = Unknown.words(unknown) + ": taken as rigid; real limits can be lower.";
        as = Sign.CAUTION;
        press = tapped ? "Look at the modes" : "Tap " + first.words();
        then = () -> desk.go(tapped ? StageId.MODES : StageId.TAPS);
      } else if (!desk.results().doubts().isEmpty()) {
        said = desk.results().doubts().get(0) + ".";
        as = Sign.CAUTION;
        StageId place = desk.results().mended().orElse(StageId.TAPS);
        press = place == StageId.MODES ? "Look at the modes" : "Go to Taps";
        then = () -> desk.go(place);
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
      boolean stable = here.happens().get().stable();
      sign.setIcon(!stable ? Sign.BAD : sure() ? Sign.DONE : Sign.CAUTION);
      String text = here.happens().get().brief();
      List<Direction> unknown = Unknown.of(desk);
      brief.setText(
          stable && !unknown.isEmpty()
              ? "Stable only if " + Unknown.rigid(unknown)
              : text.substring(0, 1).toUpperCase(Locale.ROOT) + text.substring(1));
      sentence.setText(here.happens().get().words());
    }
    bars.show(here == null ? List.of() : limits(), desk.unit(), lengthWord(), sure());
  }

  /** Whether nothing is known that takes the promise of the map away. */
  private boolean sure() {
    return Unknown.of(desk).isEmpty() && desk.results().doubts().isEmpty();
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
    double y = plotUnit.of(length);
    plot.handle(LobesContent.CUT, x, y);
    boolean outside =
        x < plot.content().x().from()
            || x > plot.content().x().to()
            || y > plot.content().y().to() && Double.isNaN(wanted().maxM());
    if (outside && !cut.equals(reached)) {
      reached = cut; // once: what is asked for by the user may leave the cut outside
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
  public void map(MapMoment moment, PlotContent content, LengthUnit unit) {
    workProblem = "";
    plotUnit = unit;
    plot.show(content);
    place();
    status.setText(status(moment));
    Set<String> said = new LinkedHashSet<>();
    Set<String> computed = new LinkedHashSet<>();
    moment.drawn().ifPresent(d -> said.addAll(mostMoving(d)));
    moment.map().remarks().forEach(r -> (MapRemark.numerical(r) ? computed : said).add(r));
    moment.cut().remarks().stream().filter(r -> !MapRemark.rigid(r)).forEach(said::add);
    said.add(
        "the machine's own movement counts only as far as it was tapped at standstill;"
            + " approach a limit in small steps from below");
    boolean above =
        Arrays.stream(moment.powerM()).anyMatch(Double::isFinite)
            && Arrays.stream(moment.powerM()).noneMatch(m -> unit.of(m) < content.y().to());
    if (above) {
      said.add("the power limit of the spindle lies above what is shown");
    }
    moment.drawn().ifPresent(d -> computed.addAll(drawn(d)));
    String text = bulleted(said);
    if (!remarks.getText().equals(text)) {
      remarks.setText(text);
    }
    how.say(bulleted(computed));
    beside();
  }

  private static String bulleted(Set<String> said) {
    return said.stream().map(each -> "• " + each).collect(Collectors.joining("\n"));
  }

  /** Says what goes on beside the map, and how long it may still take. */
  @Override
  public void beside() {
    boolean drawing = work.drawing();
    String said = "";
    if (drawing) {
      double left = work.drawingLeftS();
      boolean some = work.moment().map(m -> m.drawn().isPresent()).orElse(false);
      said =
          (some ? "Chance of no chatter: coarse so far, growing finer" : "Drawing chances")
              + String.format(Locale.ROOT, ", %.0f %%", 100 * work.drawn())
              + (Double.isNaN(left)
                  ? " …"
                  : String.format(Locale.ROOT, ", about %.0f s more", Math.max(1, left)));
    } else if (work.looksCloser()) {
      said = "Looking closer at the speeds that are shown …";
    }
    boolean nothing = work.moment().map(m -> m.complete() && m.drawn().isEmpty()).orElse(false);
    if (said.isEmpty() && nothing && tick.isRunning() && chance.isSelected()) {
      said = "Chance of no chatter: stopped before anything was drawn.";
    }
    if (!going.getText().equals(said)) {
      going.setText(said);
    }
    beside.setVisible(!said.isEmpty());
    stop.setVisible(drawing);
    if (drawing != tick.isRunning()) {
      if (drawing) {
        tick.start();
      } else {
        tick.stop();
      }
    }
  }

  private static List<String> mostMoving(StabilityMap map) {
    return map.probability().stream()
        .flatMap(p -> p.sensitivities().stream().limit(1))
        .map(s -> "what moves the limit most: " + s.input())
        .toList();
  }

  private static List<String> drawn(StabilityMap map) {
    List<String> said = new ArrayList<>();
    map.probability()
        .ifPresent(
            p ->
                said.add(
                    "chances: "
                        + p.samples()
                        + " draws at each of "
                        + map.lines().size()
                        + " speeds"));
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

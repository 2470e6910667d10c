package ringtrue.ui.modes;

import java.awt.Component;
import java.awt.FontMetrics;
import java.awt.Point;
import java.awt.event.ActionEvent;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.OptionalDouble;
import javax.swing.AbstractAction;
import javax.swing.BorderFactory;
import javax.swing.Box;
import javax.swing.JButton;
import javax.swing.JCheckBox;
import javax.swing.JLabel;
import javax.swing.JMenuItem;
import javax.swing.JPanel;
import javax.swing.JPopupMenu;
import javax.swing.JScrollPane;
import javax.swing.JSpinner;
import javax.swing.JTabbedPane;
import javax.swing.JTable;
import javax.swing.KeyStroke;
import javax.swing.ListSelectionModel;
import javax.swing.SpinnerNumberModel;
import javax.swing.SwingUtilities;
import javax.swing.table.DefaultTableCellRenderer;
import javax.swing.table.DefaultTableModel;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.Mode;
import ringtrue.fitting.FitSettings;
import ringtrue.fitting.FittedModes;
import ringtrue.fitting.FittedResponse;
import ringtrue.library.Measurement;
import ringtrue.report.LengthUnit;
import ringtrue.ui.desk.Desk;
import ringtrue.ui.desk.DirectionResult;
import ringtrue.ui.desk.Doubts;
import ringtrue.ui.desk.Finding;
import ringtrue.ui.job.Direction;
import ringtrue.ui.job.Measured;
import ringtrue.ui.kit.Field;
import ringtrue.ui.kit.MigLayout;
import ringtrue.ui.kit.Notice;
import ringtrue.ui.kit.Sign;
import ringtrue.ui.plot.Plot;
import ringtrue.ui.plot.PlotContent;
import ringtrue.ui.plot.XLink;
import ringtrue.ui.response.DirectionPicker;
import ringtrue.ui.response.FillPanel;
import ringtrue.ui.response.Latest;
import ringtrue.ui.response.Older;
import ringtrue.ui.response.SidePanel;
import ringtrue.ui.response.WrapFlow;
import ringtrue.units.BadInputException;
import ringtrue.units.Dimension;
import ringtrue.units.Quantity;

/** The fit, the poles, the circle of a mode, and the table of modes. */
final class ModesPanel extends JPanel {
  private static final String TOGETHER = "fit-band";

  /** The column with the ticks. */
  private static final int USE = 6;

  /** Frequencies nearer than this part are the same mode. */
  private static final double SAME = 0.02;

  /** The ends of a band stay this far apart, as a factor. */
  private static final double NARROWEST = 1.05;

  /** Half-power bandwidths on either side of a mode that a selection shows. */
  private static final double AROUND = 6;

  private final Desk desk;
  private final DirectionPicker picker;
  private final Field low = new Field("modes-band-low", "Fit from", 7);
  private final Field high = new Field("modes-band-high", "to", 7);
  private final JSpinner count =
      new JSpinner(new SpinnerNumberModel(1, 1, FitSettings.MOST_MODES, 1));
  private final JCheckBox automatic = new JCheckBox("Automatic");
  private final JButton toData = new JButton("Leave it to the data");
  private final JButton pick =
      new JButton("Pick at cursor (F9)") {
        @Override
        public java.awt.Dimension getPreferredSize() {
          FontMetrics letters = getFontMetrics(getFont());
          java.awt.Dimension size = super.getPreferredSize();
          int more = letters.stringWidth("Pick at 20000 Hz (F9)") - letters.stringWidth(getText());
          return new java.awt.Dimension(
              size.width + more, size.height); // what it says never moves the rest
        }
      };
  private final JLabel working = new JLabel();
  private final Notice problem = new Notice("modes-problem");
  private final Notice hint = new Notice("modes-hint");
  private final Plot fit = new Plot("Fit over the measured response");
  private final Plot poles = new Plot("Stabilisation diagram");
  private final Plot circle = new Plot("Nyquist circle of the selected mode");
  private final JPanel plots = new JPanel();
  private final SidePanel remarks = new SidePanel("modes-remarks");
  private final ComparisonPanel comparison;
  private final JTabbedPane tabs = new JTabbedPane();
  private final DefaultTableModel model =
      new DefaultTableModel() {
        @Override
        public boolean isCellEditable(int row, int column) {
          return column == USE && picksPossible;
        }

        @Override
        public Class<?> getColumnClass(int column) {
          return column == USE ? Boolean.class : Object.class;
        }

        @Override
        public void setValueAt(Object value, int row, int column) {
          if (column == USE) {
            use(row, Boolean.TRUE.equals(value));
          } else {
            super.setValueAt(value, row, column);
          }
        }
      };
  private final JTable table = new JTable(model);
  private final Latest drawing;
  private final Latest circling;
  private final Latest listing;
  private final Map<Direction, DirectionResult> last = new HashMap<>();
  private List<ModeRow> rows = List.of();
  private ModeRemarks sorted = new ModeRemarks(List.of(), List.of());
  private ModesContent content;
  private Object drawn;
  private Object told;
  private String olderOf = "";
  private FitSettings pending;
  private Direction pendingOf;
  private boolean seen;
  private boolean filling;
  private boolean picksPossible;
  private double pointed = Double.NaN;
  private final Map<Direction, List<Double>> leftOut = new HashMap<>();
  private List<Double> unused = List.of();

  ModesPanel(Desk desk) {
    super(
        new MigLayout(
            "ins 6 12 8 12, fill, gapy 2lp",
            "[grow,fill]10[320lp!,fill]",
            "[][][grow,fill]8[90lp:130lp:190lp,fill]"));
    this.desk = desk;
    drawing = new Latest(desk.tasks(), "drawing the fit");
    circling = new Latest(desk.tasks(), "drawing the circle");
    listing = new Latest(desk.tasks(), "older measurements");
    comparison = new ComparisonPanel(desk);
    picker = new DirectionPicker(desk, "modes-direction");
    fit.setName("modes-plot-fit");
    poles.setName("modes-plot-poles");
    circle.setName("modes-plot-circle");
    XLink link = new XLink();
    fit.linkX(link);
    poles.linkX(link);
    fit.onHandle(this::bandMoved);
    fit.wheelAlongX();
    poles.wheelAlongX();
    poles.onCursor(this::pointedAt);
    poles.onPick((x, y, mark) -> mark.ifPresent(m -> pick(ModesContent.frequency(m))));
    add(tools(), "span 2, growx, wmin 0, wrap");
    JPanel notices =
        new JPanel(new MigLayout("ins 0, gap 0, fillx, wrap 1, hidemode 3", "[grow,fill]"));
    notices.add(problem, "growx, wmin 0");
    notices.add(hint, "growx, wmin 0");
    add(notices, "span 2, growx, wmin 0, wrap");
    plots.setLayout(new MigLayout("ins 0, fill, wrap 1, gap 4lp", "[grow,fill]"));
    plots.add(fit, "grow, pushy 120, wmin 0, hmin 150lp");
    plots.add(poles, "grow, pushy 100, wmin 0, hmin 150lp");
    JScrollPane left = new JScrollPane(new FillPanel(plots));
    left.setBorder(BorderFactory.createEmptyBorder());
    left.setHorizontalScrollBarPolicy(JScrollPane.HORIZONTAL_SCROLLBAR_NEVER);
    add(left, "grow, push, wmin 0, hmin 0");
    JPanel right = new JPanel(new MigLayout("ins 0, fill, wrap 1, gap 4lp", "[grow,fill]"));
    tabs.setName("modes-tabs");
    tabs.addTab("Remarks", remarks);
    tabs.addTab("Compare", comparison);
    tabs.setMnemonicAt(0, java.awt.event.KeyEvent.VK_R);
    tabs.setMnemonicAt(1, java.awt.event.KeyEvent.VK_M);
    tabs.setToolTipTextAt(0, "What is to be known of the selected mode (Alt+R)");
    tabs.setToolTipTextAt(1, "Whether the set-up has changed since an older measurement (Alt+M)");
    right.add(circle, "grow, pushy 100, h 200lp, wmin 0, hmin 0");
    right.add(tabs, "grow, pushy 120, h 200lp, wmin 0, hmin 0");
    add(right, "grow, wmin 0, hmin 0, wrap");
    add(tableIn(), "span 2, grow, wmin 0, hmin 90lp");
    desk.onChange(this::refresh);
    desk.onClose(() -> seen = false); // no new work then
  }

  private JPanel tools() {
    JPanel tools = WrapFlow.panel(4);
    tools.add(picker);
    tools.add(Box.createHorizontalStrut(8));
    low.example("usable band").suffix("Hz").onCommit(t -> bandTyped());
    high.example("usable band").suffix("Hz").onCommit(t -> bandTyped());
    tools.add(low.label());
    tools.add(low);
    tools.add(high.label());
    tools.add(high);
    tools.add(Box.createHorizontalStrut(8));
    JLabel modes = new JLabel("Modes");
    modes.setLabelFor(count);
    count.setName("modes-count");
    ((JSpinner.DefaultEditor) count.getEditor())
        .getTextField()
        .getAccessibleContext()
        .setAccessibleName("Number of modes");
    count.getAccessibleContext().setAccessibleName("Number of modes");
    count.addChangeListener(e -> counted());
    automatic.setName("modes-automatic");
    automatic.setToolTipText("As many modes as the data support");
    automatic.addActionListener(e -> automaticPressed());
    tools.add(modes);
    tools.add(count);
    tools.add(automatic);
    tools.add(Box.createHorizontalStrut(8));
    pick.setName("modes-pick");
    pick.setToolTipText(
        "Pick the mode nearest to the plots' cursor, or leave it out; where it was last counts (F9)");
    pick.addActionListener(e -> pickAtCursor());
    toData.setName("modes-to-data");
    toData.setToolTipText("Forget picks and number of modes (Ctrl+Shift+A)");
    toData.addActionListener(e -> leaveToData());
    tools.add(pick);
    tools.add(toData);
    working.setName("modes-working");
    tools.add(working);
    return tools;
  }

  private Component tableIn() {
    table.setName("modes-table");
    table.getAccessibleContext().setAccessibleName("Modes");
    table.setSelectionMode(ListSelectionModel.SINGLE_SELECTION);
    table.setFillsViewportHeight(true);
    table.setDefaultRenderer(Object.class, new Cells());
    table
        .getSelectionModel()
        .addListSelectionListener(
            e -> {
              if (!e.getValueIsAdjusting() && !filling) {
                selected(true);
              }
            });
    table
        .getInputMap(WHEN_ANCESTOR_OF_FOCUSED_COMPONENT)
        .put(KeyStroke.getKeyStroke("DELETE"), "leave-out");
    table
        .getActionMap()
        .put(
            "leave-out",
            new AbstractAction() {
              @Override
              public void actionPerformed(ActionEvent e) {
                use(table.getSelectedRow(), false);
              }
            });
    JMenuItem out = new JMenuItem("Leave this mode out (Delete)");
    out.setName("modes-leave-out");
    out.addActionListener(e -> use(table.getSelectedRow(), false));
    JMenuItem in = new JMenuItem("Use this mode");
    in.setName("modes-use");
    in.addActionListener(e -> use(table.getSelectedRow(), true));
    JPopupMenu menu =
        new JPopupMenu() {
          @Override
          public void show(Component invoker, int x, int y) {
            int row = table.rowAtPoint(new Point(x, y));
            if (row >= 0) {
              table.setRowSelectionInterval(row, row);
            }
            out.setEnabled(picksPossible && row >= 0 && row < rows.size());
            in.setEnabled(picksPossible && row >= rows.size());
            super.show(invoker, x, y);
          }
        };
    menu.add(out);
    menu.add(in);
    table.setComponentPopupMenu(menu);
    return new JScrollPane(table);
  }

  /** Uses the mode of a row for the fit, or leaves it out. */
  private void use(int row, boolean wanted) {
    if (row < 0 || row >= rows.size() + unused.size() || !picksPossible) {
      return;
    }
    boolean used = row < rows.size();
    if (used == wanted) {
      return;
    }
    pick(used ? rows.get(row).frequencyHz() : unused.get(row - rows.size()));
  }

  /** Remembers where the cursor was last: on the way to a button it leaves the plot. */
  private void pointedAt(OptionalDouble hz) {
    if (hz.isPresent()) {
      pointed = hz.getAsDouble();
    } else if (!Double.isNaN(pointed)) {
      pick.setText(String.format(Locale.ROOT, "Pick at %.0f Hz (F9)", pointed));
    }
  }

  /** Signs in the first column, the rest as text; pale while a newer fit works. */
  private final class Cells extends DefaultTableCellRenderer {
    @Override
    public Component getTableCellRendererComponent(
        JTable of, Object value, boolean selected, boolean focus, int row, int column) {
      super.getTableCellRendererComponent(of, value, selected, focus, row, column);
      boolean sign = column == 0 && row < rows.size();
      setIcon(sign ? signOf(rows.get(row)) : null);
      setEnabled(of.isEnabled());
      return this;
    }
  }

  private static Sign signOf(ModeRow row) {
    return row.doubtful() ? Sign.CAUTION : row.stiff() ? Sign.DONE : Sign.NOTE;
  }

  // ---- what the user wants

  private Optional<Measured> measured() {
    return DirectionPicker.direction(desk).flatMap(d -> desk.job().measured(d));
  }

  private void want(String words, String together, FitSettings fit) {
    measured()
        .ifPresent(
            m ->
                desk.change(
                    words,
                    together,
                    job ->
                        job.measured(m.direction())
                            .map(now -> job.with(now.withFit(fit)))
                            .orElse(job)));
  }

  private boolean fittable() {
    return content != null && measured().isPresent();
  }

  private void bandMoved(String id, double x, double y, boolean finished) {
    if (!fittable()) {
      return;
    }
    Measured m = measured().get();
    FitSettings before = pending != null && m.direction().equals(pendingOf) ? pending : m.fit();
    FittedModes fitted = result().flatMap(DirectionResult::modes).orElse(null);
    double from = before.bandLowHz().orElse(fitted == null ? 0 : fitted.bandLowHz());
    double to = before.bandHighHz().orElse(fitted == null ? x : fitted.bandHighHz());
    if (id.equals(ModesContent.LOW)) {
      from = Math.max(0, Math.min(x, to / NARROWEST));
    } else {
      to = Math.max(x, from * NARROWEST);
    }
    pending = before.withBand(rounded(from), rounded(to));
    pendingOf = m.direction();
    if (finished || !desk.results().of(m.direction()).working()) {
      takePending();
    }
    if (finished) {
      desk.rest();
    }
  }

  private static double rounded(double hz) {
    return Math.round(10 * hz) / 10.0;
  }

  /** Fits the newest band that was dragged to. */
  private void takePending() {
    if (pending == null) {
      return;
    }
    FitSettings fit = pending;
    pending = null;
    if (measured().map(Measured::direction).equals(Optional.of(pendingOf))) {
      want(
          String.format(
              Locale.ROOT,
              "fit %.0f to %.0f Hz",
              fit.bandLowHz().orElse(0.0),
              fit.bandHighHz().orElse(0.0)),
          TOGETHER + pendingOf.key(),
          fit);
    }
  }

  private void bandTyped() {
    if (measured().isEmpty()) {
      return;
    }
    low.complain("");
    high.complain("");
    FitSettings before = measured().get().fit();
    Field at = low;
    try {
      Optional<Double> from = frequency(low.text());
      at = high;
      Optional<Double> to = frequency(high.text());
      FitSettings after = new FitSettings(from, to, before.count(), before.picksHz());
      want(from.isEmpty() && to.isEmpty() ? "fit the usable band" : "fit another band", "", after);
    } catch (BadInputException e) {
      at.complain(e.getMessage());
    }
  }

  private static Optional<Double> frequency(String text) {
    String said = text.strip().replaceAll("(?<=\\d),(?=\\d{3}(?!\\d))", "");
    if (said.isEmpty()) {
      return Optional.empty();
    }
    boolean bare = said.matches("[\\d.,]+");
    return Optional.of(Quantity.parse(bare ? said + " Hz" : said, Dimension.FREQUENCY));
  }

  void usableBand() {
    measured()
        .ifPresent(
            m ->
                want(
                    "fit the usable band",
                    "",
                    new FitSettings(
                        Optional.empty(), Optional.empty(), m.fit().count(), m.fit().picksHz())));
  }

  private void counted() {
    if (filling || measured().isEmpty()) {
      return;
    }
    int n = (Integer) count.getValue();
    FitSettings before = measured().get().fit();
    want(
        n == 1 ? "fit 1 mode" : "fit " + n + " modes",
        "fit-count",
        new FitSettings(before.bandLowHz(), before.bandHighHz(), Optional.of(n), List.of()));
  }

  private void automaticPressed() {
    if (automatic.isSelected()) {
      leaveToData();
    } else {
      counted();
    }
  }

  void leaveToData() {
    measured()
        .ifPresent(
            m ->
                want(
                    "leave the modes to the data",
                    "",
                    new FitSettings(
                        m.fit().bandLowHz(), m.fit().bandHighHz(), Optional.empty(), List.of())));
  }

  private void pick(double hz) {
    if (!fittable()) {
      return;
    }
    List<Double> now =
        result().flatMap(DirectionResult::modes).stream()
            .flatMap(f -> f.model().modes().stream())
            .map(Mode::frequencyHz)
            .toList();
    List<Double> out =
        leftOut.computeIfAbsent(measured().get().direction(), d -> new ArrayList<>());
    out.removeIf(f -> alike(f, hz));
    now.stream().filter(f -> alike(f, hz)).forEach(out::add);
    try {
      Picks.Picked picked = Picks.toggle(measured().get().fit(), now, rounded(hz));
      want(picked.words(), "", picked.settings());
    } catch (BadInputException e) {
      problem.say(Sign.BAD, e.getMessage());
    }
  }

  private static boolean alike(double one, double other) {
    return Math.abs(one - other) < SAME * other;
  }

  void pickAtCursor() {
    double at = Double.isNaN(poles.cursorX()) ? pointed : poles.cursorX();
    Optional<FittedModes> fitted = result().flatMap(DirectionResult::modes);
    if (Double.isNaN(at) || fitted.isEmpty()) {
      hint.say(
          Sign.NOTE,
          "Put the plots' cursor at a mode first: point at it, or press the plot and use the arrows.");
      return;
    }
    hint.clear();
    fitted.get().stabilisation().groups().stream()
        .map(g -> g.frequencyHz())
        .min((a, b) -> Double.compare(Math.abs(a - at), Math.abs(b - at)))
        .ifPresentOrElse(this::pick, () -> pick(at));
  }

  void whole() {
    fit.resetView();
    table.clearSelection();
  }

  void toggleAxis() {
    desk.settings(s -> s.with("modes-log-frequency", !logFrequency()));
  }

  private boolean logFrequency() {
    return desk.settings().on("modes-log-frequency", true);
  }

  // ---- showing

  void shown(boolean now) {
    seen = now;
    olderOf = "";
    refresh();
  }

  /** The newest result that holds modes or says why there are none. */
  private Optional<DirectionResult> result() {
    Optional<Measured> m = measured();
    if (m.isEmpty()) {
      return Optional.empty();
    }
    Direction direction = m.get().direction();
    Finding<DirectionResult> found = desk.results().of(direction);
    DirectionResult before = last.get(direction);
    if (found.ready()) {
      last.put(direction, found.value().get());
      return found.value();
    }
    if (!found.working() || before != null && !before.of().file().equals(m.get().file())) {
      last.remove(direction);
      return Optional.empty();
    }
    return Optional.ofNullable(before);
  }

  private void refresh() {
    if (!seen || desk.folder().isEmpty()) {
      return;
    }
    picker.refresh();
    listOlder();
    Optional<Measured> m = measured();
    Optional<DirectionResult> result = result();
    boolean busy =
        m.map(Measured::direction).map(d -> desk.results().of(d).working()).orElse(false);
    working.setText(busy ? "fitting…" : "");
    table.setEnabled(!busy);
    if (!busy && pending != null) {
      takePending();
      return; // comes again
    }
    wishes(m, result);
    problems(m, result);
    record Key(Object result, Object fit, LengthUnit unit, boolean log, boolean busy) {}
    Key key =
        new Key(
            result.orElse(null),
            m.map(Measured::fit).orElse(null),
            desk.unit(),
            logFrequency(),
            busy);
    if (key.equals(drawn)) {
      return;
    }
    drawn = key;
    tell(result);
    draw(result, m, busy, key);
  }

  private void wishes(Optional<Measured> m, Optional<DirectionResult> result) {
    boolean possible = m.isPresent() && m.get().kind() != Measured.Kind.SAVED;
    picksPossible = possible && result.flatMap(DirectionResult::modes).isPresent();
    FitSettings fit = m.map(Measured::fit).orElse(FitSettings.AUTOMATIC);
    filling = true;
    low.show(text(fit.bandLowHz()));
    high.show(text(fit.bandHighHz()));
    automatic.setSelected(fit.count().isEmpty() && fit.picksHz().isEmpty());
    int found =
        result
            .flatMap(DirectionResult::modes)
            .map(f -> f.model().modes().size())
            .orElse((Integer) count.getValue());
    int shown = fit.count().orElse(fit.picksHz().isEmpty() ? found : fit.picksHz().size());
    count.setValue(Math.max(1, Math.min(FitSettings.MOST_MODES, shown)));
    filling = false;
    for (Component each :
        new Component[] {low.input(), high.input(), count, automatic, toData, pick}) {
      each.setEnabled(possible);
    }
    toData.setEnabled(possible && !automatic.isSelected());
  }

  private static String text(Optional<Double> hz) {
    return hz.map(v -> v == Math.rint(v) ? String.valueOf(Math.round(v)) : String.valueOf(v))
        .orElse("");
  }

  private void problems(Optional<Measured> m, Optional<DirectionResult> result) {
    if (m.isEmpty()) {
      problem.say(Sign.NOTE, "Nothing was measured yet: go to Taps (Ctrl+2).");
      return;
    }
    Finding<DirectionResult> found = desk.results().of(m.get().direction());
    String sentence =
        found.problem().isEmpty()
            ? result.map(DirectionResult::problem).orElse("")
            : found.problem() + " Tap this direction again (Ctrl+2).";
    Optional<String> left = result.filter(r -> found.ready()).flatMap(Doubts::unfitted);
    if (sentence.isEmpty() && left.isPresent()) {
      problem.say(
          Sign.CAUTION,
          Character.toUpperCase(left.get().charAt(0))
              + left.get().substring(1)
              + ". Pick it, widen the band, or leave the modes to the data.");
    } else if (sentence.isEmpty()) {
      problem.clear();
    } else {
      boolean noForce = result.flatMap(DirectionResult::decays).isPresent();
      problem.say(
          noForce ? Sign.CAUTION : Sign.BAD,
          Character.toUpperCase(sentence.charAt(0)) + sentence.substring(1));
    }
  }

  // ---- table and remarks

  private void tell(Optional<DirectionResult> result) {
    record Key(Object result, LengthUnit unit) {}
    Key key = new Key(result.orElse(null), desk.unit());
    if (key.equals(told)) {
      return;
    }
    told = key;
    double before =
        table.getSelectedRow() >= 0 && table.getSelectedRow() < rows.size()
            ? rows.get(table.getSelectedRow()).frequencyHz()
            : Double.NaN;
    rows = result.map(r -> rows(r, desk.unit())).orElse(List.of());
    List<String> all = new ArrayList<>(result.map(DirectionResult::remarks).orElse(List.of()));
    result.flatMap(DirectionResult::response).ifPresent(r -> all.removeAll(r.origin().remarks()));
    sorted = ModeRemarks.of(all, rows.stream().map(ModeRow::frequencyHz).toList());
    filling = true;
    List<String> columns = new ArrayList<>(ModeRow.columns(desk.unit()));
    columns.add("Use");
    unused = unused(result);
    if (model.getColumnCount() != columns.size()
        || !model.getColumnName(3).equals(columns.get(3))) {
      model.setColumnIdentifiers(columns.toArray());
      int[] wide = {155, 212, 140, 195, 150, 155, 50};
      for (int i = 0; i < wide.length; i++) {
        table.getColumnModel().getColumn(i).setPreferredWidth(wide[i]);
      }
    }
    model.setRowCount(0);
    int keep = -1;
    for (ModeRow row : rows) {
      List<Object> cells = new ArrayList<>();
      int remarked = sorted.ofModes().get(model.getRowCount()).size();
      cells.add(
          row.standing()
              + (remarked == 0 ? "" : remarked == 1 ? ", 1 remark" : ", " + remarked + " remarks"));
      cells.addAll(row.cells());
      cells.add(true);
      model.addRow(cells.toArray());
      if (Math.abs(row.frequencyHz() - before) < 0.02 * row.frequencyHz()) {
        keep = model.getRowCount() - 1;
      }
    }
    for (double hz : unused) {
      String frequency = String.format(Locale.ROOT, "%.1f", hz);
      model.addRow(new Object[] {"left out", frequency, "", "", "", "", false});
    }
    if (keep >= 0) {
      table.setRowSelectionInterval(keep, keep);
    }
    filling = false;
    selected(false);
  }

  /** What was left out by hand and is not in the fit. */
  private List<Double> unused(Optional<DirectionResult> result) {
    if (result.flatMap(DirectionResult::modes).isEmpty()) {
      return List.of();
    }
    return leftOut.getOrDefault(result.get().of().direction(), List.of()).stream()
        .filter(hz -> rows.stream().noneMatch(row -> alike(row.frequencyHz(), hz)))
        .sorted()
        .toList();
  }

  static List<ModeRow> rows(DirectionResult r, LengthUnit unit) {
    if (r.modes().isPresent()) {
      double sensor =
          r.measurement().map(Measurement::recording).map(x -> x.sensorMassKg()).orElse(0.0);
      return ModeRow.of(r.modes().get().model(), sensor, unit);
    }
    return r.decays()
        .map(d -> ModeRow.of(d.modes().modes(), unit))
        .or(() -> r.saved().map(s -> ModeRow.of(s, unit)))
        .orElse(List.of());
  }

  /** A mode was chosen in the table: its remarks, its circle, and the plots around it. */
  private void selected(boolean byHand) {
    int row = table.getSelectedRow();
    remarks.clear();
    if (row >= 0 && row < rows.size()) {
      ModeRow mode = rows.get(row);
      remarks.heading(String.format(Locale.ROOT, "The mode at %.1f Hz", mode.frequencyHz()));
      List<String> its = sorted.ofModes().get(row);
      if (its.isEmpty()) {
        remarks.line(mode.doubtful() ? "Its stiffness is doubtful." : "Nothing to remark.");
      }
      its.forEach(r -> remarks.remark(r, "modes-remark"));
      if (byHand) {
        double reach = Math.max(AROUND * mode.bandwidthHz(), 0.1 * mode.frequencyHz());
        fit.setShownX(
            Math.max(mode.frequencyHz() - reach, mode.frequencyHz() / 3),
            mode.frequencyHz() + reach);
      }
    } else {
      Map<String, List<String>> modes = new LinkedHashMap<>();
      for (int i = 0; i < rows.size(); i++) {
        String hz = String.format(Locale.ROOT, "%.1f", rows.get(i).frequencyHz());
        sorted.ofModes().get(i).stream()
            .distinct()
            .forEach(r -> modes.computeIfAbsent(r, x -> new ArrayList<>()).add(hz));
      }
      Map<List<String>, List<String>> told = new LinkedHashMap<>();
      modes.forEach((r, of) -> told.computeIfAbsent(of, x -> new ArrayList<>()).add(r));
      told.forEach(
          (of, its) -> {
            remarks.heading(
                (of.size() == 1 ? "The mode at " : "The modes at ")
                    + String.join(" and ", of)
                    + " Hz");
            its.forEach(r -> remarks.remark(r, "modes-remark"));
          });
    }
    if (!sorted.rest().isEmpty()) {
      remarks.heading("All in all");
      sorted.rest().forEach(r -> remarks.remark(r, "modes-remark"));
    } else if (rows.isEmpty()) {
      remarks.line("no modes yet");
    }
    remarks.done();
    drawCircle();
  }

  // ---- plots

  private void draw(
      Optional<DirectionResult> result, Optional<Measured> m, boolean busy, Object key) {
    Optional<FrequencyResponse> response = result.flatMap(DirectionResult::response);
    Optional<FittedModes> fitted = result.flatMap(DirectionResult::modes);
    comparison.now(
        busy || response.isEmpty() || fitted.isEmpty()
            ? Optional.empty()
            : Optional.of(new FittedResponse(response.get(), fitted.get())));
    if (response.isEmpty() || fitted.isEmpty() || m.isEmpty()) {
      content = null;
      String why =
          busy
              ? "fitting…"
              : result.flatMap(DirectionResult::decays).isPresent()
                  ? "no force was measured: there is no response to fit; see the table"
                  : result.flatMap(DirectionResult::saved).isPresent()
                      ? "saved modes: see the table"
                      : "no fit";
      for (Plot each : List.of(fit, poles, circle)) {
        each.show(PlotContent.empty(why));
      }
      return;
    }
    FitSettings wanted = m.get().fit();
    LengthUnit unit = desk.unit();
    boolean log = logFrequency();
    record Made(ModesContent content, PlotContent fit, PlotContent poles) {}
    drawing.want(
        progress -> {
          ModesContent made =
              new ModesContent(response.get(), fitted.get(), wanted, unit, log, busy);
          return new Made(made, made.fit(), made.poles());
        },
        made -> {
          if (!Objects.equals(key, drawn)) {
            return;
          }
          content = made.content;
          fit.show(made.fit);
          SwingUtilities.invokeLater( // each is painted in an event of its own
              () -> {
                if (content == made.content) {
                  poles.show(made.poles);
                  drawCircle();
                }
              });
        },
        complaint -> problem.say(Sign.CAUTION, complaint));
  }

  private void drawCircle() {
    if (content == null || !seen) {
      return;
    }
    ModesContent of = content;
    int row = table.getSelectedRow() < 0 ? strongest() : table.getSelectedRow();
    circling.want(
        progress -> of.circle(row),
        made -> {
          if (of == content) {
            circle.show(made);
          }
        },
        complaint -> circle.show(PlotContent.empty(complaint)));
  }

  /** The mode to look at where none is selected: the most flexible one. */
  private int strongest() {
    List<Mode> modes =
        result().flatMap(DirectionResult::modes).map(f -> f.model().modes()).orElse(List.of());
    int best = -1;
    double least = Double.POSITIVE_INFINITY;
    for (int i = 0; i < modes.size(); i++) {
      double stiff = modes.get(i).stiffnessNPerM() * modes.get(i).dampingRatio();
      if (stiff < least) {
        least = stiff;
        best = i;
      }
    }
    return best;
  }

  private void listOlder() {
    Optional<Direction> direction = DirectionPicker.direction(desk);
    Optional<String> id = desk.job().savedId();
    String key = id.orElse("") + " " + direction.map(Direction::key).orElse("");
    if (key.equals(olderOf)) {
      return;
    }
    olderOf = key;
    if (id.isEmpty() || direction.isEmpty()) {
      comparison.older(List.of());
      return;
    }
    listing.want(
        progress -> Older.of(desk.library(), id.get(), direction.get()),
        list -> {
          if (key.equals(olderOf)) {
            comparison.older(list);
          }
        },
        complaint -> hint.say(Sign.CAUTION, complaint));
  }
}

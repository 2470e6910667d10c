package ringtrue.ui.response;

import java.util.ArrayList;
import java.util.EnumMap;
import java.util.EnumSet;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import javax.swing.BorderFactory;
import javax.swing.Box;
import javax.swing.JButton;
import javax.swing.JCheckBoxMenuItem;
import javax.swing.JComboBox;
import javax.swing.JLabel;
import javax.swing.JPanel;
import javax.swing.JPopupMenu;
import javax.swing.JScrollPane;
import javax.swing.JToggleButton;
import javax.swing.SwingUtilities;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.ResponseForm;
import ringtrue.fitting.FittedModes;
import ringtrue.signal.AveragedResponse;
import ringtrue.signal.Processing;
import ringtrue.signal.Tap;
import ringtrue.ui.desk.Desk;
import ringtrue.ui.desk.DirectionResult;
import ringtrue.ui.desk.Finding;
import ringtrue.ui.desk.StageId;
import ringtrue.ui.job.Direction;
import ringtrue.ui.job.Measured;
import ringtrue.ui.kit.MigLayout;
import ringtrue.ui.kit.Notice;
import ringtrue.ui.kit.Sign;
import ringtrue.ui.plot.Ink;
import ringtrue.ui.plot.Plot;
import ringtrue.ui.plot.PlotContent;
import ringtrue.ui.plot.Stroke;
import ringtrue.ui.plot.XLink;

/** Plots of the response with what the averaging says beside them. */
final class ResponsePanel extends JPanel {
  /** Under this it is worth tapping again. */
  private static final double POOR_COHERENCE = 0.9;

  private static final String FITTED = "fitted modes";

  private final Desk desk;
  private final DirectionPicker picker;
  private final Map<ResponseView, JToggleButton> toggles = new EnumMap<>(ResponseView.class);
  private final Map<ResponseView, Plot> plots = new EnumMap<>(ResponseView.class);
  private final JComboBox<String> form = new JComboBox<>();
  private final JToggleButton logFrequency = new JToggleButton("Log Hz");
  private final JToggleButton logMagnitude = new JToggleButton("Log y");
  private final JButton overlay = new JButton("Compare with…");
  private final JPanel stack = new JPanel();
  private final JScrollPane left = new JScrollPane(new FillPanel(stack));
  private final Notice problem = new Notice("response-problem");
  private final SidePanel side = new SidePanel("response-side");
  private final Latest drawing;
  private final Latest listing;
  private final Set<String> laid = new LinkedHashSet<>();
  private List<Older> older = List.of();
  private String olderOf = "";
  private Set<ResponseView> stacked = Set.of();
  private boolean seen;
  private boolean filling;
  private Object drawn;
  private ResponseContent content;
  private final JButton nextPeak = new JButton("Next peak (F9)");
  private double[] peaks = new double[0];

  ResponsePanel(Desk desk) {
    super(new MigLayout("ins 10 12 10 12, fill, hidemode 3", "[grow,fill]12[280lp!,fill]"));
    this.desk = desk;
    drawing = new Latest(desk.tasks(), "drawing the response");
    listing = new Latest(desk.tasks(), "older measurements");
    picker = new DirectionPicker(desk, "response-direction");
    XLink link = new XLink();
    for (ResponseView each : ResponseView.values()) {
      Plot plot = new Plot(each.words() + " of the frequency response");
      plot.setName("response-plot-" + each.key());
      if (each != ResponseView.NYQUIST) {
        plot.linkX(link);
        plot.wheelAlongX();
        plot.onCursor(this::cursor);
      }
      plots.put(each, plot);
    }
    left.setBorder(BorderFactory.createEmptyBorder());
    left.getVerticalScrollBar().setUnitIncrement(24);
    left.setHorizontalScrollBarPolicy(JScrollPane.HORIZONTAL_SCROLLBAR_NEVER);
    add(tools(), "span 2, growx, wmin 0, wrap");
    add(problem, "span 2, growx, wmin 0, wrap");
    add(left, "grow, push, wmin 0");
    add(side, "grow, wmin 0");
    desk.onChange(this::refresh);
    desk.onClose(() -> seen = false); // no new work then
  }

  private JPanel tools() {
    JPanel tools = WrapFlow.panel(4);
    tools.add(picker);
    tools.add(Box.createHorizontalStrut(8));
    for (ResponseView each : ResponseView.values()) {
      JToggleButton button = new JToggleButton(each.words());
      button.setName("response-view-" + each.key());
      button.setToolTipText("Show or hide this plot (" + each.keyWords() + ")");
      button.addActionListener(e -> toggle(each));
      toggles.put(each, button);
      tools.add(button);
    }
    form.setName("response-form");
    form.setToolTipText(
        "Motion per force as displacement, velocity or acceleration (Ctrl+Shift+F)");
    form.getAccessibleContext().setAccessibleName("Form of the response");
    for (ResponseForm each : ResponseForm.values()) {
      form.addItem(each.word());
    }
    form.addActionListener(
        e -> {
          if (!filling) {
            remember("response-form", ResponseForm.values()[form.getSelectedIndex()].name());
          }
        });
    tools.add(Box.createHorizontalStrut(8));
    tools.add(form);
    logFrequency.setName("response-log-frequency");
    logFrequency.setToolTipText("Logarithmic frequency axis (Ctrl+Shift+X)");
    logFrequency.addActionListener(e -> toggleFrequencyAxis());
    tools.add(logFrequency);
    logMagnitude.setName("response-log-magnitude");
    logMagnitude.setToolTipText("Logarithmic magnitude axis (Ctrl+Shift+Y)");
    logMagnitude.addActionListener(e -> toggleMagnitudeAxis());
    tools.add(logMagnitude);
    overlay.setName("response-overlay");
    overlay.setToolTipText(
        "Show other directions, fitted modes or older measurements as well (Ctrl+Shift+O)");
    overlay.addActionListener(e -> chooseOverlays());
    tools.add(overlay);
    nextPeak.setName("response-next-peak");
    nextPeak.setToolTipText("Put the cursor on the next peak and read it there (F9)");
    nextPeak.addActionListener(e -> nextPeak());
    nextPeak.setEnabled(false);
    tools.add(nextPeak);
    return tools;
  }

  private void remember(String name, Object value) {
    desk.settings(s -> s.with(name, value));
  }

  // ---- what is wanted

  private EnumSet<ResponseView> views() {
    EnumSet<ResponseView> on = EnumSet.noneOf(ResponseView.class);
    for (String key :
        desk.settings().text("response-views", "magnitude phase coherence").split(" ")) {
      for (ResponseView each : ResponseView.values()) {
        if (each.key().equals(key)) {
          on.add(each);
        }
      }
    }
    return on.isEmpty() ? EnumSet.of(ResponseView.MAGNITUDE) : on;
  }

  void toggle(ResponseView which) {
    EnumSet<ResponseView> on = views();
    if (!on.remove(which)) {
      on.add(which);
    }
    List<String> keys = on.stream().map(ResponseView::key).toList();
    remember("response-views", keys.isEmpty() ? "magnitude" : String.join(" ", keys));
    refresh(); // also where the last one stays on
  }

  private ResponseForm formChosen() {
    String said = desk.settings().text("response-form", ResponseForm.RECEPTANCE.name());
    for (ResponseForm each : ResponseForm.values()) {
      if (each.name().equals(said)) {
        return each;
      }
    }
    return ResponseForm.RECEPTANCE;
  }

  void nextForm() {
    int next = (formChosen().ordinal() + 1) % ResponseForm.values().length;
    remember("response-form", ResponseForm.values()[next].name());
  }

  void toggleFrequencyAxis() {
    remember("response-log-frequency", !choice().logFrequency());
  }

  void toggleMagnitudeAxis() {
    remember("response-log-magnitude", !choice().logMagnitude());
  }

  private ResponseContent.Choice choice() {
    return new ResponseContent.Choice(
        formChosen(),
        desk.unit(),
        desk.settings().on("response-log-frequency", true),
        desk.settings().on("response-log-magnitude", true));
  }

  /** Puts the cursor on the next peak and says what is read there. */
  void nextPeak() {
    Plot plot = plots.get(stacked.stream().findFirst().orElse(ResponseView.MAGNITUDE));
    double hz = Peaks.next(peaks, plot.cursorX());
    if (content == null || Double.isNaN(hz) || stacked.equals(Set.of(ResponseView.NYQUIST))) {
      return;
    }
    double[] shown = plot.shownX();
    if (hz < shown[0] || hz > shown[1]) {
      plot.resetView();
    }
    plot.setCursorX(hz);
    plot.say("peak at " + content.reading(hz));
  }

  void chooseOverlays() {
    JPopupMenu menu = new JPopupMenu();
    menu.setName("response-overlays");
    Optional<Direction> now = DirectionPicker.direction(desk);
    int number = 0;
    for (Measured each : desk.job().measured()) {
      if (!Optional.of(each.direction()).equals(now)) {
        menu.add(item(each.direction().words(), "response-over-" + each.direction().key()));
      }
    }
    menu.add(item(FITTED, "response-over-fitted"));
    if (!older.isEmpty()) {
      menu.addSeparator();
    }
    for (Older each : older) {
      String words =
          each.words()
              + (each.kept()
                  ? " (measured)"
                  : each.saved().model().isPresent() ? " (from its modes)" : " (no stiffness)");
      JCheckBoxMenuItem item = item(words, "response-over-older-" + ++number);
      item.setEnabled(each.kept() || each.saved().model().isPresent());
      menu.add(item);
    }
    if (older.isEmpty()) {
      JLabel none =
          new JLabel(
              desk.job().savedId().isPresent()
                  ? "no older measurement of this direction"
                  : "older ones: once the set-up is saved");
      none.setEnabled(false);
      none.setBorder(BorderFactory.createEmptyBorder(4, 10, 4, 10));
      menu.add(none);
    }
    menu.show(overlay, 0, overlay.getHeight());
  }

  private JCheckBoxMenuItem item(String words, String name) {
    JCheckBoxMenuItem item = new JCheckBoxMenuItem(words, laid.contains(words));
    item.setName(name);
    item.addActionListener(
        e -> {
          if (!laid.remove(words)) {
            laid.add(words);
          }
          refresh();
        });
    return item;
  }

  // ---- showing

  void shown(boolean now) {
    seen = now;
    olderOf = "";
    refresh();
  }

  private void refresh() {
    if (!seen || desk.folder().isEmpty()) {
      return;
    }
    picker.refresh();
    Set<ResponseView> on = views();
    toggles.forEach((v, b) -> b.setSelected(on.contains(v)));
    ResponseContent.Choice choice = choice();
    filling = true;
    form.setSelectedIndex(choice.form().ordinal());
    filling = false;
    logFrequency.setSelected(choice.logFrequency());
    logMagnitude.setSelected(choice.logMagnitude());
    stack(on);
    listOlder();
    Optional<Direction> direction = DirectionPicker.direction(desk);
    if (direction.isEmpty()) {
      empty("Nothing was measured yet: go to Taps (Ctrl+2)");
      return;
    }
    Finding<DirectionResult> found = desk.results().of(direction.get());
    if (found.problem().isEmpty()) {
      problem.clear();
    } else {
      problem.say(Sign.BAD, found.problem() + " Tap this direction again (Ctrl+2).");
    }
    Optional<DirectionResult> result = found.value();
    List<Trace> over = over(direction.get());
    record Key(Object result, Object choice, Object views, Object over, Object older) {}
    Object key =
        new Key(
            result
                .map(r -> List.of(r.response().isPresent() ? r.response() : r, natural(r)))
                .orElse(null),
            choice,
            on,
            List.of(Set.copyOf(laid), over),
            older);
    if (key.equals(drawn)) {
      return;
    }
    drawn = key;
    if (result.isEmpty()) {
      empty(found.working() ? "averaging…" : "no response in this direction");
      return;
    }
    draw(direction.get(), result.get(), over, choice, on);
  }

  private void empty(String hint) {
    drawn = null;
    content = null;
    peaks = new double[0];
    nextPeak.setEnabled(false);
    plots.values().forEach(p -> p.show(PlotContent.empty(hint)));
    side.clear();
  }

  /** Other directions and fitted modes that are there already. */
  private List<Trace> over(Direction now) {
    List<Trace> all = new ArrayList<>();
    for (Measured each : desk.job().measured()) {
      if (!each.direction().equals(now) && laid.contains(each.direction().words())) {
        desk.results()
            .of(each.direction())
            .value()
            .flatMap(DirectionResult::response)
            .ifPresent(r -> all.add(Trace.other(each.direction().words(), r)));
      }
    }
    return all;
  }

  private record Drawn(
      Map<ResponseView, PlotContent> plots, ResponseContent content, double[] peaks, String why) {}

  /** Natural frequencies of the fitted modes, Hz. */
  private static List<Double> natural(DirectionResult result) {
    return result.modes().stream()
        .flatMap(m -> m.model().modes().stream())
        .map(Mode::frequencyHz)
        .toList();
  }

  private void draw(
      Direction direction,
      DirectionResult result,
      List<Trace> over,
      ResponseContent.Choice choice,
      Set<ResponseView> on) {
    Object of = drawn;
    Set<String> names = Set.copyOf(laid);
    List<Older> list = older;
    Set<ResponseView> which = EnumSet.copyOf(on);
    List<Double> natural = natural(result);
    drawing.want(
        progress -> {
          List<Trace> traces = new ArrayList<>();
          main(direction, result, list).ifPresent(traces::add);
          if (traces.isEmpty()) {
            return new Drawn(Map.of(), null, new double[0], why(result));
          }
          traces.addAll(over);
          result
              .modes()
              .filter(m -> names.contains(FITTED))
              .ifPresent(m -> traces.add(fitted(m, traces.get(0).response())));
          for (Older each : list) {
            if (names.stream().anyMatch(n -> n.startsWith(each.words() + " ("))) {
              each.trace().ifPresent(traces::add);
            }
          }
          ResponseContent made = new ResponseContent(traces, choice);
          Map<ResponseView, PlotContent> contents = new LinkedHashMap<>();
          ResponseView first = which.iterator().next();
          for (ResponseView each : which) {
            contents.put(
                each,
                each == ResponseView.COHERENCE && !made.hasCoherence()
                    ? PlotContent.empty("no coherence: it needs two taps or more")
                    : each == ResponseView.NYQUIST
                        ? nyquist(made)
                        : made.builder(each, each == first)
                            .lines(
                                each == first ? "natural frequencies of the modes" : "",
                                natural.stream().mapToDouble(f -> f).toArray(),
                                natural.stream()
                                    .map(
                                        f ->
                                            each == first
                                                ? String.format(Locale.ROOT, "%.0f Hz", f)
                                                : "")
                                    .toList(),
                                true,
                                Ink.THIRD,
                                Stroke.DOTTED)
                            .build());
          }
          return new Drawn(contents, made, made.peaks(), "");
        },
        made -> {
          if (of != drawn) {
            return; // looked away meanwhile
          }
          content = made.content;
          peaks = made.peaks;
          nextPeak.setEnabled(peaks.length > 0);
          if (content == null) {
            plots.values().forEach(p -> p.show(PlotContent.empty(made.why)));
          }
          showEach(List.copyOf(made.plots.entrySet()), 0, of);
          tell(direction, result);
        },
        complaint -> problem.say(Sign.CAUTION, complaint));
  }

  /** One after the other, so that each is painted in an event of its own. */
  private void showEach(List<Map.Entry<ResponseView, PlotContent>> all, int index, Object of) {
    if (index < all.size() && of == drawn) {
      plots.get(all.get(index).getKey()).show(all.get(index).getValue());
      SwingUtilities.invokeLater(() -> showEach(all, index + 1, of));
    }
  }

  private static PlotContent nyquist(ResponseContent made) {
    double[] at = made.place(made.cursorStart());
    return made.builder(ResponseView.NYQUIST, true)
        .handle(ResponseContent.CURSOR, at[0], at[1], Ink.ACCENT, "at the cursor", false, false)
        .build();
  }

  private static Trace fitted(FittedModes modes, FrequencyResponse like) {
    return Trace.model(
        FITTED, modes.model().throughWindow(like.windowTimeConstantS()), like, Trace.Kind.MODEL);
  }

  private static Optional<Trace> main(
      Direction direction, DirectionResult result, List<Older> list) {
    Optional<Trace> measured =
        result.response().map(r -> Trace.measured(direction.words() + ", measured", r));
    if (measured.isPresent() || result.saved().isEmpty()) {
      return measured;
    }
    return list.stream()
        .filter(o -> o.saved().id().equals(result.saved().get().id()))
        .findFirst()
        .flatMap(Older::trace)
        .map(t -> new Trace(t.name(), t.response(), Trace.Kind.MAIN));
  }

  private static String why(DirectionResult result) {
    return result.decays().isPresent()
        ? "measured without force: there is no response to a force, only decays (see Modes)"
        : "only its modes were saved, without stiffness: there is no response to show";
  }

  private void stack(Set<ResponseView> on) {
    if (on.equals(stacked)) {
      return;
    }
    stacked = EnumSet.copyOf(on);
    stack.removeAll();
    boolean beside = on.contains(ResponseView.NYQUIST) && on.size() > 1;
    stack.setLayout(
        new MigLayout(
            "ins 0, fill, gap 6lp", beside ? "[grow 150,fill]8[grow 100,fill]" : "[grow,fill]"));
    JPanel column = new JPanel(new MigLayout("ins 0, fill, wrap 1, gap 4lp", "[grow,fill]"));
    for (ResponseView each : on) {
      if (each != ResponseView.NYQUIST) {
        column.add(
            plots.get(each),
            "grow, pushy "
                + (each == ResponseView.MAGNITUDE ? 200 : 100)
                + ", wmin 0, hmin "
                + (each == ResponseView.MAGNITUDE ? "200lp" : "130lp"));
      }
    }
    if (column.getComponentCount() > 0) {
      stack.add(column, "grow, push, wmin 0, sg half");
    }
    if (on.contains(ResponseView.NYQUIST)) {
      stack.add(plots.get(ResponseView.NYQUIST), "grow, push, wmin 0");
    }
    stack.revalidate();
    stack.repaint();
    drawn = null;
  }

  private void cursor(OptionalDouble hz) {
    if (content == null || !stacked.contains(ResponseView.NYQUIST)) {
      return;
    }
    hz.ifPresent(
        f -> {
          double[] at = content.place(f);
          plots.get(ResponseView.NYQUIST).handle(ResponseContent.CURSOR, at[0], at[1]);
        });
  }

  // ---- older measurements

  private void listOlder() {
    Optional<Direction> direction = DirectionPicker.direction(desk);
    Optional<String> id = desk.job().savedId();
    String key = id.orElse("") + " " + direction.map(Direction::key).orElse("");
    if (key.equals(olderOf)) {
      return;
    }
    olderOf = key;
    if (id.isEmpty() || direction.isEmpty()) {
      older = List.of();
      return;
    }
    listing.want(
        progress -> Older.of(desk.library(), id.get(), direction.get()),
        list -> {
          if (key.equals(olderOf)) {
            older = list;
            refresh();
          }
        },
        complaint -> {
          older = List.of();
          problem.say(Sign.CAUTION, complaint);
        });
  }

  // ---- beside the plots

  private void tell(Direction direction, DirectionResult result) {
    side.clear();
    side.heading(direction.words());
    if (desk.job().simulated() && result.saved().isEmpty()) {
      side.line("Simulated machine: these taps were computed, not measured.");
    }
    result.response().ifPresent(r -> facts(r, result));
    result
        .saved()
        .ifPresent(s -> side.line("From the library: " + s.averages() + " taps averaged then."));
    List<String> remarks =
        result.response().map(r -> r.origin().remarks()).orElse(result.remarks());
    if (!remarks.isEmpty()) {
      side.heading("What the averaging remarks");
      remarks.forEach(r -> side.remark(r, "response-remark"));
    }
    JButton taps = new JButton("To the taps");
    taps.setName("response-to-taps");
    taps.setToolTipText("Tap again, or set single taps aside (Ctrl+2)");
    taps.addActionListener(e -> desk.go(StageId.TAPS));
    side.button(taps);
    side.done();
  }

  private void facts(FrequencyResponse r, DirectionResult result) {
    FrequencyResponse.Origin origin = r.origin();
    side.line(
        "Usable from " + ResponseContent.band(r) + "; outside, under the veil, do not trust it.");
    double coherence = ResponseStage.medianCoherence(r);
    if (!Double.isNaN(coherence)) {
      side.line(String.format(Locale.ROOT, "Coherence %.3f (median over the band).", coherence));
    } else if (result.taps().isPresent()) {
      side.advice("One tap alone has no coherence: tap the same point three times or more.");
    }
    if (coherence < POOR_COHERENCE) {
      side.advice(
          "Low coherence: tap again, always the same point in the same direction, one clean blow each"
              + " time; look for a loose sensor or cable.");
    }
    Optional<AveragedResponse> averaged = result.taps().map(t -> t.averaged());
    long kept =
        averaged
            .map(a -> a.taps().stream().filter(t -> t.verdict() == Tap.Verdict.KEPT).count())
            .orElse((long) origin.averages());
    side.line(
        averaged
            .map(a -> kept + " of " + a.taps().size() + " taps averaged.")
            .orElse(kept == 1 ? "One tap." : kept + " taps averaged."));
    side.line(
        String.format(
            Locale.ROOT,
            "%d frequencies (spectral lines), %.3g Hz apart.",
            r.lines(),
            r.resolutionHz()));
    averaged.ifPresent(a -> processing(a.used()));
    double tau = r.windowTimeConstantS();
    if (!Double.isInfinite(tau)) {
      side.line(
          String.format(
              Locale.ROOT,
              "The ringing was faded out within %.3g ms (exponential window): peaks look broader than"
                  + " they are. The modes are found without that.",
              tau * 1e3));
    }
  }

  private void processing(AveragedResponse.Used used) {
    side.line(
        String.format(
            Locale.ROOT,
            "%.3g s of each tap are used, averaged so that %s disturbs least (estimator %s).",
            used.blockLengthS(),
            switch (used.estimator()) {
              case H1 -> "noise in the motion";
              case H2 -> "noise in the force";
              default -> "noise in both";
            },
            used.estimator().name()));
    Processing.ForceWindow force = used.forceWindow();
    if (!force.isNone()) {
      side.line(
          String.format(
              Locale.ROOT,
              "The force counts for %.3g ms from the blow, then as zero (force window).",
              force.lengthS() * 1e3));
    }
  }
}

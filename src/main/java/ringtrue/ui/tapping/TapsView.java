package ringtrue.ui.tapping;

import java.awt.Dimension;
import java.awt.Font;
import java.util.List;
import java.util.Optional;
import javax.swing.AbstractButton;
import javax.swing.ButtonGroup;
import javax.swing.JButton;
import javax.swing.JCheckBox;
import javax.swing.JPanel;
import javax.swing.JScrollPane;
import javax.swing.JToggleButton;
import javax.swing.UIManager;
import ringtrue.ui.kit.Deck;
import ringtrue.ui.kit.MigLayout;
import ringtrue.ui.kit.Notice;
import ringtrue.ui.kit.Scrolled;
import ringtrue.ui.kit.Sign;
import ringtrue.ui.kit.Wrapped;
import ringtrue.ui.plot.Plot;
import ringtrue.ui.plot.PlotContent;
import ringtrue.ui.response.WrapFlow;

/** Everything that the stage shows; what happens is decided by {@link TapsStage}. */
final class TapsView extends JPanel {
  private static final String CAUTIONS = "cautions";
  private static final String LIVE = "live";
  private static final String IMPORT = "import";

  final DirectionList directions;
  final TapPicture picture = new TapPicture();
  final Wrapped where = new Wrapped("");
  final InputPanel inputs;
  final CautionsPanel cautions;
  final ImportPanel importing;
  final StateView state = new StateView();
  final MeterView meters = new MeterView();
  final TapTable table = new TapTable();
  final Notice notice = new Notice("taps-notice");
  final JButton backToFile = new JButton("Show it");
  private final Notice waits = new Notice("taps-file-waits");
  private final JPanel waiting =
      new JPanel(new MigLayout("ins 0 10 0 0, fillx", "[grow,fill]8[]", "[center]"));
  final JButton start = new JButton("Start");
  final JButton again = new JButton("Tap again  (F8)");
  final JButton aside = new JButton("Set the last one aside  (Backspace)");
  final JButton stop = new JButton("Stop  (Esc)");
  final JCheckBox sounds = new JCheckBox("Sounds");
  private final Plot force = plot("Force of a tap over time", "taps-plot-force");
  private final Plot response = plot("Response to a tap over time", "taps-plot-response");
  private final Plot spectrum = plot("Spectrum of a tap's force", "taps-plot-spectrum");
  private final Plot average = plot("Average of the taps kept", "taps-plot-average");
  private final JToggleButton coherence = new JToggleButton("Coherence", true);
  private final JToggleButton magnitude = new JToggleButton("Receptance");
  private final Deck middle = new Deck();
  private Optional<Averaged> averaged = Optional.empty();
  private String page = "";

  TapsView(
      DirectionList directions, InputPanel inputs, CautionsPanel cautions, ImportPanel importing) {
    super(new MigLayout("ins 0, fill, gap 0", "[290lp!,fill][grow,fill]", "[grow,fill]"));
    this.directions = directions;
    this.inputs = inputs;
    this.cautions = cautions;
    this.importing = importing;
    setName("taps-view");
    add(left(), "grow");
    middle.add(scroll(cautions, "taps-cautions-scroll"), CAUTIONS);
    middle.add(live(), LIVE);
    middle.add(scroll(importing, "import-scroll"), IMPORT);
    add(right(), "grow, wmin 0, hmin 0");
  }

  private JPanel right() {
    backToFile.setName("taps-file-show");
    backToFile.setRequestFocusEnabled(false);
    waiting.setOpaque(false);
    waiting.add(waits, "growx, wmin 0");
    waiting.add(backToFile);
    waiting.setVisible(false);
    JPanel right =
        new JPanel(new MigLayout("ins 0, fill, wrap 1, gap 0, hidemode 3", "[grow,fill]"));
    right.setOpaque(false);
    right.add(waiting, "growx, wmin 0, gapright 10, gaptop 4");
    right.add(middle, "grow, push, wmin 0, hmin 0");
    return right;
  }

  private static Plot plot(String name, String key) {
    Plot plot = new Plot(name);
    plot.setName(key);
    plot.setMinimumSize(new Dimension(60, 60));
    return plot;
  }

  private JScrollPane left() {
    Scrolled column =
        new Scrolled(
            new MigLayout("ins 10 10 10 8, wrap 1, fillx, gapy 4", "[grow,fill]", "[top]"));
    column.add(directions, "growx, wmin 0");
    column.add(picture, "growx, gaptop 4");
    column.add(where, "growx, wmin 0");
    column.add(inputs, "growx, wmin 0");
    return clear(column, "taps-left");
  }

  private static JScrollPane scroll(JPanel what, String name) {
    Scrolled around = new Scrolled(new MigLayout("ins 0, fillx", "[grow,fill]", "[top]"));
    around.add(what, "growx, wmin 0, aligny top");
    return clear(around, name);
  }

  private static JScrollPane clear(Scrolled inside, String name) {
    inside.setOpaque(false);
    JScrollPane scroll = inside.pane(name);
    scroll.getViewport().setOpaque(false);
    scroll.setOpaque(false);
    return scroll;
  }

  private JPanel live() {
    JPanel live =
        new JPanel(
            new MigLayout(
                "ins 4 6 6 10, fill, wrap 1, gapy 4, hidemode 3", "[grow,fill]", "[top]"));
    live.setOpaque(false);
    start.setName("taps-start");
    again.setName("taps-again");
    aside.setName("taps-aside-last");
    stop.setName("taps-stop");
    sounds.setName("taps-sounds");
    sounds.setToolTipText("Hear what became of each tap (Ctrl+Shift+M)");
    start.setToolTipText("Space, Enter or Page Down; a foot pedal that sends one of them");
    aside.setToolTipText("Backspace or Page Up");
    for (AbstractButton each : List.of(start, again, aside, stop, sounds)) {
      each.setRequestFocusEnabled(false);
    }
    JPanel buttons = WrapFlow.panel(6);
    for (AbstractButton each : List.of(start, again, aside, stop, sounds)) {
      each.putClientProperty("JComponent.minimumHeight", 36);
      buttons.add(each);
    }
    live.add(state, "growx, wmin 0");
    live.add(meters, "growx, wmin 0, gapleft 10");
    live.add(buttons, "growx, wmin 0");
    live.add(notice, "growx, wmin 0, gapleft 10");
    JPanel charts =
        new JPanel(
            new MigLayout(
                "ins 0, fill, gap 6 4",
                "[grow 33,fill]0[grow 33,fill]0[grow 34,fill]",
                "[grow 45,fill][grow 55,fill]"));
    charts.setOpaque(false);
    JScrollPane list = new JScrollPane(table);
    list.setName("taps-list");
    charts.add(list, "span 2, grow, wmin 0, hmin 60, w 100:500:, h 60:160:");
    charts.add(averages(), "grow, wmin 0, hmin 0, w 60:250:, h 60:160:, wrap");
    charts.add(force, "grow, wmin 0, hmin 0, w 60:250:, h 60:200:");
    charts.add(response, "grow, wmin 0, hmin 0, w 60:250:, h 60:200:");
    charts.add(spectrum, "grow, wmin 0, hmin 0, w 60:250:, h 60:200:");
    live.add(charts, "grow, push, wmin 0, hmin 0");
    show(TapPlots.OfTap.NONE);
    show(Optional.empty());
    return live;
  }

  private JPanel averages() {
    JPanel panel =
        new JPanel(new MigLayout("ins 0, fill, gap 2 0", "[][][grow]", "[center][grow,fill]"));
    panel.setOpaque(false);
    ButtonGroup group = new ButtonGroup();
    coherence.setName("taps-show-coherence");
    magnitude.setName("taps-show-magnitude");
    for (JToggleButton each : List.of(coherence, magnitude)) {
      each.putClientProperty("JButton.buttonType", "toolBarButton");
      each.setRequestFocusEnabled(false);
      each.addActionListener(e -> show(averaged));
      group.add(each);
    }
    panel.add(coherence);
    panel.add(magnitude, "wrap");
    panel.add(average, "span 3, grow, wmin 0, hmin 0");
    return panel;
  }

  void show(TapPlots.OfTap of) {
    force.show(of.force());
    response.show(of.response());
    spectrum.show(of.spectrum());
  }

  void show(Optional<Averaged> of) {
    averaged = of;
    average.show(
        of.map(a -> magnitude.isSelected() ? TapPlots.magnitude(a) : TapPlots.coherence(a))
            .orElseGet(() -> PlotContent.empty("Comes with the taps that are kept")));
  }

  /** Says how many files were put away unanswered. */
  void waits(int files, boolean free) {
    waiting.setVisible(files > 0);
    backToFile.setEnabled(free);
    if (files > 0) {
      waits.say(
          Sign.CAUTION,
          files == 1
              ? "1 file waits: take it or leave it out."
              : files + " files wait: take them or leave them out.");
    }
  }

  void showCautions() {
    page(CAUTIONS);
  }

  void showLive() {
    page(LIVE);
  }

  void showImport() {
    page(IMPORT);
  }

  boolean showsCautions() {
    return page.equals(CAUTIONS);
  }

  boolean showsImport() {
    return page.equals(IMPORT);
  }

  private void page(String name) {
    if (!name.equals(page)) {
      page = name;
      middle.show(name);
    }
  }

  @Override
  public void updateUI() {
    super.updateUI();
    if (start != null) {
      start.setFont(UIManager.getFont("Button.font").deriveFont(Font.BOLD));
    }
  }
}

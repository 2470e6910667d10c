package ringtrue.ui.listening;

import java.awt.Component;
import java.awt.KeyboardFocusManager;
import java.awt.event.ActionEvent;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.function.Consumer;
import java.util.stream.Collectors;
import javax.swing.AbstractAction;
import javax.swing.DefaultListCellRenderer;
import javax.swing.JButton;
import javax.swing.JComboBox;
import javax.swing.JComponent;
import javax.swing.JFileChooser;
import javax.swing.JLabel;
import javax.swing.JList;
import javax.swing.JPanel;
import javax.swing.JPopupMenu;
import javax.swing.KeyStroke;
import javax.swing.filechooser.FileNameExtensionFilter;
import javax.swing.text.JTextComponent;
import ringtrue.acquisition.SoundInputs;
import ringtrue.signal.HeardCut;
import ringtrue.ui.desk.Desk;
import ringtrue.ui.desk.StageId;
import ringtrue.ui.kit.Field;
import ringtrue.ui.kit.MigLayout;
import ringtrue.ui.kit.Notice;
import ringtrue.ui.kit.Scrolled;
import ringtrue.ui.kit.Sign;
import ringtrue.ui.kit.Wrapped;
import ringtrue.ui.plot.Plot;
import ringtrue.ui.plot.PlotContent;
import ringtrue.ui.plot.XLink;
import ringtrue.ui.response.WrapFlow;
import ringtrue.units.BadInputException;
import ringtrue.units.Dimension;
import ringtrue.units.Quantity;

/** The stage as it is seen. */
final class ListenView extends JPanel {
  private static final String HINT =
      "Here the spectrum of the cut appears, with tooth passing, run-out and modes by name.";
  private static final String CAUTIONS =
      "Keep clear of the cut: guards closed, eye and ear protection on, microphone and lead well away"
          + " from tool and chips. A spindle fault must stop the feed: see that it does before you"
          + " try another speed. Each new speed or depth is a new cut: small steps, a hand on the"
          + " feed hold. A quiet cut is not thereby a good or a safe one.";

  private final Desk desk;
  private final Listening listening;
  private final JComboBox<String> inputs = new JComboBox<>();
  private final JButton lookAgain = new JButton("Look again");
  private final JButton toCut = new JButton("Describe the cut (Ctrl+6)");
  private final JButton start = new JButton("Listen");
  private final JButton open = new JButton("Open a recording\u2026");
  private final JButton simulate = new JButton("Simulated cut");
  private final JButton freeze = new JButton("Freeze (Space)");
  private final JButton air = new JButton("In air\u2026");
  private final Notice notice = new Notice("listen-notice");
  private final BigVerdict verdict = new BigVerdict("listen-verdict");
  private final LevelBar level = new LevelBar("listen-level");
  private final Plot spectrum = new Plot("Spectrum of the cut");
  private final Plot gram = new Plot("Level over time and frequency");
  private final Field from = new Field("listen-from", "from", 5).suffix("s").example("0");
  private final Field to = new Field("listen-to", "to", 5).suffix("s").example("end");
  private final Field channel = new Field("listen-channel", "channel", 3);
  private final JButton again = new JButton("Read this stretch");
  private final JPanel stretch =
      new JPanel(new MigLayout("ins 0, gap 6 0", "[][][][][]12[]", "[top]"));
  private final Wrapped advice = new Wrapped("");
  private final Wrapped remarks = new Wrapped("");
  private final JLabel adviceTitle = title("What to do, the cheapest first");
  private final JLabel remarksTitle = title("To be known");
  private final StatedPart stated;
  private final OutcomePart outcome;
  private PlotContent shownSpectrum;
  private PlotContent shownGram;
  private boolean looked;
  private boolean looking;
  private String emptyBox = "";
  private String noInputs = "";

  ListenView(Listening listening, StatedPart stated, OutcomePart outcome) {
    this.listening = listening;
    this.desk = listening.desk();
    this.stated = stated;
    this.outcome = outcome;
    setName("listen-view");
    names();
    setLayout(new MigLayout("ins 0, fill, gap 0", "[grow,fill][290!,fill]", "[grow,fill]"));
    add(left(), "wmin 0");
    add(right(), "wmin 0, hmin 0");
    inputs.addActionListener(
        e -> {
          Object name = inputs.getSelectedItem();
          if (name != null && !looking) {
            desk.settings(s -> s.with("listen-input", name));
          }
        });
    act(toCut, () -> desk.go(listening.untapped() ? StageId.TAPS : StageId.CUT));
    act(lookAgain, this::look);
    act(start, this::startOrStop);
    act(open, this::choose);
    act(simulate, listening::simulated);
    act(freeze, listening::freeze);
    act(air, this::chooseAir);
    act(again, this::readAgain);
    channel.show("1");
    channel.onCommit(text -> stretchFields());
    from.onCommit(text -> stretchFields());
    to.onCommit(text -> stretchFields());
    getInputMap(WHEN_IN_FOCUSED_WINDOW).put(KeyStroke.getKeyStroke("SPACE"), "freeze");
    getActionMap()
        .put(
            "freeze",
            new AbstractAction() {
              @Override
              public boolean isEnabled() {
                return listening.live()
                    && !(KeyboardFocusManager.getCurrentKeyboardFocusManager().getFocusOwner()
                            instanceof JTextComponent text
                        && text.isEditable());
              }

              @Override
              public void actionPerformed(ActionEvent e) {
                listening.freeze();
              }
            });
    listening.onMoment(this::moment);
    desk.onChange(this::refreshIfSeen);
    refresh();
  }

  private void names() {
    inputs.setName("listen-input");
    inputs.getAccessibleContext().setAccessibleName("Sound input");
    inputs.setPrototypeDisplayValue("a sound input with name");
    lookAgain.setName("listen-look-again");
    lookAgain.setToolTipText("Look for sound inputs that were connected meanwhile");
    toCut.setName("listen-to-cut");
    inputs.setRenderer(
        new DefaultListCellRenderer() {
          @Override
          public Component getListCellRendererComponent(
              JList<?> list, Object value, int index, boolean selected, boolean focus) {
            return super.getListCellRendererComponent(
                list, value == null ? emptyBox : value, index, selected, focus);
          }
        });
    start.setName("listen-start");
    open.setName("listen-open");
    open.setToolTipText("A WAV file of a cut; it can be dropped here too (Ctrl+Shift+J)");
    simulate.setName("listen-simulated");
    simulate.setToolTipText(
        "Hear and see what the cut would sound like by its simulation: no microphone is needed"
            + " (Ctrl+Shift+K)");
    freeze.setName("listen-freeze");
    freeze.setToolTipText("Hold what is shown; listening goes on");
    air.setName("listen-air");
    air.setToolTipText(
        "A recording of the same machine at the same speed that cuts nothing: its lines are no"
            + " chatter");
    again.setName("listen-again");
    spectrum.setName("listen-spectrum");
    gram.setName("listen-gram");
    advice.setName("listen-advice");
    advice.setFocusable(true);
    remarks.setName("listen-remarks");
    remarks.setFocusable(true);
    XLink link = new XLink();
    spectrum.linkX(link);
    gram.linkX(link);
    show(spectrum, PlotContent.empty(HINT));
    show(gram, PlotContent.empty("Below it the same over time."));
  }

  private static void act(JButton button, Runnable deed) {
    button.addActionListener(e -> deed.run());
  }

  private static JLabel title(String words) {
    JLabel label = new JLabel(words);
    label.putClientProperty("FlatLaf.styleClass", "h4");
    return label;
  }

  private JComponent left() {
    JPanel bar = WrapFlow.panel(6);
    JLabel input = new JLabel("Sound input");
    input.setLabelFor(inputs);
    bar.add(input);
    bar.add(inputs);
    bar.add(lookAgain);
    bar.add(start);
    bar.add(freeze);
    bar.add(open);
    bar.add(simulate);
    bar.add(air);
    stretch.add(from.label());
    stretch.add(from);
    stretch.add(to.label());
    stretch.add(to);
    stretch.add(channel.label());
    stretch.add(channel);
    stretch.add(again, "gapleft 8");
    JPanel all =
        new JPanel(
            new MigLayout(
                "ins 10 10 6 6, fill, hidemode 3, gap 4 4",
                "[grow,fill]",
                "[][][][][][][grow 55,fill][grow 45,fill]"));
    all.add(bar, "growx, wmin 0, wrap");
    all.add(notice, "growx, wmin 0, wrap");
    all.add(toCut, "growx 0, wrap");
    all.add(verdict, "growx, wmin 0, wrap");
    all.add(level, "wmin 0, wrap");
    all.add(stretch, "wrap");
    all.add(spectrum, "grow, wmin 0, hmin 60, wrap");
    all.add(gram, "grow, wmin 0, hmin 60");
    return all;
  }

  private JComponent right() {
    Scrolled all =
        new Scrolled(
            new MigLayout("ins 10 8 8 10, fillx, hidemode 3, gap 4 4", "[grow,fill]", "[]"));
    Notice cautions = new Notice("listen-cautions");
    cautions.say(Sign.CAUTION, CAUTIONS);
    String part = "growx, wmin 0, wrap";
    all.add(title("What was run"), "wrap");
    all.add(stated, part);
    all.add(adviceTitle, "gaptop 8, wrap");
    all.add(advice, part);
    all.add(title("What the cut did"), "gaptop 8, wrap");
    all.add(outcome, part);
    all.add(remarksTitle, "gaptop 8, wrap");
    all.add(remarks, part);
    all.add(cautions, "gaptop 8, growx, wmin 0");
    return all.pane("listen-side");
  }

  // ---- doing

  void startOrStop() {
    if (listening.running()) {
      listening.stop();
    } else if (start.isEnabled()) {
      Object name = inputs.getSelectedItem();
      listening.listen(name == null ? "" : name.toString());
      verdict.requestFocusInWindow();
    }
  }

  void choose() {
    file("A recording of the cut", listening::read);
  }

  private void chooseAir() {
    if (listening.air().isPresent()) {
      listening.air(Optional.empty());
    } else {
      explainAir();
    }
  }

  /** What it is for and how it is made, before a file is asked for. */
  private void explainAir() {
    Wrapped words =
        new Wrapped(
            "A recording of the same spindle turning in air at the same speed, nothing being cut:"
                + " what it hums by itself is then not taken for chatter. Make it like the one of"
                + " the cut: same microphone, same place, same gain, 5 s or longer.");
    words.setName("listen-air-about");
    JButton choose = new JButton("Choose the recording\u2026");
    choose.setName("listen-air-choose");
    JPopupMenu around = new JPopupMenu("In air");
    JPanel inside = new JPanel(new MigLayout("ins 10, wrap 1", "[320lp!,fill]", "[]10[]"));
    inside.setOpaque(false);
    inside.add(words, "wmin 0");
    inside.add(choose, "growx 0");
    around.add(inside);
    choose.addActionListener(
        e -> {
          around.setVisible(false);
          file("A recording in air", f -> listening.air(Optional.of(f)));
        });
    around.show(air, 0, air.getHeight());
    choose.requestFocusInWindow();
  }

  private void file(String title, Consumer<Path> then) {
    if (listening.running() || desk.folder().isEmpty()) {
      return;
    }
    JFileChooser chooser = new JFileChooser(desk.lastFolder());
    chooser.setName("listen-file-chooser");
    chooser.setDialogTitle(title);
    chooser.setFileFilter(new FileNameExtensionFilter("WAV recordings", "wav"));
    if (chooser.showOpenDialog(this) == JFileChooser.APPROVE_OPTION) {
      Path chosen = chooser.getSelectedFile().toPath();
      desk.usedFile(chosen);
      then.accept(chosen);
    }
  }

  void save() {
    outcome.save();
  }

  private void readAgain() {
    if (stretchFields()) {
      listening.heard().ifPresent(h -> listening.read(h.file()));
    }
  }

  /** Takes over stretch and channel; whether they make sense. */
  private boolean stretchFields() {
    double begin = seconds(from, 0);
    double end = seconds(to, Double.POSITIVE_INFINITY);
    boolean right = !Double.isNaN(begin) && !Double.isNaN(end);
    if (right && !(end > begin)) {
      to.complain("must be later than where it begins");
      right = false;
    }
    String number = channel.text().strip();
    if (number.matches("[1-9]|1[0-6]")) {
      channel.complain("");
      listening.channel(Integer.parseInt(number));
    } else {
      channel.complain("1 to 16");
      right = false;
    }
    if (right) {
      listening.stretch(begin, end);
    }
    return right;
  }

  private static double seconds(Field field, double otherwise) {
    String text = field.text().strip();
    field.complain("");
    if (text.isEmpty()) {
      return otherwise;
    }
    try {
      double value = Quantity.parse(text.matches("[0-9.,]+") ? text + " s" : text, Dimension.TIME);
      if (value >= 0) {
        return value;
      }
      field.complain("must not be negative");
    } catch (BadInputException e) {
      field.complain(e.getMessage());
    }
    return Double.NaN;
  }

  // ---- showing

  /** Came to the front. */
  void shown() {
    if (!looked) {
      looked = true;
      look();
    }
    refresh();
  }

  private void look() {
    looking = true;
    desk.tasks()
        .start(
            "sound inputs",
            progress ->
                SoundInputs.ofThisComputer().list().stream().map(SoundInputs.Device::name).toList(),
            this::inputs,
            words -> {
              looking = false;
              noInputs = words;
              refresh();
            });
    refresh();
  }

  private void inputs(List<String> names) {
    looking = false;
    inputs.removeAllItems();
    names.forEach(inputs::addItem);
    String last = desk.settings().text("listen-input", "");
    if (names.contains(last)) {
      inputs.setSelectedItem(last);
    }
    noInputs = names.isEmpty() ? SoundInputs.noneFound() : "";
    listening.deaf(names.isEmpty());
    refresh();
  }

  /** An empty box says why it is empty. */
  private void noInput(boolean hasInput) {
    String words = looked && !looking ? "no sound input found" : "looking\u2026";
    inputs.setToolTipText(hasInput ? null : "Connect a sound input, then press Look again");
    emptyBox = hasInput ? "" : words;
    inputs.repaint();
  }

  private void refreshIfSeen() {
    if (isShowing()) {
      refresh();
    }
  }

  private void refresh() {
    boolean possible = listening.possible();
    boolean running = listening.running();
    boolean hasInput = inputs.getItemCount() > 0;
    start.setText(running ? listening.live() ? "Stop" : "Cancel" : "Listen");
    start.setToolTipText((running ? "End listening" : "Listen while it is cut") + " (F7)");
    start.setEnabled(running || possible && hasInput);
    inputs.setEnabled(!running && hasInput);
    open.setEnabled(possible && !running);
    simulate.setEnabled(possible && !running);
    air.setEnabled(!running);
    air.setText(
        listening.air().map(f -> "In air: " + f.getFileName() + " \u00d7").orElse("In air\u2026"));
    freeze.setVisible(listening.live());
    freeze.setText(listening.frozen() ? "Go on (Space)" : "Freeze (Space)");
    level.setVisible(running);
    if (!running) {
      level.rest();
    }
    stretch.setVisible(!running && listening.heard().isPresent());
    notices(possible);
    boolean toSay = !possible && desk.folder().isPresent() && !desk.results().waiting();
    toCut.setVisible(toSay);
    toCut.setText(listening.untapped() ? "Tap the tool (Ctrl+2)" : "Describe the cut (Ctrl+6)");
    again.setEnabled(possible);
    lookAgain.setVisible(!running && !hasInput && looked);
    noInput(hasInput);
    verdict();
    stated.refresh();
    outcome.refresh();
    text(advice, adviceTitle, listening.advice().sentences());
    text(remarks, remarksTitle, listening.heard().map(Heard::remarks).orElse(List.of()));
    if (!running) {
      Optional<Heard> heard = listening.heard();
      show(spectrum, heard.map(Heard::spectrum).orElse(shownSpectrum));
      show(gram, heard.map(Heard::gram).orElse(shownGram));
    }
  }

  private static void text(Wrapped into, JLabel title, List<String> sentences) {
    String all = sentences.stream().map(s -> "\u2022 " + s).collect(Collectors.joining("\n"));
    if (!into.getText().equals(all)) {
      into.setText(all);
    }
    into.setVisible(!all.isEmpty());
    title.setVisible(!all.isEmpty());
  }

  private void notices(boolean possible) {
    String complaint = listening.complaint();
    if (!complaint.isEmpty() && !stated.tells(complaint)) {
      notice.say(Sign.BAD, complaint);
    } else if (!possible) {
      notice.say(
          Sign.NOTE,
          "A sound is held against the cut: "
              + (desk.results().waiting() || desk.results().cut().problem().isEmpty()
                  ? "it is being read."
                  : listening.untapped()
                      ? "tap the tool first, so that its modes are known by name."
                      : "first say its speed, diameter and flutes in Cut."));
    } else if (!noInputs.isEmpty() && !listening.running() && listening.heard().isEmpty()) {
      notice.say(
          Sign.NOTE,
          (noInputs.equals(SoundInputs.noneFound())
                  ? "No sound input found: connect one, then press Look again."
                  : Character.toUpperCase(noInputs.charAt(0)) + noInputs.substring(1) + ".")
              + " A recording can be opened or dropped here, and the simulated cut heard.");
    } else {
      notice.clear();
    }
  }

  private void verdict() {
    if (listening.frozen()) {
      return;
    }
    Optional<HeardCut> now = listening.verdict();
    if (now.isPresent()) {
      HeardCut heard = now.get();
      List<String> small = new ArrayList<>();
      small.add(
          listening.heard().isPresent() && listening.source() == Heard.Source.RECORDING
              ? listening.heard().get().file().getFileName().toString()
              : listening.source().words());
      String speed = HeardWords.speed(heard);
      if (!speed.isEmpty()) {
        small.add(speed);
      }
      if (listening.heard().isPresent()) {
        small.add(String.format(Locale.ROOT, "%.1f to %.1f s", heard.fromS(), heard.toS()));
      }
      verdict.show(
          HeardWords.sign(heard),
          HeardWords.verdict(heard),
          HeardWords.more(heard),
          String.join("  \u00b7  ", small),
          HeardWords.because(heard));
    } else if (listening.running()) {
      verdict.show(
          Sign.BEGUN,
          listening.live() ? "Listening\u2026" : "One moment\u2026",
          "",
          listening.source().words(),
          "A verdict comes after some seconds.");
    } else {
      verdict.show(
          Sign.OPEN,
          "Nothing heard yet",
          "",
          "",
          "Listen while it is cut, open a recording, or try the sound of the simulated cut.");
    }
  }

  private void moment() {
    if (!isShowing() || listening.moment().isEmpty()) {
      return;
    }
    Listener.Moment now = listening.moment().get();
    level.show(now.peak(), now.clipped());
    if (!listening.frozen()) {
      show(spectrum, now.spectrum());
      show(gram, now.gram());
    }
  }

  private void show(Plot plot, PlotContent content) {
    boolean first = plot == spectrum;
    PlotContent shown = first ? shownSpectrum : shownGram;
    if (content != null && content != shown) {
      plot.show(content);
      if (first) {
        shownSpectrum = content;
      } else {
        shownGram = content;
      }
    }
  }
}

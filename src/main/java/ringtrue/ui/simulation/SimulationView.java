package ringtrue.ui.simulation;

import java.awt.Component;
import java.awt.Dimension;
import java.awt.Font;
import java.awt.KeyboardFocusManager;
import java.awt.event.ActionEvent;
import java.awt.event.HierarchyEvent;
import java.io.File;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.stream.Collectors;
import javax.swing.AbstractAction;
import javax.swing.JButton;
import javax.swing.JComboBox;
import javax.swing.JFileChooser;
import javax.swing.JLabel;
import javax.swing.JOptionPane;
import javax.swing.JPanel;
import javax.swing.JProgressBar;
import javax.swing.JSlider;
import javax.swing.KeyStroke;
import javax.swing.Timer;
import javax.swing.UIManager;
import javax.swing.filechooser.FileNameExtensionFilter;
import javax.swing.text.JTextComponent;
import ringtrue.dynamics.Progress;
import ringtrue.library.Cut;
import ringtrue.report.LengthUnit;
import ringtrue.signal.HeardCut;
import ringtrue.stability.CutSound;
import ringtrue.stability.CutTrace;
import ringtrue.stability.SimulatedCut;
import ringtrue.ui.desk.Desk;
import ringtrue.ui.desk.Finding;
import ringtrue.ui.desk.Tasks;
import ringtrue.ui.kit.MigLayout;
import ringtrue.ui.kit.Notice;
import ringtrue.ui.kit.Scrolled;
import ringtrue.ui.kit.Sign;
import ringtrue.ui.kit.Wrapped;
import ringtrue.ui.listening.Known;
import ringtrue.ui.listening.SoundCharts;
import ringtrue.ui.plot.Plot;
import ringtrue.ui.plot.PlotContent;
import ringtrue.ui.plot.XLink;
import ringtrue.ui.response.WrapFlow;

/**
 * The cut in time: motion, forces and surface, to be watched and heard. Runs when it is seen first,
 * and again by itself after the cut changed if that is quick.
 */
public final class SimulationView extends JPanel {
  private static final int FRAME_MS = 40;
  private static final double QUICK_S = 1;
  private static final int REST_MS = 400;
  private static final int SOUND_REST_MS = 700;
  private static final int[] SLOWER = {20, 50, 100, 200, 500, 1000, 2000};
  private static final double PASSES_PER_S = 1.5;
  private static final int STEP_PART = 72;
  private static final int TOLD_LINES = 3;

  private final Desk desk;
  private final JButton run = new JButton("Run again");
  private final JButton stop = new JButton("Stop");
  private final JProgressBar bar = new JProgressBar(0, 1000);
  private final JLabel sign = new JLabel();
  private final Verdict verdict = new Verdict();
  private final Wrapped figures = new Wrapped("");
  private final Notice notice = new Notice("simulation-notice");
  private final CutterPicture picture = new CutterPicture();
  private final JButton play = new JButton("Play (Space)");
  private final JButton back = new JButton("\u2039 Step");
  private final JButton ahead = new JButton("Step \u203a");
  private final JComboBox<String> speed = new JComboBox<>();
  private final JButton hear = new JButton("Hear it");
  private final JButton saveSound = new JButton("Save sound…");
  private final JSlider volume = new JSlider(0, 100, 40);
  private final Plot displacement = new Plot("Displacement of the simulated cut");
  private final Plot force = new Plot("Force of the simulated cut");
  private final Plot spectrum = new Plot("Spectrum of the simulated sound");
  private final Plot wall = new Plot("Surface that the simulated cut leaves");
  private final Wrapped words = new Wrapped("");
  private final Timer frames = new Timer(FRAME_MS, e -> frame());
  private final Timer rest = new Timer(REST_MS, e -> start());
  private final Timer soundRest = new Timer(SOUND_REST_MS, e -> startSound());
  private final Timer watch = new Timer(100, e -> progress());
  private final SoundPlayer player = new SoundPlayer();
  private Optional<Cut> wanted = Optional.empty();
  private Optional<Shown> shown = Optional.empty();
  private Optional<CutSound> sound = Optional.empty();
  private LengthUnit unit;
  private Tasks.Task running;
  private Tasks.Task sounding;
  private String problem = "";
  private String soundProblem = "";
  private String saved = "";
  private boolean hearWhenThere;
  private boolean stopped;
  private double step;
  private long lastNanos;

  /** A simulation with its charts. */
  private record Shown(
      Simulated of, double tookS, PlotContent displacement, PlotContent force, PlotContent wall) {}

  /** The sound with its spectrum. */
  private record Heard(CutSound sound, PlotContent spectrum) {}

  /** A line that stays large when the look changes. */
  private static final class Verdict extends Wrapped {
    private static final long serialVersionUID = 1L;

    Verdict() {
      super("");
    }

    @Override
    public void updateUI() {
      super.updateUI();
      Font label = UIManager.getFont("Label.font");
      setFont(label.deriveFont(Font.BOLD, label.getSize2D() * 1.3f));
    }
  }

  /**
   * @param desk whose cut is simulated
   */
  public SimulationView(Desk desk) {
    super(
        new MigLayout(
            "ins 8, fill, hidemode 3, gap 8 4", "[32%!,fill][grow,fill]", "[][][][grow,fill][]"));
    this.desk = desk;
    this.unit = desk.unit();
    setName("simulation");
    build();
    acts();
    rest.setRepeats(false);
    soundRest.setRepeats(false);
    desk.onChange(this::follow);
    desk.onClose(player::stop);
    addHierarchyListener(
        e -> {
          if ((e.getChangeFlags() & HierarchyEvent.SHOWING_CHANGED) != 0) {
            seen(isShowing());
          }
        });
    refresh();
  }

  private void build() {
    JPanel top =
        new JPanel(
            new MigLayout("ins 0, fillx, hidemode 3, gap 6 2", "[][grow,fill][][][]", "[top]"));
    top.setOpaque(false);
    top.add(sign, "gaptop 3");
    top.add(verdict, "growx, wmin 0");
    top.add(bar, "w 100");
    top.add(stop);
    top.add(run);
    JPanel controls = WrapFlow.panel(6);
    JLabel slow = new JLabel("speed");
    slow.setLabelFor(speed);
    JLabel loud = new JLabel("volume");
    loud.setLabelFor(volume);
    controls.add(play);
    controls.add(back);
    controls.add(ahead);
    controls.add(slow);
    controls.add(speed);
    controls.add(hear);
    JPanel loudness = new JPanel(new MigLayout("ins 0, gap 4 0"));
    loudness.setOpaque(false);
    loudness.add(loud);
    loudness.add(volume, "w 60!");
    controls.add(loudness);
    controls.add(saveSound);
    String across = "span 2, growx, wmin 0, wrap";
    add(top, across);
    add(notice, across);
    add(controls, across);
    add(picture, "grow, wmin 0, hmin 0");
    add(
        new PlotPairs(
            desk,
            "Motion and force",
            List.of(displacement, force),
            "Sound and surface",
            List.of(spectrum, wall)),
        "grow, wmin 0, hmin 0, wrap");
    Scrolled told =
        new Scrolled(new MigLayout("ins 0, fillx, gap 0 4", "[grow,fill]", "[]")) {
          @Override
          public Dimension getPreferredScrollableViewportSize() {
            return new Dimension(
                10, TOLD_LINES * words.getFontMetrics(words.getFont()).getHeight());
          }
        };
    told.add(figures, "growx, wmin 0, wrap");
    told.add(words, "growx, wmin 0");
    add(told.pane("simulation-told"), "span 2, growx, wmin 0, hmin pref");
    XLink link = new XLink();
    displacement.linkX(link);
    force.linkX(link);
    displacement.onHandle((id, x, y, finished) -> scrub(x));
    force.onHandle((id, x, y, finished) -> scrub(x));
    for (int n : SLOWER) {
      speed.addItem("real / " + n);
    }
    name(run, "simulation-run", "Simulate the cut again (F9)");
    name(stop, "simulation-stop", "Give up this simulation");
    name(play, "simulation-play", "Let the cutter turn, or hold it (Space)");
    name(back, "simulation-back", "A step back (comma)");
    name(ahead, "simulation-ahead", "A step on (full stop)");
    name(hear, "simulation-hear", "Play the simulated sound through the loudspeaker (F10)");
    name(
        saveSound,
        "simulation-save-sound",
        "Keep the simulated sound as a WAV file, with its scale in words");
    name(speed, "simulation-speed", "How fast it is played");
    name(volume, "simulation-volume", "Volume; a quarter of what the output can do at most");
    name(bar, "simulation-progress", "Progress of the simulation");
    verdict.setName("simulation-verdict");
    figures.setName("simulation-figures");
    words.setName("simulation-words");
    displacement.setName("simulation-displacement");
    force.setName("simulation-force");
    spectrum.setName("simulation-spectrum");
    wall.setName("simulation-wall");
    words.setFocusable(true);
    empty();
  }

  private void empty() {
    displacement.show(PlotContent.empty("displacement over time"));
    force.show(PlotContent.empty("force over time"));
    spectrum.show(PlotContent.empty("spectrum of the sound"));
    wall.show(PlotContent.empty("the surface that is left"));
  }

  private static void name(javax.swing.JComponent c, String name, String what) {
    c.setName(name);
    c.setToolTipText(what);
    c.getAccessibleContext().setAccessibleName(what);
  }

  private void acts() {
    run.addActionListener(e -> start());
    stop.addActionListener(e -> giveUp());
    play.addActionListener(e -> playOrHold());
    back.addActionListener(e -> by(-1));
    ahead.addActionListener(e -> by(1));
    hear.addActionListener(e -> hearOrStop());
    saveSound.addActionListener(e -> chooseSound());
    player.volume(volume.getValue() / 100.0);
    volume.addChangeListener(e -> player.volume(volume.getValue() / 100.0));
    key("SPACE", "play", this::playOrHold);
    key("COMMA", "back", () -> by(-1));
    key("PERIOD", "ahead", () -> by(1));
    key("F9", "run", this::start);
    key("F10", "hear", this::hearOrStop);
  }

  private void key(String keys, String id, Runnable deed) {
    getInputMap(WHEN_IN_FOCUSED_WINDOW).put(KeyStroke.getKeyStroke(keys), id);
    getActionMap()
        .put(
            id,
            new AbstractAction() {
              @Override
              public boolean isEnabled() {
                Component owner =
                    KeyboardFocusManager.getCurrentKeyboardFocusManager().getFocusOwner();
                boolean writing =
                    owner instanceof JTextComponent text && text.isEditable()
                        || owner instanceof JComboBox;
                return shown.isPresent() && !writing;
              }

              @Override
              public void actionPerformed(ActionEvent e) {
                deed.run();
              }
            });
  }

  // ---- running

  private void seen(boolean showing) {
    if (showing) {
      follow();
    } else {
      frames.stop();
      player.stop();
      rest.stop();
      soundRest.stop();
      refresh();
    }
  }

  /** The cut may have changed. */
  private void follow() {
    Finding<Cut> cut = desk.results().cut();
    if (unit != desk.unit()) {
      unit = desk.unit();
      shown.ifPresent(s -> redraw(s.of));
    }
    if (!isShowing()) {
      return;
    }
    if (cut.ready() && !cut.value().equals(wanted)) {
      boolean first = shown.isEmpty();
      boolean quick = shown.map(s -> s.tookS < QUICK_S).orElse(false);
      wanted = cut.value();
      stopped = false;
      if (running != null) {
        running.cancel();
        running = null;
      }
      soundless();
      if (first) {
        start();
      } else if (quick) {
        rest.restart();
      }
    } else if (cut.value().isEmpty()) {
      wanted = Optional.empty();
    }
    refresh();
  }

  private boolean stale() {
    return shown.isPresent()
        && !desk.results().cut().value().filter(c -> c.equals(shown.get().of.cut())).isPresent();
  }

  private void soundless() {
    soundRest.stop();
    if (sounding != null) {
      sounding.cancel();
      sounding = null;
    }
    sound = Optional.empty();
    saved = "";
    hearWhenThere = false;
  }

  private void start() {
    rest.stop();
    Optional<Cut> cut = desk.results().cut().value();
    if (cut.isEmpty() || !isShowing()) {
      return;
    }
    wanted = cut;
    if (running != null) {
      running.cancel();
    }
    soundless();
    problem = "";
    stopped = false;
    LengthUnit in = unit;
    Cut of = cut.get();
    running =
        desk.tasks()
            .start(
                "simulating the cut",
                progress -> {
                  long from = System.nanoTime();
                  Simulated made = Simulated.of(of, progress);
                  return charts(made, (System.nanoTime() - from) / 1e9, in);
                },
                this::show,
                complaint -> {
                  running = null;
                  problem = complaint;
                  refresh();
                });
    watch.start();
    refresh();
  }

  private static Shown charts(Simulated made, double tookS, LengthUnit in) {
    boolean turning = made.process().tool().isEmpty();
    TraceCharts charts = new TraceCharts(made.result().trace(), in, turning);
    return new Shown(
        made,
        tookS,
        charts.displacement(),
        charts.force(),
        made.result()
            .surface()
            .map(charts::wall)
            .orElseGet(() -> PlotContent.empty("this cut leaves no wall")));
  }

  private void redraw(Simulated made) {
    LengthUnit in = unit;
    double took = shown.map(Shown::tookS).orElse(0.0);
    desk.tasks()
        .start(
            "charts of the simulation",
            progress -> charts(made, took, in),
            again -> {
              if (shown.filter(s -> s.of == made).isPresent() && unit == in) {
                shown = Optional.of(again);
                plots(again);
              }
            },
            complaint -> {});
  }

  private void show(Shown made) {
    boolean first = shown.isEmpty();
    running = null;
    shown = Optional.of(made);
    step = 0;
    picture.show(made.of);
    plots(made);
    spectrum.show(PlotContent.empty("the sound is on its way"));
    if (first) {
      usualSpeed(made.of);
    }
    soundRest.restart();
    if (isShowing() && !frames.isRunning() && first) {
      begin();
    }
    refresh();
  }

  private void plots(Shown made) {
    displacement.show(made.displacement);
    force.show(made.force);
    wall.show(made.wall);
    words.setText(
        made.of.words().stream().map(w -> "\u2022 " + w).collect(Collectors.joining("\n")));
    words.setCaretPosition(0);
    moved();
  }

  /** So slow that the eye can follow the teeth. */
  private void usualSpeed(Simulated of) {
    double passHz =
        of.process().speedRpm() / 60 * of.process().tool().map(t -> t.flutes()).orElse(1);
    int best = 0;
    for (int i = 0; i < SLOWER.length; i++) {
      if (Math.abs(Math.log(passHz / SLOWER[i] / PASSES_PER_S))
          < Math.abs(Math.log(passHz / SLOWER[best] / PASSES_PER_S))) {
        best = i;
      }
    }
    speed.setSelectedIndex(best);
  }

  private void giveUp() {
    rest.stop();
    if (running != null) {
      running.cancel();
      running = null;
      stopped = true;
    }
    refresh();
  }

  private void progress() {
    if (running == null || running.cancelled()) {
      if (running != null) {
        stopped = true;
      }
      running = null;
      watch.stop();
      refresh();
    } else {
      bar.setValue((int) (1000 * running.done()));
    }
  }

  // ---- sound

  private void startSound() {
    if (shown.isEmpty() || !isShowing() || sounding != null || stale()) {
      return;
    }
    Simulated of = shown.get().of;
    soundProblem = "";
    sounding =
        desk.tasks()
            .start(
                "the sound of the simulated cut",
                progress -> heard(of, progress),
                made -> {
                  sounding = null;
                  if (shown.filter(s -> s.of == of).isPresent()) {
                    sound = Optional.of(made.sound);
                    spectrum.show(made.spectrum);
                    if (hearWhenThere) {
                      hearWhenThere = false;
                      hearOrStop();
                    }
                  }
                  refresh();
                },
                complaint -> {
                  sounding = null;
                  soundProblem = complaint;
                  spectrum.show(PlotContent.empty(complaint));
                  refresh();
                });
    refresh();
  }

  private static Heard heard(Simulated of, Progress progress) {
    CutSound sound = of.sound((done, what) -> progress.at(0.6 * done, what));
    double[] samples = sound.samples();
    double full = sound.fullScale();
    for (int i = 0; i < samples.length; i++) {
      samples[i] /= full;
    }
    Known known = Known.of(of.cut(), List.of(), Progress.NONE);
    progress.at(0.7, "its spectrum");
    HeardCut heard =
        known.reader().read(samples, sound.rateHz(), (d, what) -> progress.at(0.7 + 0.3 * d, what));
    return new Heard(sound, new SoundCharts(known, "simulated ").spectrum(heard));
  }

  private void hearOrStop() {
    if (player.playing()) {
      player.stop();
    } else if (sound.isPresent()) {
      soundProblem = "";
      player.play(
          sound.get().samples(),
          sound.get().rateHz(),
          complaint -> {
            soundProblem = complaint;
            refresh();
          });
    } else if (shown.isPresent()) {
      hearWhenThere = true;
      soundRest.stop();
      startSound();
    }
    refresh();
  }

  private void chooseSound() {
    JFileChooser chooser = new JFileChooser(desk.settings().text("sound-folder", ""));
    chooser.setName("simulation-sound-chooser");
    chooser.setDialogTitle("The simulated sound as a WAV file");
    chooser.setFileFilter(new FileNameExtensionFilter("WAV sound", "wav"));
    chooser.setSelectedFile(new File(chooser.getCurrentDirectory(), "simulated-cut.wav"));
    if (chooser.showSaveDialog(this) != JFileChooser.APPROVE_OPTION) {
      return;
    }
    Path chosen = chooser.getSelectedFile().toPath().toAbsolutePath();
    Path file =
        chosen.toString().toLowerCase(Locale.ROOT).endsWith(".wav")
            ? chosen
            : chosen.resolveSibling(chosen.getFileName() + ".wav");
    desk.settings(s -> s.with("sound-folder", file.getParent()));
    boolean there = Files.exists(file);
    if (!there
        || JOptionPane.showConfirmDialog(
                this,
                file.getFileName() + " exists already. Replace it?",
                "Replace?",
                JOptionPane.OK_CANCEL_OPTION)
            == JOptionPane.OK_OPTION) {
      saveSound(file, there);
    }
  }

  /** Keeps the sound that is shown as a WAV file. */
  void saveSound(Path file, boolean replace) {
    CutSound of = sound.orElseThrow();
    saved = "";
    desk.tasks()
        .start(
            "saving the sound",
            progress -> SimulatedSound.write(of, file, replace),
            words -> {
              saved = words;
              refresh();
            },
            complaint -> {
              soundProblem = complaint;
              refresh();
            });
  }

  // ---- playing

  private void playOrHold() {
    if (shown.isEmpty()) {
      return;
    }
    if (frames.isRunning()) {
      frames.stop();
    } else {
      begin();
    }
    refresh();
  }

  private void begin() {
    lastNanos = System.nanoTime();
    frames.start();
  }

  private void frame() {
    if (!isShowing() || shown.isEmpty()) {
      frames.stop();
      return;
    }
    long now = System.nanoTime();
    double seconds = Math.min(0.2, (now - lastNanos) / 1e9);
    lastNanos = now;
    CutTrace trace = shown.get().of.result().trace();
    int slower = SLOWER[Math.max(0, speed.getSelectedIndex())];
    step += seconds / slower / trace.stepS();
    if (step >= trace.size() - 1) {
      step = 0;
    }
    moved();
  }

  private void by(int direction) {
    if (shown.isPresent()) {
      frames.stop();
      CutTrace trace = shown.get().of.result().trace();
      double one = Math.max(1, trace.stepsPerTurn() / (double) STEP_PART);
      step = Math.max(0, Math.min(trace.size() - 1.0, step + direction * one));
      moved();
      refresh();
    }
  }

  private void scrub(double ms) {
    if (shown.isPresent()) {
      frames.stop();
      CutTrace trace = shown.get().of.result().trace();
      step = Math.max(0, Math.min(trace.size() - 1.0, ms / 1e3 / trace.stepS()));
      moved();
      refresh();
    }
  }

  private void moved() {
    picture.at(step);
    shown.ifPresent(
        s -> {
          double ms = TraceCharts.milliseconds(s.of.result().trace(), step);
          for (Plot plot : List.of(displacement, force)) {
            double[] y = plot.shownY();
            plot.handle(TraceCharts.TIME, ms, y[0] + 0.04 * (y[1] - y[0]));
          }
        });
  }

  // ---- telling

  private void refresh() {
    boolean works = running != null;
    boolean old = stale();
    Finding<Cut> cut = desk.results().cut();
    run.setText(shown.isPresent() || stopped ? "Run again (F9)" : "Run (F9)");
    run.setEnabled(cut.value().isPresent() && !works);
    stop.setVisible(works);
    bar.setVisible(works);
    boolean there = shown.isPresent();
    for (Component c : List.of(play, back, ahead, speed, volume)) {
      c.setEnabled(there);
    }
    hear.setEnabled(there && soundThere());
    saveSound.setEnabled(sound.isPresent());
    play.setText(frames.isRunning() ? "Hold (Space)" : "Play (Space)");
    hear.setText(
        player.playing()
            ? "Stop the sound (F10)"
            : sounding != null && hearWhenThere ? "Sound on its way" : "Hear it (F10)");
    if (there) {
      Simulated of = shown.get().of;
      sign.setIcon(sign(of));
      verdict.setText(verdictWords(of) + (old ? "  (of the cut before)" : ""));
      verdict.setForeground(sign(of).color());
      figures.setText(figureWords(of));
    } else {
      sign.setIcon(works ? Sign.BEGUN : Sign.OPEN);
      verdict.setText(works ? "Simulating\u2026" : "Not simulated yet");
      verdict.setForeground(null);
      figures.setText("");
    }
    notices(cut, old, works);
  }

  private boolean soundThere() {
    return soundProblem.isEmpty() || sound.isPresent();
  }

  private static String verdictWords(Simulated of) {
    String s = of.sentence();
    return "Simulated: "
        + s.toLowerCase(Locale.ROOT)
            .replace(" hz", " Hz")
            .replace(", a frequency of its own (hopf)", "")
            .replace(" (flip)", "");
  }

  private String figureWords(Simulated of) {
    return of.figures(unit)
        + String.format(
            Locale.ROOT,
            "  \u00b7  %.0f rpm, %d turns simulated, the last %.0f shown",
            of.process().speedRpm(),
            of.result().turns(),
            Math.ceil((double) of.result().trace().size() / of.result().trace().stepsPerTurn()));
  }

  private static Sign sign(Simulated of) {
    if (of.chatters()) {
      return Sign.BAD;
    }
    return of.result().verdict() == SimulatedCut.Verdict.STABLE ? Sign.DONE : Sign.CAUTION;
  }

  private void notices(Finding<Cut> cut, boolean old, boolean works) {
    if (!problem.isEmpty()) {
      notice.say(Sign.BAD, problem);
    } else if (!soundProblem.isEmpty()) {
      notice.say(Sign.NOTE, soundProblem);
    } else if (!saved.isEmpty()) {
      notice.say(Sign.DONE, saved);
    } else if (cut.value().isEmpty() && !cut.problem().isEmpty()) {
      notice.say(Sign.NOTE, "There is no cut to simulate: " + cut.problem());
    } else if (stopped) {
      notice.say(Sign.NOTE, "Stopped. Press Run again to simulate the cut.");
    } else if (old && !works && !rest.isRunning()) {
      notice.say(Sign.CAUTION, "The cut has changed since. Press Run again.");
    } else {
      notice.clear();
    }
  }
}

package ringtrue.ui.cut;

import java.awt.Desktop;
import java.awt.event.KeyEvent;
import java.io.File;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import javax.swing.BorderFactory;
import javax.swing.JButton;
import javax.swing.JComponent;
import javax.swing.JFileChooser;
import javax.swing.JLabel;
import javax.swing.JOptionPane;
import javax.swing.JPanel;
import javax.swing.JSplitPane;
import javax.swing.JTabbedPane;
import javax.swing.KeyStroke;
import javax.swing.UIManager;
import javax.swing.filechooser.FileNameExtensionFilter;
import ringtrue.library.Cut;
import ringtrue.planning.CutPlan;
import ringtrue.report.LengthUnit;
import ringtrue.report.PlanWords;
import ringtrue.stability.Tool;
import ringtrue.ui.desk.Desk;
import ringtrue.ui.desk.Finding;
import ringtrue.ui.desk.StageId;
import ringtrue.ui.job.CutDraft;
import ringtrue.ui.job.CutField;
import ringtrue.ui.job.Job;
import ringtrue.ui.job.JobFolder;
import ringtrue.ui.job.TappedWith;
import ringtrue.ui.kit.MigLayout;
import ringtrue.ui.kit.Notice;
import ringtrue.ui.kit.Sign;
import ringtrue.ui.kit.Wrapped;
import ringtrue.ui.simulation.SimulationView;

/** The form of the cut at the left, what it comes to at the right. */
final class CutView {
  private static final float LARGE = 1.55f;
  private static final int IN_TIME = 3;

  private final Desk desk;
  private final CutForm form;
  private final LimitsView limits;
  private final OffersView offers;
  private final SweepView sweep;
  private final Before limitsBefore;
  private final Before offersBefore;
  private final JPanel inTime =
      new JPanel(new MigLayout("ins 0, fill", "[grow,fill]", "[grow,fill]"));
  private final JTabbedPane tabs = new JTabbedPane();
  private final JLabel sign = new JLabel();
  private final Wrapped verdict = new Wrapped("");
  private final Wrapped facts = new Wrapped("");
  private final Notice notice = new Notice("cut-plan-says");
  private final JButton sameTool = new JButton("The taps are of this tool");
  private final Notice done = new Notice("cut-file-says");
  private final JButton report = new JButton("Report…");
  private final JButton planAgain = new JButton("Plan again");
  private final JButton openFile = new JButton("Open it");
  private final JButton openFolder = new JButton("Open its folder");
  private final JSplitPane all = new JSplitPane();
  private Finding<CutPlan> seen;
  private LengthUnit seenUnit;
  private Path written;
  private Job reportOf;
  private boolean visible;
  private int letter;

  CutView(Desk desk, CutForm form, LimitsView limits, OffersView offers, SweepView sweep) {
    this.desk = desk;
    this.form = form;
    this.limits = limits;
    this.offers = offers;
    this.sweep = sweep;
    limitsBefore = new Before(limits.view());
    offersBefore = new Before(offers.view());
    tabs.setName("cut-tabs");
    tabs.getAccessibleContext().setAccessibleName("what the cut comes to");
    tabs.addTab("Limits", limitsBefore);
    tabs.addTab("Better cuts", offersBefore);
    tabs.addTab("What if", sweep.view());
    tabs.addTab("In time", inTime);
    tabs.setMnemonicAt(0, KeyEvent.VK_L);
    tabs.setMnemonicAt(1, KeyEvent.VK_B);
    tabs.setMnemonicAt(2, KeyEvent.VK_W);
    tabs.setMnemonicAt(IN_TIME, KeyEvent.VK_T);
    for (int i = 0; i < tabs.getTabCount(); i++) {
      tabs.setToolTipTextAt(i, "Alt+" + (char) tabs.getMnemonicAt(i));
    }
    tabs.addChangeListener(
        e -> {
          if (watching() && inTime.getComponentCount() == 0) {
            inTime.add(new SimulationView(desk), "grow");
          }
          refresh();
          desk.tell();
        });
    verdict.setName("cut-verdict");
    verdict.letters(LARGE, true);
    facts.setName("cut-facts");
    sameTool.setName("cut-same-tool");
    sameTool.setToolTipText("Where the words were wrong, not the tool; Ctrl+Z takes it back");
    sameTool.addActionListener(
        e -> desk.change("say that the taps are of this tool", TappedWith::confirmed));
    openFile.setName("cut-open-file");
    openFolder.setName("cut-open-folder");
    openFile.addActionListener(e -> show(written));
    openFolder.addActionListener(e -> show(written.toAbsolutePath().getParent()));
    JPanel right =
        new JPanel(
            new MigLayout(
                "ins 8 0 0 0, fill, hidemode 3, gapy 2", "[grow,fill]", "[][][][][][grow,fill]"));
    JPanel head =
        new JPanel(new MigLayout("ins 0 12 0 12, fillx, hidemode 3", "[][grow,fill][][]", "[top]"));
    head.add(sign, "aligny top, gaptop 3");
    head.add(verdict, "growx, wmin 0");
    report.setName("cut-report");
    report.setToolTipText("Keep measurements, modes and plan as HTML and PDF (Ctrl+Shift+R)");
    report.addActionListener(e -> report());
    planAgain.setName("cut-plan-again");
    planAgain.setToolTipText("Work out what was stopped");
    planAgain.addActionListener(e -> desk.results().again());
    planAgain.setVisible(false);
    head.add(planAgain);
    head.add(report);
    right.add(head, "growx, wmin 0, wrap");
    right.add(facts, "growx, wmin 0, gapleft 12, gapright 12, wrap");
    right.add(notice, "growx, wmin 0, gapleft 12, wrap");
    right.add(sameTool, "growx 0, alignx left, alignx left, gapleft 12, wrap");
    JPanel file = new JPanel(new MigLayout("ins 0 12 0 12, fillx, hidemode 3", "[grow,fill][][]"));
    file.add(done, "growx, wmin 0");
    file.add(openFile);
    file.add(openFolder);
    right.add(file, "growx, wmin 0, wrap");
    right.add(tabs, "grow, wmin 0");
    openFile.setVisible(false);
    openFolder.setVisible(false);
    all.setName("cut-split");
    for (String key : List.of("F6", "F8")) {
      all.getInputMap(JComponent.WHEN_ANCESTOR_OF_FOCUSED_COMPONENT)
          .put(KeyStroke.getKeyStroke(key), "none"); // the split would take it for itself
    }
    all.setBorder(BorderFactory.createEmptyBorder());
    all.setLeftComponent(form.view());
    all.setRightComponent(right);
    all.setResizeWeight(0);
    widths();
    desk.onChange(
        () -> {
          if (visible) {
            refresh();
          }
        });
  }

  JComponent component() {
    return all;
  }

  CutForm form() {
    return form;
  }

  void shown() {
    visible = true;
    refresh();
  }

  void hidden() {
    visible = false;
  }

  boolean watching() {
    return tabs.getSelectedIndex() == IN_TIME;
  }

  /** Shows the cut in time. */
  void watch() {
    tabs.setSelectedIndex(IN_TIME);
  }

  void takeBest() {
    Finding<CutPlan> plan = desk.results().plan();
    Optional<Cut> cut = desk.results().cut().value();
    if (!plan.ready() || cut.isEmpty() || !offers.takeBest(plan.value().orElseThrow(), cut.get())) {
      desk.say("there is no better cut to take now");
    }
  }

  void sweep() {
    tabs.setSelectedIndex(2);
    sweep.refresh();
    sweep.start();
  }

  // ---- showing

  /** Widths in letters, anew when the letters have another size. */
  private void widths() {
    int now = form.view().getFontMetrics(UIManager.getFont("Label.font")).charWidth('n');
    if (now != letter) {
      letter = now;
      form.view().setMinimumSize(new java.awt.Dimension(30 * letter, 10));
      all.getRightComponent().setMinimumSize(new java.awt.Dimension(40 * letter, 10));
      all.setDividerLocation(36 * letter);
    }
  }

  private void refresh() {
    widths();
    form.refresh();
    sweep.refresh();
    Finding<CutPlan> plan = desk.results().plan();
    Optional<Cut> cut = desk.results().cut().value();
    boolean same = plan.equals(seen) && desk.unit() == seenUnit;
    if (!same) {
      seen = plan;
      seenUnit = desk.unit();
      if (plan.value().isPresent() && cut.isPresent() && !plan.working()) {
        limits.show(plan.value().get(), cut.get(), desk.unit());
        offers.show(plan.value().get(), cut.get(), desk.unit());
        long better =
            Offer.of(plan.value().get(), cut.get().process()).stream().filter(Offer::helps).count();
        tabs.setTitleAt(1, "Better cuts (" + better + ")");
      }
    }
    say(plan, cut);
    boolean before =
        plan.working()
            || desk.results().cut().working()
            || desk.results().waiting()
            || desk.results().stopped();
    limitsBefore.is(before);
    offersBefore.is(before);
    facts.setEnabled(!before);
    sameTool.setVisible(TappedWith.mismatch(desk.job()).isPresent());
    planAgain.setVisible(desk.results().stopped());
    report.setVisible(plan.value().isPresent());
    reported();
    boolean something = plan.value().isPresent() && cut.isPresent();
    tabs.setVisible(something);
    facts.setVisible(something && !watching());
  }

  private void say(Finding<CutPlan> plan, Optional<Cut> cut) {
    CutDraft draft = desk.job().cut();
    List<CutField> missing = CutEdits.missing(draft);
    if (!missing.isEmpty()) {
      sign.setIcon(Sign.OPEN);
      verdict.setText("Describe the cut, then every limit is shown here");
      notice.say(
          Sign.NOTE,
          "Still to say: "
              + String.join(", ", missing.stream().map(f -> CutEdits.words(f, draft)).toList())
              + ".");
      return;
    }
    Finding<Cut> read = desk.results().cut();
    String problem = read.problem().isEmpty() ? plan.problem() : read.problem();
    if (desk.results().stopped()) {
      sign.setIcon(Sign.OPEN);
      verdict.setText("Stopped before the plan was there");
      notice.say(
          Sign.NOTE,
          plan.value().isPresent()
              ? "What stands below is of the cut before."
              : "Press Plan again to work out every limit.");
    } else if (plan.working() || read.working() || desk.results().waiting()) {
      sign.setIcon(Sign.BEGUN);
      verdict.setText(plan.value().isPresent() ? "Working it out anew…" : "Working it out…");
      notice.say(Sign.NOTE, "What stands below in grey is of the cut before.");
      notice.setVisible(plan.value().isPresent());
    } else if (plan.value().isPresent() && problem.isEmpty()) {
      CutPlan found = plan.value().get();
      sign.setIcon(
          switch (found.verdict()) {
            case GO -> Sign.DONE;
            case CARE, UNKNOWN -> Sign.CAUTION;
            case CHANGE, STOP -> Sign.BAD;
          });
      verdict.setText(
          PlanWords.verdict(found).replace("better cuts are below", "better cuts are listed"));
      cut.ifPresent(c -> facts.setText(facts(c, desk.unit())));
      List<String> doubts = found.doubts();
      int said = found.verdict() == CutPlan.Verdict.UNKNOWN ? 1 : 0;
      if (doubts.size() > said) {
        notice.say(Sign.CAUTION, sentences(doubts.subList(said, doubts.size())));
      } else if (found.verdict() == CutPlan.Verdict.CARE) {
        notice.say(
            Sign.CAUTION,
            String.format(
                Locale.ROOT,
                "A plain go needs a chance of %.0f %% of staying free of chatter; this has %.0f %%.",
                100 * CutPlan.LEAST_CHANCE,
                100 * found.chance()));
      } else if (desk.job().simulated()) {
        notice.say(Sign.NOTE, "From taps of the simulated machine: nothing of it was measured.");
      } else {
        notice.clear();
      }
    } else {
      sign.setIcon(problem.contains("dynamics") ? Sign.OPEN : Sign.BAD);
      boolean nothing = problem.contains("dynamics: missing");
      verdict.setText(
          nothing ? "Nothing is known yet of how it vibrates" : "It cannot be judged yet");
      notice.say(
          nothing ? Sign.NOTE : Sign.BAD,
          nothing
              ? "Tap the tool along x and y first, or open a cut file with modes."
              : CutField.of(problem)
                  .map(
                      f ->
                          CutEdits.words(f, draft)
                              + ": "
                              + form.inUnit(CutField.withoutPlace(problem)))
                  .orElse(problem));
    }
  }

  private static String sentences(List<String> all) {
    return String.join(
        " ",
        all.stream()
            .map(s -> s.substring(0, 1).toUpperCase(Locale.ROOT) + s.substring(1) + ".")
            .toList());
  }

  /** A report that was written tells of the cut as it was then. */
  private void reported() {
    if (reportOf != null && !reportOf.equals(desk.job())) {
      reportOf = null;
      done.say(Sign.NOTE, "The cut has changed since the report was written: " + written);
    }
  }

  /** A cut in one line. */
  static String facts(Cut cut, LengthUnit unit) {
    var p = cut.process();
    int teeth = p.tool().map(Tool::flutes).orElse(1);
    double feed = p.feedPerToothM() * teeth * p.speedRpm() / 60;
    double wide = p.engagement().radialM();
    return String.format(Locale.ROOT, "%s: %.0f rpm", cut.material(), p.speedRpm())
        + (Double.isNaN(p.cuttingSpeedMPerS(p.speedRpm()))
            ? ""
            : " (" + CutValues.cuttingSpeed(p.cuttingSpeedMPerS(p.speedRpm()), unit) + ")")
        + ", "
        + unit.length(p.engagement().axialM())
        + (p.tool().isPresent() ? " deep" : " wide chip")
        + (Double.isNaN(wide) ? "" : ", " + unit.length(wide) + " wide")
        + ", "
        + unit.length(p.feedPerToothM())
        + (p.tool().isPresent() ? " per tooth" : " per turn")
        + ", feed "
        + unit.feed(feed);
  }

  // ---- files

  private JFileChooser chooser(String title, String name, String kind, String... endings) {
    JFileChooser chooser = new JFileChooser(desk.lastFolder());
    chooser.setName("cut-chooser");
    chooser.setDialogTitle(title);
    chooser.setFileFilter(new FileNameExtensionFilter(kind, endings));
    chooser.setSelectedFile(new File(chooser.getCurrentDirectory(), name));
    return chooser;
  }

  private Optional<Path> chosen(JFileChooser chooser) {
    if (chooser.showSaveDialog(all) != JFileChooser.APPROVE_OPTION) {
      return Optional.empty();
    }
    Path file = chooser.getSelectedFile().toPath().toAbsolutePath();
    desk.usedFile(file);
    return Optional.of(file);
  }

  /** Asks whether files may be replaced; true where none is there. */
  private boolean mayWrite(List<Path> files) {
    List<String> there =
        files.stream().filter(Files::exists).map(f -> f.getFileName().toString()).toList();
    return there.isEmpty()
        || JOptionPane.showConfirmDialog(
                all,
                String.join(" and ", there) + " exists already. Replace it?",
                "Replace?",
                JOptionPane.OK_CANCEL_OPTION)
            == JOptionPane.OK_OPTION;
  }

  /** Asks where to, and writes the report. */
  void report() {
    if (desk.folder().isEmpty() || CutReport.of(desk).empty()) {
      say(Sign.NOTE, "There is nothing to report yet: tap, or describe a cut.", null);
      return;
    }
    JFileChooser chooser =
        chooser(
            "Report of the job, as HTML and PDF",
            CutReport.fileName(desk.job()) + ".html",
            "report (HTML and PDF)",
            "html",
            "pdf");
    chosen(chooser).map(CutReport::files).filter(this::mayWrite).ifPresent(files -> report(files));
  }

  /** Writes the report. */
  void report(List<Path> files) {
    CutReport report = CutReport.of(desk);
    Job of = desk.job();
    boolean replace = files.stream().anyMatch(Files::exists); // was asked
    say(Sign.NOTE, "Writing the report…", null);
    desk.tasks()
        .start(
            "the report",
            progress -> report.write(files, replace, progress),
            all -> {
              say(Sign.DONE, "Report written: " + names(all), all.get(0));
              reportOf = of;
              reported();
            },
            complaint -> say(Sign.BAD, "No report: " + complaint, null));
  }

  private static String names(List<Path> files) {
    return files.get(0) + " and " + files.get(1).getFileName();
  }

  /** Asks where to, and saves the cut as a file. */
  void saveFile() {
    if (desk.folder().isEmpty()) {
      return;
    }
    String name = CutReport.fileName(desk.job()).replaceFirst("report$", "cut.json");
    chosen(chooser("Save the cut as a file", name, "cut file", "json"))
        .map(
            f ->
                f.toString().toLowerCase(Locale.ROOT).endsWith(".json")
                    ? f
                    : f.resolveSibling(f.getFileName() + ".json"))
        .filter(f -> mayWrite(List.of(f)))
        .ifPresent(this::saveFile);
  }

  /** Saves the cut as a file, its modes beside it. */
  void saveFile(Path file) {
    JobFolder folder = desk.folder().orElseThrow();
    var text = desk.results().writing(desk.job().cut());
    boolean replace = Files.exists(file); // was asked
    desk.tasks()
        .start(
            "saving the cut",
            progress -> CutFiles.save(folder, text, file, replace, progress),
            saved -> say(Sign.DONE, "Cut saved: " + saved, saved),
            complaint -> say(Sign.BAD, "Not saved: " + complaint, null));
  }

  /** Opens a cut file into the job. */
  void open(Path file) {
    JobFolder folder = desk.folder().orElseThrow();
    desk.tasks()
        .start(
            "opening " + file.getFileName(),
            progress -> CutFiles.open(file, folder, progress),
            opened -> {
              String replaced = opened.replaces(desk.job());
              desk.change("open " + file.getFileName(), opened::in);
              desk.go(StageId.CUT);
              say(
                  replaced.isEmpty() ? Sign.DONE : Sign.CAUTION,
                  "Opened: "
                      + file.getFileName()
                      + (replaced.isEmpty()
                          ? ""
                          : "; it replaces " + replaced + ": Ctrl+Z brings that back"),
                  null);
            },
            complaint -> say(Sign.BAD, "Not opened: " + complaint, null));
  }

  private void say(Sign as, String sentence, Path file) {
    done.say(as, sentence);
    reportOf = null;
    written = file;
    boolean can = file != null && Desktop.isDesktopSupported();
    openFile.setVisible(can);
    openFolder.setVisible(can);
  }

  private void show(Path file) {
    desk.tasks()
        .start(
            "opening " + file.getFileName(),
            progress -> {
              try {
                Desktop.getDesktop().open(file.toFile());
              } catch (IOException | UnsupportedOperationException e) {
                throw new ringtrue.units.BadInputException(
                    "this system cannot open it: " + file, e);
              }
              return file;
            },
            opened -> {},
            complaint -> say(Sign.NOTE, complaint, file));
  }
}

package ringtrue.ui.shell;

import java.awt.Dimension;
import java.awt.Font;
import java.awt.Rectangle;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.function.Consumer;
import javax.swing.AbstractButton;
import javax.swing.BorderFactory;
import javax.swing.JButton;
import javax.swing.JLabel;
import javax.swing.JPanel;
import javax.swing.JScrollPane;
import javax.swing.Scrollable;
import javax.swing.UIManager;
import ringtrue.ui.desk.Desk;
import ringtrue.ui.desk.StageId;
import ringtrue.ui.job.Job;
import ringtrue.ui.job.JobFolder;
import ringtrue.ui.kit.MigLayout;
import ringtrue.ui.kit.Notice;
import ringtrue.ui.kit.Sign;
import ringtrue.ui.kit.Tile;

/** The page without a job: three ways in, and what was worked on before. */
final class FirstPage extends JPanel {
  private static final int FEW = 6;

  private final Desk desk;
  private final JLabel heading = new JLabel("Tap, and know which cut stays quiet");
  private final JLabel before = new JLabel("Go on where you stopped");
  private final JLabel recent = new JLabel("Opened lately");
  private final Notice problem = new Notice("first-problem");
  private final Notice brokenOff = new Notice("recovery-notice");
  private final JButton recover = new JButton("Go on with it");
  private final JPanel recovery =
      new JPanel(new MigLayout("ins 12, fillx, hidemode 3", "[grow,fill]12[]", "[]"));
  private final JPanel jobs =
      new JPanel(new MigLayout("ins 0, fillx, wrap 1, gapy 2, hidemode 3", "[grow,fill]"));
  private final JPanel files =
      new JPanel(new MigLayout("ins 0, fillx, wrap 1, gapy 2", "[grow,left]"));
  private final Notice binned = new Notice("binned-notice");
  private final JButton bringBack = new JButton("Bring it back");
  private List<JobFolder.Found> found = List.of();
  private Path lastBinned;
  private AbstractButton main;
  private boolean all;

  FirstPage(Desk desk, Runnable chooseFile, Consumer<List<Path>> open) {
    super(new MigLayout("ins 0, fill", "[grow,fill]", "[grow,fill]"));
    this.desk = desk;
    setName("first-page");
    Column page = new Column();
    page.add(heading, "wmin 0");
    page.add(recovery(), "growx, wmin 0, hidemode 3");
    page.add(choices(chooseFile), "growx, wmin 0");
    JLabel drop = new JLabel("Or drop files anywhere on this window: recordings, responses, cuts.");
    page.add(drop, "wmin 0");
    page.add(problem, "growx, wmin 0, hidemode 3");
    page.add(before, "gaptop 14, hidemode 3");
    page.add(jobs, "growx, wmin 0");
    page.add(undo(), "growx, hidemode 3");
    page.add(recent, "gaptop 14, hidemode 3");
    page.add(files, "growx, wmin 0");
    Notice cautions = new Notice("first-cautions");
    cautions.say(
        Sign.NOTE,
        "Before the first tap: spindle stopped and locked out, edges covered, eyes protected; carbide"
            + " is brittle. What this program says are estimates; local codes and licensed practice"
            + " come first.");
    page.add(cautions, "gaptop 18, growx, wmin 0");
    JScrollPane scroll = new JScrollPane(page);
    scroll.setBorder(BorderFactory.createEmptyBorder());
    scroll.setName("first-scroll");
    scroll.getVerticalScrollBar().setUnitIncrement(24);
    add(scroll);
    this.open = open;
    updateUI();
  }

  private final transient Consumer<List<Path>> open;

  /** As wide as the window, so that text wraps and only heights scroll. */
  private static final class Column extends JPanel implements Scrollable {
    Column() {
      super(
          new MigLayout(
              "ins 28 36 24 36, wrap 1, fillx, gapy 10",
              "push[grow 10000,fill,0:700lp:1100lp]push",
              ""));
    }

    @Override
    public Dimension getPreferredScrollableViewportSize() {
      return getPreferredSize();
    }

    @Override
    public int getScrollableUnitIncrement(Rectangle seen, int orientation, int direction) {
      return 24;
    }

    @Override
    public int getScrollableBlockIncrement(Rectangle seen, int orientation, int direction) {
      return seen.height;
    }

    @Override
    public boolean getScrollableTracksViewportWidth() {
      return true;
    }

    @Override
    public boolean getScrollableTracksViewportHeight() {
      return false;
    }
  }

  private JPanel choices(Runnable chooseFile) {
    JPanel row =
        new JPanel(
            new MigLayout(
                "ins 0, fillx, wrap 2, gap 14 10", "[grow,fill,sg]14[grow,fill,sg]", "[sg,fill]"));
    add(
        row,
        Tile.choice(
            "begin-simulated",
            "Try it on the simulated machine",
            "No sensor needed: an invented mill answers your taps, all the way to a cut plan. Alt+T"),
        'T',
        this::simulated);
    main = (AbstractButton) row.getComponent(0);
    add(
        row,
        Tile.choice(
            "begin-input",
            "Connect a sound input",
            "Hammer and sensor on a sound interface: choose the input and tap. Alt+C"),
        'C',
        () -> desk.begin(Job.EMPTY, () -> desk.go(StageId.TAPS)));
    add(
        row,
        Tile.choice(
            "begin-file",
            "Open a recording…",
            "Taps as WAV or text, a frequency response, a cut, or a set-up. Ctrl+O"),
        'R',
        chooseFile);
    add(
        row,
        Tile.choice(
            "begin-saved",
            "Saved set-ups",
            "What was stored before: look it up, compare it, or use it again. Alt+L"),
        'L',
        () -> desk.begin(Job.EMPTY, this::showSaved));
    return row;
  }

  private void showSaved() {
    desk.go(StageId.SET_UP);
    desk.acts().stream()
        .filter(act -> act.id().equals("saved-set-ups"))
        .forEach(act -> act.action().run());
  }

  private static void add(JPanel row, Tile tile, char mnemonic, Runnable action) {
    tile.button().setMnemonic(mnemonic);
    tile.button().addActionListener(e -> action.run());
    row.add(tile.button(), "grow, wmin 0, hmin 84lp");
  }

  private void simulated() {
    desk.tasks()
        .start(
            "the simulated machine",
            progress -> SimulatedStart.job(),
            job -> desk.begin(job, () -> desk.go(StageId.TAPS)),
            sentence -> problem.say(Sign.BAD, sentence));
  }

  private JPanel recovery() {
    recovery.setName("recovery");
    recovery.add(brokenOff, "growx, wmin 0");
    recover.setName("recover");
    recover.setMnemonic('G');
    recover.addActionListener(
        e ->
            found.stream()
                .filter(JobFolder.Found::brokenOff)
                .findFirst()
                .ifPresent(f -> resume(f.folder())));
    recovery.add(recover, "h 44lp!");
    recovery.setVisible(false);
    return recovery;
  }

  private JPanel undo() {
    JPanel row = new JPanel(new MigLayout("ins 0, fillx, hidemode 3", "[grow,fill]8[]", "[]"));
    bringBack.setName("bring-back");
    bringBack.setVisible(false);
    bringBack.addActionListener(e -> bringBack());
    row.add(binned, "growx, wmin 0");
    row.add(bringBack);
    return row;
  }

  // ---- what was worked on before

  /** Looks again for jobs and files; shows them when they are found. */
  void look() {
    problem.clear();
    desk.whenKept(
        () ->
            desk.tasks()
                .start(
                    "jobs",
                    progress ->
                        new Before(
                            JobFolder.in(desk.jobs()),
                            JobFolder.damaged(desk.jobs()),
                            RecentFiles.there(desk)),
                    this::show,
                    sentence -> problem.say(Sign.BAD, sentence)));
  }

  private record Before(List<JobFolder.Found> jobs, List<String> damaged, List<Path> files) {}

  private void show(Before what) {
    found = what.jobs;
    showRecovery();
    showJobs();
    if (!what.damaged.isEmpty() && problem.text().isEmpty()) {
      problem.say(
          Sign.CAUTION,
          what.damaged.get(0)
              + (what.damaged.size() == 1 ? "" : " (and " + (what.damaged.size() - 1) + " more)")
              + ". What was recorded lies in that folder still: open its measurement files.");
    }
    files.removeAll();
    for (Path file : what.files) {
      JButton button = new JButton(file.getFileName() + "  -  " + file.getParent());
      button.setName("recent-" + files.getComponentCount());
      button.putClientProperty("JButton.buttonType", "borderless");
      button.addActionListener(e -> open.accept(List.of(file)));
      files.add(button, "wmin 0");
    }
    recent.setVisible(!what.files.isEmpty());
    revalidate();
    repaint();
    focus();
  }

  /** Where Enter and Space do what is most likely wanted. */
  void focus() {
    if (isShowing() && !bringBack.isFocusOwner()) {
      likely().requestFocusInWindow();
    }
  }

  /** What is most likely wanted: to go on with what was broken off, or else with the last job. */
  AbstractButton likely() {
    if (recovery.isVisible()) {
      return recover;
    }
    return Arrays.stream(jobs.getComponents())
        .filter(JobRow.class::isInstance)
        .flatMap(row -> ((JobRow) row).open().stream())
        .map(AbstractButton.class::cast)
        .findFirst()
        .orElse(main);
  }

  private void showRecovery() {
    found.stream()
        .filter(JobFolder.Found::brokenOff)
        .findFirst()
        .ifPresentOrElse(
            f -> {
              brokenOff.say(
                  Sign.CAUTION,
                  "Ringtrue was ended without closing. Everything up to "
                      + When.clock(f.changed())
                      + " is here: "
                      + f.job().title()
                      + ".");
              recovery.setVisible(true);
            },
            () -> recovery.setVisible(false));
  }

  private void showJobs() {
    jobs.removeAll();
    found.stream()
        .limit(all ? Integer.MAX_VALUE : FEW)
        .forEach(f -> jobs.add(new JobRow(f, jobs.getComponentCount(), this::resume, this::bin)));
    if (!all && found.size() > FEW) {
      JButton more = new JButton("Show all " + found.size());
      more.setName("jobs-all");
      more.addActionListener(
          e -> {
            all = true;
            showJobs();
            revalidate();
          });
      jobs.add(more, "growx 0, alignx left");
    }
    before.setVisible(!found.isEmpty());
  }

  private void resume(Path folder) {
    desk.resume(folder, () -> desk.go(desk.stage()));
  }

  private void bin(JobFolder.Found which) {
    desk.tasks()
        .start(
            "moving to the bin",
            progress -> JobFolder.toBin(which.folder()),
            to -> {
              lastBinned = to;
              binned.say(Sign.DONE, "In the bin: " + which.job().title());
              bringBack.setVisible(true);
              look();
              bringBack.requestFocusInWindow();
            },
            sentence -> problem.say(Sign.BAD, sentence));
  }

  private void bringBack() {
    Path from = lastBinned;
    desk.tasks()
        .start(
            "bringing it back",
            progress -> JobFolder.fromBin(from),
            to -> {
              binned.clear();
              bringBack.setVisible(false);
              look();
            },
            sentence -> problem.say(Sign.BAD, sentence));
  }

  /** Says what went wrong with something begun here. */
  void complain(String sentence) {
    problem.say(Sign.BAD, sentence);
  }

  @Override
  public void updateUI() {
    super.updateUI();
    if (open == null) {
      return;
    }
    Font font = UIManager.getFont("Label.font");
    heading.setFont(font.deriveFont(Font.BOLD, font.getSize2D() * 1.8f));
    for (JLabel each : List.of(before, recent)) {
      each.setFont(font.deriveFont(Font.BOLD, font.getSize2D() * 1.15f));
    }
    recovery.setBorder(
        BorderFactory.createMatteBorder(1, 6, 1, 1, ringtrue.ui.kit.Theme.caution()));
    recover.setFont(font.deriveFont(Font.BOLD, font.getSize2D() * 1.15f));
  }
}

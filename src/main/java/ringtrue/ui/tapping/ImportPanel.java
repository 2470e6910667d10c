package ringtrue.ui.tapping;

import java.awt.Font;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import javax.swing.JButton;
import javax.swing.JComboBox;
import javax.swing.JComponent;
import javax.swing.JLabel;
import javax.swing.JPanel;
import javax.swing.SwingUtilities;
import javax.swing.UIManager;
import ringtrue.ui.desk.Desk;
import ringtrue.ui.job.Direction;
import ringtrue.ui.job.JobFolder;
import ringtrue.ui.job.Measured;
import ringtrue.ui.kit.MigLayout;
import ringtrue.ui.kit.Notice;
import ringtrue.ui.kit.Sign;

/**
 * What a file holds that comes from elsewhere: along which direction, and what its channels are.
 */
final class ImportPanel extends JPanel {
  private static final List<Direction> DIRECTIONS =
      List.of(Direction.TOOL_X, Direction.TOOL_Y, Direction.WORK_X, Direction.WORK_Y);

  private final Desk desk;
  private final Runnable over;
  private final JLabel title = new JLabel(" ");
  private final Notice about = new Notice("import-about");
  private final JComboBox<String> direction =
      new JComboBox<>(DIRECTIONS.stream().map(Direction::words).toArray(String[]::new));
  private final SensorForm channels;
  private final SensorForm columns;
  private final Notice replaces = new Notice("import-replaces");
  private final Notice complaint = new Notice("import-complaint-all");
  private final JLabel along = new JLabel("Measured along");
  private final JButton take = new JButton("Take it  (Enter)");
  private final JButton leave = new JButton("Leave it  (Esc)");
  private TapImport.Looked looked;
  private Path shown;
  private Optional<String> copied = Optional.empty();
  private boolean busy;

  ImportPanel(Desk desk, SensorForm channels, SensorForm columns, Runnable over) {
    super(
        new MigLayout(
            "ins 16 24 16 24, wrap 2, fillx, hidemode 3, gapy 8", "[]10[grow,fill]", "[top]"));
    this.desk = desk;
    this.channels = channels;
    this.columns = columns;
    this.over = over;
    setOpaque(false);
    setName("import-page");
    title.setName("import-title");
    direction.setName("import-direction");
    direction.getAccessibleContext().setAccessibleName("Measured along");
    direction.addActionListener(e -> sayWhatIsReplaced());
    take.setName("import-take");
    leave.setName("import-leave");
    take.addActionListener(e -> take());
    leave.addActionListener(e -> leave());
    along.setLabelFor(direction);
    add(title, "span 2");
    add(about, "span 2, growx, wmin 0");
    add(along, "gaptop 4");
    add(direction, "growx 0, w 220lp, wmin 60");
    add(replaces, "skip 1, growx, wmin 0");
    add(channels, "span 2, growx, wmin 0, wmax 560lp");
    add(columns, "span 2, growx, wmin 0, wmax 560lp");
    add(complaint, "span 2, growx, wmin 0");
    add(take, "span 2, split 2, h 36lp!, gaptop 6, aligny top");
    add(leave, "h 36lp!, gaptop 6, aligny top");
    updateUI();
  }

  /**
   * Asks about a file.
   *
   * @param more how many files wait behind it
   */
  void show(TapImport.Looked other, int more) {
    looked = other;
    copied = Optional.empty();
    title(other.file(), more);
    about.say(Sign.NOTE, other.about() + ask(other.what()));
    direction.setVisible(true);
    along.setVisible(true);
    take.setVisible(true);
    direction.setSelectedItem(
        other
            .direction()
            .orElseGet(
                () ->
                    DIRECTIONS.stream()
                        .filter(d -> desk.job().measured(d).isEmpty())
                        .findFirst()
                        .orElse(Direction.TOOL_X))
            .words());
    sayWhatIsReplaced();
    channels.setVisible(other.what() == TapImport.What.WAV);
    columns.setVisible(other.what() == TapImport.What.TEXT);
    SensorDraft draft = SensorDraft.ofRemembered(desk.settings().text("taps-import-sensors", ""));
    channels.show(draft);
    columns.show(draft);
    complain("");
    ready(true);
  }

  /** Says of a file why it cannot be taken. */
  void refuse(Path file, String sentence, int more) {
    looked = null;
    title(file, more);
    about.clear();
    replaces.clear();
    for (JComponent each : List.of(direction, along, take, channels, columns)) {
      each.setVisible(false);
    }
    String name = file.getFileName() + ": ";
    String why = sentence.startsWith(name) ? sentence.substring(name.length()) : sentence;
    complaint.say(Sign.BAD, Announcer.capital(why) + (why.endsWith(".") ? "" : "."));
    leave.requestFocusInWindow();
  }

  /** So many files wait now. */
  void waiting(int more) {
    title(shown, more);
  }

  private void title(Path file, int more) {
    shown = file;
    title.setText(
        file.getFileName()
            + (more == 0 ? "" : more == 1 ? "  (1 more waits)" : "  (" + more + " more wait)"));
  }

  private Direction chosen() {
    return DIRECTIONS.get(Math.max(0, direction.getSelectedIndex()));
  }

  private void sayWhatIsReplaced() {
    Direction of = chosen();
    if (looked != null && desk.job().measured(of).isPresent()) {
      replaces.say(
          Sign.CAUTION,
          Announcer.capital(of.words())
              + " is measured already; taking this replaces it, and undo brings it back.");
    } else {
      replaces.clear();
    }
  }

  private static String ask(TapImport.What what) {
    return switch (what) {
      case WAV -> " Say what its channels hold.";
      case TEXT -> " Say what its columns hold; for a file without times, the sample rate.";
      case MEASUREMENT, RESPONSE -> " Say what was measured.";
    };
  }

  private void ready(boolean is) {
    busy = !is;
    take.setEnabled(is);
    direction.setEnabled(is);
  }

  /** Takes the file with what was said of it, or complains beside what is wrong. */
  void take() {
    if (busy || looked == null || desk.folder().isEmpty()) {
      return;
    }
    JobFolder folder = desk.folder().get();
    TapImport.Looked of = looked;
    boolean text = of.what() == TapImport.What.TEXT;
    Direction its = chosen();
    SensorDraft draft = (text ? columns : channels).draft(SensorDraft.FIRST);
    Path file = of.file();
    Optional<String> before = copied;
    complain("");
    ready(false);
    desk.tasks()
        .start(
            "taking " + file.getFileName(),
            progress ->
                switch (of.what()) {
                  case MEASUREMENT -> TapImport.measurement(file, folder, its, progress);
                  case RESPONSE -> TapImport.response(file, folder, its, progress);
                  case WAV, TEXT -> {
                    String name =
                        before.isPresent()
                            ? before.get()
                            : TapImport.copy(
                                file, of.what(), folder, its, (d, w) -> progress.at(0.7 * d, w));
                    SwingUtilities.invokeLater(() -> copied(of, name));
                    yield TapImport.described(
                        folder,
                        name,
                        String.valueOf(file.getFileName()),
                        its,
                        draft,
                        text,
                        (d, w) -> progress.at(0.7 + 0.3 * d, w));
                  }
                },
            measured -> taken(folder, draft, of, measured),
            sentence -> {
              ready(true);
              complain(sentence);
            });
  }

  private void copied(TapImport.Looked of, String name) {
    if (looked == of) {
      copied = Optional.of(name);
    }
  }

  private void taken(JobFolder folder, SensorDraft draft, TapImport.Looked of, Measured measured) {
    if (desk.folder().filter(f -> f == folder).isEmpty()) {
      return; // another job is open by now
    }
    if (of.what() == TapImport.What.WAV || of.what() == TapImport.What.TEXT) {
      desk.settings(s -> s.with("taps-import-sensors", draft.remembered()));
    }
    desk.change(
        "take " + of.file().getFileName() + " as " + measured.direction().words(),
        job -> job.with(measured));
    ready(true);
    over.run();
  }

  private void complain(String sentence) {
    complaint.clear();
    channels.complain("");
    columns.complain("");
    if (sentence.isEmpty()) {
      return;
    }
    if (channels.isVisible()) {
      channels.complain(sentence);
    } else if (columns.isVisible()) {
      columns.complain(sentence);
    } else {
      complaint.say(Sign.BAD, Announcer.capital(sentence));
    }
  }

  /** Leaves the file where it is. */
  void leave() {
    looked = null;
    over.run();
  }

  @Override
  public void updateUI() {
    super.updateUI();
    if (take != null) {
      Font font = UIManager.getFont("Label.font");
      title.setFont(font.deriveFont(Font.BOLD, font.getSize2D() * 1.5f));
      take.setFont(UIManager.getFont("Button.font").deriveFont(Font.BOLD));
    }
  }
}

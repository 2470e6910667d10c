package ringtrue.ui.shell;

import java.awt.Font;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.function.Consumer;
import java.util.stream.Collectors;
import javax.swing.BorderFactory;
import javax.swing.JButton;
import javax.swing.JComponent;
import javax.swing.JLabel;
import javax.swing.JPanel;
import javax.swing.UIManager;
import ringtrue.ui.job.CutDraft;
import ringtrue.ui.job.Job;
import ringtrue.ui.job.JobFolder;
import ringtrue.ui.kit.MigLayout;
import ringtrue.ui.kit.Sign;

/** A job that can be gone on with, or moved to the bin after asking once more in its own row. */
final class JobRow extends JPanel {
  private final JLabel title;
  private final JLabel about;
  private final JButton open = new JButton("Go on");
  private final JButton bin = new JButton("Move to the bin");
  private final JLabel sure = new JLabel("Move it to the bin?");
  private final JButton yes = new JButton("Move it");
  private final JButton no = new JButton("Keep it");

  JobRow(JobFolder.Found found, int number, Consumer<Path> resume, Consumer<JobFolder.Found> away) {
    super(new MigLayout("ins 6 0 6 0, fillx, hidemode 3", "[]10[grow,fill]10[]10[]36[]", "[]1[]"));
    String name = found.job().title();
    title = new JLabel(name);
    about = new JLabel(about(found.job()) + "  -  " + When.day(found.changed()));
    setName("job-" + number);
    open.setName("job-open-" + number);
    bin.setName("job-bin-" + number);
    yes.setName("job-bin-yes-" + number);
    no.setName("job-bin-no-" + number);
    open.getAccessibleContext().setAccessibleName("Go on with " + name);
    bin.getAccessibleContext().setAccessibleName("Move " + name + " to the bin");
    open.addActionListener(e -> resume.accept(found.folder()));
    bin.addActionListener(e -> ask(true));
    no.addActionListener(e -> ask(false));
    yes.addActionListener(e -> away.accept(found));
    JLabel sign = new JLabel(found.brokenOff() ? Sign.CAUTION : Sign.BEGUN);
    sign.setToolTipText(found.brokenOff() ? "ended without closing" : "can be gone on with");
    add(sign, "cell 0 0 1 2, aligny center");
    add(title, "cell 1 0, growx, wmin 0");
    add(about, "cell 1 1, growx, wmin 0");
    add(sure, "cell 2 0 1 2");
    add(yes, "cell 3 0 1 2");
    add(no, "cell 4 0 1 2");
    add(open, "cell 3 0 1 2");
    add(bin, "cell 4 0 1 2");
    ask(false);
    if (found.inUse()) {
      sign.setIcon(Sign.NOTE);
      sign.setToolTipText("another window works on it");
      about.setText("open in another window  -  " + about.getText());
      for (JComponent each : List.of(title, about, open, bin)) {
        each.setEnabled(false);
      }
    }
    updateUI();
  }

  /** The button that goes on with it; empty where another window works on it. */
  Optional<JButton> open() {
    return open.isEnabled() ? Optional.of(open) : Optional.empty();
  }

  private void ask(boolean whether) {
    sure.setVisible(whether);
    yes.setVisible(whether);
    no.setVisible(whether);
    open.setVisible(!whether);
    bin.setVisible(!whether);
    if (whether) {
      no.requestFocusInWindow();
    }
  }

  /** What there is of a job, in half a line. */
  static String about(Job job) {
    List<String> parts = new ArrayList<>();
    if (job.simulated()) {
      parts.add("simulated");
    }
    parts.add(
        job.measured().isEmpty()
            ? "nothing measured yet"
            : "measured: "
                + job.measured().stream()
                    .map(m -> m.direction().words())
                    .collect(Collectors.joining(", ")));
    if (!job.cut().equals(CutDraft.NEW)) {
      parts.add("a cut");
    }
    return String.join("; ", parts);
  }

  @Override
  public void updateUI() {
    super.updateUI();
    setBorder(
        BorderFactory.createMatteBorder(0, 0, 1, 0, UIManager.getColor("Separator.foreground")));
    if (title != null) {
      Font font = UIManager.getFont("Label.font");
      title.setFont(font.deriveFont(Font.BOLD));
    }
  }
}

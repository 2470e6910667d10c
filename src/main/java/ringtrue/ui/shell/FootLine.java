package ringtrue.ui.shell;

import java.awt.Font;
import java.util.List;
import java.util.Optional;
import javax.swing.BorderFactory;
import javax.swing.JButton;
import javax.swing.JLabel;
import javax.swing.JPanel;
import javax.swing.JProgressBar;
import javax.swing.Timer;
import javax.swing.UIManager;
import net.miginfocom.swing.MigLayout;
import ringtrue.ui.desk.Desk;
import ringtrue.ui.desk.NextStep;
import ringtrue.ui.desk.Tasks;

/** The line at the bottom: what was said last, work that takes its time, and the next step. */
final class FootLine extends JPanel {
  /** Work that takes no longer is not worth a bar, s. */
  private static final double SHORT_S = 0.5;

  private static final int LOOK_MS = 150;

  private final Desk desk;
  private final JLabel said = new JLabel(" ");
  private final JLabel task = new JLabel();
  private final JProgressBar bar = new JProgressBar(0, 100);
  private final JButton cancel = new JButton("Stop");
  private final JLabel why = new JLabel();
  private final JButton next = new JButton();
  private final Timer look = new Timer(LOOK_MS, e -> progress());

  FootLine(Desk desk) {
    super(
        new MigLayout(
            "ins 6 14 8 14, fillx, hidemode 3", "[grow,fill]10[]6[120lp!]6[]14[]8[]", "[36lp!]"));
    this.desk = desk;
    said.setName("foot-said");
    task.setName("foot-task");
    bar.setName("foot-progress");
    cancel.setName("foot-stop");
    next.setName("next-step");
    bar.getAccessibleContext().setAccessibleName("progress");
    cancel.setToolTipText("Stop this work (Esc)");
    cancel.addActionListener(e -> stopWork());
    next.setToolTipText("The suggested next step (Ctrl+Enter)");
    next.addActionListener(e -> takeNextStep());
    next.putClientProperty("FlatLaf.style", "background: $Component.accentColor; foreground: #fff");
    add(said, "wmin 0");
    add(task);
    add(bar);
    add(cancel);
    add(why);
    add(next, "h 34lp!");
    setBorder(
        BorderFactory.createMatteBorder(1, 0, 0, 0, UIManager.getColor("Separator.foreground")));
    desk.onSay(
        sentence -> {
          said.setText(sentence);
          said.setToolTipText(sentence);
        });
    desk.onChange(this::refresh);
    desk.tasks().onChange(this::work);
    refresh();
    progress();
  }

  private Optional<NextStep> step() {
    return desk.folder().isEmpty() ? Optional.empty() : desk.stage(desk.stage()).next();
  }

  /** Does what is suggested. */
  void takeNextStep() {
    step().ifPresent(s -> s.action().run());
  }

  /** Ends the work that has gone on longest. */
  void stopWork() {
    longest().ifPresent(Tasks.Task::cancel);
    progress();
  }

  private void refresh() {
    Optional<NextStep> step = step();
    next.setVisible(step.isPresent());
    why.setVisible(step.isPresent());
    step.ifPresent(
        s -> {
          next.setText("Next: " + s.words());
          why.setText(s.why());
          next.setFont(UIManager.getFont("Button.font").deriveFont(Font.BOLD));
        });
  }

  private void work() {
    if (desk.tasks().running().isEmpty()) {
      look.stop();
      progress();
    } else if (!look.isRunning()) {
      look.start();
    }
  }

  private Optional<Tasks.Task> longest() {
    List<Tasks.Task> running = desk.tasks().running();
    return running.stream().filter(t -> t.seconds() > SHORT_S).findFirst();
  }

  private void progress() {
    Optional<Tasks.Task> shown = longest();
    task.setVisible(shown.isPresent());
    bar.setVisible(shown.isPresent());
    cancel.setVisible(shown.isPresent());
    shown.ifPresent(
        t -> {
          task.setText(t.what().isEmpty() ? t.name() : t.name() + ": " + t.what());
          bar.setIndeterminate(t.done() <= 0);
          bar.setValue((int) Math.round(100 * t.done()));
        });
  }
}

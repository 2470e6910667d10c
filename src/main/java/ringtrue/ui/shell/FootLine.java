package ringtrue.ui.shell;

import java.awt.Color;
import java.awt.Dimension;
import java.awt.Font;
import java.awt.Graphics;
import java.util.List;
import java.util.Optional;
import javax.swing.BorderFactory;
import javax.swing.JButton;
import javax.swing.JLabel;
import javax.swing.JPanel;
import javax.swing.JProgressBar;
import javax.swing.SwingConstants;
import javax.swing.Timer;
import javax.swing.UIManager;
import ringtrue.ui.desk.Desk;
import ringtrue.ui.desk.NextStep;
import ringtrue.ui.desk.Tasks;
import ringtrue.ui.kit.MigLayout;
import ringtrue.ui.kit.Wrapped;

/** The line at the bottom: what was said last, work that takes its time, and the next step. */
final class FootLine extends JPanel {
  /** Work that takes no longer is not worth a bar, s. */
  private static final double SHORT_S = 0.5;

  private static final int LOOK_MS = 150;

  private final Desk desk;
  private final JLabel said = new JLabel(" ");
  private final JLabel kept = new JLabel();
  private final JLabel task = new JLabel();
  private final JProgressBar bar = new JProgressBar(0, 100);
  private final JButton cancel = new JButton("Stop (Esc)");
  private final Why why = new Why();
  private final JButton next = new Step();
  private final Timer look = new Timer(LOOK_MS, e -> progress());
  private Tasks.Task running;

  /** A reason in two lines at most. */
  private static final class Why extends Wrapped {
    Why() {
      super("");
    }

    @Override
    public Dimension getPreferredSize() {
      java.awt.FontMetrics metrics = getFontMetrics(getFont());
      int wide = metrics.stringWidth(getText());
      int line = 22 * metrics.charWidth('n');
      return new Dimension(
          wide <= line ? wide + 2 : Math.max(line, wide * 5 / 8),
          metrics.getHeight() * (wide <= line ? 1 : 2) + metrics.getDescent());
    }

    @Override
    public Dimension getMinimumSize() {
      return new Dimension(1, getPreferredSize().height);
    }
  }

  /** The button of the next step; where it has the focus, a line within it tells. */
  private static final class Step extends JButton {
    @Override
    protected void paintComponent(Graphics g) {
      super.paintComponent(g);
      if (isFocusOwner()) {
        int edge = Math.max(3, getFont().getSize() / 3);
        g.setColor(getForeground());
        g.drawRect(edge, edge, getWidth() - 2 * edge - 1, getHeight() - 2 * edge - 1);
      }
    }
  }

  FootLine(Desk desk) {
    super(
        new MigLayout(
            "ins 5 14 6 14, fillx, hidemode 3",
            "[grow,fill,shrinkprio 200][]8[]6[110lp!]6[]14[shrinkprio 150]10[shrinkprio 50]",
            "[38lp!,center]"));
    this.desk = desk;
    said.setName("foot-said");
    kept.setName("foot-kept");
    kept.setEnabled(false);
    task.setName("foot-task");
    bar.setName("foot-progress");
    cancel.setName("foot-stop");
    why.setName("next-why");
    next.setName("next-step");
    next.setHorizontalAlignment(SwingConstants.CENTER);
    bar.getAccessibleContext().setAccessibleName("progress");
    cancel.setToolTipText("Stop this work (Esc)");
    cancel.addActionListener(e -> stopWork());
    next.setToolTipText("The suggested next step (Ctrl+Enter)");
    next.addActionListener(e -> takeNextStep());
    add(said, "cell 0 0, wmin 0");
    add(kept, "cell 1 0");
    add(task, "cell 2 0, wmin 0");
    add(bar, "cell 3 0");
    add(cancel, "cell 4 0");
    add(why, "cell 5 0, wmin 0");
    add(next, "cell 6 0, h 36lp!");
    desk.onSay(
        sentence -> {
          said.setText(sentence);
          said.setToolTipText(sentence);
          said.getAccessibleContext().setAccessibleName(sentence);
        });
    desk.onKept(
        when -> {
          kept.setText("kept " + When.clock(when));
          kept.setToolTipText(
              "Everything is in the job's folder; nothing has to be saved for that");
        });
    desk.onChange(this::refresh);
    desk.tasks().onChange(this::work);
    updateUI();
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

  /** Whether there is a step to take. */
  boolean hasNextStep() {
    return step().isPresent();
  }

  /** Whether work is shown that could be stopped. */
  boolean working() {
    return running != null;
  }

  /** Ends the work that is shown. */
  void stopWork() {
    if (running != null) {
      String name = running.name();
      running.cancel();
      progress();
      desk.say("stopped: " + name);
    }
  }

  private void refresh() {
    Optional<NextStep> step = step();
    next.setVisible(step.isPresent());
    why.setVisible(step.isPresent());
    kept.setVisible(desk.folder().isPresent());
    step.ifPresent(
        s -> {
          set("Next: " + s.words());
          if (!why.getText().equals(s.why())) {
            why.setText(s.why());
            why.setToolTipText(s.why());
          }
        });
  }

  private void set(String words) {
    if (!words.equals(next.getText())) {
      next.setText(words);
    }
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
    List<Tasks.Task> all = desk.tasks().running();
    return all.stream().filter(t -> t.seconds() > SHORT_S).findFirst();
  }

  private void progress() {
    Optional<Tasks.Task> shown = longest();
    running = shown.orElse(null);
    task.setVisible(shown.isPresent());
    bar.setVisible(shown.isPresent());
    cancel.setVisible(shown.isPresent());
    said.setVisible(shown.isEmpty() || getWidth() > 90 * said.getFont().getSize());
    shown.ifPresent(
        t -> {
          String words = t.what().isEmpty() ? t.name() : t.name() + ": " + t.what();
          if (!words.equals(task.getText())) {
            task.setText(words);
            task.setToolTipText(words);
          }
          bar.setIndeterminate(t.done() <= 0);
          bar.setValue((int) Math.round(100 * t.done()));
        });
  }

  @Override
  public void updateUI() {
    super.updateUI();
    setBorder(
        BorderFactory.createMatteBorder(1, 0, 0, 0, UIManager.getColor("Separator.foreground")));
    if (next != null) {
      next.setFont(UIManager.getFont("Button.font").deriveFont(Font.BOLD));
      // not the look's own object, which would give way to the colours of focus and pointer
      next.setBackground(new Color(UIManager.getColor("Component.accentColor").getRGB()));
      next.setForeground(ringtrue.ui.kit.Theme.onAccent());
    }
  }
}

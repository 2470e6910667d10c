package ringtrue.ui.shell;

import java.awt.Color;
import java.awt.Component;
import java.awt.Dimension;
import java.awt.Font;
import java.awt.Graphics;
import java.awt.KeyboardFocusManager;
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
  /** Widths of a letter from which on there is room for everything. */
  private static final int ROOMY = 90;

  /** Work that takes no longer is not worth a bar, s. */
  private static final double SHORT_S = 0.5;

  private static final int LOOK_MS = 150;

  /** After so long what was said is no news any more. */
  private static final int FORGET_MS = 20_000;

  /** What is done so soon after it was said belongs to it. */
  private static final long SAME_NANOS = 1_500_000_000L;

  private final Desk desk;
  private final JLabel said = new JLabel(" ");
  private final JLabel kept = new JLabel();
  private final JLabel task = new JLabel();
  private final JProgressBar bar = new JProgressBar(0, 100);
  private final JButton cancel = new JButton("Stop (Esc)");
  private final Why why = new Why();
  private final JButton next = new Step();
  private final Timer look = new Timer(LOOK_MS, e -> progress());
  private final Timer forget = new Timer(FORGET_MS, e -> forget());
  private Object about;
  private long saidAt;
  private Tasks.Task running;
  private boolean returns;

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
    add(kept, "cell 1 0, wmin 0");
    add(task, "cell 2 0, wmin 0");
    add(bar, "cell 3 0");
    add(cancel, "cell 4 0");
    add(why, "cell 5 0, wmin 0");
    add(next, "cell 6 0, h 36lp!");
    forget.setRepeats(false);
    desk.onSay(
        sentence -> {
          say(sentence);
          about = about();
          saidAt = System.nanoTime();
          if (lasts()) {
            forget.stop();
          } else {
            forget.restart();
          }
        });
    desk.onKept(
        when -> {
          if (lasts()) {
            forget();
          }
          kept.setText("job kept automatically " + When.minute(when));
          kept.setToolTipText(
              "Everything is in the job's folder; nothing has to be saved for that");
        });
    desk.onChange(this::refresh);
    desk.tasks().onChange(this::work);
    updateUI();
    refresh();
    progress();
  }

  private void say(String sentence) {
    said.setText(sentence.isEmpty() ? " " : sentence);
    said.setToolTipText(sentence.isEmpty() ? null : sentence);
    said.getAccessibleContext().setAccessibleName(sentence);
  }

  private void forget() {
    forget.stop();
    say("");
  }

  /** What it concerns: the job, the stage and what was done last. */
  private record About(Object folder, Object stage, Object done) {}

  private Object about() {
    return new About(desk.folder(), desk.stage(), desk.undoWords());
  }

  /** Whether what is said holds until it has been put right. */
  private boolean lasts() {
    return said.getText().startsWith("not kept") || said.getText().startsWith("settings not kept");
  }

  /** What was said is forgotten when something else is done. */
  private void outlive() {
    if (!said.getText().isBlank() && !lasts() && !about().equals(about)) {
      if (System.nanoTime() - saidAt > SAME_NANOS) {
        forget();
      } else {
        about = about();
      }
    }
  }

  private Optional<NextStep> step() {
    return desk.folder().isEmpty() ? Optional.empty() : desk.stage(desk.stage()).next();
  }

  /** Does what is suggested. */
  void takeNextStep() {
    desk.settle();
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
    outlive();
    Optional<NextStep> step = step();
    boolean leaves = next.isFocusOwner() && step.isEmpty();
    boolean comes = returns && step.isPresent() && !next.isVisible();
    next.setVisible(step.isPresent());
    why.setVisible(step.isPresent());
    kept.setVisible(desk.folder().isPresent() && getWidth() > ROOMY * said.getFont().getSize());
    if (leaves) {
      returns = true;
    } else if (comes) {
      returns = false;
      Component owner = KeyboardFocusManager.getCurrentKeyboardFocusManager().getFocusOwner();
      if (owner == null || owner.getName() != null && owner.getName().startsWith("stage-")) {
        next.requestFocusInWindow(); // it had the focus before it went away
      }
    }
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
    said.setVisible(shown.isEmpty() || getWidth() > ROOMY * said.getFont().getSize());
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

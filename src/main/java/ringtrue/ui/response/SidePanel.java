package ringtrue.ui.response;

import java.awt.Component;
import javax.swing.BorderFactory;
import javax.swing.JLabel;
import javax.swing.JPanel;
import javax.swing.JScrollPane;
import ringtrue.ui.kit.Letters;
import ringtrue.ui.kit.MigLayout;
import ringtrue.ui.kit.Notice;
import ringtrue.ui.kit.Scrolled;
import ringtrue.ui.kit.Sign;
import ringtrue.ui.kit.Wrapped;

/** Text and remarks in a column that scrolls. */
public final class SidePanel extends JScrollPane {
  private final JPanel column =
      new Scrolled(new MigLayout("ins 0 0 0 8, wrap 1, gapy 3lp, fillx", "[grow,fill]"));
  private int count;

  /**
   * @param name name of the component
   */
  public SidePanel(String name) {
    setName(name);
    setBorder(BorderFactory.createEmptyBorder());
    setHorizontalScrollBarPolicy(HORIZONTAL_SCROLLBAR_NEVER);
    getVerticalScrollBar().setUnitIncrement(16);
    setViewportView(column);
  }

  /** Takes everything away. */
  public void clear() {
    column.removeAll();
    count = 0;
    done();
  }

  /** A heading. */
  public void heading(String words) {
    JLabel label = new JLabel(words);
    Letters.bold(label);
    column.add(label, count == 0 ? "" : "gaptop 8lp");
    count++;
  }

  /** A plain sentence. */
  public void line(String words) {
    column.add(new Wrapped(words), "growx, wmin 0");
  }

  /**
   * A sentence with its sign.
   *
   * @param name first part of the component's name
   */
  public void remark(String words, String name) {
    Notice notice = new Notice(name + "-" + ++count);
    notice.say(Sign.NOTE, words);
    column.add(notice, "growx, wmin 0");
  }

  /** What to do about something. */
  public void advice(String words) {
    Notice notice = new Notice(getName() + "-advice-" + ++count);
    notice.say(Sign.CAUTION, words);
    column.add(notice, "growx, wmin 0");
  }

  /** Something to press. */
  public void button(Component button) {
    column.add(button, "growx 0, gaptop 6lp");
  }

  /** Lays it out, after everything was put in. */
  public void done() {
    column.revalidate();
    column.repaint();
  }
}

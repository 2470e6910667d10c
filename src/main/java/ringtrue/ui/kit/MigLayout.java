package ringtrue.ui.kit;

import java.awt.Container;
import java.awt.Dimension;
import java.awt.EventQueue;
import java.util.function.Function;

/**
 * The layout of the same name, which works its sizes out once while what is around it is laid out.
 *
 * <p>The plain one asks each child several times for each of its sizes, and a child that is itself
 * laid out so asks its own children several times each: six or more times the work for each level.
 * Until the outermost question is answered nothing in there gets another size, so that the first
 * answer holds. On the event thread only; elsewhere it is the plain one.
 */
public final class MigLayout extends net.miginfocom.swing.MigLayout {
  private static final long serialVersionUID = 1;

  /** Which outermost question is being answered, and how deep; of the event thread. */
  private static long question;

  private static int deep;

  private transient Answer least = Answer.NONE;
  private transient Answer preferred = Answer.NONE;

  private record Answer(Container of, long question, Dimension size) {
    static final Answer NONE = new Answer(null, -1, null);
  }

  public MigLayout() {
    super();
  }

  /**
   * @param layout constraints of the whole
   */
  public MigLayout(String layout) {
    super(layout);
  }

  /**
   * @param layout constraints of the whole
   * @param columns constraints of the columns
   */
  public MigLayout(String layout, String columns) {
    super(layout, columns);
  }

  /**
   * @param layout constraints of the whole
   * @param columns constraints of the columns
   * @param rows constraints of the rows
   */
  public MigLayout(String layout, String columns, String rows) {
    super(layout, columns, rows);
  }

  @Override
  public Dimension minimumLayoutSize(Container parent) {
    if (!EventQueue.isDispatchThread()) {
      return super.minimumLayoutSize(parent);
    }
    least = answer(least, parent, super::minimumLayoutSize);
    return new Dimension(least.size);
  }

  @Override
  public Dimension preferredLayoutSize(Container parent) {
    if (!EventQueue.isDispatchThread()) {
      return super.preferredLayoutSize(parent);
    }
    preferred = answer(preferred, parent, super::preferredLayoutSize);
    return new Dimension(preferred.size);
  }

  private static Answer answer(
      Answer known, Container parent, Function<Container, Dimension> question) {
    boolean holds = deep > 0 && known.question == MigLayout.question && known.of == parent;
    if (holds) {
      return known;
    }
    begin();
    try {
      return new Answer(parent, MigLayout.question, question.apply(parent));
    } finally {
      deep--;
    }
  }

  private static void begin() {
    if (deep++ == 0) {
      question++;
    }
  }

  @Override
  public void layoutContainer(Container parent) {
    if (!EventQueue.isDispatchThread()) {
      super.layoutContainer(parent);
      return;
    }
    begin();
    try {
      super.layoutContainer(parent);
    } finally {
      deep--;
    }
  }
}

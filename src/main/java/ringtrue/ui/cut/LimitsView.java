package ringtrue.ui.cut;

import java.awt.BasicStroke;
import java.awt.Color;
import java.awt.Dimension;
import java.awt.Graphics;
import java.awt.Graphics2D;
import java.awt.RenderingHints;
import java.awt.geom.Line2D;
import java.awt.geom.Rectangle2D;
import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Set;
import javax.accessibility.AccessibleContext;
import javax.accessibility.AccessibleRole;
import javax.swing.JComponent;
import javax.swing.JLabel;
import javax.swing.JPanel;
import javax.swing.JScrollPane;
import javax.swing.UIManager;
import ringtrue.library.Cut;
import ringtrue.planning.CutPlan;
import ringtrue.report.LengthUnit;
import ringtrue.ui.desk.Desk;
import ringtrue.ui.job.CutField;
import ringtrue.ui.kit.Letters;
import ringtrue.ui.kit.MigLayout;
import ringtrue.ui.kit.Notice;
import ringtrue.ui.kit.Scrolled;
import ringtrue.ui.kit.Sign;
import ringtrue.ui.kit.Theme;
import ringtrue.ui.kit.Wrapped;

/** Every limit of a cut as a bar with numbers and words, and the cautions that belong with it. */
final class LimitsView {
  private final JPanel bars =
      new JPanel(
          new MigLayout("ins 0, fillx, hidemode 3, gap 8 1", "[][grow,fill,40::][right][]", ""));
  private final JPanel cautions = new JPanel(new MigLayout("ins 0 12 0 0, fillx, gapy 0"));
  private final JPanel remarks = new JPanel(new MigLayout("ins 0 12 0 0, fillx, gapy 0"));
  private final List<Row> rows = new ArrayList<>();
  private final JScrollPane pane;

  LimitsView(Desk desk) {
    bars.setOpaque(false);
    cautions.setOpaque(false);
    remarks.setOpaque(false);
    Scrolled all = new Scrolled(new MigLayout("ins 8 12 8 12, fillx, gapy 8", "[grow,fill]"));
    all.add(bars, "wmin 0, wrap");
    all.add(new Fold(desk, "cut-cautions", "Cautions", true, cautions), "wmin 0, wrap");
    all.add(
        new Fold(desk, "cut-remarks", "What was assumed, what could not be judged", true, remarks),
        "wmin 0, wrap");
    pane = all.pane("cut-limits");
    pane.getAccessibleContext().setAccessibleName("limits");
  }

  JComponent view() {
    return pane;
  }

  /** Shows a plan. */
  void show(CutPlan plan, Cut cut, LengthUnit unit) {
    List<LimitBar> all = LimitBar.of(plan, unit);
    while (rows.size() < all.size()) {
      rows.add(new Row(bars, rows.size()));
    }
    for (int i = 0; i < rows.size(); i++) {
      rows.get(i).show(i < all.size() ? all.get(i) : null);
    }
    fill(cautions, "cut-caution-", Sign.CAUTION, codesFirst(plan.cautions()));
    Set<String> said = new LinkedHashSet<>(cut.remarks());
    said.addAll(plan.remarks());
    fill(remarks, "cut-remark-", Sign.NOTE, List.copyOf(said));
    bars.revalidate();
    bars.repaint();
  }

  /** Local codes and licensed practice stand before everything else. */
  static List<String> codesFirst(List<String> cautions) {
    List<String> all = new ArrayList<>(cautions);
    all.sort((a, b) -> Boolean.compare(b.contains("local codes"), a.contains("local codes")));
    return all;
  }

  /** Names of a cut file's fields as they are called in the form. */
  static String inWords(String sentence) {
    String plain = sentence;
    for (CutField field : CutField.values()) {
      String name = field.path().substring(field.path().lastIndexOf('.') + 1);
      plain = plain.replace('"' + name + '"', field.words());
    }
    return plain;
  }

  private static void fill(JPanel panel, String name, Sign sign, List<String> sentences) {
    for (int i = 0; i < Math.max(sentences.size(), panel.getComponentCount()); i++) {
      if (i >= panel.getComponentCount()) {
        panel.add(new Notice(name + i), "growx, wmin 0, hidemode 3, wrap");
      }
      Notice notice = (Notice) panel.getComponent(i);
      String sentence = i < sentences.size() ? inWords(sentences.get(i)) : "";
      if (!notice.text().equals(sentence)) {
        if (sentence.isEmpty()) {
          notice.clear();
        } else {
          notice.say(sign, sentence);
        }
      }
    }
  }

  /** One limit. */
  private static final class Row {
    private final JLabel name = new JLabel();
    private final Bar bar = new Bar();
    private final JLabel percent = new JLabel();
    private final JLabel numbers = new JLabel();
    private final Wrapped because = new Wrapped("");
    private LimitBar shown;

    Row(JPanel into, int number) {
      name.setName("cut-limit-" + number);
      Letters.bold(name);
      bar.setName("cut-bar-" + number);
      because.setName("cut-because-" + number);
      into.add(name, "newline, gaptop 6");
      into.add(bar, "growx, wmin 30, hmin 14, gaptop 6");
      into.add(percent, "gaptop 6");
      into.add(numbers, "gaptop 6, wmin 0, wrap");
      into.add(because, "span 4, growx, wmin 0, gapleft 22");
    }

    void show(LimitBar limit) {
      if (limit == null ? shown == null && !name.isVisible() : limit.equals(shown)) {
        return;
      }
      shown = limit;
      boolean seen = limit != null;
      for (JComponent c : List.of(name, bar, percent, numbers, because)) {
        c.setVisible(seen);
      }
      if (seen) {
        name.setIcon(limit.sign());
        name.setText(limit.name());
        percent.setText(limit.percent());
        numbers.setText(limit.numbers());
        because.setText(inWords(limit.because()));
        bar.show(limit);
      }
    }
  }

  /** The share of a limit that is used; what is above it is hatched. */
  private static final class Bar extends JComponent {
    /** The limit itself stands at this part of the width. */
    private static final double AT = 0.7;

    private LimitBar limit;

    void show(LimitBar of) {
      limit = of;
      getAccessibleContext().setAccessibleName(of.spoken());
      setToolTipText(of.spoken());
      repaint();
    }

    @Override
    public AccessibleContext getAccessibleContext() {
      if (accessibleContext == null) {
        accessibleContext =
            new AccessibleJComponent() {
              @Override
              public AccessibleRole getAccessibleRole() {
                return AccessibleRole.PROGRESS_BAR;
              }
            };
      }
      return accessibleContext;
    }

    @Override
    public Dimension getPreferredSize() {
      int line = getFontMetrics(UIManager.getFont("Label.font")).getHeight();
      return new Dimension(14 * line, line);
    }

    @Override
    protected void paintComponent(Graphics graphics) {
      if (limit == null || Double.isNaN(limit.share())) {
        return;
      }
      Graphics2D g = (Graphics2D) graphics.create();
      g.setRenderingHint(RenderingHints.KEY_ANTIALIASING, RenderingHints.VALUE_ANTIALIAS_ON);
      double w = getWidth() - 1.0;
      double h = getHeight() - 1.0;
      Color text = UIManager.getColor("Label.foreground");
      Color ground = UIManager.getColor("Component.borderColor");
      double mark = AT * w;
      double end = Math.min(w, limit.share() * mark);
      g.setColor(ground);
      g.draw(new Rectangle2D.Double(0, 0.15 * h, w, 0.7 * h));
      g.setColor(limit.sign().color());
      g.fill(new Rectangle2D.Double(0, 0.15 * h, Math.min(end, mark), 0.7 * h));
      if (end > mark) {
        hatch(g, new Rectangle2D.Double(mark, 0.15 * h, end - mark, 0.7 * h));
      }
      g.setColor(text);
      g.setStroke(new BasicStroke(2));
      g.draw(new Line2D.Double(mark, 0, mark, h));
      g.dispose();
    }

    private static void hatch(Graphics2D on, Rectangle2D area) {
      Graphics2D g = (Graphics2D) on.create();
      g.setColor(Theme.bad());
      g.draw(area);
      g.clip(area);
      g.setStroke(new BasicStroke(2));
      double step = area.getHeight() / 2;
      for (double x = area.getX() - area.getHeight(); x < area.getMaxX(); x += step) {
        g.draw(new Line2D.Double(x, area.getMaxY(), x + area.getHeight(), area.getY()));
      }
      g.dispose();
    }
  }
}

package ringtrue.ui.lobes;

import java.awt.Dimension;
import java.awt.Graphics;
import java.awt.Graphics2D;
import java.awt.RenderingHints;
import java.awt.geom.Line2D;
import java.awt.geom.Rectangle2D;
import java.util.ArrayList;
import java.util.List;
import javax.swing.JComponent;
import javax.swing.JLabel;
import javax.swing.JPanel;
import javax.swing.UIManager;
import ringtrue.planning.CutPlan;
import ringtrue.report.LengthUnit;
import ringtrue.report.PlanWords;
import ringtrue.ui.kit.MigLayout;
import ringtrue.ui.kit.Sign;
import ringtrue.ui.kit.Theme;

/**
 * Limits as short bars: how much of each is used up, the limit itself as an upright line. What is
 * over it is said by a sign as well as by the bar.
 */
final class LimitBars extends JPanel {
  private static final double FULL = 1.25;
  private final List<Row> rows = new ArrayList<>();

  LimitBars() {
    super(new MigLayout("ins 0, wrap 4, fillx, gapy 3", "[]6[]8[grow,fill]8[right]"));
    setName("lobes-limits");
    setOpaque(false);
  }

  /**
   * Shows limits.
   *
   * @param length what is held against the chatter limit, as "depth"
   * @param known whether all that gives is known: chatter is not free of doubt otherwise
   */
  void show(List<CutPlan.Limit> limits, LengthUnit unit, String length, boolean known) {
    boolean same = rows.size() == limits.size();
    for (int i = 0; same && i < rows.size(); i++) {
      same = rows.get(i).name.getText().equals(limits.get(i).name());
    }
    if (!same) {
      removeAll();
      rows.clear();
      for (CutPlan.Limit limit : limits) {
        Row row = new Row(limit.name());
        rows.add(row);
        add(row.sign);
        add(row.name);
        add(row.bar);
        add(row.number);
      }
      revalidate();
      repaint();
    }
    for (int i = 0; i < rows.size(); i++) {
      boolean chatter = limits.get(i).name().equals(Here.CHATTER);
      rows.get(i).show(limits.get(i), unit, chatter ? " " + length : "", known || !chatter);
    }
  }

  private static final class Row {
    final JLabel sign = new JLabel();
    final JLabel name = new JLabel();
    final Bar bar = new Bar();
    final JLabel number = new JLabel();

    Row(String of) {
      name.setText(of);
      number.setName("lobes-limit-" + of.replace(' ', '-'));
      number.putClientProperty("FlatLaf.styleClass", "small");
    }

    void show(CutPlan.Limit limit, LengthUnit unit, String length, boolean sure) {
      double share = Double.isNaN(limit.share()) ? limit.value() / limit.limit() : limit.share();
      boolean known = Double.isFinite(share) && limit.limit() > 0;
      boolean caution = limit.ok() ? !sure : limit.advice();
      Sign kind = caution ? Sign.CAUTION : limit.ok() ? Sign.DONE : Sign.BAD;
      sign.setIcon(limit.advice() && limit.ok() ? Sign.NOTE : kind);
      bar.share = known ? share : Double.NaN;
      bar.ok = limit.ok() && sure;
      bar.advice = caution;
      String allowed = PlanWords.allowed(limit, unit);
      String value = PlanWords.number(limit.value(), limit.unit(), unit);
      number.setText(
          known
              ? Readable.percent(share) + " of " + few(limit, unit) + length
              : unlimited(limit, value));
      String words =
          limit.name()
              + ": "
              + value
              + (allowed.isEmpty()
                  ? ""
                  : ", " + Readable.percent(share) + " of " + allowed + length)
              + ". "
              + limit.because();
      String tip = "<html><div style='width:300px'>" + escaped(words) + "</div></html>";
      for (JComponent c : new JComponent[] {sign, name, bar, number}) {
        c.setToolTipText(tip);
      }
      number.getAccessibleContext().setAccessibleName(words);
      bar.repaint();
    }

    private static String unlimited(CutPlan.Limit limit, String value) {
      if (limit.name().equals(Here.CHATTER)) {
        return "no limit found";
      }
      return limit.unit().equals("teeth") && limit.value() == 0 ? "at times none" : value;
    }

    /** What is allowed, in no more digits than a glance takes in. */
    private static String few(CutPlan.Limit limit, LengthUnit unit) {
      boolean chatter = limit.name().equals(Here.CHATTER);
      if (limit.unit().equals("m") && (chatter || Math.abs(limit.limit()) >= 2e-4)) {
        boolean fine = Math.abs(limit.limit()) < 1e-3;
        double step = unit == LengthUnit.INCH ? fine ? 1e-4 : 0.001 : fine ? 0.001 : 0.01;
        return Readable.number(unit.of(limit.limit()), step) + " " + unit.symbol();
      }
      return PlanWords.allowed(limit, unit);
    }

    private static String escaped(String text) {
      return text.replace("&", "&amp;").replace("<", "&lt;");
    }
  }

  /** One bar. */
  private static final class Bar extends JComponent {
    double share = Double.NaN;
    boolean ok = true;
    boolean advice;

    @Override
    public Dimension getPreferredSize() {
      int size = UIManager.getFont("Label.font").getSize();
      return new Dimension(6 * size, (int) (0.8 * size));
    }

    @Override
    public Dimension getMinimumSize() {
      return new Dimension(20, getPreferredSize().height);
    }

    @Override
    protected void paintComponent(Graphics graphics) {
      Graphics2D g = (Graphics2D) graphics.create();
      g.setRenderingHint(RenderingHints.KEY_ANTIALIASING, RenderingHints.VALUE_ANTIALIAS_ON);
      double w = getWidth();
      double h = getHeight();
      g.setColor(UIManager.getColor("ProgressBar.background"));
      g.fill(new Rectangle2D.Double(0, 0, w, h));
      if (!Double.isNaN(share)) {
        g.setColor(ok ? Theme.good() : advice ? Theme.caution() : Theme.bad());
        g.fill(new Rectangle2D.Double(0, 0, w * Math.min(FULL, share) / FULL, h));
      }
      g.setColor(UIManager.getColor("Label.foreground"));
      double limit = w / FULL;
      g.draw(new Line2D.Double(limit, 0, limit, h));
      g.dispose();
    }
  }
}

package ringtrue.ui.cut;

import java.awt.Dimension;
import java.awt.event.ActionEvent;
import java.awt.event.KeyEvent;
import java.awt.event.MouseAdapter;
import java.awt.event.MouseEvent;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.function.DoubleFunction;
import javax.swing.AbstractAction;
import javax.swing.JButton;
import javax.swing.JComponent;
import javax.swing.JPanel;
import javax.swing.JScrollPane;
import javax.swing.JTable;
import javax.swing.KeyStroke;
import javax.swing.ListSelectionModel;
import javax.swing.table.AbstractTableModel;
import javax.swing.table.DefaultTableCellRenderer;
import ringtrue.library.Cut;
import ringtrue.planning.CutPlan;
import ringtrue.report.LengthUnit;
import ringtrue.stability.CuttingProcess;
import ringtrue.ui.desk.Desk;
import ringtrue.ui.job.CutDraft;
import ringtrue.ui.kit.MigLayout;
import ringtrue.ui.kit.Notice;
import ringtrue.ui.kit.Sign;
import ringtrue.ui.kit.Wrapped;

/** Better cuts and gentle changes as a list; one of them can be taken. */
final class OffersView {
  private static final int COLUMNS = 9;

  private final Desk desk;
  private final JPanel view =
      new JPanel(
          new MigLayout("ins 8 12 8 12, fill, hidemode 3", "[grow,fill]", "[][grow,fill][]"));
  private LengthUnit unit = LengthUnit.MILLIMETRE;
  private final Model model = new Model();
  private final JTable table =
      new JTable(model) {
        @Override
        public String getToolTipText(MouseEvent e) {
          int row = rowAtPoint(e.getPoint());
          return row < 0 ? null : model.offers.get(row).because();
        }
      };
  private final Notice nothing = new Notice("cut-offers-none");
  private final Wrapped why = new Wrapped("");
  private final Wrapped changes = new Wrapped("");
  private final JButton take = new JButton("Take this cut (Enter)");

  OffersView(Desk desk) {
    this.desk = desk;
    table.setName("cut-offers");
    table.getAccessibleContext().setAccessibleName("better cuts and gentle changes");
    table.setSelectionMode(ListSelectionModel.SINGLE_SELECTION);
    table.setFillsViewportHeight(true);
    table.setRowHeight(table.getFontMetrics(table.getFont()).getHeight() * 3 / 2);
    table.getSelectionModel().addListSelectionListener(e -> selected());
    table
        .getInputMap(JComponent.WHEN_ANCESTOR_OF_FOCUSED_COMPONENT)
        .put(KeyStroke.getKeyStroke(KeyEvent.VK_ENTER, 0), "take");
    table
        .getActionMap()
        .put(
            "take",
            new AbstractAction() {
              @Override
              public void actionPerformed(ActionEvent e) {
                takeSelected();
              }
            });
    table.addMouseListener(
        new MouseAdapter() {
          @Override
          public void mouseClicked(MouseEvent e) {
            if (e.getClickCount() == 2) {
              takeSelected();
            }
          }
        });
    DefaultTableCellRenderer signs =
        new DefaultTableCellRenderer() {
          @Override
          public void setValue(Object value) {
            setIcon((Sign) value);
            getAccessibleContext()
                .setAccessibleName(value == Sign.DONE ? "helps" : "does not help");
          }
        };
    table.getColumnModel().getColumn(0).setCellRenderer(signs);
    int[] shares = {3, 13, 8, 8, 8, 11, 8, 9, 25};
    for (int i = 0; i < shares.length; i++) {
      table.getColumnModel().getColumn(i).setPreferredWidth(8 * shares[i]);
    }
    JScrollPane pane = new JScrollPane(table);
    take.setName("cut-take");
    take.addActionListener(e -> takeSelected());
    why.setName("cut-offer-why");
    changes.setName("cut-offer-changes");
    view.add(nothing, "growx, wmin 0, wrap");
    view.add(pane, "grow, wmin 0, hmin 80, wrap");
    JPanel below = new JPanel(new MigLayout("ins 6 0 0 0, fillx", "[grow,fill]12[]", "[top]"));
    JPanel words = new JPanel(new MigLayout("ins 0, fillx, gapy 4", "[grow,fill]"));
    words.add(changes, "growx, wmin 0, wrap");
    words.add(why, "growx, wmin 0");
    below.add(words, "growx, wmin 0");
    below.add(take);
    view.add(below, "growx");
    selected();
  }

  JComponent view() {
    return view;
  }

  /** Shows what a plan offers. */
  void show(CutPlan plan, Cut cut, LengthUnit lengths) {
    Offer before = chosen();
    unit = lengths;
    model.offers = Offer.of(plan, cut.process());
    model.own = cut.process();
    for (int i = 0; i < COLUMNS; i++) {
      table.getColumnModel().getColumn(i).setHeaderValue(model.getColumnName(i));
    }
    int line = table.getFontMetrics(table.getTableHeader().getFont()).getHeight();
    table.getTableHeader().setPreferredSize(new Dimension(1, 5 * line / 2));
    table.getTableHeader().revalidate();
    table.getTableHeader().repaint();
    model.fireTableDataChanged();
    if (model.offers.isEmpty()) {
      nothing.say(
          Sign.NOTE,
          "No better cut and no gentle change was found. Try a shorter stick-out, a stiffer tool or"
              + " another clamping: each needs new taps.");
    } else {
      nothing.clear();
      int again = before == null ? 0 : Math.max(0, model.offers.indexOf(before));
      table.setRowSelectionInterval(again, again);
    }
    selected();
  }

  /** Brings the cursor into the list. */
  void focus() {
    table.requestFocusInWindow();
  }

  private Offer chosen() {
    int row = table.getSelectedRow();
    return row < 0 || row >= model.offers.size() ? null : model.offers.get(row);
  }

  private void selected() {
    Offer offer = chosen();
    take.setEnabled(offer != null);
    if (offer == null) {
      why.setText("");
      changes.setText("");
      return;
    }
    CutDraft now = desk.job().cut();
    List<String> all = CutEdits.differences(now, offer.in(now, unit), unit);
    changes.setText(all.isEmpty() ? "It is the cut as it is." : String.join("; ", all));
    why.setText((offer.helps() ? "" : "Does not help: ") + offer.because());
    take.setEnabled(!all.isEmpty());
  }

  private void takeSelected() {
    Offer offer = chosen();
    if (offer != null) {
      take(offer);
    }
  }

  private void take(Offer offer) {
    LengthUnit lengths = desk.unit();
    desk.change(
        "take " + (offer.best() ? "a better cut" : offer.what(lengths)),
        job -> job.with(offer.in(job.cut(), lengths)));
    selected();
  }

  /** Takes the first of the better cuts, or else the first change that helps. */
  boolean takeBest(CutPlan plan, Cut cut) {
    List<Offer> all = new ArrayList<>(Offer.of(plan, cut.process()));
    all.removeIf(o -> !o.helps());
    if (all.isEmpty()) {
      return false;
    }
    take(all.get(0));
    return true;
  }

  /** Without the unit, which the heading says. */
  private static String bare(double si, DoubleFunction<String> words) {
    return Double.isNaN(si) ? "" : words.apply(si).replaceFirst(" .*", "");
  }

  private String length(double metres) {
    return Double.isNaN(metres) ? "" : CutValues.near(unit.of(metres));
  }

  private final class Model extends AbstractTableModel {
    private List<Offer> offers = List.of();
    private CuttingProcess own;

    @Override
    public int getRowCount() {
      return offers.size();
    }

    @Override
    public int getColumnCount() {
      return COLUMNS;
    }

    @Override
    public String getColumnName(int column) {
      return switch (column) {
        case 0 -> "";
        case 1 -> "what";
        case 2 -> two("speed", "rpm");
        case 3 -> two("depth", unit.symbol());
        case 4 -> two("width", unit.symbol());
        case 5 -> two("per&nbsp;tooth", unit.symbol());
        case 6 -> two("feed", unit == LengthUnit.INCH ? "in/min" : "mm/min");
        case 7 -> two("removal", unit == LengthUnit.INCH ? "in3/min" : "cm3/min");
        default -> "what is gained";
      };
    }

    @Override
    public Class<?> getColumnClass(int column) {
      return column == 0 ? Sign.class : String.class;
    }

    @Override
    public Object getValueAt(int row, int column) {
      Offer o = offers.get(row);
      return switch (column) {
        case 0 -> o.helps() ? Sign.DONE : Sign.BAD;
        case 1 -> o.what(unit);
        case 2 -> String.format(Locale.ROOT, "%.0f", or(o.speedRpm(), own.speedRpm()));
        case 3 -> length(or(o.axialM(), own.engagement().axialM()));
        case 4 -> length(or(o.radialM(), own.engagement().radialM()));
        case 5 -> length(or(o.feedPerToothM(), own.feedPerToothM()));
        case 6 -> bare(feed(o), unit::feed);
        case 7 -> bare(removal(o), unit::removal);
        default -> gained(o);
      };
    }

    private double feed(Offer o) {
      return Double.isNaN(o.feedMPerS())
          ? own.feedPerToothM() * o.teeth() * or(o.speedRpm(), own.speedRpm()) / 60
          : o.feedMPerS();
    }

    private double removal(Offer o) {
      return Double.isNaN(o.removalM3PerS())
          ? or(o.axialM(), own.engagement().axialM())
              * or(o.radialM(), own.engagement().radialM())
              * feed(o)
          : o.removalM3PerS();
    }

    /** What taking it changes for the better, in words. */
    private String gained(Offer o) {
      double times =
          o.removalM3PerS()
              / (own.engagement().axialM()
                  * own.engagement().radialM()
                  * own.feedPerToothM()
                  * o.teeth()
                  * own.speedRpm()
                  / 60);
      if (o.best()) {
        return Double.isNaN(times)
            ? "inside all limits"
            : CutValues.number(times, 2) + " × the removal";
      }
      if (Double.isNaN(o.limitM())) {
        return o.closest().isEmpty() ? o.because() : o.closest() + " of its limit";
      }
      return (o.helps() ? "quiet up to " : "no gain: up to ")
          + CutValues.number(unit.of(o.limitM()), 3)
          + " "
          + unit.symbol();
    }
  }

  /** A heading over its unit. */
  private static String two(String words, String unit) {
    return "<html><center>" + words + "<br>" + unit + "</center></html>";
  }

  private static double or(double value, double own) {
    return Double.isNaN(value) ? own : value;
  }
}

package ringtrue.ui.cut;

import java.awt.event.ActionEvent;
import java.awt.event.KeyEvent;
import java.awt.event.MouseAdapter;
import java.awt.event.MouseEvent;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
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
import net.miginfocom.swing.MigLayout;
import ringtrue.library.Cut;
import ringtrue.planning.CutPlan;
import ringtrue.report.LengthUnit;
import ringtrue.ui.desk.Desk;
import ringtrue.ui.job.CutDraft;
import ringtrue.ui.kit.Notice;
import ringtrue.ui.kit.Sign;
import ringtrue.ui.kit.Wrapped;
import ringtrue.units.Dimension;

/** Better cuts and gentle changes as a list; one of them can be taken. */
final class OffersView {
  private static final String[] COLUMNS = {
    "", "what", "speed", "depth", "width", "per tooth", "feed rate", "removal", "closest limit"
  };

  private final Desk desk;
  private final JPanel view =
      new JPanel(
          new MigLayout("ins 8 12 8 12, fill, hidemode 3", "[grow,fill]", "[][grow,fill][]"));
  private final Model model = new Model();
  private final JTable table = new JTable(model);
  private final Notice nothing = new Notice("cut-offers-none");
  private final Wrapped why = new Wrapped("");
  private final Wrapped changes = new Wrapped("");
  private final JButton take = new JButton("Take this cut (Enter)");
  private LengthUnit unit = LengthUnit.MILLIMETRE;

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
    int[] shares = {4, 14, 11, 10, 10, 10, 13, 12, 16};
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
    List<String> all = CutEdits.differences(now, offer.in(now, unit));
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
        "take " + (offer.best() ? "a better cut" : "a change of " + offer.kind()),
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

  private final class Model extends AbstractTableModel {
    private List<Offer> offers = List.of();

    @Override
    public int getRowCount() {
      return offers.size();
    }

    @Override
    public int getColumnCount() {
      return COLUMNS.length;
    }

    @Override
    public String getColumnName(int column) {
      return COLUMNS[column];
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
        case 1 -> o.kind();
        case 2 ->
            Double.isNaN(o.speedRpm()) ? "" : String.format(Locale.ROOT, "%.0f rpm", o.speedRpm());
        case 3 -> Offer.cell(Dimension.LENGTH, o.axialM(), unit);
        case 4 -> Offer.cell(Dimension.LENGTH, o.radialM(), unit);
        case 5 -> Offer.cell(Dimension.LENGTH, o.feedPerToothM(), unit);
        case 6 -> Double.isNaN(o.feedMPerS()) ? "" : unit.feed(o.feedMPerS());
        case 7 -> Double.isNaN(o.removalM3PerS()) ? "" : unit.removal(o.removalM3PerS());
        default -> o.closest();
      };
    }
  }
}

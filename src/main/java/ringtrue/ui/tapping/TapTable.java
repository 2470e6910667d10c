package ringtrue.ui.tapping;

import java.awt.Component;
import java.awt.Font;
import java.util.List;
import java.util.Locale;
import java.util.function.IntConsumer;
import javax.swing.JTable;
import javax.swing.ListSelectionModel;
import javax.swing.SwingConstants;
import javax.swing.UIManager;
import javax.swing.table.AbstractTableModel;
import javax.swing.table.DefaultTableCellRenderer;
import ringtrue.ui.kit.Sign;

/** The taps of a direction: verdict with its sign, reason, numbers, and a switch for each. */
final class TapTable extends JTable {
  private static final String[] COLUMNS = {
    "Use", "Tap", "Verdict", "Peak N", "ms", "to Hz", "Reason"
  };

  /** Told when the switch of a tap is thrown. */
  interface Switched {
    void tap(int number, boolean on);
  }

  private static final class Model extends AbstractTableModel {
    private List<TapRow> rows = List.of();
    private Switched switched = (n, on) -> {};

    @Override
    public int getRowCount() {
      return rows.size();
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
      return column == 0 ? Boolean.class : String.class;
    }

    @Override
    public boolean isCellEditable(int row, int column) {
      return column == 0;
    }

    @Override
    public Object getValueAt(int row, int column) {
      TapRow tap = rows.get(row);
      return switch (column) {
        case 0 -> tap.kept();
        case 1 -> String.valueOf(tap.number());
        case 2 -> tap.verdict();
        case 3 -> number("%.3g", tap.peakN());
        case 4 -> number("%.2g", 1e3 * tap.contactS());
        case 5 -> number("%.0f", tap.usableHz());
        default -> Announcer.capital(tap.reason());
      };
    }

    private static String number(String format, double value) {
      return Double.isFinite(value) ? String.format(Locale.ROOT, format, value) : "-";
    }

    @Override
    public void setValueAt(Object value, int row, int column) {
      switched.tap(rows.get(row).number(), Boolean.TRUE.equals(value));
    }
  }

  private final Model model;
  private IntConsumer chosen = n -> {};
  private boolean filling;

  TapTable() {
    super(new Model());
    model = (Model) getModel();
    setName("taps-table");
    getAccessibleContext().setAccessibleName("Taps");
    setSelectionMode(ListSelectionModel.SINGLE_SELECTION);
    setFillsViewportHeight(true);
    setAutoResizeMode(JTable.AUTO_RESIZE_LAST_COLUMN);
    getTableHeader().setReorderingAllowed(false);
    putClientProperty("JTable.autoStartsEdit", false);
    getColumnModel().getColumn(2).setCellRenderer(new VerdictCell());
    for (int c : new int[] {1, 3, 4, 5}) {
      DefaultTableCellRenderer right = new DefaultTableCellRenderer();
      right.setHorizontalAlignment(SwingConstants.TRAILING);
      getColumnModel().getColumn(c).setCellRenderer(right);
    }
    getColumnModel().getColumn(6).setCellRenderer(new ReasonCell());
    getSelectionModel()
        .addListSelectionListener(
            e -> {
              int row = getSelectedRow();
              if (!e.getValueIsAdjusting() && !filling && row >= 0 && row < model.rows.size()) {
                chosen.accept(model.rows.get(row).number());
              }
            });
    getTableHeader()
        .setToolTipText(
            "Peak N: largest force; ms: contact time; to Hz: how far the force reaches");
    widths();
  }

  void onSwitch(Switched listener) {
    model.switched = listener;
  }

  /** Told which tap was chosen to be looked at. */
  void onChoose(IntConsumer listener) {
    chosen = listener;
  }

  void show(List<TapRow> rows) {
    if (rows.equals(model.rows)) {
      return;
    }
    int row = getSelectedRow();
    boolean grown = rows.size() > model.rows.size();
    filling = true;
    model.rows = List.copyOf(rows);
    model.fireTableDataChanged();
    if (row >= 0 && row < rows.size()) {
      setRowSelectionInterval(row, row);
    }
    filling = false;
    if (grown && !rows.isEmpty()) {
      scrollRectToVisible(getCellRect(rows.size() - 1, 0, true));
    }
  }

  List<TapRow> rows() {
    return model.rows;
  }

  /** The tap that is chosen; 0 if none is. */
  int chosenTap() {
    int row = getSelectedRow();
    return row >= 0 && row < model.rows.size() ? model.rows.get(row).number() : 0;
  }

  private void widths() {
    Font font = UIManager.getFont("Table.font");
    if (font == null || getColumnModel().getColumnCount() < COLUMNS.length) {
      return;
    }
    float em = font.getSize2D();
    float[] wide = {3f, 2.6f, 8.2f, 4.2f, 3.4f, 4.4f, 20f};
    for (int c = 0; c < wide.length; c++) {
      getColumnModel().getColumn(c).setPreferredWidth(Math.round(wide[c] * em));
      if (c < 6) {
        getColumnModel().getColumn(c).setMinWidth(Math.round(0.9f * wide[c] * em));
      }
    }
    setRowHeight(Math.round(1.75f * em));
  }

  @Override
  public void updateUI() {
    super.updateUI();
    widths();
  }

  private final class VerdictCell extends DefaultTableCellRenderer {
    @Override
    public Component getTableCellRendererComponent(
        JTable table, Object value, boolean selected, boolean focused, int row, int column) {
      super.getTableCellRendererComponent(table, value, selected, focused, row, column);
      setIcon(model.rows.get(row).kept() ? Sign.DONE : Sign.BAD);
      return this;
    }
  }

  private static final class ReasonCell extends DefaultTableCellRenderer {
    @Override
    public Component getTableCellRendererComponent(
        JTable table, Object value, boolean selected, boolean focused, int row, int column) {
      super.getTableCellRendererComponent(table, value, selected, focused, row, column);
      setToolTipText(String.valueOf(value));
      return this;
    }
  }
}

package ringtrue.ui.tapping;

import com.formdev.flatlaf.util.UIScale;
import java.awt.Component;
import java.awt.Dimension;
import java.awt.Font;
import java.awt.FontMetrics;
import java.awt.event.MouseEvent;
import java.util.List;
import java.util.Locale;
import java.util.function.IntConsumer;
import java.util.regex.Pattern;
import javax.swing.BorderFactory;
import javax.swing.JTable;
import javax.swing.JTextArea;
import javax.swing.KeyStroke;
import javax.swing.ListSelectionModel;
import javax.swing.SwingConstants;
import javax.swing.UIManager;
import javax.swing.table.AbstractTableModel;
import javax.swing.table.DefaultTableCellRenderer;
import javax.swing.table.JTableHeader;
import javax.swing.table.TableCellRenderer;
import ringtrue.ui.kit.Sign;

/** The taps of a direction: verdict with its sign, reason, numbers, and a switch for each. */
final class TapTable extends JTable {
  private static final String[] COLUMNS = {
    "Use",
    "Tap",
    "Verdict",
    two("Peak", "N"),
    two("Contact", "ms"),
    two("Usable", "to Hz"),
    "Reason"
  };
  private static final String[] TOLD = {
    "Whether it is averaged; the space bar or a click switches it",
    "Number of the tap",
    "What was made of it",
    "Largest force, N",
    "How long hammer and tool touched, ms",
    "How far the force of this tap reaches, Hz",
    "Why it was kept or set aside"
  };
  private static final int REASON = 6;
  private static final int MOST_LINES = 4;
  private static final Pattern KEPT = Pattern.compile("^one blow of \\S+ N, contact \\S+ ms$");

  private static String two(String above, String below) {
    return "<html><center>" + above + "<br>" + below + "</center></html>";
  }

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
        default -> Announcer.capital(tap.kept() ? brief(tap.reason()) : tap.reason());
      };
    }

    /** Without the numbers that stand in the columns beside it. */
    private static String brief(String reason) {
      return KEPT.matcher(reason).replaceFirst("one blow");
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
    getColumnModel().getColumn(REASON).setCellRenderer(new ReasonCell());
    for (String each : new String[] {"F6", "F8"}) { // the table's own use of them is not needed
      getInputMap(WHEN_ANCESTOR_OF_FOCUSED_COMPONENT).put(KeyStroke.getKeyStroke(each), "none");
    }
    getSelectionModel()
        .addListSelectionListener(
            e -> {
              int row = getSelectedRow();
              if (!e.getValueIsAdjusting() && !filling && row >= 0 && row < model.rows.size()) {
                chosen.accept(model.rows.get(row).number());
              }
            });
    widths();
  }

  @Override
  protected JTableHeader createDefaultTableHeader() {
    return new JTableHeader(columnModel) {
      @Override
      public String getToolTipText(MouseEvent event) {
        int at = columnAtPoint(event.getPoint());
        return at < 0 ? null : TOLD[at];
      }

      @Override
      public Dimension getPreferredSize() {
        Dimension size = super.getPreferredSize();
        int two = 2 * getFontMetrics(getFont()).getHeight() + UIScale.scale(6);
        return new Dimension(size.width, Math.max(size.height, two));
      }
    };
  }

  /** The lower edge of the last row's text may need a second line once the column is narrower. */
  @Override
  public void doLayout() {
    super.doLayout();
    heights();
  }

  /** A row is as high as its reason asks, some lines at most. */
  private void heights() {
    if (getColumnModel().getColumnCount() < COLUMNS.length) {
      return;
    }
    FontMetrics metrics = getFontMetrics(getFont());
    int room = getColumnModel().getColumn(REASON).getWidth() - UIScale.scale(8);
    for (int row = 0; row < getRowCount(); row++) {
      int lines = lines(String.valueOf(getValueAt(row, REASON)), metrics, room);
      int wanted = getRowHeight() + (Math.min(lines, MOST_LINES) - 1) * metrics.getHeight();
      if (getRowHeight(row) != wanted) {
        setRowHeight(row, wanted);
      }
    }
  }

  private static int lines(String text, FontMetrics metrics, int room) {
    int lines = 1;
    int at = 0;
    for (String word : text.split(" ")) {
      int width = metrics.stringWidth(word);
      if (at > 0 && at + width > room) {
        lines++;
        at = 0;
      }
      at += width + metrics.charWidth(' ');
    }
    return lines;
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
    heights();
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
    float[] wide = {2.6f, 2.6f, 7.2f, 3.6f, 4.8f, 4.2f, 20f};
    for (int c = 0; c < wide.length; c++) {
      int width = Math.round(wide[c] * em);
      getColumnModel().getColumn(c).setPreferredWidth(width);
      if (c < REASON) {
        getColumnModel().getColumn(c).setMinWidth(Math.round(0.85f * width));
        getColumnModel().getColumn(c).setMaxWidth(Math.round(1.15f * width));
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

  /** As many lines as the row has room for; all of it in the tool tip. */
  private static final class ReasonCell extends JTextArea implements TableCellRenderer {
    ReasonCell() {
      setLineWrap(true);
      setWrapStyleWord(true);
      setOpaque(true);
    }

    @Override
    public Component getTableCellRendererComponent(
        JTable table, Object value, boolean selected, boolean focused, int row, int column) {
      String words = String.valueOf(value);
      setFont(table.getFont());
      setForeground(selected ? table.getSelectionForeground() : table.getForeground());
      setBackground(selected ? table.getSelectionBackground() : table.getBackground());
      int spare = table.getRowHeight() - table.getFontMetrics(table.getFont()).getHeight();
      int above = Math.max(0, spare / 2);
      setBorder(BorderFactory.createEmptyBorder(above, 3, 0, 3));
      setText(words);
      setToolTipText(words);
      getAccessibleContext().setAccessibleName(words);
      return this;
    }
  }
}

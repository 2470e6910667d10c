package ringtrue.ui.setups;

import java.util.ArrayList;
import java.util.List;
import java.util.function.Function;
import javax.swing.table.AbstractTableModel;

/** The rows that are shown. */
final class SavedModel extends AbstractTableModel {
  private record Column(String name, int width, Function<SavedRow, String> text) {}

  private static final List<Column> PLAIN =
      List.of(
          new Column("Set-up", 210, SavedRow::title),
          new Column("Machine", 110, SavedRow::machine),
          new Column("Tool", 190, SavedRow::tool),
          new Column("Workpiece", 120, SavedRow::workpiece),
          new Column("Directions", 80, SavedRow::directions),
          new Column("Last", 125, SavedRow::date),
          new Column("Cuts", 110, SavedRow::outcomes));

  private final List<Column> columns = new ArrayList<>(PLAIN);
  private List<SavedRow> rows = List.of();

  /**
   * @param nearest whether what differs is shown as well
   * @return whether the columns are others than before
   */
  boolean show(List<SavedRow> other, boolean nearest) {
    rows = List.copyOf(other);
    boolean was = columns.size() > PLAIN.size();
    if (was == nearest) {
      fireTableDataChanged();
      return false;
    }
    columns.clear();
    columns.addAll(PLAIN);
    if (nearest) {
      columns.add(1, new Column("What differs", 320, SavedRow::differs));
    }
    fireTableStructureChanged();
    return true;
  }

  SavedRow row(int i) {
    return rows.get(i);
  }

  int indexOf(String id) {
    for (int i = 0; i < rows.size(); i++) {
      if (rows.get(i).id().equals(id)) {
        return i;
      }
    }
    return -1;
  }

  int width(int column) {
    return columns.get(column).width;
  }

  @Override
  public int getRowCount() {
    return rows.size();
  }

  @Override
  public int getColumnCount() {
    return columns.size();
  }

  @Override
  public String getColumnName(int column) {
    return columns.get(column).name;
  }

  @Override
  public Object getValueAt(int row, int column) {
    return columns.get(column).text.apply(rows.get(row));
  }
}

package ringtrue.fitting;

import java.util.Arrays;

/** The cheapest way to give each row a column of its own. */
final class Assignment {
  private Assignment() {}

  /**
   * Shortest augmenting paths with potentials (Kuhn 1955, Nav. Res. Logist. Q. 2, 83-97, in the
   * form of Jonker and Volgenant 1987).
   *
   * @param cost square, finite
   * @return column of each row
   */
  static int[] cheapest(double[][] cost) {
    int n = cost.length;
    double[] rowPrice = new double[n + 1];
    double[] columnPrice = new double[n + 1];
    int[] rowOf = new int[n + 1]; // counted from 1, 0 for none
    for (int row = 1; row <= n; row++) {
      rowOf[0] = row;
      int column = 0;
      double[] shortest = new double[n + 1];
      Arrays.fill(shortest, Double.POSITIVE_INFINITY);
      int[] before = new int[n + 1];
      boolean[] done = new boolean[n + 1];
      do {
        done[column] = true;
        int from = rowOf[column];
        int next = 0;
        double step = Double.POSITIVE_INFINITY;
        for (int c = 1; c <= n; c++) {
          if (done[c]) {
            continue;
          }
          double reduced = cost[from - 1][c - 1] - rowPrice[from] - columnPrice[c];
          if (reduced < shortest[c]) {
            shortest[c] = reduced;
            before[c] = column;
          }
          if (shortest[c] < step) {
            step = shortest[c];
            next = c;
          }
        }
        for (int c = 0; c <= n; c++) {
          if (done[c]) {
            rowPrice[rowOf[c]] += step;
            columnPrice[c] -= step;
          } else {
            shortest[c] -= step;
          }
        }
        column = next;
      } while (rowOf[column] != 0);
      while (column != 0) {
        rowOf[column] = rowOf[before[column]];
        column = before[column];
      }
    }
    int[] columnOf = new int[n];
    for (int c = 1; c <= n; c++) {
      columnOf[rowOf[c] - 1] = c - 1;
    }
    return columnOf;
  }
}

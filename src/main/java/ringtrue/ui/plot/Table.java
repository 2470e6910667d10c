package ringtrue.ui.plot;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Set;
import org.apache.commons.csv.CSVFormat;

/**
 * The numbers behind a plot as delimited text: x, then all that is shown over it. Layers that have
 * an x of their own come beside with their own column of x. A raster is written only where nothing
 * else is. Not a number is left empty.
 */
record Table(Scene scene, Set<String> hidden) {

  /** Columns over the same x. */
  private record Group(double[] x, List<String> names, List<double[]> columns) {}

  String csv() {
    List<Group> groups = groups();
    List<String> header = new ArrayList<>();
    int rows = 0;
    for (Group group : groups) {
      header.add(scene.content.x().label());
      header.addAll(group.names);
      rows = Math.max(rows, group.x.length);
    }
    StringBuilder text = new StringBuilder();
    try {
      CSVFormat.DEFAULT.printRecord(text, header.toArray());
      for (int i = 0; i < rows; i++) {
        List<String> row = new ArrayList<>();
        for (Group group : groups) {
          row.add(cell(group.x, i));
          for (double[] column : group.columns) {
            row.add(cell(column, i));
          }
        }
        CSVFormat.DEFAULT.printRecord(text, row.toArray());
      }
    } catch (IOException e) {
      throw new UncheckedIOException("text in memory cannot fail", e);
    }
    return text.toString();
  }

  private List<Group> groups() {
    List<Group> groups = new ArrayList<>();
    String unit = scene.content.y().label();
    for (Layer layer : scene.content.layers()) {
      if (hidden.contains(layer.name())) {
        continue;
      }
      String name = layer.name().isBlank() ? "" : layer.name() + ": ";
      if (layer instanceof Layer.Curve curve) {
        add(groups, curve.x, name + unit, curve.y);
      } else if (layer instanceof Layer.Band band) {
        add(groups, band.x, name + "low, " + unit, band.low);
        add(groups, band.x, name + "high, " + unit, band.high);
      } else if (layer instanceof Layer.Marks marks) {
        add(groups, marks.x, name + unit, marks.y);
      }
    }
    if (groups.isEmpty()) {
      for (Layer layer : scene.content.layers()) {
        if (layer instanceof Layer.Raster raster && !hidden.contains(layer.name())) {
          cells(groups, raster);
        }
      }
    }
    return groups;
  }

  /** A raster that stands alone: a row for each x, a column for each y. */
  private void cells(List<Group> groups, Layer.Raster raster) {
    for (int j = 0; j < raster.y.length; j++) {
      double[] column = new double[raster.x.length];
      for (int i = 0; i < column.length; i++) {
        column[i] = raster.values[i][j];
      }
      add(groups, raster.x, raster.name + " at " + scene.content.y().read(raster.y[j]), column);
    }
  }

  private static void add(List<Group> groups, double[] x, String name, double[] column) {
    for (Group group : groups) {
      if (Arrays.equals(group.x, x)) {
        group.names.add(name);
        group.columns.add(column);
        return;
      }
    }
    groups.add(new Group(x, new ArrayList<>(List.of(name)), new ArrayList<>(List.of(column))));
  }

  private static String cell(double[] column, int i) {
    return i < column.length && Double.isFinite(column[i]) ? Double.toString(column[i]) : "";
  }
}

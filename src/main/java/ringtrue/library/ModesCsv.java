package ringtrue.library;

import java.io.BufferedReader;
import java.io.IOException;
import java.nio.charset.CharacterCodingException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashSet;
import java.util.List;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Residual;
import ringtrue.units.BadInputException;
import ringtrue.units.Names;

/**
 * Modes as a table, one row each: {@code
 * frequency_hz,frequency_hz_sigma,damping_ratio,damping_ratio_sigma,stiffness_n_per_m,stiffness_n_per_m_sigma,mass_kg,phase_deg,residual_upper_m_per_n,residual_lower_per_kg}.
 * What is unknown is empty; the two residual terms belong to all rows and stand in the first.
 * Numbers are written so that reading them gives the same doubles.
 */
public final class ModesCsv {
  private static final List<String> COLUMNS =
      List.of(
          "frequency_hz",
          "frequency_hz_sigma",
          "damping_ratio",
          "damping_ratio_sigma",
          "stiffness_n_per_m",
          "stiffness_n_per_m_sigma",
          "mass_kg",
          "phase_deg",
          "residual_upper_m_per_n",
          "residual_lower_per_kg");
  private static final int MOST_MODES = 1000;

  private ModesCsv() {}

  /** The modes as the text of a file. */
  public static String toText(ModalModel model) {
    List<double[]> rows = new ArrayList<>();
    for (Mode m : model.modes()) {
      boolean first = rows.isEmpty();
      rows.add(
          new double[] {
            m.frequencyHz(),
            m.frequencyHzSigma(),
            m.dampingRatio(),
            m.dampingRatioSigma(),
            m.stiffnessNPerM(),
            m.stiffnessNPerMSigma(),
            m.massKg(),
            m.phaseDeg(),
            first ? model.residual().upperMPerN() : Double.NaN,
            first ? model.residual().lowerPerKg() : Double.NaN
          });
    }
    return toText(rows);
  }

  /**
   * Rows of which less may be known.
   *
   * @param rows values in the order of the columns, NaN where unknown; the last ones may be missing
   */
  public static String toText(List<double[]> rows) {
    StringBuilder text = new StringBuilder(String.join(",", COLUMNS)).append('\n');
    for (double[] values : rows) {
      for (int i = 0; i < COLUMNS.size(); i++) {
        boolean known = i < values.length && !Double.isNaN(values[i]);
        text.append(i == 0 ? "" : ",").append(known ? values[i] : "");
      }
      text.append('\n');
    }
    return text.toString();
  }

  /**
   * Reads a file.
   *
   * @throws BadInputException if it holds no modes with stiffness; names line and column
   */
  public static ModalModel read(Path file) {
    String name = String.valueOf(file.getFileName());
    if (Files.isDirectory(file)) {
      throw new BadInputException(name + ": is a folder, not a file");
    }
    try (BufferedReader lines = Files.newBufferedReader(file, StandardCharsets.UTF_8)) {
      return new Table(name).read(lines);
    } catch (NoSuchFileException e) {
      throw new BadInputException(name + ": there is no such file (" + file + ")", e);
    } catch (CharacterCodingException e) {
      throw new BadInputException(name + ": is not UTF-8 text", e);
    } catch (IOException e) {
      throw new BadInputException(name + ": cannot be read: " + e.getMessage(), e);
    }
  }

  /** A table while it is read. */
  private static final class Table {
    private final String name;
    private final List<Mode> modes = new ArrayList<>();
    private Residual residual = Residual.NONE;
    private List<String> columns = List.of();
    private String[] cells = {};
    private int number;

    Table(String name) {
      this.name = name;
    }

    private BadInputException bad(String what) {
      return new BadInputException(name + ": line " + number + ": " + what);
    }

    ModalModel read(BufferedReader lines) throws IOException {
      String line = next(lines);
      while (line != null && (line.isBlank() || line.startsWith("#"))) {
        line = next(lines);
      }
      if (line == null) {
        throw new BadInputException(name + ": is empty; a table of modes is needed");
      }
      header(line);
      while ((line = next(lines)) != null) {
        if (!line.isBlank() && !line.startsWith("#")) {
          row(line);
        }
      }
      return new ModalModel(modes, residual);
    }

    private String next(BufferedReader lines) throws IOException {
      String line = TextRows.next(lines, name, number + 1);
      if (line == null) {
        return null;
      }
      number++;
      return number == 1 && line.startsWith("\uFEFF") ? line.substring(1) : line;
    }

    private void header(String line) {
      columns = Arrays.stream(line.split(",", -1)).map(String::strip).toList();
      for (String column : columns) {
        if (!COLUMNS.contains(column)) {
          String shown = column.substring(0, Math.min(40, column.length()));
          throw bad(
              "column \""
                  + shown
                  + "\" is not known; "
                  + Names.closest(shown, COLUMNS)
                      .map(n -> "did you mean \"" + n + "\"?")
                      .orElse("the columns are " + String.join(",", COLUMNS)));
        }
      }
      if (new HashSet<>(columns).size() < columns.size()) {
        throw bad("a column is there twice");
      }
      for (String needed : List.of("frequency_hz", "damping_ratio", "stiffness_n_per_m")) {
        if (!columns.contains(needed)) {
          throw bad("column " + needed + " is missing");
        }
      }
    }

    private void row(String line) {
      cells = line.split(",", -1);
      if (cells.length != columns.size()) {
        throw bad("has " + cells.length + " values, the header has " + columns.size());
      }
      if (modes.size() == MOST_MODES) {
        throw new BadInputException(name + ": has more than " + MOST_MODES + " modes");
      }
      double hz = needed("frequency_hz", 0.01, 1e6);
      double damping = needed("damping_ratio", 1e-9, 0.999999);
      if (Double.isNaN(value("stiffness_n_per_m"))) {
        throw bad(
            "stiffness is unknown, as in a measurement without force; only speeds could be told");
      }
      double stiffness = needed("stiffness_n_per_m", 1, 1e15);
      Mode mode =
          new Mode(
              hz,
              damping,
              stiffness,
              sigma("frequency_hz_sigma"),
              sigma("damping_ratio_sigma"),
              sigma("stiffness_n_per_m_sigma"),
              limited("phase_deg", 1e6));
      double upper = limited("residual_upper_m_per_n", 1e3);
      double lower = limited("residual_lower_per_kg", 1e9);
      if (!Double.isNaN(upper) || !Double.isNaN(lower)) {
        if (!modes.isEmpty()) {
          throw bad("residual terms belong to all modes and stand in the first row only");
        }
        residual = new Residual(Double.isNaN(upper) ? 0 : upper, Double.isNaN(lower) ? 0 : lower);
      }
      limited("mass_kg", 1e15);
      modes.add(mode);
    }

    private double needed(String column, double least, double most) {
      double value = value(column);
      if (Double.isNaN(value)) {
        throw bad(column + " is empty; a number is needed");
      }
      if (!(value >= least && value <= most)) {
        throw bad(
            column + ": " + value + " makes no sense here (from " + least + " to " + most + ")");
      }
      return value;
    }

    private double sigma(String column) {
      double value = limited(column, 1e15);
      if (value < 0) {
        throw bad(column + ": a sigma must not be negative, is " + value);
      }
      return value;
    }

    private double limited(String column, double most) {
      double value = value(column);
      if (Math.abs(value) > most) {
        throw bad(column + ": " + value + " makes no sense here (at most " + most + ")");
      }
      return value;
    }

    /** NaN where the cell is empty or there is no such column. */
    private double value(String column) {
      int at = columns.indexOf(column);
      String cell = at < 0 ? "" : cells[at].strip();
      if (cell.isEmpty()) {
        return Double.NaN;
      }
      double value = FortranFields.number(cell);
      if (Double.isNaN(value)) {
        throw bad(
            column
                + ": \""
                + cell.substring(0, Math.min(40, cell.length()))
                + "\" is not a finite number");
      }
      return value;
    }
  }
}

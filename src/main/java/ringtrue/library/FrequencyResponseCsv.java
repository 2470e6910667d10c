package ringtrue.library;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.charset.MalformedInputException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.units.BadInputException;
import ringtrue.units.Dimension;
import ringtrue.units.Quantity;

/**
 * Frequency responses as text, format {@code ringtrue-frf/1}: comment lines {@code # key: value},
 * then the columns {@code frequency_hz,real_m_per_n,imag_m_per_n,coherence,relative_error}. Numbers
 * are written so that reading them gives the same doubles.
 */
public final class FrequencyResponseCsv {
  private static final String FORMAT = "ringtrue-frf";
  private static final int VERSION = 1;

  /** What no measurement has, column by column: Hz, m/N, m/N, 1, 1. */
  private static final double[] LARGEST = {1e7, 1e3, 1e3, 1e3, 1e9};

  private static final List<String> COLUMNS =
      List.of("frequency_hz", "real_m_per_n", "imag_m_per_n", "coherence", "relative_error");
  private static final int MOST_LINES = 8_000_000;

  private FrequencyResponseCsv() {}

  /** The response as the text of a file. */
  public static String toText(FrequencyResponse response) {
    FrequencyResponse.Origin origin = response.origin();
    StringBuilder text = new StringBuilder(response.lines() * 90 + 500);
    header(text, "format", FORMAT + "/" + VERSION);
    header(text, "axis", origin.axis());
    header(text, "point", origin.point());
    header(text, "averages", Integer.toString(origin.averages()));
    header(
        text,
        "window",
        Double.isInfinite(origin.windowTimeConstantS())
            ? "none"
            : "exponential " + origin.windowTimeConstantS() + " s");
    header(text, "source", origin.source());
    header(text, "band_hz", origin.bandLowHz() + " " + origin.bandHighHz());
    for (String remark : origin.remarks()) {
      header(text, "remark", remark);
    }
    text.append(String.join(",", COLUMNS)).append('\n');
    for (int i = 0; i < response.lines(); i++) {
      text.append(response.frequencyHz(i)).append(',');
      text.append(response.real(i)).append(',');
      text.append(response.imag(i)).append(',');
      known(text, response.coherence(i)).append(',');
      known(text, response.relativeError(i)).append('\n');
    }
    return text.toString();
  }

  private static void header(StringBuilder text, String key, String value) {
    text.append("# ").append(key).append(": ");
    text.append(value.replaceAll("[\\r\\n]+", " ")).append('\n');
  }

  private static StringBuilder known(StringBuilder text, double value) {
    return Double.isNaN(value) ? text : text.append(value);
  }

  /**
   * Reads a file.
   *
   * @throws BadInputException if it is not a frequency response; names the line and the column
   */
  public static FrequencyResponse read(Path file) {
    String name = file.getFileName().toString();
    try (BufferedReader lines = Files.newBufferedReader(file, StandardCharsets.UTF_8)) {
      return read(lines, name);
    } catch (NoSuchFileException e) {
      throw new BadInputException(name + ": there is no such file (" + file + ")", e);
    } catch (MalformedInputException e) {
      throw new BadInputException(name + ": is not UTF-8 text", e);
    } catch (IOException | UncheckedIOException e) {
      throw new BadInputException(name + ": cannot be read: " + e.getMessage(), e);
    }
  }

  private static FrequencyResponse read(BufferedReader lines, String name) throws IOException {
    Map<String, String> header = new LinkedHashMap<>();
    List<String> remarks = new ArrayList<>();
    int number = 0;
    String line;
    while ((line = TextRows.next(lines, name, number + 1)) != null) {
      number++;
      String text = number == 1 && line.startsWith("\uFEFF") ? line.substring(1) : line;
      if (!text.startsWith("#")) {
        line = text;
        break;
      }
      String[] parts = text.substring(1).split(":", 2);
      if (parts.length == 2) {
        String key = parts[0].trim().toLowerCase(Locale.ROOT);
        if (key.equals("remark")) {
          remarks.add(parts[1].trim());
        } else {
          header.put(key, parts[1].trim());
        }
      }
    }
    if (line == null) {
      throw new BadInputException(name + ": is empty; a frequency response is needed");
    }
    checkFormat(header, name);
    String[] columns = Arrays.stream(line.split(",")).map(String::strip).toArray(String[]::new);
    if (columns.length < 3
        || !Arrays.asList(columns).equals(COLUMNS.subList(0, Math.min(columns.length, 5)))) {
      throw new BadInputException(
          name + ": line " + number + ": the columns must be " + String.join(",", COLUMNS));
    }
    Table table = new Table();
    while ((line = TextRows.next(lines, name, number + 1)) != null) {
      number++;
      if (!line.isBlank()) {
        table.add(line, columns.length, name, number);
      }
    }
    return table.response(header, remarks, name);
  }

  private static void checkFormat(Map<String, String> header, String name) {
    String format = header.get("format");
    if (format == null) {
      throw new BadInputException(
          name + ": line 1: must be \"# format: " + FORMAT + "/" + VERSION + "\"");
    }
    if (!format.matches(FORMAT + "/\\d{1,6}")) {
      throw new BadInputException(
          name
              + ": format is \""
              + format
              + "\", but \""
              + FORMAT
              + "/"
              + VERSION
              + "\" is needed here");
    }
    if (Integer.parseInt(format.substring(FORMAT.length() + 1)) > VERSION) {
      throw new BadInputException(
          name
              + ": format \""
              + format
              + "\" is newer than this program understands; a newer program is needed");
    }
  }

  /** Columns while they are read. */
  private static final class Table {
    private double[][] columns = new double[COLUMNS.size()][1024];
    private int rows;

    void add(String line, int width, String name, int number) {
      String[] cells = line.split(",", -1);
      if (cells.length != width) {
        throw new BadInputException(
            name
                + ": line "
                + number
                + ": has "
                + cells.length
                + " values, the header has "
                + width);
      }
      if (rows == MOST_LINES) {
        throw new BadInputException(name + ": has more than " + MOST_LINES + " lines");
      }
      if (rows == columns[0].length) {
        for (int c = 0; c < columns.length; c++) {
          columns[c] = Arrays.copyOf(columns[c], rows * 2);
        }
      }
      for (int c = 0; c < COLUMNS.size(); c++) {
        String cell = c < cells.length ? cells[c].trim() : "";
        columns[c][rows] = c >= 3 && cell.isEmpty() ? Double.NaN : value(cell, c, name, number);
      }
      double frequency = columns[0][rows];
      if (!(frequency > 0) || rows > 0 && !(frequency > columns[0][rows - 1])) {
        throw new BadInputException(
            name
                + ": line "
                + number
                + ": frequencies must be positive and rise, has "
                + frequency
                + " Hz");
      }
      double coherence = columns[3][rows];
      if (coherence < 0 || coherence > 1 + 1e-9) {
        throw new BadInputException(
            name + ": line " + number + ": coherence must lie between 0 and 1, is " + coherence);
      }
      if (columns[4][rows] < 0) {
        throw new BadInputException(
            name + ": line " + number + ": relative error must not be negative");
      }
      rows++;
    }

    private static double value(String cell, int column, String name, int number) {
      double value;
      try {
        value = Double.parseDouble(cell);
      } catch (NumberFormatException e) {
        value = Double.NaN;
      }
      if (!Double.isFinite(value)) {
        throw new BadInputException(
            name
                + ": line "
                + number
                + ", "
                + COLUMNS.get(column)
                + ": \""
                + cell.substring(0, Math.min(cell.length(), 40))
                + "\" is not a finite number");
      }
      if (Math.abs(value) > LARGEST[column]) {
        throw new BadInputException(
            name
                + ": line "
                + number
                + ", "
                + COLUMNS.get(column)
                + ": "
                + cell.substring(0, Math.min(cell.length(), 40))
                + " is no measured value; at most "
                + LARGEST[column]
                + " makes sense");
      }
      return value;
    }

    FrequencyResponse response(Map<String, String> header, List<String> remarks, String name) {
      if (rows < 2) {
        throw new BadInputException(
            name
                + ": has "
                + (rows == 1 ? "one line" : rows + " lines")
                + " of values; two or more are needed");
      }
      for (int c = 0; c < columns.length; c++) {
        columns[c] = Arrays.copyOf(columns[c], rows);
      }
      double[] band = band(header, name);
      return new FrequencyResponse(
          columns[0],
          columns[1],
          columns[2],
          columns[3],
          columns[4],
          new FrequencyResponse.Origin(
              header.getOrDefault("axis", ""),
              header.getOrDefault("point", ""),
              averages(header, name),
              timeConstant(header, name),
              band[0],
              band[1],
              header.getOrDefault("source", ""),
              remarks));
    }

    private double[] band(Map<String, String> header, String name) {
      String text = header.get("band_hz");
      if (text == null) {
        return new double[] {columns[0][0], columns[0][rows - 1]};
      }
      try {
        String[] ends = text.split("\\s+");
        double low = Double.parseDouble(ends[0]);
        double high = Double.parseDouble(ends[1]);
        if (low >= 0 && high >= low && Double.isFinite(high)) {
          return new double[] {low, high};
        }
      } catch (NumberFormatException | ArrayIndexOutOfBoundsException e) {
        // falls through to the one message for every kind of nonsense
      }
      throw new BadInputException(
          name + ": band_hz: \"" + text + "\" must be two rising frequencies like \"20 4000\"");
    }
  }

  private static int averages(Map<String, String> header, String name) {
    String text = header.getOrDefault("averages", "1");
    if (!text.matches("[1-9]\\d{0,6}")) {
      throw new BadInputException(
          name + ": averages: \"" + text + "\" must be a whole number from 1");
    }
    return Integer.parseInt(text);
  }

  private static double timeConstant(Map<String, String> header, String name) {
    String text = header.getOrDefault("window", "none");
    if (text.equals("none") || text.isEmpty()) {
      return Double.POSITIVE_INFINITY;
    }
    if (text.startsWith("exponential ")) {
      try {
        double tau = Quantity.parse(text.substring("exponential ".length()), Dimension.TIME);
        if (tau > 0) {
          return tau;
        }
      } catch (BadInputException e) {
        throw e.at(name + ": window");
      }
    }
    throw new BadInputException(
        name + ": window: \"" + text + "\" must be \"none\" or \"exponential 0.02 s\"");
  }
}

package ringtrue.acquisition;

import java.io.IOException;
import java.math.BigDecimal;
import java.math.MathContext;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.Map;
import java.util.OptionalInt;
import java.util.TreeMap;
import ringtrue.units.BadInputException;

/**
 * A table of numbers as text. Columns are divided by tabs, semicolons, commas or blanks, which is
 * seen from the first row that is all numbers; what stands before that row is heading. The decimal
 * mark is a point, or a comma where commas do not divide columns. Lines that begin with {@code #}
 * or {@code %} are remarks. UTF-8 and UTF-16 are told by their byte order marks.
 *
 * <p>Each column of the file is one channel, the time column too. Opening goes through the whole
 * file once, checks every number and the time column, and notes where every few thousandth row is;
 * reading then begins near any row. Memory does not depend on the number of columns or on the
 * length, but for 16 bytes for every 8192 rows.
 */
public final class TextRecording implements Recording {
  private static final int ROWS_PER_MARK = 8192;
  private static final byte[] DELIMITERS = {'\t', ';', ',', TextRow.SPACES, TextRow.NONE};

  /**
   * What is known of a file beforehand.
   *
   * @param timeColumn column that holds the time, counted from 1; empty if there is none
   * @param timeUnitS what 1 in that column is in s
   * @param sampleRateHz rows per second; NaN where the time column tells it
   */
  public record Layout(OptionalInt timeColumn, double timeUnitS, double sampleRateHz) {
    public Layout {
      if (timeColumn.isPresent() == !Double.isNaN(sampleRateHz)) {
        throw new IllegalArgumentException("give either a time column or a sample rate");
      }
      if (timeColumn.isPresent() && timeColumn.getAsInt() < 1) {
        throw new IllegalArgumentException(
            "columns are counted from 1, was " + timeColumn.getAsInt());
      }
      if (!(timeUnitS > 0) || Double.isInfinite(timeUnitS)) {
        throw new IllegalArgumentException("time unit must be positive, was " + timeUnitS + " s");
      }
      if (sampleRateHz <= 0 || Double.isInfinite(sampleRateHz)) {
        throw new IllegalArgumentException(
            "sample rate must be positive, was " + sampleRateHz + " Hz");
      }
    }

    /** The time in s is in this column, counted from 1. */
    public static Layout timeIn(int column) {
      return new Layout(OptionalInt.of(column), 1, Double.NaN);
    }

    /** There is no time column. */
    public static Layout atRate(double sampleRateHz) {
      return new Layout(OptionalInt.empty(), 1, sampleRateHz);
    }

    /** The same with the time in another unit, 1e-3 for milliseconds. */
    public Layout withTimeUnit(double unitS) {
      return new Layout(timeColumn, unitS, sampleRateHz);
    }
  }

  private final Path path;
  private final String name;
  private final Layout layout;
  private byte delimiter;
  private byte mark;
  private int columns;
  private long frames;
  private double sampleRateHz;
  private long[] positions = new long[16];
  private long[] lineNumbers = new long[16];

  private TextRecording(Path path, String name, Layout layout) {
    this.path = path;
    this.name = name;
    this.layout = layout;
  }

  /** Opens a file under its own file name. */
  public static TextRecording open(Path path, Layout layout) throws IOException {
    return open(path, String.valueOf(path.getFileName()), layout);
  }

  /**
   * Opens a file and checks all of it.
   *
   * @param path where it is
   * @param name what messages and reports call it
   * @param layout what is known of it
   * @throws BadInputException if a row is not numbers or has another number of columns, or the time
   *     does not rise evenly; names line and column
   */
  public static TextRecording open(Path path, String name, Layout layout) throws IOException {
    TextRecording recording = new TextRecording(path, name, layout);
    try (TextLines lines = new TextLines(path, name)) {
      if (lines.sizeBytes() == 0) {
        throw new BadInputException(name + ": the file is empty");
      }
      recording.scan(lines);
    }
    return recording;
  }

  @Override
  public String name() {
    return name;
  }

  @Override
  public double sampleRateHz() {
    return sampleRateHz;
  }

  @Override
  public int channels() {
    return columns;
  }

  @Override
  public long frames() {
    return frames;
  }

  private void scan(TextLines lines) throws IOException {
    TextRow row = null;
    TimeColumn time = null;
    String suspicious = null;
    int suspiciousColumns = 0;
    long blankLine = 0;
    while (lines.next()) {
      if (lines.remark()) {
        continue;
      }
      if (lines.blank()) {
        blankLine = blankLine == 0 && frames > 0 ? lines.lineNumber() : blankLine;
        continue;
      }
      if (row == null || frames == 1 && columns == 1 && isTableHead(lines)) {
        frames = 0;
        row = firstRow(lines);
        if (row == null) {
          TextRow wrong = almostRow(lines);
          suspicious = wrong == null ? null : complaint(lines, wrong);
          suspiciousColumns = wrong == null ? 0 : wrong.count() + (wrong.trailing() ? 1 : 0);
          continue;
        }
        columns = row.count();
        if (suspicious != null && suspiciousColumns == columns) {
          throw new BadInputException(suspicious);
        }
        if (layout.timeColumn().isPresent()) {
          time = new TimeColumn(layout.timeColumn().getAsInt());
          row.watchDecimals(time.column - 1);
        }
      }
      parse(lines, row);
      if (blankLine != 0 && time == null) {
        throw new BadInputException(
            name
                + ": line "
                + blankLine
                + " is blank and more rows follow; leave it out, or name a time column that shows"
                + " whether something is missing");
      }
      if (frames % ROWS_PER_MARK == 0) {
        markRow((int) (frames / ROWS_PER_MARK), lines);
      }
      if (time != null) {
        time.add(row, lines);
      }
      frames++;
    }
    if (row == null) {
      throw new BadInputException(
          suspicious != null
              ? suspicious
              : name + ": no row of numbers found in " + lines.lineNumber() + " lines");
    }
    mark = row.mark();
    sampleRateHz = time == null ? layout.sampleRateHz() : time.sampleRateHz();
  }

  /** Sees from a line how columns are divided; null if it is not all numbers. */
  private TextRow firstRow(TextLines lines) {
    for (byte candidate : DELIMITERS) {
      TextRow row = new TextRow(candidate, (byte) 0);
      boolean numbers = row.parse(lines.text(), lines.start(), lines.end());
      if (numbers && (row.count() > 1 || candidate == TextRow.NONE)) {
        int timeColumn = layout.timeColumn().orElse(1);
        if (timeColumn > row.count()) {
          throw new BadInputException(
              name
                  + ": line "
                  + lines.lineNumber()
                  + ": the time is said to be in column "
                  + timeColumn
                  + ", but there are "
                  + row.count()
                  + " columns");
        }
        delimiter = candidate;
        return row;
      }
    }
    return null;
  }

  /** A heading that is numbers but for empty cells or words like NaN is likely to be data. */
  private TextRow almostRow(TextLines lines) {
    for (byte candidate : DELIMITERS) {
      TextRow row = new TextRow(candidate, (byte) 0);
      row.parse(lines.text(), lines.start(), lines.end());
      if (row.count() + (row.trailing() ? 1 : 0) > 1
          && row.numbers() >= (row.count() + 1) / 2
          && row.badButMeantAsNumber(lines.text())) {
        return row;
      }
    }
    return null;
  }

  /** Whether a line after a lone number shows that the number belonged to the heading. */
  private boolean isTableHead(TextLines lines) {
    for (byte candidate : DELIMITERS) {
      TextRow row = new TextRow(candidate, (byte) 0);
      row.parse(lines.text(), lines.start(), lines.end());
      if (row.count() > 1) {
        return true;
      }
    }
    return false;
  }

  private void parse(TextLines lines, TextRow row) {
    if (!row.parse(lines.text(), lines.start(), lines.end())) {
      throw new BadInputException(complaint(lines, row));
    }
    if (row.count() == columns - 1 && row.trailing()) {
      throw new BadInputException(complaint(lines, row));
    }
    if (row.count() != columns) {
      throw new BadInputException(
          name
              + ": line "
              + lines.lineNumber()
              + " has "
              + row.count()
              + (row.count() == 1 ? " column, " : " columns, ")
              + columns
              + " are in the lines before");
    }
  }

  private String complaint(TextLines lines, TextRow row) {
    return name + ": line " + lines.lineNumber() + ": " + row.complaint(lines.text());
  }

  private void markRow(int index, TextLines lines) {
    if (index == positions.length) {
      positions = Arrays.copyOf(positions, 2 * index);
      lineNumbers = Arrays.copyOf(lineNumbers, 2 * index);
    }
    positions[index] = lines.position();
    lineNumbers[index] = lines.lineNumber();
  }

  @Override
  public Cursor from(long frame) throws IOException {
    if (frame < 0 || frame > frames) {
      throw new IllegalArgumentException("frame " + frame + " is outside 0.." + frames);
    }
    return new TextCursor(frame);
  }

  /**
   * Checks that time rises evenly. A step may differ from the mean step by 1 % and by what the
   * printed digits cannot show, but by no more than half a step, so that a lost row is always seen.
   */
  private final class TimeColumn {
    private static final double TOLERANCE = 0.01;

    /** Rows over which the finest printed digit counts, since trailing zeros may be left out. */
    private static final int DIGITS_MEMORY = 16;

    private final int column;
    private final int[] recentDecimals = new int[DIGITS_MEMORY];
    private final Map<Integer, Steps> stepsByDecimals = new TreeMap<>();
    private Steps steps;
    private int stepsDecimals = Integer.MIN_VALUE;
    private double first;
    private double last;
    private int firstDecimals;
    private int finest = Integer.MIN_VALUE;
    private int finestBefore;
    private double decadeFrom;
    private double decadeTo;
    private long rows;

    /** Smallest and largest step among rows printed with the same number of decimals. */
    private static final class Steps {
      double smallest = Double.POSITIVE_INFINITY;
      double largest = Double.NEGATIVE_INFINITY;
      long smallestLine;
      long largestLine;
    }

    TimeColumn(int column) {
      this.column = column;
      Arrays.fill(recentDecimals, Integer.MIN_VALUE);
    }

    void add(TextRow row, TextLines lines) {
      double now = row.value(column - 1);
      double size = Math.abs(now);
      if (size < decadeFrom || size >= decadeTo) {
        // where digits are counted from the first one, another decade has other decimals
        Arrays.fill(recentDecimals, Integer.MIN_VALUE);
        finest = Integer.MIN_VALUE;
        decadeFrom = size == 0 ? 0 : Math.pow(10, Math.floor(Math.log10(size)));
        decadeTo = size == 0 ? 0 : 10 * decadeFrom;
      }
      remember(row.decimals());
      if (rows == 0) {
        first = now;
        firstDecimals = row.decimals();
      } else {
        double step = now - last;
        if (!(step > 0)) {
          throw new BadInputException(
              name
                  + ": line "
                  + lines.lineNumber()
                  + ", column "
                  + column
                  + ": time must rise, but "
                  + now
                  + " follows "
                  + last
                  + (step == 0
                      ? "; print it with more digits, or leave it out and give the sample rate"
                      : ""));
        }
        Steps of = steps(Math.min(finestBefore, finest));
        if (step < of.smallest) {
          of.smallest = step;
          of.smallestLine = lines.lineNumber();
        }
        if (step > of.largest) {
          of.largest = step;
          of.largestLine = lines.lineNumber();
        }
      }
      last = now;
      finestBefore = finest;
      rows++;
    }

    private String shown(double value) {
      return new BigDecimal(value).round(new MathContext(6)).stripTrailingZeros().toString();
    }

    private void remember(int decimals) {
      int slot = (int) (rows % DIGITS_MEMORY);
      int forgotten = recentDecimals[slot];
      recentDecimals[slot] = decimals;
      if (decimals >= finest) {
        finest = decimals;
      } else if (forgotten == finest) {
        finest = Arrays.stream(recentDecimals).max().orElseThrow();
      }
    }

    private Steps steps(int decimals) {
      if (decimals != stepsDecimals) {
        stepsDecimals = decimals;
        steps = stepsByDecimals.computeIfAbsent(decimals, d -> new Steps());
      }
      return steps;
    }

    double sampleRateHz() {
      if (rows < 2) {
        throw new BadInputException(name + ": one row is not enough to tell the sample rate");
      }
      double mean = (last - first) / (rows - 1);
      double worst = 0;
      double worstStep = 0;
      long worstLine = 0;
      for (Map.Entry<Integer, Steps> entry : stepsByDecimals.entrySet()) {
        double resolution = Math.pow(10, -entry.getKey());
        double allowed = Math.min(TOLERANCE * mean + resolution, mean / 2);
        Steps of = entry.getValue();
        double low = (mean - of.smallest) / allowed;
        double high = (of.largest - mean) / allowed;
        if (Math.max(low, high) > worst) {
          worst = Math.max(low, high);
          worstStep = high >= low ? of.largest : of.smallest;
          worstLine = high >= low ? of.largestLine : of.smallestLine;
        }
      }
      if (worst > 1 + 1e-9) {
        throw new BadInputException(
            name
                + ": line "
                + worstLine
                + ", column "
                + column
                + ": time is not even: the step to this row is "
                + shown(worstStep)
                + ", the mean step "
                + shown(mean)
                + (worstStep > 1.5 * mean ? "; rows are missing" : ""));
      }
      double rate = 1 / (mean * layout.timeUnitS());
      // the digits of the first and the last time leave the rate open by this much
      double open = (Math.pow(10, -firstDecimals) + Math.pow(10, -finest)) / (2 * (last - first));
      double whole = Math.rint(rate);
      return whole > 0 && Math.abs(rate / whole - 1) <= Math.min(open, 0.01) ? whole : rate;
    }
  }

  private final class TextCursor implements Cursor {
    private final TextLines lines;
    private final TextRow row = new TextRow(delimiter, mark);
    private long next;

    TextCursor(long frame) throws IOException {
      lines = new TextLines(path, name);
      if (frame < frames) {
        int index = (int) (frame / ROWS_PER_MARK);
        lines.seek(positions[index], lineNumbers[index]);
        for (next = (long) index * ROWS_PER_MARK; next < frame; next++) {
          nextRow();
        }
      }
      next = frame;
    }

    private void nextRow() throws IOException {
      do {
        if (!lines.next()) {
          throw new BadInputException(
              name
                  + ": the file became shorter while it was read, after line "
                  + lines.lineNumber());
        }
      } while (lines.blank() || lines.remark());
    }

    @Override
    public int read(double[][] into, int offset, int wanted) throws IOException {
      if (into.length != columns) {
        throw new IllegalArgumentException(
            "needs one array or null for each of " + columns + " columns, got " + into.length);
      }
      int now = (int) Math.min(wanted, frames - next);
      for (int i = 0; i < now; i++) {
        nextRow();
        parse(lines, row);
        for (int c = 0; c < columns; c++) {
          if (into[c] != null) {
            into[c][offset + i] = row.value(c);
          }
        }
      }
      next += now;
      return now;
    }

    @Override
    public void close() throws IOException {
      lines.close();
    }
  }
}

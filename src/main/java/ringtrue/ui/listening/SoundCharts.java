package ringtrue.ui.listening;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.function.DoubleFunction;
import java.util.stream.IntStream;
import ringtrue.signal.HeardCut;
import ringtrue.signal.RunningSpectrogram;
import ringtrue.signal.SoundLine;
import ringtrue.signal.SoundSpectrum;
import ringtrue.signal.Spectrogram;
import ringtrue.ui.plot.Axis;
import ringtrue.ui.plot.Ink;
import ringtrue.ui.plot.Mark;
import ringtrue.ui.plot.Palette;
import ringtrue.ui.plot.PlotContent;
import ringtrue.ui.plot.Stroke;

/**
 * Spectrum and level over time, both over the same frequency axis, so that a line is followed with
 * the eye from one to the other. Built away from the event thread.
 */
public final class SoundCharts {
  private static final double RANGE_DB = 70;
  private static final int STEPS = 14;
  private static final int MOST_TIMES = 900;
  private static final int NAMED = 5;
  private static final int MOST_COMB = 40;
  private static final DoubleFunction<String> DB = v -> String.format(Locale.ROOT, "%.0f dB", v);

  private final Known known;
  private final String key;

  /**
   * @param key another one for another sound: the zoom begins anew
   */
  public SoundCharts(Known known, String key) {
    this.known = known;
    this.key = key;
  }

  // ---- spectrum

  /** Mean spectrum of what was read. */
  public PlotContent spectrum(HeardCut heard) {
    if (heard.spectrum().isEmpty()) {
      return PlotContent.empty("too short for a spectrum");
    }
    SoundSpectrum s = heard.spectrum().get();
    int n = (int) Math.min(s.size(), Math.ceil(known.topHz() / s.stepHz()));
    double[] x = new double[Math.max(0, n - 1)];
    double[] level = new double[x.length];
    double[] noise = new double[x.length];
    for (int k = 1; k < n; k++) {
      x[k - 1] = k * s.stepHz();
      level[k - 1] = s.levelDb(k);
      noise[k - 1] = s.noiseDb(k);
    }
    double[] range = range(level);
    PlotContent.Builder b = begin("Spectrum of the cut", "level (dB)", range[0], range[1]);
    lines(b, Optional.of(heard), true);
    b.curve("noise around", x, noise, Ink.QUIET);
    b.curve("level", x, level, Ink.FIRST);
    peaks(b, heard);
    return b.build();
  }

  /** Spectrum of the last moment, with what was found in the last seconds. */
  PlotContent spectrum(float[] levelDb, double stepHz, Optional<HeardCut> heard) {
    int n = (int) Math.min(levelDb.length, Math.ceil(known.topHz() / stepHz) + 1);
    double[] x = new double[Math.max(0, n - 1)];
    double[] level = new double[x.length];
    for (int k = 1; k < n; k++) {
      x[k - 1] = k * stepHz;
      level[k - 1] = levelDb[k];
    }
    PlotContent.Builder b = begin("Spectrum now", "level (dB)", -120, 0);
    lines(b, heard, true);
    b.curve("level", x, level, Ink.FIRST);
    heard.ifPresent(h -> peaks(b, h));
    return b.build();
  }

  private static double[] range(double[] level) {
    double most = Arrays.stream(level).max().orElse(0);
    double[] sorted = level.clone();
    Arrays.sort(sorted);
    double floor = sorted.length == 0 ? most - RANGE_DB : sorted[sorted.length / 10];
    double low = Math.max(floor - 10, most - 110);
    return new double[] {10 * Math.floor(low / 10), 10 * Math.ceil((most + 12) / 10)};
  }

  private PlotContent.Builder begin(String title, String y, double low, double high) {
    return PlotContent.of(
            Axis.linear("frequency (Hz)", 0, known.topHz()), Axis.linear(y, low, high))
        .title(title)
        .viewKey(key + title);
  }

  private double spindle(Optional<HeardCut> heard) {
    double hz = heard.map(HeardCut::spindleHz).orElse(Double.NaN);
    return Double.isNaN(hz) ? known.stated().spindleHz() : hz;
  }

  private void lines(PlotContent.Builder b, Optional<HeardCut> heard, boolean named) {
    double spindle = spindle(heard);
    Comb teeth = Comb.teeth(known.stated(), spindle, known.topHz());
    Comb turns = Comb.turns(known.stated(), spindle, known.topHz());
    List<String> none = List.of();
    heard
        .map(HeardCut::chatterHz)
        .filter(hz -> hz < known.topHz())
        .ifPresent(
            hz ->
                b.lines(
                    "chatter",
                    new double[] {hz},
                    named ? List.of(String.format(Locale.ROOT, "chatter %.0f Hz", hz)) : none,
                    true,
                    Ink.BAD,
                    Stroke.DASHED));
    b.lines(
        "tooth passing",
        teeth.places(),
        named ? teeth.labels() : none,
        true,
        Ink.THIRD,
        Stroke.SOLID);
    List<Known.Named> modes = known.modes().stream().filter(m -> m.hz() < known.topHz()).toList();
    b.lines(
        "modes",
        modes.stream().mapToDouble(Known.Named::hz).toArray(),
        named
            ? modes.stream()
                .map(m -> String.format(Locale.ROOT, "%s %.0f Hz", m.name(), m.hz()))
                .toList()
            : none,
        true,
        Ink.FOURTH,
        Stroke.DASHED);
    b.lines(
        "spindle and run-out",
        turns.places(),
        named ? turns.labels() : none,
        true,
        Ink.QUIET,
        Stroke.DOTTED);
  }

  private void peaks(PlotContent.Builder b, HeardCut heard) {
    List<SoundLine> chatter = some(heard, SoundLine.Kind.CHATTER);
    List<SoundLine> others = some(heard, SoundLine.Kind.OTHER);
    marks(b, "other lines", others, Mark.CIRCLE, Ink.QUIET, "other");
    marks(b, "chatter", chatter, Mark.DIAMOND, Ink.BAD, "chatter");
  }

  private List<SoundLine> some(HeardCut heard, SoundLine.Kind kind) {
    return heard.peaks().stream()
        .filter(p -> p.is() == kind && p.frequencyHz() < known.topHz())
        .limit(NAMED)
        .toList();
  }

  private static void marks(
      PlotContent.Builder b, String name, List<SoundLine> lines, Mark mark, Ink ink, String word) {
    if (lines.isEmpty()) {
      return;
    }
    b.marks(
        name,
        IntStream.range(0, lines.size()).mapToObj(i -> word + "-" + i).toList(),
        lines.stream().mapToDouble(SoundLine::frequencyHz).toArray(),
        lines.stream().mapToDouble(SoundLine::levelDb).toArray(),
        mark,
        ink,
        lines.stream()
            .map(
                p ->
                    p.about().isEmpty()
                        ? ""
                        : String.format(Locale.ROOT, "%s %.0f Hz", p.about(), p.frequencyHz()))
            .toList());
  }

  // ---- level over time

  /** Level over time of a recording. */
  PlotContent gram(HeardCut heard, List<Spectrogram> grams) {
    if (grams.isEmpty()) {
      return PlotContent.empty("too short for a picture over time");
    }
    double from = grams.get(0).fromS();
    double to = grams.get(grams.size() - 1).toS();
    int total = grams.stream().mapToInt(Spectrogram::columns).sum();
    int joined = 1 + (total - 1) / MOST_TIMES;
    List<float[][]> values = new ArrayList<>();
    for (Spectrogram g : grams) {
      values.add(turned(g, joined));
    }
    double[] range = rangeOf(values);
    PlotContent.Builder b = begin("Level over time", "time (s)", from, to);
    for (int i = 0; i < grams.size(); i++) {
      Spectrogram g = grams.get(i);
      float[][] v = values.get(i);
      b.raster(
          "level",
          middles(0, v.length * g.topHz() / g.rows(), v.length),
          middles(g.fromS(), g.toS(), v[0].length),
          v,
          palette(range));
    }
    overlay(b, heard.parts());
    return b.build();
  }

  /** By frequency, then by time; several times in one where there are many. */
  private float[][] turned(Spectrogram g, int joined) {
    int rows =
        (int) Math.max(1, Math.min(g.rows(), Math.ceil(known.topHz() / g.topHz() * g.rows())));
    int times = (g.columns() + joined - 1) / joined;
    float[][] v = new float[rows][times];
    for (float[] row : v) {
      Arrays.fill(row, Float.NEGATIVE_INFINITY);
    }
    for (int c = 0; c < g.columns(); c++) {
      for (int r = 0; r < rows; r++) {
        v[r][c / joined] = Math.max(v[r][c / joined], (float) g.levelDb(c, r));
      }
    }
    return v;
  }

  private static double[] middles(double from, double to, int n) {
    return IntStream.range(0, n).mapToDouble(i -> from + (i + 0.5) * (to - from) / n).toArray();
  }

  /** Level over the last seconds, the newest on top. */
  PlotContent gram(
      List<RunningSpectrogram.Column> columns,
      double stepHz,
      double keptS,
      List<HeardCut.Part> parts) {
    if (columns.size() < 2) {
      return PlotContent.empty("the first seconds are on their way");
    }
    int rows = columns.get(0).levelDb().length;
    float[][] v = new float[rows][columns.size()];
    double[] y = new double[columns.size()];
    for (int c = 0; c < columns.size(); c++) {
      float[] column = columns.get(c).levelDb();
      y[c] = columns.get(c).timeS();
      for (int r = 0; r < rows; r++) {
        v[r][c] = column[r];
      }
    }
    double[] x = IntStream.range(0, rows).mapToDouble(r -> r * stepHz).toArray();
    double end = y[y.length - 1];
    PlotContent.Builder b =
        begin(
            "Level over the last seconds",
            "time (s)",
            Math.max(0, end - keptS),
            Math.max(keptS, end));
    b.raster("level", x, y, v, palette(rangeOf(List.<float[][]>of(v))));
    overlay(b, parts.stream().filter(p -> p.toS() > end - keptS).toList());
    return b.build();
  }

  private static double[] rangeOf(List<float[][]> all) {
    float most = -300;
    for (float[][] values : all) {
      for (float[] row : values) {
        for (float v : row) {
          most = Math.max(most, v);
        }
      }
    }
    return new double[] {most - RANGE_DB, most};
  }

  private static Palette palette(double[] range) {
    double[] steps = new double[STEPS];
    for (int i = 0; i < STEPS; i++) {
      steps[i] = range[0] + (range[1] - range[0]) * (i + 0.5) / STEPS;
    }
    return Palette.steps(Ink.FIRST, steps, DB);
  }

  /** The comb as the speed was, and chatter where it was heard. */
  private void overlay(PlotContent.Builder b, List<HeardCut.Part> parts) {
    List<double[]> comb = new ArrayList<>();
    List<double[]> sung = new ArrayList<>();
    for (HeardCut.Part part : parts) {
      if (!Double.isNaN(part.spindleHz())) {
        double step = known.stated().toothOrder() * part.spindleHz();
        for (int k = 1; k <= MOST_COMB && k * step < known.topHz(); k++) {
          upright(comb, k * step, part);
        }
      }
      if (!Double.isNaN(part.chatterHz()) && part.chatterHz() < known.topHz()) {
        upright(sung, part.chatterHz(), part);
      }
    }
    curve(b, known.stated().milling() ? "tooth passing" : "turns", comb, Ink.THIRD, Mark.NONE);
    curve(b, "chatter", sung, Ink.BAD, Mark.DIAMOND);
  }

  private static void upright(List<double[]> into, double hz, HeardCut.Part part) {
    into.add(new double[] {hz, part.fromS()});
    into.add(new double[] {hz, part.toS()});
    into.add(new double[] {Double.NaN, Double.NaN});
  }

  private static void curve(
      PlotContent.Builder b, String name, List<double[]> points, Ink ink, Mark mark) {
    if (!points.isEmpty()) {
      b.curve(
          name,
          points.stream().mapToDouble(p -> p[0]).toArray(),
          points.stream().mapToDouble(p -> p[1]).toArray(),
          ink,
          Stroke.DASHED,
          mark);
    }
  }
}

package ringtrue.report;

import java.awt.BasicStroke;
import java.awt.Color;
import java.awt.Graphics2D;
import java.awt.Rectangle;
import java.awt.geom.Ellipse2D;
import java.awt.geom.Line2D;
import java.awt.geom.Path2D;
import java.awt.geom.Rectangle2D;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import ringtrue.planning.SoundAdvice;
import ringtrue.signal.HeardCut;
import ringtrue.signal.SoundLine;
import ringtrue.signal.SoundSpectrum;
import ringtrue.signal.Spectrogram;
import ringtrue.signal.StatedCut;

/**
 * The sound of a cut: its spectrum with the comb of tooth passing and run-out and the lines that
 * stand out by name, below it level over time and frequency with the comb laid over, and the
 * verdict.
 */
public final class SoundPicture {
  private static final BasicStroke THIN = new BasicStroke(1.2f);
  private static final BasicStroke DASHES =
      new BasicStroke(
          1.2f, BasicStroke.CAP_BUTT, BasicStroke.JOIN_ROUND, 10, new float[] {7, 5}, 0);
  private static final BasicStroke DOTS =
      new BasicStroke(
          1.4f, BasicStroke.CAP_BUTT, BasicStroke.JOIN_ROUND, 10, new float[] {2, 4}, 0);
  private static final BasicStroke BROAD_DASHES =
      new BasicStroke(3f, BasicStroke.CAP_BUTT, BasicStroke.JOIN_ROUND, 10, new float[] {10, 4}, 0);
  private static final Color COMB = new Color(0, 114, 178);
  private static final int MOST_NAMED = 14;
  private static final double ROOM_DB = 26;
  private static final int LABEL_ROWS = 7;
  private static final int SHADES = 16;

  private final String name;
  private final HeardCut heard;
  private final List<Spectrogram> grams;
  private final SoundAdvice advice;
  private final StatedCut stated;

  private SoundPicture(
      String name, HeardCut heard, List<Spectrogram> grams, SoundAdvice advice, StatedCut stated) {
    this.name = name;
    this.heard = heard;
    this.grams = grams;
    this.advice = advice;
    this.stated = stated;
  }

  /**
   * Lays it out.
   *
   * @param name what the cut is called
   * @param heard what its sound tells
   * @param spectrograms level over time, one after the other
   * @param advice what follows from it
   * @param stated what was known before
   */
  public static Picture of(
      String name,
      HeardCut heard,
      List<Spectrogram> spectrograms,
      SoundAdvice advice,
      StatedCut stated) {
    return new SoundPicture(name, heard, spectrograms, advice, stated).picture();
  }

  private Picture picture() {
    Panels panels =
        new Panels(
            Pictures.WIDTH,
            String.format(Locale.ROOT, "%s: sounds like %s", name, verdict()),
            caption());
    heard.spectrum().ifPresent(s -> spectrum(panels, s));
    if (!grams.isEmpty()) {
      spectrogram(panels);
    }
    return panels.picture();
  }

  private String verdict() {
    return switch (heard.verdict()) {
      case CLEAN -> "a clean cut";
      case FORCED -> "forced vibration";
      case CHATTER -> heard.flip() ? "chatter (flip)" : "chatter";
      case CANNOT_TELL -> "something that cannot be told";
      case NOTHING_HEARD -> "no cut at all";
    };
  }

  private String caption() {
    StringBuilder words = new StringBuilder(heard.because());
    if (!Double.isNaN(heard.spindleHz())) {
      words.append(
          String.format(
              Locale.ROOT,
              " Spindle %.0f rpm (stated %.0f).",
              60 * heard.spindleHz(),
              60 * stated.spindleHz()));
    }
    if (!advice.speeds().isEmpty()) {
      words.append(" Speeds to try: ");
      words.append(
          String.join(
              ", ",
              advice.speeds().stream()
                  .map(s -> String.format(Locale.ROOT, "%.0f rpm", s.speedRpm()))
                  .toList()));
      words.append('.');
    }
    words.append(
        " Levels: 0 dB is a sine of full scale. The sound shows what it shows: quiet is not safe.");
    return words.toString();
  }

  // ---- the spectrum

  private void spectrum(Panels panels, SoundSpectrum spectrum) {
    double top = topHz();
    int lines = (int) Math.min(spectrum.size() - 1.0, top / spectrum.stepHz());
    double loudest = -300;
    double[] noise = new double[lines];
    for (int k = 1; k < lines; k++) {
      loudest = Math.max(loudest, spectrum.levelDb(k));
      noise[k] = spectrum.noiseDb(k);
    }
    Arrays.sort(noise);
    double low = 10 * Math.floor((noise[lines / 2] - 12) / 10);
    double high = 10 * Math.ceil((Math.max(loudest, low + 30) + ROOM_DB) / 10);
    panels.chart(460, "frequency, Hz", "level, dB");
    panels.plot(
        0,
        top,
        low,
        high,
        (g, f) -> comb(g, f, false),
        (g, f) -> {
          curve(g, f, spectrum, lines, false);
          curve(g, f, spectrum, lines, true);
          names(g, f);
        },
        new Legend()
            .line("sound of the cut", Panels.DARK, THIN)
            .line("noise around it", Panels.ORANGE, DASHES)
            .line("tooth passing", COMB, Panels.SOLID)
            .line("turns (run-out)", Panels.SOFT_BLUE, DOTS)
            .add("chatter", SoundPicture::diamond)
            .add("other", SoundPicture::ring));
  }

  /** As far up as something is: what the spectrogram shows. */
  private double topHz() {
    double shown = grams.stream().mapToDouble(Spectrogram::topHz).max().orElse(6000);
    return 100 * Math.floor(shown / 100);
  }

  private void curve(Graphics2D g, PlotFrame f, SoundSpectrum spectrum, int lines, boolean noise) {
    Path2D path = new Path2D.Double();
    int columns = f.area().width * 2;
    boolean begun = false;
    // the largest of each half pixel, so that no line is lost
    for (int c = 0; c < columns; c++) {
      int from = Math.max(1, (int) ((long) lines * c / columns));
      int to = Math.max(from + 1, (int) ((long) lines * (c + 1) / columns));
      double level = -300;
      for (int k = from; k < Math.min(to, lines); k++) {
        level = Math.max(level, noise ? spectrum.noiseDb(k) : spectrum.levelDb(k));
      }
      double x = f.pixelX(0.5 * (from + to - 1) * spectrum.stepHz());
      double y = f.pixelY(Math.max(level, f.fromY()));
      if (begun) {
        path.lineTo(x, y);
      } else {
        path.moveTo(x, y);
        begun = true;
      }
    }
    g.setColor(noise ? Panels.ORANGE : Panels.DARK);
    g.setStroke(noise ? DASHES : THIN);
    g.draw(path);
  }

  /** Where the comb's lines lie: across a spectrum upright, across a spectrogram level. */
  private void comb(Graphics2D g, PlotFrame f, boolean level) {
    if (Double.isNaN(heard.spindleHz())) {
      return;
    }
    double end = level ? f.toY() : f.toX();
    int teeth = stated.toothOrder();
    for (int k = 1; k * heard.spindleHz() < end; k++) {
      boolean tooth = k % teeth == 0 && stated.milling();
      if (!tooth && k > 3 * teeth && teeth > 1 || !stated.milling() && k > 20) {
        continue;
      }
      double hz = k * heard.spindleHz();
      g.setColor(tooth ? COMB : Panels.SOFT_BLUE);
      g.setStroke(tooth ? (level ? DASHES : Panels.SOLID) : DOTS);
      if (!level) {
        double x = f.pixelX(hz);
        g.draw(new Line2D.Double(x, f.area().y, x, f.area().getMaxY()));
      } else if (tooth) {
        double y = f.pixelY(hz);
        // only at the edges, so that what lies below is seen
        g.draw(new Line2D.Double(f.area().x, y, f.area().x + 38, y));
        g.draw(new Line2D.Double(f.area().getMaxX() - 38, y, f.area().getMaxX(), y));
        double from = f.pixelX(heard.fromS());
        double to = f.pixelX(heard.toS());
        g.setStroke(DOTS);
        g.draw(new Line2D.Double(from, y, to, y));
      }
    }
  }

  private void names(Graphics2D g, PlotFrame f) {
    g.setFont(Panels.TEXT.deriveFont(13f));
    List<Rectangle2D> taken = new ArrayList<>();
    List<SoundLine> shown = new ArrayList<>();
    heard.peaks().stream()
        .filter(p -> p.is() == SoundLine.Kind.CHATTER && p.about().isEmpty())
        .forEach(shown::add);
    heard.peaks().stream()
        .filter(p -> p.frequencyHz() < f.toX() && !shown.contains(p))
        .limit(MOST_NAMED)
        .forEach(shown::add);
    for (SoundLine p : shown) {
      double x = f.pixelX(p.frequencyHz());
      double y = f.pixelY(p.levelDb());
      mark(g, p, x, y);
      taken.add(new Rectangle2D.Double(x - 6, y - 6, 12, 12));
    }
    for (SoundLine p : shown) {
      label(g, f, p, taken);
    }
  }

  private static void mark(Graphics2D g, SoundLine p, double x, double y) {
    Rectangle box = new Rectangle((int) Math.round(x) - 6, (int) Math.round(y) - 6, 12, 12);
    if (p.is() == SoundLine.Kind.CHATTER) {
      diamond(g, box);
    } else if (p.is() == SoundLine.Kind.OTHER) {
      ring(g, box);
    }
  }

  private void label(Graphics2D g, PlotFrame f, SoundLine p, List<Rectangle2D> taken) {
    String words = words(p);
    double x = f.pixelX(p.frequencyHz());
    double y = f.pixelY(p.levelDb());
    double width = g.getFontMetrics().stringWidth(words);
    double height = g.getFontMetrics().getHeight();
    for (int place = 0; place < 3 * LABEL_ROWS; place++) {
      // above the line, then to its right and left, then a row higher
      int row = place / 3;
      double aside = place % 3 == 0 ? 0 : (place % 3 == 1 ? 1 : -1) * (width / 2 + 8);
      double wanted = x - width / 2 + aside;
      double left = Math.max(f.area().x + 3.0, Math.min(wanted, f.area().getMaxX() - width - 3));
      double bottom = y - 8 - row * (height + 1);
      Rectangle2D box = new Rectangle2D.Double(left - 2, bottom - height, width + 4, height);
      Rectangle2D leader = new Rectangle2D.Double(x - 1, bottom, 2, Math.max(0, y - 7 - bottom));
      if (box.getMinY() < f.area().y
          || taken.stream().anyMatch(t -> t.intersects(box) || row > 0 && t.intersects(leader))) {
        continue;
      }
      taken.add(box);
      g.setColor(new Color(255, 255, 255, 225));
      g.fill(box);
      if (row > 0) {
        taken.add(leader);
        g.setColor(Color.GRAY);
        g.setStroke(new BasicStroke(0.8f));
        g.draw(new Line2D.Double(x, y - 6, x, bottom));
      }
      g.setColor(p.is() == SoundLine.Kind.CHATTER ? Panels.ORANGE : Panels.DARK);
      g.drawString(words, (float) left, (float) (bottom - height + g.getFontMetrics().getAscent()));
      return;
    }
  }

  private static String words(SoundLine p) {
    return switch (p.is()) {
      case TOOTH_PASSING ->
          p.harmonic() == 1
              ? String.format(Locale.ROOT, "teeth %.0f Hz", p.frequencyHz())
              : p.harmonic() + " x teeth";
      case RUNOUT -> p.harmonic() + " x turns";
      case CHATTER ->
          p.about().equals("side band")
              ? "side band"
              : String.format(Locale.ROOT, "chatter %.1f Hz", p.frequencyHz());
      case OTHER ->
          p.about().contains("mains")
              ? String.format(Locale.ROOT, "mains %.0f", p.frequencyHz())
              : String.format(Locale.ROOT, "%.0f Hz", p.frequencyHz());
    };
  }

  private static void diamond(Graphics2D g, Rectangle box) {
    double x = box.getCenterX();
    double y = box.getCenterY();
    Path2D shape = new Path2D.Double();
    shape.moveTo(x, y - 7);
    shape.lineTo(x + 7, y);
    shape.lineTo(x, y + 7);
    shape.lineTo(x - 7, y);
    shape.closePath();
    g.setColor(Panels.ORANGE);
    g.fill(shape);
    g.setColor(Color.WHITE);
    g.setStroke(new BasicStroke(1f));
    g.draw(shape);
  }

  private static void ring(Graphics2D g, Rectangle box) {
    g.setColor(Panels.DARK);
    g.setStroke(new BasicStroke(1.6f));
    g.draw(new Ellipse2D.Double(box.getCenterX() - 5, box.getCenterY() - 5, 10, 10));
  }

  // ---- the spectrogram

  private void spectrogram(Panels panels) {
    double fromS = grams.get(0).fromS();
    double toS = grams.get(grams.size() - 1).toS();
    double top = topHz();
    double[] range = range();
    panels.chart(430, "time, s", "frequency, Hz");
    panels.plot(
        fromS,
        toS,
        0,
        top,
        (g, f) -> grams.forEach(gram -> cells(g, f, gram, range)),
        (g, f) -> {
          comb(g, f, true);
          found(g, f);
        },
        new Legend()
            .add(
                String.format(Locale.ROOT, "level, %.0f to %.0f dB", range[0], range[1]),
                SoundPicture::shades)
            .line("tooth passing", COMB, DASHES)
            .line("chatter and its side bands", Panels.ORANGE, BROAD_DASHES)
            .line("part that was judged", Panels.GREEN, Panels.SOLID));
  }

  /** From the quieter third of all cells to the loudest. */
  private double[] range() {
    double[] all =
        grams.stream()
            .flatMapToDouble(
                s ->
                    java.util.stream.IntStream.range(0, s.columns() * s.rows())
                        .filter(i -> i % 7 == 0)
                        .mapToDouble(i -> s.levelDb(i / s.rows(), i % s.rows())))
            .sorted()
            .toArray();
    double low = all[all.length / 3];
    double high = all[all.length - 1];
    return new double[] {low, Math.max(high, low + 20)};
  }

  private static int shade(double part) {
    double p = Math.max(0, Math.min(1, part));
    int red = (int) Math.round(255 - 235 * p);
    int green = (int) Math.round(255 - 225 * p);
    int blue = (int) Math.round(255 - 190 * p);
    return red << 16 | green << 8 | blue;
  }

  private static void shades(Graphics2D g, Rectangle box) {
    for (int i = 0; i < box.width; i++) {
      g.setColor(new Color(shade((double) i / box.width)));
      g.fillRect(box.x + i, box.y, 1, box.height);
    }
    g.setColor(Color.GRAY);
    g.setStroke(new BasicStroke(0.8f));
    g.draw(box);
  }

  /**
   * Areas of one shade each, the darker over the paler; cells smaller than a pixel or two are
   * joined to their loudest.
   */
  private static void cells(Graphics2D g, PlotFrame f, Spectrogram gram, double[] range) {
    double left = f.pixelX(gram.fromS());
    double right = f.pixelX(gram.toS());
    double low = f.pixelY(0);
    double high = f.pixelY(gram.topHz());
    int columns = Math.max(1, Math.min(gram.columns(), (int) ((right - left) / 2)));
    int rows = Math.max(1, Math.min(gram.rows(), (int) ((low - high) / 1.5)));
    int[][] step = new int[rows][columns];
    for (int c = 0; c < gram.columns(); c++) {
      for (int r = 0; r < gram.rows(); r++) {
        double part = (gram.levelDb(c, r) - range[0]) / (range[1] - range[0]);
        int row = (int) ((long) r * rows / gram.rows());
        int column = (int) ((long) c * columns / gram.columns());
        step[row][column] = Math.max(step[row][column], (int) Math.rint(part * SHADES));
      }
    }
    double wide = (right - left) / columns;
    double tall = (low - high) / rows;
    for (int s = 1; s <= SHADES; s++) {
      Path2D area = new Path2D.Double();
      for (int r = 0; r < rows; r++) {
        int from = -1;
        for (int c = 0; c <= columns; c++) {
          boolean inside = c < columns && step[r][c] >= s;
          if (inside && from < 0) {
            from = c;
          } else if (!inside && from >= 0) {
            double y = low - (r + 1) * tall;
            area.append(
                new Rectangle2D.Double(left + from * wide, y, (c - from) * wide, tall), false);
            from = -1;
          }
        }
      }
      g.setColor(new Color(shade((double) s / SHADES)));
      g.fill(area);
    }
  }

  private void found(Graphics2D g, PlotFrame f) {
    double from = f.pixelX(heard.fromS());
    double to = f.pixelX(heard.toS());
    if (heard.verdict() != HeardCut.Verdict.NOTHING_HEARD) {
      g.setColor(Panels.GREEN);
      g.setStroke(Panels.SOLID);
      g.draw(new Line2D.Double(from, f.area().y + 3, to, f.area().y + 3));
      g.draw(new Line2D.Double(from, f.area().y, from, f.area().y + 10));
      g.draw(new Line2D.Double(to, f.area().y, to, f.area().y + 10));
    }
    g.setColor(Panels.ORANGE);
    for (SoundLine p : heard.peaks()) {
      if (p.is() == SoundLine.Kind.CHATTER && p.frequencyHz() < f.toY()) {
        // at the edges, so that the line itself is seen
        double y = f.pixelY(p.frequencyHz());
        double left = f.area().x;
        double right = f.area().getMaxX();
        g.setStroke(BROAD_DASHES);
        g.draw(new Line2D.Double(left, y, left + 52, y));
        g.draw(new Line2D.Double(right - 52, y, right, y));
      }
    }
  }
}

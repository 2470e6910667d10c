package ringtrue.report;

import java.util.Locale;
import java.util.Optional;

/** The sheet that a page is set for. */
public enum Paper {
  A4("a4", 210, 297),
  LETTER("letter", 215.9, 279.4);

  private static final double SIDE_MM = 15;
  private static final double TOP_MM = 20;
  private static final double BOTTOM_MM = 18;

  private final String word;
  private final double widthMm;
  private final double heightMm;

  Paper(String word, double widthMm, double heightMm) {
    this.word = word;
    this.widthMm = widthMm;
    this.heightMm = heightMm;
  }

  /** {@code a4} or {@code letter}. */
  public String word() {
    return word;
  }

  /** The sheet of that name, in small or capital letters. */
  public static Optional<Paper> of(String word) {
    for (Paper paper : values()) {
      if (paper.word.equals(word.trim().toLowerCase(Locale.ROOT))) {
        return Optional.of(paper);
      }
    }
    return Optional.empty();
  }

  double textWidthMm() {
    return widthMm - 2 * SIDE_MM;
  }

  double textHeightMm() {
    return heightMm - TOP_MM - BOTTOM_MM;
  }

  /**
   * How pages of this sheet are set.
   *
   * @param left what stands at the top left, as a text of a style sheet
   * @param right what stands at the top right
   */
  String style(String left, String right) {
    return String.format(
        Locale.ROOT,
        """
        @page { size: %.1fmm %.1fmm; margin: %.0fmm %.0fmm %.0fmm;
          @top-left { content: %s; font-family: page; font-size: 8pt; color: #444; }
          @top-right { content: %s; font-family: page; font-size: 8pt; color: #444; }
          @bottom-right { content: "page " counter(page) " of " counter(pages); font-family: page; font-size: 8pt; color: #444; }
        }
        body { font-family: page; font-size: 9.5pt; margin: 0; }
        pre, td.digest { font-family: typed; } td.digest { font-size: 7pt; }
        pre { word-wrap: break-word; page-break-inside: avoid; }
        h1, h2, h3, caption { page-break-after: avoid; }
        figure, table.short, tr, li, .caution, .problem { page-break-inside: avoid; }
        table { -fs-table-paginate: paginate; }
        figcaption, p, li, table.facts td { word-wrap: break-word; }
        """,
        widthMm,
        heightMm,
        TOP_MM,
        SIDE_MM,
        BOTTOM_MM,
        left,
        right);
  }
}

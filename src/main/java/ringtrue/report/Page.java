package ringtrue.report;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.regex.Pattern;

/**
 * A page of headings, paragraphs, lists, tables and pictures, that can be had as one self-contained
 * HTML file or as PDF. Both come from the same text, so that they say the same.
 *
 * <p>Text that comes from files is shown as it is and never read as markup.
 */
public final class Page {
  /** Tables of up to so many rows stay on one sheet; longer ones repeat their header. */
  private static final int ROWS_TOGETHER = 24;

  private static final Pattern NUMBER =
      Pattern.compile("[-−+±<>≥≤ 0-9.,eE]*[0-9][-−+±<>≥≤ 0-9.,eE]*");

  private static final Pattern DIGEST = Pattern.compile("[0-9a-f]{64}");

  /** Cells of up to so many letters stay in one line. */
  private static final int BRIEF = 18;

  private static final String STYLE =
      """
      body { color: #222; line-height: 1.45; overflow-wrap: break-word; }
      h1 { font-size: 1.7em; line-height: 1.2; margin: 0 0 .4em; }
      h2 { font-size: 1.3em; line-height: 1.25; margin: 2em 0 .6em; border-bottom: 2px solid #666; padding-bottom: .15em; }
      h3 { font-size: 1.08em; line-height: 1.3; margin: 1.5em 0 .4em; }
      p { margin: .6em 0; } ul { margin: .6em 0; padding-left: 1.4em; } li { margin: .25em 0; }
      table { border-collapse: collapse; margin: .8em 0; font-size: .92em; }
      caption { text-align: left; font-weight: bold; padding-bottom: .3em; }
      th, td { border-bottom: 1px solid #bbb; padding: .25em 1em .25em 0; text-align: left; vertical-align: top; }
      thead th { border-bottom: 2px solid #666; }
      td.number, th.number { text-align: right; font-variant-numeric: tabular-nums; white-space: nowrap; }
      th.row { font-weight: bold; white-space: nowrap; }
      td.brief, th.brief { white-space: nowrap; } td.digest { font-size: .8em; white-space: nowrap; }
      table.facts { width: 100%; } table.facts th { width: 11em; }
      figure { margin: 1em 0; } figcaption { font-size: .88em; margin-top: .3em; }
      .caution { border: 2px solid #a33b00; border-left-width: 8px; padding: .5em 1em .5em 2em; }
      .problem { border: 2px dashed #222; padding: .5em 1em; }
      .verdict { font-size: 1.15em; font-weight: bold; border: 2px solid #222; padding: .4em .8em; page-break-after: avoid; }
      pre { font-size: .82em; line-height: 1.35; white-space: pre-wrap; overflow-wrap: anywhere; border: 1px solid #bbb; padding: .5em .8em; margin: .5em 0; }
      """;

  private static final String SCREEN =
      """
      body { font-family: system-ui, sans-serif; font-size: 16px; max-width: 62rem; margin: 2rem auto; padding: 0 1rem; }
      pre, td.digest { font-family: ui-monospace, monospace; }
      .wide { overflow-x: auto; } td.words { min-width: 12em; }
      svg { width: 100%; height: auto; border: 1px solid #ccc; display: block; }
      @media print {
        body { max-width: none; margin: 0; padding: 0; font-size: 10pt; }
        h1, h2, h3 { break-after: avoid; } figure, pre, table.short, .caution, .problem { break-inside: avoid; }
        tr, li { break-inside: avoid; } thead { display: table-header-group; } .wide { overflow: visible; }
        svg { width: auto; max-width: 100%; max-height: 200mm; margin: 0 auto; border: none; }
        @page { margin: 16mm 14mm; }
      }
      """;

  private final String title;
  private final List<Part> parts = new ArrayList<>();
  private final List<String> headings = new ArrayList<>();
  private String author = "";

  /** A piece of the page: markup, or a picture. */
  private record Part(String markup, Picture picture, String meaning) {}

  public Page(String title) {
    this.title = title;
    add("<h1>" + escape(title) + "</h1>\n");
  }

  /** Says who made it. */
  public Page by(String who) {
    author = who;
    return this;
  }

  String title() {
    return title;
  }

  public Page heading(String text) {
    headings.add(text);
    add("<h2 id=\"section" + headings.size() + "\">" + escape(text) + "</h2>\n");
    return this;
  }

  public Page smallHeading(String text) {
    return add("<h3>" + escape(text) + "</h3>\n");
  }

  public Page paragraph(String text) {
    return add("<p>" + escape(text) + "</p>\n");
  }

  /** A sentence that is to be seen first. */
  public Page verdict(String text) {
    return add("<p class=\"verdict\">" + escape(text) + "</p>\n");
  }

  /** A sentence on what could not be done. */
  public Page problem(String text) {
    return add("<p class=\"problem\">" + escape(text) + "</p>\n");
  }

  /** Text in its own lines, as in a file or a command. */
  public Page verbatim(String text) {
    return add("<pre>" + escape(text.stripTrailing()) + "</pre>\n");
  }

  /** A list; nothing if there are no items. */
  public Page list(List<String> items) {
    return items(items, "<ul>");
  }

  /** A list that must not be overlooked; nothing if there are no items. */
  public Page cautions(List<String> items) {
    return items(items, "<ul class=\"caution\">");
  }

  private Page items(List<String> items, String opening) {
    if (!items.isEmpty()) {
      StringBuilder list = new StringBuilder(opening).append('\n');
      items.forEach(i -> list.append("<li>").append(escape(i)).append("</li>\n"));
      add(list.append("</ul>\n").toString());
    }
    return this;
  }

  /** A table; cells that look like numbers are set to the right. Nothing if there are no rows. */
  public Page table(String caption, List<String> header, List<List<String>> rows) {
    if (rows.isEmpty()) {
      return this;
    }
    StringBuilder table = opening(caption, rows.size(), "").append("<thead><tr>");
    for (int c = 0; c < header.size(); c++) {
      int column = c;
      boolean numbers =
          rows.stream().allMatch(r -> r.get(column).isEmpty() || isNumber(r.get(column)));
      table
          .append("<th scope=\"col\" class=\"")
          .append(numbers ? "number" : header.get(c).length() <= BRIEF ? "brief" : "")
          .append("\">")
          .append(escape(header.get(c)))
          .append("</th>");
    }
    table.append("</tr></thead>\n<tbody>\n");
    for (List<String> row : rows) {
      table.append("<tr>");
      for (String cell : row) {
        table
            .append("<td class=\"")
            .append(kind(cell))
            .append("\">")
            .append(escape(cell))
            .append("</td>");
      }
      table.append("</tr>\n");
    }
    return add(table.append("</tbody>\n</table></div>\n").toString());
  }

  /** A table of two columns, what and how much; rows without an answer are left out. */
  public Page facts(String caption, List<List<String>> rows) {
    List<List<String>> known = rows.stream().filter(r -> !r.get(1).isBlank()).toList();
    if (known.isEmpty()) {
      return this;
    }
    StringBuilder table = opening(caption, known.size(), "facts ").append("<tbody>\n");
    for (List<String> row : known) {
      table
          .append("<tr><th scope=\"row\" class=\"row\">")
          .append(escape(row.get(0)))
          .append("</th><td>")
          .append(escape(row.get(1)))
          .append("</td></tr>\n");
    }
    return add(table.append("</tbody>\n</table></div>\n").toString());
  }

  private static StringBuilder opening(String caption, int rows, String kind) {
    return new StringBuilder("<div class=\"wide\"><table class=\"")
        .append(kind)
        .append(rows <= ROWS_TOGETHER ? "short" : "long")
        .append("\"><caption>")
        .append(escape(caption))
        .append("</caption>\n");
  }

  private static String kind(String cell) {
    return isNumber(cell)
        ? "number"
        : DIGEST.matcher(cell).matches() ? "digest" : cell.length() <= BRIEF ? "brief" : "words";
  }

  private static boolean isNumber(String cell) {
    return NUMBER.matcher(cell).matches();
  }

  /** A picture with its caption below. */
  public Page picture(Picture picture) {
    parts.add(new Part("", picture, picture.caption()));
    return this;
  }

  private Page add(String markup) {
    parts.add(new Part(markup, null, ""));
    return this;
  }

  /** The whole page as one HTML file that needs nothing else. */
  public String html() {
    int[] ids = {0};
    StringBuilder body = new StringBuilder();
    for (Part part : parts) {
      if (part.picture == null) {
        body.append(part.markup);
      } else {
        figure(body, Svg.inline(part.picture, () -> ids[0]++), part.meaning);
      }
    }
    return "<!DOCTYPE html>\n" + document(STYLE + SCREEN, "", body);
  }

  /**
   * The page as the PDF writer reads it: pictures are named by their number among {@link
   * #pictures}.
   *
   * @param paper sheet and margins
   * @param header what stands at the top of each sheet: left, right
   */
  String printed(Paper paper, String left, String right) {
    StringBuilder body = new StringBuilder();
    int number = 0;
    for (Part part : parts) {
      if (part.picture == null) {
        body.append(part.markup);
      } else {
        Picture.Layout layout = part.picture.bare();
        double width =
            Math.min(
                paper.textWidthMm(), 0.8 * paper.textHeightMm() * layout.width() / layout.height());
        String object =
            String.format(
                Locale.ROOT,
                "<object type=\"%s\" data=\"%d\" title=\"%s\" style=\"width: %.2fmm; height:"
                    + " %.2fmm\"></object>",
                PdfFile.PICTURE,
                number++,
                escape(part.picture.heading()),
                width,
                width * layout.height() / layout.width());
        figure(body, object, part.meaning);
      }
    }
    StringBuilder bookmarks = new StringBuilder("<bookmarks>");
    for (int i = 0; i < headings.size(); i++) {
      bookmarks
          .append("<bookmark name=\"")
          .append(escape(headings.get(i)))
          .append("\" href=\"#section")
          .append(i + 1)
          .append("\"/>");
    }
    return document(
        STYLE + paper.style(cssText(left), cssText(right)), bookmarks + "</bookmarks>\n", body);
  }

  /** Pictures in the order of the page. */
  List<Picture> pictures() {
    return parts.stream().filter(p -> p.picture != null).map(Part::picture).toList();
  }

  private static void figure(StringBuilder body, String picture, String caption) {
    body.append("<figure>")
        .append(picture)
        .append("<figcaption>")
        .append(escape(caption))
        .append("</figcaption></figure>\n");
  }

  private String document(String style, String head, CharSequence body) {
    return "<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\"/>\n"
        + "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"/>\n"
        + (author.isBlank() ? "" : "<meta name=\"author\" content=\"" + escape(author) + "\"/>\n")
        + "<meta name=\"generator\" content=\"ringtrue\"/>\n<title>"
        + escape(title)
        + "</title>\n<style>\n"
        + style
        + "</style>\n"
        + head
        + "</head>\n<body>\n"
        + body
        + "</body>\n</html>\n";
  }

  /** Text in a style sheet: whatever is not plain is written as its number. */
  private static String cssText(String text) {
    StringBuilder css = new StringBuilder("\"");
    printable(text)
        .codePoints()
        .forEach(
            c -> {
              if (c < 128 && (Character.isLetterOrDigit(c) || " .,:-_()/".indexOf(c) >= 0)) {
                css.append((char) c);
              } else {
                css.append(String.format(Locale.ROOT, "\\%06X", c));
              }
            });
    return css.append('"').toString();
  }

  /** The same without characters that no page can hold. */
  static String printable(String text) {
    StringBuilder kept = new StringBuilder();
    text.codePoints()
        .forEach(
            c -> {
              boolean kind =
                  c == '\n'
                      || c == '\t'
                      || !Character.isISOControl(c)
                          && Character.getType(c) != Character.SURROGATE
                          && (c & 0xFFFE) != 0xFFFE;
              if (c != '\r') {
                kept.appendCodePoint(kind ? c : 0xFFFD);
              }
            });
    return kept.toString();
  }

  private static String escape(String text) {
    return printable(text)
        .replace("&", "&amp;")
        .replace("<", "&lt;")
        .replace(">", "&gt;")
        .replace("\"", "&quot;")
        .replace("'", "&#39;");
  }
}

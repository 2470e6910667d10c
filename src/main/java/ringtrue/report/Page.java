package ringtrue.report;

import java.util.Base64;
import java.util.List;

/** A self-contained HTML page: headings, paragraphs, lists, tables and embedded pictures. */
public final class Page {
  private static final String STYLE =
      """
      body { font: 16px/1.5 system-ui, sans-serif; color: #222; max-width: 62rem; margin: 2rem auto; padding: 0 1rem; }
      h1 { font-size: 1.7rem; } h2 { font-size: 1.3rem; margin-top: 2.5rem; border-bottom: 1px solid #bbb; }
      h3 { font-size: 1.1rem; margin-top: 1.8rem; }
      table { border-collapse: collapse; margin: 1rem 0; } caption { text-align: left; font-weight: 600; padding-bottom: .3rem; }
      th, td { border-bottom: 1px solid #ccc; padding: .25rem .8rem .25rem 0; text-align: left; vertical-align: top; }
      td.number, th.number { text-align: right; font-variant-numeric: tabular-nums; }
      img { max-width: 100%; height: auto; border: 1px solid #ddd; }
      .caution { border-left: 6px solid #d55e00; padding: .4rem 1rem; background: #fdf3ec; }
      @media print { body { max-width: none; margin: 0; font-size: 11pt; } h2, h3 { break-after: avoid; } img, table { break-inside: avoid; } }
      """;

  private final StringBuilder body = new StringBuilder();
  private final String title;

  public Page(String title) {
    this.title = title;
    body.append("<h1>").append(escape(title)).append("</h1>\n");
  }

  public Page heading(String text) {
    body.append("<h2>").append(escape(text)).append("</h2>\n");
    return this;
  }

  public Page smallHeading(String text) {
    body.append("<h3>").append(escape(text)).append("</h3>\n");
    return this;
  }

  public Page paragraph(String text) {
    body.append("<p>").append(escape(text)).append("</p>\n");
    return this;
  }

  /** A list; nothing if there are no items. */
  public Page list(List<String> items) {
    return items(items, "<ul>");
  }

  /** A list that must not be overlooked; nothing if there are no items. */
  public Page cautions(List<String> items) {
    return items(items, "<ul class=\"caution\" style=\"list-style-position: inside\">");
  }

  private Page items(List<String> items, String opening) {
    if (!items.isEmpty()) {
      body.append(opening).append('\n');
      items.forEach(i -> body.append("<li>").append(escape(i)).append("</li>\n"));
      body.append("</ul>\n");
    }
    return this;
  }

  /** A table; cells that look like numbers are set to the right. */
  public Page table(String caption, List<String> header, List<List<String>> rows) {
    body.append("<table><caption>").append(escape(caption)).append("</caption>\n<tr>");
    header.forEach(h -> body.append("<th scope=\"col\">").append(escape(h)).append("</th>"));
    body.append("</tr>\n");
    for (List<String> row : rows) {
      body.append("<tr>");
      for (String cell : row) {
        boolean number = cell.matches("[-+±<>≥≤ 0-9.eE]+");
        body.append(number ? "<td class=\"number\">" : "<td>").append(escape(cell)).append("</td>");
      }
      body.append("</tr>\n");
    }
    body.append("</table>\n");
    return this;
  }

  /**
   * A picture, embedded.
   *
   * @param png the PNG file's bytes
   * @param meaning what it shows, for those who cannot see it
   */
  public Page picture(byte[] png, String meaning) {
    body.append("<p><img alt=\"")
        .append(escape(meaning))
        .append("\" src=\"data:image/png;base64,")
        .append(Base64.getEncoder().encodeToString(png))
        .append("\"></p>\n");
    return this;
  }

  /** The whole page. */
  public String html() {
    return "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
        + "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<title>"
        + escape(title)
        + "</title>\n<style>\n"
        + STYLE
        + "</style>\n</head>\n<body>\n"
        + body
        + "</body>\n</html>\n";
  }

  private static String escape(String text) {
    return text.replace("&", "&amp;")
        .replace("<", "&lt;")
        .replace(">", "&gt;")
        .replace("\"", "&quot;");
  }
}

package ringtrue.ui.help;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/** The pages of the help, as simple HTML, and what is found in them. */
final class HelpBook {
  /** Pages that come with the program, in their order. */
  static final List<String> PAGES =
      List.of(
          "start",
          "set-up",
          "taps",
          "response",
          "modes",
          "lobes",
          "cut",
          "listen",
          "plots",
          "terms",
          "sources");

  private static final Pattern PART =
      Pattern.compile("<h([12])>(?:<a name=\"([^\"]*)\">)?(.*?)(?:</a>)?</h[12]>", Pattern.DOTALL);

  /**
   * A part of a page under a heading.
   *
   * @param page name of the page
   * @param anchor its place in the page; empty for the page itself
   * @param title its heading
   * @param html all of it, heading included
   */
  record Part(String page, String anchor, String title, String html) {

    /** What it says, without marks. */
    String text() {
      return plain(html);
    }
  }

  private final Map<String, String> pages = new LinkedHashMap<>();
  private final List<Part> parts = new ArrayList<>();

  /** The pages that come with the program; reads resources. */
  static HelpBook read() {
    HelpBook book = new HelpBook();
    PAGES.forEach(name -> book.add(name, resource("/ringtrue/help/" + name + ".html")));
    return book;
  }

  /** Text of a resource; one sentence if it is missing, as in a build without it. */
  static String resource(String path) {
    try (InputStream in = HelpBook.class.getResourceAsStream(path)) {
      return in == null
          ? "This text is not part of this build: " + path
          : new String(in.readAllBytes(), StandardCharsets.UTF_8);
    } catch (IOException e) {
      return "This text cannot be read: " + path;
    }
  }

  /** Adds a page, or another edition of it. */
  void add(String name, String html) {
    pages.put(name, html);
    parts.removeIf(p -> p.page.equals(name));
    Matcher heads = PART.matcher(html);
    List<int[]> places = new ArrayList<>();
    List<String[]> names = new ArrayList<>();
    while (heads.find()) {
      places.add(new int[] {heads.start()});
      names.add(new String[] {heads.group(2), plain(heads.group(3))});
    }
    for (int i = 0; i < places.size(); i++) {
      int end = i + 1 < places.size() ? places.get(i + 1)[0] : html.length();
      String[] its = names.get(i);
      parts.add(
          new Part(
              name, its[0] == null ? "" : its[0], its[1], html.substring(places.get(i)[0], end)));
    }
  }

  /** A page; that of the start where there is none of that name. */
  String page(String name) {
    return pages.getOrDefault(name, pages.getOrDefault("start", ""));
  }

  /** All parts in the order of the pages. */
  List<Part> parts() {
    return List.copyOf(parts);
  }

  /** What stands first in each page. */
  List<Part> titles() {
    return parts.stream().filter(p -> p.anchor.isEmpty()).toList();
  }

  /**
   * Parts that hold all words of a query, those first whose heading holds them.
   *
   * @param query words in any case; blank finds the titles of all pages
   */
  List<Part> search(String query) {
    List<String> words =
        List.of(query.strip().toLowerCase(Locale.ROOT).split("\\s+")).stream()
            .filter(w -> !w.isEmpty())
            .toList();
    if (words.isEmpty()) {
      return titles();
    }
    return parts.stream()
        .filter(p -> rank(p, words) < 3)
        .sorted(Comparator.comparingInt(p -> rank(p, words)))
        .toList();
  }

  private static int rank(Part part, List<String> words) {
    String title = part.title.toLowerCase(Locale.ROOT);
    if (words.stream().allMatch(title::contains)) {
      return title.startsWith(words.get(0)) ? 0 : 1;
    }
    String all = part.text().toLowerCase(Locale.ROOT);
    return words.stream().allMatch(all::contains) ? 2 : 3;
  }

  private static String plain(String html) {
    return html.replaceAll("<[^>]*>", " ")
        .replace("&lt;", "<")
        .replace("&gt;", ">")
        .replace("&amp;", "&")
        .replaceAll("\\s+", " ")
        .strip();
  }

  /** Text as HTML. */
  static String escaped(String text) {
    return text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;");
  }
}

package ringtrue.ui.help;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.Test;
import ringtrue.ui.desk.Act;
import ringtrue.ui.desk.StageId;

/** The help is whole, and what is looked for is found. */
class HelpBookTest {
  private final HelpBook book = HelpBook.read();

  @Test
  void everyStageHasAPage() {
    for (StageId id : StageId.values()) {
      String name = id.name().toLowerCase(java.util.Locale.ROOT).replace('_', '-');
      assertThat(HelpBook.PAGES).contains(name);
      assertThat(book.page(name)).startsWith("<h1>").doesNotContain("not part of this build");
    }
    assertThat(book.titles()).hasSize(HelpBook.PAGES.size());
  }

  @Test
  void termsAreFoundByTheirNamesFirst() {
    for (String term :
        List.of(
            "receptance",
            "mobility",
            "accelerance",
            "coherence",
            "natural frequency",
            "damping ratio",
            "modal stiffness",
            "stability lobe",
            "flip",
            "hopf",
            "island",
            "tooth passing",
            "chip thinning",
            "process damping",
            "surface location error",
            "usable band")) {
      String words = term.replace("tooth passing", "tooth-passing");
      assertThat(book.search(words).get(0).title().toLowerCase(java.util.Locale.ROOT))
          .as(term)
          .contains(words);
    }
    assertThat(book.search("no such word at all")).isEmpty();
    assertThat(book.search("  ")).isEqualTo(book.titles());
  }

  @Test
  void noPageFetchesAnything() {
    Pattern links = Pattern.compile("(?:href|src)=\"([^\"]*)\"");
    for (String name : HelpBook.PAGES) {
      Matcher link = links.matcher(book.page(name));
      while (link.find()) {
        assertThat(link.group(1)).doesNotContain(":");
        assertThat(HelpBook.PAGES).contains(link.group(1).split("#")[0]);
      }
    }
  }

  @Test
  void everySourceThatIsNamedIsListed() {
    String sources = book.page("sources");
    Pattern named =
        Pattern.compile(
            "([A-Z][a-z\u00e0-\u017e]+)(?:\\s+and\\s+[A-Za-z\u00e0-\u017e]+)?\\s+((?:19|20)\\d\\d)");
    for (String name : List.of("response", "modes", "lobes", "cut", "listen", "terms")) {
      Matcher each = named.matcher(book.page(name));
      while (each.find()) {
        assertThat(sources).as(each.group()).contains(each.group(1)).contains(each.group(2));
      }
    }
  }

  @Test
  void allKeysAreListed() {
    String keys =
        HelpPages.keys(
            List.of(
                Act.of("a", Act.Group.STAGE, "Do <that>", "ctrl shift F5", () -> {}),
                Act.of("b", Act.Group.VIEW, "No keys", "", () -> {})),
            act -> " (there)");
    assertThat(keys)
        .contains("Ctrl+Shift+F5")
        .contains("Do &lt;that&gt; (there)")
        .doesNotContain("No keys");
    assertThat(HelpPages.about("1.2")).contains("1.2").contains("Local codes");
  }
}

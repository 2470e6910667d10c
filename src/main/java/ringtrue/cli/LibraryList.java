package ringtrue.cli;

import java.util.List;
import java.util.Optional;
import picocli.CommandLine;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import ringtrue.library.LibraryEntry;
import ringtrue.library.Outcome;
import ringtrue.library.SetUpFilter;
import ringtrue.library.SetUpLibrary;
import ringtrue.units.BadInputException;
import ringtrue.units.Dimension;

/** {@code library list}: set-ups, all or those that match. */
@CommandLine.Command(
    name = "list",
    sortOptions = false,
    description = "Set-ups, all or those that match everything that is given.")
final class LibraryList extends LibraryPart {
  private static final int WIDEST_TITLE = 60;

  @Mixin private SetUpOptions said = new SetUpOptions();

  @Option(
      names = "--text",
      paramLabel = "WORDS",
      description = "words that must all be somewhere in what is said of it")
  private String text = "";

  @Option(names = "--axis", paramLabel = "AXIS", description = "measured in this direction")
  private String axis = "";

  @Option(names = "--point", paramLabel = "TEXT", description = "measured at this point")
  private String point = "";

  @Option(
      names = "--profile",
      paramLabel = "TEXT",
      description = "measured with this input profile")
  private String profile = "";

  @Option(names = "--since", paramLabel = "DATE", description = "measured on this day or later")
  private String since;

  @Option(names = "--until", paramLabel = "DATE", description = "measured on this day or earlier")
  private String until;

  @Option(
      names = "--mode",
      paramLabel = "LO:HI",
      description = "has a mode between these frequencies, Hz unless said")
  private String mode;

  @Option(
      names = "--outcome",
      paramLabel = "quiet|chattered",
      description = "some cut with it did this")
  private String outcome;

  @Override
  public Integer call() {
    SetUpFilter filter = filter();
    SetUpLibrary library = library();
    SetUpLibrary.Listing all = library.list();
    List<LibraryEntry> shown = all.entries().stream().filter(filter::accepts).toList();
    if (json) {
      JsonOut.write(
          out(),
          o -> {
            o.put("library", library.root().toString());
            o.objects("setUps", shown, LibraryPart::entry);
            o.texts("unreadable", all.unreadable());
          });
    } else {
      print(library, all, shown);
    }
    warn(all.unreadable());
    if (!json) {
      shown.forEach(e -> warn(e.problems()));
    }
    return Ringtrue.DONE;
  }

  private void print(SetUpLibrary library, SetUpLibrary.Listing all, List<LibraryEntry> shown) {
    if (all.entries().isEmpty()) {
      say("no set-ups in %s yet; library save keeps the first one", library.root());
      return;
    }
    if (shown.isEmpty()) {
      say("none of the %d set-ups in %s matches", all.entries().size(), library.root());
      return;
    }
    int width = shown.stream().mapToInt(e -> e.setUp().id().length()).max().orElse(2);
    StringBuilder text = new StringBuilder(100 * shown.size());
    row(text, width, "id", "measured", "last", "cuts", "what");
    for (LibraryEntry entry : shown) {
      row(
          text,
          width,
          entry.setUp().id(),
          entry.measured().isEmpty() ? "-" : entry.directions(),
          day(entry.lastDate()),
          cuts(entry),
          shortened(entry.setUp().title(), entry.setUp().parts()));
    }
    out().print(text);
    say("%d of %d set-ups in %s", shown.size(), all.entries().size(), library.root());
  }

  /** Ten thousand rows are put together by hand: formatting each costs as much as reading it. */
  private static void row(StringBuilder text, int width, String id, String... rest) {
    padded(text, id, width);
    padded(text, rest[0], 12);
    padded(text, rest[1], 10);
    padded(text, rest[2], 10);
    text.append(rest[3]).append(System.lineSeparator());
  }

  private static void padded(StringBuilder text, String word, int width) {
    text.append(word);
    for (int i = word.length(); i < width + 2; i++) {
      text.append(' ');
    }
  }

  private static String cuts(LibraryEntry entry) {
    if (entry.quiet() + entry.chattered() == 0) {
      return "-";
    }
    return entry.quiet() + " o, " + entry.chattered() + " x";
  }

  private static String shortened(String title, String parts) {
    String all = parts.isEmpty() || title.equals(parts) ? title : title + ": " + parts;
    String line =
        all.indexOf('\n') < 0 && all.indexOf('\t') < 0 ? all : all.replaceAll("\\s+", " ");
    return line.length() > 2 * WIDEST_TITLE
        ? line.substring(0, 2 * WIDEST_TITLE - 3) + "..."
        : line;
  }

  private SetUpFilter filter() {
    double low = Double.NaN;
    double high = Double.NaN;
    if (mode != null) {
      String[] ends = mode.split(":", -1);
      if (ends.length != 2) {
        throw new BadInputException(
            "--mode: \"" + mode + "\" must be two frequencies like 800:950");
      }
      low = Options.number("--mode", ends[0], Dimension.FREQUENCY, "Hz");
      high = Options.number("--mode", ends[1], Dimension.FREQUENCY, "Hz");
      if (!(low >= 0 && high >= low)) {
        throw new BadInputException("--mode: \"" + mode + "\" must rise, like 800:950");
      }
    }
    return new SetUpFilter(
        said.said(),
        text,
        axis,
        point,
        profile,
        Optional.ofNullable(since).map(t -> moment("--since", t, false)),
        Optional.ofNullable(until).map(t -> moment("--until", t, true)),
        low,
        high,
        Optional.ofNullable(outcome).map(t -> result("--outcome", t)));
  }

  static Outcome.Result result(String where, String word) {
    for (Outcome.Result each : Outcome.Result.values()) {
      if (each.word().equalsIgnoreCase(word.strip())) {
        return each;
      }
    }
    throw new BadInputException(where + ": \"" + word + "\" must be quiet or chattered");
  }
}

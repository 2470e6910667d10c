package ringtrue.cli;

import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.Callable;
import picocli.CommandLine;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;
import ringtrue.units.BadInputException;
import ringtrue.units.Names;

/** {@code library}: saved set-ups, their history and what cuts did. */
@CommandLine.Command(
    name = "library",
    sortOptions = false,
    description = "Saved set-ups: what is clamped where, its measurements, and what cuts did.",
    footer = {
      "",
      "Example: ringtrue library save tip-x.json tip-y.json --machine \"router\" --holder ER20"
          + " --tool \"6 mm four-flute\" --stick-out \"22 mm\"",
      "         ringtrue library list --tool four-flute --since 2026-01-01",
      "In a cut file: \"dynamics\": {\"tool\": {\"saved\": \"ID\"}}"
    },
    subcommands = {
      LibraryList.class,
      LibraryShow.class,
      LibrarySave.class,
      LibraryHistory.class,
      LibraryCompare.class,
      LibraryNearest.class,
      LibraryOutcome.class,
      LibraryRemove.class,
      LibraryRestore.class,
      LibraryBin.class,
      LibraryCheck.class,
      LibraryExport.class,
      LibraryImport.class
    })
final class LibraryCommand implements Callable<Integer> {
  @Spec private CommandSpec spec;

  @Option(
      names = {"-h", "--help"},
      usageHelp = true,
      description = "show this help")
  private boolean help;

  @Parameters(arity = "0..*", hidden = true)
  private List<String> words = new ArrayList<>();

  @Override
  public Integer call() {
    if (words.isEmpty()) {
      spec.commandLine().usage(spec.commandLine().getOut());
      return Ringtrue.DONE;
    }
    throw new BadInputException(
        "library: \""
            + words.get(0)
            + "\" is none of its commands; "
            + Names.closest(words.get(0), spec.subcommands().keySet())
                .map(n -> "did you mean " + n + "? ")
                .orElse("")
            + "They are: "
            + String.join(", ", spec.subcommands().keySet()));
  }
}

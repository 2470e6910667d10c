package ringtrue.cli;

import picocli.CommandLine;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import ringtrue.library.SetUpLibrary;

/** {@code library restore}: out of the bin. */
@CommandLine.Command(
    name = "restore",
    sortOptions = false,
    description = "Brings back what was removed.")
final class LibraryRestore extends LibraryPart {
  @Parameters(
      paramLabel = "NAME",
      description = "id of what was removed, or its name in the bin where there are several")
  private String name;

  @Option(
      names = "--new-id",
      description = "give a set-up another id if its own is taken meanwhile")
  private boolean newId;

  @Override
  public Integer call() {
    SetUpLibrary.Removed restored = library().restore(name, newId);
    if (json) {
      JsonOut.write(out(), o -> LibraryBin.toJson(o, restored));
    } else {
      say("restored %s", restored.id() + (restored.part().isEmpty() ? "" : "/" + restored.part()));
    }
    return Ringtrue.DONE;
  }
}

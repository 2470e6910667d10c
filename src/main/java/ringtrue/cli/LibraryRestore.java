package ringtrue.cli;

import picocli.CommandLine;
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

  @Override
  public Integer call() {
    SetUpLibrary.Removed restored = library().restore(name);
    if (json) {
      JsonOut.write(out(), o -> LibraryBin.toJson(o, restored));
    } else {
      say("restored %s", restored.id() + (restored.part().isEmpty() ? "" : "/" + restored.part()));
    }
    return Ringtrue.DONE;
  }
}

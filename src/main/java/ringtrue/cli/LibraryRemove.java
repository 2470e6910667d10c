package ringtrue.cli;

import java.time.Instant;
import picocli.CommandLine;
import picocli.CommandLine.Parameters;
import ringtrue.library.SetUpLibrary;

/** {@code library remove}: to the bin. */
@CommandLine.Command(
    name = "remove",
    sortOptions = false,
    description = "Moves a set-up, or one of its measurements or outcomes, to the bin.")
final class LibraryRemove extends LibraryPart {
  @Parameters(index = "0", paramLabel = "ID", description = "the set-up's id")
  private String id;

  @Parameters(
      index = "1",
      arity = "0..1",
      paramLabel = "PART",
      description = "id of a measurement or an outcome of it")
  private String part;

  @Override
  public Integer call() {
    SetUpLibrary library = library();
    SetUpLibrary.Removed removed =
        part == null ? library.remove(id, Instant.now()) : library.remove(id, part, Instant.now());
    if (json) {
      JsonOut.write(out(), o -> LibraryBin.toJson(o, removed));
    } else {
      say(
          "moved %s to the bin; library restore %s brings it back",
          removed.part().isEmpty() ? id : id + "/" + removed.part(), part == null ? id : part);
    }
    return Ringtrue.DONE;
  }
}

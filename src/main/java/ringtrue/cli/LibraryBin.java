package ringtrue.cli;

import java.util.List;
import picocli.CommandLine;
import picocli.CommandLine.Option;
import ringtrue.library.SetUpLibrary;

/** {@code library bin}: what was removed. */
@CommandLine.Command(
    name = "bin",
    sortOptions = false,
    description = "What was removed, the latest first.")
final class LibraryBin extends LibraryPart {
  @Option(names = "--empty", description = "delete all of it for good")
  private boolean empty;

  @Override
  public Integer call() {
    SetUpLibrary library = library();
    List<SetUpLibrary.Removed> all = library.bin();
    int deleted = empty ? library.emptyBin() : 0;
    if (json) {
      JsonOut.write(
          out(), o -> o.objects("removed", all, LibraryBin::toJson).put("deleted", deleted));
    } else if (empty) {
      say("deleted %d for good", deleted);
    } else if (all.isEmpty()) {
      say("the bin is empty");
    } else {
      for (SetUpLibrary.Removed each : all) {
        say("%s  %s", minute(each.removed()), each.name());
      }
      say("library restore NAME brings one back, library bin --empty deletes all for good");
    }
    return Ringtrue.DONE;
  }

  static void toJson(JsonOut o, SetUpLibrary.Removed removed) {
    o.put("name", removed.name()).put("id", removed.id()).put("part", removed.part());
    o.put("removed", removed.removed().toString());
  }
}

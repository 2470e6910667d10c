package ringtrue.cli;

import java.nio.file.Path;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import picocli.CommandLine;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import ringtrue.library.NearestSetUps;
import ringtrue.library.SetUp;
import ringtrue.library.SetUpFile;
import ringtrue.library.SetUpLibrary;
import ringtrue.units.BadInputException;

/** {@code library nearest}: the saved set-ups that are most like a new one. */
@CommandLine.Command(
    name = "nearest",
    sortOptions = false,
    description = "Saved set-ups that are most like a new one, with what differs.")
final class LibraryNearest extends LibraryPart {
  private static final int MOST = 1000;

  @Option(
      names = "--set-up",
      paramLabel = "FILE.json",
      description = "what is clamped where, as a file (ringtrue-setup/1)")
  private Path description;

  @Mixin private SetUpOptions said = new SetUpOptions();

  @Option(names = "--count", paramLabel = "N", description = "how many to show (default: 5)")
  private int count = 5;

  @Override
  public Integer call() {
    if (count < 1 || count > MOST) {
      throw new BadInputException(
          "--count: must be a whole number from 1 to " + MOST + ", is " + count);
    }
    Map<SetUp.Field, String> about = new EnumMap<>(SetUp.Field.class);
    if (description != null) {
      about.putAll(SetUpFile.description(description));
    }
    about.putAll(said.said());
    if (about.isEmpty()) {
      throw new BadInputException(
          "nearest: say something of the new set-up, like --tool \"6 mm four-flute\" --stick-out"
              + " \"22 mm\"");
    }
    SetUpLibrary.Listing all = library().list();
    List<NearestSetUps.Near> near =
        NearestSetUps.of(about, all.entries()).stream().limit(count).toList();
    if (json) {
      JsonOut.write(
          out(),
          o ->
              o.objects(
                  "setUps",
                  near,
                  (x, n) -> {
                    entry(x, n.entry());
                    x.put("distance", n.distance()).texts("differences", n.differences());
                  }));
    } else if (near.isEmpty()) {
      say("no set-ups in %s yet", library().root());
    } else {
      for (NearestSetUps.Near n : near) {
        say("%-40s %s", n.entry().setUp().id(), n.entry().setUp().title());
        say(
            "    %s",
            n.differences().isEmpty()
                ? "nothing that you said differs"
                : String.join("; ", n.differences()));
      }
      say("");
      say("A set-up that differs vibrates differently: tap yours before you trust its lobes.");
    }
    warn(all.unreadable());
    return Ringtrue.DONE;
  }
}

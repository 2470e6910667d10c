package ringtrue.cli;

import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import picocli.CommandLine;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import ringtrue.library.MeasurementKeeper;
import ringtrue.library.NearestSetUps;
import ringtrue.library.SavedMeasurement;
import ringtrue.library.SavedSetUp;
import ringtrue.library.SetUp;
import ringtrue.library.SetUpFile;
import ringtrue.library.SetUpLibrary;
import ringtrue.units.BadInputException;

/** {@code library save}: a new set-up, more measurements of one, or what is said of it. */
@CommandLine.Command(
    name = "save",
    sortOptions = false,
    description = {
      "Saves a new set-up with its measurements, or adds some to a saved one.",
      "With --to, its earlier measurements stay, and what is said of it changes. Several files in",
      "one direction count as one clamping, in the order given."
    },
    footer = {
      "",
      "Example: ringtrue library save tip-x.json tip-y.json --machine router --tool \"6 mm four-flute\""
          + " --stick-out \"22 mm\"",
      "         ringtrue library save tip-x-again.json --to 6-mm-four-flute-22-mm-k3f9w"
    })
final class LibrarySave extends LibraryPart {
  @Parameters(
      arity = "0..*",
      paramLabel = "MEASUREMENT.json|FRF.csv|FRF.unv",
      description = "measurement files, or frequency responses (CSV as frf writes it, dataset 58)")
  private List<Path> files = new ArrayList<>();

  @Option(names = "--to", paramLabel = "ID", description = "a saved set-up to add to or to change")
  private String to;

  @Option(
      names = "--set-up",
      paramLabel = "FILE.json",
      description = "what is clamped where, as a file (ringtrue-setup/1); options go before it")
  private Path description;

  @Mixin private SetUpOptions said = new SetUpOptions();

  @Option(
      names = "--date",
      paramLabel = "DATE",
      description = "when it was measured, like 2026-03-01T09:30 (default: now)")
  private String date;

  @Option(
      names = "--axis",
      paramLabel = "AXIS",
      description = "direction, for files that do not name it")
  private String axis = "";

  @Option(
      names = "--profile",
      paramLabel = "NAME",
      description = "input profile that it was measured with")
  private String profile = "";

  @Option(
      names = "--same-clamping",
      description = "it was not taken out since the measurement before in the same direction")
  private boolean sameClamping;

  @Option(
      names = "--clamped-between",
      description = "it was taken out between the files of one direction, too")
  private boolean clampedBetween;

  @Option(names = "--note", paramLabel = "TEXT", description = "a note on these measurements")
  private String note = "";

  private final List<String> clampings = new ArrayList<>();

  @Override
  public Integer call() {
    Map<SetUp.Field, String> about = new EnumMap<>(SetUp.Field.class);
    if (description != null) {
      about.putAll(SetUpFile.description(description));
    }
    about.putAll(said.said());
    SetUpLibrary library = library();
    Instant now = Instant.now();
    if (to == null) {
      SetUp.of("draft", now, about); // complains before long work
    } else {
      library.read(to);
      if (files.isEmpty() && about.isEmpty()) {
        throw new BadInputException(
            "--to: give measurements to add, or what is to be said of the set-up");
      }
    }
    List<MeasurementKeeper.Kept> kept = measured(now);
    return to == null ? fresh(library, about, kept, now) : more(library, about, kept, now);
  }

  private List<MeasurementKeeper.Kept> measured(Instant now) {
    MeasurementKeeper.About about =
        new MeasurementKeeper.About(
            date == null ? now : moment("--date", date, false),
            axis,
            profile,
            !sameClamping,
            note,
            "ringtrue " + Ringtrue.version());
    List<MeasurementKeeper.Kept> kept = new ArrayList<>();
    try (TerminalProgress progress = new TerminalProgress(err())) {
      for (Path file : files) {
        kept.add(MeasurementKeeper.of(file, about, progress));
      }
    }
    Map<String, Integer> along = new HashMap<>();
    for (int i = 0; i < kept.size(); i++) {
      int before = along.merge(kept.get(i).found().axis(), 1, Integer::sum) - 1;
      if (before > 0) {
        kept.set(i, kept.get(i).after(before, clampedBetween));
      }
    }
    if (!clampedBetween) {
      along.forEach(
          (direction, count) -> {
            if (count > 1) {
              clampings.add(
                  direction
                      + ": the "
                      + count
                      + " files count as one clamping; with --clamped-between each is one");
            }
          });
    }
    return kept;
  }

  private Integer fresh(
      SetUpLibrary library,
      Map<SetUp.Field, String> about,
      List<MeasurementKeeper.Kept> kept,
      Instant now) {
    List<NearestSetUps.Near> near =
        NearestSetUps.of(about, library.list().entries()).stream()
            .filter(n -> n.distance() == 0)
            .limit(1)
            .toList();
    SetUp setUp = library.create(about, kept, now);
    List<String> remarks = said(kept);
    near.forEach(
        n ->
            remarks.add(
                "nothing that was said of it differs from "
                    + n.entry().setUp().id()
                    + "; if it is the same, use --to next time, so that its history stays together"));
    return done(library, library.read(setUp.id()).measurements(), setUp, "saved", remarks);
  }

  private Integer more(
      SetUpLibrary library,
      Map<SetUp.Field, String> about,
      List<MeasurementKeeper.Kept> kept,
      Instant now) {
    List<SavedMeasurement> added = new ArrayList<>();
    for (MeasurementKeeper.Kept each : kept) {
      added.add(library.add(to, each.found(), each.filling()));
    }
    SavedSetUp saved = library.read(to);
    SetUp setUp = saved.setUp();
    List<String> remarks = said(kept);
    if (!about.isEmpty() && !setUp.with(about, now).said().equals(setUp.said())) {
      SetUpLibrary.Changed changed = library.change(setUp, about, now);
      setUp = changed.setUp();
      changed
          .conflict()
          .ifPresent(
              f ->
                  remarks.add(
                      "somebody else changed the description at the same time; yours is kept as "
                          + f.getFileName()
                          + " beside it"));
    }
    return done(library, added, setUp, "added to", remarks);
  }

  private List<String> said(List<MeasurementKeeper.Kept> kept) {
    List<String> remarks = new ArrayList<>(clampings);
    for (MeasurementKeeper.Kept each : kept) {
      remarks.addAll(each.found().remarks());
      remarks.addAll(each.remarks());
    }
    return remarks;
  }

  private Integer done(
      SetUpLibrary library,
      List<SavedMeasurement> added,
      SetUp setUp,
      String verb,
      List<String> remarks) {
    if (json) {
      JsonOut.write(
          out(),
          o -> {
            o.put("library", library.root().toString());
            describe(o, setUp);
            o.objects("measurements", added, LibraryShow::measurement);
            o.texts("remarks", remarks);
          });
    } else {
      say("%s %s", verb, setUp.id());
      for (SavedMeasurement m : added) {
        say("  %s: %s", m.id(), modes(m));
      }
      say("in a cut file: \"dynamics\": {\"tool\": {\"saved\": \"%s\"}}", setUp.id());
    }
    remarks(remarks);
    return Ringtrue.DONE;
  }

  private static String modes(SavedMeasurement m) {
    int n = m.modes().size();
    return n + (n == 1 ? " mode in " : " modes in ") + m.axis();
  }
}

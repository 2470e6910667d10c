package ringtrue.cli;

import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import picocli.CommandLine;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import ringtrue.library.Catalogue;
import ringtrue.library.Cut;
import ringtrue.library.CutCopy;
import ringtrue.library.CutFile;
import ringtrue.library.Outcome;
import ringtrue.library.SavedOutcomes;
import ringtrue.library.SetUpLibrary;
import ringtrue.planning.OutcomeCheck;
import ringtrue.units.BadInputException;
import ringtrue.units.Dimension;

/** {@code library outcome}: what a cut did. */
@CommandLine.Command(
    name = "outcome",
    sortOptions = false,
    description = {
      "Keeps what a cut did and holds it against the map.",
      "Does it fit, and if not, which input would have to be otherwise?"
    },
    footer = {
      "",
      "Example: ringtrue library outcome 6-mm-four-flute-k3f9w slot.json chattered --at \"612 Hz\""
    })
final class LibraryOutcome extends LibraryPart {
  @Parameters(index = "0", paramLabel = "ID", description = "the set-up's id")
  private String id;

  @Parameters(index = "1", paramLabel = "CUT.json", description = "the cut as it was made")
  private Path file;

  @Parameters(index = "2", paramLabel = "quiet|chattered", description = "what it did")
  private String did;

  @Option(
      names = "--at",
      paramLabel = "FREQUENCY",
      description = "the frequency of the chatter, where it is known, like \"612 Hz\"")
  private String at;

  @Option(names = "--note", paramLabel = "TEXT", description = "a note")
  private String note = "";

  @Option(names = "--date", paramLabel = "DATE", description = "when it was cut (default: now)")
  private String date;

  @Option(
      names = "--units",
      paramLabel = "mm|in",
      description = "lengths in what is printed (default: mm)")
  private String units = "mm";

  @Option(
      names = "--catalogue",
      paramLabel = "FILE",
      description = "your own materials (CSV) or machines (JSON); repeatable")
  private List<Path> catalogueFiles = new ArrayList<>();

  @Override
  public Integer call() {
    Outcome.Result result = LibraryList.result("outcome", did);
    if (at != null) {
      Options.number("--at", at, Dimension.FREQUENCY, "Hz");
      if (result == Outcome.Result.QUIET) {
        throw new BadInputException("--at: a quiet cut has no chatter frequency");
      }
    }
    Instant when = date == null ? Instant.now() : moment("--date", date, false);
    SetUpLibrary library = library();
    library.read(id);
    Catalogue catalogue = CutCommand.catalogue(catalogueFiles);
    Outcome kept;
    OutcomeText text;
    List<String> remarks = new ArrayList<>();
    try (TerminalProgress progress = new TerminalProgress(err())) {
      Cut cut = CutFile.read(file, catalogue, library, progress);
      remarks.addAll(cut.remarks());
      CutCopy copy = CutCopy.of(file);
      kept =
          library.add(
              id,
              cut.name(),
              copy.text(),
              copy::into,
              new Outcome("new", when, "new", result, frequency(), note));
      if (!CutCopy.savedIn(file).contains(id)) {
        remarks.add(
            "the cut does not name this set-up, as in \"dynamics\": {\"tool\": {\"saved\": \""
                + id
                + "\"}}: lobes of other cuts with it will not count this one");
      }
      text = checked(cut, library, catalogue, remarks, progress);
    } catch (BadInputException e) {
      throw e.getMessage().contains(id) ? e : Places.named(file, e);
    }
    if (json) {
      JsonOut.write(
          out(),
          o -> {
            o.put("setUp", id);
            LibraryShow.outcome(o, kept);
            text.json(o);
            o.texts("remarks", remarks);
          });
    } else {
      say("kept as %s, cut %s", kept.id(), kept.cut());
      text.lines(lengthUnit(units)).forEach(out()::println);
    }
    remarks(remarks);
    return Ringtrue.DONE;
  }

  /** The outcome is kept by now; what cannot be checked is a remark. */
  private OutcomeText checked(
      Cut cut,
      SetUpLibrary library,
      Catalogue catalogue,
      List<String> remarks,
      TerminalProgress progress) {
    try {
      SavedOutcomes known = SavedOutcomes.of(file, cut, library, catalogue, progress);
      remarks.addAll(known.remarks());
      return new OutcomeText(known, known.against(cut.process(), progress));
    } catch (BadInputException e) {
      remarks.add("not held against the map: " + e.getMessage());
      return new OutcomeText(
          new SavedOutcomes(List.of(), List.of()),
          new OutcomeCheck.Result(List.of(), List.of(), List.of()));
    }
  }

  private String frequency() {
    return at == null ? "" : at.strip().matches("[0-9.eE+]+") ? at.strip() + " Hz" : at.strip();
  }
}

package ringtrue.cli;

import java.nio.file.Path;
import java.util.List;
import picocli.CommandLine;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** {@code library export}: a set-up as one file. */
@CommandLine.Command(
    name = "export",
    sortOptions = false,
    description = "Packs a set-up with everything that belongs to it into one file.")
final class LibraryExport extends LibraryPart {
  @Parameters(paramLabel = "ID", description = "the set-up's id")
  private String id;

  @Option(names = "--out", required = true, paramLabel = "FILE.zip", description = "where to")
  private Path target;

  @Override
  public Integer call() {
    requireEnding("--out", target, ".zip");
    mayWrite(target);
    List<String> left;
    try (TerminalProgress progress = new TerminalProgress(err())) {
      left = library().pack(id, target, overwrite, progress);
    }
    List<String> remarks =
        left.stream().map(n -> n + " stayed out: of a kind that belongs into no set-up").toList();
    if (json) {
      JsonOut.write(
          out(), o -> o.put("id", id).put("file", target.toString()).texts("remarks", remarks));
    }
    wrote(target);
    remarks(remarks);
    return Ringtrue.DONE;
  }
}

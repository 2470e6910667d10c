package ringtrue.cli;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import picocli.CommandLine;
import picocli.CommandLine.Parameters;
import ringtrue.dynamics.Progress;
import ringtrue.library.SetUpLibrary;
import ringtrue.units.BadInputException;

/** {@code library import}: set-ups from files that {@code export} made. */
@CommandLine.Command(
    name = "import",
    sortOptions = false,
    description = {
      "Takes in set-ups that export packed.",
      "Whatever is in such a file, nothing is written outside the library, and nothing of what is",
      "there is changed."
    })
final class LibraryImport extends LibraryPart {
  @Parameters(arity = "1..*", paramLabel = "FILE.zip", description = "files that export wrote")
  private List<Path> files;

  private record Taken(Path file, String id, String problem) {}

  @Override
  public Integer call() {
    SetUpLibrary library = library();
    List<Taken> all = new ArrayList<>();
    try (TerminalProgress progress = new TerminalProgress(err())) {
      for (Path file : files) {
        try {
          all.add(new Taken(file, library.unpack(file, progress), ""));
        } catch (BadInputException e) {
          if (files.size() == 1) {
            throw e;
          }
          all.add(new Taken(file, "", e.getMessage()));
        }
      }
    }
    if (json) {
      JsonOut.write(
          out(),
          o ->
              o.objects(
                  "imported",
                  all,
                  (x, t) -> {
                    x.put("file", t.file.toString());
                    x.put(t.id.isEmpty() ? "problem" : "id", t.id.isEmpty() ? t.problem : t.id);
                  }));
    } else {
      all.stream().filter(t -> !t.id.isEmpty()).forEach(t -> say("%s: %s", t.file, t.id));
    }
    for (Taken taken : all) {
      if (!taken.id.isEmpty()) {
        warn(library.look(List.of(taken.id), Progress.NONE));
      }
    }
    List<String> problems = all.stream().map(Taken::problem).filter(p -> !p.isEmpty()).toList();
    warn(problems);
    return problems.isEmpty() ? Ringtrue.DONE : Ringtrue.BAD_INPUT;
  }
}

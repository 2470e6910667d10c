package ringtrue.cli;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import picocli.CommandLine;
import picocli.CommandLine.Option;
import ringtrue.library.SetUpLibrary;

/** {@code library check}: what cannot be read. */
@CommandLine.Command(
    name = "check",
    sortOptions = false,
    description = {
      "Names what cannot be read, recordings, responses and cuts included.",
      "The rest of the library works without it; bring damaged files back from a backup where there",
      "is one. --set-aside moves damaged outcomes, and whole measurements and set-ups whose modes or",
      "description are damaged, to _damaged in the library's folder; nothing is deleted."
    })
final class LibraryCheck extends LibraryPart {
  @Option(names = "--set-aside", description = "move what is damaged out of the way")
  private boolean setAside;

  @Override
  public Integer call() {
    SetUpLibrary library = library();
    List<String> moved = setAside ? library.setDamagedAside(Instant.now()) : List.of();
    SetUpLibrary.Listing all = library.list();
    List<String> problems = new ArrayList<>(all.unreadable());
    all.entries().forEach(e -> problems.addAll(e.problems()));
    try (TerminalProgress progress = new TerminalProgress(err())) {
      List<String> ids = all.entries().stream().map(e -> e.setUp().id()).toList();
      problems.addAll(library.look(ids, progress));
    }
    if (json) {
      JsonOut.write(
          out(),
          o -> {
            o.put("library", library.root().toString()).put("setUps", all.entries().size());
            o.texts("problems", problems).texts("setAside", moved);
          });
    } else {
      moved.forEach(m -> say("%s", m));
      problems.forEach(p -> say("%s", p));
      say(
          "%d set-ups can be read, %s",
          all.entries().size(),
          problems.isEmpty() ? "nothing is damaged" : problems.size() + " problems");
      if (!problems.isEmpty()) {
        say(
            "Bring damaged files back from a backup, or measure again; what cannot be read does not"
                + " count.");
      }
    }
    return problems.isEmpty() ? Ringtrue.DONE : Ringtrue.BAD_INPUT;
  }
}

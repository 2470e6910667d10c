package ringtrue.library;

import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Set;

/** The files of saved set-ups that a result rests on. */
public final class SavedFiles {
  private SavedFiles() {}

  /**
   * Descriptions, modes and outcomes, so that a result can be computed again and checked.
   *
   * @param ids set-ups
   * @param library where they are kept
   */
  public static List<InputFiles.Source> of(Set<String> ids, SetUpLibrary library) {
    List<InputFiles.Source> sources = new ArrayList<>();
    for (String id : ids) {
      SavedSetUp saved = library.read(id);
      add(sources, saved.folder().resolve(SetUpFile.NAME));
      for (SavedMeasurement m : saved.measurements()) {
        add(sources, saved.folder(m).resolve(SavedMeasurementFile.NAME));
      }
      for (Outcome outcome : saved.outcomes()) {
        add(sources, saved.folder().resolve(SetUpFolder.OUTCOMES).resolve(outcome.id() + ".json"));
      }
    }
    return List.copyOf(sources);
  }

  private static void add(List<InputFiles.Source> sources, Path file) {
    if (Files.isRegularFile(file, LinkOption.NOFOLLOW_LINKS)) {
      sources.add(InputFiles.source(file));
    }
  }
}

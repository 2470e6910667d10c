package ringtrue.cli;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import ringtrue.dynamics.Progress;
import ringtrue.library.Catalogue;
import ringtrue.library.Cut;
import ringtrue.library.CutFile;
import ringtrue.library.UserFolder;
import ringtrue.report.LengthUnit;

/** What commands on a cut file have in common. */
abstract class CutCommand extends Command {
  @Parameters(
      arity = "1..*",
      paramLabel = "CUT.json",
      description = "cut files (ringtrue-cut/1); several are done one by one")
  private List<String> named;

  private List<Path> files;

  /** The file, where it is the only one. */
  Path file;

  @Option(
      names = "--units",
      paramLabel = "mm|in",
      description = "lengths in what is printed and drawn (default: mm)")
  String units = "mm";

  @Option(
      names = "--catalogue",
      paramLabel = "FILE",
      description =
          "your own materials (CSV) or machines (JSON), before the bundled ones; repeatable")
  List<Path> catalogueFiles = new ArrayList<>();

  @Option(
      names = "--library",
      paramLabel = "DIR",
      description = "where saved set-ups are kept (default: library in your data folder)")
  Path libraryFolder;

  /** The files that were named, * and ? looked up. */
  List<Path> files() {
    if (files == null) {
      files = Batch.files(named);
      file = files.get(0);
    }
    return files;
  }

  LengthUnit unit() {
    return lengthUnit(units);
  }

  Cut readCut(Progress progress) {
    return readCut(file, progress);
  }

  Cut readCut(Path from, Progress progress) {
    return CutFile.read(
        from, catalogue(catalogueFiles), LibraryPart.library(libraryFolder), progress);
  }

  /** The bundled rows, the user's own folder over them, the named files over those. */
  static Catalogue catalogue(List<Path> named) {
    List<Path> files = new ArrayList<>(ownCatalogueFiles());
    files.addAll(named);
    return Catalogue.with(files);
  }

  /** Files in the user's own folder. */
  static List<Path> ownCatalogueFiles() {
    Path own = UserFolder.catalogue();
    return Files.isDirectory(own) ? UserFolder.filesIn(own) : List.of();
  }
}

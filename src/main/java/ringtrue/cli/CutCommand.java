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
import ringtrue.report.LengthUnit;

/** What commands on a cut file have in common. */
abstract class CutCommand extends Command {
  @Parameters(paramLabel = "CUT.json", description = "a cut file (ringtrue-cut/1)")
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

  LengthUnit unit() {
    return lengthUnit(units);
  }

  Cut readCut(Progress progress) {
    return CutFile.read(
        file, catalogue(catalogueFiles), LibraryPart.library(libraryFolder), progress);
  }

  /** The bundled rows, the user's own folder over them, the named files over those. */
  static Catalogue catalogue(List<Path> named) {
    List<Path> files = new ArrayList<>();
    Path own = UserFolder.catalogue();
    if (Files.isDirectory(own)) {
      files.addAll(UserFolder.filesIn(own));
    }
    files.addAll(named);
    return Catalogue.with(files);
  }
}

package ringtrue.ui.shell;

import java.nio.file.Path;
import java.util.List;
import ringtrue.ui.desk.Desk;

/** Opens files of any kind that the program knows. */
final class FileOpener {
  private FileOpener() {}

  static void open(Desk desk, List<Path> files) {
    desk.say("opening " + files.get(0).getFileName());
  }
}

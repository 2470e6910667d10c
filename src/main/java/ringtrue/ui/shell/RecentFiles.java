package ringtrue.ui.shell;

import java.nio.file.Files;
import java.nio.file.InvalidPathException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import ringtrue.ui.desk.Desk;
import ringtrue.ui.desk.Settings;

/** Files that were opened lately, remembered in the settings. */
final class RecentFiles {
  private static final String NAME = "recent";
  private static final int MOST = 8;

  private RecentFiles() {}

  /** Remembers a file as the latest one. */
  static void add(Desk desk, Path file) {
    List<String> all = new ArrayList<>(names(desk.settings()));
    String name = file.toAbsolutePath().normalize().toString();
    all.remove(name);
    all.add(0, name);
    desk.remember(NAME, String.join("\n", all.subList(0, Math.min(MOST, all.size()))));
  }

  private static List<String> names(Settings settings) {
    return settings.text(NAME, "").lines().filter(l -> !l.isBlank()).toList();
  }

  /** Those that are still there, the latest first; asks the disk. */
  static List<Path> there(Desk desk) {
    List<Path> all = new ArrayList<>();
    for (String name : names(desk.settings())) {
      try {
        Path file = Path.of(name);
        if (Files.isRegularFile(file)) {
          all.add(file);
        }
      } catch (InvalidPathException e) {
        continue; // written on another system
      }
    }
    return all;
  }
}

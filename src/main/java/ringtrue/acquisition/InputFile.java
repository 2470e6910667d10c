package ringtrue.acquisition;

import java.io.IOException;
import java.nio.channels.FileChannel;
import java.nio.file.AccessDeniedException;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import ringtrue.units.BadInputException;

/** Opens files that the user named. */
final class InputFile {
  private InputFile() {}

  /**
   * Opens a file for reading.
   *
   * @param name what a complaint calls it
   * @throws BadInputException if there is none, or it may not be read
   */
  static FileChannel open(Path path, String name) throws IOException {
    if (Files.isDirectory(path)) {
      throw new BadInputException(name + ": this is a folder, a file is needed");
    }
    try {
      return FileChannel.open(path, StandardOpenOption.READ);
    } catch (NoSuchFileException e) {
      throw new BadInputException(name + ": there is no such file", e);
    } catch (AccessDeniedException e) {
      throw new BadInputException(name + ": no permission to read this file", e);
    }
  }
}

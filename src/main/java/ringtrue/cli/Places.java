package ringtrue.cli;

import java.nio.file.Path;
import ringtrue.units.BadInputException;

/** Puts a file's name in front of a complaint that does not name it. */
final class Places {
  private Places() {}

  static BadInputException named(Path file, BadInputException e) {
    String name = file.getFileName().toString();
    return e.getMessage().startsWith(name + ":") ? e : e.at(name);
  }
}

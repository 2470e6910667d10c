package ringtrue.library;

import java.nio.file.Path;
import java.util.Locale;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.ResponseForm;
import ringtrue.library.Dataset58.Wanted;
import ringtrue.units.BadInputException;

/** Files that hold frequency responses: CSV or universal files, told apart by their names. */
public final class ResponseFile {
  private ResponseFile() {}

  /** Whether a file's name is that of a frequency response. */
  public static boolean isNameOf(Path file) {
    return file.toString().toLowerCase(Locale.ROOT).endsWith(".csv") || Dataset58.isNameOf(file);
  }

  /**
   * Reads a response.
   *
   * @param wanted which one, if the file holds several
   * @throws BadInputException if it cannot be used
   */
  public static FrequencyResponse read(Path file, Wanted wanted) {
    if (Dataset58.isNameOf(file)) {
      return Dataset58.read(file, wanted);
    }
    if (wanted.function().isPresent()) {
      throw new BadInputException(
          file.getFileName() + ": holds one response; \"function\" is for universal files (.unv)");
    }
    return FrequencyResponseCsv.read(file);
  }

  /**
   * What a file of that name holds.
   *
   * @param form what a universal file gives; CSV is always a receptance
   */
  public static String text(Path file, FrequencyResponse response, ResponseForm form) {
    return Dataset58.isNameOf(file)
        ? Dataset58Text.of(response, form)
        : FrequencyResponseCsv.toText(response);
  }
}

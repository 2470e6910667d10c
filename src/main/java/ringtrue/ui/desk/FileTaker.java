package ringtrue.ui.desk;

import java.nio.file.Path;
import java.util.Optional;

/**
 * Somebody who can open files of some kind. The stage that is seen is asked first, then the others
 * in the order in which they were added. Called on the event thread: files are read in a task.
 */
public interface FileTaker {
  /** A recording of sound or taps as WAV. */
  String WAV = "wav";

  /** A frequency response as CSV, of this program or in columns. */
  String RESPONSE = "response";

  /** A recording as text in columns. */
  String TEXT = "text";

  /** A universal file. */
  String UNIVERSAL = "universal";

  /** A set-up packed into one file. */
  String ARCHIVE = "archive";

  /**
   * Whether it opens this file; quick, the file is not read for it.
   *
   * @param file what is to be opened
   * @param format what it is: the format that a JSON file claims, as {@code "ringtrue-cut/1"}, or
   *     one of the words of this interface
   */
  boolean takes(Path file, String format);

  /** Opens it. A job is open when this is called. */
  void take(Path file);

  /**
   * Opens it, where what it holds tells more than its name.
   *
   * @param format as in {@link #takes}
   */
  default void take(Path file, String format) {
    take(file);
  }

  /** The stage that it belongs to, brought to the front before the file is taken. */
  default Optional<StageId> stage() {
    return Optional.empty();
  }
}

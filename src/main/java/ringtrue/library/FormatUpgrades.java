package ringtrue.library;

import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.Map;
import java.util.concurrent.ConcurrentHashMap;
import java.util.function.Consumer;
import ringtrue.units.BadInputException;

/**
 * Ways from one version of a file format to the next. A file of an older version is brought up to
 * date while it is read, step by step, and stays on the disk as it is; when it is written next, the
 * library keeps it in {@code earlier/} as it was. Newer versions are refused.
 *
 * <p>All formats are at version 1 so far. With version n + 1 of a format belongs an entry here that
 * changes the tree of a file of version n, and a test with a file of version n.
 */
final class FormatUpgrades {
  private static final Map<String, Consumer<ObjectNode>> STEPS = new ConcurrentHashMap<>();

  private FormatUpgrades() {}

  /**
   * @param format name of the format, without version
   * @param from the version that the step starts from
   * @param step changes the tree in place; the format line is changed by the caller
   * @return takes the step away again
   */
  static AutoCloseable register(String format, int from, Consumer<ObjectNode> step) {
    String key = format + "/" + from;
    if (STEPS.putIfAbsent(key, step) != null) {
      throw new IllegalStateException("there is a step from " + key + " already");
    }
    return () -> STEPS.remove(key);
  }

  /**
   * Brings a file up to date.
   *
   * @param file what messages call it
   * @throws BadInputException if there is no way from its version
   */
  static void apply(String file, ObjectNode tree, String format, int from, int to) {
    for (int version = from; version < to; version++) {
      Consumer<ObjectNode> step = STEPS.get(format + "/" + version);
      if (step == null) {
        throw new BadInputException(
            file
                + ": format: \""
                + format
                + "/"
                + from
                + "\" is older than this program understands (from "
                + format
                + "/"
                + to
                + ")");
      }
      step.accept(tree);
      tree.put("format", format + "/" + (version + 1));
    }
  }
}

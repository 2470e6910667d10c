package ringtrue.library;

import java.nio.file.Path;
import java.time.DateTimeException;
import java.time.Instant;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import ringtrue.units.BadInputException;

/**
 * The file {@code set-up.json} of a set-up's folder, format {@code ringtrue-setup/1}: what is
 * clamped where. What was measured and cut lies beside it in folders, so that nothing here has to
 * change when something is added.
 */
public final class SetUpFile {
  /** Its name in the folder. */
  public static final String NAME = "set-up.json";

  static final String FORMAT = "ringtrue-setup";
  static final int VERSION = 1;
  private static final int MOST_REVISIONS = 1_000_000_000;

  private SetUpFile() {}

  private static List<String> fields() {
    List<String> all = new ArrayList<>(List.of("id", "revision", "created", "changed"));
    for (SetUp.Field field : SetUp.Field.values()) {
      all.add(field.json());
    }
    return all;
  }

  /** The text of the file. */
  public static String toText(SetUp setUp) {
    return JsonText.of(
        FORMAT + "/" + VERSION,
        o -> {
          o.put("id", setUp.id());
          o.put("revision", setUp.revision());
          o.put("created", setUp.created().toString());
          o.put("changed", setUp.changed().toString());
          for (SetUp.Field field : SetUp.Field.values()) {
            if (field.kind() == SetUp.Field.Kind.COUNT) {
              if (setUp.said().containsKey(field)) {
                o.put(field.json(), Long.parseLong(setUp.text(field)));
              }
            } else {
              o.put(field.json(), setUp.text(field));
            }
          }
        });
  }

  /**
   * Reads what {@link #toText} wrote.
   *
   * @param name what messages call the file
   * @throws BadInputException if it cannot be used, or a newer program is needed
   */
  public static SetUp ofText(String name, String text) {
    JsonFields all = JsonFields.ofText(name, text, FORMAT, VERSION, fields());
    try {
      return new SetUp(
          all.requiredText("id", "\"end-mill-6mm-k3f9w\""),
          all.whole("revision", 1, MOST_REVISIONS).orElseThrow(() -> all.missing("revision", "1")),
          instant(all, "created"),
          instant(all, "changed"),
          said(all));
    } catch (BadInputException e) {
      throw e.getMessage().startsWith(name + ":") ? e : e.at(name);
    }
  }

  /**
   * A description that the user wrote: the same fields, of which only the descriptive ones are
   * needed.
   *
   * @param file a file in the same format
   * @return what it says
   */
  public static Map<SetUp.Field, String> description(Path file) {
    return said(JsonFields.open(file, FORMAT, VERSION, fields()));
  }

  private static Map<SetUp.Field, String> said(JsonFields all) {
    EnumMap<SetUp.Field, String> said = new EnumMap<>(SetUp.Field.class);
    for (SetUp.Field field : SetUp.Field.values()) {
      if (field.kind() == SetUp.Field.Kind.COUNT) {
        all.whole(field.json(), 1, 100).ifPresent(n -> said.put(field, Integer.toString(n)));
      } else {
        all.text(field.json()).ifPresent(t -> said.put(field, t));
      }
    }
    return said;
  }

  /** A moment as files hold it. */
  static Instant instant(JsonFields all, String field) {
    String text = all.requiredText(field, "\"2026-03-01T09:30:00Z\"");
    try {
      return Instant.parse(text);
    } catch (DateTimeException e) {
      throw all.problem(
          field, "\"" + text + "\" is no moment; write it like \"2026-03-01T09:30:00Z\"");
    }
  }
}

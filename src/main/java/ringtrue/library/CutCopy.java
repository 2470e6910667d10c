package ringtrue.library;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import ringtrue.library.SetUpLibrary.Filer;
import ringtrue.units.BadInputException;

/** A cut file, and copies of what it names, to be laid beside each other in a folder. */
public final class CutCopy {
  private final String text;
  private final Map<String, Path> files = new LinkedHashMap<>();
  private final Map<String, MeasurementCopy> measurements = new LinkedHashMap<>();

  private CutCopy(Path file, ObjectNode all, String prefix) {
    for (String body : List.of("tool", "workpiece")) {
      for (String axis : List.of("x", "y", "xy")) {
        if (all.path("dynamics").path(body).get(axis) instanceof ObjectNode given) {
          String name = prefix + body + "-" + axis;
          if (given.path("frf").isTextual()) {
            copied(file, given, "frf", name);
          }
          if (given.path("modes").isTextual()) {
            copied(file, given, "modes", name + "-modes");
          }
          if (given.path("measurement").isTextual() && !given.has("saved")) {
            measurements.put(name, MeasurementCopy.of(beside(file, given.path("measurement"))));
            given.put("measurement", name + "/" + SavedMeasurementFile.MEASUREMENT);
          }
        }
      }
    }
    text = JsonText.pretty(all);
  }

  /** Notes a file to be copied and names the copy, which keeps its ending: it tells the format. */
  private void copied(Path file, ObjectNode given, String field, String name) {
    Path source = beside(file, given.path(field));
    String from = source.getFileName().toString();
    int dot = from.lastIndexOf('.');
    String ending = dot < 0 ? "" : from.substring(dot).toLowerCase(java.util.Locale.ROOT);
    String copy = name + (ending.matches("\\.[a-z0-9]{1,8}") ? ending : ".csv");
    files.put(copy, source);
    given.put(field, copy);
  }

  private static Path beside(Path file, JsonNode name) {
    return file.toAbsolutePath().resolveSibling(name.textValue());
  }

  /**
   * @param file a cut file that can be read
   */
  public static CutCopy of(Path file) {
    return of(file, "");
  }

  /**
   * The same with names of its own for the copies.
   *
   * @param prefix begins the name of each copy
   */
  public static CutCopy of(Path file, String prefix) {
    return new CutCopy(file, tree(file), prefix);
  }

  private static ObjectNode tree(Path file) {
    String name = file.getFileName().toString();
    try {
      if (JsonFields.tree(Files.readString(file, StandardCharsets.UTF_8), name)
          instanceof ObjectNode all) {
        return all;
      }
    } catch (IOException e) {
      throw new BadInputException(name + ": cannot be read: " + SafeFile.reason(e), e);
    }
    throw new BadInputException(name + ": must hold one JSON object");
  }

  /** Ids of the saved set-ups that a cut file names, in the order in which it does. */
  public static Set<String> savedIn(Path file) {
    Set<String> ids = new LinkedHashSet<>();
    JsonNode dynamics = tree(file).path("dynamics");
    for (String body : List.of("tool", "workpiece")) {
      JsonNode directions = dynamics.path(body);
      if (directions.path("saved").isTextual()) {
        ids.add(directions.path("saved").textValue().strip());
      }
      for (JsonNode axis : directions) {
        if (axis.path("saved").isTextual()) {
          ids.add(axis.path("saved").textValue().strip());
        }
      }
    }
    return ids;
  }

  /** Files that a cut file names, whether they are there or not. */
  static List<Path> namedIn(Path file) {
    List<Path> named = new ArrayList<>();
    JsonNode dynamics = tree(file).path("dynamics");
    for (String body : List.of("tool", "workpiece")) {
      for (JsonNode axis : dynamics.path(body)) {
        for (String field : List.of("frf", "measurement")) {
          if (axis.path(field).isTextual() && !axis.has("saved")) {
            named.add(beside(file, axis.path(field)));
          }
        }
      }
    }
    return named;
  }

  /**
   * A cut file with another id in place of one that it names.
   *
   * @return its text; empty where it does not name it
   */
  static Optional<String> renamed(Path file, String id, String other) {
    ObjectNode all = tree(file);
    boolean any = false;
    for (String body : List.of("tool", "workpiece")) {
      JsonNode directions = all.path("dynamics").path(body);
      List<JsonNode> holders = new ArrayList<>(List.of(directions));
      directions.forEach(holders::add);
      for (JsonNode holder : holders) {
        if (holder instanceof ObjectNode named && named.path("saved").asText("").equals(id)) {
          named.put("saved", other);
          any = true;
        }
      }
    }
    return any ? Optional.of(JsonText.pretty(all)) : Optional.empty();
  }

  /** The cut file with the new names. */
  public String text() {
    return text;
  }

  /** Copies what it names. */
  public void into(Path folder, Filer filer) throws IOException {
    for (Map.Entry<String, Path> each : files.entrySet()) {
      filer.copy(each.getValue(), folder.resolve(each.getKey()));
    }
    for (Map.Entry<String, MeasurementCopy> measurement : measurements.entrySet()) {
      measurement.getValue().into(filer.folder(folder, measurement.getKey()), filer);
    }
  }
}

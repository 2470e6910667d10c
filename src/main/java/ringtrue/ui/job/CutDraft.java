package ringtrue.ui.job;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.json.JsonMapper;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.regex.Pattern;
import ringtrue.units.BadInputException;

/**
 * A cut as it is being described: the text of a cut file ({@code ringtrue-cut/1}) that need not be
 * whole yet. What the user wrote is kept in his words and units; what the window does not show is
 * kept as it is.
 *
 * @param json one JSON object
 */
public record CutDraft(String json) {
  private static final JsonMapper JSON = new JsonMapper();
  private static final String RESPONSE = "frf";
  private static final Pattern NUMBER = Pattern.compile("\\d{1,3}");

  /** An end mill in a plain cut, without machine and dynamics. */
  public static final CutDraft NEW =
      new CutDraft("{\"format\":\"ringtrue-cut/1\",\"operation\":\"milling\"}")
          .with(CutField.DIRECTION, "down");

  /**
   * @throws BadInputException if the text is not one JSON object
   */
  public CutDraft {
    json = parsed(json).toString();
  }

  private static ObjectNode parsed(String text) {
    try {
      if (JSON.readTree(text) instanceof ObjectNode object) {
        return object;
      }
    } catch (JsonProcessingException e) {
      throw new BadInputException("the cut cannot be read: it is no JSON", e);
    }
    throw new BadInputException("a cut must be one JSON object");
  }

  /** What is said of a field, as text; empty where nothing is. */
  public String text(CutField field) {
    JsonNode node = parsed(json);
    for (String name : field.path().split("\\.")) {
      node = node.path(name);
    }
    if (node.isArray()) {
      List<String> parts = new ArrayList<>();
      node.forEach(n -> parts.add(n.isArray() ? pair(n) : n.asText()));
      return String.join(field == CutField.POWER ? "; " : ", ", parts);
    }
    return node.isValueNode() ? node.asText("") : "";
  }

  private static String pair(JsonNode node) {
    List<String> both = new ArrayList<>();
    node.forEach(n -> both.add(n.asText()));
    return String.join(" ", both);
  }

  /** Whether anything is said of a field. */
  public boolean has(CutField field) {
    return !text(field).isEmpty();
  }

  /** The same with something else said of a field; blank text takes it back. */
  public CutDraft with(CutField field, String text) {
    ObjectNode root = parsed(json);
    String[] path = field.path().split("\\.");
    ObjectNode into = root;
    for (int i = 0; i < path.length - 1; i++) {
      JsonNode next = into.get(path[i]);
      into = next instanceof ObjectNode object ? object : into.putObject(path[i]);
    }
    String name = path[path.length - 1];
    String said = text.strip();
    if (said.isEmpty()) {
      into.remove(name);
    } else if (field == CutField.POWER) {
      power(into.putArray(name), said);
    } else if (field.list() && said.contains(",")) {
      ArrayNode list = into.putArray(name);
      for (String each : said.split(",")) {
        list.add(each.strip());
      }
    } else if (field == CutField.FLUTES && NUMBER.matcher(said).matches()) {
      into.put(name, Integer.parseInt(said));
    } else {
      into.put(name, said);
    }
    for (int i = path.length - 1; i > 0; i--) {
      removeEmpty(root, path, i);
    }
    return new CutDraft(root.toString());
  }

  /** "6000 rpm 0.5 kW; 24000 rpm 2.2 kW": what follows the word rpm is the power. */
  private static void power(ArrayNode into, String text) {
    for (String point : text.split(";")) {
      String both = point.strip();
      if (both.isEmpty()) {
        continue;
      }
      int rpm = both.toLowerCase(Locale.ROOT).indexOf("rpm");
      ArrayNode pair = into.addArray();
      if (rpm < 0) {
        pair.add(both);
      } else {
        pair.add(both.substring(0, rpm + 3).strip());
        pair.add(both.substring(rpm + 3).strip());
      }
    }
  }

  private static void removeEmpty(ObjectNode root, String[] path, int depth) {
    ObjectNode parent = root;
    for (int i = 0; i < depth - 1; i++) {
      parent = (ObjectNode) parent.get(path[i]);
    }
    if (parent.get(path[depth - 1]) instanceof ObjectNode object && object.isEmpty()) {
      parent.remove(path[depth - 1]);
    }
  }

  /** Whether it is a turned one. */
  public boolean turning() {
    return text(CutField.OPERATION).equals("turning");
  }

  /** The directions whose dynamics count. */
  public List<Direction> directions() {
    return turning()
        ? List.of(Direction.TOOL_X, Direction.WORK_X)
        : List.of(Direction.TOOL_X, Direction.TOOL_Y, Direction.WORK_X, Direction.WORK_Y);
  }

  /** Whether a direction is described in the text itself, as in a cut file that was opened. */
  public boolean describes(Direction direction) {
    return parsed(json).path("dynamics").path(direction.part().word()).has(direction.axis());
  }

  /**
   * Whether a direction counts with its response as it was measured, not with modes fitted to it.
   */
  public boolean countsAsMeasured(Measured measured) {
    Direction direction = measured.direction();
    return measured.kind() == Measured.Kind.RESPONSE
        && parsed(json)
            .path("dynamics")
            .path(direction.part().word())
            .path(direction.axis())
            .path(RESPONSE)
            .asText("")
            .equals(measured.file());
  }

  /**
   * The same with a direction counting in the one way or the other.
   *
   * @param measured a response that was measured
   * @param asMeasured whether the response itself counts; otherwise the modes fitted to it
   */
  public CutDraft counting(Measured measured, boolean asMeasured) {
    Direction direction = measured.direction();
    String part = direction.part().word();
    ObjectNode root = parsed(json);
    ObjectNode all = objectIn(objectIn(root, "dynamics"), part);
    all.remove(direction.axis());
    if (asMeasured) {
      all.putObject(direction.axis()).put(RESPONSE, measured.file());
    }
    removeEmpty(root, new String[] {"dynamics", part, direction.axis()}, 2);
    removeEmpty(root, new String[] {"dynamics", part}, 1);
    return new CutDraft(root.toString());
  }

  /**
   * The text of the cut file.
   *
   * @param dynamics JSON objects for directions, in place of what the text says of them
   */
  public String file(Map<Direction, String> dynamics) {
    ObjectNode root = parsed(json);
    dynamics.forEach(
        (direction, object) -> {
          ObjectNode all = objectIn(root, "dynamics");
          objectIn(all, direction.part().word()).set(direction.axis(), parsed(object));
        });
    return root.toPrettyString();
  }

  /** The text of the cut file with nothing that gives: quick to read, all else is there. */
  public String fileWithoutModes() {
    ObjectNode root = parsed(json);
    objectIn(root, "dynamics").remove(List.of("tool", "workpiece"));
    return root.toString();
  }

  private static ObjectNode objectIn(ObjectNode parent, String name) {
    return parent.get(name) instanceof ObjectNode object ? object : parent.putObject(name);
  }
}

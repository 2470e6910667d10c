package ringtrue.library;

import com.fasterxml.jackson.core.JsonLocation;
import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.DeserializationFeature;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.json.JsonMapper;
import java.util.ArrayList;
import java.util.Iterator;
import java.util.List;
import ringtrue.planning.Machine;
import ringtrue.units.BadInputException;
import ringtrue.units.Dimension;
import ringtrue.units.Names;
import ringtrue.units.Quantity;

/**
 * Reads what a machine can do: a file in the format {@code ringtrue-machine/1}, or the {@code
 * machine} part of a cut file, which has the same fields.
 */
public final class CatalogueMachine {
  private static final String FORMAT = "ringtrue-machine/";
  private static final List<String> FIELDS =
      List.of("format", "name", "minSpeed", "maxSpeed", "maxFeed", "power");
  private static final ObjectMapper JSON =
      JsonMapper.builder()
          .enable(DeserializationFeature.FAIL_ON_TRAILING_TOKENS)
          .enable(com.fasterxml.jackson.core.JsonParser.Feature.STRICT_DUPLICATE_DETECTION)
          .build();

  private CatalogueMachine() {}

  /**
   * Reads a machine file.
   *
   * @param place what to call the file in messages
   * @param text its text
   * @throws BadInputException naming file and field
   */
  public static Machine read(String place, String text) {
    JsonNode node;
    try {
      node = JSON.readTree(text);
    } catch (JsonProcessingException e) {
      JsonLocation at = e.getLocation();
      String where = at == null ? place : place + ", line " + at.getLineNr();
      throw new BadInputException(where + ": not valid JSON: " + e.getOriginalMessage(), e);
    }
    JsonNode format = node.path("format");
    if (!format.isTextual() || !format.textValue().startsWith(FORMAT)) {
      throw new BadInputException(
          place + ": format: a machine file starts with \"format\": \"ringtrue-machine/1\"");
    }
    if (!format.textValue().equals(FORMAT + "1")) {
      throw new BadInputException(
          place
              + ": format: version \""
              + format.textValue()
              + "\" is not known to this program, which reads ringtrue-machine/1");
    }
    try {
      return from(node);
    } catch (BadInputException e) {
      throw e.at(place);
    }
  }

  /**
   * Reads the fields of a machine.
   *
   * @param node the JSON object; {@code format} may be left out
   * @throws BadInputException naming the field
   */
  public static Machine from(JsonNode node) {
    if (!node.isObject()) {
      throw new BadInputException("a machine is an object like {\"name\": \"…\", …}");
    }
    for (Iterator<String> names = node.fieldNames(); names.hasNext(); ) {
      String field = names.next();
      if (!FIELDS.contains(field)) {
        String near = Names.closest(field, FIELDS).map(n -> ", closest known: " + n).orElse("");
        throw new BadInputException("unknown field \"" + field + "\"" + near);
      }
    }
    JsonNode name = node.path("name");
    if (!name.isMissingNode() && !name.isTextual()) {
      throw new BadInputException("name: must be text in quotes");
    }
    double low = quantity(node.path("minSpeed"), "minSpeed", Dimension.SPINDLE_SPEED);
    double high = quantity(node.path("maxSpeed"), "maxSpeed", Dimension.SPINDLE_SPEED);
    if (low > high) {
      throw new BadInputException("minSpeed: must not be above maxSpeed");
    }
    double feed = quantity(node.path("maxFeed"), "maxFeed", Dimension.VELOCITY);
    return new Machine(name.asText(""), low, high, feed, curve(node.path("power")));
  }

  private static List<Machine.PowerPoint> curve(JsonNode power) {
    List<Machine.PowerPoint> points = new ArrayList<>();
    if (power.isMissingNode()) {
      return points;
    }
    String example = "; write it like [[\"6000 rpm\", \"0.5 kW\"], [\"24000 rpm\", \"2.2 kW\"]]";
    if (!power.isArray()) {
      throw new BadInputException("power: must be a list of points" + example);
    }
    for (JsonNode point : power) {
      String field = "power[" + points.size() + "]";
      if (!point.isArray() || point.size() != 2) {
        throw new BadInputException(field + ": must be a speed and a power" + example);
      }
      double rpm = quantity(point.get(0), field + "[0]", Dimension.SPINDLE_SPEED);
      double watt = quantity(point.get(1), field + "[1]", Dimension.POWER);
      if (!points.isEmpty() && !(rpm > points.get(points.size() - 1).speedRpm())) {
        throw new BadInputException(field + ": speeds must rise from point to point");
      }
      points.add(new Machine.PowerPoint(rpm, watt));
    }
    return points;
  }

  /** A positive quantity; NaN where the field is left out. */
  private static double quantity(JsonNode value, String field, Dimension dimension) {
    if (value.isMissingNode()) {
      return Double.NaN;
    }
    if (!value.isTextual()) {
      throw new BadInputException(
          field
              + ": must be a "
              + dimension.words()
              + " with its unit in quotes, like \""
              + dimension.example()
              + "\"");
    }
    double number;
    try {
      number = Quantity.parse(value.textValue(), dimension);
    } catch (BadInputException e) {
      throw e.at(field);
    }
    if (!(number > 0)) {
      throw new BadInputException(
          field + ": \"" + value.textValue() + "\" must be above 0, like " + dimension.example());
    }
    return number;
  }
}

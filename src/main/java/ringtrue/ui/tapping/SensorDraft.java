package ringtrue.ui.tapping;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.json.JsonMapper;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.Arrays;
import java.util.Collections;
import java.util.EnumMap;
import java.util.Map;
import java.util.Optional;
import java.util.regex.Pattern;
import ringtrue.acquisition.ResponseQuantity;
import ringtrue.library.InputProfile;
import ringtrue.ui.job.Direction;
import ringtrue.units.BadInputException;
import ringtrue.units.Dimension;
import ringtrue.units.Quantity;

/**
 * What the user wrote of hammer and sensor, in his words; it need not be right yet.
 *
 * @param said text for each field that has one
 */
record SensorDraft(Map<SensorField, String> said) {
  private static final JsonMapper JSON = new JsonMapper();
  private static final Pattern WHOLE = Pattern.compile("-?\\d{1,6}");

  /** Channels one and two, an accelerometer; sensitivities have to be said. */
  static final SensorDraft FIRST =
      new SensorDraft(
          Map.of(
              SensorField.FORCE_CHANNEL, "1",
              SensorField.RESPONSE_CHANNEL, "2",
              SensorField.QUANTITY, "acceleration",
              SensorField.FORCE_POLARITY, "+",
              SensorField.RESPONSE_POLARITY, "+"));

  SensorDraft {
    EnumMap<SensorField, String> all = new EnumMap<>(SensorField.class);
    said.forEach(
        (field, text) -> {
          if (!text.isBlank()) {
            all.put(field, text.strip());
          }
        });
    said = Collections.unmodifiableMap(all);
  }

  String text(SensorField field) {
    return said.getOrDefault(field, "");
  }

  SensorDraft with(SensorField field, String text) {
    EnumMap<SensorField, String> all = new EnumMap<>(SensorField.class);
    all.putAll(said);
    all.put(field, text);
    return new SensorDraft(all);
  }

  /** A measurement of which only name, axis and point are known. */
  static String named(Direction direction) {
    return base(direction).toPrettyString();
  }

  private static ObjectNode base(Direction direction) {
    return JSON.createObjectNode()
        .put("format", "ringtrue-measurement/1")
        .put("name", direction.words())
        .put("axis", direction.axis())
        .put("point", Where.point(direction));
  }

  /**
   * The text of a measurement file that says all of it; whoever reads it complains of what is
   * wrong.
   *
   * @param textFile whether the recording has columns instead of channels
   */
  String measurement(Direction direction, boolean textFile) {
    ObjectNode root = base(direction);
    if (!textFile) {
      root.putObject("response"); // so that it is asked for
    }
    boolean force =
        said.containsKey(textFile ? SensorField.FORCE_COLUMN : SensorField.FORCE_CHANNEL)
            || !textFile && said.containsKey(SensorField.FORCE_SENSITIVITY);
    said.forEach(
        (field, text) -> {
          if (field.isOf(textFile) && (force || !field.name().startsWith("FORCE"))) {
            put(root, field, text);
          }
        });
    return root.toPrettyString();
  }

  private static void put(ObjectNode root, SensorField field, String text) {
    String[] path = field.path().split("\\.");
    ObjectNode into =
        root.get(path[0]) instanceof ObjectNode object ? object : root.putObject(path[0]);
    if (field.isNumber() && WHOLE.matcher(text).matches()) {
      into.put(path[1], Integer.parseInt(text));
    } else {
      into.put(path[1], text);
    }
  }

  /**
   * The same as an input profile.
   *
   * @param device name of the sound input
   * @throws BadInputException if anything is wrong or missing; its field stands in front
   */
  InputProfile profile(String name, String device, int rateHz, int bits) {
    if (name.isBlank()) {
      throw new BadInputException("name: a profile needs a name, like \"bench box\"");
    }
    ResponseQuantity quantity =
        Arrays.stream(ResponseQuantity.values())
            .filter(q -> q.word().equals(text(SensorField.QUANTITY)))
            .findFirst()
            .orElse(ResponseQuantity.ACCELERATION);
    String mass = text(SensorField.SENSOR_MASS);
    return new InputProfile(
        name.strip(),
        device,
        rateHz,
        bits,
        "",
        text(SensorField.FORCE_CHANNEL).isEmpty()
            ? Optional.empty()
            : Optional.of(
                line(
                    SensorField.FORCE_CHANNEL,
                    SensorField.FORCE_SENSITIVITY,
                    SensorField.FORCE_FULL_SCALE,
                    SensorField.FORCE_POLARITY,
                    Dimension.VOLTAGE_PER_FORCE)),
        line(
            SensorField.RESPONSE_CHANNEL,
            SensorField.RESPONSE_SENSITIVITY,
            SensorField.RESPONSE_FULL_SCALE,
            SensorField.RESPONSE_POLARITY,
            quantity.sensitivityDimension()),
        quantity,
        mass.isEmpty() ? 0 : quantity(SensorField.SENSOR_MASS, Dimension.MASS),
        0,
        "");
  }

  private InputProfile.Line line(
      SensorField channel,
      SensorField sensitivity,
      SensorField fullScale,
      SensorField polarity,
      Dimension dimension) {
    String number = text(channel);
    if (!number.matches("[1-9]|1[0-6]")) {
      throw new BadInputException(channel.path() + ": must be a whole number from 1 to 16");
    }
    double volts = quantity(fullScale, Dimension.VOLTAGE);
    double perUnit = quantity(sensitivity, dimension);
    return new InputProfile.Line(
        Integer.parseInt(number), perUnit, volts, false, 0, 0, text(polarity).equals("-") ? -1 : 1);
  }

  private double quantity(SensorField field, Dimension dimension) {
    String text = text(field);
    if (text.isEmpty()) {
      throw new BadInputException(
          field.path() + ": is missing; write it like \"" + field.example() + "\"");
    }
    try {
      double value = Quantity.parse(text, dimension);
      if (!(value > 0)) {
        throw new BadInputException("\"" + text + "\" must be more than zero");
      }
      return value;
    } catch (BadInputException e) {
      throw e.at(field.path());
    }
  }

  /** To be remembered. */
  String remembered() {
    ObjectNode root = JSON.createObjectNode();
    said.forEach((field, text) -> root.put(field.name(), text));
    return root.toString();
  }

  /** What was remembered; of what cannot be read, nothing. */
  static SensorDraft ofRemembered(String text) {
    if (text.isEmpty()) {
      return FIRST;
    }
    try {
      JsonNode root = JSON.readTree(text);
      EnumMap<SensorField, String> all = new EnumMap<>(SensorField.class);
      for (SensorField field : SensorField.values()) {
        all.put(field, root.path(field.name()).asText(""));
      }
      return new SensorDraft(all);
    } catch (JsonProcessingException e) {
      return FIRST;
    }
  }
}

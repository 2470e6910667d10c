package ringtrue.library;

import java.util.ArrayList;
import java.util.List;
import ringtrue.planning.Machine;
import ringtrue.units.Dimension;

/** Reads the description of a machine, in a cut file or in a machine file of the catalogue. */
final class MachineFields {
  static final List<String> NAMES = List.of("name", "minSpeed", "maxSpeed", "maxFeed", "power");

  /** A machine of which nothing is known. */
  static final Machine UNKNOWN = new Machine("", Double.NaN, Double.NaN, Double.NaN, List.of());

  private MachineFields() {}

  /**
   * Reads the text of a machine file, format {@code ringtrue-machine/1}.
   *
   * @param place what messages call the file
   */
  static Machine ofText(String place, String text) {
    JsonFields fields = JsonFields.ofText(place, text, "ringtrue-machine", 1, NAMES);
    fields.requiredText("name", "\"light knee mill\"");
    return read(fields, UNKNOWN);
  }

  /**
   * @param fields an object with the fields of {@link #NAMES}
   * @param base what holds for fields that are left out
   */
  static Machine read(JsonFields fields, Machine base) {
    double min = fields.positive("minSpeed", Dimension.SPINDLE_SPEED).orElse(base.minSpeedRpm());
    double max = fields.positive("maxSpeed", Dimension.SPINDLE_SPEED).orElse(base.maxSpeedRpm());
    if (min > max) {
      throw fields.problem("minSpeed", min + " rpm is above maxSpeed, " + max + " rpm");
    }
    List<Machine.PowerPoint> power = new ArrayList<>();
    List<double[]> pairs = fields.pairs("power", Dimension.SPINDLE_SPEED, Dimension.POWER);
    for (int i = 0; i < pairs.size(); i++) {
      double speed = pairs.get(i)[0];
      double watts = pairs.get(i)[1];
      if (!(speed > 0) || !(watts > 0)) {
        throw fields.problem("power[" + i + "]", "speed and power must be more than zero");
      }
      if (i > 0 && !(speed > pairs.get(i - 1)[0])) {
        throw fields.problem("power[" + i + "]", "speeds must rise from point to point");
      }
      power.add(new Machine.PowerPoint(speed, watts));
    }
    return new Machine(
        fields.text("name").orElse(base.name()),
        min,
        max,
        fields.positive("maxFeed", Dimension.VELOCITY).orElse(base.maxFeedMPerS()),
        power.isEmpty() ? base.power() : power);
  }
}

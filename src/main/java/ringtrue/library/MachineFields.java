package ringtrue.library;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import ringtrue.planning.Machine;
import ringtrue.units.Dimension;

/** Reads the description of a machine, in a cut file or in a machine file of the catalogue. */
final class MachineFields {
  static final List<String> NAMES =
      List.of(
          "name",
          "minSpeed",
          "maxSpeed",
          "maxFeed",
          "power",
          "efficiency",
          "inertia",
          "acceleration");

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
    if (fields.has("power") && pairs.isEmpty()) {
      throw fields.problem(
          "power", "is empty; give points like [\"24000 rpm\", \"2.2 kW\"], or leave it out");
    }
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
        power.isEmpty() ? base.power() : power,
        fields.has("efficiency") ? efficiency(fields) : base.efficiency(),
        inertia(fields).orElse(base.inertiaKgM2()),
        acceleration(fields).orElse(base.accelerationMPerS2()));
  }

  private static double efficiency(JsonFields fields) {
    double share = fields.requiredPositive("efficiency", Dimension.RATIO);
    if (!(share > 0.05 && share <= 1)) {
      throw fields.problem(
          "efficiency",
          "is the share of the power curve that reaches the cutter, above 5 % up to 100 %, like"
              + " \"80 %\"; is "
              + JsonFields.plain(100 * share)
              + " %");
    }
    return share;
  }

  private static Optional<Double> inertia(JsonFields fields) {
    Optional<Double> inertia = fields.positive("inertia", Dimension.MOMENT_OF_INERTIA);
    inertia.ifPresent(i -> fields.sensible("inertia", i, Dimension.MOMENT_OF_INERTIA, 1e-8, 1e3));
    return inertia;
  }

  private static Optional<Double> acceleration(JsonFields fields) {
    Optional<Double> a = fields.positive("acceleration", Dimension.ACCELERATION);
    a.ifPresent(v -> fields.sensible("acceleration", v, Dimension.ACCELERATION, 1e-3, 1e3));
    return a;
  }
}

package ringtrue.planning;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.function.Supplier;
import ringtrue.stability.CuttingCoefficients;
import ringtrue.stability.CuttingProcess;
import ringtrue.stability.Tool;

/** Judges a cut by every limit but chatter. */
final class CutLimits {

  /** Equivalent diameter over the flutes as a share of the diameter (Kops &amp; Vo 1990). */
  static final double CORE = 0.8;

  /** Radius of a new carbide edge where none is given, m (from memory: 3 to 8 µm). */
  private static final double USUAL_EDGE_M = 5e-6;

  /** Below this share of the edge radius nothing is cut (Wojciechowski 2022: 0.2 to 0.4). */
  private static final double PLOUGHS = 0.4;

  private final Machine machine;
  private final PlanSettings settings;
  private final Words words;

  CutLimits(Machine machine, PlanSettings settings) {
    this.machine = machine;
    this.settings = settings;
    this.words = new Words(settings.inches());
  }

  /**
   * One limit met, with its sentence put off until somebody reads it.
   *
   * @param use share of the limit that is used up
   */
  record Check(
      String name,
      double value,
      double limit,
      String unit,
      boolean ok,
      double use,
      Supplier<String> because) {

    CutPlan.Limit shown() {
      return new CutPlan.Limit(name, value, limit, unit, ok, because.get());
    }
  }

  /** The forces of a cut over a turn; empty in turning. */
  static Optional<CuttingForces> forces(CuttingProcess cut, int anglesPerTurn) {
    return cut.operation() == CuttingProcess.Operation.MILLING
        ? Optional.of(CuttingForces.of(cut, anglesPerTurn))
        : Optional.empty();
  }

  /**
   * Every limit that can be judged, in the order of the plan.
   *
   * @param cut the cut
   * @param forces its forces, which may come from the same cut at another speed
   */
  List<Check> checks(CuttingProcess cut, Optional<CuttingForces> forces) {
    List<Check> all = new ArrayList<>();
    double omega = 2 * Math.PI * cut.speedRpm() / 60;
    double torque = forces.map(CuttingForces::meanTorqueNm).orElseGet(() -> turningTorque(cut));
    if (!Double.isNaN(torque)) {
      powerAndTorque(cut, torque, omega, all);
    }
    feedRate(cut, all);
    forces.ifPresent(
        f -> {
          chip(cut, f, all);
          bending(cut, f, all);
          deflection(cut, f, all);
          engagement(f, all);
        });
    return all;
  }

  /** Force of turning times half the work's diameter; NaN where that is unknown. */
  private double turningTorque(CuttingProcess cut) {
    CuttingCoefficients c = cut.coefficients();
    return (c.ktcPa() * cut.feedPerToothM() + c.kteNPerM())
        * cut.engagement().axialM()
        * settings.turnedDiameterM()
        / 2;
  }

  private void powerAndTorque(CuttingProcess cut, double torque, double omega, List<Check> into) {
    double power = torque * omega;
    double rpm = cut.speedRpm();
    boolean reached = machine.reaches(rpm);
    double available = reached ? machine.powerAtW(rpm) : 0;
    if (Double.isNaN(available)) {
      return;
    }
    into.add(
        atMost(
            "power",
            power,
            available,
            "W",
            () ->
                reached
                    ? "the cut takes "
                        + Words.power(power)
                        + " on average; the spindle gives "
                        + Words.power(available)
                        + " at "
                        + Words.speed(rpm)
                    : outOfRange(rpm)));
    into.add(
        atMost(
            "torque",
            torque,
            available / omega,
            "N m",
            () ->
                reached
                    ? "the cut takes "
                        + Words.torque(torque)
                        + " on average; the spindle gives "
                        + Words.torque(available / omega)
                        + " at "
                        + Words.speed(rpm)
                    : outOfRange(rpm)));
  }

  /** Says that the spindle cannot turn at a speed. */
  String outOfRange(double rpm) {
    String range =
        Double.isNaN(machine.minSpeedRpm())
            ? "up to " + Words.speed(machine.maxSpeedRpm())
            : Double.isNaN(machine.maxSpeedRpm())
                ? "from " + Words.speed(machine.minSpeedRpm())
                : "from "
                    + Words.speed(machine.minSpeedRpm())
                    + " to "
                    + Words.speed(machine.maxSpeedRpm());
    return "the spindle does not turn at " + Words.speed(rpm) + "; it goes " + range;
  }

  private void feedRate(CuttingProcess cut, List<Check> into) {
    double feed = feedRateMPerS(cut);
    boolean reached = machine.reaches(cut.speedRpm());
    double most = reached ? machine.maxFeedMPerS() : 0;
    if (!Double.isNaN(most)) {
      into.add(
          atMost(
              "feed rate",
              feed,
              most,
              "m/s",
              () ->
                  reached
                      ? "the cut feeds at "
                          + words.feed(feed)
                          + "; the machine goes to "
                          + words.feed(most)
                      : outOfRange(cut.speedRpm())));
    }
  }

  /** Feed rate, m/s. */
  static double feedRateMPerS(CuttingProcess cut) {
    int teeth = cut.tool().map(Tool::flutes).orElse(1);
    return cut.feedPerToothM() * teeth * cut.speedRpm() / 60;
  }

  /** Radial width, also where the engagement gives angles only, m; NaN in turning. */
  static double widthM(CuttingProcess cut) {
    if (cut.tool().isEmpty()) {
      return Double.NaN;
    }
    double width = cut.engagement().radialM();
    if (!Double.isNaN(width)) {
      return width;
    }
    double exit = Math.min(Math.PI, cut.engagement().exitRad());
    double entry = Math.min(Math.PI, cut.engagement().entryRad());
    return cut.tool().get().diameterM() / 2 * (Math.cos(entry) - Math.cos(exit));
  }

  /** Removal rate, m³/s; NaN in turning where the work's diameter is not known. */
  double removalM3PerS(CuttingProcess cut) {
    double axial = cut.engagement().axialM();
    return cut.tool().isPresent()
        ? widthM(cut) * axial * feedRateMPerS(cut)
        : Math.PI * settings.turnedDiameterM() * axial * feedRateMPerS(cut);
  }

  private void chip(CuttingProcess cut, CuttingForces forces, List<Check> into) {
    Tool tool = cut.tool().orElseThrow();
    double chip = forces.largestChipM();
    double most = settings.largestChipM(tool.diameterM(), cut.coefficients().ktcPa());
    double edge = Double.isNaN(tool.edgeRadiusM()) ? USUAL_EDGE_M : tool.edgeRadiusM();
    if (chip < PLOUGHS * edge) {
      into.add(
          new Check(
              "chip thickness",
              chip,
              PLOUGHS * edge,
              "m",
              false,
              PLOUGHS * edge / chip,
              () ->
                  "too thin: the thickest chip is "
                      + words.length(chip)
                      + ", below 0.4 of the edge radius of "
                      + words.length(edge)
                      + ", so the edge rubs and does not cut; feed more"));
      return;
    }
    into.add(
        atMost(
            "chip thickness",
            chip,
            most,
            "m",
            () -> {
              String thickest = "the thickest chip is " + words.length(chip);
              if (chip > most) {
                return "too thick: "
                    + thickest
                    + "; a cutter of "
                    + words.length(tool.diameterM())
                    + " in this material should see "
                    + words.length(most)
                    + " at most (common practice, a share of the diameter)";
              }
              return chip < edge
                  ? thickest
                      + ", thinner than the edge radius of "
                      + words.length(edge)
                      + ": it rubs more than it cuts; more feed would help"
                  : thickest
                      + ", between the edge radius of "
                      + words.length(edge)
                      + " and the "
                      + words.length(most)
                      + " that such a cutter should see at most (common practice)";
            }));
  }

  private void bending(CuttingProcess cut, CuttingForces forces, List<Check> into) {
    Tool tool = cut.tool().orElseThrow();
    if (Double.isNaN(tool.stickoutM())) {
      return;
    }
    double force = forces.peakResultantN();
    double stress = bendingStressPa(force, tool);
    double allowed = settings.toolMaterial().allowedCyclicPa() / settings.stressFactor();
    into.add(
        atMost(
            "tool bending",
            stress,
            allowed,
            "Pa",
            () ->
                "the largest force, "
                    + Words.force(force)
                    + " at the tip of "
                    + words.length(tool.stickoutM())
                    + ", bends the cutter with "
                    + Words.stress(stress)
                    + " (0.8 of the diameter counts over the flutes); "
                    + settings.toolMaterial().name()
                    + " is allowed "
                    + Words.stress(allowed)
                    + " turn after turn, safety factor "
                    + settings.stressFactor()
                    + " included"));
  }

  /**
   * Bending stress at the holder of a cutter that is fluted all the way, {@code 32 F L / (π d³)}
   * with d = 0.8 D (Kops &amp; Vo 1990, CIRP Annals 39, 93: equivalent diameter), the force taken
   * at the tip.
   */
  static double bendingStressPa(double forceN, Tool tool) {
    double d = CORE * tool.diameterM();
    return 32 * forceN * tool.stickoutM() / (Math.PI * d * d * d);
  }

  private void deflection(CuttingProcess cut, CuttingForces forces, List<Check> into) {
    StaticCompliance give = StaticCompliance.of(cut.y());
    if (!(give.metrePerNewton() > 0)) {
      return;
    }
    double force = forces.peakAcrossN();
    double moved = force * give.metrePerNewton();
    into.add(
        atMost(
            "deflection",
            moved,
            settings.wallToleranceM(),
            "m",
            () ->
                "the largest force towards or off the wall, "
                    + Words.force(force)
                    + ", moves tool and work "
                    + words.length(moved)
                    + " apart; "
                    + words.length(settings.wallToleranceM())
                    + " are accepted"));
  }

  private void engagement(CuttingForces forces, List<Check> into) {
    int least = forces.leastTeeth();
    into.add(
        new Check(
            "engagement",
            least,
            0,
            "teeth",
            true,
            0,
            () ->
                least == 0
                    ? "at moments no tooth is in the cut, so the force falls to nothing between"
                        + " teeth; usual in light cuts, smoother with more flutes, depth or helix"
                    : "at least "
                        + least
                        + (least == 1 ? " tooth is" : " teeth are")
                        + " in the cut at any moment, so the force never falls to nothing"));
  }

  private static Check atMost(
      String name, double value, double limit, String unit, Supplier<String> because) {
    return new Check(name, value, limit, unit, value <= limit, value / limit, because);
  }

  /**
   * Spindle speed above which the cutter soon wears out in this material, rpm; infinite where
   * material or diameter do not tell.
   */
  double highestSpeedRpm(CuttingProcess cut) {
    double diameter = cut.tool().map(Tool::diameterM).orElse(settings.turnedDiameterM());
    double rpm = 60 * settings.highestCuttingSpeedMPerS() / (Math.PI * diameter);
    return Double.isNaN(rpm) ? Double.POSITIVE_INFINITY : rpm;
  }

  /** What could not be judged, and what was assumed. */
  List<String> remarks(CuttingProcess cut) {
    List<String> all = new ArrayList<>();
    boolean milling = cut.operation() == CuttingProcess.Operation.MILLING;
    if (machine.power().isEmpty()) {
      all.add(
          "power and torque were not judged: give the machine's \"power\" as a list of speeds and"
              + " powers");
    } else {
      all.add(
          "the machine's power curve is taken as power at the cutter for as long as the cut lasts;"
              + " if it is what the plate says, enter 70 to 80 % of it");
    }
    if (Double.isNaN(machine.maxFeedMPerS())) {
      all.add("the feed rate was not judged: give the machine's \"maxFeed\"");
    }
    if (!machine.reaches(cut.speedRpm())) {
      all.add(outOfRange(cut.speedRpm()));
    } else if (Double.isNaN(machine.minSpeedRpm()) || Double.isNaN(machine.maxSpeedRpm())) {
      all.add("the speed range is not known: give the machine's \"minSpeed\" and \"maxSpeed\"");
    }
    double highest = highestSpeedRpm(cut);
    if (Double.isFinite(highest)) {
      double speed = settings.highestCuttingSpeedMPerS();
      String usual = words.cuttingSpeed(speed) + " (common practice, no source)";
      all.add(
          cut.speedRpm() > 1.02 * highest
              ? "the cutting speed of "
                  + words.cuttingSpeed(speed * cut.speedRpm() / highest)
                  + " is high: a cutter of this kind soon wears out in this material above "
                  + usual
              : "no cut is offered above a cutting speed of " + usual);
    }
    if (!milling) {
      if (Double.isNaN(settings.turnedDiameterM())) {
        all.add("power and torque of turning were not judged: the work's diameter is not given");
      }
      all.add("chip thickness, tool bending and deflection are judged in milling only");
      return all;
    }
    Tool tool = cut.tool().orElseThrow();
    double axial = cut.engagement().axialM();
    if (axial > tool.fluteLengthM() || axial > tool.stickoutM()) {
      all.add(
          "the cut is deeper ("
              + words.length(axial)
              + ") than the flutes are long or the cutter stands out: the shank or the holder"
              + " would rub");
    }
    if (Double.isNaN(tool.stickoutM())) {
      all.add("tool bending was not judged: give the tool's \"stickout\"");
    }
    if (Double.isNaN(tool.edgeRadiusM())) {
      all.add(
          "the tool's \"edgeRadius\" is not given; "
              + words.length(USUAL_EDGE_M)
              + " was taken, a new carbide edge");
    }
    if (tool.runoutM() == 0) {
      all.add("no run-out was given: with it one tooth cuts more than its share");
    }
    StaticCompliance give = StaticCompliance.of(cut.y());
    if (!(give.metrePerNewton() > 0)) {
      all.add("deflection was not judged: give the dynamics of tool or workpiece in y");
    } else if (give.measured()) {
      all.add(
          "deflection uses the low end of the measured response, which an accelerometer shows"
              + " poorly; a dial indicator and a known push would be better");
    }
    if (cut.coefficients().kteNPerM() == 0) {
      all.add("the material has no edge forces: thin chips take more power and force than shown");
    }
    return all;
  }
}

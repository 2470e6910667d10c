package ringtrue.planning;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.function.DoubleFunction;
import java.util.function.Supplier;
import ringtrue.stability.CuttingCoefficients;
import ringtrue.stability.CuttingProcess;
import ringtrue.stability.Tool;

/** Judges a cut by every limit but chatter. */
final class CutLimits {

  /** Equivalent diameter over the flutes as a share of the diameter (Kops &amp; Vo 1990). */
  static final double CORE = 0.8;

  /** Flutes end so many diameters beyond the length that cuts; our own choice. */
  static final double RUNS_OUT = 0.5;

  /** Radius of a new carbide edge where none is given, m (from memory: 3 to 8 µm). */
  private static final double USUAL_EDGE_M = 5e-6;

  /** Below this share of the edge radius nothing is cut (Wojciechowski 2022: 0.2 to 0.4). */
  private static final double PLOUGHS = 0.4;

  /** Loss of spindle speed within a turn that is accepted; our own choice. */
  static final double SPEED_DIP = 0.02;

  /** Common practice without a source: thicker chips belong to heavy roughing inserts. */
  private static final double LARGEST_TURNED_CHIP_M = 0.8e-3;

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
   * @param use share of the limit that is used up; 0 for advice
   * @param advice whether it never spoils a verdict
   */
  record Check(
      String name,
      double value,
      double limit,
      String unit,
      boolean ok,
      double use,
      boolean advice,
      Supplier<String> because) {

    CutPlan.Limit shown() {
      double share = advice ? Double.NaN : use;
      return new CutPlan.Limit(
          name, value, limit, unit, ok, because.get(), share, advice, Double.NaN);
    }
  }

  /** Error of the wall that is accepted, m. */
  double wallToleranceM() {
    return settings.wallToleranceM();
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
    powerAndTorque(cut, forces, all);
    feedRate(cut, all);
    feedPath(cut, all);
    forces.ifPresentOrElse(
        f -> {
          chip(cut, f.largestChipM(), edgeRadiusM(cut), all);
          bending(cut, f, all);
          deflection(cut, f, all);
          wall(cut, f, all);
          workpieceForce(f.peakResultantN(), all);
          engagement(cut, f, all);
        },
        () -> turned(cut, all));
    return all;
  }

  /** Tangential force of turning, N. */
  static double turningForceN(CuttingProcess cut) {
    CuttingCoefficients c = cut.coefficients();
    return (c.ktcPa() * cut.feedPerToothM() + c.kteNPerM()) * cut.engagement().axialM();
  }

  /** Force of turning against the chip thickness, N. */
  private static double turningNormalN(CuttingProcess cut) {
    CuttingCoefficients c = cut.coefficients();
    return (c.krcPa() * cut.feedPerToothM() + c.kreNPerM()) * cut.engagement().axialM();
  }

  private void powerAndTorque(
      CuttingProcess cut, Optional<CuttingForces> forces, List<Check> into) {
    double rpm = cut.speedRpm();
    double omega = 2 * Math.PI * rpm / 60;
    double torque =
        forces
            .map(CuttingForces::meanTorqueNm)
            .orElseGet(() -> turningForceN(cut) * settings.turnedDiameterM() / 2);
    boolean reached = machine.reaches(rpm);
    double available = reached ? machine.powerAtCutterW(rpm) : 0;
    if (Double.isNaN(available) || Double.isNaN(torque)) {
      return;
    }
    double peak = forces.map(CuttingForces::peakTorqueNm).orElse(torque);
    double borrowed = forces.map(CuttingForces::borrowedWorkJ).orElse(0.0);
    into.add(
        atMost(
            "power",
            torque * omega,
            available,
            "W",
            () -> average(rpm, reached, Words.power(torque * omega), Words.power(available))));
    into.add(peak("peak power", peak * omega, available, "W", borrowed, omega, rpm, Words::power));
    into.add(
        atMost(
            "torque",
            torque,
            available / omega,
            "N m",
            () -> average(rpm, reached, Words.torque(torque), Words.torque(available / omega))));
    into.add(
        peak("peak torque", peak, available / omega, "N m", borrowed, omega, rpm, Words::torque));
  }

  private String average(double rpm, boolean reached, String takes, String gives) {
    return reached
        ? "the cut takes "
            + takes
            + " on average; the spindle gives "
            + gives
            + " at "
            + Words.speed(rpm)
            + (machine.efficiency() < 1
                ? " at the cutter (" + Words.percent(machine.efficiency()) + " of the curve)"
                : "")
        : outOfRange(rpm);
  }

  /**
   * A peak over a turn: what exceeds the motor is lent by whatever turns. With a known inertia the
   * loss of speed decides, otherwise it is advice.
   */
  private Check peak(
      String name,
      double value,
      double limit,
      String unit,
      double borrowedJ,
      double omega,
      double rpm,
      DoubleFunction<String> words) {
    String most = "the largest in a turn is " + words.apply(value);
    if (value <= limit) {
      return new Check(
          name,
          value,
          limit,
          unit,
          true,
          value / limit,
          true,
          () -> most + ", within what the spindle gives without pause");
    }
    if (limit == 0) {
      return new Check(
          name, value, limit, unit, false, Double.POSITIVE_INFINITY, true, () -> outOfRange(rpm));
    }
    String above = most + ", above the " + words.apply(limit) + " that the motor gives; ";
    double inertia = machine.inertiaKgM2();
    if (Double.isNaN(inertia)) {
      return new Check(
          name,
          value,
          limit,
          unit,
          true,
          0,
          true,
          () ->
              above
                  + "what turns has to carry it over, "
                  + Words.work(borrowedJ)
                  + " each time; give the machine's \"inertia\" to have that judged");
    }
    double dip = borrowedJ / (inertia * omega * omega);
    return new Check(
        name,
        value,
        limit,
        unit,
        dip <= SPEED_DIP,
        dip / SPEED_DIP,
        false,
        () ->
            above
                + "the inertia of what turns carries it over with a loss of speed of "
                + Words.finePercent(dip)
                + " ("
                + Words.percent(SPEED_DIP)
                + " is accepted)");
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
                          + accelerated(feed)
                      : outOfRange(cut.speedRpm())));
    }
  }

  /** What acceleration makes of a feed rate. */
  private String accelerated(double feed) {
    double a = machine.accelerationMPerS2();
    return Double.isNaN(a)
        ? "; on short moves and in corners it stays below that, and chips get thinner"
        : "; it takes "
            + words.length(feed * feed / (2 * a))
            + " to get there, and arcs below a radius of "
            + words.length(feed * feed / a)
            + " are slower";
  }

  /** Whether the feed is reached at all between start and stop of a straight path. */
  private void feedPath(CuttingProcess cut, List<Check> into) {
    double feed = feedRateMPerS(cut);
    double needed = feed * feed / machine.accelerationMPerS2();
    double path = settings.straightM();
    if (Double.isNaN(needed) || Double.isNaN(path)) {
      return;
    }
    into.add(
        atMost(
            "feed path",
            needed,
            path,
            "m",
            () ->
                "to reach "
                    + words.feed(feed)
                    + " and stop again takes "
                    + words.length(needed)
                    + "; the path is "
                    + words.length(path)
                    + " long"
                    + (needed > path
                        ? ", so the feed is never reached and chips are thinner than planned"
                        : "")));
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

  private double edgeRadiusM(CuttingProcess cut) {
    double given =
        cut.tool().map(Tool::edgeRadiusM).orElseGet(() -> settings.turningTool().edgeRadiusM());
    return Double.isNaN(given) ? USUAL_EDGE_M : given;
  }

  private void chip(CuttingProcess cut, double chip, double edge, List<Check> into) {
    double diameter = cut.tool().map(Tool::diameterM).orElse(Double.NaN);
    double most =
        cut.tool().isPresent()
            ? settings.largestChipM(diameter, cut.coefficients().ktcPa())
            : LARGEST_TURNED_CHIP_M;
    String thickest = "the thickest chip is " + words.length(chip) + thinned(cut, chip);
    if (chip < PLOUGHS * edge) {
      into.add(
          new Check(
              "chip thickness",
              chip,
              PLOUGHS * edge,
              "m",
              false,
              PLOUGHS * edge / chip,
              false,
              () ->
                  "too thin: "
                      + thickest
                      + ", below 0.4 of the edge radius of "
                      + words.length(edge)
                      + ", so the edge rubs and does not cut; feed more"));
      return;
    }
    String which = cut.tool().isPresent() ? "a cutter of " + words.length(diameter) : "an insert";
    into.add(
        atMost(
            "chip thickness",
            chip,
            most,
            "m",
            () -> {
              if (chip > most) {
                return "too thick: "
                    + thickest
                    + "; "
                    + which
                    + " in this material should see "
                    + words.length(most)
                    + " at most"
                    + whoSays();
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
                      + " that "
                      + which
                      + " should see at most"
                      + whoSays();
            }));
  }

  private String whoSays() {
    return Double.isNaN(settings.largestChipFraction())
        ? " (common practice)"
        : " (as was said of the cut)";
  }

  /** Says what radial thinning leaves of the feed, where that is much less. */
  private String thinned(CuttingProcess cut, double chip) {
    return cut.tool().isPresent() && chip < 0.9 * cut.feedPerToothM()
        ? " (the thin cut makes that of "
            + words.length(cut.feedPerToothM())
            + " of feed per tooth)"
        : "";
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
                    + where(tool)
                    + "; "
                    + settings.toolMaterial().name()
                    + " is allowed "
                    + Words.stress(allowed)
                    + " turn after turn, safety factor "
                    + settings.stressFactor()
                    + " included"));
  }

  private String where(Tool tool) {
    return flutedM(tool) == tool.stickoutM()
        ? " at the holder (fluted all the way: 0.8 of the diameter counts)"
        : fluteStressPa(1, tool) >= shankStressPa(1, tool)
            ? " where the flutes end, "
                + words.length(flutedM(tool))
                + " from the tip, half a diameter past those that cut (0.8 of the diameter counts"
                + " there)"
            : " at the holder, in the shank (taken as thick as the cutter)";
  }

  /**
   * Largest bending stress of a cutter under a force at its tip. Over the flutes an equivalent
   * diameter of 0.8 D counts (Kops &amp; Vo 1990, CIRP Annals 39, 93); they end half a diameter
   * beyond the length that cuts (our own choice, on the safe side). Above stands a shank of the
   * full diameter; so the larger of {@code 32 F l / (π d³)} at the end of the flutes and at the
   * holder. Where the flutes' length is not known they reach to the holder.
   */
  static double bendingStressPa(double forceN, Tool tool) {
    return Math.max(fluteStressPa(forceN, tool), shankStressPa(forceN, tool));
  }

  /** How far from the tip flutes weaken the cutter, m. */
  private static double flutedM(Tool tool) {
    double ends = tool.fluteLengthM() + RUNS_OUT * tool.diameterM();
    return ends < tool.stickoutM() ? ends : tool.stickoutM();
  }

  private static double fluteStressPa(double forceN, Tool tool) {
    return stressPa(forceN, flutedM(tool), CORE * tool.diameterM());
  }

  private static double shankStressPa(double forceN, Tool tool) {
    return stressPa(forceN, tool.stickoutM(), tool.diameterM());
  }

  private static double stressPa(double forceN, double leverM, double diameterM) {
    return 32 * forceN * leverM / (Math.PI * diameterM * diameterM * diameterM);
  }

  /**
   * Give of the cutter alone at its tip, clamped in a rigid holder, m/N: {@code Σ (b³ − a³)/(3 E
   * I)} over flutes (a to b from the tip) and shank, I = π d⁴/64.
   */
  static double beamGiveMPerN(Tool tool, double modulusPa) {
    double fluted = flutedM(tool);
    double out = tool.stickoutM();
    double core = CORE * tool.diameterM();
    return (cube(fluted) / (core * core * core * core)
            + (cube(out) - cube(fluted)) / Math.pow(tool.diameterM(), 4))
        * 64
        / (3 * Math.PI * modulusPa);
  }

  private static double cube(double x) {
    return x * x * x;
  }

  private void deflection(CuttingProcess cut, CuttingForces forces, List<Check> into) {
    CuttingProcess here = cut.resolvedAt(cut.speedRpm());
    double along = Math.abs(StaticCompliance.of(here.y()).metrePerNewton());
    if (!(along > 0)) {
      return;
    }
    double across = StaticCompliance.of(here.xy()).metrePerNewton();
    double moved = forces.peakDeflectionM(along, across);
    into.add(
        atMost(
            "deflection",
            moved,
            settings.wallToleranceM(),
            "m",
            () ->
                "the largest force towards or off the wall, "
                    + Words.force(forces.peakAcrossN())
                    + ", moves tool and work "
                    + words.small(moved)
                    + " apart at "
                    + Words.stiffness(1 / along)
                    + (across == 0 ? "" : ", the force along the feed included")
                    + "; "
                    + words.small(settings.wallToleranceM())
                    + " are accepted"));
  }

  /** Where the wall is left by the vibration of the stable cut. */
  private void wall(CuttingProcess cut, CuttingForces forces, List<Check> into) {
    if (!gives(cut) || !machine.reaches(cut.speedRpm())) {
      return;
    }
    Optional<WallError.Wall> wall = forces.wall().at(cut);
    wall.ifPresent(
        w ->
            into.add(
                atMost(
                    "surface location error",
                    Math.abs(w.errorM()),
                    settings.wallToleranceM(),
                    "m",
                    () -> wallSentence(cut, w))));
  }

  private String wallSentence(CuttingProcess cut, WallError.Wall w) {
    String rough =
        Math.abs(w.errorM()) > 0.2 * widthM(cut)
            ? "; that is so much of the width that the number is rough"
            : "";
    String where =
        w.highM() - w.lowM() > 0.1 * Math.abs(w.errorM())
            ? ", from "
                + words.signed(w.lowM())
                + " to "
                + words.signed(w.highM())
                + " along its height"
            : "";
    return "the wall is left "
        + words.small(Math.abs(w.errorM()))
        + (w.errorM() < 0 ? " too thin (overcut)" : " too thick (undercut)")
        + where
        + "; "
        + words.small(settings.wallToleranceM())
        + " are accepted"
        + rough;
  }

  /** Whether anything moves across the feed. */
  static boolean gives(CuttingProcess cut) {
    return !cut.y().isEmpty() || !cut.xy().isEmpty();
  }

  private void workpieceForce(double force, List<Check> into) {
    double held = settings.holdingForceN();
    if (Double.isNaN(held)) {
      return;
    }
    into.add(
        atMost(
            "workpiece force",
            force,
            held,
            "N",
            () ->
                "the cut pushes the work sideways with up to "
                    + Words.force(force)
                    + "; vise or clamps hold "
                    + Words.force(held)));
  }

  private void engagement(CuttingProcess cut, CuttingForces forces, List<Check> into) {
    int least = forces.leastTeeth();
    into.add(
        new Check(
            "engagement",
            least,
            0,
            "teeth",
            true,
            0,
            true,
            () -> {
              String teeth =
                  least == 0
                      ? "no tooth is in the cut for "
                          + Words.percent(forces.idleShare())
                          + " of the time, so teeth hammer on entry; usual in light cuts, smoother"
                          + " with more width, flutes, depth or helix"
                      : "at least "
                          + least
                          + (least == 1 ? " tooth is" : " teeth are")
                          + " in the cut at any moment, so the force never falls to nothing";
              teeth +=
                  String.format(
                      Locale.ROOT, "; %s teeth in the cut on average", mean(forces.meanTeeth()));
              return teeth + helixSentence(cut, forces);
            }));
  }

  private static String mean(double teeth) {
    return String.format(Locale.ROOT, teeth < 0.095 ? "%.2f" : "%.1f", teeth);
  }

  /** Depth between a tooth and the next along the axis, m; infinite for straight flutes. */
  static double helixPitchM(Tool tool) {
    double helix = Math.abs(tool.helixRad().get(0));
    return Math.PI * tool.diameterM() / (tool.flutes() * Math.tan(helix));
  }

  private String helixSentence(CuttingProcess cut, CuttingForces forces) {
    Tool tool = cut.tool().orElseThrow();
    double pitch = helixPitchM(tool);
    if (!tool.equalHelix() || !tool.evenPitch() || !Double.isFinite(pitch)) {
      return "";
    }
    double depths = cut.engagement().axialM() / pitch;
    double ripple = 1 - forces.leastResultantN() / forces.peakResultantN();
    return String.format(
        Locale.ROOT,
        "; the depth is %.2f of the %s between teeth along the axis, the force varies by %s of its"
            + " peak%s",
        depths,
        words.length(pitch),
        Words.percent(ripple),
        depths > 0.1 ? " (steady at whole numbers)" : "");
  }

  // ---- turning ------------------------------------------------------------------------------

  private void turned(CuttingProcess cut, List<Check> into) {
    double angle = cut.modeAngleRad();
    double tangential = turningForceN(cut);
    double normal = turningNormalN(cut);
    double force = Math.hypot(tangential, normal);
    chip(cut, cut.feedPerToothM(), edgeRadiusM(cut), into);
    TurningTool bar = settings.turningTool();
    if (!Double.isNaN(bar.diameterM()) && !Double.isNaN(bar.overhangM())) {
      double d = bar.diameterM();
      double stress = 32 * force * bar.overhangM() / (Math.PI * d * d * d);
      double allowed = settings.toolMaterial().allowedCyclicPa() / settings.stressFactor();
      into.add(
          atMost(
              "tool bending",
              stress,
              allowed,
              "Pa",
              () ->
                  "the force of "
                      + Words.force(force)
                      + ", "
                      + words.length(bar.overhangM())
                      + " out, bends the bar with "
                      + Words.stress(stress)
                      + "; "
                      + settings.toolMaterial().name()
                      + " is allowed "
                      + Words.stress(allowed)
                      + ", safety factor "
                      + settings.stressFactor()
                      + " included"));
    }
    double give =
        Math.abs(StaticCompliance.of(cut.resolvedAt(cut.speedRpm()).x()).metrePerNewton());
    if (give > 0) {
      // the direction that gives is turned from the chip thickness by the mode angle
      double along = normal * Math.cos(angle) + tangential * Math.sin(angle);
      double moved = Math.abs(along * Math.cos(angle)) * give;
      into.add(
          atMost(
              "deflection",
              moved,
              settings.wallToleranceM(),
              "m",
              () ->
                  "the force of "
                      + Words.force(Math.abs(along))
                      + " in the direction that gives moves tool and work "
                      + words.small(moved)
                      + " apart along the chip thickness at "
                      + Words.stiffness(1 / give)
                      + ", so as much is left; "
                      + words.small(settings.wallToleranceM())
                      + " are accepted"));
    }
    workpieceForce(force, into);
    into.add(
        new Check(
            "engagement",
            1,
            0,
            "teeth",
            true,
            0,
            true,
            () ->
                "the one edge is in the cut all the time, unless the work is interrupted by slots"
                    + " or flats"));
  }

  private static Check atMost(
      String name, double value, double limit, String unit, Supplier<String> because) {
    return new Check(name, value, limit, unit, value <= limit, value / limit, false, because);
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

  /** What a beam says of the cutter where nothing was measured. */
  private String cutterAlone(CuttingProcess cut, Tool tool) {
    double give = beamGiveMPerN(tool, settings.toolMaterial().youngsModulusPa());
    return Double.isNaN(give)
        ? ""
        : "; the cutter alone, as a beam in a rigid holder, bends by "
            + words.small(give * CuttingForces.of(cut, 360).peakAcrossN())
            + ", holder, spindle and work give more than that";
  }

  private String edgeAssumed() {
    return "the tool's \"edgeRadius\" is not given; "
        + words.length(USUAL_EDGE_M)
        + " was taken, a new carbide edge";
  }

  /** What could not be judged, and what was assumed. */
  List<String> remarks(CuttingProcess cut) {
    List<String> all = new ArrayList<>();
    boolean milling = cut.operation() == CuttingProcess.Operation.MILLING;
    if (machine.power().isEmpty()) {
      all.add(
          "power and torque were not judged: give the machine's \"power\" as a list of speeds and"
              + " powers");
    } else if (machine.efficiency() == 1) {
      all.add(
          "the machine's power curve is taken as power at the cutter for as long as the cut lasts;"
              + " if it holds at the motor, give the machine's \"efficiency\", 70 to 90 % as a rule");
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
      TurningTool bar = settings.turningTool();
      if (Double.isNaN(bar.diameterM()) || Double.isNaN(bar.overhangM())) {
        all.add(
            "tool bending of turning was not judged: give a round bar's \"diameter\" and"
                + " \"stickout\" in \"tool\"");
      }
      if (Double.isNaN(bar.edgeRadiusM())) {
        all.add(edgeAssumed());
      }
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
      all.add(edgeAssumed());
    }
    if (tool.runoutM() == 0) {
      all.add("no run-out was given: with it one tooth cuts more than its share");
    }
    StaticCompliance give = StaticCompliance.of(cut.y());
    if (give.metrePerNewton() == 0) {
      all.add(
          "deflection was not judged: give the dynamics of tool or workpiece in y"
              + cutterAlone(cut, tool));
    } else if (give.measured()) {
      all.add(
          "deflection uses the low end of the measured response, which an accelerometer shows"
              + " poorly; a dial indicator and a known push would be better");
    }
    if (!WallError.madeBy(cut.engagement())) {
      all.add("the error of the wall was not judged: the arc from entry to exit reaches no wall");
    } else if (gives(cut) && (tool.runoutM() != 0 || !tool.evenPitch() || !tool.equalHelix())) {
      all.add(
          "the error of the wall leaves out what unlike teeth (run-out, uneven pitch, different"
              + " helices) change of each other's chips; a simulation has it in");
    }
    if (cut.coefficients().kteNPerM() == 0) {
      all.add("the material has no edge forces: thin chips take more power and force than shown");
    }
    return all;
  }
}

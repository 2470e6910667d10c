package ringtrue.library;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import ringtrue.dynamics.Progress;
import ringtrue.planning.Machine;
import ringtrue.planning.PlanSettings;
import ringtrue.planning.TurningTool;
import ringtrue.stability.CuttingCoefficients;
import ringtrue.stability.CuttingProcess;
import ringtrue.stability.CuttingProcess.Operation;
import ringtrue.stability.Engagement;
import ringtrue.stability.Engagement.Direction;
import ringtrue.stability.Tool;
import ringtrue.units.BadInputException;
import ringtrue.units.Dimension;

/** Reads cut files, format {@code ringtrue-cut/1}. */
public final class CutFile {
  private static final List<String> FIELDS =
      List.of(
          "name",
          "operation",
          "machine",
          "tool",
          "material",
          "engagement",
          "modeAngle",
          "speed",
          "feedPerTooth",
          "feed",
          "processDamping",
          "holdingForce",
          "dynamics",
          "notes");
  private static final List<String> TOOL_FIELDS =
      List.of(
          "diameter",
          "flutes",
          "helix",
          "pitch",
          "stickout",
          "fluteLength",
          "runout",
          "edgeRadius",
          "maxChip",
          "safetyFactor",
          "material",
          "name");
  private static final String FORMAT = "ringtrue-cut";
  private static final int MOST_FLUTES = 16;
  static final double MOST_RPM = 2e6;

  /** Published values lie between 1e4 and 3e6 N/m. */
  private static final double MOST_PROCESS_DAMPING_N_PER_M = 1e8;

  private static final double LARGEST_RANGE = 0.9;

  private final Path file;
  private final JsonFields all;
  private final Catalogue catalogue;
  private final Optional<SetUpLibrary> library;
  private final Progress progress;
  private final List<String> remarks = new ArrayList<>();

  private CutFile(
      Path file, Catalogue catalogue, Optional<SetUpLibrary> library, Progress progress) {
    this(file, JsonFields.open(file, FORMAT, 1, FIELDS), catalogue, library, progress);
  }

  private CutFile(
      Path file,
      JsonFields all,
      Catalogue catalogue,
      Optional<SetUpLibrary> library,
      Progress progress) {
    this.file = file;
    this.all = all;
    this.catalogue = catalogue;
    this.library = library;
    this.progress = progress;
  }

  /**
   * Reads a cut file and everything it refers to. A direction given as a measurement is processed
   * and fitted on the way.
   *
   * @param file the cut file
   * @param catalogue materials and machines that it may name
   * @param progress told about measurements being processed
   * @throws BadInputException if the cut or a file that it names cannot be used
   */
  public static Cut read(Path file, Catalogue catalogue, Progress progress) {
    return new CutFile(file, catalogue, Optional.empty(), progress).read();
  }

  /**
   * The same for a cut that may name saved set-ups.
   *
   * @param library where they are kept
   */
  public static Cut read(Path file, Catalogue catalogue, SetUpLibrary library, Progress progress) {
    return new CutFile(file, catalogue, Optional.of(library), progress).read();
  }

  /**
   * The same for a cut that need not be in a file yet.
   *
   * @param file where it would be; what it names lies beside
   * @param text what the file would hold
   */
  public static Cut ofText(
      Path file, String text, Catalogue catalogue, SetUpLibrary library, Progress progress) {
    JsonFields all = JsonFields.ofText(String.valueOf(file.getFileName()), text, FORMAT, 1, FIELDS);
    return new CutFile(file, all, catalogue, Optional.of(library), progress).read();
  }

  private Cut read() {
    Operation operation =
        all.choice("operation", List.of(Operation.values()), o -> o.name().toLowerCase(Locale.ROOT))
            .orElseThrow(() -> all.missing("operation", "\"milling\" or \"turning\""));
    boolean milling = operation == Operation.MILLING;
    Machine machine = machine();
    Optional<JsonFields> toolFields = all.object("tool", TOOL_FIELDS);
    if (milling && toolFields.isEmpty()) {
      throw all.missing("tool", "{\"diameter\": \"6 mm\", \"flutes\": 4, \"helix\": \"35 deg\"}");
    }
    Optional<Tool> tool = milling ? toolFields.map(CutFile::tool) : Optional.empty();
    JsonFields engagementFields =
        all.requiredObject(
            "engagement",
            List.of(
                "direction",
                "radial",
                "axial",
                "length",
                "modeAngle",
                "workDiameter",
                "wallTolerance"),
            "{\"direction\": \"down\", \"radial\": \"0.3 mm\", \"axial\": \"6 mm\"}");
    Engagement engagement = engagement(engagementFields, tool);
    double modeAngle = modeAngle(engagementFields, milling);
    Material material = material();
    double speed = all.requiredPositive("speed", Dimension.SPINDLE_SPEED);
    all.sensible("speed", speed, Dimension.SPINDLE_SPEED, 0.1, MOST_RPM);
    double feed = feedPerTooth(speed, tool.map(Tool::flutes).orElse(1));
    DynamicsFields dynamics = new DynamicsFields(file, all, milling, library, progress, remarks);
    if (dynamics.speedShiftSigma() > 0 && Double.isNaN(machine.maxSpeedRpm())) {
      throw all.problem(
          "dynamics.speedShiftSigma",
          "is the shift at the machine's highest speed; give that as machine.maxSpeed, like"
              + " \"24000 rpm\"");
    }
    CuttingProcess process =
        new CuttingProcess(
            operation,
            tool,
            engagement,
            material.coefficients,
            dynamics.x(),
            dynamics.y(),
            speed,
            feed,
            modeAngle,
            dynamics.xy(),
            processDamping());
    tool.filter(t -> engagement.axialM() > t.fluteLengthM())
        .ifPresent(
            t ->
                remarks.add(
                    String.format(
                        Locale.ROOT,
                        "the cut is %.4g mm deep, but the flutes are only %.4g mm long: the shank"
                            + " would rub",
                        1e3 * engagement.axialM(),
                        1e3 * t.fluteLengthM())));
    tool.filter(t -> t.fluteLengthM() > 1.0001 * t.stickoutM())
        .ifPresent(
            t ->
                remarks.add(
                    "the flutes are longer than the stick-out: the holder would grip on them; is"
                        + " one of the two wrong?"));
    PlanSettings settings =
        planSettings(toolFields, engagementFields, milling)
            .withCarbideSpeedMPerS(material.carbideSpeedMPerS)
            .withSpeedShiftSigma(dynamics.speedShiftSigma());
    return new Cut(
        all.text("name").orElse(file.getFileName().toString()),
        process.withTurnedDiameterM(settings.turnedDiameterM()),
        machine,
        settings,
        material.name,
        material.source,
        dynamics.sources(),
        dynamics.speedShiftSigma(),
        remarks);
  }

  private double processDamping() {
    double damping = all.notNegative("processDamping", Dimension.STIFFNESS).orElse(0.0);
    return all.sensible(
        "processDamping", damping, Dimension.STIFFNESS, 0, MOST_PROCESS_DAMPING_N_PER_M);
  }

  private PlanSettings planSettings(
      Optional<JsonFields> tool, JsonFields engagement, boolean milling) {
    PlanSettings settings = PlanSettings.DEFAULT;
    Optional<String> cutter = tool.flatMap(t -> t.text("material"));
    if (cutter.isPresent()) {
      try {
        settings = settings.withToolMaterial(catalogue.toolMaterial(cutter.get()));
      } catch (BadInputException e) {
        throw tool.orElseThrow().problem("material", e.getMessage());
      }
    }
    if (tool.isPresent()) {
      settings = ofTool(settings, tool.get(), milling);
    }
    Optional<Double> held = all.positive("holdingForce", Dimension.FORCE);
    if (held.isPresent()) {
      settings =
          settings.withHoldingForceN(
              all.sensible("holdingForce", held.get(), Dimension.FORCE, 1e-3, 1e8));
    }
    Optional<Double> length = engagement.positive("length", Dimension.LENGTH);
    if (length.isPresent()) {
      settings =
          settings.withStraightM(
              engagement.sensible("length", length.get(), Dimension.LENGTH, 1e-6, 1e3));
    }
    Optional<Double> tolerance = engagement.positive("wallTolerance", Dimension.LENGTH);
    if (tolerance.isPresent()) {
      settings = settings.withWallToleranceM(tolerance.get());
    }
    Optional<Double> diameter = engagement.positive("workDiameter", Dimension.LENGTH);
    if (diameter.isPresent() && milling) {
      throw engagement.problem("workDiameter", "belongs to turning, not to milling");
    }
    return diameter.isPresent() ? settings.withTurnedDiameterM(diameter.get()) : settings;
  }

  /** What the tool says about its own limits. */
  private static PlanSettings ofTool(PlanSettings from, JsonFields tool, boolean milling) {
    PlanSettings settings = from;
    Optional<Double> factor = tool.positive("safetyFactor", Dimension.RATIO);
    if (factor.isPresent()) {
      if (!(factor.get() >= 1 && factor.get() <= 20)) {
        throw tool.problem(
            "safetyFactor",
            "divides the stress that the cutter's material may see, 1 to 20, like 1.5; is "
                + JsonFields.plain(factor.get()));
      }
      settings = settings.withStressFactor(factor.get());
    }
    Optional<Double> chip = tool.positive("maxChip", Dimension.LENGTH);
    if (!milling) {
      if (chip.isPresent()) {
        throw tool.problem("maxChip", "belongs to milling, not to turning");
      }
      return settings.withTurningTool(
          new TurningTool(
              tool.positive("diameter", Dimension.LENGTH).orElse(Double.NaN),
              tool.positive("stickout", Dimension.LENGTH).orElse(Double.NaN),
              tool.positive("edgeRadius", Dimension.LENGTH).orElse(Double.NaN)));
    }
    if (chip.isPresent()) {
      double diameter = tool.requiredPositive("diameter", Dimension.LENGTH);
      tool.sensible("maxChip", chip.get(), Dimension.LENGTH, 1e-9, diameter);
      settings = settings.withLargestChipFraction(chip.get() / diameter);
    }
    return settings;
  }

  private Machine machine() {
    Optional<JsonFields> given = all.object("machine", MachineFields.NAMES);
    if (given.isEmpty()) {
      return MachineFields.UNKNOWN;
    }
    JsonFields fields = given.get();
    boolean onlyNamed =
        MachineFields.NAMES.stream().filter(n -> !n.equals("name")).noneMatch(fields::has);
    Machine base = MachineFields.UNKNOWN;
    if (onlyNamed && fields.has("name")) {
      try {
        base = catalogue.machine(fields.requiredText("name", "\"benchtop router\""));
      } catch (BadInputException e) {
        throw fields.problem("name", e.getMessage());
      }
    }
    return MachineFields.read(fields, base);
  }

  private static Tool tool(JsonFields t) {
    double diameter = t.requiredPositive("diameter", Dimension.LENGTH);
    t.sensible("diameter", diameter, Dimension.LENGTH, 1e-5, 1);
    int flutes =
        t.whole("flutes", 1, MOST_FLUTES)
            .orElseThrow(() -> t.missing("flutes", "4, a whole number"));
    Optional<Double> stickout = t.positive("stickout", Dimension.LENGTH);
    stickout.ifPresent(v -> t.sensible("stickout", v, Dimension.LENGTH, diameter / 100, 2));
    Optional<Double> flute = t.positive("fluteLength", Dimension.LENGTH);
    flute.ifPresent(v -> t.sensible("fluteLength", v, Dimension.LENGTH, diameter / 100, 1));
    Optional<Double> edge = t.positive("edgeRadius", Dimension.LENGTH);
    edge.ifPresent(v -> t.sensible("edgeRadius", v, Dimension.LENGTH, 1e-9, diameter / 20));
    return new Tool(
        diameter,
        helix(t, flutes),
        pitch(t, flutes),
        stickout.orElse(Double.NaN),
        flute.orElse(Double.NaN),
        runout(t, diameter),
        edge.orElse(Double.NaN));
  }

  private static double runout(JsonFields t, double diameter) {
    double runout = t.notNegative("runout", Dimension.LENGTH).orElse(0.0);
    return t.sensible("runout", runout, Dimension.LENGTH, 0, diameter / 10);
  }

  private static List<Double> helix(JsonFields t, int flutes) {
    List<Double> helix = t.quantities("helix", Dimension.ANGLE);
    for (double angle : helix) {
      if (!(Math.abs(angle) <= Math.toRadians(80))) {
        throw t.problem(
            "helix",
            "must lie between -80 deg and 80 deg, is "
                + Math.round(Math.toDegrees(angle))
                + " deg");
      }
    }
    if (t.isList("helix") && helix.size() != flutes) {
      throw t.problem(
          "helix",
          "has " + helix.size() + " angles for " + flutes + " flutes; give one, or one each");
    }
    if (helix.isEmpty()) {
      return Collections.nCopies(flutes, 0.0);
    }
    return helix.size() == 1 ? Collections.nCopies(flutes, helix.get(0)) : helix;
  }

  private static List<Double> pitch(JsonFields t, int flutes) {
    List<Double> pitch = t.quantities("pitch", Dimension.ANGLE);
    if (pitch.isEmpty()) {
      return Collections.nCopies(flutes, 2 * Math.PI / flutes);
    }
    if (pitch.size() != flutes) {
      throw t.problem("pitch", "has " + pitch.size() + " angles for " + flutes + " flutes");
    }
    double sum = 0;
    for (double angle : pitch) {
      if (!(angle > 0)) {
        throw t.problem("pitch", "every angle must be more than zero");
      }
      sum += angle;
    }
    if (Math.abs(sum - 2 * Math.PI) > Math.toRadians(0.5)) {
      throw t.problem(
          "pitch",
          String.format(
              Locale.ROOT, "the angles add up to %.3f deg, must be 360 deg", Math.toDegrees(sum)));
    }
    double scale = 2 * Math.PI / sum;
    return pitch.stream().map(p -> p * scale).toList();
  }

  private Engagement engagement(JsonFields e, Optional<Tool> tool) {
    double axial = e.requiredPositive("axial", Dimension.LENGTH);
    e.sensible(
        "axial", axial, Dimension.LENGTH, 1e-9, tool.map(t -> 20 * t.diameterM()).orElse(1.0));
    if (tool.isEmpty()) {
      return new Engagement(Direction.ANGLES, Double.NaN, axial, 0, Math.PI);
    }
    double diameter = tool.get().diameterM();
    if (!e.isText("direction") && e.has("direction")) {
      return angles(e.requiredObject("direction", List.of("entry", "exit"), "\"down\""), axial);
    }
    Direction direction =
        e.choice(
                "direction",
                List.of(Direction.UP, Direction.DOWN, Direction.SLOT),
                d -> d.name().toLowerCase(Locale.ROOT))
            .orElseThrow(() -> e.missing("direction", "\"up\", \"down\" or \"slot\""));
    Optional<Double> radial = e.positive("radial", Dimension.LENGTH);
    if (direction == Direction.SLOT) {
      if (radial.isPresent() && Math.abs(radial.get() - diameter) > 0.001 * diameter) {
        throw e.problem(
            "radial",
            "a slot is as wide as the tool; leave it out, or make the direction \"up\" or \"down\"");
      }
      return Engagement.of(direction, diameter, axial, diameter);
    }
    double width =
        radial.orElseThrow(() -> e.missing("radial", '"' + Dimension.LENGTH.example() + '"'));
    if (width > diameter * (1 + 1e-9)) {
      throw e.problem(
          "radial",
          String.format(
              Locale.ROOT,
              "%.4g mm is wider than the tool's diameter, %.4g mm",
              width * 1e3,
              diameter * 1e3));
    }
    return Engagement.of(direction, Math.min(width, diameter), axial, diameter);
  }

  private static Engagement angles(JsonFields d, double axial) {
    double entry = d.requiredQuantity("entry", Dimension.ANGLE);
    double exit = d.requiredQuantity("exit", Dimension.ANGLE);
    if (!(entry >= 0 && exit > entry && exit <= 2 * Math.PI + 1e-9)) {
      throw d.problem("exit", "angles must satisfy 0 deg <= entry < exit <= 360 deg");
    }
    return new Engagement(Direction.ANGLES, Double.NaN, axial, entry, Math.min(exit, 2 * Math.PI));
  }

  private double modeAngle(JsonFields engagementFields, boolean milling) {
    List<JsonFields> places = new ArrayList<>(List.of(all, engagementFields));
    DynamicsFields.of(all).ifPresent(places::add);
    Optional<Double> angle = Optional.empty();
    for (JsonFields place : places) {
      Optional<Double> here = place.quantity("modeAngle", Dimension.ANGLE);
      if (here.isEmpty()) {
        continue;
      }
      if (milling) {
        throw place.problem("modeAngle", "belongs to turning, not to milling");
      }
      if (angle.isPresent()) {
        throw place.problem("modeAngle", "is given twice");
      }
      if (!(Math.abs(here.get()) < Math.PI / 2)) {
        throw place.problem("modeAngle", "must lie between -90 deg and 90 deg");
      }
      angle = here;
    }
    return angle.orElse(0.0);
  }

  /** A material as far as the cut needs it. */
  private record Material(
      String name, CuttingCoefficients coefficients, String source, double carbideSpeedMPerS) {}

  private Material material() {
    if (all.isText("material")) {
      String name = all.requiredText("material", "\"mild steel\"");
      try {
        CatalogueMaterial row = catalogue.material(name);
        return new Material(
            row.name(), row.coefficients(), row.source(), row.highestCuttingSpeedMPerS());
      } catch (BadInputException e) {
        throw all.problem("material", e.getMessage());
      }
    }
    JsonFields m =
        all.requiredObject(
            "material",
            List.of("ktc", "krc", "kte", "kre", "range", "name"),
            "\"mild steel\", or {\"ktc\": \"1900 MPa\", \"krc\": \"650 MPa\", \"kte\": \"18 N/mm\", \"kre\": \"22 N/mm\"}");
    double ktc = m.requiredPositive("ktc", Dimension.PRESSURE);
    double krc = m.requiredQuantity("krc", Dimension.PRESSURE);
    double kte = m.notNegative("kte", Dimension.FORCE_PER_LENGTH).orElse(0.0);
    double kre = m.notNegative("kre", Dimension.FORCE_PER_LENGTH).orElse(0.0);
    m.sensible("ktc", ktc, Dimension.PRESSURE, 1e4, 1e12);
    m.sensible("krc", krc, Dimension.PRESSURE, -1e12, 1e12);
    m.sensible("kte", kte, Dimension.FORCE_PER_LENGTH, 0, 1e8);
    m.sensible("kre", kre, Dimension.FORCE_PER_LENGTH, 0, 1e8);
    double range = m.fraction("range", LARGEST_RANGE);
    CuttingCoefficients coefficients = new CuttingCoefficients(ktc, krc, kte, kre, range);
    return new Material(
        m.text("name").orElse("own coefficients"),
        coefficients,
        "given in the cut file",
        Double.NaN);
  }

  private double feedPerTooth(double speedRpm, int teeth) {
    boolean perTooth = all.has("feedPerTooth");
    if (perTooth == all.has("feed")) {
      throw all.problem(
          perTooth ? "feed" : "feedPerTooth",
          perTooth
              ? "give either feed or feedPerTooth, not both"
              : "missing; give \"feedPerTooth\": \"0.03 mm\" or \"feed\": \"1500 mm/min\"");
    }
    if (perTooth) {
      double feed = all.requiredPositive("feedPerTooth", Dimension.LENGTH);
      return all.sensible("feedPerTooth", feed, Dimension.LENGTH, 1e-9, 0.01);
    }
    double feed = all.requiredPositive("feed", Dimension.VELOCITY);
    return all.sensible("feed", feed, Dimension.VELOCITY, 1e-9, 10) * 60 / (speedRpm * teeth);
  }
}

package ringtrue.ui.job;

import java.util.Arrays;
import java.util.Optional;

/** What can be said of a cut, with its place in a cut file. */
public enum CutField {
  NAME("name", "name of the cut", ""),
  OPERATION("operation", "operation", "milling"),
  MACHINE("machine.name", "machine", ""),
  MIN_SPEED("machine.minSpeed", "lowest speed", "6000 rpm"),
  MAX_SPEED("machine.maxSpeed", "highest speed", "24000 rpm"),
  MAX_FEED("machine.maxFeed", "highest feed rate", "5 m/min"),
  POWER("machine.power", "spindle power", "6000 rpm 0.5 kW; 24000 rpm 2.2 kW"),
  EFFICIENCY("machine.efficiency", "share of power at the cutter", "80 %"),
  INERTIA("machine.inertia", "spindle inertia", "0.0005 kg m2"),
  ACCELERATION("machine.acceleration", "feed acceleration", "2 m/s2"),
  DIAMETER("tool.diameter", "diameter", "6 mm"),
  FLUTES("tool.flutes", "flutes", "4"),
  HELIX("tool.helix", "helix", "35 deg"),
  PITCH("tool.pitch", "pitch", "88 deg, 92 deg, 88 deg, 92 deg"),
  STICKOUT("tool.stickout", "stick-out", "22 mm"),
  FLUTE_LENGTH("tool.fluteLength", "flute length", "16 mm"),
  RUNOUT("tool.runout", "run-out", "5 um"),
  EDGE_RADIUS("tool.edgeRadius", "edge radius", "5 um"),
  MAX_CHIP("tool.maxChip", "thickest chip", "0.08 mm"),
  SAFETY("tool.safetyFactor", "safety factor", "1.5"),
  CUTTER_MATERIAL("tool.material", "cutter material", "carbide"),
  MATERIAL("material", "work material", "mild steel"),
  KTC("material.ktc", "tangential coefficient", "1900 MPa"),
  KRC("material.krc", "radial coefficient", "650 MPa"),
  KTE("material.kte", "tangential edge coefficient", "18 N/mm"),
  KRE("material.kre", "radial edge coefficient", "22 N/mm"),
  DIRECTION("engagement.direction", "sense", "down"),
  ENTRY("engagement.direction.entry", "entry angle", "0 deg"),
  EXIT("engagement.direction.exit", "exit angle", "180 deg"),
  RADIAL("engagement.radial", "radial width", "0.3 mm"),
  AXIAL("engagement.axial", "axial depth", "6 mm"),
  LENGTH("engagement.length", "length of the cut", "100 mm"),
  WORK_DIAMETER("engagement.workDiameter", "turned diameter", "40 mm"),
  WALL_TOLERANCE("engagement.wallTolerance", "tolerance at the wall", "20 um"),
  MODE_ANGLE("modeAngle", "mode angle", "20 deg"),
  SPEED("speed", "spindle speed", "18000 rpm"),
  FEED_PER_TOOTH("feedPerTooth", "feed per tooth", "0.03 mm"),
  FEED("feed", "feed rate", "2 m/min"),
  PROCESS_DAMPING("processDamping", "process damping", "0 N/m"),
  HOLDING_FORCE("holdingForce", "holding force", "2 kN"),
  SPEED_SHIFT("dynamics.speedShiftSigma", "shift of frequencies at speed", "2 %"),
  NOTES("notes", "notes", "");

  private final String path;
  private final String words;
  private final String example;

  CutField(String path, String words, String example) {
    this.path = path;
    this.words = words;
    this.example = example;
  }

  /** Its place in a cut file, with dots between the names. */
  public String path() {
    return path;
  }

  /** For people. */
  public String words() {
    return words;
  }

  /** What could be written there; empty for free text. */
  public String example() {
    return example;
  }

  /** Whether the file holds a list of values there, or one. */
  boolean list() {
    return this == HELIX || this == PITCH;
  }

  /** A complaint without the place in a file in front of it, to stand beside what it is about. */
  public static String withoutPlace(String complaint) {
    String rest = complaint;
    for (int colon = rest.indexOf(": ");
        colon > 0 && rest.substring(0, colon).matches("[\\w.\\[\\]-]+");
        colon = rest.indexOf(": ")) {
      rest = rest.substring(colon + 2);
    }
    return rest;
  }

  /**
   * The field that a complaint about a cut is about: the one whose path stands in front of it,
   * perhaps behind a file's name.
   */
  public static Optional<CutField> of(String complaint) {
    return Arrays.stream(values())
        .filter(
            f ->
                complaint.startsWith(f.path + ":")
                    || complaint.startsWith(f.path + "[")
                    || complaint.contains(": " + f.path + ":")
                    || complaint.contains(": " + f.path + "["))
        .findFirst();
  }
}

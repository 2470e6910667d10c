package ringtrue.library;

import java.nio.file.InvalidPathException;
import java.nio.file.Path;
import java.time.DateTimeException;
import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.ModeTable;
import ringtrue.dynamics.OppositeMode;
import ringtrue.dynamics.Progress;
import ringtrue.dynamics.Receptance;
import ringtrue.dynamics.Residual;
import ringtrue.units.BadInputException;
import ringtrue.units.Dimension;

/** Reads the {@code dynamics} of a cut file: what gives in each direction, tool and workpiece. */
final class DynamicsFields {
  private static final List<String> AXIS_FIELDS =
      List.of("modes", "bySpeed", "frf", "measurement", "saved", "since");
  private static final List<String> GIVEN_BY =
      List.of("modes", "bySpeed", "frf", "measurement", "saved");
  private static final List<String> CROSS_FIELDS = List.of("modes", "bySpeed", "frf");

  /** Says which response of a universal file is meant. */
  private static final String FUNCTION = "function";

  private static final List<String> MODE_FIELDS =
      List.of(
          "frequency", "damping", "stiffness", "frequencySigma", "dampingSigma", "stiffnessSigma");

  /** A larger shift between standstill and full speed is another machine. */
  private static final double LARGEST_SPEED_SHIFT_SIGMA = 0.15;

  private static final String MODE_EXAMPLE =
      "{\"modes\": [{\"frequency\": \"1240 Hz\", \"damping\": \"1.6 %\", \"stiffness\": \"2.1e6 N/m\"}]}";

  private final Path file;
  private final Optional<SetUpLibrary> library;
  private final Map<String, SavedSetUp> setUps = new HashMap<>();
  private final Progress progress;
  private final List<String> remarks;
  private final List<String> sources = new ArrayList<>();
  private final List<Receptance> x = new ArrayList<>();
  private final List<Receptance> y = new ArrayList<>();
  private final List<Receptance> xy = new ArrayList<>();
  private final double speedShiftSigma;

  /**
   * @param file the cut file, which others may lie beside
   * @param all its outermost object
   * @param milling whether there are directions y and xy
   * @param library set-ups that it may name; empty where there are none
   * @param progress told about measurements being processed
   * @param remarks gets what was assumed
   */
  DynamicsFields(
      Path file,
      JsonFields all,
      boolean milling,
      Optional<SetUpLibrary> library,
      Progress progress,
      List<String> remarks) {
    this.file = file;
    this.library = library;
    this.progress = progress;
    this.remarks = remarks;
    JsonFields d =
        of(all)
            .orElseThrow(
                () -> all.missing("dynamics", "{\"tool\": {\"x\": " + MODE_EXAMPLE + "}}"));
    this.speedShiftSigma = d.fraction("speedShiftSigma", LARGEST_SPEED_SHIFT_SIGMA);
    List<String> axes = milling ? List.of("x", "y", "xy") : List.of("x");
    List<String> whole = new ArrayList<>(axes);
    whole.addAll(List.of("saved", "since"));
    for (String body : List.of("tool", "workpiece")) {
      d.object(body, whole).ifPresent(directions -> body(directions, body, axes));
    }
    if (x.isEmpty() && y.isEmpty() && xy.isEmpty()) {
      remarks.add("no direction has any mode or response: nothing can vibrate in this cut");
    }
  }

  /** The object itself; turning may hold its mode angle in it. */
  static Optional<JsonFields> of(JsonFields all) {
    return all.object("dynamics", List.of("tool", "workpiece", "modeAngle", "speedShiftSigma"));
  }

  List<Receptance> x() {
    return x;
  }

  List<Receptance> y() {
    return y;
  }

  List<Receptance> xy() {
    return xy;
  }

  /** One-sigma relative shift of the natural frequencies at full speed; NaN if not given. */
  double speedShiftSigma() {
    return speedShiftSigma;
  }

  /** What the dynamics are, for captions. */
  String sources() {
    return String.join("; ", sources);
  }

  private void body(JsonFields directions, String body, List<String> axes) {
    if (directions.has("saved")) {
      wholeSaved(directions, body, axes);
      return;
    }
    if (directions.has("since")) {
      throw directions.problem("since", "belongs to \"saved\"");
    }
    for (String axis : axes) {
      boolean cross = axis.equals("xy");
      Optional<JsonFields> fields =
          directions.object(axis, withFunction(cross ? CROSS_FIELDS : AXIS_FIELDS));
      String what = body + " " + axis;
      if (fields.isPresent()) {
        switch (axis) {
          case "x" -> axis(fields.get(), what).ifPresent(x::add);
          case "y" -> axis(fields.get(), what).ifPresent(y::add);
          default -> xy.addAll(cross(fields.get(), what));
        }
      } else if (body.equals("tool") && !cross) {
        remarks.add(
            "dynamics.tool."
                + axis
                + " is not given: the tool is taken as rigid in that direction");
      }
    }
    if (directions.has("xy") && !(directions.has("x") && directions.has("y"))) {
      remarks.add(
          "dynamics."
              + body
              + ".xy is given without both x and y of the "
              + body
              + ": no structure answers across without answering along; check the file");
    }
  }

  private static List<String> withFunction(List<String> fields) {
    List<String> all = new ArrayList<>(fields);
    all.add(FUNCTION);
    return all;
  }

  private Optional<Receptance> axis(JsonFields a, String what) {
    String given = given(a, "give exactly one of modes, bySpeed, frf, measurement, saved");
    switch (given) {
      case "modes":
        if (a.isText("modes")) {
          return Optional.of(modesOf(a, what)).filter(m -> !m.modes().isEmpty()).map(m -> m);
        }
        List<Mode> modes =
            a.objects("modes", MODE_FIELDS).stream().map(DynamicsFields::mode).toList();
        countModes(what, modes.size());
        return modes.isEmpty()
            ? Optional.empty()
            : Optional.of(new ModalModel(modes, Residual.NONE));
      case "bySpeed":
        return Optional.of(bySpeed(a, what));
      case "frf":
        return Optional.of(frf(a, what));
      case "saved":
        return Optional.of(saved(a, what, what.substring(what.indexOf(' ') + 1)));
      case "measurement":
        String json = a.requiredText("measurement", "\"tip-y.json\"");
        Path measurementFile = beside(a, "measurement", json);
        if (MeasurementFile.read(measurementFile).recording().force().isEmpty()) {
          return Optional.of(withoutForce(a, what, json, measurementFile));
        }
        MeasuredModes measured = MeasuredModes.of(measurementFile, progress);
        sources.add(
            what + ": " + measured.modes().model().modes().size() + " modes fitted to " + json);
        measured.modes().remarks().forEach(r -> remarks.add(json + ": " + r));
        return Optional.of(measured.modes().model());
      default:
        throw new IllegalStateException(given);
    }
  }

  /** Tool or workpiece of a saved set-up, in every direction in which it was measured. */
  private void wholeSaved(JsonFields b, String body, List<String> axes) {
    for (String axis : axes) {
      if (b.has(axis)) {
        throw b.problem(axis, "\"saved\" stands for all directions; leave one of the two out");
      }
    }
    SavedSetUp setUp = setUp(b);
    boolean any = false;
    for (String axis : axes) {
      if (axis.equals("xy")) {
        if (!setUp.along(axis).isEmpty()) {
          remarks.add(
              setUp.setUp().id()
                  + ": its cross response xy is not used; give it as dynamics."
                  + body
                  + ".xy by modes");
        }
      } else if (!setUp.along(axis).isEmpty()) {
        (axis.equals("x") ? x : y).add(saved(b, body + " " + axis, axis));
        any = true;
      } else if (!setUp.damagedAlong(axis).isEmpty()) {
        // rigid would be a guess, and one that lets a cut look safer than it is
        saved(b, body + " " + axis, axis);
      } else {
        remarks.add(
            setUp.setUp().id()
                + ": was not measured in "
                + axis
                + ": the "
                + body
                + " is taken as rigid in that direction");
      }
    }
    if (!any) {
      saved(b, body + " x", "x"); // says what is missing
    }
  }

  private Receptance saved(JsonFields a, String what, String axis) {
    SavedSetUp setUp = setUp(a);
    Optional<String> measurement =
        a.knows("measurement") ? a.text("measurement") : Optional.empty();
    Optional<Instant> since = a.text("since").map(t -> moment(a, t));
    if (measurement.isPresent() && since.isPresent()) {
      throw a.problem("since", "does not go with a single measurement");
    }
    try {
      SavedDynamics dynamics = SavedDynamics.of(setUp, axis, measurement, since);
      sources.add(what + ": " + dynamics.source());
      remarks.addAll(dynamics.remarks());
      return dynamics.model();
    } catch (BadInputException e) {
      throw a.problem("saved", e.getMessage());
    }
  }

  private SavedSetUp setUp(JsonFields a) {
    String id = a.requiredText("saved", "\"end-mill-6-mm-k3f9w\"").strip();
    try {
      SetUpLibrary from =
          library.orElseThrow(
              () -> new BadInputException("there is no library here to take it from"));
      return setUps.computeIfAbsent(id, from::read);
    } catch (BadInputException e) {
      throw a.problem("saved", e.getMessage());
    }
  }

  private static Instant moment(JsonFields a, String text) {
    try {
      return text.contains("T")
          ? Instant.parse(text)
          : LocalDate.parse(text).atStartOfDay(ZoneOffset.UTC).toInstant();
    } catch (DateTimeException e) {
      throw a.problem("since", "\"" + text + "\" is no date; write it like \"2026-03-01\"");
    }
  }

  /** Modes of free decays: lobes need their stiffness, which only an added mass can tell. */
  private ModalModel withoutForce(JsonFields a, String what, String json, Path measurementFile) {
    DecayMeasurement measured = DecayMeasurement.of(measurementFile, progress);
    ModalModel model =
        measured
            .model()
            .orElseThrow(
                () ->
                    a.problem(
                        "measurement",
                        "\""
                            + json
                            + "\" was measured without a force: its modes have no stiffness, so"
                            + " there are no limits of depth or width; measure the force, or add a"
                            + " known mass (\"addedMass\")"));
    sources.add(what + ": " + model.modes().size() + " modes by added mass, " + json);
    measured.remarks().forEach(r -> remarks.add(json + ": " + r));
    return model;
  }

  private static String given(JsonFields a, String wanted) {
    List<String> given = GIVEN_BY.stream().filter(a::has).toList();
    // of a saved set-up, "measurement" names one of its measurements
    boolean oneOfSaved = given.equals(List.of("measurement", "saved"));
    if (oneOfSaved) {
      return "saved";
    }
    if (a.has("since") && !given.equals(List.of("saved"))) {
      throw a.problem("since", "belongs to \"saved\"");
    }
    if (given.size() != 1) {
      throw a.problem("", wanted + "; for example " + MODE_EXAMPLE);
    }
    if (a.has(FUNCTION) && !given.get(0).equals("frf")) {
      throw a.problem(FUNCTION, "belongs to an \"frf\" that is a universal file (.unv)");
    }
    return given.get(0);
  }

  private void countModes(String what, int modes) {
    if (modes > 0) {
      sources.add(what + ": " + modes + (modes == 1 ? " mode" : " modes"));
    }
  }

  /** A cross receptance: modes whose shape points the opposite way count with a minus sign. */
  private List<Receptance> cross(JsonFields a, String what) {
    switch (given(a, "give exactly one of modes, bySpeed, frf")) {
      case "bySpeed":
        return List.of(bySpeed(a, what));
      case "frf":
        return List.of(frf(a, what));
      default:
        if (a.isText("modes")) {
          return List.of(modesOf(a, what));
        }
        List<Mode> along = new ArrayList<>();
        List<Receptance> all = new ArrayList<>();
        List<JsonFields> modes = a.objects("modes", MODE_FIELDS);
        for (JsonFields m : modes) {
          if (m.quantity("stiffness", Dimension.STIFFNESS).orElse(1.0) < 0) {
            all.add(new OppositeMode(mode(m, -1)));
          } else {
            along.add(mode(m));
          }
        }
        countModes(what, modes.size());
        if (!along.isEmpty()) {
          all.add(0, new ModalModel(along, Residual.NONE));
        }
        return all;
    }
  }

  /** Modes in a file of their own. */
  private ModalModel modesOf(JsonFields a, String what) {
    String name = a.requiredText("modes", "\"tip-x-modes.csv\"");
    ModalModel model = ModesFile.read(beside(a, "modes", name));
    int modes = model.modes().size();
    sources.add(what + ": " + modes + (modes == 1 ? " mode of " : " modes of ") + name);
    return model;
  }

  private FrequencyResponse frf(JsonFields a, String what) {
    String csv = a.requiredText("frf", "\"tip-y.csv\"");
    Optional<Integer> function = a.whole(FUNCTION, 1, 1_000_000);
    String axis = what.substring(what.indexOf(' ') + 1);
    Path path = beside(a, "frf", csv);
    FrequencyResponse response =
        ResponseFile.read(path, new Dataset58.Wanted(function, Optional.of(axis)));
    if (Dataset58.isNameOf(path)) {
      response.origin().remarks().forEach(r -> remarks.add(csv + ": " + r));
    }
    sources.add(what + ": response as measured, " + csv);
    if (Double.isFinite(response.windowTimeConstantS())) {
      remarks.add(
          String.format(
              Locale.ROOT,
              "%s was measured with an exponential window (%.3g s) and is used as it is: the window"
                  + " adds damping, so limits come out too high; fit modes and use those instead",
              csv,
              response.windowTimeConstantS()));
    }
    return response;
  }

  /** Modes at several spindle speeds. */
  private ModeTable bySpeed(JsonFields a, String what) {
    List<JsonFields> given = a.objects("bySpeed", List.of("speed", "modes"));
    if (given.isEmpty()) {
      throw a.problem("bySpeed", "needs one speed or more, each with its modes");
    }
    List<ModeTable.Row> rows = new ArrayList<>();
    for (JsonFields row : given) {
      double speed =
          row.notNegative("speed", Dimension.SPINDLE_SPEED)
              .orElseThrow(() -> row.missing("speed", "\"0 rpm\""));
      row.sensible("speed", speed, Dimension.SPINDLE_SPEED, 0, CutFile.MOST_RPM);
      List<Mode> modes =
          row.objects("modes", MODE_FIELDS).stream().map(DynamicsFields::mode).toList();
      if (modes.isEmpty()) {
        throw row.missing(
            "modes",
            "[{\"frequency\": \"1240 Hz\", \"damping\": \"1.6 %\", \"stiffness\": \"2.1e6 N/m\"}]");
      }
      if (!rows.isEmpty()) {
        ModeTable.Row before = rows.get(rows.size() - 1);
        if (!(speed > before.speedRpm())) {
          throw row.problem(
              "speed",
              "speeds must rise from row to row, but "
                  + JsonFields.plain(speed)
                  + " rpm follows "
                  + JsonFields.plain(before.speedRpm())
                  + " rpm");
        }
        int wanted = before.model().modes().size();
        if (modes.size() != wanted) {
          throw row.problem(
              "modes",
              String.format(
                  Locale.ROOT,
                  "has %d %s, but the first row has %d; the same modes are needed at every speed",
                  modes.size(),
                  modes.size() == 1 ? "mode" : "modes",
                  wanted));
        }
      }
      rows.add(new ModeTable.Row(speed, new ModalModel(modes, Residual.NONE)));
    }
    int modes = rows.get(0).model().modes().size();
    sources.add(
        String.format(
            Locale.ROOT,
            "%s: %d %s over %d %s",
            what,
            modes,
            modes == 1 ? "mode" : "modes",
            rows.size(),
            rows.size() == 1 ? "speed" : "speeds"));
    return new ModeTable(rows);
  }

  private Path beside(JsonFields a, String field, String name) {
    try {
      return file.toAbsolutePath().resolveSibling(name);
    } catch (InvalidPathException e) {
      throw a.problem(field, "\"" + name + "\" is not a file name");
    }
  }

  private static Mode mode(JsonFields m) {
    return mode(m, 1);
  }

  /**
   * @param sign −1 for a mode whose stiffness is written with a minus sign because its shape points
   *     the opposite way
   */
  private static Mode mode(JsonFields m, int sign) {
    double frequency = m.requiredPositive("frequency", Dimension.FREQUENCY);
    m.sensible("frequency", frequency, Dimension.FREQUENCY, 0.01, 1e6);
    double damping = m.requiredPositive("damping", Dimension.RATIO);
    if (!(damping < 1)) {
      throw m.problem(
          "damping", "must be below 1 (100 %), is " + damping + "; write it like \"1.6 %\"");
    }
    double stiffness =
        sign < 0
            ? -m.requiredQuantity("stiffness", Dimension.STIFFNESS)
            : m.requiredPositive("stiffness", Dimension.STIFFNESS);
    m.sensible("stiffness", stiffness, Dimension.STIFFNESS, 1, 1e15);
    return new Mode(
        frequency,
        damping,
        stiffness,
        sigma(m, "frequencySigma", Dimension.FREQUENCY, frequency),
        m.notNegative("dampingSigma", Dimension.RATIO).orElse(Double.NaN),
        sigma(m, "stiffnessSigma", Dimension.STIFFNESS, stiffness),
        Double.NaN);
  }

  /** A sigma in the quantity's own unit, or in percent of it. */
  private static double sigma(JsonFields m, String field, Dimension dimension, double value) {
    Optional<String> text = m.isText(field) ? m.text(field) : Optional.empty();
    if (text.isPresent() && text.get().trim().endsWith("%")) {
      return value * m.notNegative(field, Dimension.RATIO).orElseThrow();
    }
    return m.notNegative(field, dimension).orElse(Double.NaN);
  }
}

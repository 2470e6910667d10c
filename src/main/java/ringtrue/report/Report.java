package ringtrue.report;

import java.math.BigDecimal;
import java.math.MathContext;
import java.nio.file.Path;
import java.time.ZoneId;
import java.time.ZonedDateTime;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.ResponseForm;
import ringtrue.fitting.DecayMode;
import ringtrue.fitting.FittedModes;
import ringtrue.library.Cut;
import ringtrue.library.InputFiles;
import ringtrue.planning.CutPlan;
import ringtrue.planning.Machine;
import ringtrue.signal.AveragedResponse;
import ringtrue.signal.DecayTap;
import ringtrue.signal.Tap;
import ringtrue.stability.CuttingCoefficients;
import ringtrue.stability.CuttingProcess;
import ringtrue.stability.CuttingProcess.Operation;
import ringtrue.stability.Engagement;
import ringtrue.stability.StabilityMap;
import ringtrue.stability.StabilityProbability;
import ringtrue.stability.Tool;

/**
 * What to keep with a job: what was measured and planned, how far it can be trusted, and how to
 * compute it again.
 *
 * @param title heading of the page
 * @param by who made it; may be empty
 * @param note what its maker wants to say; may be empty
 * @param made when it was made
 * @param unit lengths
 * @param items what it tells about, in order
 * @param version version of the program
 * @param java version of the Java that ran it
 * @param commands command lines that compute the same again
 */
public record Report(
    String title,
    String by,
    String note,
    ZonedDateTime made,
    LengthUnit unit,
    List<ReportItem> items,
    String version,
    String java,
    List<String> commands) {

  private static final DateTimeFormatter DATE =
      DateTimeFormatter.ofPattern("yyyy-MM-dd HH:mm", Locale.ROOT);

  /** Taps listed one by one. */
  private static final int MOST_TAPS = 60;

  private static final int LONGEST_HEADER = 95;
  private static final int MOST_SENSITIVITIES = 6;
  private static final int SENSIBLE_DIGITS = 6;
  private static final Pattern LONG_NUMBER = Pattern.compile("\\d+\\.\\d{9,}");
  private static final String UNKNOWN = "unknown";

  private static final List<String> CAUTIONS =
      List.of(
          "Everything here is an estimate: measured at standstill, at one point, in one posture and"
              + " one clamping. It cannot show that a cut is safe.",
          "Tap only with the spindle stopped and locked out and the edges covered; hammer, sensor,"
              + " cable and wax come off before any start.",
          "First cut in air, then well below the predicted depth, in small steps, guards closed. Local"
              + " codes, the maker's instructions and licensed practice come first.");

  public Report {
    items = List.copyOf(items);
    commands = List.copyOf(commands);
  }

  /** The date as the page shows it. */
  public String date() {
    return DATE.format(made);
  }

  /** The heading, or its beginning, for the top of each sheet. */
  public String shortTitle() {
    return title.length() <= LONGEST_HEADER
        ? title
        : title.substring(
                0,
                title.lastIndexOf(' ', LONGEST_HEADER) < 0
                    ? LONGEST_HEADER
                    : title.lastIndexOf(' ', LONGEST_HEADER))
            + " …";
  }

  /** The report as a page. */
  public Page page() {
    Page page = new Page(title).by(by);
    for (ReportItem item : items) {
      if (item instanceof ReportItem.Planned planned) {
        card(page, planned);
      }
    }
    page.facts(
        "This report",
        List.of(
            List.of("made", date() + " (" + made.getZone() + ")"),
            List.of("by", by),
            List.of("note", note),
            List.of(
                "tells about", items.stream().map(Report::name).collect(Collectors.joining("; "))),
            List.of("program", "ringtrue " + version)));
    page.heading("In short");
    page.list(items.stream().map(Report::inShort).toList());
    page.heading("Cautions");
    Set<String> cautions = new java.util.LinkedHashSet<>(CAUTIONS);
    for (ReportItem item : items) {
      if (item instanceof ReportItem.Planned p) {
        p.plan().result().ifPresent(plan -> cautions.addAll(plan.cautions()));
      }
    }
    page.cautions(List.copyOf(cautions));
    for (ReportItem item : items) {
      if (item instanceof ReportItem.Taps taps) {
        taps(page, taps);
      } else if (item instanceof ReportItem.Response response) {
        response(page, response);
      } else if (item instanceof ReportItem.Decays decays) {
        decays(page, decays);
      } else if (item instanceof ReportItem.Planned planned) {
        cut(page, planned);
      }
    }
    again(page);
    return page;
  }

  /** What the user calls it. */
  public static String name(ReportItem item) {
    if (item instanceof ReportItem.Taps taps) {
      return taps.recording().name();
    } else if (item instanceof ReportItem.Response response) {
      return ResponseCharts.title(response.response().origin());
    } else if (item instanceof ReportItem.Decays decays) {
      return decays.recording().name();
    } else {
      return ((ReportItem.Planned) item).cut().name();
    }
  }

  private static String inShort(ReportItem item) {
    return name(item) + ": " + inWords(item) + ".";
  }

  /** What came of it, in a few words. */
  public static String inWords(ReportItem item) {
    String words;
    if (item instanceof ReportItem.Taps taps) {
      words =
          String.format(
              Locale.ROOT,
              "%d of %d taps kept, usable from %.0f to %.0f Hz; %s",
              kept(taps.averaged()),
              taps.averaged().taps().size(),
              taps.averaged().response().origin().bandLowHz(),
              taps.averaged().response().origin().bandHighHz(),
              modesInShort(taps.modes()));
    } else if (item instanceof ReportItem.Response response) {
      words = modesInShort(response.modes());
    } else if (item instanceof ReportItem.Decays decays) {
      words =
          "no force measured; "
              + decays.measured().modes().modes().stream()
                  .map(m -> String.format(Locale.ROOT, "%.1f Hz", m.frequencyHz()))
                  .collect(Collectors.joining(", "));
    } else {
      ReportItem.Planned planned = (ReportItem.Planned) item;
      words =
          planned
              .plan()
              .result()
              .map(PlanWords::verdict)
              .orElse("could not be judged: " + planned.plan().problem());
    }
    return words;
  }

  private static String modesInShort(ReportItem.Found<FittedModes> modes) {
    if (modes.result().isEmpty()) {
      return "modes could not be fitted: " + modes.problem();
    }
    List<Mode> all = modes.result().get().model().modes();
    return all.isEmpty()
        ? "no mode was found"
        : all.size()
            + (all.size() == 1 ? " mode: " : " modes: ")
            + all.stream()
                .map(m -> String.format(Locale.ROOT, "%.1f Hz", m.frequencyHz()))
                .collect(Collectors.joining(", "));
  }

  // Measurements ----------------------------------------------------------------------------------

  private void taps(Page page, ReportItem.Taps item) {
    AveragedResponse averaged = item.averaged();
    page.heading(item.recording().name());
    setUp(page, item.sources(), item.recording(), item.calibrationFactor());
    List<Tap> taps = averaged.taps();
    boolean several = item.recording().recordings().size() > 1;
    List<String> header = new ArrayList<>(List.of("tap", "at s", "peak N", "contact ms", "to Hz"));
    header.addAll(List.of("verdict", "reason"));
    if (several) {
      header.add(1, "recording");
    }
    List<List<String>> rows = new ArrayList<>();
    for (Tap tap : taps.subList(0, Math.min(MOST_TAPS, taps.size()))) {
      List<String> row = new ArrayList<>();
      row.add(Integer.toString(tap.number()));
      if (several) {
        row.add(tap.recording());
      }
      row.add(number("%.4f", tap.onsetS()));
      row.add(number("%.4g", tap.peakForceN()));
      row.add(number("%.3g", tap.contactS() * 1e3));
      row.add(number("%.0f", tap.usableToHz()));
      row.add(tap.verdict().word());
      row.add(tap.reason());
      rows.add(row);
    }
    page.table(kept(averaged) + " of " + taps.size() + " taps were kept", header, rows);
    if (taps.size() > MOST_TAPS) {
      page.paragraph("and " + (taps.size() - MOST_TAPS) + " more; frf --json lists them all.");
    }
    page.smallHeading("How it was processed");
    AveragedResponse.Used used = averaged.used();
    page.facts(
        "Chosen from the data unless the measurement says otherwise",
        List.of(
            List.of("block", number("%.5g s", used.blockLengthS())),
            List.of("before the trigger", number("%.4g ms", used.preTriggerS() * 1e3)),
            List.of("trigger", number("%.3g %% of the largest peak", used.triggerFraction() * 100)),
            List.of(
                "force window",
                used.forceWindow().isNone()
                    ? "none"
                    : String.format(
                        Locale.ROOT,
                        "%.4g ms, taper %.3g ms",
                        used.forceWindow().lengthS() * 1e3,
                        used.forceWindow().taperS() * 1e3)),
            List.of(
                "response window",
                Double.isInfinite(used.responseTimeConstantS())
                    ? "none"
                    : String.format(
                        Locale.ROOT,
                        "exponential, time constant %.4g ms",
                        used.responseTimeConstantS() * 1e3)),
            List.of("estimator", used.estimator().word()),
            List.of("lines", number("%.4g Hz apart", averaged.response().resolutionHz()))));
    page.smallHeading("Frequency response");
    page.picture(Drawings.response(averaged, ResponseForm.RECEPTANCE));
    modes(page, averaged.response(), item.modes());
    remarks(page, item.remarks());
  }

  private void response(Page page, ReportItem.Response item) {
    FrequencyResponse.Origin origin = item.response().origin();
    page.heading(ResponseCharts.title(origin));
    page.facts(
        "What it is",
        List.of(
            List.of("file", fileName(item.sources())),
            List.of("file last changed", changed(item.sources())),
            List.of("direction", origin.axis()),
            List.of("point", origin.point()),
            List.of("taps averaged", Integer.toString(origin.averages()))));
    page.smallHeading("Frequency response");
    page.picture(Drawings.response(item.response()));
    modes(page, item.response(), item.modes());
    remarks(page, item.remarks());
  }

  private void setUp(
      Page page,
      List<InputFiles.Source> sources,
      ringtrue.acquisition.TapRecording recording,
      double calibrationFactor) {
    List<List<String>> rows = new ArrayList<>();
    rows.add(List.of("file", fileName(sources)));
    rows.add(List.of("recording last changed", changed(sources)));
    rows.add(List.of("direction", recording.axis()));
    rows.add(List.of("point", recording.point()));
    rows.add(
        List.of(
            "recordings",
            recording.recordings().stream()
                .map(
                    r ->
                        String.format(
                            Locale.ROOT,
                            "%s: %d channels, %.6g Hz, %.4g s",
                            r.name(),
                            r.channels(),
                            r.sampleRateHz(),
                            r.frames() / r.sampleRateHz()))
                .collect(Collectors.joining("; "))));
    Map<String, String> said = InputFiles.said(sources.get(0).text());
    said.forEach(
        (field, value) -> {
          if (!field.equals("axis") && !field.equals("point")) {
            rows.add(List.of(field, tidy(value)));
          }
        });
    if (calibrationFactor != 1) {
      rows.add(
          List.of("calibration applied", number("response divided by %.5g", calibrationFactor)));
    }
    page.facts("Set-up, as the measurement says", rows);
  }

  /** Numbers with more digits than mean anything, as a computer adds them up. */
  private static String tidy(String value) {
    return LONG_NUMBER
        .matcher(value)
        .replaceAll(
            m ->
                new BigDecimal(m.group())
                    .round(new MathContext(SENSIBLE_DIGITS))
                    .stripTrailingZeros()
                    .toPlainString());
  }

  private static void modes(
      Page page, FrequencyResponse response, ReportItem.Found<FittedModes> found) {
    page.smallHeading("Modes");
    if (found.result().isEmpty()) {
      page.problem("Modes could not be fitted: " + found.problem());
      return;
    }
    FittedModes fitted = found.result().get();
    if (fitted.model().modes().isEmpty()) {
      page.problem(
          String.format(
              Locale.ROOT,
              "No mode was found from %.0f to %.0f Hz.",
              fitted.bandLowHz(),
              fitted.bandHighHz()));
    }
    List<List<String>> rows = new ArrayList<>();
    for (Mode m : fitted.model().modes()) {
      rows.add(
          List.of(
              plusMinus(m.frequencyHz(), m.frequencyHzSigma()),
              plusMinus(m.dampingRatio() * 100, m.dampingRatioSigma() * 100),
              plusMinus(m.stiffnessNPerM() / 1e6, m.stiffnessNPerMSigma() / 1e6),
              number("%.4g", m.massKg()),
              number("%.1f", m.phaseDeg())));
    }
    page.table(
        "Modes, ± one sigma of the measurement",
        List.of(
            "natural frequency Hz", "damping ζ %", "stiffness N/µm", "modal mass kg", "phase °"),
        rows);
    page.paragraph(
        String.format(
            Locale.ROOT,
            "Fitted from %.1f to %.1f Hz; the modes leave %.2g %% of the response over%s. What"
                + " clamping the tool again changes is not in sigma; it is more, as a rule.",
            fitted.bandLowHz(),
            fitted.bandHighHz(),
            100 * fitted.fitErrorRelative(),
            Double.isFinite(fitted.convergence().reducedChiSquare())
                ? String.format(
                    Locale.ROOT,
                    ", %.2g times the noise",
                    Math.sqrt(fitted.convergence().reducedChiSquare()))
                : ""));
    page.picture(Drawings.modes(response, fitted));
  }

  private void decays(Page page, ReportItem.Decays item) {
    page.heading(item.recording().name());
    setUp(page, item.sources(), item.recording(), 1);
    List<List<String>> taps = new ArrayList<>();
    List<DecayTap> all = item.measured().taps();
    for (DecayTap tap : all.subList(0, Math.min(MOST_TAPS, all.size()))) {
      taps.add(
          List.of(
              Integer.toString(tap.number()),
              number("%.4f", tap.onsetS()),
              number("%.3g", tap.lengthS()),
              tap.verdict().word(),
              tap.reason()));
    }
    page.table("Taps", List.of("tap", "at s", "used s", "verdict", "reason"), taps);
    page.smallHeading("Modes");
    List<List<String>> rows = new ArrayList<>();
    for (DecayMode m : item.measured().modes().modes()) {
      rows.add(
          List.of(
              plusMinus(m.frequencyHz(), m.frequencyHzSigma()),
              plusMinus(m.dampingRatio() * 100, m.dampingRatioSigma() * 100),
              plusMinus(m.stiffnessNPerM() / 1e6, m.stiffnessNPerMSigma() / 1e6),
              plusMinus(m.massKg(), m.massKgSigma())));
    }
    if (rows.isEmpty()) {
      page.problem("No mode was found.");
    }
    page.table(
        "Modes from free decays, ± one sigma; no force was measured",
        List.of("natural frequency Hz", "damping ζ %", "stiffness N/µm", "modal mass kg"),
        rows);
    if (!item.measured().modes().taps().isEmpty()) {
      page.picture(Drawings.decay(item.recording(), item.measured()));
    }
    remarks(page, item.measured().remarks());
  }

  // Cuts ------------------------------------------------------------------------------------------

  private void cut(Page page, ReportItem.Planned item) {
    Cut cut = item.cut();
    page.heading(cut.name());
    item.plan().result().ifPresent(plan -> page.verdict(PlanWords.verdict(plan) + "."));
    if (item.plan().result().isEmpty()) {
      page.problem("The cut could not be judged: " + item.plan().problem());
    }
    page.facts("Set-up", cutFacts(item.sources(), cut));
    page.smallHeading("Stability lobes");
    if (item.map().result().isEmpty()) {
      page.problem("The lobes could not be computed: " + item.map().problem());
    } else {
      StabilityMap map = item.map().result().get();
      page.picture(
          Drawings.lobes(
              map,
              cut,
              unit,
              item.outcomes().map(o -> o.marks(map.over(), cut.process())).orElse(List.of())));
      map(page, map);
      item.outcomes().ifPresent(o -> outcomes(page, o));
    }
    item.plan().result().ifPresent(plan -> plan(page, plan));
    remarks(page, item.remarks());
  }

  private void outcomes(Page page, CutOutcomes outcomes) {
    List<List<String>> rows = outcomes.rows(unit);
    if (rows.isEmpty()) {
      return;
    }
    page.smallHeading("What cuts did");
    page.table(
        "Cuts that were made with these set-ups, against the lobes: ○ quiet, × chattered",
        List.of("outcome", "set-up", "rpm", "axial", "radial", "the cut", "the lobes", "note"),
        rows);
    if (!outcomes.result().sentences().isEmpty()) {
      page.list(outcomes.sentences(unit));
    }
  }

  /** What is set at the machine, to be read first. */
  private void card(Page page, ReportItem.Planned item) {
    Cut cut = item.cut();
    CuttingProcess process = cut.process();
    Engagement e = process.engagement();
    boolean turning = process.operation() == Operation.TURNING;
    int teeth = process.tool().map(Tool::flutes).orElse(1);
    item.plan().result().ifPresent(plan -> page.verdict(PlanWords.verdict(plan) + "."));
    List<List<String>> rows = new ArrayList<>();
    rows.add(List.of("spindle speed", number("%.0f rpm", process.speedRpm())));
    rows.add(List.of(turning ? "chip width" : "axial depth", unit.length(e.axialM())));
    if (!Double.isNaN(e.radialM())) {
      rows.add(List.of("radial width", unit.length(e.radialM())));
    }
    rows.add(
        List.of(
            "feed",
            unit.feed(process.feedPerToothM() * teeth * process.speedRpm() / 60)
                + " ("
                + unit.length(process.feedPerToothM())
                + (turning ? " per turn)" : " per tooth)")));
    process.tool().ifPresent(tool -> rows.add(List.of("tool", cutter(tool))));
    rows.add(List.of("work material", cut.material()));
    page.facts("The cut: " + cut.name(), rows);
  }

  private List<List<String>> cutFacts(List<InputFiles.Source> sources, Cut cut) {
    List<List<String>> rows = new ArrayList<>();
    rows.add(List.of("file", fileName(sources)));
    rows.add(List.of("file last changed", changed(sources)));
    rows.add(List.of("machine", machine(cut.machine())));
    cut.process()
        .tool()
        .ifPresent(
            tool -> {
              rows.add(List.of("cutter", cutter(tool)));
              rows.add(List.of("cutter material", cut.planSettings().toolMaterial().name()));
            });
    rows.add(List.of("work material", cut.material() + " (" + cut.materialSource() + ")"));
    rows.add(List.of("cutting forces", forces(cut.process().coefficients())));
    Engagement e = cut.process().engagement();
    boolean turning = cut.process().operation() == Operation.TURNING;
    rows.add(List.of(turning ? "chip width" : "axial depth", unit.length(e.axialM())));
    if (!turning) {
      rows.add(List.of("radial width", Double.isNaN(e.radialM()) ? "" : unit.length(e.radialM())));
      rows.add(
          List.of(
              "way of cutting",
              switch (e.direction()) {
                case UP -> "up (conventional)";
                case DOWN -> "down (climb)";
                case SLOT -> "slot";
                case ANGLES ->
                    String.format(
                        Locale.ROOT,
                        "from %.4g to %.4g°",
                        Math.toDegrees(e.entryRad()),
                        Math.toDegrees(e.exitRad()));
              }));
    }
    rows.add(List.of("spindle speed", number("%.0f rpm", cut.process().speedRpm())));
    rows.add(
        List.of(
            turning ? "feed per turn" : "feed per tooth",
            unit.length(cut.process().feedPerToothM())));
    rows.add(List.of("dynamics", cut.dynamicsSource()));
    return rows;
  }

  private String machine(Machine machine) {
    List<String> parts = new ArrayList<>();
    parts.add(machine.name().isBlank() ? "not named" : machine.name());
    if (Double.isFinite(machine.minSpeedRpm()) || Double.isFinite(machine.maxSpeedRpm())) {
      parts.add(
          number("%.0f", machine.minSpeedRpm(), "?")
              + " to "
              + number("%.0f", machine.maxSpeedRpm(), "?")
              + " rpm");
    }
    if (Double.isFinite(machine.maxFeedMPerS())) {
      parts.add("feed up to " + unit.feed(machine.maxFeedMPerS()));
    }
    if (!machine.power().isEmpty()) {
      parts.add(
          "power "
              + machine.power().stream()
                  .map(
                      p ->
                          String.format(
                              Locale.ROOT, "%.3g kW at %.0f rpm", p.powerW() / 1e3, p.speedRpm()))
                  .collect(Collectors.joining(", ")));
    }
    return String.join("; ", parts);
  }

  private String cutter(Tool tool) {
    List<String> parts = new ArrayList<>();
    parts.add(unit.length(tool.diameterM()) + " diameter");
    parts.add(tool.flutes() + (tool.flutes() == 1 ? " flute" : " flutes"));
    Set<String> helices = new TreeSet<>();
    tool.helixRad()
        .forEach(h -> helices.add(String.format(Locale.ROOT, "%.3g", Math.toDegrees(h))));
    parts.add("helix " + String.join("/", helices) + "°");
    if (!tool.evenPitch()) {
      parts.add(
          "pitch "
              + tool.pitchRad().stream()
                  .map(p -> String.format(Locale.ROOT, "%.4g", Math.toDegrees(p)))
                  .collect(Collectors.joining(", "))
              + "°");
    }
    if (Double.isFinite(tool.stickoutM())) {
      parts.add("sticks out " + unit.length(tool.stickoutM()));
    }
    if (Double.isFinite(tool.fluteLengthM())) {
      parts.add("flutes " + unit.length(tool.fluteLengthM()) + " long");
    }
    if (tool.runoutM() > 0) {
      parts.add("run-out " + unit.small(tool.runoutM()));
    }
    if (Double.isFinite(tool.edgeRadiusM())) {
      parts.add("edge radius " + unit.small(tool.edgeRadiusM()));
    }
    return String.join("; ", parts);
  }

  private static String forces(CuttingCoefficients c) {
    return String.format(
        Locale.ROOT,
        "tangential %.4g N/mm² and %.3g N/mm of edge, radial %.4g N/mm² and %.3g N/mm%s",
        c.ktcPa() / 1e6,
        c.kteNPerM() / 1e3,
        c.krcPa() / 1e6,
        c.kreNPerM() / 1e3,
        Double.isFinite(c.relativeRange())
            ? String.format(Locale.ROOT, "; may be off by ±%.0f %%", 100 * c.relativeRange())
            : "");
  }

  private void map(Page page, StabilityMap map) {
    for (StabilityMap.Point point : map.at()) {
      page.paragraph(
          String.format(
              Locale.ROOT,
              "The cut itself, %.0f rpm and %s: predicted %s%s%s.",
              point.speedRpm(),
              unit.length(point.lengthM()),
              point.stable() ? "free of chatter" : "to chatter",
              Double.isFinite(point.growth())
                  ? String.format(
                      Locale.ROOT,
                      "; a vibration becomes %.3g times as large in each %s",
                      point.growth(),
                      map.growthPeriod().isEmpty() ? "period" : map.growthPeriod())
                  : "",
              Double.isFinite(point.probabilityStable())
                  ? String.format(
                      Locale.ROOT,
                      "; chance of being free of chatter %.0f %%",
                      100 * point.probabilityStable())
                  : ""));
    }
    List<List<String>> settings = new ArrayList<>();
    settings.add(List.of("method", map.method()));
    settings.add(
        List.of(
            "speeds",
            map.lines().isEmpty()
                ? ""
                : String.format(
                    Locale.ROOT,
                    "%d from %.0f to %.0f rpm",
                    map.lines().size(),
                    map.lines().stream().mapToDouble(StabilityMap.Line::speedRpm).min().orElse(0),
                    map.lines().stream()
                        .mapToDouble(StabilityMap.Line::speedRpm)
                        .max()
                        .orElse(0))));
    settings.add(List.of("searched up to", unit.length(map.maxM())));
    map.probability()
        .ifPresent(
            p ->
                settings.add(
                    List.of("chances", p.samples() + " draws of the inputs, seed " + p.seed())));
    page.facts("How the lobes were computed", settings);
    List<StabilityProbability.Sensitivity> moving =
        map.probability().map(StabilityProbability::sensitivities).orElse(List.of());
    page.table(
        "What moves the limit most",
        List.of("input", "share of the scatter %", "limit changes by one sigma %"),
        moving.stream()
            .limit(MOST_SENSITIVITIES)
            .map(
                s ->
                    List.of(
                        s.input(),
                        number("%.0f", 100 * s.share()),
                        number("%+.1f", 100 * s.slope())))
            .toList());
  }

  private void plan(Page page, CutPlan plan) {
    page.smallHeading("Limits and better cuts");
    page.table(
        "Every limit that could be judged",
        List.of("limit", "this cut", "allowed", "inside", "chance of it", "because"),
        plan.limits().stream()
            .map(
                l ->
                    List.of(
                        l.name(),
                        PlanWords.number(l.value(), l.unit(), unit),
                        PlanWords.allowed(l, unit),
                        l.advice() ? "advice" : l.ok() ? "yes" : "NO",
                        number("%.0f %%", 100 * l.probability()),
                        l.because()))
            .toList());
    page.table(
        "Better cuts, best first",
        List.of("rpm", "radial", "axial", "per tooth", "removal", "limit above by", "wall", "why"),
        plan.suggestions().stream()
            .map(
                s ->
                    List.of(
                        number("%.0f", s.speedRpm()),
                        Double.isNaN(s.radialM()) ? "" : unit.length(s.radialM()),
                        unit.length(s.axialM()),
                        unit.length(s.feedPerToothM()),
                        unit.removal(s.removalM3PerS()),
                        number("%.0f %%", 100 * s.margin()),
                        Double.isNaN(s.wallErrorM())
                            ? ""
                            : (s.wallErrorM() < 0 ? "−" : "+")
                                + unit.small(Math.abs(s.wallErrorM())),
                        s.because()))
            .toList());
    if (!plan.gentlest().words().isEmpty()) {
      page.smallHeading("The gentlest changes");
      page.list(plan.gentlest().words());
    }
  }

  // The same again --------------------------------------------------------------------------------

  private void again(Page page) {
    page.heading("To compute it again");
    page.paragraph(
        "With the same program and the same files the same numbers come out. These commands make"
            + " them, from the folder in which this report was made:");
    page.verbatim(String.join("\n", commands));
    page.facts(
        "Program", List.of(List.of("version", "ringtrue " + version), List.of("Java", java)));
    Map<Path, InputFiles.Source> files = new java.util.LinkedHashMap<>();
    for (ReportItem item : items) {
      item.sources().forEach(s -> files.putIfAbsent(s.file().toAbsolutePath().normalize(), s));
    }
    page.smallHeading("Files that were read");
    page.table(
        "Size, last change and SHA-256 of each file",
        List.of("file", "bytes", "changed", "SHA-256"),
        files.values().stream()
            .map(
                s ->
                    List.of(
                        s.file().toString(),
                        Long.toString(s.bytes()),
                        DATE.format(s.changed().atZone(made.getZone())),
                        s.sha256()))
            .toList());
    if (files.values().stream().anyMatch(s -> !s.isData())) {
      page.heading("Appendix: the files as they were read");
    }
    for (InputFiles.Source source : files.values()) {
      if (!source.isData()) {
        page.smallHeading("What " + source.file().getFileName() + " says");
        page.verbatim(source.text());
      }
    }
  }

  private static void remarks(Page page, List<String> remarks) {
    List<String> each = remarks.stream().distinct().toList();
    if (!each.isEmpty()) {
      page.smallHeading("Remarks");
      page.list(each);
    }
  }

  private static String fileName(List<InputFiles.Source> sources) {
    return sources.get(0).file().getFileName().toString();
  }

  /** When the data, or the description where there are none, were last changed. */
  private String changed(List<InputFiles.Source> sources) {
    ZoneId zone = made.getZone();
    Set<String> dates = new TreeSet<>();
    for (InputFiles.Source source : sources) {
      if (source.isData() || sources.size() == 1) {
        dates.add(DATE.format(source.changed().atZone(zone)));
      }
    }
    return String.join(", ", dates);
  }

  private static long kept(AveragedResponse averaged) {
    return averaged.taps().stream().filter(t -> t.verdict() == Tap.Verdict.KEPT).count();
  }

  private static String number(String format, double value) {
    return number(format, value, "");
  }

  private static String number(String format, double value, String unknown) {
    return Double.isNaN(value) ? unknown : String.format(Locale.ROOT, format, value);
  }

  /** A value with its sigma to two digits. */
  static String plusMinus(double value, double sigma) {
    if (Double.isNaN(value)) {
      return UNKNOWN;
    }
    if (!(sigma > 0)) {
      return String.format(Locale.ROOT, "%.6g", value);
    }
    if (sigma < 1e-6) {
      return String.format(Locale.ROOT, "%.6g ± %.2g", value, sigma);
    }
    int places = Math.max(0, Math.min(7, (int) Math.ceil(-Math.log10(sigma)) + 1));
    return String.format(Locale.ROOT, "%." + places + "f ± %." + places + "f", value, sigma);
  }
}

package ringtrue.cli;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.function.Function;
import picocli.CommandLine;
import picocli.CommandLine.Option;
import ringtrue.dynamics.Progress;
import ringtrue.library.Catalogue;
import ringtrue.library.Cut;
import ringtrue.library.CutCopy;
import ringtrue.library.CutLobes;
import ringtrue.library.SafeFile;
import ringtrue.library.SavedOutcomes;
import ringtrue.library.SetUpLibrary;
import ringtrue.report.Drawings;
import ringtrue.report.LengthUnit;
import ringtrue.report.OutcomeMark;
import ringtrue.report.Picture;
import ringtrue.stability.LobesRequest;
import ringtrue.stability.Method;
import ringtrue.stability.ProbabilityLobes;
import ringtrue.stability.StabilityMap;
import ringtrue.stability.StabilityProbability;
import ringtrue.units.BadInputException;
import ringtrue.units.Names;

/** {@code lobes}: where a cut is free of chatter. */
@CommandLine.Command(
    name = "lobes",
    sortOptions = false,
    description = "Stability lobes: the depth or width up to which a cut is free of chatter.",
    footer = {
      "",
      "Example: ringtrue lobes cut.json --speeds 6000:24000:50 --png lobes.png",
      "         ringtrue lobes cut.json --samples 200 --at \"18000 rpm,2.5 mm\"",
      "--png also takes FILE.svg and FILE.pdf. With several cuts, --csv and --png name folders."
    })
final class LobesCommand extends CutCommand {
  private static final double LONGEST_M = 10;

  @Option(
      names = "--over",
      paramLabel = "depth|width",
      description = "limit of the axial depth (default) or of the radial width")
  private String over = "depth";

  @Option(
      names = "--method",
      paramLabel = "METHOD",
      description =
          "periodic (the full periodic equation; default for milling), multi-frequency (the same on"
              + " responses as measured, with an error band; default for those), zero-order"
              + " (averaged directional factors, a quick look), simulation (cutting in time, slow: the"
              + " first limit at each speed)")
  private String method;

  @Option(
      names = "--speeds",
      paramLabel = "LO:HI:STEP|a,b,c",
      description = "spindle speeds, rpm (default: the machine's range)")
  private String speeds;

  @Option(
      names = "--max",
      paramLabel = "LENGTH",
      description = "search up to this depth or width, with its unit")
  private String max;

  @Option(
      names = "--at",
      paramLabel = "SPEED,LENGTH",
      description = "judge a single point; repeatable")
  private List<String> at = new ArrayList<>();

  @Option(
      names = "--samples",
      paramLabel = "N",
      description =
          "chance of being stable from N sets of inputs drawn inside their uncertainties; 200 is"
              + " usual (default: none)")
  private String samples;

  @Option(
      names = "--seed",
      paramLabel = "S",
      description = "draws the sets: same seed, same answer (default: 1)")
  private String seed;

  @Option(names = "--csv", paramLabel = "FILE.csv", description = "write the lobes as CSV")
  private Path csv;

  @Option(
      names = "--png",
      paramLabel = "FILE.png",
      description = "draw the lobes with the cut marked")
  private Path png;

  /** A cut with its lobes. */
  record Made(Cut cut, StabilityMap map, List<String> remarks, Optional<OutcomeText> outcomes) {
    List<OutcomeMark> marks() {
      return outcomes.map(o -> o.told().marks(map.over(), cut.process())).orElse(List.of());
    }
  }

  @Override
  public Integer call() {
    LengthUnit unit = unit();
    List<LobesRequest.AtPoint> points = at.stream().map(LobesCommand::point).toList();
    StabilityMap.Over what = over();
    Optional<Method> how = Optional.ofNullable(method).map(LobesCommand::method);
    double maxM = max == null ? Double.NaN : Options.length("--max", max);
    if (maxM > LONGEST_M) {
      throw new BadInputException("--max: no cut is wider or deeper than 10 m, not " + max);
    }
    Optional<List<Double>> asked =
        Optional.ofNullable(speeds).map(s -> Options.speeds("--speeds", s));
    Optional<CutLobes.Draws> draws = draws(samples, seed);
    Function<Cut, LobesRequest> request =
        cut ->
            new LobesRequest(
                what,
                how,
                asked.orElseGet(() -> CutLobes.speedsRpm(cut, how, draws.isPresent())),
                maxM,
                points);
    if (files().size() > 1) {
      return many(request, draws, unit);
    }
    requireEnding("--csv", csv, ".csv", ".txt");
    requireEnding("--png", png, Picture.endings());
    requireOthers(file, csv, png);
    mayWrite(csv, png);
    Made made;
    try (TerminalProgress progress = new TerminalProgress(err())) {
      Cut cut = readCut(progress);
      made = withOutcomes(file, made(cut, request.apply(cut), draws, progress), progress);
    } catch (BadInputException e) {
      throw Places.named(file, e);
    }
    write(made, csv, png, unit);
    if (json) {
      JsonOut.write(out(), o -> toJson(o, made));
    } else {
      LobesText.of(made.map, made.cut, unit).forEach(out()::println);
      made.outcomes.map(o -> o.lines(unit)).filter(l -> !l.isEmpty()).ifPresent(this::block);
    }
    remarks(made.remarks);
    return Ringtrue.DONE;
  }

  private Made withOutcomes(Path from, Made made, Progress progress) {
    return withOutcomes(
        from, made, LibraryPart.library(libraryFolder), catalogue(catalogueFiles), progress);
  }

  /** What cuts with the saved set-ups of this cut did; empty where it names none. */
  static Made withOutcomes(
      Path from, Made made, SetUpLibrary library, Catalogue catalogue, Progress progress) {
    if (CutCopy.savedIn(from).isEmpty()) {
      return made;
    }
    SavedOutcomes known = SavedOutcomes.of(from, made.cut, library, catalogue, progress);
    List<String> remarks = new ArrayList<>(made.remarks);
    remarks.addAll(known.remarks());
    OutcomeText told = new OutcomeText(known, known.against(made.cut.process(), progress));
    return new Made(made.cut, made.map, remarks, Optional.of(told));
  }

  private void block(List<String> lines) {
    out().println();
    lines.forEach(out()::println);
  }

  private static void toJson(JsonOut o, Made made) {
    toJson(o, made.map, made.remarks);
    made.outcomes.ifPresent(t -> t.json(o));
  }

  /** Each file by itself. */
  private Integer many(
      Function<Cut, LobesRequest> request, Optional<CutLobes.Draws> draws, LengthUnit unit) {
    Batch.requireFolder("--csv", csv);
    Batch.requireFolder("--png", png);
    List<Path> tables = Batch.outputs(csv, files(), "-lobes.csv");
    List<Path> pictures = Batch.outputs(png, files(), "-lobes.png");
    Batch<Made> batch =
        Batch.run(
            files(),
            err(),
            (each, number, progress) -> {
              requireOthers(each, tables.get(number), pictures.get(number));
              mayWrite(tables.get(number), pictures.get(number));
              Cut cut = readCut(each, progress);
              Made made =
                  withOutcomes(each, made(cut, request.apply(cut), draws, progress), progress);
              write(made, tables.get(number), pictures.get(number), unit);
              return made;
            });
    if (json) {
      batch.json(out(), "cuts", LobesCommand::toJson);
    } else {
      batch.summary(this, "cut", "limit", m -> inWords(m.map, unit), Made::remarks);
    }
    return batch.finish(err());
  }

  private static String inWords(StabilityMap map, LengthUnit unit) {
    StabilityMap.Line low =
        map.lines().stream()
            .min(Comparator.comparingDouble(StabilityMap.Line::limitM))
            .orElseThrow();
    StabilityMap.Line high =
        map.lines().stream()
            .max(Comparator.comparingDouble(StabilityMap.Line::limitM))
            .orElseThrow();
    return String.format(
        Locale.ROOT,
        "from %s at %.0f rpm to %s at %.0f rpm (%s)",
        unit.length(low.limitM()),
        low.speedRpm(),
        unit.length(high.limitM()),
        high.speedRpm(),
        map.method());
  }

  private void write(Made made, Path csvFile, Path pngFile, LengthUnit unit) {
    if (csvFile != null) {
      SafeFile.writeText(csvFile, overwrite, toCsv(made.map));
      wrote(csvFile);
    }
    draw(pngFile, () -> Drawings.lobes(made.map, made.cut, unit, made.marks()), 1);
  }

  static Optional<CutLobes.Draws> draws(String samples, String seed) {
    if (samples == null) {
      if (seed != null) {
        throw new BadInputException("--seed: belongs to --samples; give that as well");
      }
      return Optional.empty();
    }
    long number =
        Options.whole(
            "--samples", samples, ProbabilityLobes.FEWEST_SAMPLES, ProbabilityLobes.MOST_SAMPLES);
    long from = seed == null ? 1 : Options.whole("--seed", seed, 0, Long.MAX_VALUE);
    return Optional.of(new CutLobes.Draws((int) number, from));
  }

  /** The map that was asked for, with all that is to be said about it. */
  static Made made(
      Cut cut, LobesRequest request, Optional<CutLobes.Draws> draws, Progress progress) {
    CutLobes found = CutLobes.of(cut, request, draws, progress);
    return new Made(cut, found.map(), found.remarks(), Optional.empty());
  }

  private StabilityMap.Over over() {
    for (StabilityMap.Over each : StabilityMap.Over.values()) {
      if (each.word().equals(over)) {
        return each;
      }
    }
    throw new BadInputException("--over: \"" + over + "\" must be depth or width");
  }

  private static Method method(String word) {
    List<String> words = new ArrayList<>();
    for (Method each : Method.values()) {
      if (each.word().equals(word)) {
        return each;
      }
      words.add(each.word());
    }
    throw new BadInputException(
        "--method: \""
            + word
            + "\" is not known; "
            + Names.closest(word, words).map(n -> "did you mean " + n + "? ").orElse("")
            + "one of: "
            + String.join(", ", words));
  }

  private static LobesRequest.AtPoint point(String text) {
    String[] parts = text.split(",", -1);
    if (parts.length != 2) {
      throw new BadInputException(
          "--at: \"" + text + "\" must be a speed and a length like \"12000 rpm,2 mm\"");
    }
    return new LobesRequest.AtPoint(
        Options.speed("--at", parts[0]), Options.length("--at", parts[1]));
  }

  static String toCsv(StabilityMap map) {
    StringBuilder text =
        new StringBuilder(
            "speed_rpm,limit_m,loss,chatter_hz,lobe,stable_m,limit_low_m,limit_high_m,limit95_m\n");
    for (int i = 0; i < map.lines().size(); i++) {
      StabilityMap.Line line = map.lines().get(i);
      int row = i;
      StringBuilder stable = new StringBuilder();
      for (StabilityMap.Interval s : line.stable()) {
        stable.append(stable.isEmpty() ? "" : " ").append(s.fromM()).append(':').append(s.toM());
      }
      text.append(
              String.join(
                  ",",
                  cell(line.speedRpm()),
                  cell(line.limitM()),
                  line.loss().word(),
                  cell(line.chatterHz()),
                  line.lobe() < 0 ? "" : Integer.toString(line.lobe()),
                  stable,
                  cell(line.limitLowM()),
                  cell(line.limitHighM()),
                  map.probability().map(p -> cell(p.limit95M().get(row))).orElse("")))
          .append('\n');
    }
    return text.toString();
  }

  private static String cell(double value) {
    return Double.isNaN(value) ? "" : Double.toString(value);
  }

  static void toJson(JsonOut o, StabilityMap map, List<String> remarks) {
    List<StabilityMap.Line> lines = map.lines();
    o.put("over", map.over().word());
    o.put("method", map.method());
    o.put("maxM", map.maxM());
    o.numbers("speedRpm", lines.size(), i -> lines.get(i).speedRpm());
    o.numbers("limitM", lines.size(), i -> lines.get(i).limitM());
    o.numbers("limitLowM", lines.size(), i -> lines.get(i).limitLowM());
    o.numbers("limitHighM", lines.size(), i -> lines.get(i).limitHighM());
    o.pairLists(
        "stableM",
        lines,
        line -> line.stable().stream().map(s -> new double[] {s.fromM(), s.toM()}).toList());
    o.texts("loss", lines.stream().map(l -> l.loss().word()).toList());
    o.numbers("chatterHz", lines.size(), i -> lines.get(i).chatterHz());
    o.numbers(
        "lobe", lines.size(), i -> lines.get(i).lobe() < 0 ? Double.NaN : lines.get(i).lobe());
    o.put("growthPeriod", map.growthPeriod());
    o.objects(
        "at",
        map.at(),
        (p, point) ->
            p.put("speedRpm", point.speedRpm())
                .put("lengthM", point.lengthM())
                .put("stable", point.stable())
                .put("growth", point.growth())
                .put("probabilityStable", point.probabilityStable()));
    map.probability().ifPresent(p -> o.object("probability", f -> toJson(f, p)));
    o.texts("remarks", remarks);
  }

  private static void toJson(JsonOut o, StabilityProbability p) {
    o.put("samples", p.samples());
    o.put("seed", p.seed());
    o.numbers("lengthM", p.lengthsM().size(), k -> p.lengthsM().get(k));
    o.numberLists("stable", p.stable());
    o.numbers("limit95M", p.limit95M().size(), i -> p.limit95M().get(i));
    o.objects(
        "sensitivities",
        p.sensitivities(),
        (f, s) -> f.put("input", s.input()).put("share", s.share()).put("slope", s.slope()));
  }
}

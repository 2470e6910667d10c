package ringtrue.bench;

import java.io.IOException;
import java.lang.management.ManagementFactory;
import java.lang.management.MemoryPoolMXBean;
import java.lang.management.MemoryType;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import java.util.concurrent.TimeUnit;
import java.util.stream.Collectors;
import java.util.stream.IntStream;
import org.openjdk.jmh.annotations.Benchmark;
import org.openjdk.jmh.annotations.BenchmarkMode;
import org.openjdk.jmh.annotations.Measurement;
import org.openjdk.jmh.annotations.OutputTimeUnit;
import org.openjdk.jmh.annotations.Param;
import org.openjdk.jmh.annotations.Scope;
import org.openjdk.jmh.annotations.Setup;
import org.openjdk.jmh.annotations.State;
import org.openjdk.jmh.annotations.Warmup;
import org.openjdk.jmh.results.RunResult;
import org.openjdk.jmh.runner.Runner;
import org.openjdk.jmh.runner.RunnerException;
import org.openjdk.jmh.runner.options.OptionsBuilder;
import org.openjdk.jmh.runner.options.VerboseMode;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Progress;
import ringtrue.dynamics.Receptance;
import ringtrue.stability.CuttingCoefficients;
import ringtrue.stability.CuttingProcess;
import ringtrue.stability.Engagement;
import ringtrue.stability.Engagement.Direction;
import ringtrue.stability.GrowingLobes;
import ringtrue.stability.InputSpread;
import ringtrue.stability.Lobes;
import ringtrue.stability.LobesRequest;
import ringtrue.stability.Method;
import ringtrue.stability.ProbabilityLobes;
import ringtrue.stability.StabilityMap;
import ringtrue.stability.Tool;

/**
 * Periodic lobes against the textbook's semi-discretisation in NumPy, in turn on the same machine:
 * 400 speeds from 4,000 to 24,000 rpm, every stable stretch up to 10 mm. For each case the wall
 * times (JMH) of the whole map, of the first limits only and of the first answer, and for the first
 * case of the chances from 200 draws; for cuts with straight even teeth also the ratio per point of the map against NumPy with the fewest steps that bring its
 * limits within 0.5 %, and the largest error of our limits against NumPy's extrapolated from 80 and
 * 160 steps; for the others the largest difference from the multi-frequency method. A point is one of 200 depths at one speed; NumPy gets one thread, which is faster for
 * it, and half its time per point is counted, as if two of it shared the map perfectly.
 *
 * <p>Needs python3 with numpy; run from the project's folder, with the names of cases or none:
 *
 * <pre>mvn -q -Pbench test-compile exec:java -Dexec.classpathScope=test \
 *   -Dexec.mainClass=ringtrue.bench.PeriodicLobesBench -Dexec.args="thin"</pre>
 */
public final class PeriodicLobesBench {
  private static final double MAX_M = 0.010;
  private static final int SPEEDS = 400;
  private static final int DEPTHS = 200;
  private static final int DRAWS = 200;
  private static final int FIRST_SPEEDS = 100;
  private static final List<Double> COMPARED = List.of(6000.0, 11_000.0, 17_000.0, 23_000.0);

  /** Where few enough harmonics are in play for the multi-frequency method. */
  private static final List<Double> IN_HARMONICS = List.of(11_000.0, 17_000.0, 23_000.0);

  private static final double WANTED = 5e-3;
  private static final double KTC = 900e6;
  private static final double KRC = 300e6;
  private static final double DIAMETER = 0.006;
  private static final int COARSE = 80;
  private static final int FINE = 160;

  private static final List<Mode> TWO_X = List.of(Mode.of(1240, 0.016, 2.1e6), Mode.of(2500, 0.02, 6e6));
  private static final List<Mode> TWO_Y = List.of(Mode.of(1100, 0.02, 3e6), Mode.of(2300, 0.02, 6e6));
  private static final double[] EVEN = {90, 90, 90, 90};
  private static final double[] UNEVEN = {83, 97, 85, 95};

  private record Case(
      String name, double helixDeg, double[] pitchDeg, double radialPart, List<Mode> x, List<Mode> y) {

    boolean comparable() {
      return helixDeg == 0 && pitchDeg == EVEN;
    }

    Engagement engagement() {
      return radialPart == 1
          ? Engagement.of(Direction.SLOT, DIAMETER, 1e-3, DIAMETER)
          : Engagement.of(Direction.DOWN, radialPart * DIAMETER, 1e-3, DIAMETER);
    }

    CuttingProcess process() {
      Tool tool =
          new Tool(
              DIAMETER,
              Collections.nCopies(4, Math.toRadians(helixDeg)),
              java.util.Arrays.stream(pitchDeg).mapToObj(Math::toRadians).toList(),
              Double.NaN,
              Double.NaN,
              0,
              Double.NaN);
      return new CuttingProcess(
          CuttingProcess.Operation.MILLING,
          Optional.of(tool),
          engagement(),
          new CuttingCoefficients(KTC, KRC, 0, 0, Double.NaN),
          List.<Receptance>copyOf(x),
          List.<Receptance>copyOf(y),
          10_000,
          3e-5,
          0);
    }
  }

  /** What NumPy printed for one number of steps. */
  private record Baseline(int steps, double secondsPerPoint, List<Double> limits) {}

  private PeriodicLobesBench() {}

  private static List<Case> cases() {
    List<Mode> sixX = more(TWO_X, 0);
    List<Mode> sixY = more(TWO_Y, 37);
    List<Case> cases = new ArrayList<>();
    for (boolean even : new boolean[] {true, false}) {
      double[] pitch = even ? EVEN : UNEVEN;
      String more = even ? "" : "-uneven";
      cases.add(new Case("thin" + more, 0, pitch, 0.05, TWO_X, TWO_Y));
      cases.add(new Case("helix" + more, 35, pitch, 0.5, sixX, sixY));
      cases.add(new Case("slot" + more, 0, pitch, 1, TWO_X, TWO_Y));
    }
    return cases;
  }

  public static void main(String[] args)
      throws IOException, InterruptedException, RunnerException {
    List<Case> cases =
        cases().stream().filter(c -> args.length == 0 || List.of(args).contains(c.name())).toList();
    for (Case one : cases) {
      run(one);
    }
  }

  /** The Java side, one case at a time. */
  @State(Scope.Benchmark)
  @BenchmarkMode(org.openjdk.jmh.annotations.Mode.AverageTime)
  @OutputTimeUnit(TimeUnit.MILLISECONDS)
  @Warmup(iterations = 3, time = 3)
  @Measurement(iterations = 5, time = 2)
  public static class Timed {
    @Param({"thin", "helix", "slot", "thin-uneven", "helix-uneven", "slot-uneven"})
    public String cut;

    private CuttingProcess process;
    private LobesRequest request;

    @Setup
    public void choose() {
      process =
          cases().stream().filter(c -> c.name().equals(cut)).findFirst().orElseThrow().process();
      request = request(speeds(SPEEDS));
    }

    @Benchmark
    public StabilityMap wholeMap() {
      return Lobes.compute(process, request, Progress.NONE);
    }

    @Benchmark
    public StabilityMap firstLimits() {
      return Lobes.firstLimits(process, request, Progress.NONE);
    }

    @Benchmark
    public StabilityMap firstAnswer() {
      return GrowingLobes.of(process, request).first(FIRST_SPEEDS, Progress.NONE);
    }

    /** 200 draws at 200 speeds. */
    @Benchmark
    public StabilityMap chances() {
      return ProbabilityLobes.compute(
          process,
          request(speeds(DRAWS)),
          InputSpread.of(process)
              .withCoefficientRange(0.2)
              .withModes(new InputSpread.ModeSigmas(0.01, 0.1, 0.05)),
          DRAWS,
          1,
          Progress.NONE);
    }
  }

  private static List<Double> speeds(int number) {
    return IntStream.range(0, number)
        .mapToObj(i -> 4000 + 20_000.0 * i / (number - 1))
        .toList();
  }

  private static List<Mode> more(List<Mode> two, double shiftHz) {
    List<Mode> six = new ArrayList<>(two);
    for (int i = 0; i < 4; i++) {
      six.add(Mode.of(620 + shiftHz + 760 * i, 0.02 + 0.004 * i, 9e6 + 3e6 * i));
    }
    return six;
  }

  private static void run(Case one) throws IOException, InterruptedException, RunnerException {
    resetPeaks();
    OptionsBuilder options = new OptionsBuilder();
    options
        .include(Timed.class.getName().replace('$', '.') + ".*")
        .param("cut", one.name())
        .forks(0)
        .shouldDoGC(true)
        .verbosity(VerboseMode.SILENT);
    if (!one.name().equals("thin")) {
      options.exclude("chances");
    }
    Map<String, Double> millis = new TreeMap<>();
    for (RunResult result : new Runner(options.build()).run()) {
      millis.put(result.getPrimaryResult().getLabel(), result.getPrimaryResult().getScore());
    }
    double whole = 1e-3 * millis.get("wholeMap");
    System.out.printf(
        Locale.ROOT,
        "%s: whole map %.0f ms, first limits %.0f ms, first answer at %d speeds %.1f ms%s;"
            + " peak heap %.0f MB%n",
        one.name(),
        millis.get("wholeMap"),
        millis.get("firstLimits"),
        FIRST_SPEEDS,
        millis.get("firstAnswer"),
        millis.containsKey("chances")
            ? String.format(
                Locale.ROOT, ", %d draws at %d speeds %.0f ms", DRAWS, DRAWS, millis.get("chances"))
            : "",
        peakMegabytes());
    if (one.comparable()) {
      compare(one, whole / (SPEEDS * DEPTHS));
    } else {
      System.out.printf(
          Locale.ROOT,
          "  largest difference of a limit from the multi-frequency method: %.4f %%%n",
          100
              * error(
                  limits(Lobes.compute(one.process(), request(IN_HARMONICS), Progress.NONE)),
                  limits(
                      Lobes.compute(
                          one.process(),
                          new LobesRequest(
                              StabilityMap.Over.DEPTH,
                              Optional.of(Method.MULTI_FREQUENCY),
                              IN_HARMONICS,
                              MAX_M,
                              List.of()),
                          Progress.NONE))));
    }
  }

  private static List<Double> limits(StabilityMap map) {
    return map.lines().stream()
        .map(line -> line.loss() == StabilityMap.Loss.NONE ? Double.NaN : line.limitM())
        .toList();
  }

  private static void compare(Case one, double secondsPerPoint)
      throws IOException, InterruptedException {
    List<Baseline> all = baseline(one);
    List<Double> coarse = limitsAt(all, COARSE);
    List<Double> fine = limitsAt(all, FINE);
    double ratio = (double) FINE * FINE / (COARSE * COARSE);
    List<Double> best =
        IntStream.range(0, fine.size())
            .mapToObj(i -> fine.get(i) + (fine.get(i) - coarse.get(i)) / (ratio - 1))
            .toList();
    List<Double> ours =
        limits(Lobes.compute(one.process(), request(COMPARED), Progress.NONE));
    System.out.printf(
        Locale.ROOT,
        "  largest error of a limit against NumPy extrapolated: %.4f %%%n",
        100 * error(ours, best));
    boolean enough = false;
    for (Baseline b : all) {
      double error = error(b.limits(), best);
      double half = 0.5 * b.secondsPerPoint();
      boolean counts = !enough && error < WANTED;
      enough |= counts;
      System.out.printf(
          Locale.ROOT,
          "  NumPy, %d steps: %.3f ms a point (half: %.3f), largest error %.3f %%, ratio %.0f%s%n",
          b.steps(),
          1e3 * b.secondsPerPoint(),
          1e3 * half,
          100 * error,
          half / secondsPerPoint,
          counts ? "  <- within 0.5 %" : "");
    }
  }

  private static List<Double> limitsAt(List<Baseline> all, int steps) {
    return all.stream().filter(b -> b.steps() == steps).findFirst().orElseThrow().limits();
  }

  private static double error(List<Double> limits, List<Double> best) {
    double most = 0;
    for (int i = 0; i < best.size(); i++) {
      boolean none = best.get(i).isNaN();
      double off =
          none
              ? limits.get(i).isNaN() ? 0 : Double.POSITIVE_INFINITY
              : Math.abs(limits.get(i) / best.get(i) - 1);
      most = Math.max(most, Double.isNaN(off) ? Double.POSITIVE_INFINITY : off);
    }
    return most;
  }

  private static LobesRequest request(List<Double> speeds) {
    return new LobesRequest(
        StabilityMap.Over.DEPTH, Optional.of(Method.PERIODIC), speeds, MAX_M, List.of());
  }

  private static List<MemoryPoolMXBean> heap() {
    return ManagementFactory.getMemoryPoolMXBeans().stream()
        .filter(pool -> pool.getType() == MemoryType.HEAP)
        .toList();
  }

  private static void resetPeaks() {
    System.gc();
    heap().forEach(MemoryPoolMXBean::resetPeakUsage);
  }

  /** Sum of the peaks of the heap's pools: garbage not yet collected included. */
  private static double peakMegabytes() {
    return heap().stream().mapToLong(pool -> pool.getPeakUsage().getUsed()).sum() / 1e6;
  }

  private static List<Baseline> baseline(Case one) throws IOException, InterruptedException {
    ProcessBuilder builder =
        new ProcessBuilder(
            "python3",
            Path.of("src", "jmh", "python", "semi_discretisation_baseline.py").toString(),
            "--flutes=4",
            "--entry=" + Math.toDegrees(one.engagement().entryRad()),
            "--exit=" + Math.toDegrees(one.engagement().exitRad()),
            "--ktc=" + KTC,
            "--krc=" + KRC,
            "--x=" + text(one.x()),
            "--y=" + text(one.y()),
            "--speeds=" + COMPARED.stream().map(String::valueOf).collect(Collectors.joining(",")),
            "--max=" + MAX_M,
            "--steps=20,40," + COARSE + ",120," + FINE);
    builder.environment().put("OPENBLAS_NUM_THREADS", "1");
    builder.redirectError(ProcessBuilder.Redirect.INHERIT);
    Process python = builder.start();
    List<String> lines =
        new String(python.getInputStream().readAllBytes(), StandardCharsets.UTF_8).lines().toList();
    if (python.waitFor() != 0) {
      throw new IOException("the NumPy side failed");
    }
    return lines.stream().map(PeriodicLobesBench::parsed).toList();
  }

  private static Baseline parsed(String line) {
    String[] words = line.split(" ");
    List<Double> limits = new ArrayList<>();
    for (int i = 5; i < words.length; i++) {
      limits.add(words[i].equals("nan") ? Double.NaN : Double.parseDouble(words[i]));
    }
    return new Baseline(
        Integer.parseInt(words[1]), 1e-3 * Double.parseDouble(words[3]), limits);
  }

  private static String text(List<Mode> modes) {
    return modes.stream()
        .map(m -> m.frequencyHz() + ":" + m.dampingRatio() + ":" + m.stiffnessNPerM())
        .collect(Collectors.joining(","));
  }
}

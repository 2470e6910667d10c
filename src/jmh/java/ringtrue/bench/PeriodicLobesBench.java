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
import java.util.Optional;
import java.util.stream.Collectors;
import java.util.stream.IntStream;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Progress;
import ringtrue.dynamics.Receptance;
import ringtrue.stability.CuttingCoefficients;
import ringtrue.stability.CuttingProcess;
import ringtrue.stability.Engagement;
import ringtrue.stability.Engagement.Direction;
import ringtrue.stability.GrowingLobes;
import ringtrue.stability.Lobes;
import ringtrue.stability.LobesRequest;
import ringtrue.stability.Method;
import ringtrue.stability.StabilityMap;
import ringtrue.stability.Tool;

/**
 * Periodic lobes against the textbook's semi-discretisation in NumPy, in turn on the same machine:
 * 400 speeds from 4,000 to 24,000 rpm, every stable stretch up to 10 mm. For each case the wall
 * times of the whole map, of the first limits only and of the first answer; for cuts with straight
 * even teeth also the ratio per point of the map against NumPy with the fewest steps that bring its
 * limits within 0.5 %, and the largest error of our limits against NumPy's extrapolated from 80 and
 * 160 steps. A point is one of 200 depths at one speed; NumPy gets one thread, which is faster for
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
  private static final int ROUNDS = 5;
  private static final int FIRST_SPEEDS = 100;
  private static final List<Double> COMPARED = List.of(6000.0, 11_000.0, 17_000.0, 23_000.0);
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

  public static void main(String[] args) throws IOException, InterruptedException {
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
    for (Case one : cases) {
      if (args.length == 0 || List.of(args).contains(one.name())) {
        run(one);
      }
    }
  }

  private static List<Mode> more(List<Mode> two, double shiftHz) {
    List<Mode> six = new ArrayList<>(two);
    for (int i = 0; i < 4; i++) {
      six.add(Mode.of(620 + shiftHz + 760 * i, 0.02 + 0.004 * i, 9e6 + 3e6 * i));
    }
    return six;
  }

  private static void run(Case one) throws IOException, InterruptedException {
    CuttingProcess process = one.process();
    List<Double> speeds =
        IntStream.range(0, SPEEDS).mapToObj(i -> 4000 + 20_000.0 * i / (SPEEDS - 1)).toList();
    LobesRequest request = request(speeds);
    resetPeaks();
    double whole = median(() -> Lobes.compute(process, request, Progress.NONE));
    double peak = peakMegabytes();
    double limits = median(() -> Lobes.firstLimits(process, request, Progress.NONE));
    double first =
        median(() -> GrowingLobes.of(process, request).first(FIRST_SPEEDS, Progress.NONE));
    System.out.printf(
        Locale.ROOT,
        "%s: whole map %.0f ms, first limits %.0f ms, first answer at %d speeds %.1f ms;"
            + " peak heap %.0f MB%n",
        one.name(),
        1e3 * whole,
        1e3 * limits,
        FIRST_SPEEDS,
        1e3 * first,
        peak);
    if (one.comparable()) {
      compare(one, whole / (SPEEDS * DEPTHS));
    }
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
        Lobes.compute(one.process(), request(COMPARED), Progress.NONE).lines().stream()
            .map(line -> line.loss() == StabilityMap.Loss.NONE ? Double.NaN : line.limitM())
            .toList();
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

  private interface Job {
    StabilityMap run();
  }

  /** Median of warm calls, s; the first two are warming up. */
  private static double median(Job job) {
    List<Double> times = new ArrayList<>();
    for (int i = 0; i < ROUNDS + 2; i++) {
      long start = System.nanoTime();
      if (job.run().lines().isEmpty()) {
        throw new IllegalStateException("lines are missing");
      }
      times.add(1e-9 * (System.nanoTime() - start));
    }
    List<Double> warm = new ArrayList<>(times.subList(2, times.size()));
    Collections.sort(warm);
    return warm.get(warm.size() / 2);
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

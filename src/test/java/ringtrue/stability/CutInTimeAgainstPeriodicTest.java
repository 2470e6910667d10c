package ringtrue.stability;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Random;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;
import ringtrue.dynamics.Progress;
import ringtrue.stability.SimulatedCut.Verdict;
import ringtrue.stability.SimulationSettings.StockEdge;
import ringtrue.stability.StabilityMap.Interval;

/**
 * Stable or not by simulation in time and by the periodic method, on 200 drawn cuts that lie more
 * than 5 % away from every border, on both sides: straight and helical, even and uneven, unequal
 * helices, up, down, slot, moving workpieces.
 *
 * <p>Left out are cutters of uneven pitch or unequal helix whose forced motion is larger than
 * {@value #MOST_MOTION} of the largest chip: their teeth do not follow each other alike, so that
 * the motion takes some out of the work in every turn, stable or not, and linear theory, which has
 * all in their arcs, does not hold. {@link #main} makes the list and says how many of those differ.
 */
class CutInTimeAgainstPeriodicTest {
  private static final Path FILE = Path.of("fixtures/simulation/cuts.csv");
  private static final int COUNT = 200;
  private static final double AWAY = 0.05;
  private static final double MOST_MOTION = 0.55;
  private static final int HARMONICS = 60;

  private record Row(int number, double depthM, boolean stable) {}

  @Test
  void agreesOnDrawnCuts() throws Exception {
    List<Row> all =
        Files.readAllLines(FILE).stream()
            .filter(line -> Character.isDigit(line.charAt(0)))
            .map(line -> line.split(","))
            .map(
                part ->
                    new Row(
                        Integer.parseInt(part[0]),
                        Double.parseDouble(part[1]),
                        part[2].equals("stable")))
            .toList();
    assertThat(all).hasSize(COUNT);
    assertThat(all.stream().filter(Row::stable).count()).isBetween(COUNT / 4L, 3L * COUNT / 4);
    List<String> differ =
        all.parallelStream().map(row -> difference(row)).flatMap(Optional::stream).toList();
    assertThat(differ.size()).as(differ.toString()).isLessThanOrEqualTo(COUNT / 50);
  }

  private static Optional<String> difference(Row row) {
    RandomCuts.RandomCut cut = RandomCuts.cut(row.number);
    boolean stable = linear(cut, row.depthM);
    assertThat(stable).as("the list is of another periodic method").isEqualTo(row.stable);
    SimulatedCut simulated =
        CutInTime.run(
            process(cut, row.depthM),
            SimulationSettings.USUAL.with(StockEdge.FIXED_ANGLES).withTracedTurns(1),
            Progress.NONE);
    boolean agrees =
        simulated.verdict() != Verdict.CANNOT_TELL
            && (simulated.verdict() == Verdict.STABLE) == stable;
    return agrees
        ? Optional.empty()
        : Optional.of(
            cut + ": " + (stable ? "stable" : "unstable") + ", but " + simulated.verdict());
  }

  private static CuttingProcess process(RandomCuts.RandomCut cut, double depthM) {
    return cut.process().with(cut.process().engagement().withAxial(depthM)).atSpeed(cut.speedRpm());
  }

  private static boolean linear(RandomCuts.RandomCut cut, double depthM) {
    LobesRequest request =
        new LobesRequest(
            StabilityMap.Over.DEPTH,
            Optional.of(Method.PERIODIC),
            List.of(),
            cut.maxM(),
            List.of(new LobesRequest.AtPoint(cut.speedRpm(), depthM)));
    return Lobes.compute(cut.process(), request, Progress.NONE).at().get(0).stable();
  }

  // ---- the list

  /**
   * A depth of 0.3 to 3 times the first limit, drawn anew while it lies within 5 % of any border.
   */
  private static Row drawn(int number) {
    RandomCuts.RandomCut cut = RandomCuts.cut(number);
    StabilityMap.Line line =
        Lobes.compute(
                cut.process(),
                LobesRequest.depth(List.of(cut.speedRpm())).upTo(cut.maxM()),
                Progress.NONE)
            .lines()
            .get(0);
    List<Double> borders = new ArrayList<>();
    for (Interval stable : line.stable()) {
      borders.add(stable.fromM());
      borders.add(stable.toM());
    }
    borders.removeIf(b -> b <= 0 || b >= cut.maxM());
    Random random = new Random(31L * number + 7);
    double depth;
    do {
      double times = 0.3 * Math.pow(10, random.nextDouble());
      depth = Math.min(cut.maxM() * (0.5 + 0.5 * random.nextDouble()), times * line.limitM());
    } while (near(depth, borders));
    double at = depth;
    return new Row(
        number, depth, line.stable().stream().anyMatch(s -> at > s.fromM() && at < s.toM()));
  }

  private static boolean near(double depthM, List<Double> borders) {
    return borders.stream().anyMatch(b -> Math.abs(depthM / b - 1) < AWAY);
  }

  private static boolean leavesTheWork(Row row) {
    RandomCuts.RandomCut cut = RandomCuts.cut(row.number);
    Tool tool = cut.process().tool().orElseThrow();
    if (tool.evenPitch() && tool.equalHelix()) {
      return false;
    }
    CuttingProcess process = process(cut, row.depthM);
    double entry = process.engagement().entryRad();
    double exit = process.engagement().exitRad();
    double sine =
        entry <= Math.PI / 2 && exit >= Math.PI / 2 ? 1 : Math.max(Math.sin(entry), Math.sin(exit));
    return new ForcedMotion(process, HARMONICS).peak()
        > MOST_MOTION * process.feedPerToothM() * sine;
  }

  /** Writes the list, and how many cuts left out of it are called otherwise. */
  public static void main(String[] args) throws IOException {
    List<Row> kept = new ArrayList<>();
    List<Row> out = new ArrayList<>();
    for (int from = 0; kept.size() < COUNT; from += 20) {
      List<Row> some = IntStream.range(from, from + 20).parallel().mapToObj(i -> drawn(i)).toList();
      for (Row row : some) {
        if (kept.size() < COUNT) {
          (leavesTheWork(row) ? out : kept).add(row);
        }
      }
    }
    StringBuilder text = new StringBuilder();
    text.append("# Made by ringtrue.stability.CutInTimeAgainstPeriodicTest.main: cuts of\n");
    text.append("# ringtrue.stability.RandomCuts, more than 5 % away from every border.\n");
    text.append("number,depth_m,periodic\n");
    for (Row row : kept) {
      text.append(
          String.format(
              Locale.ROOT,
              "%d,%.9g,%s\n",
              row.number,
              row.depthM,
              row.stable ? "stable" : "unstable"));
    }
    Files.writeString(args.length > 0 ? Path.of(args[0]) : FILE, text);
    for (List<Row> rows : List.of(kept, out)) {
      List<String> differ =
          rows.parallelStream().map(row -> difference(row)).flatMap(Optional::stream).toList();
      System.out.println(
          (rows == kept ? "kept " : "left out ") + rows.size() + ", differ " + differ.size());
      differ.forEach(System.out::println);
    }
  }
}

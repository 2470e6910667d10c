package ringtrue.stability;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.stream.Collectors;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;
import ringtrue.dynamics.Progress;
import ringtrue.stability.SimulatedCut.Verdict;
import ringtrue.stability.SimulationSettings.StockEdge;

/**
 * Stable or not by simulation in time and by the periodic method, on drawn cuts that lie more than
 * 5 % away from every border, on both sides: straight and helical, even and uneven, unequal
 * helices, up, down, slot, moving workpieces. Forty in every run; {@code -Dringtrue.cuts=200} takes
 * all.
 */
class CutInTimeAgainstPeriodicTest {
  private record Row(int number, double depthM) {}

  @Test
  void agreesOnDrawnCuts() throws Exception {
    List<Row> all =
        Files.readAllLines(Path.of("fixtures/simulation/cuts.csv")).stream()
            .filter(line -> Character.isDigit(line.charAt(0)))
            .map(line -> line.split(","))
            .map(part -> new Row(Integer.parseInt(part[0]), Double.parseDouble(part[1])))
            .toList();
    assertThat(all).hasSize(200);
    int step = all.size() / Integer.getInteger("ringtrue.cuts", 40);
    List<Row> some =
        IntStream.range(0, all.size()).filter(i -> i % step == 0).mapToObj(all::get).toList();
    List<String> differ =
        some.parallelStream()
            .map(CutInTimeAgainstPeriodicTest::difference)
            .flatMap(Optional::stream)
            .collect(Collectors.toList());
    assertThat(differ.size()).as(differ.toString()).isLessThanOrEqualTo(some.size() / 50);
  }

  private static Optional<String> difference(Row row) {
    RandomCuts.RandomCut cut = RandomCuts.cut(row.number);
    LobesRequest request =
        new LobesRequest(
            StabilityMap.Over.DEPTH,
            Optional.of(Method.PERIODIC),
            List.of(),
            cut.maxM(),
            List.of(new LobesRequest.AtPoint(cut.speedRpm(), row.depthM)));
    boolean stable = Lobes.compute(cut.process(), request, Progress.NONE).at().get(0).stable();
    CuttingProcess process =
        cut.process()
            .with(cut.process().engagement().withAxial(row.depthM))
            .atSpeed(cut.speedRpm());
    SimulatedCut simulated =
        CutInTime.run(
            process,
            SimulationSettings.USUAL.with(StockEdge.FIXED_ANGLES).withTracedTurns(4),
            Progress.NONE);
    boolean agrees =
        simulated.verdict() != Verdict.CANNOT_TELL
            && (simulated.verdict() == Verdict.STABLE) == stable;
    return agrees
        ? Optional.empty()
        : Optional.of(
            cut + ": " + (stable ? "stable" : "unstable") + ", but " + simulated.verdict());
  }
}

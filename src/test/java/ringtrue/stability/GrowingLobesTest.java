package ringtrue.stability;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.CancellationException;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.stream.DoubleStream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.ModeTable;
import ringtrue.dynamics.Progress;
import ringtrue.dynamics.Receptance;
import ringtrue.dynamics.Residual;
import ringtrue.stability.Engagement.Direction;
import ringtrue.stability.LobesRequest.AtPoint;
import ringtrue.stability.StabilityMap.Interval;
import ringtrue.stability.StabilityMap.Line;
import ringtrue.stability.StabilityMap.Over;

/** A map that grows ends in the one that is computed at once, whatever happens on the way. */
class GrowingLobesTest {
  private static final int SPEEDS = 37;

  /** A cut and what to show of it. */
  record Wanted(String name, CuttingProcess process, LobesRequest request) {
    @Override
    public String toString() {
      return name;
    }
  }

  static List<Wanted> wanted() {
    Mode x = Mode.of(900, 0.02, 8e6);
    Mode y = Mode.of(1150, 0.025, 9e6);
    CuttingProcess straight =
        Cuts.milling(
            Cuts.tool(2, 0.01), Direction.DOWN, 0.1, 1e-3, 900e6, 300e6, List.of(x), List.of(y));
    CuttingProcess helical =
        Cuts.milling(
            new Tool(
                0.008,
                Collections.nCopies(3, 0.6),
                Collections.nCopies(3, 2 * Math.PI / 3),
                Double.NaN,
                Double.NaN,
                0,
                Double.NaN),
            Direction.UP,
            0.2,
            3e-3,
            900e6,
            300e6,
            List.of(x),
            List.of(y));
    List<Receptance> table =
        List.of(
            new ModeTable(
                List.of(
                    new ModeTable.Row(8000, new ModalModel(List.of(x), Residual.NONE)),
                    new ModeTable.Row(
                        20_000, new ModalModel(List.of(Mode.of(860, 0.03, 7e6)), Residual.NONE)))));
    return List.of(
        new Wanted("straight", straight, request(Over.DEPTH, Method.PERIODIC, 0.012)),
        new Wanted("helix", helical, request(Over.DEPTH, Method.PERIODIC, 0.01)),
        new Wanted("over width", helical, request(Over.WIDTH, Method.PERIODIC, 0.008)),
        new Wanted("over width, averaged", helical, request(Over.WIDTH, Method.ZERO_ORDER, 0.008)),
        new Wanted(
            "mode table",
            straight.withDynamics(table, List.of(y), List.of()),
            request(Over.DEPTH, Method.PERIODIC, 0.012)),
        new Wanted("multi-frequency", straight, request(Over.DEPTH, Method.MULTI_FREQUENCY, 0.012)),
        new Wanted("turning", Cuts.turning(1.2e9, 4e8, 0.3, x), request(Over.DEPTH, null, 0.004)));
  }

  private static LobesRequest request(Over over, Method method, double maxM) {
    List<Double> speeds =
        DoubleStream.iterate(8000, rpm -> rpm + 333).limit(SPEEDS).boxed().toList();
    return new LobesRequest(
        over,
        Optional.ofNullable(method),
        speeds,
        maxM,
        List.of(new AtPoint(9100, 0.25 * maxM), new AtPoint(17_500, 0.6 * maxM)));
  }

  @ParameterizedTest
  @MethodSource("wanted")
  void endsInTheWholeMap(Wanted wanted) {
    StabilityMap whole = Lobes.compute(wanted.process, wanted.request, Progress.NONE);
    GrowingLobes growing = GrowingLobes.of(wanted.process, wanted.request);
    StabilityMap map = growing.first(5, Progress.NONE);
    assertThat(map.lines().size()).isBetween(5, 10);
    int answers = 1;
    int lines = map.lines().size();
    while (!growing.complete()) {
      map = growing.finer(Progress.NONE);
      assertThat(map.lines().size()).isGreaterThanOrEqualTo(lines);
      lines = map.lines().size();
      answers++;
      assertThat(answers).isLessThan(10);
      coarseIsRight(map, whole);
    }
    assertThat(answers).isGreaterThan(2);
    same(map, whole);
  }

  /** Never below the first limit, and at it but where something narrow hides. */
  @ParameterizedTest
  @MethodSource("wanted")
  void aRoughLookFindsTheFirstLimits(Wanted wanted) {
    LobesRequest request = wanted.request;
    StabilityMap exact = Lobes.firstLimits(wanted.process, request, Progress.NONE);
    StabilityMap rough = Lobes.roughLimits(wanted.process, request, Progress.NONE);
    assertThat(rough.lines()).hasSameSizeAs(exact.lines());
    long close = 0;
    for (int i = 0; i < rough.lines().size(); i++) {
      Line found = rough.lines().get(i);
      Line right = exact.lines().get(i);
      assertThat(found.speedRpm()).isEqualTo(right.speedRpm());
      assertThat(found.limitM()).isGreaterThan(right.limitM() * (1 - 2e-3));
      close += found.limitM() < right.limitM() * (1 + 2e-3) ? 1 : 0;
      if (found.loss() != StabilityMap.Loss.NONE && right.loss() == found.loss()) {
        assertThat(found.chatterHz()).isCloseTo(right.chatterHz(), within(2.0));
      }
    }
    assertThat(close).isGreaterThanOrEqualTo(rough.lines().size() - 2);
  }

  /** What a first answer says of the first limit is within its own steps of the last answer's. */
  private static void coarseIsRight(StabilityMap coarse, StabilityMap whole) {
    for (Line line : coarse.lines()) {
      Line right =
          whole.lines().stream()
              .filter(l -> l.speedRpm() == line.speedRpm())
              .findFirst()
              .orElseThrow();
      for (Interval stretch : line.stable()) {
        double middle = 0.5 * (stretch.fromM() + stretch.toM());
        boolean narrow = stretch.toM() - stretch.fromM() < whole.maxM() / 25;
        assertThat(narrow || right.stable().stream().anyMatch(s -> holds(s, middle))).isTrue();
      }
    }
  }

  private static boolean holds(Interval stretch, double lengthM) {
    return stretch.fromM() <= lengthM && lengthM <= stretch.toM();
  }

  private static void same(StabilityMap map, StabilityMap whole) {
    assertThat(map.over()).isEqualTo(whole.over());
    assertThat(map.method()).isEqualTo(whole.method());
    assertThat(map.growthPeriod()).isEqualTo(whole.growthPeriod());
    assertThat(map.maxM()).isEqualTo(whole.maxM());
    assertThat(map.lines()).hasSameSizeAs(whole.lines());
    for (int i = 0; i < map.lines().size(); i++) {
      Line here = map.lines().get(i);
      Line there = whole.lines().get(i);
      assertThat(here.speedRpm()).isEqualTo(there.speedRpm());
      assertThat(here.loss()).isEqualTo(there.loss());
      assertThat(here.lobe()).isEqualTo(there.lobe());
      close(here.limitM(), there.limitM());
      assertThat(here.stable()).as("%s, %s", here, there).hasSameSizeAs(there.stable());
      for (int k = 0; k < here.stable().size(); k++) {
        close(here.stable().get(k).fromM(), there.stable().get(k).fromM());
        close(here.stable().get(k).toM(), there.stable().get(k).toM());
      }
    }
    assertThat(map.at()).hasSameSizeAs(whole.at());
    for (int i = 0; i < map.at().size(); i++) {
      assertThat(map.at().get(i).stable()).isEqualTo(whole.at().get(i).stable());
      if (!Double.isNaN(whole.at().get(i).growth())) {
        close(map.at().get(i).growth(), whole.at().get(i).growth());
      }
    }
  }

  /**
   * A thousandth is what the number of nodes leaves open; with the same nodes it is a millionth.
   */
  private static void close(double here, double there) {
    assertThat(here).isCloseTo(there, within(1e-6 * Math.abs(there)));
  }

  /** Asked again, a finished map has nothing left to compute: it reports hardly anything. */
  @ParameterizedTest
  @MethodSource("wanted")
  void whatIsKnownIsKept(Wanted wanted) {
    GrowingLobes growing = GrowingLobes.of(wanted.process, wanted.request);
    AtomicInteger looks = new AtomicInteger();
    Progress counting = (done, what) -> looks.incrementAndGet();
    growing.first(5, counting);
    int first = looks.getAndSet(0);
    while (!growing.complete()) {
      growing.finer(counting);
    }
    int rest = looks.getAndSet(0);
    StabilityMap map = growing.finer(counting);
    assertThat(map.lines()).hasSize(SPEEDS);
    assertThat(looks.get()).isLessThan(8).isLessThan(first + rest);
  }

  /** Cancelled after so many reports, at every stage; the next call goes on from there. */
  @ParameterizedTest
  @MethodSource("wanted")
  void canBeCancelledAtAnyMoment(Wanted wanted) {
    StabilityMap whole = Lobes.compute(wanted.process, wanted.request, Progress.NONE);
    GrowingLobes growing = GrowingLobes.of(wanted.process, wanted.request);
    int cancelled = 0;
    int patience = 1;
    StabilityMap map = null;
    while (!growing.complete()) {
      AtomicInteger left = new AtomicInteger(patience);
      AtomicInteger after = new AtomicInteger();
      Progress impatient =
          (done, what) -> {
            if (left.getAndDecrement() <= 0) {
              after.incrementAndGet();
              throw new CancellationException("enough");
            }
          };
      try {
        map = map == null ? growing.first(5, impatient) : growing.finer(impatient);
        patience = 1;
      } catch (CancellationException e) {
        assertThat(after.get()).isEqualTo(1);
        cancelled++;
        patience += patience;
      }
    }
    assertThat(cancelled).isGreaterThanOrEqualTo(2);
    same(map, whole);
  }

  /** Without a first answer the first finer one is it. */
  @Test
  void finerWithoutFirst() {
    Wanted wanted = wanted().get(0);
    GrowingLobes growing = GrowingLobes.of(wanted.process, wanted.request);
    assertThat(growing.complete()).isFalse();
    List<Double> speeds = new ArrayList<>();
    growing.finer(Progress.NONE).lines().forEach(line -> speeds.add(line.speedRpm()));
    assertThat(speeds).isEqualTo(wanted.request.speedsRpm());
    assertThat(growing.complete()).isFalse();
    same(
        growing.finer(Progress.NONE), Lobes.compute(wanted.process, wanted.request, Progress.NONE));
    assertThat(growing.complete()).isTrue();
  }

  @Test
  void refusesWhatLobesRefuses() {
    Wanted turning = wanted().get(6);
    assertThatThrownBy(() -> GrowingLobes.of(turning.process, request(Over.WIDTH, null, 0.004)))
        .isInstanceOf(ringtrue.units.BadInputException.class)
        .hasMessageContaining("turning has no radial width");
  }
}

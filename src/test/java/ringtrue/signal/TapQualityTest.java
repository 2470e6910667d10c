package ringtrue.signal;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import ringtrue.signal.TapQuality.Fault;
import ringtrue.signal.TapQuality.Outcome;

/** A fixed part of what {@code src/site/tap-quality.md} shows. */
class TapQualityTest {
  private static final int SERIES = 24;

  @Test
  void faultsAreFoundAndGoodTapsKept() {
    List<Outcome> all = TapQuality.series(0, SERIES);
    Map<Fault, Double> right = TapQuality.rightInTheEnd(all);
    List<Outcome> faulty = all.stream().filter(o -> o.fault() != Fault.NONE).toList();
    assertThat(faulty).hasSize(SERIES * TapQuality.FAULTS);
    long found = faulty.stream().filter(o -> o.isRight(o.last())).count();
    assertThat(found / (double) faulty.size()).as(wrong(all)).isGreaterThanOrEqualTo(0.99);
    assertThat(right.get(Fault.NONE)).as(wrong(all)).isGreaterThanOrEqualTo(0.99);
  }

  private static String wrong(List<Outcome> all) {
    return all.stream().filter(o -> !o.isRight(o.last())).toList().toString();
  }
}

package ringtrue.stability;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Progress;
import ringtrue.dynamics.Receptance;
import ringtrue.stability.Engagement.Direction;
import ringtrue.stability.StabilityMap.Over;

class MeasuredAgainstModesTest {
  private static final Mode FIRST = Mode.of(1150, 0.02, 5e6);
  private static final Mode SECOND = Mode.of(1310, 0.02, 8e6);
  private static final Mode ACROSS = Mode.of(1120, 0.025, 6e6);
  private static final Pattern BAND = Pattern.compile("between (\\d+) and (\\d+) Hz in (\\w+)");

  private static FrequencyResponse measured(Receptance from, long seed) {
    FrequencyResponse exact = MultiFrequencyLobesTest.sampled(from, 50, 5000, 2, 0.01);
    Random random = new Random(seed);
    int n = exact.lines();
    double[] re = new double[n];
    double[] im = new double[n];
    double[] error = new double[n];
    for (int i = 0; i < n; i++) {
      re[i] = exact.real(i) + 0.01 * exact.magnitude(i) * random.nextGaussian();
      im[i] = exact.imag(i) + 0.01 * exact.magnitude(i) * random.nextGaussian();
      error[i] = 0.01;
    }
    return new FrequencyResponse(exact.frequencies(), re, im, null, error, exact.origin());
  }

  private static CuttingProcess cut(Receptance x, Receptance y) {
    return Cuts.milling(
        Cuts.tool(3, 0.01), Direction.DOWN, 0.3, 1e-3, 900e6, 300e6, List.of(x), List.of(y));
  }

  private static StabilityMap map(CuttingProcess process, Method method) {
    List<Double> speeds = new ArrayList<>();
    for (double rpm = 9000; rpm <= 24000; rpm += 1000) {
      speeds.add(rpm);
    }
    return Lobes.compute(
        process,
        new LobesRequest(Over.DEPTH, Optional.of(method), speeds, 0.01, List.of()),
        Progress.NONE);
  }

  private static List<String> compare(CuttingProcess a, CuttingProcess b, Method method) {
    return MeasuredAgainstModes.compare(map(a, method), a, map(b, method), b);
  }

  @ParameterizedTest
  @EnumSource(
      value = Method.class,
      names = {"ZERO_ORDER", "MULTI_FREQUENCY"})
  void rightModesAgree(Method method) {
    ModalModel x = ModalModel.of(FIRST, SECOND);
    ModalModel y = ModalModel.of(ACROSS);
    List<String> said = compare(cut(measured(x, 1), measured(y, 2)), cut(x, y), method);
    assertThat(said).hasSize(1);
    assertThat(said.get(0)).contains("from the fitted modes").contains("16 speeds");
    assertThat(said.get(0)).containsAnyOf("agree within", "which is within");
  }

  /** The second mode left out of the fit in x, everything else right. */
  @ParameterizedTest
  @EnumSource(
      value = Method.class,
      names = {"ZERO_ORDER", "MULTI_FREQUENCY"})
  void missingModeIsFound(Method method) {
    ModalModel x = ModalModel.of(FIRST, SECOND);
    ModalModel y = ModalModel.of(ACROSS);
    List<String> said =
        compare(cut(measured(x, 1), measured(y, 2)), cut(ModalModel.of(FIRST), y), method);
    assertThat(said.get(0)).contains("differ by more than 5 %").contains("most at");
    List<String> bands = said.stream().filter(s -> s.contains("miss the response")).toList();
    assertThat(bands).isNotEmpty();
    Matcher band = BAND.matcher(bands.get(0));
    assertThat(band.find()).isTrue();
    assertThat(band.group(3)).isEqualTo("x");
    assertThat(Integer.parseInt(band.group(1))).isBetween(900, 1300);
    assertThat(Integer.parseInt(band.group(2))).isGreaterThan(1320);
    Matcher mode = Pattern.compile("a mode near (\\d+) Hz").matcher(bands.get(0));
    assertThat(mode.find()).isTrue();
    assertThat(Integer.parseInt(mode.group(1))).isBetween(1290, 1330);
    assertThat(said).noneMatch(s -> s.contains("Hz in y"));
  }

  /** Damping fitted to half in y: no mode is missing, but the band around the peak is wrong. */
  @Test
  void wrongDampingPointsToItsPeak() {
    ModalModel x = ModalModel.of(SECOND);
    ModalModel y = ModalModel.of(ACROSS);
    ModalModel off = ModalModel.of(Mode.of(1120, 0.0125, 6e6));
    List<String> said =
        compare(cut(measured(x, 3), measured(y, 4)), cut(x, off), Method.MULTI_FREQUENCY);
    List<String> bands = said.stream().filter(s -> s.contains("miss the response")).toList();
    assertThat(bands).hasSize(1);
    Matcher band = BAND.matcher(bands.get(0));
    assertThat(band.find()).isTrue();
    assertThat(band.group(3)).isEqualTo("y");
    assertThat(Integer.parseInt(band.group(1))).isBetween(1000, 1110);
    assertThat(Integer.parseInt(band.group(2))).isBetween(1130, 1250);
    assertThat(bands.get(0)).contains("fit that band again");
  }

  @Test
  void mapsMustBelongTogether() {
    CuttingProcess process = cut(FIRST, ACROSS);
    StabilityMap a = Cuts.depth(process, 0.01, 9000.0);
    StabilityMap b = Cuts.depth(process, 0.01, 9100.0);
    assertThatThrownBy(() -> MeasuredAgainstModes.compare(a, process, b, process))
        .isInstanceOf(IllegalArgumentException.class);
  }
}

package ringtrue.stability;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.stream.Stream;
import java.util.stream.StreamSupport;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Progress;
import ringtrue.dynamics.Receptance;
import ringtrue.stability.Engagement.Direction;
import ringtrue.stability.LobesRequest.AtPoint;

/**
 * Limits, growth and unstable roots that {@code fixtures/lobes/make_reference.py} found by other
 * routes with NumPy and SciPy.
 */
class LobesReferenceTest {

  static Stream<JsonNode> cases() throws IOException {
    JsonNode all =
        new ObjectMapper().readTree(Path.of("fixtures", "lobes", "reference.json").toFile());
    return StreamSupport.stream(all.get("cases").spliterator(), false);
  }

  @ParameterizedTest
  @MethodSource("cases")
  void limitsEqualTheReference(JsonNode one) {
    CuttingProcess process = process(one);
    List<Double> speeds = numbers(one.get("speedsRpm"));
    StabilityMap map =
        Lobes.compute(
            process,
            new LobesRequest(
                StabilityMap.Over.DEPTH, Optional.of(Method.ZERO_ORDER), speeds, 0.05, List.of()),
            Progress.NONE);
    for (int i = 0; i < speeds.size(); i++) {
      double limit = one.get("limitM").get(i).asDouble();
      double hz = one.get("chatterHz").get(i).asDouble();
      StabilityMap.Line line = map.lines().get(i);
      assertThat(line.limitM())
          .as("at %s rpm", speeds.get(i))
          .isCloseTo(limit, within(1e-9 * limit));
      assertThat(line.chatterHz()).isCloseTo(hz, within(1e-6 * hz));
    }
  }

  @ParameterizedTest
  @MethodSource("cases")
  void growthAndUnstableRootsEqualTheReference(JsonNode one) {
    CuttingProcess process = process(one);
    List<AtPoint> points = new ArrayList<>();
    for (JsonNode point : one.get("points")) {
      points.add(new AtPoint(point.get("speedRpm").asDouble(), point.get("depthM").asDouble()));
    }
    StabilityMap map =
        Lobes.compute(
            process,
            new LobesRequest(
                StabilityMap.Over.DEPTH, Optional.of(Method.ZERO_ORDER), List.of(), 0.05, points),
            Progress.NONE);
    assertThat(points).isNotEmpty();
    for (int i = 0; i < points.size(); i++) {
      JsonNode point = one.get("points").get(i);
      double growth = point.get("growth").asDouble();
      assertThat(map.at().get(i).growth()).as("%s", point).isCloseTo(growth, within(1e-6));
      assertThat(map.at().get(i).stable()).isEqualTo(point.get("unstableRoots").asInt() == 0);
    }
  }

  private static CuttingProcess process(JsonNode one) {
    int flutes = one.get("flutes").asInt();
    double diameter = 0.01;
    Tool tool =
        one.get("pitchDeg").isNull()
            ? Cuts.tool(flutes, diameter)
            : Cuts.pitched(
                diameter, numbers(one.get("pitchDeg")).stream().mapToDouble(p -> p).toArray());
    return Cuts.milling(
        tool,
        Direction.valueOf(one.get("direction").asText()),
        one.get("radialFraction").asDouble(),
        1e-3,
        one.get("ktcPa").asDouble(),
        one.get("krcPa").asDouble(),
        modes(one.get("x")),
        modes(one.get("y")));
  }

  private static List<Receptance> modes(JsonNode rows) {
    List<Receptance> modes = new ArrayList<>();
    for (JsonNode row : rows) {
      modes.add(Mode.of(row.get(0).asDouble(), row.get(1).asDouble(), row.get(2).asDouble()));
    }
    return modes;
  }

  private static List<Double> numbers(JsonNode array) {
    List<Double> numbers = new ArrayList<>();
    array.forEach(v -> numbers.add(v.asDouble()));
    return numbers;
  }
}

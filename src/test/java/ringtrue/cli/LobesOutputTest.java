package ringtrue.cli;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.util.List;
import org.junit.jupiter.api.Test;
import ringtrue.report.HandMadeMaps;
import ringtrue.report.LengthUnit;
import ringtrue.stability.StabilityMap;
import ringtrue.units.BadInputException;

/** What {@code lobes} says of maps put together by hand. */
class LobesOutputTest {
  private static JsonNode json(StabilityMap map) throws IOException {
    return new ObjectMapper()
        .readTree(JsonOut.text(o -> LobesCommand.toJson(o, map, List.of("a remark"))));
  }

  private static List<String> text(StabilityMap map, LengthUnit unit) {
    return LobesText.of(map, HandMadeMaps.cut(), unit);
  }

  @Test
  void jsonKeepsItsFieldsAndAddsBandAndChances() throws IOException {
    JsonNode plain = json(HandMadeMaps.islands(19));
    assertThat(plain.fieldNames())
        .toIterable()
        .containsExactly(
            "over",
            "method",
            "maxM",
            "speedRpm",
            "limitM",
            "limitLowM",
            "limitHighM",
            "stableM",
            "loss",
            "chatterHz",
            "lobe",
            "growthPeriod",
            "at",
            "remarks");
    assertThat(plain.get("limitLowM")).hasSize(19).allMatch(JsonNode::isNull);
    assertThat(plain.get("loss").get(8).asText()).isEqualTo("flip");
    assertThat(plain.get("stableM").get(8)).hasSize(2);

    JsonNode banded = json(HandMadeMaps.banded(19));
    double limit = banded.get("limitM").get(3).asDouble();
    assertThat(banded.get("limitLowM").get(3).asDouble()).isCloseTo(0.85 * limit, within(1e-12));
    assertThat(banded.get("limitHighM").get(3).asDouble()).isCloseTo(1.15 * limit, within(1e-12));
  }

  @Test
  void jsonOfChances() throws IOException {
    JsonNode all = json(HandMadeMaps.probable(19));
    JsonNode p = all.get("probability");
    assertThat(p.get("samples").asInt()).isEqualTo(200);
    assertThat(p.get("seed").asLong()).isEqualTo(7);
    assertThat(p.get("lengthM")).hasSize(80);
    assertThat(p.get("stable")).hasSize(19).allMatch(row -> row.size() == 80);
    assertThat(p.get("limit95M")).hasSize(19);
    double limit = all.get("limitM").get(5).asDouble();
    double length = p.get("lengthM").get(30).asDouble();
    assertThat(p.get("stable").get(5).get(30).asDouble())
        .isCloseTo(HandMadeMaps.chance(length, limit), within(1e-12));
    assertThat(p.get("sensitivities").get(0).get("input").asText())
        .isEqualTo("stiffness of mode 1 in x");
    assertThat(p.get("sensitivities").get(1).get("share").asDouble()).isEqualTo(0.27);
    assertThat(p.get("sensitivities").get(1).get("slope").asDouble()).isEqualTo(-0.05);
    assertThat(all.get("at").get(0).get("probabilityStable").asDouble()).isEqualTo(0.97);
  }

  @Test
  void csvHasTheNewColumnsAtItsEnd() {
    String head =
        "speed_rpm,limit_m,loss,chatter_hz,lobe,stable_m,limit_low_m,limit_high_m,limit95_m";
    List<String> plain = LobesCommand.toCsv(HandMadeMaps.islands(19)).lines().toList();
    assertThat(plain.get(0)).isEqualTo(head);
    assertThat(plain).hasSize(20).allSatisfy(row -> assertThat(row.split(",", -1)).hasSize(9));
    assertThat(plain.get(9)).startsWith("14000.0,0.0016,flip,1000.0,2,0.0:0.0016 0.0021:0.0034,");
    assertThat(plain.get(1)).endsWith(",,,");
    String banded = LobesCommand.toCsv(HandMadeMaps.banded(19)).lines().toList().get(9);
    assertThat(banded).endsWith("," + 0.85 * 0.0016 + "," + 1.15 * 0.0016 + ",");
    String sure = LobesCommand.toCsv(HandMadeMaps.probable(19)).lines().toList().get(9);
    assertThat(sure).endsWith(",,," + 0.82 * 0.0016);
  }

  @Test
  void textNamesKindOfLossBandAndIslands() {
    List<String> plain = text(HandMadeMaps.islands(19), LengthUnit.MILLIMETRE);
    assertThat(plain).anyMatch(l -> l.matches(" +14000 +1\\.6000 +flip +1000\\.0 +2 +1"));
    assertThat(plain).anyMatch(l -> l.matches(" +12000 +4\\.0000 +hopf +1000\\.0 +2"));
    assertThat(String.join("\n", plain)).contains("stable above").doesNotContain("95 %");
    List<String> banded = text(HandMadeMaps.banded(19), LengthUnit.MILLIMETRE);
    assertThat(banded).anyMatch(l -> l.contains("95 % band mm"));
    assertThat(banded).anyMatch(l -> l.contains("14000") && l.contains("1.3600 to 1.8400"));
    List<String> inches = text(HandMadeMaps.banded(19), LengthUnit.INCH);
    assertThat(inches).anyMatch(l -> l.contains("14000") && l.contains("0.0535 to 0.0724"));
  }

  @Test
  void textNamesChancesAndWhatMovesTheLimit() {
    String said = String.join("\n", text(HandMadeMaps.probable(19), LengthUnit.MILLIMETRE));
    assertThat(said)
        .contains("chances from 200 draws of the uncertain inputs (seed 7)")
        .contains("chance of being stable")
        .containsPattern("12000 +3\\.0000 +stable +97 % +0\\.8200")
        .contains("95 % sure mm")
        .containsPattern("14000 +1\\.6000 +flip +1000\\.0 +2 +1\\.3120 +1")
        .containsPattern("61 % +\\+8\\.0 % +stiffness of mode 1 in x")
        .containsPattern("27 % +-5\\.0 % +frequency of mode 1 in y");
  }

  @Test
  void rowsLineUpUnderTheirHeads() {
    for (StabilityMap map : List.of(HandMadeMaps.banded(19), HandMadeMaps.probable(19))) {
      List<String> lines = text(map, LengthUnit.MILLIMETRE);
      int head = 0;
      while (!lines.get(head).contains("chatter Hz")) {
        head++;
      }
      int end = lines.get(head).indexOf("chatter Hz") + "chatter Hz".length();
      for (int row = head + 1; row <= head + 19; row++) {
        assertThat(lines.get(row).substring(0, end)).endsWith("1000.0");
      }
    }
  }

  @Test
  void wholeNumbersOfOptions() {
    assertThat(Options.whole("--samples", " 200 ", 20, 100_000)).isEqualTo(200);
    for (String bad : List.of("19", "100001", "many", "2.5", "", "99999999999999999999")) {
      assertThatThrownBy(() -> Options.whole("--samples", bad, 20, 100_000))
          .isInstanceOf(BadInputException.class)
          .hasMessage("--samples: \"" + bad + "\" must be a whole number from 20 to 100000");
    }
    assertThatThrownBy(() -> Options.whole("--seed", "-1", 0, Long.MAX_VALUE))
        .isInstanceOf(BadInputException.class)
        .hasMessage("--seed: \"-1\" must be a whole number from 0");
  }
}

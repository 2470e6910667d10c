package ringtrue.cli;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Locale;
import javax.imageio.ImageIO;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** The plan command on real cut files. */
class PlanCommandTest {
  @TempDir Path folder;

  private record Run(int code, String out, String err) {}

  private static Run run(Object... args) {
    StringWriter out = new StringWriter();
    StringWriter err = new StringWriter();
    String[] words = new String[args.length];
    for (int i = 0; i < args.length; i++) {
      words[i] = args[i].toString();
    }
    int code = Ringtrue.run(new PrintWriter(out, true), new PrintWriter(err, true), words);
    return new Run(code, out.toString(), err.toString());
  }

  /** Half an inch deep in mild steel with a quarter-inch cutter at 150 in/min and 24,000 rpm. */
  private Path steel(String radial, String extra) throws IOException {
    Path file = folder.resolve("steel.json");
    Files.writeString(
        file,
        """
        {"format": "ringtrue-cut/1", "name": "steel", "operation": "milling",
         "machine": {"name": "benchtop router"},
         "tool": {"diameter": "0.25 in", "flutes": 4, "helix": "35 deg", "stickout": "17 mm",
                  "fluteLength": "16 mm", "edgeRadius": "5 um"},
         "material": "mild steel", %s
         "engagement": {"direction": "down", "radial": "%s", "axial": "0.5 in"},
         "speed": "24000 rpm", "feed": "150 in/min",
         "dynamics": {"tool": {"x": {"modes": []}, "y": {"modes": []}}}}
        """
            .formatted(extra, radial));
    return file;
  }

  private static JsonNode limit(JsonNode plan, String name) {
    for (JsonNode limit : plan.get("limits")) {
      if (limit.get("name").asText().equals(name)) {
        return limit;
      }
    }
    throw new AssertionError("no limit " + name);
  }

  /**
   * Common practice, no source: on a light router-class spindle of about 2 kW, 0.5 in deep mild
   * steel at 150 in/min is fine at 0.030 in, at the edge at 0.050 in (taken as within a quarter of
   * the power), too much at 0.070 in. The numbers come from the catalogue's coefficients and the
   * bundled machine of 2.2 kW.
   */
  @ParameterizedTest
  @CsvSource({"0.030 in, 0, 0.75", "0.050 in, 0.75, 1.25", "0.070 in, 1.25, 9"})
  void lightRouterInMildSteel(String radial, double above, double below) throws IOException {
    Run run = run("plan", steel(radial, ""), "--json");
    assertThat(run.code).as(run.err).isZero();
    JsonNode plan = new ObjectMapper().readTree(run.out);
    JsonNode power = limit(plan, "power");
    double share = power.get("value").asDouble() / power.get("limit").asDouble();
    assertThat(share).isBetween(above, below);
    assertThat(power.get("share").asDouble()).isCloseTo(share, within(1e-12));
    assertThat(power.get("ok").asBoolean()).isEqualTo(share <= 1);
    // 150 in/min at 24,000 rpm and four teeth: 0.0016 in per tooth, thinned by the narrow cut
    double fz = 150.0 / 24000 / 4;
    assertThat(fz).isCloseTo(0.0016, within(5e-5));
    double part = Double.parseDouble(radial.substring(0, 5)) / 0.25;
    assertThat(limit(plan, "chip thickness").get("value").asDouble() / 0.0254)
        .isCloseTo(2 * fz * Math.sqrt(part - part * part), within(1e-9));
    if (above == 0) {
      assertThat(plan.get("verdict").asText()).isEqualTo("go");
    }
  }

  /**
   * The same with modes of an invented router: chatter is said beside power, which stays what it
   * was, and a cut that power carries can still chatter.
   */
  @ParameterizedTest
  @CsvSource({"0.030 in, true", "0.070 in, false"})
  void lightRouterWithModes(String radial, boolean carried) throws IOException {
    Path file = steel(radial, "");
    double rigid =
        limit(new ObjectMapper().readTree(run("plan", file, "--json").out), "power")
            .get("value")
            .asDouble();
    Files.writeString(
        file,
        Files.readString(file)
            .replace(
                "{\"modes\": []}",
                "{\"modes\": [{\"frequency\": \"1480 Hz\", \"damping\": \"3 %\","
                    + " \"stiffness\": \"8 N/um\", \"frequencySigma\": \"0.5 %\","
                    + " \"dampingSigma\": \"0.2 %\", \"stiffnessSigma\": \"4 %\"}]}"));
    Run run = run("plan", file, "--json");
    assertThat(run.code).as(run.err).isZero();
    JsonNode plan = new ObjectMapper().readTree(run.out);
    assertThat(limit(plan, "power").get("value").asDouble()).isCloseTo(rigid, within(1e-9));
    assertThat(limit(plan, "power").get("ok").asBoolean()).isEqualTo(carried);
    JsonNode chatter = limit(plan, "chatter");
    assertThat(chatter.get("ok").asBoolean()).isFalse();
    assertThat(chatter.get("limit").asDouble()).isBetween(1e-4, 0.0127);
    assertThat(chatter.get("probability").asDouble()).isBetween(0.0, 0.5);
    assertThat(plan.get("verdict").asText()).isNotEqualTo("go");
    for (JsonNode offer : plan.get("suggestions")) {
      assertThat(offer.get("limitedBy").asText()).isNotEmpty();
      assertThat(offer.get("margin").asDouble()).isGreaterThan(0.2);
    }
  }

  @Test
  void efficiencyInertiaAccelerationAndHoldingForce() throws IOException {
    Path file =
        steel(
            "0.030 in",
            """
            "holdingForce": "100 N",
            """);
    Files.writeString(
        file,
        Files.readString(file)
            .replace(
                "{\"name\": \"benchtop router\"}",
                "{\"maxFeed\": \"5 m/min\", \"power\": [[\"24000 rpm\", \"2.2 kW\"]],"
                    + " \"efficiency\": \"80 %\", \"inertia\": \"2e-4 kg m^2\","
                    + " \"acceleration\": \"0.5 m/s^2\"}")
            .replace("\"axial\":", "\"length\": \"5 mm\", \"axial\":"));
    Run run = run("plan", file, "--json");
    assertThat(run.code).as(run.err).isZero();
    JsonNode plan = new ObjectMapper().readTree(run.out);
    assertThat(limit(plan, "power").get("limit").asDouble()).isCloseTo(0.8 * 2200, within(1e-9));
    // v²/a with v = 150 in/min
    double v = 150 * 0.0254 / 60;
    assertThat(limit(plan, "feed path").get("value").asDouble())
        .isCloseTo(v * v / 0.5, within(1e-12));
    assertThat(limit(plan, "feed path").get("ok").asBoolean()).isFalse();
    assertThat(limit(plan, "workpiece force").get("ok").asBoolean()).isFalse();
    assertThat(limit(plan, "workpiece force").get("limit").asDouble()).isEqualTo(100);
    JsonNode peak = limit(plan, "peak torque");
    assertThat(peak.get("value").asDouble())
        .isGreaterThan(limit(plan, "torque").get("value").asDouble());
    assertThat(peak.get("ok").asBoolean()).isTrue();
  }

  @Test
  void csvAndPicturesAreWritten() throws IOException {
    Path csv = folder.resolve("plan.csv");
    Path png = folder.resolve("plan.png");
    Run run = run("plan", steel("0.050 in", ""), "--csv", csv, "--png", png, "--units", "in");
    assertThat(run.code).as(run.err).isZero();
    assertThat(Files.readString(csv))
        .startsWith("kind,name,value,limit,unit,share,ok,probability,")
        .contains("limit,power,")
        .contains("advice,engagement,");
    long columns = Files.readString(csv).lines().findFirst().orElseThrow().split(",").length;
    assertThat(Files.readAllLines(csv))
        .allMatch(l -> l.replaceAll("\"[^\"]*\"", "x").split(",", -1).length == columns);
    assertThat(ImageIO.read(png.toFile()).getWidth()).isEqualTo(1200);
    assertThat(run("plan", steel("0.050 in", ""), "--csv", csv).err).contains("plan.csv");
  }

  @Test
  void aSweepOfTheWidthFindsWhereThePowerEnds() throws IOException {
    Path csv = folder.resolve("sweep.csv");
    Path png = folder.resolve("sweep.png");
    Run run =
        run(
            "plan",
            steel("0.030 in", ""),
            "--sweep",
            "radial=0.01:0.07:0.005 in",
            "--csv",
            csv,
            "--png",
            png);
    assertThat(run.code).as(run.err).isZero();
    assertThat(run.out).contains("every limit that could be judged is kept at").contains(" ok");
    String[] lines = Files.readString(csv).split("\n");
    assertThat(lines).hasSize(14);
    assertThat(lines[0]).startsWith("radial_m,power_w,power_limit_w,power_share,");
    double before = 0;
    for (int i = 1; i < lines.length; i++) {
      double share = Double.parseDouble(lines[i].split(",")[3]);
      assertThat(share).isGreaterThan(before);
      before = share;
    }
    assertThat(before).isGreaterThan(1.2);
    assertThat(ImageIO.read(png.toFile()).getWidth()).isEqualTo(1200);
  }

  @ParameterizedTest
  @CsvSource({
    "stickout=10:30:5 mm, needs a new tap",
    "diameter=4:8:1 mm, needs a new tap",
    "axia=1:2:1 mm, did you mean axial?",
    "axial=1:2:0.5, needs its unit",
    "axial=2:1:0.5 mm, must rise",
    "axial=1:2:0 mm, step above zero",
    "speed=1000:9000:0.1, take a larger step",
    "radial=1:20:1 mm, no cut is wider than the tool",
    "speed, must be NAME=LO:HI:STEP",
    "axial=NaN:2:1 mm, --sweep"
  })
  void badSweepsAreRefusedInOneLine(String sweep, String words) throws IOException {
    Run run = run("plan", steel("0.030 in", ""), "--sweep", sweep);
    assertThat(run.code).isEqualTo(2);
    assertThat(run.err.strip().lines()).hasSize(1);
    assertThat(run.err).contains(words);
  }

  @ParameterizedTest
  @CsvSource({
    "--sigmas, -1, between 0 and 6",
    "--sigmas, nine, --sigmas",
    "--speed-band, 40 %, between 0 and 20 %",
    "--scale, 9, between 1 and 4",
    "--png, plan.gif, must end in .png"
  })
  void badOptionsAreRefusedInOneLine(String option, String value, String words) throws IOException {
    Run run = run("plan", steel("0.030 in", ""), option, value);
    assertThat(run.code).isEqualTo(2);
    assertThat(run.err.strip().lines()).hasSize(1);
    assertThat(run.err.toLowerCase(Locale.ROOT)).contains(words);
  }

  @ParameterizedTest
  @CsvSource({
    "'\"holdingForce\": \"-5 N\",', holdingForce",
    "'\"holdingForce\": \"5 mm\",', holdingForce",
    "'\"holdingforce\": \"5 N\",', did you mean"
  })
  void badFieldsAreNamed(String field, String words) throws IOException {
    Run run = run("plan", steel("0.030 in", field));
    assertThat(run.code).isEqualTo(2);
    assertThat(run.err.strip().lines()).hasSize(1);
    assertThat(run.err).contains(words);
  }
}

package ringtrue.cli;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import javax.imageio.ImageIO;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import ringtrue.acquisition.BlowPlan;
import ringtrue.acquisition.RigChannel;
import ringtrue.acquisition.VirtualRig;
import ringtrue.acquisition.WavWriter;
import ringtrue.acquisition.WavWriter.SampleFormat;
import ringtrue.dynamics.Mode;

/** {@code modes} as a user runs it: one file, several, and one against an earlier one. */
class ModesCommandTest {
  @TempDir Path folder;
  private SmallJob job;

  @BeforeEach
  void goodFiles() throws IOException {
    job = SmallJob.in(folder);
  }

  /** The small job's tool measured again: other taps and noise, perhaps moved. */
  private String again(String name, double factor, long seed) throws IOException {
    VirtualRig rig =
        VirtualRig.of(Mode.of(1240 * factor, 0.016, 2.1e6))
            .withInputs(
                RigChannel.of(0.00225, 1).withNoise(3e-5),
                RigChannel.of(0.00104, 1).withNoise(3e-5));
    WavWriter.write(
        rig.record(name, 12_000, 0.34, BlowPlan.of(3, 0.08, 20, 0.0004).blows(seed), seed),
        folder.resolve(name + ".wav"),
        SampleFormat.INT24,
        false);
    Path file = folder.resolve(name + ".json");
    Files.writeString(
        file, Files.readString(Path.of(job.measurement())).replace("taps.wav", name + ".wav"));
    return file.toString();
  }

  private static JsonNode json(String... args) throws IOException {
    CommandRun run = CommandRun.of(args);
    assertThat(run.code()).as(run.err()).isZero();
    return new ObjectMapper().readTree(run.out());
  }

  @Test
  void theTableSaysHowTheFitEnded() {
    CommandRun run = CommandRun.of("modes", job.measurement());
    assertThat(run.code()).isZero();
    assertThat(run.out()).contains("fit: settled after", "times", "the noise", "± one sigma");
  }

  @Test
  void aResponseGivesTheSameModesAsItsMeasurement() throws IOException {
    JsonNode measured = json("modes", job.measurement(), "--json");
    JsonNode response = json("modes", job.response().toString(), "--json");
    JsonNode a = measured.get("modes").get(0);
    JsonNode b = response.get("modes").get(0);
    for (String field : List.of("frequencyHz", "dampingRatio", "stiffnessNPerM", "massKg")) {
      assertThat(b.get(field)).isEqualTo(a.get(field));
      String sigma = field + "Sigma";
      if (a.has(sigma)) {
        // single taps know more of their common error than the average does
        assertThat(a.get(sigma).asDouble()).isGreaterThanOrEqualTo(b.get(sigma).asDouble());
      }
    }
    assertThat(measured.get("convergence").get("converged").asBoolean()).isTrue();
    assertThat(measured.get("convergence").get("reducedChiSquare").asDouble()).isPositive();
    assertThat(measured.get("stabilisation").get("poles").isArray()).isTrue();
  }

  @Test
  void severalFilesEachByItself() throws IOException {
    String other = again("other", 1.1, 11);
    CommandRun run =
        CommandRun.of(
            "modes",
            job.measurement(),
            other,
            folder.resolve("none.json").toString(),
            "--csv",
            folder.resolve("out").toString(),
            "--check-png",
            folder.resolve("out").toString());
    assertThat(run.code()).isEqualTo(2);
    assertThat(run.err().strip().lines()).hasSize(1);
    assertThat(run.err()).contains("none.json: there is no such file");
    assertThat(run.out()).contains("m.json", "other.json");
    assertThat(folder.resolve("out/m-modes.csv")).content().startsWith("frequency_hz,");
    assertThat(folder.resolve("out/other-check.png")).exists();
    JsonNode both = json("modes", job.measurement(), other, "--json").get("measurements");
    assertThat(both.get(0).get("modes").get(0).get("frequencyHz").asDouble())
        .isCloseTo(1240, within(3.0));
    assertThat(both.get(1).get("modes").get(0).get("frequencyHz").asDouble())
        .isCloseTo(1364, within(3.0));
  }

  @Test
  void thePicturesAreWrittenAtTheScaleAskedFor() throws IOException {
    Path fit = folder.resolve("fit.png");
    Path check = folder.resolve("check.png");
    CommandRun run =
        CommandRun.of(
            "modes",
            job.measurement(),
            "--png",
            fit.toString(),
            "--check-png",
            check.toString(),
            "--scale",
            "2");
    assertThat(run.code()).as(run.err()).isZero();
    assertThat(ImageIO.read(fit.toFile()).getWidth()).isEqualTo(2400);
    assertThat(ImageIO.read(check.toFile()).getWidth()).isEqualTo(2400);
  }

  @Test
  void theSameSetUpMeasuredAgainIsUnchanged() throws IOException {
    String same = again("same", 1, 12);
    JsonNode c = json("modes", same, "--against", job.measurement(), "--json").get("comparison");
    assertThat(c.get("verdict").asText())
        .as(c.get("sentence").asText())
        .isEqualTo("nothing changed");
    assertThat(c.get("shapeAssurance").asDouble()).isBetween(0.99, 1.0);
    assertThat(c.get("modes").get(0).get("frequency").get("changed").asBoolean()).isFalse();
    CommandRun run = CommandRun.of("modes", same, "--against", job.measurement());
    assertThat(run.out())
        .contains("Nothing changed beyond", "would have been found", "clamped again");
  }

  @Test
  void aMovedModeIsSaidWithWhatItMeans() throws IOException {
    String moved = again("moved", 0.98, 13);
    Path picture = folder.resolve("both.png");
    CommandRun run =
        CommandRun.of(
            "modes", moved, "--against", job.response().toString(), "--png", picture.toString());
    assertThat(run.code()).as(run.err()).isZero();
    assertThat(run.out()).contains("Changed: the mode at 12", "good speeds move with it by -");
    assertThat(ImageIO.read(picture.toFile()).getWidth()).isEqualTo(1200);
    JsonNode told =
        json("modes", moved, "--against", job.measurement(), "--scatter", "2,30,30", "--json")
            .get("comparison");
    JsonNode change = told.get("modes").get(0).get("frequency");
    assertThat(change.get("changed").asBoolean()).isFalse();
    assertThat(change.get("relativeChange").asDouble()).isCloseTo(-0.02, within(0.002));
  }

  @Test
  void badOptionsAreNamed() {
    String m = job.measurement();
    for (List<String> wrong :
        List.of(
            List.of("--pick", "fast", "--pick"),
            List.of("--pick", "0", "--pick: \"0\" must be more than 0 Hz"),
            List.of("--pick", "900,,1240", "--pick"),
            List.of("--pick", "5 mm", "--pick"),
            List.of("--scale", "0.5", "--scale: must be a number from 1 to 4"),
            List.of("--scale", "NaN", "--scale: must be a number from 1 to 4"),
            List.of("--scatter", "1,2,3", "--scatter: belongs to --against"),
            List.of("--against", "none.json", "none.json: there is no such file"))) {
      CommandRun run = CommandRun.of("modes", m, wrong.get(0), wrong.get(1));
      assertThat(run.code()).as("%s", wrong).isEqualTo(2);
      assertThat(run.err().strip().lines()).hasSize(1);
      assertThat(run.err()).startsWith("ringtrue: ").contains(wrong.get(2));
      assertThat(run.out()).isEmpty();
    }
    CommandRun two = CommandRun.of("modes", m, "--pick", "900,1240", "--count", "3");
    assertThat(two.err()).contains("--count: is 3, but --pick names 2");
    CommandRun part = CommandRun.of("modes", m, "--against", m, "--scatter", "1,2");
    assertThat(part.err()).contains("--scatter: \"1,2\" must be three");
    CommandRun large = CommandRun.of("modes", m, "--against", m, "--scatter", "1,2,300");
    assertThat(large.err()).contains("--scatter: must lie between 0 % and 100 %");
    CommandRun many = CommandRun.of("modes", m, m, "--against", m);
    assertThat(many.err()).contains("--against: compares one measurement, not 2");
  }

  @Test
  void picksAreFrequenciesWithOrWithoutUnit() {
    assertThat(ModesCommand.settings(null, null, "1.2 kHz, 310,870 Hz").picksHz())
        .containsExactly(310.0, 870.0, 1200.0);
  }

  /** Two measurements of one tool share its mode; two different tools are not forced together. */
  @Test
  void severalFilesTogether() throws IOException {
    String same = again("same", 1, 12);
    JsonNode both = json("modes", job.measurement(), same, "--together", "--json");
    assertThat(both.get("shared").asBoolean()).isTrue();
    assertThat(both.get("modes")).hasSize(1);
    JsonNode mode = both.get("modes").get(0);
    assertThat(mode.get("frequencyHz").asDouble()).isCloseTo(1240, within(0.5));
    assertThat(mode.get("dampingRatio").asDouble()).isCloseTo(0.016, within(2e-4));
    for (JsonNode one : both.get("measurements")) {
      assertThat(one.get("drivingPoint").asBoolean()).isTrue();
      assertThat(1 / one.get("shares").get(0).get("complianceMPerN").asDouble())
          .isCloseTo(2.1e6, within(3e4));
      assertThat(one.get("modes").get(0).get("frequencyHz")).isEqualTo(mode.get("frequencyHz"));
    }
    String other = again("other", 1.004, 13);
    JsonNode apart = json("modes", job.measurement(), other, "--together", "--json");
    assertThat(apart.get("shared").asBoolean()).isFalse();
    assertThat(CommandRun.of("modes", job.measurement(), other, "--together").out())
        .contains("do not share their modes");
  }

  @Test
  void tapsDrawnAnew() throws IOException {
    JsonNode drawn = json("modes", job.measurement(), "--resample", "100", "--json");
    JsonNode sigma = drawn.get("resampling").get("modes").get(0);
    assertThat(drawn.get("resampling").get("taps").asInt()).isEqualTo(3);
    assertThat(sigma.get("frequencyHzSigma").asDouble()).isBetween(1e-4, 0.5);
    assertThat(json("modes", job.measurement(), "--resample", "100", "--json")).isEqualTo(drawn);
    assertThat(CommandRun.of("modes", job.measurement(), "--resample", "100").out())
        .contains("one sigma by drawing the 3 taps 100 times");
  }

  @Test
  void whatCannotGoTogetherIsSaid() {
    String m = job.measurement();
    String csv = job.response().toString();
    for (String[] bad :
        List.of(
            new String[] {"--together: needs two", "modes", m, "--together"},
            new String[] {"--resample: needs the taps", "modes", csv, "--resample", "100"},
            new String[] {
              "--resample: must be a whole number from 20", "modes", m, "--resample", "5"
            },
            new String[] {"goes neither with", "modes", m, csv, "--together", "--against", csv},
            new String[] {"pick: 90000 Hz lies outside", "modes", m, "--pick", "90000"})) {
      CommandRun run = CommandRun.of(List.of(bad).subList(1, bad.length).toArray(new String[0]));
      assertThat(run.code()).as(run.err()).isEqualTo(2);
      assertThat(run.err()).contains(bad[0]);
      assertThat(run.err().strip().lines()).hasSize(1);
      assertThat(run.out()).isEmpty();
    }
  }
}

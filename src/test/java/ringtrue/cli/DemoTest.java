package ringtrue.cli;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.stream.Stream;
import javax.imageio.ImageIO;
import org.apache.pdfbox.Loader;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.pdfbox.text.PDFTextStripper;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import ringtrue.acquisition.DemoShop;
import ringtrue.acquisition.VirtualRig;
import ringtrue.dynamics.Mode;

/** The demo as a user runs it; what it finds is held against the modes of the rig's recipe. */
class DemoTest {
  @TempDir static Path folder;
  private static Path out;
  private static CommandRun run;

  @BeforeAll
  static void demo() {
    out = folder.resolve("results");
    run = CommandRun.of("demo", "--out", out.toString());
  }

  private static JsonNode json(String name) throws IOException {
    return new ObjectMapper().readTree(out.resolve(name).toFile());
  }

  private static List<Mode> truth(String recording) {
    Optional<DemoShop.Series> series =
        DemoShop.series().stream().filter(s -> s.file().startsWith(recording + ".")).findFirst();
    VirtualRig rig = series.orElseThrow().rig();
    return rig.tapped() == VirtualRig.Tapped.TOOL ? rig.tool() : rig.workpiece();
  }

  @Test
  void itEndsWell() {
    assertThat(run.err()).isEmpty();
    assertThat(run.code()).isZero();
    assertThat(run.out()).contains("results in", "spindle stopped and locked out");
  }

  /** Taps in the demo scatter in direction as a hand's do, which goes straight into k. */
  @Test
  void itFindsTheModesOfTheRecipe() throws IOException {
    for (String name :
        List.of(
            "tool-8mm-x", "tool-8mm-y", "tool-10mm-x", "tool-10mm-y", "bracket-y", "turning-bar")) {
      JsonNode found = json(name + "-modes.json").get("modes");
      List<Mode> truth = truth(name);
      assertThat(found.size()).as(name).isEqualTo(truth.size());
      for (int i = 0; i < truth.size(); i++) {
        Mode mode = truth.get(i);
        String what = name + " mode " + (i + 1);
        assertThat(found.get(i).get("frequencyHz").asDouble())
            .as(what)
            .isCloseTo(mode.frequencyHz(), within(mode.frequencyHz() * 5e-4));
        assertThat(found.get(i).get("dampingRatio").asDouble())
            .as(what)
            .isCloseTo(mode.dampingRatio(), within(mode.dampingRatio() * 0.01));
        double sigma = found.get(i).get("stiffnessNPerMSigma").asDouble();
        assertThat(found.get(i).get("stiffnessNPerM").asDouble())
            .as(what)
            .isCloseTo(
                mode.stiffnessNPerM(), within(Math.max(mode.stiffnessNPerM() * 0.01, 3 * sigma)));
      }
    }
  }

  @Test
  void tapsThatTheRecipeSpoilsAreSetAside() throws IOException {
    JsonNode taps = json("tool-8mm-x-frf.json").get("taps");
    assertThat(taps.get(2).get("verdict").asText()).isEqualTo("double hit");
    assertThat(taps.get(4).get("verdict").asText()).isEqualTo("overload");
    for (int good : new int[] {0, 1, 3, 5, 6}) {
      assertThat(taps.get(good).get("verdict").asText()).as("tap %d", good + 1).isEqualTo("kept");
    }
    JsonNode weak = json("tool-8mm-y-frf.json").get("taps");
    for (JsonNode tap : weak) {
      String expected = tap.get("number").asInt() == 6 ? "too weak" : "kept";
      assertThat(tap.get("verdict").asText()).as("tap %s", tap.get("number")).isEqualTo(expected);
    }
  }

  @Test
  void everyPictureCanBeOpenedAndThePageNamesEverything() throws IOException {
    try (Stream<Path> files = Files.list(out)) {
      List<Path> pictures = files.filter(f -> f.toString().endsWith(".png")).toList();
      assertThat(pictures).hasSize(15);
      for (Path picture : pictures) {
        assertThat(ImageIO.read(picture.toFile()).getWidth()).isEqualTo(1200);
      }
    }
    String page = Files.readString(out.resolve("report.html"));
    assertThat(page).contains("eye protection", "mount plate, pockets roughed with 8 mm");
    assertThat(page.split("<svg ", -1)).hasSize(1 + 15);
    try (PDDocument print = Loader.loadPDF(out.resolve("report.pdf").toFile())) {
      assertThat(new PDFTextStripper().getText(print)).contains("pockets roughed with 8 mm");
    }
  }

  @Test
  void thePocketChattersAsGivenAndTheOfferedCutsDoNot() throws IOException {
    JsonNode plan = json("cut-pocket-8mm-plan.json");
    assertThat(plan.get("verdict").asText()).isEqualTo("change");
    Path cut = out.resolve("measurements/cut-pocket-8mm.json");
    String good = Files.readString(cut);
    JsonNode all = plan.get("suggestions");
    for (JsonNode offered : List.of(all.get(0), all.get(all.size() - 1))) {
      String other =
          good.replace(
                  "\"radial\": \"3.2 mm\"",
                  "\"radial\": \"" + offered.get("radialM").asDouble() + " m\"")
              .replace(
                  "\"axial\": \"3 mm\"",
                  "\"axial\": \"" + offered.get("axialM").asDouble() + " m\"")
              .replace("\"13000 rpm\"", "\"" + offered.get("speedRpm").asDouble() + " rpm\"")
              .replace(
                  "\"feedPerTooth\": \"0.05 mm\"",
                  "\"feedPerTooth\": \"" + offered.get("feedPerToothM").asDouble() + " m\"");
      Path file = out.resolve("measurements/offered.json");
      Files.writeString(file, other);
      CommandRun judged = CommandRun.of("plan", file.toString(), "--json");
      assertThat(new ObjectMapper().readTree(judged.out()).get("verdict").asText())
          .as("offered: %s", offered)
          .isEqualTo("go");
    }
  }

  @Test
  void aCutFarFromAnythingPossibleStillGetsALightOneOffered() throws IOException {
    String good = Files.readString(out.resolve("measurements/cut-pocket-8mm.json"));
    Path file = out.resolve("measurements/far.json");
    Files.writeString(
        file,
        good.replace("\"radial\": \"3.2 mm\"", "\"radial\": \"8 mm\"")
            .replace("\"axial\": \"3 mm\"", "\"axial\": \"20 mm\"")
            .replace("\"aluminium 6082-T6\"", "\"stainless 304\"")
            .replace("\"feedPerTooth\": \"0.05 mm\"", "\"feedPerTooth\": \"0.3 mm\""));
    JsonNode plan =
        new ObjectMapper().readTree(CommandRun.of("plan", file.toString(), "--json").out());
    assertThat(plan.get("verdict").asText()).isEqualTo("change");
    assertThat(plan.get("suggestions").get(0).get("feedPerToothM").asDouble()).isLessThan(1e-4);
    assertThat(plan.get("remarks").toString()).contains("no small change mends this cut");
  }

  @Test
  void aSecondRunDoesNotOverwriteTheFirst() {
    CommandRun again = CommandRun.of("demo", "--out", out.toString());
    assertThat(again.code()).isEqualTo(2);
    assertThat(again.err()).contains("is there already; add --overwrite");
  }
}

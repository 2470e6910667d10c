package ringtrue.ui.shell;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.json.JsonMapper;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import ringtrue.library.SetUp;
import ringtrue.ui.job.CutDraft;
import ringtrue.ui.job.CutField;
import ringtrue.ui.job.Job;

/** The job that a newcomer begins on the simulated machine: an invented set-up and a cut on it. */
final class SimulatedStart {
  private static final String CUT = "/demo-measurements/cut-pocket-8mm.json";

  private SimulatedStart() {}

  /** That job; reads a resource. */
  static Job job() {
    CutDraft cut = cut();
    Map<SetUp.Field, String> said = new EnumMap<>(SetUp.Field.class);
    said.put(SetUp.Field.NAME, "simulated mill, 8 mm end mill (invented)");
    said.put(SetUp.Field.MACHINE, cut.text(CutField.MACHINE));
    said.put(SetUp.Field.HOLDER, "collet chuck (invented)");
    said.put(SetUp.Field.TOOL, "end mill, solid carbide (invented)");
    said.put(SetUp.Field.DIAMETER, cut.text(CutField.DIAMETER));
    said.put(SetUp.Field.FLUTES, cut.text(CutField.FLUTES));
    said.put(SetUp.Field.STICKOUT, cut.text(CutField.STICKOUT));
    said.put(SetUp.Field.FLUTE_LENGTH, cut.text(CutField.FLUTE_LENGTH));
    said.put(SetUp.Field.WORKPIECE, "mount plate (invented)");
    said.put(SetUp.Field.FIXTURE, "vise (invented)");
    said.put(SetUp.Field.NOTES, "Invented for trying the program; no such machine exists.");
    return new Job(said, Optional.empty(), List.of(), cut, true);
  }

  private static CutDraft cut() {
    JsonMapper json = new JsonMapper();
    try (InputStream in = SimulatedStart.class.getResourceAsStream(CUT)) {
      String text = new String(in.readAllBytes(), StandardCharsets.UTF_8);
      ObjectNode root = (ObjectNode) json.readTree(text);
      root.remove("dynamics");
      return new CutDraft(root.toString());
    } catch (JsonProcessingException e) {
      throw new IllegalStateException("the bundled cut cannot be read", e);
    } catch (IOException e) {
      throw new IllegalStateException("the bundled cut is missing", e);
    }
  }
}

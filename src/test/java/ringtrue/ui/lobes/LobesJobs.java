package ringtrue.ui.lobes;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import ringtrue.ui.job.CutDraft;
import ringtrue.ui.job.Direction;
import ringtrue.ui.job.Job;
import ringtrue.ui.job.JobFolder;
import ringtrue.ui.job.Measured;

/** Jobs for tests: the demo cuts with their measurements, and cuts with modes of their own. */
public final class LobesJobs {
  private static final Path DEMO = Path.of("demo-measurements");
  private static final Map<String, List<String>> MEASURED =
      Map.of(
          "cut-pocket-8mm", List.of("tool-x tool-8mm-x", "tool-y tool-8mm-y"),
          "cut-bracket-10mm",
              List.of("tool-x tool-10mm-x", "tool-y tool-10mm-y", "workpiece-y bracket-y"),
          "cut-turning", List.of("tool-x turning-bar"));

  private LobesJobs() {}

  /** The demo cuts. */
  public static List<String> demoCuts() {
    return List.of("cut-pocket-8mm", "cut-bracket-10mm", "cut-turning");
  }

  /**
   * A demo cut as a job in a folder below {@code home}/jobs.
   *
   * @return the job's folder, to be given to {@code desk.resume}
   */
  public static Path demo(Path home, String cut) {
    try {
      CutDraft draft =
          new CutDraft(
              new CutDraft(Files.readString(DEMO.resolve(cut + ".json"))).fileWithoutModes());
      JobFolder folder = JobFolder.create(home.resolve("jobs"));
      Job job = Job.EMPTY.with(draft);
      for (String each : MEASURED.get(cut)) {
        String[] parts = each.split(" ");
        for (String ending : new String[] {".json", ".wav", ".csv"}) {
          if (Files.exists(DEMO.resolve(parts[1] + ending))) {
            Files.copy(DEMO.resolve(parts[1] + ending), folder.file(parts[1] + ending));
          }
        }
        job =
            job.with(
                Measured.of(
                    Direction.of(parts[0]), Measured.Kind.TAPS, parts[1] + ".json", "demo"));
      }
      folder.write(job);
      folder.close();
      return folder.path();
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  /** A job with a cut that describes its modes itself. */
  public static Path described(Path home, String json) {
    JobFolder folder = JobFolder.create(home.resolve("jobs"));
    folder.write(Job.EMPTY.with(new CutDraft(json)));
    folder.close();
    return folder.path();
  }

  /**
   * The same with nothing said of the tool's x, or with other words about it.
   *
   * @param x a JSON object; empty for nothing
   */
  public static String plainWithX(String x) {
    String all = plain("2.5 mm", "0.05 mm", "");
    int from = all.indexOf("\"x\": {");
    return all.substring(0, from)
        + (x.isEmpty() ? "" : "\"x\": " + x + ", ")
        + all.substring(all.indexOf("\"y\": {"));
  }

  /** Two modes in each direction, invented; a plain end mill. */
  public static String plain(String radial, String axial, String pitch) {
    return """
        {"format": "ringtrue-cut/1", "operation": "milling", "name": "an invented cut",
         "machine": {"minSpeed": "6000 rpm", "maxSpeed": "24000 rpm", "maxFeed": "8 m/min",
           "power": [["6000 rpm", "0.5 kW"], ["24000 rpm", "2 kW"]]},
         "tool": {"diameter": "6 mm", "flutes": 4, "helix": "35 deg", "stickout": "22 mm",
           "fluteLength": "16 mm"%s},
         "material": "mild steel",
         "engagement": {"direction": "down", "radial": "%s", "axial": "%s"},
         "speed": "18000 rpm", "feedPerTooth": "0.03 mm",
         "dynamics": {"tool": {
           "x": {"modes": [
             {"frequency": "1240 Hz", "damping": "1.6 %%", "stiffness": "2.1e6 N/m"},
             {"frequency": "2300 Hz", "damping": "1.2 %%", "stiffness": "6e6 N/m"}]},
           "y": {"modes": [
             {"frequency": "1180 Hz", "damping": "1.9 %%", "stiffness": "1.8e6 N/m"},
             {"frequency": "2420 Hz", "damping": "1.3 %%", "stiffness": "7e6 N/m"}]}}}}
        """
        .formatted(pitch.isEmpty() ? "" : ", \"pitch\": [" + pitch + "]", radial, axial);
  }
}

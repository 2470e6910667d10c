package ringtrue.ui.cut;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.json.JsonMapper;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import ringtrue.dynamics.Progress;
import ringtrue.library.CutCopy;
import ringtrue.library.SafeFile;
import ringtrue.library.SetUpLibrary;
import ringtrue.ui.desk.Tasks;
import ringtrue.ui.job.CutDraft;
import ringtrue.ui.job.Direction;
import ringtrue.ui.job.Job;
import ringtrue.ui.job.JobFolder;
import ringtrue.ui.job.Measured;
import ringtrue.ui.job.TappedWith;
import ringtrue.ui.job.ToolWords;
import ringtrue.units.BadInputException;

/** Cut files, saved and opened with what they name; all of it away from the event thread. */
final class CutFiles {
  private static final JsonMapper JSON = new JsonMapper();
  private static final String CUT = "cut.json";
  private static final String MEASUREMENT = "measurement";
  private static final String RESPONSE = "frf";

  private CutFiles() {}

  /**
   * A cut file as it comes into a job.
   *
   * @param draft the cut, without the directions that were tapped; responses stay in it as they
   *     were measured
   * @param measured directions of the job
   * @param describes whether the file says anything of dynamics
   */
  record Opened(CutDraft draft, List<Measured> measured, boolean describes) {

    /** The job with it: what the file measures takes the place of what the job had. */
    Job in(Job job) {
      Job changed = ToolWords.with(job, draft);
      if (describes) {
        for (Measured old : job.measured()) {
          changed = changed.without(old.direction());
        }
      }
      for (Measured each : measured) {
        changed = changed.with(each.with(TappedWith.ofCut(changed)));
      }
      return describes && measured.isEmpty() ? changed.withSimulated(false) : changed;
    }

    /** The measured directions of a job that it takes the place of, for people; may be empty. */
    String replaces(Job job) {
      return describes
          ? String.join(" and ", job.measured().stream().map(m -> m.direction().words()).toList())
          : "";
    }
  }

  /**
   * Writes a cut file, and beside it what it names, each name beginning with that of the file.
   *
   * @param folder the job's folder
   * @param text writes the job's cut as text; files that it names lie in the job's folder
   * @param target where to
   * @param overwrite whether files of these names may be replaced
   */
  static Path save(
      JobFolder folder, Tasks.Work<String> text, Path target, boolean overwrite, Progress progress)
      throws Exception {
    SafeFile.refuseExisting(target, overwrite);
    Path own = folder.file(CUT);
    SafeFile.writeText(own, true, text.run(progress));
    String name = target.getFileName().toString().replaceFirst("(?i)\\.json$", "");
    CutCopy copy = CutCopy.of(own, name + "-");
    copy.into(target.toAbsolutePath().getParent(), new Copier(overwrite));
    SafeFile.writeText(target, overwrite, copy.text());
    return target;
  }

  /**
   * Reads a cut file and copies what it names into the job's folder.
   *
   * @throws BadInputException if it cannot be read, or a file that it names is not there
   */
  static Opened open(Path file, JobFolder folder, Progress progress) throws IOException {
    progress.at(0.1, "reading " + file.getFileName());
    String prefix = "";
    for (int i = 2; taken(folder, prefix); i++) {
      prefix = "opened-" + i + "-";
    }
    CutCopy copy = CutCopy.of(file, prefix + "cut-");
    progress.at(0.3, "copying what it names");
    copy.into(folder.path(), new Copier(false));
    ObjectNode root = tree(copy.text());
    List<Measured> measured = new ArrayList<>();
    boolean describes = root.has("dynamics");
    for (Direction.Part part : Direction.Part.values()) {
      JsonNode directions = root.path("dynamics").path(part.word());
      if (directions instanceof ObjectNode all) {
        for (String axis : List.of("x", "y")) {
          measured(all.path(axis), new Direction(part, axis), file)
              .ifPresent(
                  m -> {
                    measured.add(m);
                    if (m.kind() != Measured.Kind.RESPONSE) {
                      all.remove(axis);
                    }
                  });
        }
        if (all.isEmpty()) {
          ((ObjectNode) root.get("dynamics")).remove(part.word());
        }
      }
    }
    if (root.path("dynamics") instanceof ObjectNode dynamics && dynamics.isEmpty()) {
      root.remove("dynamics");
    }
    return new Opened(new CutDraft(root.toString()), measured, describes);
  }

  /** A cut file's text as a draft that says nothing of dynamics. */
  static CutDraft withoutDynamics(String text) {
    ObjectNode root = tree(text);
    root.remove("dynamics");
    return new CutDraft(root.toString());
  }

  private static boolean taken(JobFolder folder, String prefix) throws IOException {
    try (var all = Files.newDirectoryStream(folder.path(), prefix + "cut-*")) {
      return all.iterator().hasNext();
    }
  }

  /** A direction that is nothing but a measurement or a response; others stay in the cut. */
  private static Optional<Measured> measured(JsonNode axis, Direction direction, Path from) {
    if (axis.size() != 1) {
      return Optional.empty();
    }
    String input = "from " + from.getFileName();
    if (axis.path(MEASUREMENT).isTextual()) {
      return Optional.of(
          Measured.of(direction, Measured.Kind.TAPS, axis.path(MEASUREMENT).asText(), input));
    }
    if (axis.path(RESPONSE).isTextual()) {
      return Optional.of(
          Measured.of(direction, Measured.Kind.RESPONSE, axis.path(RESPONSE).asText(), input));
    }
    return Optional.empty();
  }

  private static ObjectNode tree(String text) {
    try {
      if (JSON.readTree(text) instanceof ObjectNode object) {
        return object;
      }
    } catch (JsonProcessingException e) {
      throw new BadInputException("the cut cannot be read: it is no JSON", e);
    }
    throw new BadInputException("a cut must be one JSON object");
  }

  /** Copies files where none stands yet, or where they may be replaced. */
  private record Copier(boolean overwrite) implements SetUpLibrary.Filer {
    @Override
    public void write(Path file, String text) {
      refuse(file);
      SafeFile.writeText(file, overwrite, text);
    }

    @Override
    public void copy(Path from, Path to) throws IOException {
      if (!Files.isReadable(from)) {
        throw new BadInputException(
            from.getFileName() + ": is named by the cut, but cannot be read there");
      }
      refuse(to);
      SafeFile.write(to, overwrite, out -> Files.copy(from, out));
    }

    private void refuse(Path file) {
      if (!overwrite && Files.exists(file)) {
        throw new BadInputException(
            file + ": is there already and belongs to another cut; choose another name");
      }
    }

    @Override
    public Path folder(Path in, String name) throws IOException {
      return Files.createDirectories(in.resolve(name));
    }
  }
}

package ringtrue.ui.tapping;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.json.JsonMapper;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.math.BigDecimal;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.CancellationException;
import ringtrue.acquisition.Recording;
import ringtrue.acquisition.WavRecording;
import ringtrue.dynamics.Progress;
import ringtrue.library.Dataset58;
import ringtrue.library.Measurement;
import ringtrue.library.MeasurementFile;
import ringtrue.library.ResponseFile;
import ringtrue.library.SafeFile;
import ringtrue.signal.ResponseEstimator;
import ringtrue.ui.job.Direction;
import ringtrue.ui.job.JobFolder;
import ringtrue.ui.job.Measured;
import ringtrue.units.BadInputException;

/** Brings recordings from elsewhere into a job's folder; away from the event thread. */
final class TapImport {
  private static final JsonMapper JSON = new JsonMapper();
  private static final int CHUNK = 1 << 20;
  private static final int LONGEST = 80;

  /** What a file is. */
  enum What {
    MEASUREMENT,
    WAV,
    TEXT,
    RESPONSE
  }

  /**
   * What is known of a file before it is taken.
   *
   * @param about one sentence for people
   * @param direction the one that its name or what it says speaks of; empty if neither does
   * @param with recordings that come with it
   */
  record Looked(
      Path file, What what, String about, Optional<Direction> direction, List<Path> with) {}

  private TapImport() {}

  /** Looks at a file's beginning. */
  static Looked look(Path file, What what) throws IOException {
    String name = String.valueOf(file.getFileName());
    String hints = name;
    String about = "";
    List<Path> with = List.of();
    switch (what) {
      case WAV -> {
        Recording r = WavRecording.open(file, name);
        about =
            String.format(
                Locale.ROOT,
                "%d %s, %s kHz, %.3g s.",
                r.channels(),
                r.channels() == 1 ? "channel" : "channels",
                BigDecimal.valueOf(r.sampleRateHz() / 1000).stripTrailingZeros().toPlainString(),
                r.frames() / r.sampleRateHz());
      }
      case MEASUREMENT -> {
        Measurement m = MeasurementFile.read(file);
        with = recordings(file);
        hints = m.recording().point() + " " + name + " axis-" + m.recording().axis();
        about =
            String.format(
                Locale.ROOT,
                "%s; %d %s.",
                m.recording().name(),
                m.recording().recordings().size(),
                m.recording().recordings().size() == 1 ? "recording" : "recordings");
      }
      case RESPONSE -> {
        int lines = ResponseFile.read(file, Dataset58.Wanted.ONLY).lines();
        about = String.format(Locale.ROOT, "A frequency response with %d lines.", lines);
      }
      case TEXT -> about = "Text in columns. It begins: " + beginning(file);
    }
    return new Looked(file, what, about, guess(hints), with);
  }

  /** The first line that is no remark, so that columns can be told. */
  private static String beginning(Path file) throws IOException {
    try (BufferedReader in = Files.newBufferedReader(file, StandardCharsets.ISO_8859_1)) {
      for (String line = in.readLine(); line != null; line = in.readLine()) {
        String said = line.strip();
        if (!said.isEmpty() && !said.startsWith("#")) {
          return said.length() > LONGEST ? said.substring(0, LONGEST) + "..." : said;
        }
      }
      throw new BadInputException(file.getFileName() + ": holds no numbers");
    }
  }

  private static List<Path> recordings(Path file) throws IOException {
    List<Path> all = new ArrayList<>();
    for (JsonNode each : JSON.readTree(Files.readString(file)).findValues("recordings")) {
      each.forEach(r -> all.add(file.toAbsolutePath().resolveSibling(r.asText()).normalize()));
    }
    return all;
  }

  /** What a name seems to say; empty if it says nothing of a direction. */
  static Optional<Direction> guess(String hints) {
    String h = hints.toLowerCase(Locale.ROOT);
    boolean work = h.contains("work") || h.contains("bracket") || h.contains("part");
    boolean y = h.contains("axis-y") || !h.contains("axis-x") && h.matches(".*[-_ ]y([-_ .].*)?");
    boolean x = h.contains("axis-x") || h.matches(".*[-_ ]x([-_ .].*)?");
    return work || x || y || h.contains("tool")
        ? Optional.of(
            new Direction(work ? Direction.Part.WORKPIECE : Direction.Part.TOOL, y ? "y" : "x"))
        : Optional.empty();
  }

  /**
   * Copies a recording into the folder.
   *
   * @return its name there
   */
  static String copy(Path from, What what, JobFolder into, Direction direction, Progress progress)
      throws IOException {
    String ending = what == What.WAV ? ".wav" : ending(from); // whatever it is called there
    String name = into.freeName(direction.key(), ending, ".json") + ending;
    copy(from, into.file(name), progress, 0, 1);
    return name;
  }

  private static String ending(Path file) {
    String name = String.valueOf(file.getFileName()).toLowerCase(Locale.ROOT);
    int dot = name.lastIndexOf('.');
    return dot < 0 ? ".txt" : name.substring(dot);
  }

  private static void copy(Path from, Path to, Progress progress, double begin, double end)
      throws IOException {
    if (!Files.isReadable(from)) {
      throw new BadInputException(
          from.getFileName() + ": cannot be read; is it still there, and may you read it?");
    }
    long all = Math.max(1, Files.size(from));
    long done = 0;
    byte[] part = new byte[CHUNK];
    try (InputStream in = Files.newInputStream(from);
        OutputStream out = Files.newOutputStream(to)) {
      for (int n = in.read(part); n >= 0; n = in.read(part)) {
        out.write(part, 0, n);
        done += n;
        progress.at(begin + (end - begin) * done / all, "copying " + from.getFileName());
      }
    } catch (IOException e) {
      Files.deleteIfExists(to);
      throw new BadInputException(
          from.getFileName() + ": cannot be copied into the job's folder: " + e.getMessage(), e);
    } catch (CancellationException e) {
      Files.deleteIfExists(to);
      throw e;
    }
  }

  /**
   * Takes a recording that lies in the folder with what the user says of it.
   *
   * @param recording its name there
   * @throws BadInputException if what was said cannot be; its place stands in front
   */
  static Measured described(
      JobFolder folder,
      String recording,
      String source,
      Direction direction,
      SensorDraft draft,
      boolean text,
      Progress progress)
      throws IOException {
    String name = recording.substring(0, recording.lastIndexOf('.')) + ".json";
    Path json = folder.file(name);
    ObjectNode all = (ObjectNode) JSON.readTree(draft.measurement(direction, text));
    all.putArray("recordings").add(recording);
    SafeFile.writeText(json, true, all.toPrettyString());
    try {
      Measurement read = MeasurementFile.read(json);
      if (read.recording().force().isPresent()) {
        ResponseEstimator.estimateTaps(read.recording(), read.processing(), progress);
      }
    } catch (BadInputException | CancellationException e) {
      Files.deleteIfExists(json);
      throw e;
    }
    return Measured.of(direction, Measured.Kind.TAPS, name, source);
  }

  /** Takes a measurement file with all its recordings. */
  static Measured measurement(Path file, JobFolder folder, Direction direction, Progress progress)
      throws IOException {
    MeasurementFile.read(file); // complains before anything is copied
    if (!(JSON.readTree(Files.readString(file)) instanceof ObjectNode all)) {
      throw new BadInputException(file.getFileName() + ": must hold one JSON object");
    }
    String base = folder.freeName(direction.key(), ".json", ".wav", ".csv");
    Map<Path, String> names = new LinkedHashMap<>();
    rename(all, file, base, names);
    if (all.get("addedMass") instanceof ObjectNode added) {
      rename(added, file, base, names);
    }
    int i = 0;
    for (Map.Entry<Path, String> each : names.entrySet()) {
      double begin = (double) i++ / names.size();
      copy(
          each.getKey(), folder.file(each.getValue()), progress, begin, begin + 1.0 / names.size());
    }
    Path json = folder.file(base + ".json");
    SafeFile.writeText(json, true, all.toPrettyString());
    MeasurementFile.read(json);
    return Measured.of(
        direction, Measured.Kind.TAPS, base + ".json", String.valueOf(file.getFileName()));
  }

  private static void rename(ObjectNode holder, Path file, String base, Map<Path, String> names) {
    ArrayNode now = JSON.createArrayNode();
    for (JsonNode said : holder.path("recordings")) {
      Path path = file.toAbsolutePath().resolveSibling(said.asText());
      now.add(
          names.computeIfAbsent(
              path, p -> base + (names.isEmpty() ? "" : "-part" + (names.size() + 1)) + ending(p)));
    }
    holder.set("recordings", now);
  }

  /** Takes a frequency response. */
  static Measured response(Path file, JobFolder folder, Direction direction, Progress progress)
      throws IOException {
    ResponseFile.read(file, Dataset58.Wanted.ONLY);
    String ending = ending(file);
    String name = folder.freeName(direction.key() + "-response", ending) + ending;
    copy(file, folder.file(name), progress, 0, 1);
    return Measured.of(direction, Measured.Kind.RESPONSE, name, String.valueOf(file.getFileName()));
  }
}

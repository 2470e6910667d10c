package ringtrue.ui.setups;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.json.JsonMapper;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeSet;
import ringtrue.library.SafeFile;
import ringtrue.library.SetUp;
import ringtrue.ui.job.Direction;
import ringtrue.ui.job.Direction.Part;
import ringtrue.ui.job.Job;
import ringtrue.ui.job.Measured;
import ringtrue.units.BadInputException;

/**
 * What of a job is in the library already; the file {@code saved.json} in the job's folder, format
 * {@code ringtrue-job-saved/1}. Undo does not touch it: what was saved stays saved.
 *
 * @param setUps the saved descriptions as they were written last
 * @param entries the saved measurements, the last of each direction
 * @param at when it was saved last; empty if never by this job
 */
record SaveLog(Map<Part, SetUp> setUps, List<Entry> entries, Optional<Instant> at) {
  static final SaveLog NOTHING = new SaveLog(Map.of(), List.of(), Optional.empty());

  private static final String NAME = "saved.json";
  private static final String FORMAT = "ringtrue-job-saved/1";
  private static final JsonMapper JSON = new JsonMapper();

  /**
   * A saved measurement.
   *
   * @param direction what was tapped
   * @param setUp id of the set-up
   * @param measurement its id there
   * @param file the job's file that it came from
   * @param state file and decisions, to be told from later ones
   * @param date when it was measured
   */
  record Entry(
      Direction direction,
      String setUp,
      String measurement,
      String file,
      String state,
      Instant date) {}

  SaveLog {
    EnumMap<Part, SetUp> copy = new EnumMap<>(Part.class);
    copy.putAll(setUps);
    setUps = java.util.Collections.unmodifiableMap(copy);
    entries = List.copyOf(entries);
  }

  /** File and decisions of a direction in one line. */
  static String state(Measured m) {
    return m.file()
        + " "
        + m.edition()
        + " "
        + new TreeSet<>(m.setAside())
        + " "
        + new TreeSet<>(m.kept())
        + " "
        + m.fit();
  }

  Optional<Entry> entry(Direction direction) {
    return entries.stream().filter(e -> e.direction().equals(direction)).findFirst();
  }

  /** Whether a direction is saved as it is now. */
  boolean holds(Measured m) {
    return m.kind() == Measured.Kind.SAVED
        || entry(m.direction()).map(e -> e.state().equals(state(m))).orElse(false);
  }

  /** Directions that are not saved as they are now. */
  List<Measured> unsaved(Job job) {
    return job.measured().stream().filter(m -> !holds(m)).toList();
  }

  /** Whether something is said otherwise than it was saved. */
  boolean saidOtherwise(Job job) {
    return Parts.of(job).stream()
        .anyMatch(p -> !setUps.containsKey(p) || !setUps.get(p).said().equals(Parts.said(job, p)));
  }

  /** Whether nothing of the job would be lost without its folder. */
  boolean holds(Job job) {
    return !setUps.isEmpty() && unsaved(job).isEmpty() && !saidOtherwise(job);
  }

  SaveLog with(Part part, SetUp setUp) {
    EnumMap<Part, SetUp> all = new EnumMap<>(Part.class);
    all.putAll(setUps);
    all.put(part, setUp);
    return new SaveLog(all, entries, at);
  }

  SaveLog with(Entry entry) {
    List<Entry> all = new ArrayList<>(entries);
    all.removeIf(e -> e.direction().equals(entry.direction()));
    all.add(entry);
    return new SaveLog(setUps, all, at);
  }

  SaveLog at(Instant when) {
    return new SaveLog(setUps, entries, Optional.of(when));
  }

  /** Writes it into a job's folder. */
  void write(Path folder) {
    ObjectNode root = JSON.createObjectNode().put("format", FORMAT);
    at.ifPresent(t -> root.put("at", t.toString()));
    ObjectNode described = root.putObject("setUps");
    setUps.forEach(
        (part, s) -> {
          ObjectNode one = described.putObject(part.word());
          one.put("id", s.id()).put("revision", s.revision());
          one.put("created", s.created().toString()).put("changed", s.changed().toString());
          ObjectNode said = one.putObject("said");
          s.said().forEach((field, text) -> said.put(field.json(), text));
        });
    ArrayNode all = root.putArray("measurements");
    for (Entry e : entries) {
      all.addObject()
          .put("direction", e.direction().key())
          .put("setUp", e.setUp())
          .put("measurement", e.measurement())
          .put("file", e.file())
          .put("state", e.state())
          .put("date", e.date().toString());
    }
    SafeFile.writeText(folder.resolve(NAME), true, root.toPrettyString());
  }

  /**
   * Reads it from a job's folder.
   *
   * @throws BadInputException if it is there and cannot be used
   */
  static SaveLog read(Path folder) {
    Path file = folder.resolve(NAME);
    if (!Files.exists(file)) {
      return NOTHING;
    }
    try {
      JsonNode root = JSON.readTree(Files.readString(file));
      if (!root.path("format").asText().equals(FORMAT)) {
        throw new BadInputException(NAME + ": its format must be " + FORMAT);
      }
      SaveLog log = NOTHING;
      for (Part part : Part.values()) {
        JsonNode one = root.path("setUps").path(part.word());
        if (one.isObject()) {
          log = log.with(part, setUp(one));
        }
      }
      for (JsonNode e : root.path("measurements")) {
        log =
            log.with(
                new Entry(
                    Direction.of(e.path("direction").asText()),
                    e.path("setUp").asText(),
                    e.path("measurement").asText(),
                    e.path("file").asText(),
                    e.path("state").asText(),
                    Instant.parse(e.path("date").asText())));
      }
      return root.has("at") ? log.at(Instant.parse(root.path("at").asText())) : log;
    } catch (JsonProcessingException | java.time.DateTimeException e) {
      throw new BadInputException(NAME + ": cannot be read", e);
    } catch (IOException e) {
      throw new BadInputException(NAME + ": cannot be read: " + e.getMessage(), e);
    }
  }

  private static SetUp setUp(JsonNode one) {
    Map<SetUp.Field, String> said = new EnumMap<>(SetUp.Field.class);
    for (SetUp.Field field : SetUp.Field.values()) {
      said.put(field, one.path("said").path(field.json()).asText(""));
    }
    return new SetUp(
        one.path("id").asText(),
        one.path("revision").asInt(),
        Instant.parse(one.path("created").asText()),
        Instant.parse(one.path("changed").asText()),
        said);
  }
}

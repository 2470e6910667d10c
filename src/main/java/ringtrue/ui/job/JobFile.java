package ringtrue.ui.job;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.json.JsonMapper;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import ringtrue.fitting.FitSettings;
import ringtrue.library.SetUp;
import ringtrue.units.BadInputException;

/** A job as text, format {@code ringtrue-job/1}. */
public final class JobFile {
  private static final String FORMAT = "ringtrue-job/1";
  private static final JsonMapper JSON = new JsonMapper();

  private JobFile() {}

  /** As text. */
  public static String toText(Job job) {
    ObjectNode root = JSON.createObjectNode().put("format", FORMAT);
    ObjectNode setUp = root.putObject("setUp");
    job.setUp().forEach((field, text) -> setUp.put(field.json(), text));
    job.savedId().ifPresent(id -> root.put("saved", id));
    root.put("simulated", job.simulated());
    ArrayNode measured = root.putArray("measured");
    for (Measured m : job.measured()) {
      ObjectNode one = measured.addObject();
      one.put("direction", m.direction().key());
      one.put("kind", m.kind().name());
      one.put("file", m.file());
      one.put("input", m.input());
      one.put("edition", m.edition());
      numbers(one.putArray("setAside"), m.setAside());
      numbers(one.putArray("kept"), m.kept());
      FitSettings fit = m.fit();
      fit.bandLowHz().ifPresent(hz -> one.put("bandLowHz", hz));
      fit.bandHighHz().ifPresent(hz -> one.put("bandHighHz", hz));
      fit.count().ifPresent(n -> one.put("count", n));
      ArrayNode picks = one.putArray("picksHz");
      fit.picksHz().forEach(picks::add);
      if (m.asked() > 0) {
        one.put("asked", m.asked());
      }
      m.with()
          .ifPresent(
              tool -> {
                ObjectNode said = one.putObject("tappedWith");
                tool.said().forEach((field, text) -> said.put(field.json(), text));
              });
    }
    root.set("cut", tree(job.cut().json()));
    return root.toPrettyString();
  }

  private static void numbers(ArrayNode into, Set<Integer> numbers) {
    new TreeSet<>(numbers).forEach(into::add);
  }

  private static JsonNode tree(String text) {
    try {
      return JSON.readTree(text);
    } catch (JsonProcessingException e) {
      throw new BadInputException("the job cannot be read: it is no JSON", e);
    }
  }

  /**
   * From text.
   *
   * @throws BadInputException if it is none of these files, or a newer one
   */
  public static Job ofText(String text) {
    JsonNode root = tree(text);
    if (!root.path("format").asText().equals(FORMAT)) {
      throw new BadInputException(
          "the job's format must be " + FORMAT + ", is \"" + root.path("format").asText() + "\"");
    }
    Map<SetUp.Field, String> setUp = new EnumMap<>(SetUp.Field.class);
    for (SetUp.Field field : SetUp.Field.values()) {
      setUp.put(field, root.path("setUp").path(field.json()).asText(""));
    }
    List<Measured> measured = new ArrayList<>();
    for (JsonNode one : root.path("measured")) {
      measured.add(measured(one));
    }
    return new Job(
        setUp,
        root.has("saved") ? Optional.of(root.get("saved").asText()) : Optional.empty(),
        measured,
        root.path("cut").isObject() ? new CutDraft(root.get("cut").toString()) : CutDraft.NEW,
        root.path("simulated").asBoolean());
  }

  private static Measured measured(JsonNode one) {
    Measured.Kind kind;
    try {
      kind = Measured.Kind.valueOf(one.path("kind").asText());
    } catch (IllegalArgumentException e) {
      throw new BadInputException("the job holds a measurement of an unknown kind", e);
    }
    List<Double> picks = new ArrayList<>();
    one.path("picksHz").forEach(n -> picks.add(n.asDouble()));
    return new Measured(
        Direction.of(one.path("direction").asText()),
        kind,
        one.path("file").asText(),
        one.path("input").asText(""),
        numbers(one.path("setAside")),
        numbers(one.path("kept")),
        new FitSettings(
            number(one, "bandLowHz"),
            number(one, "bandHighHz"),
            one.has("count") ? Optional.of(one.get("count").asInt()) : Optional.empty(),
            picks),
        one.path("edition").asInt(1),
        one.path("tappedWith").isObject()
            ? Optional.of(tool(one.get("tappedWith")))
            : Optional.empty(),
        Math.max(0, one.path("asked").asInt(0)));
  }

  private static TappedWith tool(JsonNode said) {
    Map<SetUp.Field, String> all = new EnumMap<>(SetUp.Field.class);
    for (SetUp.Field field : TappedWith.FIELDS) {
      all.put(field, said.path(field.json()).asText(""));
    }
    return new TappedWith(all);
  }

  private static Optional<Double> number(JsonNode one, String field) {
    return one.has(field) ? Optional.of(one.get(field).asDouble()) : Optional.empty();
  }

  private static Set<Integer> numbers(JsonNode list) {
    Set<Integer> numbers = new TreeSet<>();
    list.forEach(n -> numbers.add(n.asInt()));
    return numbers;
  }
}

package ringtrue.ui.desk;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.json.JsonMapper;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Objects;
import ringtrue.library.SafeFile;
import ringtrue.report.LengthUnit;

/**
 * What the window remembers from one time to the next: simple texts by name.
 *
 * @param said what is remembered
 */
public record Settings(Map<String, String> said) {
  private static final JsonMapper JSON = new JsonMapper();
  private static final String FILE = "window.json";

  /** Nothing remembered. */
  public static final Settings NONE = new Settings(Map.of());

  public Settings {
    said = Map.copyOf(said);
  }

  /** What is remembered, or else what is given. */
  public String text(String name, String otherwise) {
    return said.getOrDefault(name, otherwise);
  }

  /** A number that is remembered, or else what is given. */
  public double number(String name, double otherwise) {
    try {
      return said.containsKey(name) ? Double.parseDouble(said.get(name)) : otherwise;
    } catch (NumberFormatException e) {
      return otherwise;
    }
  }

  /** Whether something is on. */
  public boolean on(String name, boolean otherwise) {
    return said.containsKey(name) ? said.get(name).equals("true") : otherwise;
  }

  /** The same with something remembered anew. */
  public Settings with(String name, Object value) {
    Map<String, String> all = new LinkedHashMap<>(said);
    all.put(name, Objects.toString(value));
    return new Settings(all);
  }

  /** Lengths in millimetres or inches. */
  public LengthUnit unit() {
    return text("unit", "mm").equals("in") ? LengthUnit.INCH : LengthUnit.MILLIMETRE;
  }

  public Settings withUnit(LengthUnit unit) {
    return with("unit", unit.symbol());
  }

  /** Reads them from a user's folder; what cannot be read is forgotten. */
  public static Settings read(Path home) {
    Map<String, String> all = new LinkedHashMap<>();
    try {
      JsonNode root = JSON.readTree(Files.readString(home.resolve(FILE)));
      for (Map.Entry<String, JsonNode> each : root.properties()) {
        all.put(each.getKey(), each.getValue().asText());
      }
    } catch (IOException e) {
      return NONE; // the first time, or a damaged file that will be written anew
    }
    return new Settings(all);
  }

  /** Writes them to a user's folder. */
  public void write(Path home) {
    ObjectNode root = JSON.createObjectNode();
    said.entrySet().stream()
        .sorted(Map.Entry.comparingByKey())
        .forEach(e -> root.put(e.getKey(), e.getValue()));
    try {
      SafeFile.writeText(
          home.resolve(FILE), true, JSON.writerWithDefaultPrettyPrinter().writeValueAsString(root));
    } catch (JsonProcessingException e) {
      throw new IllegalStateException(e); // texts can always be written
    }
  }
}

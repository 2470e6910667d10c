package ringtrue.library;

import com.fasterxml.jackson.core.JsonFactory;
import com.fasterxml.jackson.core.JsonGenerator;
import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.core.util.DefaultIndenter;
import com.fasterxml.jackson.core.util.DefaultPrettyPrinter;
import com.fasterxml.jackson.core.util.Separators;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.io.StringWriter;
import java.io.UncheckedIOException;
import java.util.List;

/**
 * Writes JSON files that people read and version control compares: one field a line, always in the
 * same order, the same line ends on every system. What is not known is left out.
 */
final class JsonText {
  private final JsonGenerator json;

  private JsonText(JsonGenerator json) {
    this.json = json;
  }

  /** What goes into an object. */
  @FunctionalInterface
  interface Fields {
    void into(JsonText out);
  }

  /** What goes into each object of a list. */
  @FunctionalInterface
  interface Item<T> {
    void into(JsonText out, T item);
  }

  private interface Step {
    void run() throws IOException;
  }

  static String of(String format, Fields fields) {
    StringWriter text = new StringWriter();
    try (JsonGenerator json = new JsonFactory().createGenerator(text)) {
      json.setPrettyPrinter(printer());
      json.writeStartObject();
      json.writeStringField("format", format);
      fields.into(new JsonText(json));
      json.writeEndObject();
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
    return text.append('\n').toString();
  }

  /** A tree that was read, with its fields in the order in which they came. */
  static String pretty(JsonNode tree) {
    try {
      return new ObjectMapper().writer(printer()).writeValueAsString(tree) + "\n";
    } catch (JsonProcessingException e) {
      throw new UncheckedIOException(e);
    }
  }

  private static DefaultPrettyPrinter printer() {
    DefaultIndenter lines = new DefaultIndenter("  ", "\n");
    Separators like =
        Separators.createDefaultInstance().withObjectFieldValueSpacing(Separators.Spacing.AFTER);
    return new DefaultPrettyPrinter(like).withObjectIndenter(lines).withArrayIndenter(lines);
  }

  private JsonText doing(Step step) {
    try {
      step.run();
      return this;
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  /** Text; left out if it is empty. */
  JsonText put(String name, String value) {
    return value.isEmpty() ? this : doing(() -> json.writeStringField(name, value));
  }

  JsonText put(String name, long value) {
    return doing(() -> json.writeNumberField(name, value));
  }

  /** A number, to its last digit; left out if it is not known. */
  JsonText put(String name, double value) {
    return Double.isFinite(value) ? doing(() -> json.writeNumberField(name, value)) : this;
  }

  JsonText object(String name, Fields fields) {
    return doing(
        () -> {
          json.writeObjectFieldStart(name);
          fields.into(this);
          json.writeEndObject();
        });
  }

  JsonText texts(String name, List<String> values) {
    return values.isEmpty()
        ? this
        : doing(
            () -> {
              json.writeArrayFieldStart(name);
              for (String value : values) {
                json.writeString(value);
              }
              json.writeEndArray();
            });
  }

  <T> JsonText objects(String name, List<T> items, Item<T> content) {
    return doing(
        () -> {
          json.writeArrayFieldStart(name);
          for (T item : items) {
            json.writeStartObject();
            content.into(this, item);
            json.writeEndObject();
          }
          json.writeEndArray();
        });
  }
}

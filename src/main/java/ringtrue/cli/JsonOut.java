package ringtrue.cli;

import com.fasterxml.jackson.core.JsonFactory;
import com.fasterxml.jackson.core.JsonGenerator;
import java.io.IOException;
import java.io.StringWriter;
import java.io.UncheckedIOException;
import java.io.Writer;
import java.util.List;
import java.util.function.IntToDoubleFunction;

/** Writes one JSON object; a number that is not known or not finite becomes {@code null}. */
final class JsonOut {
  private final JsonGenerator json;

  private JsonOut(JsonGenerator json) {
    this.json = json;
  }

  /** What goes into an object. */
  @FunctionalInterface
  interface Fields {
    void into(JsonOut out);
  }

  static void write(Writer writer, Fields fields) {
    try {
      JsonGenerator json = new JsonFactory().createGenerator(writer);
      json.disable(JsonGenerator.Feature.AUTO_CLOSE_TARGET);
      JsonOut out = new JsonOut(json);
      json.writeStartObject();
      fields.into(out);
      json.writeEndObject();
      json.writeRaw('\n');
      json.close();
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  static String text(Fields fields) {
    StringWriter writer = new StringWriter();
    write(writer, fields);
    return writer.toString();
  }

  private interface Step {
    void run() throws IOException;
  }

  private JsonOut doing(Step step) {
    try {
      step.run();
      return this;
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  JsonOut put(String name, String value) {
    return doing(() -> json.writeStringField(name, value));
  }

  JsonOut put(String name, boolean value) {
    return doing(() -> json.writeBooleanField(name, value));
  }

  JsonOut put(String name, long value) {
    return doing(() -> json.writeNumberField(name, value));
  }

  JsonOut put(String name, double value) {
    return doing(
        () -> {
          json.writeFieldName(name);
          number(value);
        });
  }

  JsonOut object(String name, Fields fields) {
    return doing(
        () -> {
          json.writeObjectFieldStart(name);
          fields.into(this);
          json.writeEndObject();
        });
  }

  JsonOut texts(String name, List<String> values) {
    return doing(
        () -> {
          json.writeArrayFieldStart(name);
          for (String value : values) {
            json.writeString(value);
          }
          json.writeEndArray();
        });
  }

  JsonOut numbers(String name, int size, IntToDoubleFunction value) {
    return doing(
        () -> {
          json.writeArrayFieldStart(name);
          for (int i = 0; i < size; i++) {
            number(value.applyAsDouble(i));
          }
          json.writeEndArray();
        });
  }

  /** What goes into each object of a list. */
  @FunctionalInterface
  interface Item<T> {
    void into(JsonOut out, T item);
  }

  <T> JsonOut objects(String name, List<T> items, Item<T> content) {
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

  /** A list of lists of pairs, one list for each item. */
  <T> JsonOut pairLists(
      String name, List<T> items, java.util.function.Function<T, List<double[]>> pairs) {
    return doing(
        () -> {
          json.writeArrayFieldStart(name);
          for (T item : items) {
            json.writeStartArray();
            for (double[] pair : pairs.apply(item)) {
              json.writeStartArray();
              number(pair[0]);
              number(pair[1]);
              json.writeEndArray();
            }
            json.writeEndArray();
          }
          json.writeEndArray();
        });
  }

  /** A list of lists of numbers. */
  JsonOut numberLists(String name, List<double[]> rows) {
    return doing(
        () -> {
          json.writeArrayFieldStart(name);
          for (double[] row : rows) {
            json.writeStartArray();
            for (double value : row) {
              number(value);
            }
            json.writeEndArray();
          }
          json.writeEndArray();
        });
  }

  private void number(double value) throws IOException {
    if (Double.isFinite(value)) {
      json.writeNumber(value);
    } else {
      json.writeNull();
    }
  }
}

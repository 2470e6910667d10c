package ringtrue.library;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.json.JsonMapper;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Collection;
import java.util.Optional;
import ringtrue.acquisition.Channel;
import ringtrue.acquisition.ResponseQuantity;
import ringtrue.acquisition.TapRecording;
import ringtrue.signal.Processing;
import ringtrue.units.BadInputException;

/** Writes measurement files, format {@code ringtrue-measurement/1}. */
public final class MeasurementText {
  private static final JsonMapper JSON = new JsonMapper();

  private MeasurementText() {}

  /**
   * A measurement file that describes what an input gives.
   *
   * @param about name, channels and sensor; channels are described with 1 V full scale
   */
  public static String of(TapRecording about) {
    ObjectNode all = JSON.createObjectNode();
    all.put("format", "ringtrue-measurement/1");
    all.put("name", about.name());
    all.put("axis", about.axis());
    all.put("point", about.point());
    about.force().ifPresent(f -> channel(all.putObject("force"), f, "N"));
    ObjectNode response = all.putObject("response");
    channel(response, about.response(), unit(about.quantity()));
    response.put("quantity", about.quantity().word());
    if (about.sensorMassKg() > 0) {
      response.put("sensorMass", about.sensorMassKg() + " kg");
    }
    if (about.skewS() != 0) {
      all.put("channelSkew", seconds(about.skewS()));
    }
    return text(all);
  }

  private static void channel(ObjectNode into, Channel channel, String unit) {
    into.put("channel", channel.number());
    into.put("sensitivity", 1 / channel.unitsPerNumber() + " V/" + unit);
    into.put("fullScale", "1 V");
    into.put("polarity", channel.polarity() > 0 ? "+" : "-");
    if (channel.highPassHz() > 0) {
      into.put("highPass", channel.highPassHz() + " Hz");
    }
  }

  private static String unit(ResponseQuantity quantity) {
    return switch (quantity) {
      case ACCELERATION -> "(m/s^2)";
      case VELOCITY -> "(m/s)";
      case DISPLACEMENT -> "m";
      case SOUND -> "Pa";
    };
  }

  /**
   * The same measurement with another recording and its processing.
   *
   * @param text a measurement file's text
   * @param recording name of the recording, in the same folder
   * @param processing as it was done; empty leaves it to the data
   */
  public static String withRecording(
      String text, String recording, Optional<Processing> processing) {
    ObjectNode all;
    try {
      JsonNode read = JSON.readTree(text);
      if (!(read instanceof ObjectNode object)) {
        throw new BadInputException("a measurement must be one JSON object");
      }
      all = object;
    } catch (JsonProcessingException e) {
      throw new BadInputException("a measurement cannot be read: " + e.getOriginalMessage(), e);
    }
    all.putArray("recordings").add(recording);
    processing.ifPresent(
        p -> {
          JsonNode before = all.get("processing");
          ObjectNode now = all.putObject("processing");
          fill(now, p);
          if (before != null && before.has("usableBand")) {
            now.set("usableBand", before.get("usableBand"));
          }
        });
    return text(all);
  }

  /** Reads a measurement file's text. */
  public static String read(Path file) {
    try {
      return Files.readString(file);
    } catch (IOException e) {
      throw new BadInputException(file + ": cannot be read: " + e.getMessage(), e);
    }
  }

  private static void fill(ObjectNode into, Processing p) {
    p.blockLengthS().ifPresent(v -> into.put("blockLength", seconds(v)));
    p.preTriggerS().ifPresent(v -> into.put("preTrigger", seconds(v)));
    p.forceWindow()
        .ifPresent(
            w -> {
              if (w.isNone()) {
                into.put("forceWindow", "none");
              } else {
                into.putObject("forceWindow")
                    .put("length", seconds(w.lengthS()))
                    .put("taper", seconds(w.taperS()));
              }
            });
    p.responseTimeConstantS()
        .ifPresent(
            t -> {
              if (Double.isInfinite(t)) {
                into.put("responseWindow", "none");
              } else {
                into.putObject("responseWindow").put("timeConstant", seconds(t));
              }
            });
    p.estimator().ifPresent(e -> into.put("estimator", e.word()));
    numbers(into.putArray("rejected"), p.rejected());
    numbers(into.putArray("kept"), p.kept());
    ArrayNode starts = into.putArray("blockStarts");
    p.blockStartsS().forEach(s -> starts.add(seconds(s)));
  }

  private static void numbers(ArrayNode into, Collection<Integer> numbers) {
    numbers.stream().sorted().forEach(into::add);
  }

  /** All digits, so that the same number is read again. */
  private static String seconds(double value) {
    return value + " s";
  }

  private static String text(ObjectNode all) {
    return all.toPrettyString() + "\n";
  }
}

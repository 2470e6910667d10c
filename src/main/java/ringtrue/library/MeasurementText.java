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
import ringtrue.units.Dimension;

/** Writes measurement files, format {@code ringtrue-measurement/1}. */
public final class MeasurementText {
  private static final JsonMapper JSON = new JsonMapper();

  private MeasurementText() {}

  /** A measurement of which nothing is known but a name. */
  public static String named(String name) {
    return text(JSON.createObjectNode().put("format", "ringtrue-measurement/1").put("name", name));
  }

  /**
   * A measurement file that describes what an input gives.
   *
   * @param about name, channels and sensor; channels are described with 1 V full scale
   */
  public static String of(TapRecording about) {
    ObjectNode all = parsed(named(about.name()));
    all.put("axis", about.axis());
    all.put("point", about.point());
    return withSensors(text(all), about);
  }

  /**
   * The same measurement with other sensors.
   *
   * @param text a measurement file's text
   * @param about channels and sensor; channels are described with 1 V full scale
   */
  public static String withSensors(String text, TapRecording about) {
    ObjectNode all = parsed(text);
    all.remove("force");
    about.force().ifPresent(f -> channel(all.putObject("force"), f, "N"));
    ObjectNode response = all.putObject("response");
    channel(response, about.response(), unit(about.quantity()));
    response.put("quantity", about.quantity().word());
    shared(all, response, about.sensorMassKg(), about.skewS());
    return text(all);
  }

  /**
   * The same measurement with the sensors and full scales of an input profile. A polarity that the
   * measurement tells stays, since it says how the sensor sits this time; a calibration that it
   * tells stays as well, and if there is none, what is known of the full scales' errors becomes
   * one.
   *
   * @param text a measurement file's text
   */
  public static String withProfile(String text, InputProfile profile) {
    ObjectNode all = parsed(text);
    JsonNode before = all.deepCopy();
    all.remove("force");
    profile
        .force()
        .ifPresent(
            f -> {
              ObjectNode force = all.putObject("force");
              line(force, f, Dimension.VOLTAGE_PER_FORCE, before.path("force"));
            });
    ObjectNode response = all.putObject("response");
    response.put("quantity", profile.quantity().word());
    line(
        response,
        profile.response(),
        profile.quantity().sensitivityDimension(),
        before.path("response"));
    shared(all, response, profile.sensorMassKg(), profile.skewS());
    double sigma =
        Math.hypot(
            profile.response().fullScaleSigma(),
            profile.force().map(InputProfile.Line::fullScaleSigma).orElse(0.0));
    if (sigma > 0 && !all.has("calibration")) {
      all.putObject("calibration")
          .put("factor", 1)
          .put("sigma", InputProfileFile.text(sigma, Dimension.RATIO));
    }
    return text(all);
  }

  private static void line(
      ObjectNode into, InputProfile.Line line, Dimension sensitivity, JsonNode before) {
    into.put("channel", line.channel());
    into.put("sensitivity", InputProfileFile.text(line.voltsPerUnit(), sensitivity));
    into.put("fullScale", InputProfileFile.text(line.fullScaleV(), Dimension.VOLTAGE));
    if (before.has("polarity")) {
      into.set("polarity", before.get("polarity"));
    } else {
      into.put("polarity", line.polarity() > 0 ? "+" : "-");
    }
    if (line.highPassHz() > 0) {
      into.put("highPass", InputProfileFile.text(line.highPassHz(), Dimension.FREQUENCY));
    }
  }

  private static void shared(ObjectNode all, ObjectNode response, double massKg, double skewS) {
    if (massKg > 0) {
      response.put("sensorMass", InputProfileFile.text(massKg, Dimension.MASS));
    }
    all.remove("channelSkew");
    if (skewS != 0) {
      all.put("channelSkew", seconds(skewS));
    }
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
    ObjectNode all = parsed(text);
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

  private static ObjectNode parsed(String text) {
    try {
      if (JSON.readTree(text) instanceof ObjectNode object) {
        return object;
      }
    } catch (JsonProcessingException e) {
      throw new BadInputException(
          "a measurement cannot be read: " + JsonFields.plainly(e.getOriginalMessage()), e);
    }
    throw new BadInputException("a measurement must be one JSON object");
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

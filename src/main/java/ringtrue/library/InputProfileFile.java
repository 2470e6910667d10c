package ringtrue.library;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.math.BigDecimal;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.NotDirectoryException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.stream.Stream;
import ringtrue.acquisition.ResponseQuantity;
import ringtrue.library.InputProfile.Line;
import ringtrue.units.BadInputException;
import ringtrue.units.Dimension;
import ringtrue.units.Names;

/** Reads and writes input profiles, format {@code ringtrue-input/1}; finds one by its name. */
public final class InputProfileFile {
  private static final String FORMAT = "ringtrue-input";
  private static final List<String> FIELDS =
      List.of(
          "name",
          "device",
          "sampleRate",
          "bits",
          "gain",
          "force",
          "response",
          "channelSkew",
          "notes");
  private static final List<String> FORCE_FIELDS =
      List.of(
          "channel",
          "sensitivity",
          "fullScale",
          "fullScaleFrom",
          "fullScaleSigma",
          "highPass",
          "polarity");
  private static final List<String> RESPONSE_FIELDS = responseFields();
  private static final double LARGEST_SKEW_S = 0.01;
  private static final double LARGEST_SENSOR_KG = 10;

  private InputProfileFile() {}

  private static List<String> responseFields() {
    List<String> fields = new ArrayList<>(FORCE_FIELDS);
    fields.add("quantity");
    fields.add("sensorMass");
    return List.copyOf(fields);
  }

  /**
   * Reads a profile.
   *
   * @throws BadInputException if it cannot be used; names the file and the field
   */
  public static InputProfile read(Path file) {
    JsonFields all = JsonFields.open(file, FORMAT, 1, FIELDS);
    JsonFields response =
        all.requiredObject(
            "response",
            RESPONSE_FIELDS,
            "{\"channel\": 2, \"quantity\": \"acceleration\", \"sensitivity\": \"10.2 mV/g\","
                + " \"fullScale\": \"1.0 V\"}");
    ResponseQuantity quantity =
        response
            .choice("quantity", List.of(ResponseQuantity.values()), ResponseQuantity::word)
            .orElseThrow(() -> response.missing("quantity", "\"acceleration\""));
    double rate = all.requiredPositive("sampleRate", Dimension.FREQUENCY);
    if (rate != Math.rint(rate) || rate > 384_000) {
      throw all.problem(
          "sampleRate", "must be a whole number of Hz up to 384 kHz, like \"96 kHz\"");
    }
    int bits = all.whole("bits", 16, 32).orElse(0);
    if (bits != 0 && bits % 8 != 0) {
      throw all.problem("bits", "must be 16, 24 or 32, is " + bits);
    }
    Optional<Line> force =
        all.object("force", FORCE_FIELDS).map(f -> line(f, Dimension.VOLTAGE_PER_FORCE, rate));
    Line line = line(response, quantity.sensitivityDimension(), rate);
    if (force.isPresent() && force.get().channel() == line.channel()) {
      throw all.problem("response.channel", "force and response cannot be the same channel");
    }
    double skew = all.quantity("channelSkew", Dimension.TIME).orElse(0.0);
    if (Math.abs(skew) > LARGEST_SKEW_S) {
      throw all.problem(
          "channelSkew", skew + " s is no shift between two channels; write it like \"12 us\"");
    }
    double mass = response.notNegative("sensorMass", Dimension.MASS).orElse(0.0);
    if (mass > LARGEST_SENSOR_KG) {
      throw response.problem("sensorMass", mass + " kg is no sensor; write it like \"0.6 g\"");
    }
    return new InputProfile(
        all.requiredText("name", "\"bench box\""),
        all.text("device").orElse(""),
        (int) rate,
        bits,
        all.text("gain").orElse(""),
        force,
        line,
        quantity,
        mass,
        skew,
        all.text("notes").orElse(""));
  }

  private static Line line(JsonFields c, Dimension sensitivity, double rateHz) {
    int number =
        c.whole("channel", 1, 16).orElseThrow(() -> c.missing("channel", "1, counted from 1"));
    double voltsPerUnit = c.requiredPositive("sensitivity", sensitivity);
    double fullScale = c.requiredPositive("fullScale", Dimension.VOLTAGE);
    double units = fullScale / voltsPerUnit;
    if (!(units > 0) || Double.isInfinite(units)) {
      throw c.problem("sensitivity", "full scale divided by sensitivity is out of range");
    }
    String from =
        c.choice("fullScaleFrom", List.of("entered", "measured"), w -> w).orElse("entered");
    double sigma = c.notNegative("fullScaleSigma", Dimension.RATIO).orElse(0.0);
    if (!(sigma < 0.5)) {
      throw c.problem("fullScaleSigma", "must lie between 0 and 50 %; write it like \"0.4 %\"");
    }
    double highPass = c.notNegative("highPass", Dimension.FREQUENCY).orElse(0.0);
    if (highPass > rateHz / 4) {
      throw c.problem(
          "highPass",
          "a corner of " + highPass + " Hz is too high for this rate; write it like \"8 Hz\"");
    }
    String polarity = c.choice("polarity", List.of("+", "-"), p -> p).orElse("+");
    return new Line(
        number,
        voltsPerUnit,
        fullScale,
        from.equals("measured"),
        sigma,
        highPass,
        polarity.equals("-") ? -1 : 1);
  }

  /** Writes a profile; what {@link #read} gives is the same. */
  public static void write(Path file, boolean overwrite, InputProfile profile) {
    ObjectNode all = new ObjectMapper().createObjectNode();
    all.put("format", FORMAT + "/1").put("name", profile.name());
    all.put("device", profile.device());
    all.put("sampleRate", profile.sampleRateHz() + " Hz");
    if (profile.bits() > 0) {
      all.put("bits", profile.bits());
    }
    all.put("gain", profile.gain());
    profile.force().ifPresent(f -> fill(all.putObject("force"), f, Dimension.VOLTAGE_PER_FORCE));
    ObjectNode response = all.putObject("response");
    response.put("quantity", profile.quantity().word());
    fill(response, profile.response(), profile.quantity().sensitivityDimension());
    response.put("sensorMass", text(profile.sensorMassKg(), Dimension.MASS));
    all.put("channelSkew", text(profile.skewS(), Dimension.TIME));
    if (!profile.notes().isEmpty()) {
      all.put("notes", profile.notes());
    }
    try {
      String written =
          new ObjectMapper().writerWithDefaultPrettyPrinter().writeValueAsString(all) + "\n";
      SafeFile.writeText(file, overwrite, written);
    } catch (JsonProcessingException e) {
      throw new IllegalStateException(e);
    }
  }

  private static void fill(ObjectNode object, Line line, Dimension sensitivity) {
    object.put("channel", line.channel());
    object.put("sensitivity", text(line.voltsPerUnit(), sensitivity));
    object.put("fullScale", text(line.fullScaleV(), Dimension.VOLTAGE));
    object.put("fullScaleFrom", line.measured() ? "measured" : "entered");
    object.put("fullScaleSigma", text(line.fullScaleSigma(), Dimension.RATIO));
    object.put("highPass", text(line.highPassHz(), Dimension.FREQUENCY));
    object.put("polarity", line.polarity() > 0 ? "+" : "-");
  }

  static String text(double value, Dimension dimension) {
    String number = value == 0 ? "0" : BigDecimal.valueOf(value).toString();
    return dimension == Dimension.RATIO ? number : number + " " + dimension.siUnit();
  }

  /**
   * A profile of a folder, by its name or its file's name.
   *
   * @throws BadInputException if there is none, with the names of those that there are; or if two
   *     have the same name
   */
  public static InputProfile find(Path folder, String name) {
    return read(locate(folder, name));
  }

  /**
   * The file of a profile of a folder.
   *
   * @see #find
   */
  public static Path locate(Path folder, String name) {
    String wanted = name.trim();
    Path found = null;
    List<String> names = new ArrayList<>();
    for (Path file : filesIn(folder)) {
      String fileName = file.getFileName().toString();
      InputProfile profile;
      try {
        profile = read(file);
      } catch (BadInputException e) {
        if (fileName.equalsIgnoreCase(wanted) || fileName.equalsIgnoreCase(wanted + ".json")) {
          throw e;
        }
        continue; // one that is damaged must not keep the others from being used
      }
      names.add(profile.name());
      if (fileName.equalsIgnoreCase(wanted)
          || fileName.equalsIgnoreCase(wanted + ".json")
          || profile.name().equalsIgnoreCase(wanted)) {
        if (found != null) {
          throw new BadInputException(
              "two input profiles are called \"" + wanted + "\" in " + folder + "; rename one");
        }
        found = file;
      }
    }
    if (found == null) {
      throw new BadInputException(
          "there is no input profile \""
              + wanted
              + "\"; "
              + (names.isEmpty()
                  ? folder + " holds none"
                  : Names.closest(wanted, names).map(n -> "did you mean \"" + n + "\"? ").orElse("")
                      + "there are: "
                      + String.join(", ", names)));
    }
    return found;
  }

  private static List<Path> filesIn(Path folder) {
    try (Stream<Path> files = Files.list(folder)) {
      return files
          .filter(f -> f.getFileName().toString().toLowerCase(Locale.ROOT).endsWith(".json"))
          .sorted()
          .toList();
    } catch (NoSuchFileException | NotDirectoryException e) {
      return List.of();
    } catch (IOException e) {
      throw new BadInputException(folder + ": cannot be listed: " + e.getMessage(), e);
    }
  }
}

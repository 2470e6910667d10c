package ringtrue.library;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.InvalidPathException;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import ringtrue.acquisition.Channel;
import ringtrue.acquisition.Recording;
import ringtrue.acquisition.ResponseQuantity;
import ringtrue.acquisition.TapRecording;
import ringtrue.acquisition.TextRecording;
import ringtrue.acquisition.WavRecording;
import ringtrue.signal.Estimator;
import ringtrue.signal.Processing;
import ringtrue.units.BadInputException;
import ringtrue.units.Dimension;
import ringtrue.units.Quantity;

/** Reads measurement files, format {@code ringtrue-measurement/1}. */
public final class MeasurementFile {
  private static final List<String> FIELDS =
      List.of(
          "name",
          "axis",
          "point",
          "recordings",
          "force",
          "response",
          "columns",
          "sampleRate",
          "channelSkew",
          "processing",
          "addedMass",
          "calibration",
          "notes");
  private static final List<String> FORCE_FIELDS =
      List.of("channel", "sensitivity", "fullScale", "polarity", "highPass");
  private static final List<String> RESPONSE_FIELDS =
      List.of(
          "channel", "quantity", "sensitivity", "fullScale", "polarity", "sensorMass", "highPass");
  private static final List<String> COLUMN_FIELDS =
      List.of("time", "force", "response", "forceUnit", "responseUnit", "timeUnit", "sampleRate");
  private static final List<String> ADDED_FIELDS =
      List.of("recordings", "mass", "massSigma", "rejected");
  private static final List<String> PROCESSING_FIELDS =
      List.of(
          "blockLength",
          "preTrigger",
          "triggerLevel",
          "forceWindow",
          "responseWindow",
          "estimator",
          "rejected",
          "kept",
          "blockStarts",
          "usableBand");
  private static final String EXAMPLE =
      "{\"channel\": 2, \"quantity\": \"acceleration\", \"sensitivity\": \"10.2 mV/g\","
          + " \"fullScale\": \"1.0 V\"}";

  private static final double LEAST_AT_FULL_SCALE = 1e-15;
  private static final double MOST_AT_FULL_SCALE = 1e12;
  private static final double MOST_FACTOR_INVERSE = 1e-4;
  private static final double LARGEST_SKEW_S = 0.01;
  private static final double LARGEST_SENSOR_KG = 10;

  private MeasurementFile() {}

  /**
   * Reads a measurement file and opens its recordings (their headers; samples are read later).
   *
   * @throws BadInputException if the file or a recording cannot be used
   */
  public static Measurement read(Path file) {
    JsonFields all = JsonFields.open(file, "ringtrue-measurement", 1, FIELDS);
    Optional<JsonFields> columns = all.object("columns", COLUMN_FIELDS);
    Optional<JsonFields> force = all.object("force", FORCE_FIELDS);
    Optional<JsonFields> response = all.object("response", RESPONSE_FIELDS);
    boolean text = holdsText(all, file);
    List<Recording> recordings = recordings(all, all, columns, file, text);
    Meaning meaning =
        text
            ? textMeaning(columns.orElseThrow(), force, response)
            : wavMeaning(all, force, response.orElseThrow(() -> all.missing("response", EXAMPLE)));
    checkChannels(all, recordings, meaning.response, "response");
    meaning.force.ifPresent(c -> checkChannels(all, recordings, c, "force"));
    if (meaning.force.isPresent() && meaning.force.get().number() == meaning.response.number()) {
      throw all.problem(
          text ? "columns" : "response.channel",
          "force and response cannot be the same " + (text ? "column" : "channel"));
    }
    Measurement plain = plain(all, baseName(file), recordings, meaning, force, response);
    return new Measurement(
        plain.recording(),
        plain.processing(),
        added(all, columns, file, text, plain.recording(), plain.processing()),
        plain.calibrationFactor(),
        plain.calibrationSigma());
  }

  /**
   * Reads what a measurement file says of sensors, inputs and processing, for a recording that is
   * yet to be made. Recordings that it names are not looked at.
   *
   * @param name what messages call the file
   * @param text what it holds
   * @param input tells name, rate and channels of what will be recorded
   * @throws BadInputException if the file cannot be used, or the input lacks a channel
   */
  public static Measurement readSetUp(String name, String text, Recording input) {
    JsonFields all = JsonFields.ofText(name, text, "ringtrue-measurement", 1, FIELDS);
    if (all.has("columns")) {
      throw all.problem(
          "columns", "is for text files; what is recorded needs sensitivity and full scale");
    }
    Optional<JsonFields> force = all.object("force", FORCE_FIELDS);
    Optional<JsonFields> response = all.object("response", RESPONSE_FIELDS);
    all.object("addedMass", ADDED_FIELDS);
    Meaning meaning =
        wavMeaning(all, force, response.orElseThrow(() -> all.missing("response", EXAMPLE)));
    List<Recording> recordings = List.of(input);
    checkChannels(all, recordings, meaning.response, "response");
    meaning.force.ifPresent(c -> checkChannels(all, recordings, c, "force"));
    if (meaning.force.isPresent() && meaning.force.get().number() == meaning.response.number()) {
      throw all.problem("response.channel", "force and response cannot be the same channel");
    }
    return plain(all, name.replaceAll("\\.json$", ""), recordings, meaning, force, response);
  }

  /**
   * Whether a measurement file names recordings already.
   *
   * @throws BadInputException if it is no measurement file
   */
  public static boolean namesRecordings(Path file) {
    return JsonFields.open(file, "ringtrue-measurement", 1, FIELDS).has("recordings");
  }

  /**
   * How many channels an input must have for what a measurement file says of its sensors.
   *
   * @param name what messages call the file
   * @param text what it holds
   */
  public static int channelsNeeded(String name, String text) {
    JsonFields all = JsonFields.ofText(name, text, "ringtrue-measurement", 1, FIELDS);
    int force = all.object("force", FORCE_FIELDS).map(c -> channel(c)).orElse(1);
    return Math.max(force, all.object("response", RESPONSE_FIELDS).map(c -> channel(c)).orElse(1));
  }

  /** The measurement without what an added mass may bring. */
  private static Measurement plain(
      JsonFields all,
      String ownName,
      List<Recording> recordings,
      Meaning meaning,
      Optional<JsonFields> force,
      Optional<JsonFields> response) {
    Calibration calibration = calibration(all);
    checkSettings(all, recordings.get(0).sampleRateHz(), force, response);
    TapRecording recording =
        new TapRecording(
            all.text("name").orElse(ownName),
            all.text("axis").orElse(""),
            all.text("point").orElse(""),
            recordings,
            meaning.force,
            calibration.on(meaning.response),
            meaning.quantity,
            response.flatMap(r -> r.notNegative("sensorMass", Dimension.MASS)).orElse(0.0),
            all.quantity("channelSkew", Dimension.TIME).orElse(0.0));
    return new Measurement(
        recording, processing(all), Optional.empty(), calibration.factor, calibration.sigma);
  }

  /**
   * Calibration of hammer and sensor as a pair.
   *
   * @param factor what the pair reads where 1 would be right
   * @param sigma relative one-sigma uncertainty
   */
  private record Calibration(double factor, double sigma) {
    Channel on(Channel response) {
      return new Channel(
          response.number(),
          response.unitsPerNumber() / factor,
          response.clipsAtNumber(),
          response.polarity(),
          response.highPassHz());
    }
  }

  private static Calibration calibration(JsonFields all) {
    Optional<JsonFields> given = all.object("calibration", List.of("factor", "sigma"));
    if (given.isEmpty()) {
      return new Calibration(1, 0);
    }
    JsonFields c = given.get();
    double factor = c.number("factor").orElseThrow(() -> c.missing("factor", "1.035"));
    if (!(factor >= MOST_FACTOR_INVERSE && factor <= 1 / MOST_FACTOR_INVERSE)) {
      throw c.problem(
          "factor",
          factor + " is no calibration of a pair that reads nearly right; write it like 1.035");
    }
    double sigma = fraction(c, "sigma").orElse(0.0);
    if (!(sigma >= 0 && sigma < 0.5)) {
      throw c.problem("sigma", "must lie between 0 and 50 %; write it like \"0.4 %\"");
    }
    return new Calibration(factor, sigma);
  }

  /** Refuses numbers that can only be slips of a unit or a power of ten. */
  private static void checkSettings(
      JsonFields all, double rateHz, Optional<JsonFields> force, Optional<JsonFields> response) {
    double skew = all.quantity("channelSkew", Dimension.TIME).orElse(0.0);
    if (Math.abs(skew) > LARGEST_SKEW_S) {
      throw all.problem(
          "channelSkew", skew + " s is no shift between two channels; write it like \"12 us\"");
    }
    double mass = response.flatMap(r -> r.notNegative("sensorMass", Dimension.MASS)).orElse(0.0);
    if (mass > LARGEST_SENSOR_KG) {
      throw response
          .orElseThrow()
          .problem("sensorMass", mass + " kg is no sensor; write it like \"0.6 g\"");
    }
    for (Optional<JsonFields> channel : List.of(force, response)) {
      if (highPass(channel) > rateHz / 4) {
        throw channel
            .orElseThrow()
            .problem(
                "highPass",
                "a corner of "
                    + highPass(channel)
                    + " Hz is too high for "
                    + rateHz
                    + " samples a second; write it like \"8 Hz\"");
      }
    }
  }

  /** What the channels of the recordings hold. */
  private record Meaning(Optional<Channel> force, Channel response, ResponseQuantity quantity) {}

  private static List<Recording> recordings(
      JsonFields all, JsonFields holder, Optional<JsonFields> columns, Path file, boolean text) {
    List<Recording> recordings = new ArrayList<>();
    for (String name : holder.texts("recordings")) {
      Path path = resolve(holder, file, name);
      recordings.add(
          open(
              holder,
              text ? Optional.of(textLayout(all, columns, name)) : Optional.empty(),
              path,
              name));
    }
    return recordings;
  }

  private static Optional<Measurement.Added> added(
      JsonFields all,
      Optional<JsonFields> columns,
      Path file,
      boolean text,
      TapRecording plain,
      Processing processing) {
    Optional<JsonFields> given = all.object("addedMass", ADDED_FIELDS);
    if (given.isEmpty()) {
      return Optional.empty();
    }
    JsonFields added = given.get();
    double mass = added.requiredPositive("mass", Dimension.MASS);
    added.sensible("mass", mass, Dimension.MASS, 1e-6, 1000);
    double sigma = added.notNegative("massSigma", Dimension.MASS).orElse(0.0);
    if (sigma >= mass / 2) {
      throw added.problem("massSigma", "must be well below the mass; write it like \"0.02 g\"");
    }
    if (holdsText(added, file) != text) {
      throw added.problem("recordings", "WAV and text files cannot be mixed in one measurement");
    }
    List<Recording> recordings = recordings(all, added, columns, file, text);
    checkChannels(added, recordings, plain.response(), "recordings");
    TapRecording loaded =
        new TapRecording(
            plain.name() + " with the added mass",
            plain.axis(),
            plain.point(),
            recordings,
            Optional.empty(),
            plain.response(),
            plain.quantity(),
            plain.sensorMassKg(),
            0);
    return Optional.of(
        new Measurement.Added(
            loaded, processing.forOthers(new HashSet<>(added.counts("rejected"))), mass, sigma));
  }

  private static boolean holdsText(JsonFields all, Path file) {
    List<String> names = all.texts("recordings");
    if (names.isEmpty()) {
      throw all.missing("recordings", "[\"taps.wav\"]");
    }
    Set<Boolean> kinds = new HashSet<>();
    for (String name : names) {
      kinds.add(isWav(all, resolve(all, file, name), name));
    }
    if (kinds.size() > 1) {
      throw all.problem("recordings", "WAV and text files cannot be mixed in one measurement");
    }
    return kinds.contains(false);
  }

  private static Meaning textMeaning(
      JsonFields columns, Optional<JsonFields> force, Optional<JsonFields> response) {
    ResponseQuantity quantity = textQuantity(response, columns);
    Channel responseChannel =
        new Channel(
            column(columns, "response"),
            unit(columns, "responseUnit", quantity.dimension()),
            Double.POSITIVE_INFINITY,
            polarity(response),
            highPass(response));
    if (!columns.has("force")) {
      return new Meaning(Optional.empty(), responseChannel, quantity);
    }
    Channel forceChannel =
        new Channel(
            column(columns, "force"),
            unit(columns, "forceUnit", Dimension.FORCE),
            Double.POSITIVE_INFINITY,
            polarity(force),
            highPass(force));
    return new Meaning(Optional.of(forceChannel), responseChannel, quantity);
  }

  private static Meaning wavMeaning(
      JsonFields all, Optional<JsonFields> force, JsonFields response) {
    ResponseQuantity quantity =
        response
            .choice("quantity", List.of(ResponseQuantity.values()), ResponseQuantity::word)
            .orElseThrow(() -> response.missing("quantity", "\"acceleration\""));
    return new Meaning(
        force.map(f -> wavChannel(f, Dimension.VOLTAGE_PER_FORCE, false)),
        wavChannel(response, quantity.sensitivityDimension(), quantity == ResponseQuantity.SOUND),
        quantity);
  }

  private static Path resolve(JsonFields all, Path file, String name) {
    try {
      return file.toAbsolutePath().resolveSibling(name);
    } catch (InvalidPathException e) {
      throw all.problem("recordings", "\"" + name + "\" is not a file name");
    }
  }

  private static boolean isWav(JsonFields all, Path path, String name) {
    if (Files.isDirectory(path)) {
      throw all.problem("recordings", "\"" + name + "\" is a folder, not a recording");
    }
    try (InputStream in = Files.newInputStream(path)) {
      String start = new String(in.readNBytes(4), StandardCharsets.ISO_8859_1);
      return start.equals("RIFF")
          || start.equals("RF64")
          || name.toLowerCase(java.util.Locale.ROOT).endsWith(".wav");
    } catch (NoSuchFileException e) {
      throw all.problem(
          "recordings", "there is no file \"" + name + "\" beside the measurement file");
    } catch (IOException e) {
      throw all.problem("recordings", "\"" + name + "\" cannot be read: " + e.getMessage());
    }
  }

  private static Recording open(
      JsonFields all, Optional<TextRecording.Layout> text, Path path, String name) {
    try {
      return text.isPresent()
          ? TextRecording.open(path, name, text.get())
          : WavRecording.open(path, name);
    } catch (IOException e) {
      throw all.problem("recordings", "\"" + name + "\" cannot be read: " + e.getMessage());
    }
  }

  private static TextRecording.Layout textLayout(
      JsonFields all, Optional<JsonFields> columns, String name) {
    JsonFields c =
        columns.orElseThrow(
            () ->
                all.missing(
                    "columns",
                    "{\"time\": 1, \"force\": 2, \"response\": 3, \"forceUnit\": \"N\","
                        + " \"responseUnit\": \"m/s^2\"} for the text file \""
                        + name
                        + "\""));
    if (c.has("time")) {
      double unit = c.has("timeUnit") ? unit(c, "timeUnit", Dimension.TIME) : 1;
      return TextRecording.Layout.timeIn(column(c, "time")).withTimeUnit(unit);
    }
    Optional<Double> rate = c.positive("sampleRate", Dimension.FREQUENCY);
    if (rate.isEmpty()) {
      rate = all.positive("sampleRate", Dimension.FREQUENCY);
    }
    return TextRecording.Layout.atRate(
        rate.orElseThrow(
            () -> c.missing("time", "1, or \"sampleRate\": \"48 kHz\" for a file without times")));
  }

  private static int column(JsonFields columns, String field) {
    return columns
        .whole(field, 1, 1000)
        .orElseThrow(() -> columns.missing(field, "2, a column counted from 1"));
  }

  private static double unit(JsonFields columns, String field, Dimension dimension) {
    String unit = columns.requiredText(field, '"' + dimension.siUnit() + '"');
    try {
      return Quantity.parseUnit(unit, dimension);
    } catch (BadInputException e) {
      throw columns.problem(field, e.getMessage());
    }
  }

  private static ResponseQuantity textQuantity(Optional<JsonFields> response, JsonFields columns) {
    Optional<ResponseQuantity> said =
        response.flatMap(
            r -> r.choice("quantity", List.of(ResponseQuantity.values()), ResponseQuantity::word));
    if (said.isPresent()) {
      return said.get();
    }
    String unit = columns.requiredText("responseUnit", "\"m/s^2\"");
    for (ResponseQuantity quantity : ResponseQuantity.values()) {
      try {
        Quantity.parseUnit(unit, quantity.dimension());
        return quantity;
      } catch (BadInputException e) {
        // not this one
      }
    }
    throw columns.problem(
        "responseUnit",
        "\""
            + unit
            + "\" is no unit of acceleration, velocity, displacement or sound, such as \"m/s^2\"");
  }

  private static int channel(JsonFields c) {
    return c.whole("channel", 1, 64).orElseThrow(() -> c.missing("channel", "1, counted from 1"));
  }

  private static Channel wavChannel(
      JsonFields c, Dimension sensitivity, boolean sensitivityOptional) {
    int number = channel(c);
    Optional<Double> voltsPerUnit = c.positive("sensitivity", sensitivity);
    if (voltsPerUnit.isEmpty() && !sensitivityOptional) {
      throw c.missing("sensitivity", '"' + sensitivity.example() + '"');
    }
    Optional<Double> fullScale = c.positive("fullScale", Dimension.VOLTAGE);
    if (fullScale.isEmpty() && !sensitivityOptional) {
      throw c.missing("fullScale", "\"1.0 V\", the voltage that gives the largest number");
    }
    double units = fullScale.orElse(1.0) / voltsPerUnit.orElse(1.0);
    if (!(units > LEAST_AT_FULL_SCALE && units < MOST_AT_FULL_SCALE)) {
      throw c.problem(
          "sensitivity",
          "fullScale divided by sensitivity, " + units + " in SI units, is what no sensor reads");
    }
    return new Channel(number, units, 1, polarity(Optional.of(c)), highPass(Optional.of(c)));
  }

  private static int polarity(Optional<JsonFields> channel) {
    return channel
            .flatMap(c -> c.choice("polarity", List.of("+", "-"), p -> p))
            .orElse("+")
            .equals("-")
        ? -1
        : 1;
  }

  private static double highPass(Optional<JsonFields> channel) {
    return channel.flatMap(c -> c.notNegative("highPass", Dimension.FREQUENCY)).orElse(0.0);
  }

  private static void checkChannels(
      JsonFields all, List<Recording> recordings, Channel channel, String what) {
    for (Recording recording : recordings) {
      if (channel.number() > recording.channels()) {
        throw all.problem(
            what,
            "channel "
                + channel.number()
                + " is not in "
                + recording.name()
                + ", which has "
                + recording.channels());
      }
    }
  }

  private static String baseName(Path file) {
    return file.getFileName().toString().replaceAll("\\.json$", "");
  }

  private static Processing processing(JsonFields all) {
    Optional<JsonFields> given = all.object("processing", PROCESSING_FIELDS);
    if (given.isEmpty()) {
      return Processing.AUTOMATIC;
    }
    JsonFields p = given.get();
    Optional<Double> blockLength =
        p.text("blockLength").filter(t -> t.trim().equals("file")).isPresent()
            ? Optional.of(Double.POSITIVE_INFINITY)
            : p.positive("blockLength", Dimension.TIME);
    Optional<Double> preTrigger = p.notNegative("preTrigger", Dimension.TIME);
    if (blockLength.isPresent()
        && preTrigger.isPresent()
        && preTrigger.get() >= blockLength.get()) {
      throw p.problem("preTrigger", "must be shorter than the block");
    }
    Set<Integer> rejected = new HashSet<>(p.counts("rejected"));
    Set<Integer> kept = new HashSet<>(p.counts("kept"));
    for (int tap : kept) {
      if (rejected.contains(tap)) {
        throw p.problem("kept", "tap " + tap + " is in \"rejected\" too");
      }
    }
    Optional<JsonFields> band = p.object("usableBand", List.of("coherence", "forceDrop"));
    return new Processing(
        blockLength,
        preTrigger,
        fraction(p, "triggerLevel"),
        forceWindow(p),
        responseTimeConstant(p),
        responseEndValue(p),
        p.choice("estimator", List.of(Estimator.values()), Estimator::word),
        rejected,
        kept,
        blockStarts(p),
        band.flatMap(b -> fraction(b, "coherence")),
        band.flatMap(MeasurementFile::forceDrop));
  }

  private static List<Double> blockStarts(JsonFields p) {
    if (p.has("blockStarts") && !p.isList("blockStarts")) {
      throw p.problem("blockStarts", "must be a list of times like [\"0.2607 s\"]");
    }
    List<Double> starts = p.quantities("blockStarts", Dimension.TIME);
    for (int i = 0; i < starts.size(); i++) {
      if (starts.get(i) < 0 || i > 0 && !(starts.get(i) > starts.get(i - 1))) {
        throw p.problem("blockStarts[" + i + "]", "times must not be negative and must rise");
      }
    }
    return starts;
  }

  private static Optional<Double> fraction(JsonFields p, String field) {
    Optional<Double> value = p.positive(field, Dimension.RATIO);
    if (value.isPresent() && !(value.get() < 1)) {
      throw p.problem(field, "must lie between 0 and 1, or 0 % and 100 %");
    }
    return value;
  }

  private static Optional<Double> forceDrop(JsonFields band) {
    Optional<String> text = band.text("forceDrop");
    if (text.isEmpty()) {
      return Optional.empty();
    }
    if (!text.get().matches("\\s*\\d{1,3}(\\.\\d+)?\\s*dB\\s*")
        || text.get().matches("[ 0.]*dB\\s*")) {
      throw band.problem(
          "forceDrop", "\"" + text.get() + "\" is not a drop; write it like \"20 dB\"");
    }
    return Optional.of(Double.parseDouble(text.get().replace("dB", "").trim()));
  }

  private static Optional<Processing.ForceWindow> forceWindow(JsonFields p) {
    if (p.isText("forceWindow")) {
      p.choice("forceWindow", List.of("none"), w -> w);
      return Optional.of(Processing.ForceWindow.NONE);
    }
    return p.object("forceWindow", List.of("length", "taper"))
        .map(
            w ->
                new Processing.ForceWindow(
                    w.requiredPositive("length", Dimension.TIME),
                    w.notNegative("taper", Dimension.TIME).orElse(0.0)));
  }

  private static Optional<JsonFields> responseWindow(JsonFields p) {
    Optional<JsonFields> window =
        p.isText("responseWindow")
            ? Optional.empty()
            : p.object("responseWindow", List.of("timeConstant", "endValue"));
    if (window.isPresent() && window.get().has("timeConstant") == window.get().has("endValue")) {
      throw p.problem(
          "responseWindow",
          "give either \"timeConstant\": \"20 ms\" or \"endValue\": \"5 %\", or \"none\"");
    }
    return window;
  }

  private static Optional<Double> responseTimeConstant(JsonFields p) {
    if (p.isText("responseWindow")) {
      p.choice("responseWindow", List.of("none"), w -> w);
      return Optional.of(Double.POSITIVE_INFINITY);
    }
    return responseWindow(p).flatMap(w -> w.positive("timeConstant", Dimension.TIME));
  }

  private static Optional<Double> responseEndValue(JsonFields p) {
    return responseWindow(p).flatMap(w -> fraction(w, "endValue"));
  }
}

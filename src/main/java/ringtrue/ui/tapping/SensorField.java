package ringtrue.ui.tapping;

import java.util.Arrays;
import java.util.Locale;
import java.util.Optional;

/** What has to be said of hammer and sensor, with its place in a measurement file. */
enum SensorField {
  FORCE_CHANNEL("force.channel", "Force: channel", "1", false),
  FORCE_SENSITIVITY("force.sensitivity", "Force: sensitivity", "2.25 mV/N", false),
  FORCE_FULL_SCALE("force.fullScale", "Force: full scale", "1 V", false),
  FORCE_POLARITY("force.polarity", "Force: polarity", "+", false),
  FORCE_COLUMN("columns.force", "Force: column", "2", true),
  FORCE_UNIT("columns.forceUnit", "Force: unit", "N", true),
  RESPONSE_CHANNEL("response.channel", "Response: channel", "2", false),
  QUANTITY("response.quantity", "Response: quantity", "acceleration", false),
  RESPONSE_SENSITIVITY("response.sensitivity", "Response: sensitivity", "10.2 mV/g", false),
  RESPONSE_FULL_SCALE("response.fullScale", "Response: full scale", "1 V", false),
  RESPONSE_COLUMN("columns.response", "Response: column", "3", true),
  RESPONSE_UNIT("columns.responseUnit", "Response: unit", "m/s^2", true),
  RESPONSE_POLARITY("response.polarity", "Response: polarity", "+", false),
  SENSOR_MASS("response.sensorMass", "Sensor mass", "0.6 g", false),
  TIME_COLUMN("columns.time", "Time: column", "1", true),
  TIME_UNIT("columns.timeUnit", "Time: unit", "s", true),
  SAMPLE_RATE("columns.sampleRate", "or sample rate", "48 kHz", true);

  private final String path;
  private final String words;
  private final String example;
  private final boolean text;

  SensorField(String path, String words, String example, boolean text) {
    this.path = path;
    this.words = words;
    this.example = example;
    this.text = text;
  }

  /** Its place in a measurement file. */
  String path() {
    return path;
  }

  String words() {
    return words;
  }

  /** What could be written there. */
  String example() {
    return example;
  }

  /** For the names of components. */
  String key() {
    return "sensor-" + name().toLowerCase(Locale.ROOT).replace('_', '-');
  }

  /** Whether it is said of a recording of that kind. */
  boolean isOf(boolean textFile) {
    boolean both = this == FORCE_POLARITY || this == RESPONSE_POLARITY || this == SENSOR_MASS;
    return both || text == textFile;
  }

  /** Whether it is a whole number in the file. */
  boolean isNumber() {
    return this == FORCE_CHANNEL
        || this == RESPONSE_CHANNEL
        || this == TIME_COLUMN
        || this == FORCE_COLUMN
        || this == RESPONSE_COLUMN;
  }

  /** The field that a complaint is about, where it is about one of them. */
  static Optional<SensorField> of(String complaint) {
    Optional<SensorField> named =
        Arrays.stream(values()).filter(f -> stands(complaint, f.path)).findFirst();
    if (named.isPresent()) {
      return named;
    }
    if (complaint.contains("swapped") || stands(complaint, "force")) {
      return Optional.of(FORCE_CHANNEL);
    }
    if (stands(complaint, "columns")) {
      return Optional.of(RESPONSE_COLUMN);
    }
    return stands(complaint, "response") ? Optional.of(RESPONSE_CHANNEL) : Optional.empty();
  }

  /** The complaint for people, where nothing beside it tells what it is about. */
  static String sentence(String complaint) {
    return of(complaint).map(f -> f.words() + ": " + uncapital(plain(complaint))).orElse(complaint);
  }

  private static String uncapital(String text) {
    return text.isEmpty()
        ? text
        : text.substring(0, 1).toLowerCase(Locale.ROOT) + text.substring(1);
  }

  private static boolean stands(String complaint, String place) {
    return complaint.startsWith(place + ":") || complaint.contains(": " + place + ":");
  }

  /** The complaint without the places in front of it, which its being beside the field tells. */
  static String plain(String complaint) {
    String rest = complaint;
    for (SensorField field : values()) {
      for (String place : new String[] {field.path, field.path.split("\\.")[0]}) {
        int at = rest.indexOf(": " + place + ": ");
        if (at >= 0) {
          rest = rest.substring(at + place.length() + 4);
        } else if (rest.startsWith(place + ": ")) {
          rest = rest.substring(place.length() + 2);
        }
      }
    }
    return rest.startsWith("missing; give something like {") // the file's own words
        ? "Missing; say which columns hold force and response, like 2 and 3"
        : Announcer.capital(rest);
  }
}

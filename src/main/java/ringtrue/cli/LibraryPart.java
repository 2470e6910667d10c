package ringtrue.cli;

import java.nio.file.Path;
import java.time.DateTimeException;
import java.time.Instant;
import java.time.LocalDate;
import java.time.LocalDateTime;
import java.time.LocalTime;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.Locale;
import java.util.Map;
import picocli.CommandLine.Option;
import ringtrue.library.LibraryEntry;
import ringtrue.library.SetUp;
import ringtrue.library.SetUpLibrary;
import ringtrue.library.UserFolder;
import ringtrue.units.BadInputException;

/** What the commands on the library have in common. */
abstract class LibraryPart extends Command {
  private static final ZoneId ZONE = ZoneId.systemDefault();
  private static final DateTimeFormatter MINUTE =
      DateTimeFormatter.ofPattern("yyyy-MM-dd HH:mm", Locale.ROOT).withZone(ZoneId.systemDefault());

  @Option(
      names = "--library",
      paramLabel = "DIR",
      description = "the library's folder (default: library in your data folder)")
  Path libraryFolder;

  SetUpLibrary library() {
    return library(libraryFolder);
  }

  static SetUpLibrary library(Path named) {
    return SetUpLibrary.in(named == null ? UserFolder.library() : named);
  }

  /** A sigma with two digits that count, without an exponent where one can read it so. */
  static String twoDigits(double value) {
    if (!(value > 0) || value < 1e-6) {
      return String.format(Locale.ROOT, "%.2g", value);
    }
    int decimals = Math.max(0, 1 - (int) Math.floor(Math.log10(value)));
    return String.format(Locale.ROOT, "%." + decimals + "f", value);
  }

  static String day(Instant moment) {
    return moment.atZone(ZONE).toLocalDate().toString();
  }

  static String minute(Instant moment) {
    return MINUTE.format(moment);
  }

  /**
   * A day or a moment, in this machine's time unless it says otherwise.
   *
   * @param dayEnd whether a day stands for its end
   */
  static Instant moment(String option, String text, boolean dayEnd) {
    try {
      if (text.matches(".*T.*(Z|[+-]\\d\\d:?\\d\\d)")) {
        return java.time.OffsetDateTime.parse(text).toInstant();
      }
      LocalDateTime local =
          text.contains("T") || text.contains(" ")
              ? LocalDateTime.parse(text.strip().replace(' ', 'T'))
              : LocalDate.parse(text.strip()).atTime(dayEnd ? LocalTime.MAX : LocalTime.MIN);
      return local.atZone(ZoneId.systemDefault()).toInstant();
    } catch (DateTimeException e) {
      throw new BadInputException(
          option + ": \"" + text + "\" is no date; write it like 2026-03-01 or 2026-03-01T09:30",
          e);
    }
  }

  /** Description of a set-up as JSON fields: text as it was said, lengths in metres beside it. */
  static void describe(JsonOut o, SetUp setUp) {
    o.put("id", setUp.id()).put("title", setUp.title());
    o.put("revision", setUp.revision());
    o.put("created", setUp.created().toString()).put("changed", setUp.changed().toString());
    for (Map.Entry<SetUp.Field, String> said : setUp.said().entrySet()) {
      SetUp.Field field = said.getKey();
      switch (field.kind()) {
        case TEXT -> o.put(field.json(), said.getValue());
        case COUNT -> o.put(field.json(), (long) setUp.number(field));
        case LENGTH -> o.put(field.json() + "M", setUp.number(field));
      }
    }
  }

  static void entry(JsonOut o, LibraryEntry entry) {
    describe(o, entry.setUp());
    o.objects(
        "measurements",
        entry.measured(),
        (m, measured) -> {
          m.put("id", measured.id()).put("date", measured.date().toString());
          m.put("axis", measured.axis()).put("point", measured.point());
          m.put("inputProfile", measured.inputProfile());
          m.numbers(
              "frequencyHz", measured.frequenciesHz().size(), i -> measured.frequenciesHz().get(i));
        });
    o.put("quiet", entry.quiet()).put("chattered", entry.chattered());
    o.texts("problems", entry.problems());
  }

  void warn(Iterable<String> problems) {
    for (String problem : problems) {
      err().println("ringtrue: " + problem);
    }
  }
}

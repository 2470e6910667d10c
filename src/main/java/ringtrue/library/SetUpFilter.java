package ringtrue.library;

import java.time.Instant;
import java.util.EnumMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import ringtrue.library.LibraryEntry.Measured;
import ringtrue.units.BadInputException;
import ringtrue.units.Dimension;
import ringtrue.units.Quantity;

/**
 * Which set-ups of a library are wanted; everything that is given must hold. Texts match anywhere,
 * whatever their case; lengths match within half a per cent. What is asked of measurements must all
 * hold for one and the same measurement.
 *
 * @param said parts of the description
 * @param text words that must all be somewhere in the description, the id or a measurement's point
 *     or profile; empty for any
 * @param axis direction of a measurement; empty for any
 * @param point place of a measurement; empty for any
 * @param inputProfile input profile of a measurement; empty for any
 * @param since measured then or later
 * @param until measured then or earlier
 * @param modeLowHz a mode at or above this, Hz; NaN for any
 * @param modeHighHz and at or below this, Hz; NaN for any
 * @param outcome a cut that did this
 */
public record SetUpFilter(
    Map<SetUp.Field, String> said,
    String text,
    String axis,
    String point,
    String inputProfile,
    Optional<Instant> since,
    Optional<Instant> until,
    double modeLowHz,
    double modeHighHz,
    Optional<Outcome.Result> outcome) {

  /** Everything. */
  public static final SetUpFilter ALL =
      new SetUpFilter(
          Map.of(),
          "",
          "",
          "",
          "",
          Optional.empty(),
          Optional.empty(),
          Double.NaN,
          Double.NaN,
          Optional.empty());

  private static final double SAME_LENGTH = 0.005;

  public SetUpFilter {
    EnumMap<SetUp.Field, String> copy = new EnumMap<>(SetUp.Field.class);
    copy.putAll(said);
    copy.forEach(
        (field, value) -> {
          if (field.kind() == SetUp.Field.Kind.LENGTH) {
            try {
              Quantity.parse(value, Dimension.LENGTH);
            } catch (BadInputException e) {
              throw e.at(field.words());
            }
          }
        });
    said = java.util.Collections.unmodifiableMap(copy);
  }

  /** Whether a set-up is wanted. */
  public boolean accepts(LibraryEntry entry) {
    for (Map.Entry<SetUp.Field, String> wanted : said.entrySet()) {
      if (!matches(entry.setUp(), wanted.getKey(), wanted.getValue())) {
        return false;
      }
    }
    if (outcome.isPresent()
        && (outcome.get() == Outcome.Result.QUIET ? entry.quiet() : entry.chattered()) == 0) {
      return false;
    }
    return hasText(entry) && hasMeasurement(entry);
  }

  private static boolean matches(SetUp setUp, SetUp.Field field, String wanted) {
    return switch (field.kind()) {
      case TEXT -> contains(setUp.text(field), wanted);
      case COUNT -> setUp.text(field).equals(wanted.strip());
      case LENGTH -> {
        double length = Quantity.parse(wanted, Dimension.LENGTH);
        yield Math.abs(setUp.number(field) - length) <= SAME_LENGTH * length;
      }
    };
  }

  private static boolean contains(String text, String part) {
    return text.toLowerCase(Locale.ROOT).contains(part.strip().toLowerCase(Locale.ROOT));
  }

  private boolean hasText(LibraryEntry entry) {
    if (text.isBlank()) {
      return true;
    }
    StringBuilder all = new StringBuilder(entry.setUp().id());
    entry.setUp().said().values().forEach(v -> all.append('\n').append(v));
    for (Measured m : entry.measured()) {
      all.append('\n').append(m.point()).append('\n').append(m.inputProfile());
    }
    String everything = all.toString().toLowerCase(Locale.ROOT);
    for (String word : text.strip().toLowerCase(Locale.ROOT).split("\\s+")) {
      if (!everything.contains(word)) {
        return false;
      }
    }
    return true;
  }

  private boolean hasMeasurement(LibraryEntry entry) {
    boolean any =
        axis.isEmpty()
            && point.isEmpty()
            && inputProfile.isEmpty()
            && since.isEmpty()
            && until.isEmpty()
            && Double.isNaN(modeLowHz)
            && Double.isNaN(modeHighHz);
    return any || entry.measured().stream().anyMatch(this::accepts);
  }

  private boolean accepts(Measured m) {
    return (axis.isEmpty() || m.axis().equalsIgnoreCase(axis))
        && (point.isEmpty() || contains(m.point(), point))
        && (inputProfile.isEmpty() || contains(m.inputProfile(), inputProfile))
        && (since.isEmpty() || !m.date().isBefore(since.get()))
        && (until.isEmpty() || !m.date().isAfter(until.get()))
        && hasMode(m.frequenciesHz());
  }

  private boolean hasMode(List<Double> frequenciesHz) {
    if (Double.isNaN(modeLowHz) && Double.isNaN(modeHighHz)) {
      return true;
    }
    return frequenciesHz.stream().anyMatch(f -> !(f < modeLowHz) && !(f > modeHighHz));
  }
}

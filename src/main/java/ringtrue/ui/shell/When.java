package ringtrue.ui.shell;

import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneId;
import java.time.ZonedDateTime;
import java.time.format.DateTimeFormatter;
import java.util.Locale;

/** Times for people. */
final class When {
  private static final DateTimeFormatter CLOCK =
      DateTimeFormatter.ofPattern("HH:mm:ss", Locale.ROOT);
  private static final DateTimeFormatter SHORT = DateTimeFormatter.ofPattern("HH:mm", Locale.ROOT);
  private static final DateTimeFormatter DAY =
      DateTimeFormatter.ofPattern("d MMM yyyy, HH:mm", Locale.ENGLISH);

  private When() {}

  /** To the second, like {@code 14:03:27}. */
  static String clock(Instant time) {
    return CLOCK.format(time.atZone(ZoneId.systemDefault()));
  }

  /** To the minute, like {@code 14:03}. */
  static String minute(Instant time) {
    return SHORT.format(time.atZone(ZoneId.systemDefault()));
  }

  /** Like {@code today 14:03} or {@code 3 Mar 2026, 14:03}. */
  static String day(Instant time) {
    ZonedDateTime there = time.atZone(ZoneId.systemDefault());
    LocalDate today = LocalDate.now();
    if (there.toLocalDate().equals(today)) {
      return "today " + SHORT.format(there);
    }
    if (there.toLocalDate().equals(today.minusDays(1))) {
      return "yesterday " + SHORT.format(there);
    }
    return DAY.format(there);
  }
}

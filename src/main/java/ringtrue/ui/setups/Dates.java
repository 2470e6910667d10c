package ringtrue.ui.setups;

import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.Locale;

/** Moments in words, in this machine's time. */
final class Dates {
  private static final DateTimeFormatter MINUTE =
      DateTimeFormatter.ofPattern("yyyy-MM-dd HH:mm", Locale.ROOT);
  private static final DateTimeFormatter CLOCK = DateTimeFormatter.ofPattern("HH:mm", Locale.ROOT);

  private Dates() {}

  static String day(Instant moment) {
    return moment.atZone(ZoneId.systemDefault()).toLocalDate().toString();
  }

  static String minute(Instant moment) {
    return MINUTE.format(moment.atZone(ZoneId.systemDefault()));
  }

  /** The time of today, the day before that. */
  static String brief(Instant moment, Instant now) {
    ZoneId zone = ZoneId.systemDefault();
    LocalDate day = moment.atZone(zone).toLocalDate();
    return day.equals(now.atZone(zone).toLocalDate())
        ? CLOCK.format(moment.atZone(zone))
        : day.toString();
  }
}

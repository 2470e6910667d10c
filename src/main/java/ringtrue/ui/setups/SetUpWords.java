package ringtrue.ui.setups;

import java.time.Instant;
import java.util.EnumMap;
import java.util.Map;
import java.util.regex.Pattern;
import ringtrue.library.SetUp;
import ringtrue.library.SetUp.Field;
import ringtrue.report.LengthUnit;
import ringtrue.ui.job.CutDraft;
import ringtrue.ui.job.CutField;
import ringtrue.ui.job.Job;
import ringtrue.ui.job.TappedWith;
import ringtrue.units.BadInputException;

/** What is written into the fields of a set-up. */
final class SetUpWords {
  private static final Pattern NUMBER = Pattern.compile("\\d+([.,]\\d+)?|[.]\\d+|\\d+/\\d+");
  private static final Map<Field, CutField> IN_CUT = new EnumMap<>(Field.class);

  static {
    IN_CUT.put(Field.DIAMETER, CutField.DIAMETER);
    IN_CUT.put(Field.FLUTES, CutField.FLUTES);
    IN_CUT.put(Field.STICKOUT, CutField.STICKOUT);
    IN_CUT.put(Field.FLUTE_LENGTH, CutField.FLUTE_LENGTH);
  }

  private SetUpWords() {}

  /** What was written, with the unit in use behind a bare length. */
  static String read(Field field, String text, LengthUnit unit) {
    String said = text.strip();
    return field.kind() == Field.Kind.LENGTH && NUMBER.matcher(said).matches()
        ? said + " " + unit.symbol()
        : said;
  }

  /** What is wrong with a field, one sentence; empty if nothing is. */
  static String complaint(Field field, String text) {
    if (text.isBlank()) {
      return "";
    }
    Map<Field, String> said = new EnumMap<>(Field.class);
    said.put(Field.NAME, "draft");
    said.put(field, text);
    try {
      SetUp.of("draft", Instant.EPOCH, said);
      return "";
    } catch (BadInputException e) {
      String message = e.getMessage();
      String place = field.json() + ": ";
      return message.startsWith(place) ? message.substring(place.length()) : message;
    }
  }

  /** A job with a field said anew; the cut follows where it said the same or nothing. */
  static Job with(Job job, Field field, String text) {
    String before = job.setUp().getOrDefault(field, "");
    Job after = job.with(field, text);
    CutField inCut = IN_CUT.get(field);
    if (inCut != null) {
      String there = job.cut().text(inCut);
      boolean same = there.equals(before) || TappedWith.same(field, there, before);
      if (same && complaint(field, text).isEmpty()) {
        after = after.with(job.cut().with(inCut, text));
      }
    }
    return after;
  }

  /** The cut with what the set-up tells of its tool. */
  static CutDraft cut(Job job) {
    CutDraft cut = job.cut();
    for (Map.Entry<Field, CutField> each : IN_CUT.entrySet()) {
      if (!cut.has(each.getValue())) {
        cut = cut.with(each.getValue(), job.setUp().getOrDefault(each.getKey(), ""));
      }
    }
    return cut;
  }
}

package ringtrue.ui.job;

import java.util.EnumMap;
import java.util.Map;
import java.util.Optional;
import ringtrue.library.SetUp.Field;

/**
 * The set-up's tool and machine and the cut's are one thing: what is said of one is said of the
 * other, unless the user gave it other words.
 */
public final class ToolWords {
  private static final Map<Field, CutField> IN_CUT = new EnumMap<>(Field.class);

  static {
    IN_CUT.put(Field.MACHINE, CutField.MACHINE);
    IN_CUT.put(Field.DIAMETER, CutField.DIAMETER);
    IN_CUT.put(Field.FLUTES, CutField.FLUTES);
    IN_CUT.put(Field.STICKOUT, CutField.STICKOUT);
    IN_CUT.put(Field.FLUTE_LENGTH, CutField.FLUTE_LENGTH);
  }

  private ToolWords() {}

  /** Where a cut says what a field of the set-up says. */
  static Optional<CutField> inCut(Field field) {
    return Optional.ofNullable(IN_CUT.get(field));
  }

  /**
   * The job with another cut; the set-up follows where it said the same as the cut before, or
   * nothing.
   */
  public static Job with(Job job, CutDraft cut) {
    Job after = job.with(cut);
    for (Map.Entry<Field, CutField> each : IN_CUT.entrySet()) {
      Field field = each.getKey();
      String was = job.cut().text(each.getValue());
      String is = cut.text(each.getValue());
      String here = job.setUp().getOrDefault(field, "");
      boolean lengthOrCount = field.kind() != Field.Kind.TEXT;
      boolean usable =
          !is.isEmpty() && (!lengthOrCount || TappedWith.number(field, is).isPresent());
      boolean slip = lengthOrCount && !was.isEmpty() && TappedWith.number(field, was).isEmpty();
      boolean follows = here.isEmpty() || slip || TappedWith.same(field, here, was);
      if (usable && follows && (here.isEmpty() || !is.equals(was))) {
        after = after.with(field, is);
      }
    }
    return after;
  }
}

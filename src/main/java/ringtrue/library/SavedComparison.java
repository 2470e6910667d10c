package ringtrue.library;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import ringtrue.dynamics.Progress;
import ringtrue.fitting.SetUpComparison;
import ringtrue.fitting.SetUpScatter;

/**
 * Two saved measurements held against each other.
 *
 * @param before the earlier one, or that of the other set-up
 * @param now the later one
 * @param comparison what differs
 * @param remarks what clamping again does by itself, as far as it is known
 */
public record SavedComparison(
    SavedMeasurement before,
    SavedMeasurement now,
    SetUpComparison comparison,
    List<String> remarks) {

  public SavedComparison {
    remarks = List.copyOf(remarks);
  }

  /**
   * Compares. A change counts against the scatter of clamping again, known from the other
   * measurements of the later one's set-up, unless both are of one clamping.
   *
   * @param before the set-up of the earlier measurement
   * @param now the set-up of the later one, perhaps the same
   */
  public static SavedComparison of(
      SavedSetUp before,
      SavedMeasurement earlier,
      SavedSetUp now,
      SavedMeasurement later,
      Progress progress) {
    String axis = later.axis();
    List<SavedMeasurement> known = now.along(axis).stream().filter(m -> !m.equals(later)).toList();
    boolean same = before.folder().equals(now.folder()) && !later.clampedAgain();
    SetUpScatter scatter = same ? SetUpScatter.NONE : SetUpHistory.scatter(known);
    List<String> remarks = new ArrayList<>();
    if (!same) {
      remarks.add(axis + ": " + assumed(scatter));
    }
    return new SavedComparison(
        earlier,
        later,
        SetUpHistory.compare(before, earlier, now, later, scatter, progress),
        remarks);
  }

  /**
   * What a comparison across clampings takes for granted, in words.
   *
   * @param scatter what clamping again does by itself, as far as it is known
   */
  public static String assumed(SetUpScatter scatter) {
    return scatter.equals(SetUpScatter.NONE)
        ? "too few clampings are known to tell what clamping again does by itself; a change may be"
            + " that"
        : String.format(
            Locale.ROOT,
            "clamping again by itself counts as %.2g %% in frequency, %.2g %% in damping and"
                + " %.2g %% in stiffness, from the measurements before",
            100 * scatter.frequency(),
            100 * scatter.damping(),
            100 * scatter.stiffness());
  }

  /** What is said otherwise of two set-ups, one phrase each. */
  public static List<String> differences(SetUp before, SetUp now) {
    List<String> all = new ArrayList<>();
    for (SetUp.Field field : now.differences(before)) {
      String a = before.text(field);
      String b = now.text(field);
      all.add(
          field.words()
              + " "
              + (b.isEmpty() ? "not said" : b)
              + " instead of "
              + (a.isEmpty() ? "not said" : a));
    }
    return all;
  }
}

package ringtrue.ui.setups;

import java.util.Comparator;
import java.util.EnumMap;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import ringtrue.library.LibraryEntry;
import ringtrue.library.NearestSetUps;
import ringtrue.library.SetUp.Field;
import ringtrue.library.SetUpFilter;
import ringtrue.report.LengthUnit;

/** Which saved set-ups are shown, and in which order; away from the event thread. */
final class SavedList {
  private SavedList() {}

  /** Orders. */
  enum Order {
    NEWEST("newest first"),
    NAME("by name"),
    NEAREST("most like this set-up");

    private final String words;

    Order(String words) {
      this.words = words;
    }

    @Override
    public String toString() {
      return words;
    }
  }

  /**
   * What is sought.
   *
   * @param text words that must all be somewhere
   * @param diameter of the tool; empty for any
   * @param flutes of the tool; empty for any
   * @param machine part of its name; empty for any
   * @param order in which order
   */
  record Sought(String text, String diameter, String flutes, String machine, Order order) {

    /**
     * As a filter.
     *
     * @throws ringtrue.units.BadInputException if the diameter is none
     */
    SetUpFilter filter(LengthUnit unit) {
      Map<Field, String> said = new EnumMap<>(Field.class);
      put(said, Field.DIAMETER, SetUpWords.read(Field.DIAMETER, diameter, unit));
      put(said, Field.FLUTES, flutes);
      put(said, Field.MACHINE, machine);
      return new SetUpFilter(
          said,
          text,
          "",
          "",
          "",
          Optional.empty(),
          Optional.empty(),
          Double.NaN,
          Double.NaN,
          Optional.empty());
    }

    private static void put(Map<Field, String> said, Field field, String text) {
      if (!text.isBlank()) {
        said.put(field, text.strip());
      }
    }
  }

  /** Rows that say the same get the time of day; those that still do, a number. */
  private static List<SavedRow> told(List<SavedRow> rows) {
    Map<List<String>, Integer> same = new HashMap<>();
    rows.forEach(r -> same.merge(r.words(), 1, Integer::sum));
    List<SavedRow> timed =
        rows.stream().map(r -> same.get(r.words()) > 1 ? r.withTime() : r).toList();
    Map<List<String>, Integer> seen = new HashMap<>();
    return timed.stream().map(r -> r.numbered(seen.merge(r.words(), 1, Integer::sum))).toList();
  }

  /**
   * @param here what is said of the set-up at hand
   */
  static List<SavedRow> of(
      List<LibraryEntry> all, Sought sought, Map<Field, String> here, LengthUnit unit) {
    SetUpFilter filter = sought.filter(unit);
    List<LibraryEntry> wanted = all.stream().filter(filter::accepts).toList();
    if (sought.order == Order.NEAREST) {
      return NearestSetUps.of(here, wanted).stream()
          .map(
              n ->
                  SavedRow.of(
                      n.entry(),
                      n.differences().isEmpty()
                          ? "nothing that you said differs"
                          : String.join("; ", n.differences())))
          .toList();
    }
    Comparator<SavedRow> order =
        sought.order == Order.NAME
            ? Comparator.comparing(SavedRow::title, String.CASE_INSENSITIVE_ORDER)
            : Comparator.comparing((SavedRow r) -> r.entry().lastDate(), Comparator.reverseOrder());
    return told(wanted.stream().map(e -> SavedRow.of(e, "")).sorted(order).toList());
  }
}

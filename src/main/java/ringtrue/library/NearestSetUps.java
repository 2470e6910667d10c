package ringtrue.library;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.EnumMap;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import ringtrue.library.SetUp.Field;

/**
 * Saved set-ups by how alike they are to a new one. The weights say how much a difference changes
 * the modes at the tip, by judgement: stick-out and diameter act with high powers (a cantilever's
 * frequency goes with diameter over length squared), another machine, holder or tool is another
 * structure, the number of flutes matters little.
 */
public final class NearestSetUps {
  private static final Map<Field, Double> WEIGHTS = new EnumMap<>(Field.class);

  static {
    WEIGHTS.put(Field.MACHINE, 4.0);
    WEIGHTS.put(Field.SPINDLE, 2.0);
    WEIGHTS.put(Field.HOLDER, 3.0);
    WEIGHTS.put(Field.COLLET, 1.0);
    WEIGHTS.put(Field.TIGHTENING, 0.5);
    WEIGHTS.put(Field.TOOL, 1.5);
    WEIGHTS.put(Field.DIAMETER, 2.0);
    WEIGHTS.put(Field.FLUTES, 0.5);
    WEIGHTS.put(Field.STICKOUT, 2.0);
    WEIGHTS.put(Field.FLUTE_LENGTH, 0.5);
    WEIGHTS.put(Field.WORKPIECE, 4.0);
    WEIGHTS.put(Field.FIXTURE, 2.0);
  }

  /** A length that differs by this part counts once its weight. */
  private static final double UNIT_OF_LENGTH = 0.1;

  private static final double MOST = 3;

  private NearestSetUps() {}

  /**
   * A saved set-up beside the new one.
   *
   * @param entry the saved one
   * @param distance 0 where nothing that is said of the new one differs
   * @param differences what differs, in words, the most important first
   */
  public record Near(LibraryEntry entry, double distance, List<String> differences) {
    public Near {
      differences = List.copyOf(differences);
    }
  }

  /**
   * @param wanted what is known of the new one; what is not said of it does not count
   * @param entries the saved ones
   * @return all of them, the nearest first; of equals, the one measured last
   */
  public static List<Near> of(Map<Field, String> wanted, List<LibraryEntry> entries) {
    SetUp sought =
        SetUp.of("sought", java.time.Instant.EPOCH, withName(wanted)); // checks what is said
    return entries.stream()
        .map(e -> near(sought, e))
        .sorted(
            Comparator.comparingDouble(Near::distance)
                .thenComparing(n -> n.entry().lastDate(), Comparator.reverseOrder()))
        .toList();
  }

  private static Map<Field, String> withName(Map<Field, String> wanted) {
    EnumMap<Field, String> all = new EnumMap<>(Field.class);
    all.putAll(wanted);
    all.putIfAbsent(Field.NAME, "sought");
    return all;
  }

  private record Difference(double size, String words) {}

  private static Near near(SetUp sought, LibraryEntry entry) {
    List<Difference> differences = new ArrayList<>();
    WEIGHTS.forEach(
        (field, weight) -> {
          if (!sought.said().containsKey(field)) {
            return;
          }
          double off = weight * off(sought, entry.setUp(), field);
          if (off > 0) {
            differences.add(new Difference(off, words(sought, entry.setUp(), field)));
          }
        });
    differences.sort(Comparator.comparingDouble(Difference::size).reversed());
    return new Near(
        entry,
        differences.stream().mapToDouble(Difference::size).sum(),
        differences.stream().map(Difference::words).toList());
  }

  private static double off(SetUp sought, SetUp saved, Field field) {
    if (!saved.said().containsKey(field)) {
      return 0.5;
    }
    if (field.kind() == Field.Kind.TEXT) {
      return unlike(sought.text(field), saved.text(field));
    }
    double a = sought.number(field);
    double b = saved.number(field);
    return field.kind() == Field.Kind.COUNT
        ? Math.min(MOST, Math.abs(a - b))
        : Math.min(MOST, round(Math.abs(Math.log(a / b))) / UNIT_OF_LENGTH);
  }

  private static double round(double tiny) {
    return tiny < 1e-9 ? 0 : tiny;
  }

  /** 0 for the same words, 1 for none in common. */
  private static double unlike(String a, String b) {
    Set<String> one = words(a);
    Set<String> two = words(b);
    Set<String> both = new HashSet<>(one);
    both.retainAll(two);
    Set<String> all = new HashSet<>(one);
    all.addAll(two);
    return all.isEmpty() ? 0 : 1 - both.size() / (double) all.size();
  }

  private static Set<String> words(String text) {
    return new HashSet<>(List.of(text.toLowerCase(Locale.ROOT).strip().split("[\\s,;]+")));
  }

  private static String words(SetUp sought, SetUp saved, Field field) {
    return saved.said().containsKey(field)
        ? field.words() + " " + saved.text(field) + " instead of " + sought.text(field)
        : field.words() + " not said (" + sought.text(field) + " sought)";
  }
}

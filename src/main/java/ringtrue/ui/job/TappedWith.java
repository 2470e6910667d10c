package ringtrue.ui.job;

import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import ringtrue.library.SetUp;
import ringtrue.library.SetUp.Field;
import ringtrue.units.BadInputException;

/**
 * The tool that was in the spindle when a direction of it was tapped, as far as it was described
 * then. Modes belong to that tool at that stick-out alone.
 *
 * @param said diameter, flutes, stick-out, holder and tool in the words of that time; what nobody
 *     said is missing
 */
public record TappedWith(Map<Field, String> said) {
  /** What of a tool changes its modes, in the order in which it is told. */
  public static final List<Field> FIELDS =
      List.of(Field.DIAMETER, Field.FLUTES, Field.STICKOUT, Field.HOLDER, Field.TOOL);

  /** Those of them that are numbers. */
  public static final List<Field> NUMBERS = List.of(Field.DIAMETER, Field.FLUTES, Field.STICKOUT);

  /** Numbers closer than this are the same, as after a change of units. */
  private static final double ROUNDING = 2e-3;

  public TappedWith {
    EnumMap<Field, String> known = new EnumMap<>(Field.class);
    said.forEach(
        (field, text) -> {
          if (FIELDS.contains(field) && !text.isBlank()) {
            known.put(field, text.strip());
          }
        });
    said = java.util.Collections.unmodifiableMap(known);
  }

  /** The tool of a job: what its set-up says, and its cut where the set-up says nothing. */
  public static TappedWith of(Job job) {
    EnumMap<Field, String> all = new EnumMap<>(Field.class);
    for (Field field : FIELDS) {
      String text = job.setUp().getOrDefault(field, "");
      all.put(
          field, text.isEmpty() ? ToolWords.inCut(field).map(job.cut()::text).orElse("") : text);
    }
    return new TappedWith(all);
  }

  /** The tool that cuts: what the cut says, and the set-up where the cut says nothing. */
  public static TappedWith ofCut(Job job) {
    EnumMap<Field, String> all = new EnumMap<>(Field.class);
    for (Field field : FIELDS) {
      String text = ToolWords.inCut(field).map(job.cut()::text).orElse("");
      all.put(field, text.isEmpty() ? job.setUp().getOrDefault(field, "") : text);
    }
    return new TappedWith(all);
  }

  /** The same with a word that was missing. */
  TappedWith filled(Field field, String text) {
    if (said.containsKey(field) || !FIELDS.contains(field) || text.isBlank()) {
      return this;
    }
    EnumMap<Field, String> more = new EnumMap<>(Field.class);
    more.putAll(said);
    more.put(field, text);
    return new TappedWith(more);
  }

  /** What differs from another tool by more than rounding, where both are known. */
  List<Field> differences(TappedWith other) {
    return FIELDS.stream()
        .filter(f -> said.containsKey(f) && other.said.containsKey(f))
        .filter(f -> !same(f, said.get(f), other.said.get(f)))
        .toList();
  }

  /** Whether two texts say the same of a field. */
  public static boolean same(Field field, String one, String other) {
    if (one.strip().equalsIgnoreCase(other.strip())) {
      return true;
    }
    Optional<Double> a = number(field, one);
    Optional<Double> b = number(field, other);
    return a.isPresent()
        && b.isPresent()
        && Math.abs(a.get() - b.get()) <= ROUNDING * Math.max(a.get(), b.get());
  }

  /** A length in metres or a count; empty where the text is none. */
  static Optional<Double> number(Field field, String text) {
    if (field.kind() == Field.Kind.TEXT || text.isBlank()) {
      return Optional.empty();
    }
    try {
      double value =
          SetUp.of(
                  "draft",
                  java.time.Instant.EPOCH,
                  Map.of(Field.NAME, "draft", field, text.strip()))
              .number(field);
      return Optional.of(value);
    } catch (BadInputException e) {
      return Optional.empty();
    }
  }

  /** The tool in a few words, like "8 mm, 30 mm out". */
  public String words(List<Field> fields) {
    List<String> all = new ArrayList<>();
    for (Field field : FIELDS) {
      String text = said.get(field);
      if (text == null || !fields.contains(field)) {
        continue;
      }
      all.add(
          switch (field) {
            case FLUTES -> text + (text.equals("1") ? " flute" : " flutes");
            case STICKOUT -> text + " out";
            case HOLDER, TOOL -> "\"" + text + "\"";
            default -> text;
          });
    }
    return String.join(", ", all);
  }

  /**
   * What tells that the cut has another tool than a direction was tapped with, one sentence; empty
   * if nothing does.
   */
  public static Optional<String> mismatch(Job job) {
    for (Measured m : job.measured()) {
      if (m.direction().part() != Direction.Part.TOOL
          || m.with().isEmpty()
          || !job.cut().directions().contains(m.direction())) {
        continue;
      }
      TappedWith then = m.with().get();
      TappedWith now = ofCut(job);
      List<Field> differ = then.differences(now);
      if (!differ.isEmpty()) {
        List<Field> told = new ArrayList<>(differ);
        if (differ.contains(Field.DIAMETER) || differ.contains(Field.STICKOUT)) {
          told.add(Field.DIAMETER);
          told.add(Field.STICKOUT);
        }
        return Optional.of(
            "tapped with " + then.words(told) + "; this cut: " + now.words(told) + ": tap again");
      }
    }
    return Optional.empty();
  }

  /** The job with the tool that cuts as the one that was tapped, as after a slip of the pen. */
  public static Job confirmed(Job job) {
    Job after = job;
    for (Measured m : job.measured()) {
      if (m.direction().part() == Direction.Part.TOOL) {
        after = after.with(m.with(ofCut(job)));
      }
    }
    return after;
  }
}

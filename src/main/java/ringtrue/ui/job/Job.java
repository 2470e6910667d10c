package ringtrue.ui.job;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import ringtrue.library.SetUp;

/**
 * What is being worked on: a set-up, what was measured of it, and a cut. Every change makes a new
 * one, so that each can be undone.
 *
 * @param setUp what is said of the set-up so far
 * @param savedId id of the saved set-up that it belongs to, if it does
 * @param measured one at most for each direction
 * @param cut the cut that is being planned
 * @param simulated whether its taps come from the simulated machine, which is then said everywhere
 */
public record Job(
    Map<SetUp.Field, String> setUp,
    Optional<String> savedId,
    List<Measured> measured,
    CutDraft cut,
    boolean simulated) {

  /** Nothing yet. */
  public static final Job EMPTY =
      new Job(Map.of(), Optional.empty(), List.of(), CutDraft.NEW, false);

  public Job {
    EnumMap<SetUp.Field, String> said = new EnumMap<>(SetUp.Field.class);
    setUp.forEach(
        (field, text) -> {
          if (!text.isBlank()) {
            said.put(field, text.strip());
          }
        });
    setUp = java.util.Collections.unmodifiableMap(said);
    List<Measured> sorted = new ArrayList<>(measured);
    sorted.sort(
        Comparator.comparing((Measured m) -> m.direction().part())
            .thenComparing(m -> m.direction().axis()));
    measured = List.copyOf(sorted);
  }

  /** What was measured in a direction. */
  public Optional<Measured> measured(Direction direction) {
    return measured.stream().filter(m -> m.direction().equals(direction)).findFirst();
  }

  /**
   * The same with something measured, in place of what was there in its direction. A new
   * measurement of the tool takes with it what is said of the tool now.
   */
  public Job with(Measured one) {
    List<Measured> all = new ArrayList<>(measured);
    boolean known =
        all.stream()
            .anyMatch(m -> m.direction().equals(one.direction()) && m.file().equals(one.file()));
    all.removeIf(m -> m.direction().equals(one.direction()));
    boolean note = !known && one.with().isEmpty() && one.direction().part() == Direction.Part.TOOL;
    all.add(note ? one.with(TappedWith.of(this)) : one);
    boolean still = known ? simulated : all.stream().anyMatch(Measured::isSimulated);
    return new Job(setUp, savedId, all, cut, still);
  }

  /** The same without what was measured in a direction. */
  public Job without(Direction direction) {
    return new Job(
        setUp,
        savedId,
        measured.stream().filter(m -> !m.direction().equals(direction)).toList(),
        cut,
        simulated);
  }

  /** The same with another cut. */
  public Job with(CutDraft other) {
    return new Job(setUp, savedId, measured, other, simulated);
  }

  /**
   * The same with a field of the set-up said anew. What is said for the first time belongs to what
   * was tapped before as well.
   */
  public Job with(SetUp.Field field, String text) {
    EnumMap<SetUp.Field, String> said = new EnumMap<>(SetUp.Field.class);
    said.putAll(setUp);
    said.put(field, text);
    boolean first = !setUp.containsKey(field);
    List<Measured> all =
        measured.stream()
            .map(
                m -> first && m.with().isPresent() ? m.with(m.with().get().filled(field, text)) : m)
            .toList();
    return new Job(said, savedId, all, cut, simulated);
  }

  /** The same, its taps from the simulated machine or not. */
  public Job withSimulated(boolean is) {
    return new Job(setUp, savedId, measured, cut, is);
  }

  /** The same as part of a saved set-up. */
  public Job savedAs(String id) {
    return new Job(setUp, Optional.of(id), measured, cut, simulated);
  }

  /** Whether there is nothing worth keeping. */
  public boolean isEmpty() {
    return setUp.isEmpty() && measured.isEmpty() && cut.equals(CutDraft.NEW);
  }

  /** What it is called in one line. */
  public String title() {
    for (SetUp.Field field :
        List.of(SetUp.Field.NAME, SetUp.Field.TOOL, SetUp.Field.WORKPIECE, SetUp.Field.MACHINE)) {
      if (setUp.containsKey(field)) {
        return setUp.get(field);
      }
    }
    String name = cut.text(CutField.NAME);
    return name.isEmpty() ? "New set-up" : name;
  }
}

package ringtrue.ui.job;

import java.util.Objects;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import ringtrue.fitting.FitSettings;

/**
 * A direction with what was measured in it and what the user decided about it.
 *
 * @param direction what was tapped
 * @param kind what the file is
 * @param file name of a file in the job's folder: a measurement file, or a frequency response; of a
 *     saved one its id, with the id of its set-up and a slash before it
 * @param input where the taps came from, for people; may be empty
 * @param setAside taps that the user set aside, numbers from 1
 * @param kept taps that the user keeps against their verdict
 * @param fit what the user wants of the modes
 * @param edition one more whenever the file has been written anew
 * @param with the tool that was tapped, as it was described then; empty where nobody noted it
 * @param asked how many good taps were asked for; 0 where nobody asked, as with a file
 */
public record Measured(
    Direction direction,
    Kind kind,
    String file,
    String input,
    Set<Integer> setAside,
    Set<Integer> kept,
    FitSettings fit,
    int edition,
    Optional<TappedWith> with,
    int asked) {

  private static final String SIMULATED = "simulated ";

  /** What the file is. */
  public enum Kind {
    /** A measurement file with recorded taps. */
    TAPS,
    /** A frequency response from elsewhere. */
    RESPONSE,
    /** A measurement of the saved set-up that the job belongs to. */
    SAVED
  }

  public Measured {
    Objects.requireNonNull(direction, "direction");
    Objects.requireNonNull(kind, "kind");
    Objects.requireNonNull(file, "file");
    Objects.requireNonNull(input, "input");
    Objects.requireNonNull(fit, "fit");
    Objects.requireNonNull(with, "with");
    setAside = Set.copyOf(setAside);
    kept = Set.copyOf(kept);
  }

  /** Whether its taps come from the simulated machine. */
  public boolean isSimulated() {
    return input.startsWith(SIMULATED);
  }

  /** A new one, nothing decided yet. */
  public static Measured of(Direction direction, Kind kind, String file, String input) {
    return new Measured(
        direction,
        kind,
        file,
        input,
        Set.of(),
        Set.of(),
        FitSettings.AUTOMATIC,
        1,
        Optional.empty(),
        0);
  }

  /** The same with a tap switched by hand. */
  public Measured withTap(int number, boolean on) {
    Set<Integer> aside = new TreeSet<>(setAside);
    Set<Integer> held = new TreeSet<>(kept);
    (on ? aside : held).remove(number);
    (on ? held : aside).add(number);
    return new Measured(direction, kind, file, input, aside, held, fit, edition, with, asked);
  }

  /** The same with every tap as its verdict says. */
  public Measured withTapsAsJudged() {
    return new Measured(
        direction, kind, file, input, Set.of(), Set.of(), fit, edition, with, asked);
  }

  /** The same with another wish for the modes. */
  public Measured withFit(FitSettings other) {
    return new Measured(direction, kind, file, input, setAside, kept, other, edition, with, asked);
  }

  /** The same after its file was written anew. */
  public Measured rewritten() {
    return new Measured(
        direction, kind, file, input, setAside, kept, fit, edition + 1, with, asked);
  }

  /** The same, tapped with a tool. */
  public Measured with(TappedWith tool) {
    return withTool(Optional.of(tool));
  }

  /** The same, tapped with a tool, or with one that nobody noted. */
  public Measured withTool(Optional<TappedWith> tool) {
    return new Measured(direction, kind, file, input, setAside, kept, fit, edition, tool, asked);
  }

  /** The same where so many good taps were asked for. */
  public Measured asking(int taps) {
    return new Measured(direction, kind, file, input, setAside, kept, fit, edition, with, taps);
  }
}

package ringtrue.library;

import java.time.Instant;
import java.util.List;
import java.util.Objects;
import ringtrue.units.BadInputException;
import ringtrue.units.Dimension;
import ringtrue.units.Quantity;

/**
 * What a cut with a set-up did; the file {@code outcomes/ID.json}, format {@code
 * ringtrue-outcome/1}.
 *
 * @param id name of its file without ending
 * @param date when the cut was made
 * @param cut id of the saved cut: folder {@code cuts/CUT} with {@code cut.json} in it
 * @param result what was heard or seen
 * @param chatterFrequency the frequency heard, as it was said; empty where it was not
 * @param note the user's own words
 * @param simulated whether no cut was made: it was only simulated, and tells nothing of a real one
 */
public record Outcome(
    String id,
    Instant date,
    String cut,
    Result result,
    String chatterFrequency,
    String note,
    boolean simulated) {
  static final String FORMAT = "ringtrue-outcome";
  static final int VERSION = 1;
  private static final List<String> FIELDS =
      List.of("date", "cut", "result", "source", "chatterFrequency", "notes");
  private static final String MADE = "made";
  private static final String SIMULATED = "simulated";

  /** What the cut did. */
  public enum Result {
    QUIET("quiet"),
    CHATTERED("chattered");

    private final String word;

    Result(String word) {
      this.word = word;
    }

    /** For people and files. */
    public String word() {
      return word;
    }
  }

  /**
   * @throws BadInputException if the frequency is none, or a quiet cut has one
   */
  public Outcome {
    SetUpId.require(id);
    SetUpId.require(cut);
    Objects.requireNonNull(date, "date");
    Objects.requireNonNull(result, "result");
    if (!chatterFrequency.isEmpty()) {
      if (result == Result.QUIET) {
        throw new BadInputException("chatterFrequency: a quiet cut has none");
      }
      if (!(Quantity.parse(chatterFrequency, Dimension.FREQUENCY) > 0)) {
        throw new BadInputException("chatterFrequency: must be more than zero");
      }
    }
  }

  /** Of a cut that was made. */
  public Outcome(
      String id, Instant date, String cut, Result result, String chatterFrequency, String note) {
    this(id, date, cut, result, chatterFrequency, note, false);
  }

  /** What the cut did in a word or two, like "chattered" or "chattered, simulated". */
  public String words() {
    return result.word() + (simulated ? ", " + SIMULATED : "");
  }

  /** The frequency heard, Hz; NaN where none was said. */
  public double chatterHz() {
    return chatterFrequency.isEmpty()
        ? Double.NaN
        : Quantity.parse(chatterFrequency, Dimension.FREQUENCY);
  }

  /** The text of its file. */
  public String toText() {
    return JsonText.of(
        FORMAT + "/" + VERSION,
        o -> {
          o.put("date", date.toString()).put("cut", cut).put("result", result.word());
          if (simulated) {
            o.put("source", SIMULATED);
          }
          o.put("chatterFrequency", chatterFrequency).put("notes", note);
        });
  }

  /**
   * Reads what {@link #toText} wrote.
   *
   * @param id name of the file without ending
   * @param name what messages call the file
   * @throws BadInputException if it cannot be used, or a newer program is needed
   */
  public static Outcome ofText(String id, String name, String text) {
    JsonFields all = JsonFields.ofText(name, text, FORMAT, VERSION, FIELDS);
    Result result =
        all.choice("result", List.of(Result.values()), Result::word)
            .orElseThrow(() -> all.missing("result", "\"quiet\" or \"chattered\""));
    try {
      return new Outcome(
          id,
          SetUpFile.instant(all, "date"),
          all.requiredText("cut", "\"slotting-trial-3fa9k\""),
          result,
          all.text("chatterFrequency").orElse(""),
          all.text("notes").orElse(""),
          all.choice("source", List.of(MADE, SIMULATED), w -> w)
              .filter(SIMULATED::equals)
              .isPresent());
    } catch (BadInputException e) {
      throw e.getMessage().startsWith(name + ":") ? e : e.at(name);
    }
  }
}

package ringtrue.ui.desk;

/**
 * How far a stage has come.
 *
 * @param kind as a sign
 * @param words as a few words
 */
public record StageState(Kind kind, String words) {

  /** As a sign. */
  public enum Kind {
    /** Nothing there yet. */
    OPEN,
    /** Some of it is there. */
    BEGUN,
    /** All that is needed. */
    DONE,
    /** Something wants attention. */
    ATTENTION
  }
}

package ringtrue.ui.plot;

/** How an area is filled, told apart without colours. */
public enum Pattern {
  /** An even tint. */
  PLAIN,
  /** A tint with slanting lines. */
  HATCHED,
  /** A tint with dots. */
  DOTS
}

package ringtrue.ui.desk;

/** The stages of the job, in their order. */
public enum StageId {
  SET_UP("Set-up", "what is clamped where, and what is saved"),
  TAPS("Taps", "tap and listen, one direction after the other"),
  RESPONSE("Response", "the averaged frequency response"),
  MODES("Modes", "natural frequency, damping and stiffness"),
  LOBES("Lobes", "where the cut stays free of chatter"),
  CUT("Cut", "every limit, better cuts, simulation"),
  LISTEN("Listen", "what the real cut sounds like");

  private final String title;
  private final String about;

  StageId(String title, String about) {
    this.title = title;
    this.about = about;
  }

  public String title() {
    return title;
  }

  /** In half a line, what it is for. */
  public String about() {
    return about;
  }

  /** The stage of a name; the first one where there is none of that name. */
  public static StageId remembered(String name) {
    for (StageId each : values()) {
      if (each.name().equals(name)) {
        return each;
      }
    }
    return SET_UP;
  }
}

package ringtrue.stability;

/** How stability is computed. */
public enum Method {
  /** Averaged directional factors (milling); one delay in closed form (turning). */
  ZERO_ORDER("zero-order"),
  /** The full periodic equation. */
  PERIODIC("periodic"),
  /** The full periodic equation in the frequency domain, on responses as measured. */
  MULTI_FREQUENCY("multi-frequency"),
  /** Cutting in the time domain. */
  SIMULATION("simulation");

  private final String word;

  Method(String word) {
    this.word = word;
  }

  /** Name as in the commands. */
  public String word() {
    return word;
  }
}

package ringtrue.ui.response;

/** Ways to look at a response. */
public enum ResponseView {
  MAGNITUDE("Magnitude", "ctrl shift M", "Ctrl+Shift+M"),
  PHASE("Phase", "ctrl shift P", "Ctrl+Shift+P"),
  REAL("Real", "ctrl shift T", "Ctrl+Shift+T"),
  IMAGINARY("Imaginary", "ctrl shift I", "Ctrl+Shift+I"),
  COHERENCE("Coherence", "ctrl shift C", "Ctrl+Shift+C"),
  NYQUIST("Nyquist", "ctrl shift N", "Ctrl+Shift+N");

  private final String words;
  private final String keys;
  private final String keyWords;

  ResponseView(String words, String keys, String keyWords) {
    this.words = words;
    this.keys = keys;
    this.keyWords = keyWords;
  }

  /** On its button. */
  public String words() {
    return words;
  }

  /** Its shortcut. */
  public String keys() {
    return keys;
  }

  /** Its shortcut for people. */
  public String keyWords() {
    return keyWords;
  }

  /** For component names and settings. */
  public String key() {
    return name().toLowerCase(java.util.Locale.ROOT);
  }
}

package ringtrue.signal;

/**
 * A line in the spectrum of a cut.
 *
 * @param frequencyHz its frequency, Hz
 * @param levelDb its level, dB; 0 is a sine of full scale
 * @param aboveNoiseDb how far it stands out of the noise around it, dB
 * @param is what it belongs to
 * @param harmonic which multiple: of tooth passing or of the turns of the spindle; for chatter how
 *     many times tooth passing the line lies above (or below) the chatter frequency; 0 for others
 * @param about what the program knows of it beyond that, in a few words; may be empty
 */
public record SoundLine(
    double frequencyHz, double levelDb, double aboveNoiseDb, Kind is, int harmonic, String about) {

  /** What a line belongs to. */
  public enum Kind {
    TOOTH_PASSING("tooth passing"),
    RUNOUT("run-out"),
    CHATTER("chatter"),
    OTHER("other");

    private final String word;

    Kind(String word) {
      this.word = word;
    }

    public String word() {
      return word;
    }
  }

  /** The same line, seen as something else. */
  SoundLine as(Kind other, int otherHarmonic, String words) {
    return new SoundLine(frequencyHz, levelDb, aboveNoiseDb, other, otherHarmonic, words);
  }
}

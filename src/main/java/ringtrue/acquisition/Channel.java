package ringtrue.acquisition;

/**
 * How one channel of a recording becomes a physical quantity.
 *
 * @param number which channel or column of the recording, counted from 1
 * @param unitsPerNumber SI units (N, m/s², m/s, m or Pa) for a recorded number of 1; positive. For
 *     a WAV it is fullScale/sensitivity.
 * @param clipsAtNumber recorded numbers at or beyond this size are an overload: 1 for WAV; infinite
 *     where unknown, as with text
 * @param polarity +1, or −1 for a sensor that faces against the direction of the blow
 * @param highPassHz corner of the input's first-order high-pass (AC coupling) that is to be undone;
 *     0 where there is none or it is unknown
 */
public record Channel(
    int number, double unitsPerNumber, double clipsAtNumber, int polarity, double highPassHz) {

  public Channel {
    if (number < 1) {
      throw new IllegalArgumentException("channels are counted from 1, was " + number);
    }
    if (!(unitsPerNumber > 0) || Double.isInfinite(unitsPerNumber)) {
      throw new IllegalArgumentException(
          "scale must be positive and finite, was " + unitsPerNumber);
    }
    if (!(clipsAtNumber > 0)) {
      throw new IllegalArgumentException("clipping level must be positive, was " + clipsAtNumber);
    }
    if (polarity != 1 && polarity != -1) {
      throw new IllegalArgumentException("polarity must be +1 or -1, was " + polarity);
    }
    if (!(highPassHz >= 0) || Double.isInfinite(highPassHz)) {
      throw new IllegalArgumentException(
          "high-pass corner must not be negative, was " + highPassHz);
    }
  }

  /** SI value of a recorded number, polarity included. */
  public double scale() {
    return polarity * unitsPerNumber;
  }
}

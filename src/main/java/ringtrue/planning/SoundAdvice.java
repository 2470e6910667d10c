package ringtrue.planning;

import java.util.List;
import java.util.Optional;

/**
 * What the sound of a cut, held against its lobes, suggests.
 *
 * @param speeds speeds to try, the likeliest first; empty where there is nothing to mend
 * @param mode mode that the chatter belongs to
 * @param lobes what the lobes say of this cut
 * @param sentences the same and more in plain words
 */
public record SoundAdvice(
    List<TrySpeed> speeds,
    Optional<NearestMode> mode,
    Optional<Against> lobes,
    List<String> sentences) {

  /** Nothing to say. */
  public static final SoundAdvice NONE =
      new SoundAdvice(List.of(), Optional.empty(), Optional.empty(), List.of());

  /**
   * A speed to try.
   *
   * @param speedRpm spindle speed, rpm
   * @param wavesPerTooth k of the rule n = 60 f/(k N); 0 if the speed comes from the lobes alone
   * @param limitDepthM depth up to which the lobes call it stable, m; NaN where there are none
   * @param stable whether the lobes call the cut's own depth stable there; false where there are
   *     none
   */
  public record TrySpeed(double speedRpm, int wavesPerTooth, double limitDepthM, boolean stable) {}

  /**
   * A mode of the structure.
   *
   * @param axis direction, x or y
   * @param frequencyHz natural frequency, Hz
   * @param chatterOver chatter frequency (or its nearest side band) over that, relative, minus 1
   */
  public record NearestMode(String axis, double frequencyHz, double chatterOver) {}

  /**
   * The lobes and the sound of one cut.
   *
   * @param limitDepthM depth up to which the lobes call it stable at the speed that was heard, m
   * @param stable whether they call the cut stable
   * @param chatterHz chatter frequency that they predict at the limit, Hz; NaN if there is none
   * @param agree whether sound and lobes agree
   * @param frequencyShift relative shift of all natural frequencies with which they would; NaN
   *     where they agree or no shift up to 15 % helps
   * @param plausible whether a shift of that size is to be expected of re-clamping and speed
   * @param coefficientFactor factor on the cutting coefficients that would do as well; NaN where
   *     they agree
   */
  public record Against(
      double limitDepthM,
      boolean stable,
      double chatterHz,
      boolean agree,
      double frequencyShift,
      boolean plausible,
      double coefficientFactor) {}

  public SoundAdvice {
    speeds = List.copyOf(speeds);
    sentences = List.copyOf(sentences);
  }
}

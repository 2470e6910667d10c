package ringtrue.acquisition;

import java.io.IOException;
import java.util.List;

/**
 * The virtual rig as a live input: simulated blows that come as if somebody struck now. Its name
 * says that it is simulated.
 */
public final class RigInput implements LiveInput {
  private final ReplayInput replay;

  private RigInput(ReplayInput replay) {
    this.replay = replay;
  }

  /**
   * Begins a session.
   *
   * @param rig with converters of 16 to 24 bits, or of 32, in both channels; see {@link
   *     RigChannel#withBits}
   * @param name what it is called; "(simulated)" is added
   * @param sampleRateHz samples per second
   * @param plan what hits the structure
   * @param seed blows, noise and hum depend on it
   * @param pace how fast
   */
  public static RigInput of(
      VirtualRig rig, String name, int sampleRateHz, BlowPlan plan, long seed, Pace pace)
      throws IOException {
    int bits = Math.max(rig.force().bits(), rig.response().bits());
    if (rig.force().bits() == 0 || rig.response().bits() == 0) {
      throw new IllegalArgumentException("a live rig needs converters, not perfect inputs");
    }
    Recording recording =
        rig.record(name, sampleRateHz, plan.durationS(seed), plan.blows(seed), seed);
    return new RigInput(ReplayInput.exact(recording, bits <= 16 ? 16 : bits <= 24 ? 24 : 32, pace));
  }

  @Override
  public String name() {
    return replay.name();
  }

  @Override
  public double sampleRateHz() {
    return replay.sampleRateHz();
  }

  @Override
  public int channels() {
    return replay.channels();
  }

  @Override
  public int bits() {
    return replay.bits();
  }

  @Override
  public int read(double[] frames, int most) throws IOException {
    return replay.read(frames, most);
  }

  @Override
  public List<Gap> gaps() {
    return replay.gaps();
  }

  @Override
  public void close() throws IOException {
    replay.close();
  }
}

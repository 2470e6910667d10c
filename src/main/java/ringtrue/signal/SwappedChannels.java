package ringtrue.signal;

import java.io.IOException;
import java.util.List;
import java.util.Locale;
import ringtrue.acquisition.Channel;
import ringtrue.acquisition.TapFinder.Level;
import ringtrue.acquisition.TapFinder.Onset;
import ringtrue.acquisition.TapRecording;
import ringtrue.units.BadInputException;

/**
 * Recognises force and response with each other's channel number.
 *
 * <p>A response cannot be over before its force is. So where the channel given as response holds
 * short pulses to one side, with nothing after them, while the one given as force goes on ringing
 * to both sides with a good part of its energy, the two are the other way round.
 */
final class SwappedChannels {
  private static final int MOST_TAPS = 5;
  private static final double STRETCH_S = 0.25;
  private static final double BEFORE_S = 0.003;

  /** Part of the energy of a true force's channel that may come after its response is over. */
  private static final double RINGS = 0.2;

  /** Part of the energy that a pulse may leave behind, noise taken off. */
  private static final double QUIET = 0.01;

  /** How far a pulse may swing to the other side. */
  private static final double ONE_SIDED = 0.25;

  /** How far a ringing swings to the other side at least. */
  private static final double BOTH_SIDES = 0.15;

  /** A pulse has to stand out of the noise by this. */
  private static final double CLEAR = 20;

  private SwappedChannels() {}

  /**
   * Refuses channels that are swapped.
   *
   * @param onsets what triggered in the channel given as force
   * @throws BadInputException if most of the taps looked at say so
   */
  static void refuse(
      TapRecording recording, Level forceLevel, Level responseLevel, List<Onset> onsets)
      throws IOException {
    Channel force = recording.force().orElseThrow();
    Channel response = recording.response();
    double fs = recording.sampleRateHz();
    int before = (int) Math.round(BEFORE_S * fs);
    int least = Math.max(32, 4 * before);
    int looked = 0;
    int swapped = 0;
    try (BlockReader reader = new BlockReader(recording.recordings(), force, response)) {
      long end = -1;
      int in = -1;
      for (int i = 0; i < onsets.size() && looked < MOST_TAPS; i++) {
        Onset onset = onsets.get(i);
        if (onset.recording() == in && onset.frame() < end) {
          continue; // rings on
        }
        int n = (int) Math.round(STRETCH_S * fs);
        double[] f = new double[n];
        double[] x = new double[n];
        int there = reader.read(onset.recording(), onset.frame() - before, n, f, x);
        in = onset.recording();
        end = onset.frame() - before + n;
        if (there < least) {
          continue;
        }
        looked++;
        toRest(f, there, force, forceLevel.offsets().get(in));
        toRest(x, there, response, responseLevel.offsets().get(in));
        if (isSwapped(f, x, there, forceLevel.noise(), responseLevel.noise())) {
          swapped++;
        }
      }
    }
    if (looked > 0 && 2 * swapped > looked) {
      throw new BadInputException(
          String.format(
              Locale.ROOT,
              "%s: the channels of force and response are swapped: channel %d, given as force, rings"
                  + " on after the blow, and channel %d, given as response, holds only the short"
                  + " pulse; make channel %d the force and channel %d the response",
              recording.recordings().get(0).name(),
              force.number(),
              response.number(),
              response.number(),
              force.number()));
    }
  }

  private static void toRest(double[] values, int n, Channel channel, double rest) {
    for (int i = 0; i < n; i++) {
      values[i] = values[i] * channel.scale() - rest;
    }
  }

  /**
   * Whether two stretches around a tap are the wrong way round.
   *
   * @param force given as force, at rest 0
   * @param response given as response, at rest 0
   * @param forceNoise standard deviation at rest
   * @param responseNoise likewise
   */
  static boolean isSwapped(
      double[] force, double[] response, int n, double forceNoise, double responseNoise) {
    int peakAt = 0;
    for (int i = 0; i < n; i++) {
      if (Math.abs(response[i]) > Math.abs(response[peakAt])) {
        peakAt = i;
      }
    }
    double sign = Math.signum(response[peakAt]);
    double peak = sign * response[peakAt];
    if (!(peak > CLEAR * responseNoise)) {
      return false;
    }
    int end = peakAt;
    while (end < n && sign * response[end] >= peak / 10) {
      end++;
    }
    int begin = peakAt;
    while (begin > 0 && sign * response[begin] >= peak / 10) {
      begin--;
    }
    end = Math.min(n, end + (end - begin));
    double otherSide = 0;
    for (int i = 0; i < n; i++) {
      otherSide = Math.max(otherSide, -sign * response[i]);
    }
    boolean pulse =
        otherSide < ONE_SIDED * peak + 4 * responseNoise
            && energy(response, end, n, responseNoise)
                < QUIET * energy(response, 0, n, responseNoise);
    if (!pulse) {
      return false;
    }
    double up = Math.max(0, Extremes.largest(force, n));
    double down = Math.max(0, -Extremes.smallest(force, n));
    // what rings all the time is not noise
    double noise = Math.min(forceNoise, roughness(force, n));
    return Math.min(up, down) > BOTH_SIDES * Math.max(up, down)
        && Math.max(up, down) > CLEAR * noise
        && energy(force, end, n, noise) > RINGS * energy(force, 0, n, noise);
  }

  /** Standard deviation of white noise with these second differences; near 0 for smooth values. */
  private static double roughness(double[] values, int n) {
    double[] second = new double[n - 2];
    for (int i = 0; i < second.length; i++) {
      second[i] = Math.abs(values[i] - 2 * values[i + 1] + values[i + 2]);
    }
    return Medians.of(second) / (0.6745 * Math.sqrt(6));
  }

  private static double energy(double[] values, int from, int to, double noise) {
    double sum = 0;
    for (int i = from; i < to; i++) {
      sum += values[i] * values[i];
    }
    return Math.max(0, sum - (to - from) * noise * noise);
  }
}

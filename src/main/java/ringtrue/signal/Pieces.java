package ringtrue.signal;

import java.io.IOException;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Optional;
import ringtrue.acquisition.Channel;
import ringtrue.acquisition.MemoryRecording;
import ringtrue.acquisition.Recording;
import ringtrue.acquisition.TapFinder.Level;
import ringtrue.acquisition.TapRecording;
import ringtrue.dynamics.Progress;
import ringtrue.units.BadInputException;

/**
 * A few taps out of a stream, each with what came before and after it, for the planner, which plans
 * from recordings.
 */
final class Pieces {
  private final TapRecording about;
  private final Level forceLevel;
  private final Level responseLevel;
  private final Channel force;
  private final Channel response;
  private final List<Recording> recordings = new ArrayList<>();
  private double highest;
  private double lowest;

  /**
   * @param forceLevel what the force channel holds in all
   * @param responseLevel what the response channel holds in all
   */
  Pieces(TapRecording about, Level forceLevel, Level responseLevel) {
    this.about = about;
    this.forceLevel = forceLevel;
    this.responseLevel = responseLevel;
    this.force = numbered(about.force().orElseThrow(), 1);
    this.response = numbered(about.response(), 2);
  }

  private static Channel numbered(Channel channel, int number) {
    return new Channel(
        number,
        channel.unitsPerNumber(),
        channel.clipsAtNumber(),
        channel.polarity(),
        channel.highPassHz());
  }

  /** Adds a tap: recorded numbers of force and response. */
  void add(double[] f, double[] x) {
    double rest = forceLevel.offsets().get(0);
    for (double number : f) {
      highest = Math.max(highest, number * force.scale() - rest);
      lowest = Math.min(lowest, number * force.scale() - rest);
    }
    recordings.add(
        new MemoryRecording(
            "tap " + (recordings.size() + 1), about.recordings().get(0).sampleRateHz(), f, x));
  }

  /**
   * Plans.
   *
   * @param remarks filled with what is to be said of the choice
   * @return empty if there is no tap among them that can be told from the noise
   */
  Optional<Planner.Plan> plan(Processing choices, List<String> remarks) throws IOException {
    TapRecording taps =
        new TapRecording(
            about.name(),
            about.axis(),
            about.point(),
            recordings,
            Optional.of(force),
            response,
            about.quantity(),
            about.sensorMassKg(),
            about.skewS());
    try {
      Planner.Plan plan =
          new Planner(
                  taps, choices, level(forceLevel), level(responseLevel), remarks, Progress.NONE)
              .plan();
      remarks.removeIf(r -> r.startsWith("no tap found in") || r.startsWith("trigger level"));
      return Optional.of(plan);
    } catch (BadInputException e) {
      remarks.clear();
      return Optional.empty();
    }
  }

  private Level level(Level all) {
    int n = recordings.size();
    boolean isForce = all == forceLevel;
    return new Level(
        Collections.nCopies(n, all.offsets().get(0)),
        Collections.nCopies(n, all.means().get(0)),
        all.noise(),
        isForce ? highest : all.highest(),
        isForce ? lowest : all.lowest(),
        all.largestNumber(),
        all.smallestNumber());
  }
}

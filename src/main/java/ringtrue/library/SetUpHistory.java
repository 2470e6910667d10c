package ringtrue.library;

import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.apache.commons.math3.distribution.TDistribution;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Progress;
import ringtrue.fitting.ClampingSpread;
import ringtrue.fitting.FitSettings;
import ringtrue.fitting.FittedModes;
import ringtrue.fitting.FittedResponse;
import ringtrue.fitting.ModeDrift;
import ringtrue.fitting.ModeFitter;
import ringtrue.fitting.ModeTracks;
import ringtrue.fitting.SetUpComparer;
import ringtrue.fitting.SetUpComparison;
import ringtrue.fitting.SetUpScatter;
import ringtrue.units.BadInputException;

/**
 * One direction of a set-up through time.
 *
 * @param axis the direction
 * @param measurements what was measured, the oldest first; those without stiffness left out
 * @param drifts each mode through them
 * @param spread what the clampings tell about the next one
 */
public record SetUpHistory(
    String axis,
    List<SavedMeasurement> measurements,
    List<ModeDrift> drifts,
    ClampingSpread.Result spread) {

  /** Scatters known from fewer values than this are not used to judge a change. */
  private static final int FEWEST_FREEDOMS = 3;

  public SetUpHistory {
    measurements = List.copyOf(measurements);
    drifts = List.copyOf(drifts);
  }

  /** The history in a direction; empty where nothing was measured that has modes with stiffness. */
  public static Optional<SetUpHistory> of(SavedSetUp saved, String axis) {
    List<SavedMeasurement> all =
        SavedDynamics.once(saved.along(axis).stream().filter(m -> m.model().isPresent()).toList());
    if (all.isEmpty()) {
      return Optional.empty();
    }
    return Optional.of(new SetUpHistory(axis, all, drifts(all), spread(all)));
  }

  /** Each mode through measurements with stiffness, the oldest first. */
  static List<ModeDrift> drifts(List<SavedMeasurement> all) {
    List<Double> days =
        all.stream()
            .map(m -> Duration.between(all.get(0).date(), m.date()).toSeconds() / 86_400.0)
            .toList();
    return ModeTracks.of(all.stream().map(SavedDynamics::modes).toList()).stream()
        .map(t -> ModeDrift.of(t, days))
        .toList();
  }

  private static ClampingSpread.Result spread(List<SavedMeasurement> all) {
    return ClampingSpread.of(
        SavedDynamics.clampings(all).stream()
            .map(c -> ClampingSpread.together(c.stream().map(SavedDynamics::modes).toList()))
            .toList());
  }

  /**
   * What clamping again does by itself, from these measurements: the scatter of all modes pooled
   * and widened for how few values it comes from. {@link SetUpScatter#NONE} where they are too few.
   */
  public static SetUpScatter scatter(List<SavedMeasurement> measurements) {
    List<SavedMeasurement> usable =
        measurements.stream().filter(m -> m.model().isPresent()).toList();
    if (usable.isEmpty()) {
      return SetUpScatter.NONE;
    }
    double[] squares = new double[3];
    int freedoms = 0;
    for (ClampingSpread.Spread s : spread(usable).spreads()) {
      if (s.clampings() > 1) {
        int own = s.clampings() - 1;
        freedoms += own;
        squares[0] += own * s.frequency() * s.frequency();
        squares[1] += own * s.damping() * s.damping();
        squares[2] += own * s.stiffness() * s.stiffness();
      }
    }
    if (freedoms < FEWEST_FREEDOMS) {
      return SetUpScatter.NONE;
    }
    double student = new TDistribution(freedoms).inverseCumulativeProbability(0.975) / 1.96;
    double n = freedoms;
    return new SetUpScatter(
        Math.min(0.99, student * Math.sqrt(squares[0] / n)),
        Math.min(0.99, student * Math.sqrt(squares[1] / n)),
        Math.min(0.99, student * Math.sqrt(squares[2] / n)));
  }

  /**
   * Whether a set-up is the same at two measurements of it, or two set-ups are alike.
   *
   * @param scatter what clamping again does by itself
   * @throws BadInputException if one of them has no response or no modes to compare
   */
  public static SetUpComparison compare(
      SavedSetUp before,
      SavedMeasurement earlier,
      SavedSetUp now,
      SavedMeasurement later,
      SetUpScatter scatter,
      Progress progress) {
    return SetUpComparer.compare(
        fitted(before, earlier, progress), fitted(now, later, progress), scatter);
  }

  private static FittedResponse fitted(SavedSetUp saved, SavedMeasurement m, Progress progress) {
    Path file = saved.folder(m).resolve(SavedMeasurementFile.RESPONSE);
    String place = saved.setUp().id() + "/" + m.id();
    if (!Files.isRegularFile(file, LinkOption.NOFOLLOW_LINKS)) {
      throw new BadInputException(
          place
              + ": has no response to compare"
              + (m.forceMeasured() ? "" : ", since no force was measured"));
    }
    FrequencyResponse response = FrequencyResponseCsv.read(file);
    FittedModes fitted = ModeFitter.fit(response, FitSettings.AUTOMATIC, progress);
    // the modes as they were saved: their sigmas know more than the response does
    return new FittedResponse(response, m.model().map(fitted::withModel).orElse(fitted));
  }

  /** Modes of a measurement in the order of the tracks; null where one was not found. */
  public List<Mode> row(int measurement) {
    List<Mode> row = new ArrayList<>();
    for (ModeDrift drift : drifts) {
      row.add(drift.track().modes().get(measurement));
    }
    return row;
  }
}

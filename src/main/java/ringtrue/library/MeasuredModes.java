package ringtrue.library;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Collectors;
import org.apache.commons.math3.distribution.TDistribution;
import ringtrue.acquisition.ResponseQuantity;
import ringtrue.acquisition.TapRecording;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Progress;
import ringtrue.fitting.FitSettings;
import ringtrue.fitting.FittedModes;
import ringtrue.fitting.ModeFitter;
import ringtrue.fitting.SensorMass;
import ringtrue.fitting.StrengthTrend;
import ringtrue.fitting.TapScatter;
import ringtrue.signal.AveragedResponse;
import ringtrue.signal.AveragedTaps;
import ringtrue.signal.ResponseEstimator;
import ringtrue.signal.Tap;
import ringtrue.signal.TapSpectra;
import ringtrue.units.BadInputException;

/**
 * A measurement taken all the way to modes, with what the single taps tell besides their average.
 *
 * @param response averaged response
 * @param modes modes fitted to it; their uncertainties hold what the taps' scatter in gain does by
 *     way of a sensor's mass
 * @param trend how the modes depend on the strength of the taps; without modes where the taps
 *     cannot tell
 * @param scatter uncertainties by a bootstrap over the taps, if it was asked for
 * @param remarks sentences on taps and sensor that are neither among the response's nor the fit's
 */
public record MeasuredModes(
    AveragedResponse response,
    FittedModes modes,
    StrengthTrend trend,
    Optional<TapScatter> scatter,
    List<String> remarks) {

  /**
   * A bootstrap over the taps.
   *
   * @param draws how many times to draw, some hundred
   * @param seed of the draws
   */
  public record Resampling(int draws, long seed) {}

  public MeasuredModes {
    remarks = List.copyOf(remarks);
  }

  /** Reads, averages and fits a measurement file. */
  public static MeasuredModes of(Path measurementFile, Progress progress) {
    Measurement measurement = MeasurementFile.read(measurementFile);
    try {
      return of(measurement, FitSettings.AUTOMATIC, Optional.empty(), progress);
    } catch (BadInputException e) {
      throw e.at(measurementFile.getFileName().toString());
    }
  }

  /**
   * Averages and fits a measurement.
   *
   * @param measurement recordings and what is wanted of their processing
   * @param settings band and number of modes, where the user has a wish
   * @param resampling draws for the bootstrap; empty for none
   * @param progress told how far it is
   * @throws BadInputException if no response can be had of the recordings, or no bootstrap of the
   *     taps
   */
  public static MeasuredModes of(
      Measurement measurement,
      FitSettings settings,
      Optional<Resampling> resampling,
      Progress progress) {
    AveragedTaps taps =
        ResponseEstimator.estimateTaps(
            measurement.recording(), measurement.processing(), part(progress, 0, 0.6));
    return of(measurement, taps, settings, resampling, progress);
  }

  /**
   * Fits a measurement that is averaged already.
   *
   * @param measurement what was averaged
   * @param taps its taps and their average
   */
  public static MeasuredModes of(
      Measurement measurement,
      AveragedTaps taps,
      FitSettings settings,
      Optional<Resampling> resampling,
      Progress progress) {
    TapRecording recording = measurement.recording();
    AveragedResponse averaged = taps.averaged();
    FittedModes fitted = ModeFitter.fit(averaged.response(), settings, part(progress, 0.6, 0.8));
    List<String> remarks = new ArrayList<>();
    addLeftOut(averaged.taps(), remarks);
    if (measurement.calibrationFactor() != 1) {
      remarks.add(
          String.format(
              Locale.ROOT,
              "The calibration by a known mass was applied: the response was divided by %.5g.",
              measurement.calibrationFactor()));
    }
    if (measurement.added().isPresent()) {
      remarks.add("the added mass was left aside: stiffness comes from the measured force");
    }
    fitted = withSensor(recording, averaged, fitted, remarks);
    FittedModes own = fitted;
    fitted = fitted.withGainSigma(measurement.calibrationSigma());

    double[] force =
        averaged.taps().stream()
            .filter(t -> t.verdict() == Tap.Verdict.KEPT)
            .mapToDouble(Tap::peakForceN)
            .toArray();
    StrengthTrend trend = new StrengthTrend(Double.NaN, Double.NaN, List.of());
    Optional<TapScatter> scatter = Optional.empty();
    boolean look =
        StrengthTrend.canTell(force)
            && !fitted.model().modes().isEmpty()
            && taps.canBeHeld(fitted.bandLowHz(), fitted.bandHighHz());
    if (look || resampling.isPresent()) {
      TapSpectra spectra =
          taps.spectra(fitted.bandLowHz(), fitted.bandHighHz(), part(progress, 0.8, 0.85));
      trend = StrengthTrend.of(fitted, spectra.all(), force, spectra::of);
      remarks.addAll(trend.remarks());
      if (resampling.isPresent()) {
        scatter =
            Optional.of(
                TapScatter.of(
                    own,
                    spectra.all(),
                    spectra.taps(),
                    spectra::average,
                    resampling.get().draws(),
                    resampling.get().seed(),
                    part(progress, 0.85, 1)));
        remarks.addAll(scatter.get().remarks());
      }
    }
    progress.at(1, "done");
    return new MeasuredModes(averaged, fitted, trend, scatter, remarks);
  }

  /** How many taps were left out and why, in one line. */
  private static void addLeftOut(List<Tap> taps, List<String> remarks) {
    Map<String, Integer> why = new LinkedHashMap<>();
    for (Tap tap : taps) {
      if (tap.verdict() != Tap.Verdict.KEPT) {
        why.merge(tap.verdict().word(), 1, Integer::sum);
      }
    }
    int left = why.values().stream().mapToInt(Integer::intValue).sum();
    if (left > 0) {
      remarks.add(
          left
              + " of "
              + taps.size()
              + (taps.size() == 1 ? " tap" : " taps")
              + (left == 1 ? " was" : " were")
              + " left out: "
              + why.entrySet().stream()
                  .map(e -> e.getValue() + " " + e.getKey())
                  .collect(Collectors.joining(", "))
              + ".");
    }
  }

  private static FittedModes withSensor(
      TapRecording recording, AveragedResponse averaged, FittedModes fitted, List<String> remarks) {
    double mass = recording.sensorMassKg();
    if (mass > 0) {
      remarks.addAll(SensorMass.takenOff(fitted.model(), mass));
    } else if (recording.quantity() == ResponseQuantity.ACCELERATION) {
      remarks.addAll(SensorMass.unknown(fitted.model()));
    }
    int taps = averaged.response().origin().averages();
    if (taps < 2) {
      return fitted;
    }
    // a scatter from a few taps is uncertain: Student's factor makes two sigmas 95 % all the same
    double student = new TDistribution(taps - 1).inverseCumulativeProbability(0.975) / 1.96;
    ModalModel wider =
        SensorMass.widened(
            fitted.model(),
            mass,
            hz -> student * averaged.shared().gain(hz),
            hz -> student * averaged.shared().phaseRad(hz));
    return fitted.withModel(wider);
  }

  private static Progress part(Progress progress, double from, double to) {
    return (done, what) -> progress.at(from + done * (to - from), what);
  }
}

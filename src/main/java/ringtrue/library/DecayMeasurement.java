package ringtrue.library;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Progress;
import ringtrue.dynamics.Residual;
import ringtrue.fitting.AddedMass;
import ringtrue.fitting.DecayFitter;
import ringtrue.fitting.DecayMode;
import ringtrue.fitting.DecayModes;
import ringtrue.fitting.FitSettings;
import ringtrue.signal.DecayFinder;
import ringtrue.signal.DecayTap;
import ringtrue.signal.FoundDecays;
import ringtrue.signal.FrameRate;
import ringtrue.signal.Tap;
import ringtrue.units.BadInputException;

/**
 * A measurement without force, taken all the way to modes: natural frequencies and damping ratios
 * from free decays, mass and stiffness only where a pair with an added mass gives them.
 *
 * @param found the decays
 * @param taps every tap, with the fit's verdict in it
 * @param modes modes without the added mass
 * @param seen the same modes as the recordings show them, sensor included
 * @param loaded modes with it, where it was measured
 * @param remarks everything that a reader should know
 */
public record DecayMeasurement(
    FoundDecays found,
    List<DecayTap> taps,
    DecayModes modes,
    List<DecayMode> seen,
    Optional<DecayModes> loaded,
    List<String> remarks) {

  public DecayMeasurement {
    taps = List.copyOf(taps);
    seen = List.copyOf(seen);
    remarks = List.copyOf(remarks);
  }

  /** Reads and fits a measurement file that has no force. */
  public static DecayMeasurement of(Path file, Progress progress) {
    try {
      return of(MeasurementFile.read(file), FitSettings.AUTOMATIC, progress);
    } catch (BadInputException e) {
      String name = file.getFileName().toString();
      throw e.getMessage().startsWith(name + ":") ? e : e.at(name);
    }
  }

  /**
   * Finds the decays and fits them.
   *
   * @throws BadInputException if the recordings cannot be used
   */
  public static DecayMeasurement of(
      Measurement measurement, FitSettings settings, Progress progress) {
    double share = measurement.added().isPresent() ? 0.5 : 1;
    FoundDecays found =
        DecayFinder.find(
            measurement.recording(),
            measurement.processing(),
            (done, what) -> progress.at(0.3 * share * done, what));
    DecayModes modes =
        DecayFitter.fit(
            found.decays(),
            settings,
            (done, what) -> progress.at(share * (0.3 + 0.7 * done), what));
    List<DecayMode> seen = modes.modes();
    List<String> remarks = new ArrayList<>(found.remarks());
    if (FrameRate.isFilm(measurement.recording())) {
      for (DecayMode mode : modes.modes()) {
        remarks.addAll(FrameRate.of(mode.frequencyHz(), measurement.recording().sampleRateHz()));
      }
    }
    remarks.addAll(modes.remarks());
    Optional<DecayModes> loaded = Optional.empty();
    if (measurement.added().isPresent()) {
      Measurement.Added added = measurement.added().get();
      loaded =
          Optional.of(loaded(added, settings, (done, what) -> progress.at(0.5 + done / 2, what)));
      AddedMass.Result result =
          AddedMass.of(
              modes.modes(),
              loaded.get().modes(),
              added.massKg(),
              added.massSigmaKg(),
              measurement.recording().sensorMassKg());
      modes = modes.with(result.modes(), List.of());
      remarks.addAll(result.remarks());
    } else if (!modes.modes().isEmpty()) {
      remarks.add(AddedMass.advice());
      if (measurement.recording().sensorMassKg() > 0) {
        remarks.add(
            String.format(
                Locale.ROOT,
                "the sensor's %.3g g lower the natural frequencies by an unknown amount: without"
                    + " the modal mass they cannot be taken off",
                1e3 * measurement.recording().sensorMassKg()));
      }
    }
    if (!modes.modes().isEmpty() && modes.modes().stream().noneMatch(DecayMode::hasStiffness)) {
      remarks.add(
          "without stiffness only speeds can be judged, those where teeth and mode keep step, not"
              + " how deep a cut may be");
    }
    return new DecayMeasurement(found, judged(found, modes), modes, seen, loaded, remarks);
  }

  private static DecayModes loaded(
      Measurement.Added added, FitSettings settings, Progress progress) {
    try {
      FoundDecays found =
          DecayFinder.find(
              added.recording(), added.processing(), (done, what) -> progress.at(0.3 * done, what));
      return DecayFitter.fit(
          found.decays(), settings, (done, what) -> progress.at(0.3 + 0.7 * done, what));
    } catch (BadInputException e) {
      throw e.at("addedMass");
    }
  }

  /** The taps with the fit's complaints. */
  private static List<DecayTap> judged(FoundDecays found, DecayModes modes) {
    List<DecayTap> taps = new ArrayList<>();
    int held = 0;
    for (DecayTap tap : found.taps()) {
      boolean used = tap.verdict() == Tap.Verdict.KEPT && !Double.isNaN(tap.lengthS());
      String complaint = used ? modes.taps().get(held).complaint() : "";
      taps.add(complaint.isEmpty() ? tap : tap.judged(Tap.Verdict.POOR_MATCH, complaint));
      held += used ? 1 : 0;
    }
    return taps;
  }

  /** What each tap by itself says of the modes; empty for a tap that was not used. */
  public Optional<DecayModes.TapFit> fitOf(DecayTap tap) {
    if (tap.verdict() != Tap.Verdict.KEPT || Double.isNaN(tap.lengthS())) {
      return Optional.empty();
    }
    int before =
        (int)
            found.taps().stream()
                .filter(t -> t.number() < tap.number())
                .filter(t -> t.verdict() == Tap.Verdict.KEPT && !Double.isNaN(t.lengthS()))
                .count();
    return Optional.of(modes.taps().get(before));
  }

  /** The modes whose stiffness is known, as a model; empty if there are none. */
  public Optional<ModalModel> model() {
    List<Mode> known =
        modes.modes().stream()
            .filter(DecayMode::hasStiffness)
            .map(
                m ->
                    new Mode(
                        m.frequencyHz(),
                        m.dampingRatio(),
                        m.stiffnessNPerM(),
                        m.frequencyHzSigma(),
                        m.dampingRatioSigma(),
                        m.stiffnessNPerMSigma(),
                        Double.NaN))
            .toList();
    return known.isEmpty() ? Optional.empty() : Optional.of(new ModalModel(known, Residual.NONE));
  }
}

package ringtrue.fitting;

import java.util.ArrayList;
import java.util.List;
import java.util.OptionalInt;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Progress;
import ringtrue.dynamics.Residual;
import ringtrue.fitting.ModalParameters.Term;

/**
 * Finds the modes in a driving-point receptance: how many there are in the band, and the natural
 * frequency, damping ratio and stiffness of each with one-sigma uncertainties.
 *
 * <p>The model is {@code G(s) = Σ (1/k) ωn²/(s² + 2ζωn s + ωn²) + upper + lower/s²} at s = iω +
 * 1/τ, with the time constant τ of the response's exponential window, so that the window's damping
 * is taken out exactly. Poles come from vector fitting over rising orders, the choice among them
 * from likelihood ratio tests, the values from weighted non-linear least squares over all lines of
 * the band.
 */
public final class ModeFitter {
  private ModeFitter() {}

  /**
   * Fits modes to a response.
   *
   * @param response receptance at the driving point; its noise is taken from the relative errors
   *     or, with a single tap, from the scatter of neighbouring lines
   * @param settings band and number of modes, where the user has a wish
   * @param progress told how far the fit is
   * @return modes inside the band; none, with a remark, if the data show none
   * @throws ringtrue.units.BadInputException if the band lies outside the data or holds fewer than
   *     12 lines, or if a picked frequency lies outside the band
   */
  public static FittedModes fit(
      FrequencyResponse response, FitSettings settings, Progress progress) {
    FitLines lines = FitLines.of(response, settings);
    PickedModes.check(lines, settings.picksHz());
    List<String> remarks = new ArrayList<>();
    if (Polarity.isReversed(lines)) {
      remarks.add(
          "The response moves against the blow: its imaginary part is positive at the peaks. Turn"
              + " the sensor's polarity round (\"polarity\": \"-\"); no mode was fitted, since its"
              + " stiffness would be negative.");
      return result(lines, ModalModel.of(), remarks, Stabilisation.NONE, Convergence.NONE);
    }
    OptionalInt count =
        settings.count().isPresent() ? OptionalInt.of(settings.count().get()) : OptionalInt.empty();
    PoleGroups.Grouped poles = PoleSearch.of(lines, progress);
    ModeSelection.Selected chosen =
        settings.picksHz().isEmpty()
            ? ModeSelection.of(lines, poles.starts(), count, progress)
            : PickedModes.of(lines, settings.picksHz(), poles);
    progress.at(0.9, "refining");
    FinalFit fit = FinalFit.of(response, lines, chosen);
    progress.at(0.95, "uncertainties");
    ModalModel model = fit.model();
    remarks.addAll(FitRemarks.of(response, lines, fit, model, settings));
    List<Double> found = model.modes().stream().map(Mode::frequencyHz).toList();
    remarks.addAll(PickedModes.remarks(settings.picksHz(), found));
    progress.at(1, "done");
    return result(lines, model, remarks, poles.stabilisation(), fit.convergence());
  }

  private static FittedModes result(
      FitLines lines,
      ModalModel model,
      List<String> remarks,
      Stabilisation stabilisation,
      Convergence convergence) {
    double[] hz = new double[lines.size()];
    for (int i = 0; i < hz.length; i++) {
      hz[i] = lines.omega[i] / (2 * Math.PI);
    }
    return new FittedModes(
        model,
        lines.lowHz(),
        lines.highHz(),
        fitError(lines, model),
        remarks,
        stabilisation,
        convergence,
        new LineNoise(hz, lines.sigma));
  }

  /** Root of Σ|G − model|²/Σ|G|² with the model at the lines' own s. */
  private static double fitError(FitLines lines, ModalModel model) {
    List<Term> terms = new ArrayList<>();
    for (Mode mode : model.modes()) {
      terms.add(
          new Term(
              2 * Math.PI * mode.frequencyHz(), mode.dampingRatio(), 1 / mode.stiffnessNPerM(), 0));
    }
    Residual residual = model.residual();
    double[] re = new double[lines.size()];
    double[] im = new double[lines.size()];
    new ModalParameters(terms, residual.upperMPerN(), residual.lowerPerKg()).misfit(lines, re, im);
    double left = 0;
    double all = 0;
    for (int i = 0; i < lines.size(); i++) {
      left += re[i] * re[i] + im[i] * im[i];
      all += lines.re[i] * lines.re[i] + lines.im[i] * lines.im[i];
    }
    return all == 0 ? 0 : Math.sqrt(left / all);
  }
}

package ringtrue.fitting;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.stream.IntStream;
import org.apache.commons.math3.distribution.ChiSquaredDistribution;
import org.apache.commons.math3.linear.RealMatrix;
import ringtrue.dynamics.FreeDecays;
import ringtrue.dynamics.Progress;
import ringtrue.fitting.DecayModes.TapFit;
import ringtrue.fitting.DecayRefinement.Fit;
import ringtrue.fitting.DecayRefinement.TapView;
import ringtrue.fitting.DecayRefinement.Term;
import ringtrue.units.BadInputException;

/**
 * Natural frequencies and damping ratios from free decays, where no force was measured. All taps
 * share them; each has amplitudes and phases of its own. Where the blow still acts is not known:
 * the fit begins a while after each onset, later if the data contradict a free decay there.
 *
 * <p>Uncertainties are those of the fit with the noise that it leaves, widened where the taps
 * scatter more than that.
 */
public final class DecayFitter {
  /** Common practice, no source: blows of hand-held hammers on metal last 0.1 to 2 ms. */
  private static final double USUAL_BLOW_S = 0.002;

  private static final double LONGEST_BLOW_S = 0.017;

  /** A fit that begins later must leave so much less to be taken instead. */
  private static final double CLEARLY_BETTER = 0.7;

  private static final double MISFIT = 1.5;
  private static final double HIGHEST_HZ = 20_000;
  private static final int FEWEST_SAMPLES = 12;
  private static final double POOR_RATIO = 5;
  private static final double POOR = 4;

  private final FreeDecays decays;
  private final FitSettings settings;
  private final Progress progress;
  private final double lowHz;
  private final double highHz;
  private final List<String> remarks = new ArrayList<>();

  private DecayFitter(FreeDecays decays, FitSettings settings, Progress progress) {
    this.decays = decays;
    this.settings = settings;
    this.progress = progress;
    double fs = decays.sampleRateHz();
    int longest = decays.taps().stream().mapToInt(FreeDecays.Stretch::size).max().orElse(0);
    double slowest = DecaySelection.FEWEST_PERIODS * fs / Math.max(1, longest);
    this.lowHz = Math.max(slowest, settings.bandLowHz().orElse(0.0));
    this.highHz = Math.min(0.49 * fs, settings.bandHighHz().orElse(HIGHEST_HZ));
    if (!(lowHz < highHz)) {
      throw new BadInputException(
          String.format(
              Locale.ROOT,
              "the decays of %.3g s at %.6g samples a second show modes from %.4g to %.4g Hz;"
                  + " the band asked for lies outside",
              longest / fs,
              fs,
              slowest,
              0.49 * fs));
    }
  }

  /**
   * Fits modes to decays.
   *
   * @param decays responses from the onsets on
   * @param settings band and number of modes, where the user has a wish
   * @param progress told how far the fit is
   * @return modes; none, with a remark, if the data show none
   * @throws BadInputException if there is nothing to fit
   */
  public static DecayModes fit(FreeDecays decays, FitSettings settings, Progress progress) {
    if (decays.taps().isEmpty()) {
      throw new BadInputException("there is no decay to fit");
    }
    return new DecayFitter(decays, settings, progress).run();
  }

  /** A choice of terms with where its decays begin. */
  private record Choice(
      FreeDecays decays, DecaySpectra spectra, DecaySelection.Selected selected, double skipS) {
    Fit fit() {
      return selected.fit();
    }
  }

  private DecayModes run() {
    Choice choice = chosen(decays);
    List<Integer> poor = poor(choice.fit());
    String[] complaints = new String[decays.taps().size()];
    List<Integer> used =
        IntStream.range(0, complaints.length).filter(t -> !poor.contains(t)).boxed().toList();
    if (!poor.isEmpty()) {
      for (int t : poor) {
        complaints[t] =
            String.format(
                Locale.ROOT,
                "what the fit leaves of it is %.3g times what it leaves of the others: not one free"
                    + " decay, as after a second blow or with a rattle",
                Math.sqrt(reduced(choice.fit().taps.get(t)) / typical(choice.fit())));
      }
      choice = chosen(decays.without(poor));
    }
    progress.at(0.95, "uncertainties");
    DecayModes found = result(choice, used, complaints);
    progress.at(1, "done");
    return found;
  }

  // ---- where the decays begin

  private Choice chosen(FreeDecays all) {
    double fs = all.sampleRateHz();
    int shortest = all.taps().stream().mapToInt(FreeDecays.Stretch::size).min().orElse(0);
    double first = Math.max(USUAL_BLOW_S, 1 / fs);
    if (all.blowS().isPresent()) {
      return choice(all, all.blowS().get());
    }
    if (shortest - first * fs < FEWEST_SAMPLES) {
      first = Math.max(0, (shortest - FEWEST_SAMPLES) / fs);
    }
    Choice best = choice(all, first);
    while (best.fit().reduced() > MISFIT && 2 * best.skipS <= LONGEST_BLOW_S) {
      if (shortest - 2 * best.skipS * fs < 4 * FEWEST_SAMPLES) {
        break;
      }
      // The same terms tell quickly whether it is worth choosing anew.
      DecaySpectra spectra = new DecaySpectra(all, 2 * best.skipS);
      Fit quick =
          new DecaySelection(spectra, lowHz, highHz, settings, progress).refined(best.fit().terms);
      if (!(quick.reduced() < CLEARLY_BETTER * best.fit().reduced())) {
        break;
      }
      Choice later = choice(all, 2 * best.skipS);
      if (!(later.fit().reduced() < CLEARLY_BETTER * best.fit().reduced())
          || later.fit().terms.isEmpty()) {
        break;
      }
      best = later;
    }
    return best;
  }

  private Choice choice(FreeDecays all, double skipS) {
    DecaySpectra spectra = new DecaySpectra(all, skipS);
    return new Choice(
        all,
        spectra,
        new DecaySelection(spectra, lowHz, highHz, settings, progress).select(),
        skipS);
  }

  // ---- taps that do not fit in

  private static double reduced(TapView view) {
    return view.chiSquare / Math.max(1, view.freedom);
  }

  private static double typical(Fit fit) {
    return DecayNoise.median(fit.taps.stream().mapToDouble(DecayFitter::reduced).toArray());
  }

  /** Taps that are left much worse than the others; at most a third of all. */
  private List<Integer> poor(Fit fit) {
    double typical = typical(fit);
    List<Integer> poor =
        IntStream.range(0, fit.taps.size())
            .filter(
                t ->
                    !decays.asked().contains(t)
                        && reduced(fit.taps.get(t)) > POOR
                        && reduced(fit.taps.get(t)) > POOR_RATIO * typical)
            .boxed()
            .toList();
    return fit.taps.size() >= 3 && poor.size() <= fit.taps.size() / 3 ? poor : List.of();
  }

  // ---- values and sigmas

  private DecayModes result(Choice choice, List<Integer> used, String[] complaints) {
    Fit fit = choice.fit();
    List<Integer> modes =
        IntStream.range(0, fit.terms.size()).filter(j -> !fit.terms.get(j).tone()).boxed().toList();
    List<DecayMode> found = new ArrayList<>();
    RealMatrix inverse = modes.isEmpty() ? null : DecaySelection.inverse(fit.normal());
    for (int j : modes) {
      found.add(mode(choice, inverse, j));
    }
    List<TapFit> taps = new ArrayList<>();
    for (int t = 0; t < complaints.length; t++) {
      taps.add(
          complaints[t] == null
              ? tap(choice, modes, used.indexOf(t))
              : new TapFit(List.of(), List.of(), List.of(), List.of(), Double.NaN, complaints[t]));
    }
    say(choice, modes, found);
    return new DecayModes(
        found, taps, lowHz, highHz, choice.skipS, modes.isEmpty() ? 0 : error(choice), remarks);
  }

  private DecayMode mode(Choice choice, RealMatrix inverse, int j) {
    Fit fit = choice.fit();
    Term term = fit.terms.get(j);
    double omega = 2 * Math.PI * term.fn();
    if (inverse == null) {
      return DecayMode.of(term.fn(), Double.NaN, term.zeta(), Double.NaN);
    }
    int at = fit.place(j);
    int p = fit.unknowns();
    // d fn and d ζ by α and ω
    double[] byFn = new double[p];
    byFn[at] = term.alpha() / omega / (2 * Math.PI);
    byFn[at + 1] = term.omega() / omega / (2 * Math.PI);
    double[] byZeta = new double[p];
    byZeta[at] = term.omega() * term.omega() / Math.pow(omega, 3);
    byZeta[at + 1] = -term.alpha() * term.omega() / Math.pow(omega, 3);
    double scale = choice.spectra.taps() > 0 ? misfit(choice, term) : 1;
    return DecayMode.of(
        term.fn(),
        sigma(fit, inverse, byFn, scale),
        term.zeta(),
        sigma(fit, inverse, byZeta, scale));
  }

  private static double misfit(Choice choice, Term term) {
    DecaySelection judge =
        new DecaySelection(
            choice.spectra, 0, Double.MAX_VALUE, FitSettings.AUTOMATIC, Progress.NONE);
    return judge.misfit(choice.selected.refinement(), choice.fit(), term);
  }

  /**
   * Sigma of one linear combination of the unknowns: from the normal matrix and the misfit; from
   * the scatter of the taps' own gradients where that is significantly more.
   */
  private static double sigma(Fit fit, RealMatrix inverse, double[] by, double misfit) {
    double[] back = inverse.operate(by);
    double model = 0;
    for (int i = 0; i < by.length; i++) {
      model += by[i] * back[i];
    }
    model *= misfit;
    int taps = fit.taps.size();
    if (taps < 3) {
      return Math.sqrt(model);
    }
    double scatter = 0;
    for (TapView v : fit.taps) {
      double own = 0;
      for (int i = 0; i < by.length; i++) {
        own += back[i] * v.gradient[i];
      }
      scatter += own * own;
    }
    scatter *= taps / (taps - 1.0);
    double chance =
        new ChiSquaredDistribution(taps - 1).inverseCumulativeProbability(0.99) / (taps - 1);
    return Math.sqrt(scatter > chance * model ? scatter : model);
  }

  /** The modes in one tap: one step of the fit with this tap alone. */
  private static TapFit tap(Choice choice, List<Integer> modes, int index) {
    Fit fit = choice.fit();
    TapView view = fit.taps.get(index);
    List<Double> fn = new ArrayList<>();
    List<Double> zeta = new ArrayList<>();
    List<Double> amplitude = new ArrayList<>();
    List<Double> phase = new ArrayList<>();
    for (int j : modes) {
      Term term = fit.terms.get(j);
      int at = fit.place(j);
      double aa = view.normal[at][at];
      double ab = view.normal[at][at + 1];
      double bb = view.normal[at + 1][at + 1];
      double det = aa * bb - ab * ab;
      double da = (bb * view.gradient[at] - ab * view.gradient[at + 1]) / det;
      double dw = (aa * view.gradient[at + 1] - ab * view.gradient[at]) / det;
      boolean small =
          det > 1e-12 * aa * bb
              && Math.abs(da) < 0.7 * term.alpha()
              && Math.abs(dw) < 3 * Math.max(term.alpha(), 1e-3 * term.omega());
      Term own = small ? new Term(term.alpha() + da, term.omega() + dw, false) : null;
      fn.add(own == null ? Double.NaN : own.fn());
      zeta.add(own == null ? Double.NaN : own.zeta());
      amplitude.add(2 * Math.hypot(view.residue[2 * j], view.residue[2 * j + 1]));
      phase.add(Math.atan2(view.residue[2 * j + 1], view.residue[2 * j]));
    }
    return new TapFit(fn, zeta, amplitude, phase, reduced(view), "");
  }

  private static double error(Choice choice) {
    double left = choice.fit().chiSquare;
    double all = choice.selected.refinement().linear(List.of()).chiSquare;
    return all > 0 ? Math.sqrt(left / all) : 0;
  }

  // ---- remarks

  private void say(Choice choice, List<Integer> modes, List<DecayMode> found) {
    Fit fit = choice.fit();
    say(
        "how long the blows last is not known without a force: each decay is fitted from %.3g ms"
            + " after its onset on%s",
        1e3 * choice.skipS,
        decays.blowS().isPresent()
            ? ", as the force window says"
            : choice.skipS > 1.5 * Math.max(USUAL_BLOW_S, 1 / decays.sampleRateHz())
                ? ", since it is not free before"
                : "");
    if (found.isEmpty()) {
      say("no mode stands out of the noise from %.4g to %.4g Hz", lowHz, highHz);
    }
    tones(fit);
    for (double hz : choice.selected.loneHz()) {
      say(
          "near %s one tap alone shows something that the others do not: not taken for a mode",
          Sentence.hertz(hz));
    }
    double seconds = choice.spectra.shortest() / choice.spectra.fs;
    for (int i = 0; i < found.size(); i++) {
      DecayMode mode = found.get(i);
      Term term = fit.terms.get(modes.get(i));
      double left = Math.exp(-term.alpha() * seconds);
      if (left > 0.3) {
        say(
            "the decays end when %.0f %% of the mode at %s are left: its damping rests on"
                + " little; record %.2g s after each tap",
            100 * left, Sentence.hertz(mode.frequencyHz()), 3 / term.alpha());
      }
      double periods = Math.min(seconds, 3 / term.alpha()) * term.hz();
      if (periods < 6) {
        say(
            "the mode at %s is seen over %.2g periods only",
            Sentence.hertz(mode.frequencyHz()), periods);
      }
      if (mode.dampingRatioSigma() > 0.2 * mode.dampingRatio()) {
        say(
            "the damping of the mode at %s is known to %s only: tap more often or harder",
            Sentence.hertz(mode.frequencyHz()),
            Sentence.percent(mode.dampingRatioSigma() / mode.dampingRatio()));
      }
      AmplitudeDependence.of(
              choice.decays,
              choice.spectra.noise(),
              fit.terms,
              modes.get(i),
              choice.skipS,
              choice.selected.level(),
              highHz)
          .ifPresent(remarks::add);
    }
    if (choice.spectra.taps() == 1 && !found.isEmpty()) {
      say("one tap only: whether taps agree is unknown");
    }
  }

  private void tones(Fit fit) {
    List<String> tones =
        fit.terms.stream().filter(Term::tone).map(t -> Sentence.digits(t.hz(), 5)).toList();
    if (!tones.isEmpty()) {
      say(
          "steady tones at %s Hz, such as mains hum or a fan, were fitted along and are no modes",
          String.join(", ", tones));
    }
  }

  private void say(String format, Object... values) {
    remarks.add(String.format(Locale.ROOT, format, values));
  }
}

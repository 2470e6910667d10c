package ringtrue.fitting;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Progress;
import ringtrue.fitting.ModalParameters.Term;

/** What a fit that is told nothing makes of a rig, beside one that starts from the truth. */
final class AccuracyStudy {
  private AccuracyStudy() {}

  /** A mode stands out with this many times the rest of the response at its frequency … */
  private static final double OF_THE_REST = 2;

  /** … and this many times the noise of a line. */
  private static final double OF_THE_NOISE = 20;

  /**
   * One true mode and what was made of it.
   *
   * @param truth the mode
   * @param standsOut whether its own peak is twice the rest and twenty times the noise
   * @param found the fitted mode within half a bandwidth, or null
   * @param told what the fit found that was told the number and started at the truth, or null
   * @param bound Cramér-Rao bound of relative fn, ζ, k (one sigma)
   */
  record Outcome(Mode truth, boolean standsOut, Mode found, Mode told, double[] bound) {}

  /**
   * One rig.
   *
   * @param rig the rig
   * @param modes all true modes inside the band
   * @param falseParts for each fitted mode that is none, its peak as a part of the highest
   * @param milliseconds time of the fit
   */
  record Result(
      AccuracyRig rig, List<Outcome> modes, List<Double> falseParts, double milliseconds) {}

  static Result of(AccuracyRig rig) {
    FrequencyResponse response;
    try {
      response = rig.measured();
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
    long start = System.nanoTime();
    FittedModes fitted = ModeFitter.fit(response, FitSettings.AUTOMATIC, Progress.NONE);
    double milliseconds = (System.nanoTime() - start) / 1e6;
    FitLines lines = FitLines.of(response, FitSettings.AUTOMATIC);
    List<Mode> inside = rig.inside(lines.lowHz(), lines.highHz());
    List<Mode> found = new ArrayList<>(fitted.model().modes());
    List<Mode> matched = matched(inside, found);
    List<Mode> told = inside.isEmpty() ? List.of() : matched(inside, told(response, lines, inside));
    AccuracyBound bound = new AccuracyBound(rig);
    double[][] bounds =
        inside.isEmpty() ? new double[0][] : bound.sigmas(inside, lines.lowHz(), lines.highHz());
    List<Outcome> outcomes = new ArrayList<>();
    for (int j = 0; j < inside.size(); j++) {
      Mode truth = inside.get(j);
      outcomes.add(
          new Outcome(
              truth,
              standsOut(rig, truth, bound.lineSigma(truth.frequencyHz(), lines.spacingHz())),
              matched.get(j),
              told.get(j),
              bounds[j]));
    }
    double highest = 0;
    for (int i = 0; i < lines.size(); i++) {
      highest = Math.max(highest, lines.magnitude(i));
    }
    List<Double> falseParts = new ArrayList<>();
    for (Mode mode : found) {
      if (!matched.contains(mode)) {
        falseParts.add(peak(mode) / highest);
      }
    }
    return new Result(rig, outcomes, falseParts, milliseconds);
  }

  private static double peak(Mode mode) {
    return 1 / (2 * mode.dampingRatio() * mode.stiffnessNPerM());
  }

  private static boolean standsOut(AccuracyRig rig, Mode mode, double sigma) {
    double[] one = new double[2];
    double re = 0;
    double im = 0;
    for (Mode other : rig.modes) {
      if (other != mode) {
        other.at(mode.frequencyHz(), one);
        re += one[0];
        im += one[1];
      }
    }
    return peak(mode) > OF_THE_REST * Math.hypot(re, im) && peak(mode) > OF_THE_NOISE * sigma;
  }

  /** For each true mode the nearest fitted one within half a bandwidth, each used once. */
  private static List<Mode> matched(List<Mode> truth, List<Mode> found) {
    Mode[] best = new Mode[truth.size()];
    Set<Mode> used = new java.util.HashSet<>();
    while (true) {
      int to = -1;
      Mode which = null;
      double least = 0.5;
      for (int j = 0; j < best.length; j++) {
        for (Mode mode : found) {
          double apart =
              Math.abs(mode.frequencyHz() - truth.get(j).frequencyHz())
                  / truth.get(j).halfPowerBandwidthHz();
          if (best[j] == null && !used.contains(mode) && apart < least) {
            least = apart;
            to = j;
            which = mode;
          }
        }
      }
      if (to < 0) {
        return java.util.Arrays.asList(best);
      }
      best[to] = which;
      used.add(which);
    }
  }

  /** The same last steps from the true modes. */
  private static List<Mode> told(FrequencyResponse response, FitLines lines, List<Mode> inside) {
    List<Term> terms = new ArrayList<>();
    for (Mode m : inside) {
      terms.add(
          new Term(2 * Math.PI * m.frequencyHz(), m.dampingRatio(), 1 / m.stiffnessNPerM(), 0));
    }
    ModalParameters start = new ModalParameters(terms, 0, 0);
    ModeSelection.Selected chosen =
        new ModeSelection.Selected(start, 0, terms.size(), false, Set.of());
    return FinalFit.of(response, lines, chosen).model().modes();
  }
}

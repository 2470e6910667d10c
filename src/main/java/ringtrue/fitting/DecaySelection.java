package ringtrue.fitting;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.function.DoubleUnaryOperator;
import org.apache.commons.math3.distribution.ChiSquaredDistribution;
import org.apache.commons.math3.linear.LUDecomposition;
import org.apache.commons.math3.linear.RealMatrix;
import org.apache.commons.math3.linear.SingularMatrixException;
import ringtrue.dynamics.Progress;
import ringtrue.fitting.DecayRefinement.Fit;
import ringtrue.fitting.DecayRefinement.TapView;
import ringtrue.fitting.DecayRefinement.Term;

/**
 * Decides how many decaying modes the taps support. Terms are added one at a time where the
 * likelihood gains most, everything is fitted anew each time, and a term stays only if its gain is
 * more than noise can give, several taps speak for it, and it is visible where it stands. What does
 * not decay is a tone, not a mode.
 */
final class DecaySelection {
  /** Chance that noise alone makes a place look like a mode. */
  private static final double CHANCE = 1e-9;

  private static final double MOST_ZETA = 0.25;
  private static final double LEAST_ZETA = 5e-5;

  /** A decay rate less than so many sigmas from 0 is none. */
  private static final double DECAYS = 3;

  /** Two modes closer than this part of a half-power bandwidth are one. */
  private static final double DOUBLE = 0.3;

  /** Part of the response at its own frequency that a mode must be. */
  private static final double VISIBLE = 0.01;

  /** Periods of a mode that a decay must hold. */
  static final double FEWEST_PERIODS = 2.5;

  private static final double ONE_TAP = 0.8;

  /** Where more seem to be there, decays are not those of a few linear modes. */
  static final int MOST_MODES = 16;

  private static final int MOST_ROUNDS = 60;
  private static final int MOST_IDLE = 10;

  private final DecaySpectra spectra;
  private final double lowHz;
  private final double highHz;
  private final FitSettings settings;
  private final Progress progress;
  private final DecaySearch search;
  private final double need;
  private final List<Refused> refused = new ArrayList<>();
  private final List<Double> lone = new ArrayList<>();
  private DoubleUnaryOperator level;
  private Fit lastFit;
  private double[][] lastLeft;

  private record Refused(double hz, double widthHz, double alpha) {}

  DecaySelection(
      DecaySpectra spectra, double lowHz, double highHz, FitSettings settings, Progress progress) {
    this.spectra = spectra;
    this.lowHz = lowHz;
    this.highHz = highHz;
    this.settings = settings;
    this.progress = progress;
    this.search = new DecaySearch(spectra, lowHz, highHz);
    this.need =
        new ChiSquaredDistribution(2.0 * spectra.taps() + 2)
            .inverseCumulativeProbability(1 - CHANCE);
  }

  /**
   * What was chosen.
   *
   * @param fit all terms, tones included
   * @param refinement on whose lines
   * @param level noise over frequency that it used
   * @param loneHz where a single tap shows something that the others do not, Hz
   */
  record Selected(
      Fit fit, DecayRefinement refinement, DoubleUnaryOperator level, List<Double> loneHz) {}

  Selected select() {
    List<Term> terms = new ArrayList<>();
    for (double hz : spectra.noise().tonesHz()) {
      if (hz > lowHz && hz < highHz) {
        terms.add(Term.tone(hz));
      }
    }
    terms = settings.picksHz().isEmpty() ? grown(terms) : picked(terms);
    terms = pruned(terms);
    if (settings.count().isPresent()) {
      terms = counted(terms, settings.count().get());
    }
    terms.sort(Comparator.comparingDouble(Term::fn));
    DecayRefinement refinement = refinement(terms);
    Fit fit = refinement.from(terms);
    return new Selected(fit, refinement, level, lone);
  }

  /** The same terms fitted to these decays. */
  Fit refined(List<Term> terms) {
    left(terms, new double[spectra.taps()][]);
    return refinement(terms).from(terms, null, 6, 1e-3);
  }

  private List<Term> grown(List<Term> start) {
    List<Term> terms = start;
    int idle = 0;
    for (int round = 0; round < MOST_ROUNDS && idle < MOST_IDLE; round++) {
      progress.at(Math.min(0.9, 0.08 * terms.size()), "looking for modes, " + modes(terms));
      Optional<DecaySearch.Place> place = look(terms, need / 2);
      if (place.isEmpty()) {
        break;
      }
      Optional<List<Term>> more = with(terms, place.get().term());
      if (more.isPresent()) {
        terms = more.get();
        idle = 0;
        if (modes(terms) >= MOST_MODES) {
          break;
        }
      } else {
        idle++;
      }
    }
    return terms;
  }

  private static int modes(List<Term> terms) {
    return (int) terms.stream().filter(t -> !t.tone()).count();
  }

  /** Place of the largest gain in what these terms leave; sets the noise level on the way. */
  private Optional<DecaySearch.Place> look(List<Term> terms, double enough) {
    double[][] fitted = new double[spectra.taps()][];
    double[][] left = left(terms, fitted);
    return search.best(left, fitted, level, enough, this::allowed);
  }

  private boolean allowed(double hz, double alpha) {
    for (Refused r : refused) {
      if (Math.abs(hz - r.hz) < r.widthHz && alpha < 4.5 * r.alpha && alpha > r.alpha / 4.5) {
        return false;
      }
    }
    return true;
  }

  private double[][] left(List<Term> terms, double[][] fitted) {
    double[][] left = new double[spectra.taps()][];
    if (level == null) {
      setLevel(spectra.time);
    }
    Fit fit = terms.isEmpty() ? null : refinement(terms).linear(terms);
    for (int t = 0; t < left.length; t++) {
      fitted[t] = new double[spectra.samples[t]];
      if (fit != null) {
        for (int j = 0; j < terms.size(); j++) {
          TapView view = fit.taps.get(t);
          add(terms.get(j), view.residue[2 * j], view.residue[2 * j + 1], spectra.fs, fitted[t]);
        }
      }
      left[t] = spectra.time[t].clone();
      for (int i = 0; i < left[t].length; i++) {
        left[t][i] -= fitted[t][i];
      }
      straighten(left[t]);
    }
    setLevel(left);
    lastFit = fit;
    lastLeft = left;
    return left;
  }

  /** Takes out the straight line that fits best. */
  private static void straighten(double[] x) {
    int n = x.length;
    double mean = 0;
    double slope = 0;
    double middle = (n - 1) / 2.0;
    for (int i = 0; i < n; i++) {
      mean += x[i] / n;
      slope += (i - middle) * x[i];
    }
    slope *= 12.0 / (n * ((double) n * n - 1));
    for (int i = 0; i < n; i++) {
      x[i] -= mean + slope * (i - middle);
    }
  }

  private void setLevel(double[][] left) {
    DoubleUnaryOperator seen = DecaySearch.levelOf(left, spectra.fs, lowHz, highHz);
    level = hz -> Math.max(spectra.noise().at(hz), seen.applyAsDouble(hz));
  }

  /** Adds 2 Re(R zⁿ). */
  static void add(Term term, double re, double im, double fs, double[] into) {
    double size = Math.exp(-term.alpha() / fs);
    double zr = size * Math.cos(term.omega() / fs);
    double zi = size * Math.sin(term.omega() / fs);
    double a = 2 * re;
    double b = 2 * im;
    for (int i = 0; i < into.length; i++) {
      into[i] += a;
      double next = a * zr - b * zi;
      b = a * zi + b * zr;
      a = next;
    }
  }

  DecayRefinement refinement(List<Term> terms) {
    return new DecayRefinement(spectra, bands(terms), level);
  }

  /** Bands in which the terms show; everything for short records. */
  private List<double[]> bands(List<Term> terms) {
    if (spectra.longest() < 2000) {
      return List.of(new double[] {lowHz, highHz});
    }
    return terms.stream().map(this::band).toList();
  }

  private double[] band(Term t) {
    double df = spectra.spacingHz();
    if (spectra.longest() < 2000) {
      return new double[] {lowHz, highHz};
    }
    double reach = t.tone() ? 8 * df : Math.max(6 * t.bandwidthHz(), 12 * df);
    return new double[] {Math.max(lowHz, t.hz() - reach), Math.min(highHz, t.hz() + reach)};
  }

  /**
   * The terms with one more, if that is a mode or a tone; else its place is remembered. Only it and
   * its neighbours are fitted, to what the others leave.
   */
  private Optional<List<Term>> with(List<Term> terms, Term candidate) {
    double[] band = band(candidate);
    List<Integer> near = new ArrayList<>();
    for (int j = 0; j < terms.size(); j++) {
      double[] own = band(terms.get(j));
      if (own[0] <= band[1] && own[1] >= band[0]) {
        near.add(j);
      }
    }
    DecaySpectra here = spectra.with(around(terms, near));
    List<Term> known = near.stream().map(terms::get).toList();
    List<Term> more = new ArrayList<>(known);
    more.add(candidate);
    DecayRefinement refinement = new DecayRefinement(here, List.of(band), level);
    Fit before = refinement.linear(known);
    // A neighbour whose peak lies outside the band would be moved by its skirts alone.
    boolean[] free = new boolean[more.size()];
    for (int i = 0; i < free.length; i++) {
      free[i] = i == known.size() || known.get(i).hz() > band[0] && known.get(i).hz() < band[1];
    }
    Fit after = refinement.from(more, free, 25, 1e-5);
    int last = more.size() - 1;
    Term found = after.terms.get(last);
    if (isTone(after, last, free)) {
      List<Term> steady = new ArrayList<>(after.terms);
      steady.set(last, new Term(0, found.omega(), true));
      after = refinement.from(steady, free, 25, 1e-5);
      found = after.terms.get(last);
    }
    double scale = scale(refinement, after, found);
    double gain = before.chiSquare - after.chiSquare;
    if (gain > need * scale && gain < 30 * need * scale) {
      before = refinement.from(known, Arrays.copyOf(free, known.size()), 10, 1e-4);
      gain = before.chiSquare - after.chiSquare;
    }
    boolean worth = gain > need * scale;
    if (worth && isOneTap(before, after, scale)) {
      lone.add(found.fn());
      worth = false;
    }
    if (worth && (found.tone() || isMode(after, last))) {
      List<Term> all = new ArrayList<>(terms);
      for (int i = 0; i < near.size(); i++) {
        all.set(near.get(i), after.terms.get(i));
      }
      all.add(found);
      return Optional.of(all);
    }
    double df = spectra.spacingHz();
    refused.add(
        new Refused(candidate.hz(), Math.max(candidate.bandwidthHz(), 2 * df), candidate.alpha()));
    return Optional.empty();
  }

  /** What the terms leave, with some of them put back. */
  private double[][] around(List<Term> terms, List<Integer> back) {
    double[][] x = new double[spectra.taps()][];
    for (int t = 0; t < x.length; t++) {
      x[t] = lastLeft[t].clone();
      for (int j : back) {
        TapView view = lastFit.taps.get(t);
        add(terms.get(j), view.residue[2 * j], view.residue[2 * j + 1], spectra.fs, x[t]);
      }
    }
    return x;
  }

  private boolean isOneTap(Fit before, Fit after, double scale) {
    int taps = spectra.taps();
    if (taps < 3) {
      return false;
    }
    double[] gain = new double[taps];
    for (int t = 0; t < taps; t++) {
      gain[t] = before.taps.get(t).chiSquare - after.taps.get(t).chiSquare;
    }
    double sum = Arrays.stream(gain).sum();
    double most = Arrays.stream(gain).max().orElse(0);
    return most > ONE_TAP * sum && sum - most < need * scale;
  }

  /** A term whose decay rate cannot be told from 0. */
  private static boolean isTone(Fit fit, int index, boolean[] free) {
    Term term = fit.terms.get(index);
    double sigma = Math.sqrt(variance(fit, index, free) * Math.max(1, fit.reduced()));
    return !term.tone() && term.alpha() < DECAYS * sigma;
  }

  /** Variance of a term's decay rate, with the terms that may move besides. */
  private static double variance(Fit fit, int index, boolean[] free) {
    List<Integer> places = new ArrayList<>();
    int at = 0;
    for (int j = 0; j < fit.terms.size(); j++) {
      for (int i = 0; i < fit.terms.get(j).unknowns(); i++) {
        if (free[j]) {
          if (j == index && i == 0) {
            at = places.size();
          }
          places.add(fit.place(j) + i);
        }
      }
    }
    int[] chosen = places.stream().mapToInt(Integer::intValue).toArray();
    RealMatrix inverse = inverse(fit.normal().getSubMatrix(chosen, chosen));
    return inverse == null ? Double.POSITIVE_INFINITY : inverse.getEntry(at, at);
  }

  /** Inverse of a normal matrix, scaled first; null where it is singular. */
  static RealMatrix inverse(RealMatrix normal) {
    int p = normal.getRowDimension();
    RealMatrix scaled = normal.copy();
    double[] size = new double[p];
    for (int i = 0; i < p; i++) {
      size[i] = Math.sqrt(normal.getEntry(i, i));
      if (!(size[i] > 0)) {
        return null;
      }
    }
    for (int i = 0; i < p; i++) {
      for (int j = 0; j < p; j++) {
        scaled.multiplyEntry(i, j, 1 / (size[i] * size[j]));
      }
    }
    try {
      RealMatrix inverse = new LUDecomposition(scaled, 1e-13).getSolver().getInverse();
      for (int i = 0; i < p; i++) {
        for (int j = 0; j < p; j++) {
          inverse.multiplyEntry(i, j, 1 / (size[i] * size[j]));
        }
      }
      return inverse;
    } catch (SingularMatrixException e) {
      return null;
    }
  }

  private boolean isMode(Fit fit, int index) {
    Term term = fit.terms.get(index);
    double periods = term.hz() * spectra.longest() / spectra.fs;
    if (term.zeta() < LEAST_ZETA
        || term.zeta() > MOST_ZETA
        || term.hz() < lowHz
        || term.hz() > highHz
        || periods < FEWEST_PERIODS) {
      return false;
    }
    double own = peak(fit, index, term.omega());
    double others = 0;
    for (int j = 0; j < fit.terms.size(); j++) {
      Term other = fit.terms.get(j);
      if (j == index) {
        continue;
      }
      others += Math.pow(peak(fit, j, term.omega()), 2);
      double bandwidth = Math.max(term.bandwidthHz(), other.bandwidthHz());
      boolean weaker = own < peak(fit, j, other.omega());
      if (!other.tone() && weaker && Math.abs(other.hz() - term.hz()) < DOUBLE * bandwidth) {
        return false;
      }
    }
    return own > VISIBLE * Math.sqrt(others);
  }

  /** Size of a term's transform at a frequency, root mean square over the taps. */
  private double peak(Fit fit, int index, double omega) {
    Term term = fit.terms.get(index);
    double width = Math.max(term.alpha(), spectra.fs / spectra.longest());
    double sum = 0;
    for (TapView v : fit.taps) {
      sum +=
          v.residue[2 * index] * v.residue[2 * index]
              + v.residue[2 * index + 1] * v.residue[2 * index + 1];
    }
    return Math.sqrt(sum / fit.taps.size()) / Math.hypot(width, omega - term.omega());
  }

  /** Mean square misfit about a term over what the noise gives, at least that and at least 1. */
  private double scale(DecayRefinement refinement, Fit fit, Term about) {
    return Math.max(1, misfit(refinement, fit, about));
  }

  /** Mean square misfit about a term over what the noise gives. */
  double misfit(DecayRefinement refinement, Fit fit, Term about) {
    double reach = Math.max(3 * about.bandwidthHz(), 12 * spectra.spacingHz());
    double sum = 0;
    int count = 0;
    for (int t = 0; t < fit.taps.size(); t++) {
      double[] left = fit.taps.get(t).left;
      int n = left.length / 2;
      for (int i = 0; i < n; i++) {
        if (Math.abs(refinement.lineHz(t, i) - about.hz()) < reach) {
          sum += left[i] * left[i] + left[n + i] * left[n + i];
          count += 2;
        }
      }
    }
    double rows = 2.0 * refinement.lines();
    double freedom = count * fit.freedom() / Math.max(1, rows);
    return freedom < 4 ? fit.reduced() : sum / freedom;
  }

  /** Drops terms until each is worth its place. */
  private List<Term> pruned(List<Term> start) {
    List<Term> terms = new ArrayList<>(start);
    while (!terms.isEmpty() && settings.picksHz().isEmpty()) {
      DecayRefinement refinement = refinement(terms);
      Fit fit = refinement.from(terms, null, 30, 1e-6);
      terms = new ArrayList<>(fit.terms);
      int worst = -1;
      double least = Double.POSITIVE_INFINITY;
      for (int j = 0; j < terms.size(); j++) {
        boolean may = terms.get(j).tone() || isMode(fit, j) && !isTone(fit, j, all(terms));
        double worth = may ? worth(refinement, fit, j) : 0;
        if (worth < least) {
          least = worth;
          worst = j;
        }
      }
      if (worst < 0 || least >= need) {
        return terms;
      }
      terms.remove(worst);
    }
    return terms;
  }

  private static boolean[] all(List<Term> terms) {
    boolean[] all = new boolean[terms.size()];
    Arrays.fill(all, true);
    return all;
  }

  private double worth(DecayRefinement refinement, Fit fit, int index) {
    List<Term> rest = new ArrayList<>(fit.terms);
    Term term = rest.remove(index);
    double scale = scale(refinement, fit, term);
    double rise = refinement.linear(rest).chiSquare - fit.chiSquare;
    if (rise < 20 * need * scale) {
      rise = refinement.from(rest, null, 8, 1e-4).chiSquare - fit.chiSquare;
    }
    return rise / scale;
  }

  /** One mode near each frequency picked by hand. */
  private List<Term> picked(List<Term> start) {
    List<Term> terms = new ArrayList<>(start);
    for (double pick : settings.picksHz()) {
      double reach = Math.max(0.03 * pick, 3 * spectra.spacingHz());
      double[][] fitted = new double[spectra.taps()][];
      double[][] left = left(terms, fitted);
      Optional<DecaySearch.Place> place =
          search.best(left, fitted, level, 0, (hz, alpha) -> Math.abs(hz - pick) < reach);
      if (place.isPresent()) {
        terms.add(place.get().term());
        terms = new ArrayList<>(refinement(terms).from(terms, null, 25, 1e-5).terms);
      }
    }
    return terms;
  }

  /** So many modes, if there is any way. */
  private List<Term> counted(List<Term> start, int count) {
    List<Term> terms = new ArrayList<>(start);
    while (modes(terms) > count) {
      DecayRefinement refinement = refinement(terms);
      Fit fit = refinement.from(terms, null, 15, 1e-5);
      int worst = -1;
      double least = Double.POSITIVE_INFINITY;
      for (int j = 0; j < terms.size(); j++) {
        if (!terms.get(j).tone()) {
          double worth = worth(refinement, fit, j);
          if (worth < least) {
            least = worth;
            worst = j;
          }
        }
      }
      terms = new ArrayList<>(fit.terms);
      terms.remove(worst);
    }
    refused.clear();
    for (int attempt = 0; attempt < MOST_IDLE && modes(terms) < count; attempt++) {
      Optional<DecaySearch.Place> place = look(terms, 0);
      if (place.isEmpty()) {
        break;
      }
      List<Term> more = new ArrayList<>(terms);
      more.add(place.get().term());
      Fit fit = refinement(more).from(more, null, 25, 1e-5);
      Term found = fit.terms.get(more.size() - 1);
      if (found.zeta() > LEAST_ZETA
          && found.zeta() < MOST_ZETA
          && found.hz() > lowHz
          && found.hz() < highHz) {
        terms = new ArrayList<>(fit.terms);
      } else {
        refused.add(
            new Refused(
                place.get().term().hz(),
                Math.max(place.get().term().bandwidthHz(), 2 * spectra.spacingHz()),
                place.get().term().alpha()));
      }
    }
    return terms;
  }
}

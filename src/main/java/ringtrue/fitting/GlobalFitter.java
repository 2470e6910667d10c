package ringtrue.fitting;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.IntStream;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.OppositeMode;
import ringtrue.dynamics.Progress;
import ringtrue.fitting.GlobalModes.OneResponse;
import ringtrue.fitting.GlobalModes.Share;
import ringtrue.fitting.GlobalModes.SharedMode;
import ringtrue.fitting.GlobalRefinement.Errors;
import ringtrue.fitting.GlobalRefinement.Fit;
import ringtrue.fitting.GlobalRefinement.Shared;
import ringtrue.fitting.ModalParameters.Term;
import ringtrue.fitting.VectorFitting.Pole;
import ringtrue.units.BadInputException;

/**
 * Fits several responses of one structure together: directions, cross responses, several points.
 * All share natural frequencies and damping ratios; each has its own compliances and residual
 * terms, lines, window and noise. A mode that is weak in each of them is known better from all.
 *
 * <p>The model of each response is that of {@link ModeFitter} with real residues. In a cross
 * response a mode may contribute with either sign.
 */
public final class GlobalFitter {
  /** A compliance of fewer sigmas than this is not seen. */
  private static final double SEEN = 3;

  /** A response must know a mode by so many sigmas of its compliance to have a say on its pole. */
  private static final double HAS_A_SAY = 12;

  /** Sigmas by which a response may be off the others. */
  private static final double APART = 5;

  /** Part of the half-power bandwidth, and of the damping ratio, that matters. */
  private static final double MATTERS = 0.05;

  /** Half-power bandwidths within which two modes may be one that the responses see differently. */
  private static final double SPLIT = 0.5;

  private static final int STEPS = 40;
  private static final double TOLERANCE = 1e-10;

  private final List<FrequencyResponse> measured;
  private final List<FitLines> lines;
  private final boolean[] driving;
  private final double[][] weight;
  private final List<String> remarks = new ArrayList<>();

  private GlobalFitter(List<FrequencyResponse> measured, FitSettings settings) {
    this.measured = measured;
    lines = measured.stream().map(r -> FitLines.of(r, settings)).toList();
    driving = new boolean[measured.size()];
    weight = new double[measured.size()][];
    for (int r = 0; r < driving.length; r++) {
      driving[r] = isDrivingPoint(measured.get(r));
      weight[r] = new double[lines.get(r).size()];
      Arrays.fill(weight[r], 1);
    }
  }

  private static final Pattern TWO_DIRECTIONS =
      Pattern.compile("[-+]?([xyz])[\\s,/]*[-+]?([xyz])", Pattern.CASE_INSENSITIVE);

  /**
   * Whether a response's axis names one direction, as in {@code "x"}; two different ones, as in
   * {@code "xy"}, make it a cross response.
   */
  public static boolean isDrivingPoint(FrequencyResponse response) {
    return isDrivingPoint(response.origin().axis());
  }

  /**
   * The same of an axis.
   *
   * @see #isDrivingPoint(FrequencyResponse)
   */
  public static boolean isDrivingPoint(String axis) {
    Matcher two = TWO_DIRECTIONS.matcher(axis.strip());
    return !two.matches() || two.group(1).equalsIgnoreCase(two.group(2));
  }

  /**
   * Fits responses together.
   *
   * @param responses two receptances or more; {@link #isDrivingPoint} tells driving points from
   *     cross responses
   * @param settings band, at most so many modes, or hand-picked frequencies
   * @param progress told how far the fit is
   * @throws BadInputException if there is only one response, a driving point's polarity is wrong, a
   *     band holds too few lines, or a pick lies outside all bands
   */
  public static GlobalModes fit(
      List<FrequencyResponse> responses, FitSettings settings, Progress progress) {
    if (responses.size() < 2) {
      throw new BadInputException(
          "a global fit needs two responses or more of one structure, not " + responses.size());
    }
    return new GlobalFitter(List.copyOf(responses), settings).fit(settings, progress);
  }

  private GlobalModes fit(FitSettings settings, Progress progress) {
    check(settings);
    for (int r = 0; r < lines.size(); r++) {
      FitLines one = lines.get(r);
      if (IntStream.range(0, one.size()).allMatch(i -> one.re[i] == 0 && one.im[i] == 0)) {
        throw new BadInputException(name(r) + ": holds nothing but zeros in the band");
      }
    }
    List<PoleGroups.Grouped> found = new ArrayList<>();
    for (int r = 0; r < lines.size(); r++) {
      double share = 1.0 / lines.size();
      int index = r;
      found.add(
          PoleSearch.of(
              lines.get(r),
              (done, what) ->
                  progress.at(share * (index * 0.4 + done), name(index) + ": " + what)));
    }
    List<List<Pole>> poles = found.stream().map(PoleGroups.Grouped::starts).toList();
    OptionalInt count =
        settings.count().isPresent() ? OptionalInt.of(settings.count().get()) : OptionalInt.empty();
    GlobalRefinement refinement = new GlobalRefinement(lines, weight);
    Fit fit =
        new GlobalSelection(lines, driving, weight)
            .select(poles, count, settings.picksHz(), progress);
    progress.at(0.8, "refining");
    for (int r = 0; r < lines.size(); r++) {
      FinalFit.reweigh(lines.get(r), fit.shared().of(r), weight[r]);
    }
    fit = refinement.from(fit.shared(), STEPS, TOLERANCE);
    fit = withoutUnseen(refinement, fit);
    Errors errors = errors(refinement, fit.shared());
    progress.at(0.9, "comparing the responses");
    List<String> apart = disagreements(fit.shared(), errors);
    boolean shared = apart.isEmpty();
    remarks.addAll(apart);
    if (shared) {
      addUnseen(fit.shared());
    }
    List<Double> modesHz = new ArrayList<>();
    for (double omega : fit.shared().omega()) {
      modesHz.add(omega / (2 * Math.PI));
    }
    remarks.addAll(PickedModes.remarks(settings.picksHz(), modesHz));
    settings
        .count()
        .filter(wanted -> wanted > modesHz.size() && settings.picksHz().isEmpty())
        .ifPresent(
            wanted ->
                remarks.add(
                    wanted
                        + " modes were asked for, but the responses together support "
                        + modesHz.size()
                        + "."));
    if (modesHz.isEmpty()) {
      remarks.add("No mode stands out of the noise in any of the responses.");
    }
    Convergence convergence = convergence(fit, unknowns(fit.shared()));
    List<OneResponse> all = new ArrayList<>();
    for (int r = 0; r < lines.size(); r++) {
      all.add(
          shared
              ? one(r, fit.shared(), r, errors, found.get(r), convergence, true)
              : alone(r, fit.shared(), found.get(r)));
    }
    progress.at(1, "done");
    return new GlobalModes(
        shared ? shared(fit.shared(), errors) : List.of(), all, shared, convergence, remarks);
  }

  private void check(FitSettings settings) {
    for (int r = 0; r < lines.size(); r++) {
      if (driving[r] && Polarity.isReversed(lines.get(r))) {
        throw new BadInputException(
            name(r)
                + " moves against the blow: turn the sensor's polarity round (\"polarity\": \"-\");"
                + " a cross response has an axis of two letters, as \"xy\"");
      }
    }
    for (double hz : settings.picksHz()) {
      if (lines.stream().noneMatch(l -> hz >= l.lowHz() && hz <= l.highHz())) {
        throw new BadInputException(
            "pick: "
                + Sentence.hertz(hz)
                + " lies outside the bands of all responses; pick a frequency inside, or widen them");
      }
    }
  }

  /** What to call a response. */
  private String name(int r) {
    FrequencyResponse.Origin origin = measured.get(r).origin();
    List<String> parts = new ArrayList<>();
    if (!origin.axis().isEmpty()) {
      parts.add(origin.axis());
    }
    if (!origin.point().isEmpty()) {
      parts.add(origin.point());
    }
    return "response " + (r + 1) + (parts.isEmpty() ? "" : " (" + String.join(", ", parts) + ")");
  }

  private Errors errors(GlobalRefinement refinement, Shared shared) {
    double[][] inflation = new double[lines.size()][shared.modes()];
    for (int r = 0; r < lines.size(); r++) {
      double[] own = FinalFit.inflation(lines.get(r), weight[r], shared.of(r));
      int k = 0;
      for (int j = 0; j < shared.modes(); j++) {
        inflation[r][j] = shared.has(r, j) ? own[k++] : 1;
      }
    }
    Errors errors = refinement.errors(shared, inflation);
    if (errors != null) {
      return errors;
    }
    double[] unknown = new double[shared.modes()];
    Arrays.fill(unknown, Double.NaN);
    double[][] unknowns = new double[lines.size()][];
    Arrays.fill(unknowns, unknown);
    return new Errors(unknown, unknown, unknowns, unknowns);
  }

  /** Leaves a mode out of each response that does not see it. */
  private Fit withoutUnseen(GlobalRefinement refinement, Fit start) {
    Errors errors = errors(refinement, start.shared());
    Shared shared = start.shared();
    for (int r = 0; r < lines.size(); r++) {
      for (int j = 0; j < shared.modes(); j++) {
        double size = shared.compliance()[r][j];
        boolean unsure = Math.abs(size) < SEEN * errors.compliance()[r][j];
        if (shared.has(r, j) && (unsure || driving[r] && size < 0)) {
          shared = shared.unseen(r, j);
        }
      }
    }
    for (int j = shared.modes() - 1; j >= 0; j--) {
      boolean any = false;
      for (int r = 0; r < lines.size(); r++) {
        any |= shared.has(r, j);
      }
      if (!any) {
        shared = shared.without(j);
      }
    }
    return shared == start.shared() ? start : refinement.from(shared, STEPS, TOLERANCE);
  }

  private void addUnseen(Shared shared) {
    for (int r = 0; r < lines.size(); r++) {
      for (int j = 0; j < shared.modes(); j++) {
        double hz = shared.omega()[j] / (2 * Math.PI);
        boolean inside = hz >= lines.get(r).lowHz() && hz <= lines.get(r).highHz();
        if (!shared.has(r, j) && inside) {
          remarks.add("The mode at " + Sentence.hertz(hz) + " does not show in " + name(r) + ".");
        }
      }
    }
  }

  /** A response's own value of a mode's pole. */
  private record Own(
      int response, double omega, double omegaSigma, double zeta, double zetaSigma) {}

  /**
   * Fits each response by itself and compares what they know about each mode: sentences on modes on
   * which one is off the others by more than their sigmas and by enough to matter.
   */
  private List<String> disagreements(Shared shared, Errors errors) {
    List<List<Own>> ofMode = new ArrayList<>();
    for (int j = 0; j < shared.modes(); j++) {
      ofMode.add(new ArrayList<>());
    }
    for (int r = 0; r < lines.size(); r++) {
      GlobalRefinement single = single(r);
      Shared own = single.from(shared.alone(r), STEPS, TOLERANCE).shared();
      GlobalFitter part = part(r);
      Errors error = part.errors(single, own);
      double[] gain = FinalFit.gainSigma(measured.get(r), lines.get(r), own.of(0));
      int k = 0;
      for (int j = 0; j < shared.modes(); j++) {
        if (!shared.has(r, j)) {
          continue;
        }
        double a = own.compliance()[0][k];
        if (Math.abs(a) > HAS_A_SAY * error.compliance()[0][k]) {
          double turn = own.zeta()[k] * gain[k] / Math.sqrt(2);
          ofMode
              .get(j)
              .add(
                  new Own(
                      r,
                      own.omega()[k],
                      own.omega()[k] * Math.hypot(error.omega()[k], turn),
                      own.zeta()[k],
                      own.zeta()[k] * error.zeta()[k]));
        }
        k++;
      }
    }
    joinSplit(shared, ofMode);
    List<String> apart = new ArrayList<>();
    for (List<Own> some : ofMode) {
      worst(some).ifPresent(apart::add);
    }
    return apart;
  }

  /**
   * Two modes so close that one response could hardly hold both, and that no response has both of,
   * are one mode on which the responses differ.
   */
  private void joinSplit(Shared shared, List<List<Own>> ofMode) {
    for (int i = 0; i < shared.modes(); i++) {
      for (int j = i + 1; j < shared.modes(); j++) {
        double decays = shared.zeta()[i] * shared.omega()[i] + shared.zeta()[j] * shared.omega()[j];
        boolean close = Math.abs(shared.omega()[i] - shared.omega()[j]) < SPLIT * decays;
        boolean both = false;
        for (int r = 0; r < lines.size(); r++) {
          both |= shared.has(r, i) && shared.has(r, j);
        }
        if (close && !both) {
          ofMode.get(i).addAll(ofMode.get(j));
          ofMode.get(j).clear();
        }
      }
    }
  }

  private Optional<String> worst(List<Own> some) {
    double most = 0;
    Own first = null;
    Own second = null;
    boolean byDamping = false;
    for (Own a : some) {
      for (Own b : some) {
        double shift = Math.abs(a.omega - b.omega);
        double bandwidth = a.zeta * a.omega + b.zeta * b.omega;
        double byFrequency = shift / Math.hypot(a.omegaSigma, b.omegaSigma);
        if (a != b && byFrequency > Math.max(APART, most) && shift > MATTERS * bandwidth) {
          most = byFrequency;
          first = a;
          second = b;
          byDamping = false;
        }
        double other = Math.abs(a.zeta - b.zeta);
        double byZeta = other / Math.hypot(a.zetaSigma, b.zetaSigma);
        if (a != b && byZeta > Math.max(APART, most) && other > MATTERS * (a.zeta + b.zeta) / 2) {
          most = byZeta;
          first = a;
          second = b;
          byDamping = true;
        }
      }
    }
    if (first == null) {
      return Optional.empty();
    }
    return Optional.of(
        "The responses do not agree on the mode near "
            + Sentence.digits(first.omega / (2 * Math.PI), 3)
            + " Hz: "
            + own(first, byDamping)
            + " in "
            + name(first.response)
            + ", "
            + own(second, byDamping)
            + " in "
            + name(second.response)
            + ". Each response keeps its own modes. Likely causes: the set-up changed in between, or"
            + " the sensor's mass at different places.");
  }

  private static String own(Own own, boolean byDamping) {
    return byDamping
        ? "a damping ratio of "
            + Sentence.percent(own.zeta)
            + " ± "
            + Sentence.digits(100 * own.zetaSigma, 2)
            + " %"
        : Sentence.digits(own.omega / (2 * Math.PI), 6)
            + " ± "
            + Sentence.digits(own.omegaSigma / (2 * Math.PI), 2)
            + " Hz";
  }

  private GlobalRefinement single(int r) {
    return new GlobalRefinement(List.of(lines.get(r)), new double[][] {weight[r]});
  }

  /** One response by itself, with the outliers' weights of all. */
  private GlobalFitter part(int r) {
    return new GlobalFitter(measured.get(r), lines.get(r), weight[r], driving[r]);
  }

  private GlobalFitter(
      FrequencyResponse measured, FitLines lines, double[] weight, boolean driving) {
    this.measured = List.of(measured);
    this.lines = List.of(lines);
    this.weight = new double[][] {weight};
    this.driving = new boolean[] {driving};
  }

  private OneResponse alone(int r, Shared shared, PoleGroups.Grouped poles) {
    GlobalRefinement single = single(r);
    Fit own = single.from(shared.alone(r), STEPS, TOLERANCE);
    GlobalFitter part = part(r);
    own = part.withoutUnseen(single, own);
    Errors errors = part.errors(single, own.shared());
    Convergence convergence = part.convergence(own, part.unknowns(own.shared()));
    return one(r, own.shared(), 0, errors, poles, convergence, false);
  }

  private int unknowns(Shared shared) {
    int n = 2 * shared.modes();
    for (int r = 0; r < lines.size(); r++) {
      n += shared.of(r).terms().size() + 2;
    }
    return n;
  }

  private Convergence convergence(Fit fit, int unknowns) {
    double counted = 0;
    for (double[] some : weight) {
      for (double w : some) {
        counted += 2 * w;
      }
    }
    return new Convergence(
        fit.steps(),
        fit.lastChange(),
        fit.converged(),
        fit.total() / Math.max(1, counted - unknowns));
  }

  private List<SharedMode> shared(Shared shared, Errors errors) {
    List<SharedMode> modes = new ArrayList<>();
    Integer[] order = new Integer[shared.modes()];
    Arrays.setAll(order, j -> j);
    Arrays.sort(order, (a, b) -> Double.compare(shared.omega()[a], shared.omega()[b]));
    for (int j : order) {
      double hz = shared.omega()[j] / (2 * Math.PI);
      modes.add(
          new SharedMode(
              hz,
              hz * Math.hypot(errors.omega()[j], turn(shared, errors, j)),
              shared.zeta()[j],
              shared.zeta()[j] * errors.zeta()[j]));
    }
    return modes;
  }

  /** What a phase error that all lines of a mode share does to its frequency, see FinalFit. */
  private double turn(Shared shared, Errors errors, int mode) {
    double sum = 0;
    for (int r = 0; r < lines.size(); r++) {
      if (shared.has(r, mode)) {
        double[] gain = FinalFit.gainSigma(measured.get(r), lines.get(r), shared.of(r));
        sum += Math.pow(errors.part()[r][mode] * gain[place(shared, r, mode)], 2);
      }
    }
    return shared.zeta()[mode] * Math.sqrt(sum / 2);
  }

  /** Index of a mode among those that a response has. */
  private static int place(Shared shared, int response, int mode) {
    int k = 0;
    for (int j = 0; j < mode; j++) {
      k += shared.has(response, j) ? 1 : 0;
    }
    return k;
  }

  /**
   * @param r which measurement
   * @param index its index in the shared modes and errors
   */
  private OneResponse one(
      int r,
      Shared shared,
      int index,
      Errors errors,
      PoleGroups.Grouped poles,
      Convergence convergence,
      boolean isShared) {
    FitLines own = lines.get(r);
    ModalParameters p = shared.of(index);
    double[] gain = FinalFit.gainSigma(measured.get(r), own, p);
    List<Mode> along = new ArrayList<>();
    List<OppositeMode> opposite = new ArrayList<>();
    List<Term> outside = new ArrayList<>();
    List<Optional<Share>> shares = new ArrayList<>();
    for (int j : byFrequency(shared)) {
      if (!shared.has(index, j)) {
        shares.add(Optional.empty());
        continue;
      }
      int k = place(shared, index, j);
      double hz = shared.omega()[j] / (2 * Math.PI);
      double zeta = shared.zeta()[j];
      double a = shared.compliance()[index][j];
      double relative = Math.hypot(errors.compliance()[index][j] / a, gain[k]);
      shares.add(Optional.of(new Share(a, Math.abs(a) * relative)));
      if (hz < own.lowHz() || hz > own.highHz()) {
        outside.add(p.terms().get(k));
        continue;
      }
      double turn = isShared ? turn(shared, errors, j) : zeta * gain[k] / Math.sqrt(2);
      Mode mode =
          new Mode(
              hz,
              zeta,
              1 / Math.abs(a),
              hz * Math.hypot(errors.omega()[j], turn),
              zeta * errors.zeta()[j],
              relative / Math.abs(a),
              Double.NaN);
      if (a > 0) {
        along.add(mode);
      } else {
        opposite.add(new OppositeMode(mode));
      }
    }
    FittedModes fitted =
        new FittedModes(
            new ModalModel(along, FinalFit.residual(own, p.upper(), p.lower(), outside)),
            own.lowHz(),
            own.highHz(),
            fitError(own, p),
            List.of(),
            poles.stabilisation(),
            convergence,
            noise(own));
    return new OneResponse(name(r), driving[r], fitted, opposite, isShared ? shares : List.of());
  }

  private static List<Integer> byFrequency(Shared shared) {
    List<Integer> order = new ArrayList<>();
    for (int j = 0; j < shared.modes(); j++) {
      order.add(j);
    }
    order.sort((a, b) -> Double.compare(shared.omega()[a], shared.omega()[b]));
    return order;
  }

  private static LineNoise noise(FitLines lines) {
    double[] hz = Arrays.stream(lines.omega).map(w -> w / (2 * Math.PI)).toArray();
    return new LineNoise(hz, lines.sigma);
  }

  private static double fitError(FitLines lines, ModalParameters p) {
    double[] re = new double[lines.size()];
    double[] im = new double[lines.size()];
    p.misfit(lines, re, im);
    double left = 0;
    double all = 0;
    for (int i = 0; i < re.length; i++) {
      left += re[i] * re[i] + im[i] * im[i];
      all += lines.re[i] * lines.re[i] + lines.im[i] * lines.im[i];
    }
    return all == 0 ? 0 : Math.sqrt(left / all);
  }
}

package ringtrue.fitting;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.stream.Collectors;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Mode;
import ringtrue.fitting.ModalParameters.Term;

/** What a reader of fitted modes should know, in plain sentences. */
final class FitRemarks {
  /** Fewer lines than these in the half-power bandwidth make the damping ratio uncertain. */
  private static final double FEW_LINES = 5;

  /** A little under that changes little, and blocks chosen by themselves come near it. */
  private static final double TOO_FEW_LINES = 4.5;

  /** Phases go with a shift in time if they differ by less than this part from it. */
  private static final double ALIKE = 0.3;

  /** Peaks closer than this part of their frequency may be one. */
  private static final double APART = 0.15;

  /** Peaks smaller than this part of the largest may be imitations. */
  private static final double PEAK = 0.05;

  /** Relative one-sigma error of the stiffness from which on a mode is doubtful. */
  private static final double UNSURE = 0.2;

  private static final double FAR_FROM_90_DEG = 3;
  private static final double TURNED_DEG = 20;
  private static final double POOR = 4;

  /** What may be left of a mode's ringing at the end of the block. */
  private static final double CUT_OFF = 0.01;

  /** Chi-square that a mode is worth: three unknowns, and some room for chance. */
  private static final double ONE_WILL_DO = 20;

  private FitRemarks() {}

  static List<String> of(
      FrequencyResponse response,
      FitLines lines,
      FinalFit fit,
      ModalModel model,
      FitSettings settings) {
    List<String> remarks = new ArrayList<>();
    List<Mode> modes = model.modes();
    if (modes.isEmpty() && settings.picksHz().isEmpty()) {
      remarks.add(
          "No mode stands out of the noise between "
              + Sentence.hertz(lines.lowHz())
              + " and "
              + Sentence.hertz(lines.highHz())
              + ".");
    }
    settings
        .count()
        .filter(wanted -> wanted != modes.size())
        .ifPresent(
            wanted ->
                remarks.add(
                    wanted
                        + (wanted == 1 ? " mode was" : " modes were")
                        + " asked for, but only "
                        + modes.size()
                        + " with positive stiffness could be fitted."));
    boolean unbelievable = addUnbelievable(modes, remarks);
    Optional<InputMismatch> mismatch =
        InputMismatch.of(lines, believable(modes, fit))
            .filter(m -> m.isLarge() || !hasOutside(fit));
    if (unbelievable && mismatch.isEmpty()) {
      mismatch = InputMismatch.of(lines, dominant(fit));
    }
    mismatch.ifPresent(m -> remarks.add(m.remark()));
    if (unbelievable) {
      return remarks;
    }
    OptionalDouble late = mismatch.isPresent() ? OptionalDouble.empty() : commonShift(modes);
    late.ifPresent(s -> remarks.add(InputMismatch.late(s).remark()));
    addUnsure(modes, remarks);
    for (Mode mode : modes) {
      addModeRemarks(lines, mode, mismatch.isPresent() || late.isPresent(), remarks);
      addOutsideUsable(response.origin(), mode, remarks);
    }
    addClosePairs(lines, fit, remarks);
    addOutside(lines, fit, remarks);
    if (mismatch.isEmpty()) {
      addMirrored(lines, fit, remarks);
    }
    boolean single = response.origin().averages() < 2;
    if (single && !modes.isEmpty()) {
      remarks.add(
          "One tap alone says nothing about its own error; the uncertainties come from the scatter"
              + " of the lines about the fit.");
    } else if (fit.reducedChiSquare() > POOR && !modes.isEmpty()) {
      remarks.add(
          "The fit is off by "
              + Sentence.digits(Math.sqrt(fit.reducedChiSquare()), 2)
              + " times what the measurement's noise explains; the uncertainties are widened by that"
              + " factor.");
    }
    if (fit.outliers() > 0) {
      remarks.add(
          fit.outliers()
              + (fit.outliers() == 1 ? " line stands" : " lines stand")
              + " far off all others, as hum would, and hardly counted.");
    }
    return remarks;
  }

  static boolean isDoubtful(Mode mode) {
    return mode.stiffnessNPerMSigma() > UNSURE * mode.stiffnessNPerM()
        || Math.abs(mode.phaseDeg() + 90) > TURNED_DEG;
  }

  /** Without the modes that may only imitate something else. */
  private static ModalParameters believable(List<Mode> modes, FinalFit fit) {
    List<Term> terms = new ArrayList<>();
    for (Term term : fit.parameters().terms()) {
      boolean doubtful =
          modes.stream()
              .anyMatch(
                  m -> isDoubtful(m) && Math.abs(m.frequencyHz() - term.hz()) < 1e-9 * term.hz());
      if (!doubtful) {
        terms.add(term);
      }
    }
    return new ModalParameters(terms, fit.parameters().upper(), fit.parameters().lower());
  }

  /**
   * Many modes that are unsure or turned are no structure: something else is in the response, which
   * the fit can only imitate with modes.
   */
  private static boolean addUnbelievable(List<Mode> modes, List<String> remarks) {
    long doubtful = modes.stream().filter(FitRemarks::isDoubtful).count();
    // a shift between the channels turns good modes too, but by as much as their frequencies say
    boolean unbelievable =
        doubtful >= 3 && 2 * doubtful >= modes.size() && commonShift(modes).isEmpty();
    if (unbelievable) {
      remarks.add(
          "Do not use these modes: "
              + doubtful
              + " of "
              + modes.size()
              + " are unsure or turned in phase, so the response holds something that modes cannot"
              + " describe. Likely causes: inputs with different AC coupling (give highPass for each"
              + " channel), a shift between the channels (channelSkew), hammer and sensor at"
              + " different points, or a joint that rattles.");
    }
    return unbelievable;
  }

  /** One mode for each peak that stands apart: what the modes may be without the imitations. */
  private static ModalParameters dominant(FinalFit fit) {
    List<Term> all = new ArrayList<>(fit.parameters().terms());
    all.removeIf(t -> !fit.isInside(t));
    all.sort(Comparator.comparingDouble((Term t) -> t.peak(0)).reversed());
    List<Term> kept = new ArrayList<>();
    for (Term term : all) {
      boolean apart = kept.stream().allMatch(k -> Math.abs(term.hz() - k.hz()) > APART * term.hz());
      if (apart && term.peak(0) > PEAK * all.get(0).peak(0)) {
        kept.add(term);
      }
    }
    return new ModalParameters(kept, fit.parameters().upper(), fit.parameters().lower()).sorted();
  }

  private static boolean hasOutside(FinalFit fit) {
    return fit.parameters().terms().stream().anyMatch(t -> !fit.isInside(t));
  }

  /** Time shift that explains the phases of all modes that are sure, s; empty if none does. */
  private static OptionalDouble commonShift(List<Mode> modes) {
    List<Mode> sure =
        modes.stream().filter(m -> m.stiffnessNPerMSigma() < UNSURE * m.stiffnessNPerM()).toList();
    double product = 0;
    double square = 0;
    for (Mode m : sure) {
      product += (m.phaseDeg() + 90) * m.frequencyHz();
      square += m.frequencyHz() * m.frequencyHz();
    }
    double perHertz = product / square;
    boolean all =
        sure.stream()
            .allMatch(
                m -> {
                  double turn = perHertz * m.frequencyHz();
                  double off = Math.abs(m.phaseDeg() + 90 - turn);
                  return off < Math.max(FAR_FROM_90_DEG, ALIKE * Math.abs(turn));
                });
    long turned = sure.stream().filter(m -> Math.abs(m.phaseDeg() + 90) > FAR_FROM_90_DEG).count();
    return sure.size() >= 2 && turned >= 1 && all
        ? OptionalDouble.of(perHertz / 360)
        : OptionalDouble.empty();
  }

  private static void addUnsure(List<Mode> modes, List<String> remarks) {
    List<Mode> unsure =
        modes.stream().filter(m -> m.stiffnessNPerMSigma() > UNSURE * m.stiffnessNPerM()).toList();
    if (unsure.isEmpty()) {
      return;
    }
    boolean one = unsure.size() == 1;
    remarks.add(
        (one ? "The mode at " : "The modes at ")
            + unsure.stream()
                .map(m -> Sentence.hertz(m.frequencyHz()))
                .collect(Collectors.joining(", "))
            + (one ? " hardly stands" : " hardly stand")
            + " out of the noise: "
            + (one ? "its stiffness is known to " : "their stiffness is known to ")
            + unsure.stream()
                .map(m -> Sentence.percent(m.stiffnessNPerMSigma() / m.stiffnessNPerM()))
                .collect(Collectors.joining(", "))
            + " only (one sigma).");
  }

  private static void addModeRemarks(
      FitLines lines, Mode mode, boolean explained, List<String> remarks) {
    double fn = mode.frequencyHz();
    String name = "The mode at " + Sentence.hertz(fn);
    double bandwidth = mode.halfPowerBandwidthHz();
    double fromEdge = Math.min(fn - lines.lowHz(), lines.highHz() - fn);
    if (fromEdge < 2 * bandwidth) {
      remarks.add(
          name
              + " lies "
              + Sentence.hertz(fromEdge)
              + " from the edge of the band, within two half-power bandwidths ("
              + Sentence.hertz(bandwidth)
              + "): a wider band would show it better.");
    }
    double windowDamping = lines.shift / (2 * Math.PI * fn);
    double seen = bandwidth + lines.shift / Math.PI;
    if (seen / lines.spacingHz() < TOO_FEW_LINES) {
      remarks.add(
          name
              + " has "
              + Sentence.digits(seen / lines.spacingHz(), 2)
              + " lines in its half-power bandwidth; five or more need blocks of "
              + Sentence.digits(FEW_LINES / seen, 2)
              + " s.");
    }
    double left = Math.exp(-Math.PI * seen / lines.spacingHz());
    if (left > CUT_OFF) {
      remarks.add(
          name
              + " still rings at "
              + Sentence.percent(left)
              + " of its beginning when the block ends; what is cut off makes its damping wrong."
              + " Record longer, or use an exponential window.");
    }
    if (windowDamping > mode.dampingRatio()) {
      remarks.add(
          name
              + " has a damping ratio of "
              + Sentence.percent(mode.dampingRatio())
              + " under "
              + Sentence.percent(windowDamping)
              + " that the exponential window added; longer blocks with a gentler window would tell"
              + " more.");
    }
    double turn = mode.phaseDeg() + 90;
    if (Math.abs(turn) > 180 - 45) {
      remarks.add(
          name
              + " has a phase of "
              + Sentence.digits(mode.phaseDeg(), 3)
              + " degrees at resonance, the opposite of -90: check the sensor's polarity.");
    } else if (Math.abs(turn) > FAR_FROM_90_DEG && !explained) {
      remarks.add(
          name
              + " has a phase of "
              + Sentence.digits(mode.phaseDeg(), 3)
              + " degrees at resonance instead of -90: check the time shift between the channels ("
              + Sentence.digits(Math.abs(turn) / 360 / fn * 1e6, 3)
              + " us would do it), and whether blow and sensor are at the same point.");
    }
  }

  /** A band given by the user may hold more than can be trusted. */
  private static void addOutsideUsable(
      FrequencyResponse.Origin origin, Mode mode, List<String> remarks) {
    double fn = mode.frequencyHz();
    if (fn < origin.bandLowHz() || fn > origin.bandHighHz()) {
      remarks.add(
          "The mode at "
              + Sentence.hertz(fn)
              + " lies outside the usable band of "
              + Sentence.hertz(origin.bandLowHz())
              + " to "
              + Sentence.hertz(origin.bandHighHz())
              + ": there the blows were too weak or the coherence too small to trust it.");
    }
  }

  /** Modes within a bandwidth of each other: what the data know of each by itself. */
  private static void addClosePairs(FitLines lines, FinalFit fit, List<String> remarks) {
    List<Term> terms = fit.parameters().sorted().terms();
    for (int j = 1; j < terms.size(); j++) {
      Term a = terms.get(j - 1);
      Term b = terms.get(j);
      if (!fit.isInside(a) || !fit.isInside(b)) {
        continue;
      }
      double apart = b.hz() - a.hz();
      double bandwidth = 2 * Math.max(a.zeta() * a.hz(), b.zeta() * b.hz());
      if (apart >= bandwidth) {
        continue;
      }
      String pair = "The modes at " + Sentence.hertz(a.hz()) + " and " + Sentence.hertz(b.hz());
      if (asOne(lines, fit, a, b) < ONE_WILL_DO * Math.max(1, fit.reducedChiSquare())) {
        remarks.add(
            pair
                + " cannot be told from a single one: one mode in their place fits the response as"
                + " well. Use them together only, or fit one mode fewer.");
        continue;
      }
      double correlation = correlation(fit, a, b);
      remarks.add(
          pair
              + " lie closer than one half-power bandwidth ("
              + Sentence.hertz(bandwidth)
              + "); their stiffness and damping are hard to tell apart"
              + (Double.isNaN(correlation)
                  ? "."
                  : ": the errors of their compliances go together with a correlation of "
                      + Sentence.digits(correlation, 2)
                      + "."));
    }
  }

  /** Chi-square that one mode in place of two costs. */
  private static double asOne(FitLines lines, FinalFit fit, Term a, Term b) {
    double compliance = a.compliance() + b.compliance();
    double part = a.compliance() / compliance;
    List<Term> terms = new ArrayList<>(fit.parameters().terms());
    terms.remove(a);
    terms.remove(b);
    terms.add(
        new Term(
            part * a.omega() + (1 - part) * b.omega(),
            part * a.zeta() + (1 - part) * b.zeta() + (b.omega() - a.omega()) / (2 * a.omega()),
            compliance,
            a.quadrature() + b.quadrature()));
    ModalParameters one =
        new ModalParameters(terms, fit.parameters().upper(), fit.parameters().lower());
    ModalRefinement refinement =
        new ModalRefinement(lines, null, fit.complexResidues(), true, true);
    return refinement.from(one, 25, 1e-8).chiSquare()
        - refinement.from(fit.parameters(), 25, 1e-8).chiSquare();
  }

  /** Correlation of the errors of two compliances; NaN if unknown. */
  private static double correlation(FinalFit fit, Term a, Term b) {
    double[][] covariance = fit.covariance();
    if (covariance == null) {
      return Double.NaN;
    }
    int each = fit.complexResidues() ? 4 : 3;
    int i = each * fit.parameters().terms().indexOf(a) + 2;
    int j = each * fit.parameters().terms().indexOf(b) + 2;
    return covariance[i][j] / Math.sqrt(covariance[i][i] * covariance[j][j]);
  }

  private static void addOutside(FitLines lines, FinalFit fit, List<String> remarks) {
    for (Term term : fit.parameters().terms()) {
      if (!fit.isInside(term)) {
        remarks.add(
            "A mode near "
                + Sentence.digits(term.hz(), 3)
                + " Hz, outside the band of "
                + Sentence.hertz(lines.lowHz())
                + " to "
                + Sentence.hertz(lines.highHz())
                + ", bends the response inside it; it is counted in the residual terms only.");
      }
    }
  }

  /** Modes with the opposite sign would be seen with their mirror image. */
  private static void addMirrored(FitLines lines, FinalFit fit, List<String> remarks) {
    FitLines mirror = lines.mirrored();
    ModalParameters model = fit.parameters().mirrored();
    double limit = 0;
    for (Term term : fit.parameters().terms()) {
      limit = Math.max(limit, 0.01 * term.peak(lines.shift));
    }
    double needed = 100 * Math.max(1, fit.reducedChiSquare());
    for (ModeSearch.Candidate candidate :
        new ModeSearch(mirror)
            .candidates(model, lines.omega[0], lines.omega[lines.size() - 1], 3)) {
      Term term = candidate.term();
      if (candidate.gain() > needed && term.peak(lines.shift) > limit) {
        remarks.add(
            "A peak near "
                + Sentence.digits(term.hz(), 4)
                + " Hz has the sign of a negative stiffness and was left out; at the point of the blow"
                + " no mode can have it.");
      }
    }
  }
}

package ringtrue.planning;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeSet;
import java.util.function.Predicate;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Progress;
import ringtrue.dynamics.Receptance;
import ringtrue.stability.CuttingProcess;
import ringtrue.stability.Engagement.Direction;
import ringtrue.stability.StabilityMap;
import ringtrue.stability.Tool;

/**
 * Looks for cuts inside every limit: over spindle speed, radial width, axial depth and feed, all
 * rounded to what a shop sets. Same input, same answer.
 *
 * <p>A cut that is offered keeps its depth within {@value #DEPTH_SHARE} of the least chatter limit
 * within ±{@value #SPEED_BAND} of its speed. Lobes keep their place on the ratio of speed to modal
 * frequency, so that is also a reserve for modes which lie that much off.
 */
final class CutSearch {
  static final double DEPTH_SHARE = 0.8;
  static final double SPEED_BAND = 0.03;

  /** Share of every other limit that a new cut may use. */
  private static final double OTHER_SHARE = 0.9;

  /** Speeds looked at lie within this factor of the cut's own. */
  private static final double SPEED_RATIO = 4;

  private static final double[] WIDTHS = {1, 0.5, 0.7, 1.4, 2};
  private static final double[] DEPTHS = {1, 0.8, 0.6, 0.4};
  private static final double[] FEEDS = {0.5, 0.6, 0.7, 0.8, 0.9, 1, 1.1, 1.25, 1.4, 1.6, 1.8, 2};

  /** Narrower band for the same cut at another speed, when the usual one leaves none. */
  private static final double NARROW_BAND = 0.015;

  private static final int SEARCH_ANGLES = 120;

  /** Share of a limit that a trial may use, for what coarse angles miss of a peak. */
  private static final double COARSE = 0.98;

  private static final int MOST_SUGGESTIONS = 5;

  /** Share of the work that is in the chatter limits. */
  private static final double ROWS_SHARE = 0.9;

  private final CuttingProcess cut;
  private final Machine machine;
  private final CutLimits limits;
  private final StabilityJudge judge;
  private final Words words;
  private final double deepestM;
  private final boolean judged;
  private final Progress progress;
  private final Map<List<Double>, CuttingForces> known = new HashMap<>();
  private final Map<List<Double>, Optional<Found>> verified = new HashMap<>();

  /**
   * @param deepestM deepest cut to look at, m
   * @param judged whether anything gives, so that chatter can be judged
   * @param progress told how far the search is, may cancel
   */
  CutSearch(
      CuttingProcess cut,
      Machine machine,
      CutLimits limits,
      StabilityJudge judge,
      Words words,
      double deepestM,
      boolean judged,
      Progress progress) {
    this.cut = cut;
    this.machine = machine;
    this.limits = limits;
    this.judge = judge;
    this.words = words;
    this.deepestM = deepestM;
    this.judged = judged;
    this.progress = progress;
  }

  /** One radial width with the depth that holds in the band around each speed. */
  private record Row(CuttingProcess cut, double[] usableM, double[] depthM) {}

  /**
   * Chatter limits at some speeds.
   *
   * @param limitM as on the map
   * @param usableM the share of it that an offered cut may use; all of it where the search ended
   *     without chatter
   */
  private record Limits(double[] limitM, double[] usableM) {}

  /** A cut to try. */
  private record Trial(CuttingProcess cut, double bound) {}

  /**
   * A cut that keeps to every limit.
   *
   * @param limitM chatter limit at its speed, m; NaN where not judged
   * @param tightest the limit that it comes closest to
   * @param use the share of it that is used
   */
  private record Found(CuttingProcess cut, double limitM, String tightest, double use) {}

  /** A found cut and what it is good for. */
  private record Offer(Found found, String what) {}

  /**
   * Better cuts, highest removal rate first.
   *
   * @param inside whether the cut as it is keeps to every limit: then only cuts that remove clearly
   *     more are worth saying
   * @param thin whether its margin to chatter is small: then a cut with more margin is worth saying
   */
  List<CutPlan.Suggestion> suggestions(boolean inside, boolean thin) {
    double[] speeds = speeds();
    if (speeds.length == 0) {
      return List.of();
    }
    List<Row> rows = rows(speeds);
    List<Offer> offers = new ArrayList<>();
    if (!inside || thin) {
      sameCutElsewhere(speeds, rows.get(0), offers);
    }
    double rpm = cut.speedRpm();
    Predicate<CuttingProcess> here = t -> Math.abs(t.speedRpm() - rpm) < 1e-6 * rpm;
    Predicate<CuttingProcess> sameWidth =
        t -> cut.tool().isEmpty() || Math.abs(widthM(t) - widthM(cut)) < 1e-9;
    Predicate<CuttingProcess> sameFeed =
        t -> Math.abs(t.feedPerToothM() - cut.feedPerToothM()) < 1e-12;
    if (!inside) {
      offer(
          "shallower at the same speed, width and feed",
          best(speeds, rows, here.and(sameWidth), sameFeed),
          offers);
      offer("the best found at the same speed", best(speeds, rows, here, t -> true), offers);
    }
    offer("the highest removal rate found", best(speeds, rows, t -> true, t -> true), offers);
    offer(
        "the best found with a narrower cut",
        best(speeds, rows, t -> widthM(t) < 0.99 * widthM(cut), t -> true),
        offers);
    offer(
        "the best found with a wider cut",
        best(speeds, rows, t -> widthM(t) > 1.01 * widthM(cut), t -> true),
        offers);
    offer("the best found at the same width", best(speeds, rows, sameWidth, t -> true), offers);
    return shown(offers, inside, thin);
  }

  private List<CutPlan.Suggestion> shown(List<Offer> offers, boolean inside, boolean thin) {
    double now = rate(cut);
    List<Offer> kept = new ArrayList<>();
    for (Offer offer : offers) {
      boolean same = kept.stream().anyMatch(k -> alike(k.found.cut, offer.found.cut));
      boolean worth =
          !inside
              || rate(offer.found.cut) > 1.05 * now
              || thin && rate(offer.found.cut) > 0.95 * now && !alike(offer.found.cut, cut);
      if (!same && worth && kept.size() < MOST_SUGGESTIONS) {
        kept.add(offer);
      }
    }
    kept.sort(Comparator.comparingDouble((Offer o) -> -rate(o.found.cut)));
    return kept.stream().map(this::suggestion).toList();
  }

  private CutPlan.Suggestion suggestion(Offer offer) {
    CuttingProcess c = offer.found.cut;
    double axial = c.engagement().axialM();
    StringBuilder because = new StringBuilder(offer.what);
    if (!offer.found.tightest.isEmpty()) {
      because
          .append("; next in its way is ")
          .append(offer.found.tightest)
          .append(" (")
          .append(Words.percent(offer.found.use))
          .append(" of the limit)");
    }
    if (c.speedRpm() > 1.25 * cut.speedRpm()) {
      because.append("; ");
      c.tool()
          .ifPresent(
              t ->
                  because
                      .append("the cutting speed rises to ")
                      .append(words.cuttingSpeed(Math.PI * t.diameterM() * c.speedRpm() / 60))
                      .append(", "));
      because.append("see what the cutter, its coating and the holder are marked for");
    }
    return new CutPlan.Suggestion(
        c.speedRpm(),
        widthM(c),
        axial,
        c.feedPerToothM(),
        limits.removalM3PerS(c),
        offer.found.limitM / axial - 1,
        because.toString());
  }

  private static boolean alike(CuttingProcess a, CuttingProcess b) {
    return near(a.speedRpm(), b.speedRpm())
        && near(a.engagement().axialM(), b.engagement().axialM())
        && near(a.feedPerToothM(), b.feedPerToothM())
        && near(
            a.engagement().exitRad() - a.engagement().entryRad(),
            b.engagement().exitRad() - b.engagement().entryRad());
  }

  private static boolean near(double a, double b) {
    return Math.abs(a - b) <= 0.02 * Math.max(a, b);
  }

  /** Removal rate but for a factor that all cuts share. */
  private static double rate(CuttingProcess c) {
    double width = c.tool().isPresent() ? widthM(c) : 1;
    return width * c.engagement().axialM() * CutLimits.feedRateMPerS(c);
  }

  private static double widthM(CuttingProcess c) {
    return CutLimits.widthM(c);
  }

  // ---- speeds, widths and what depth holds there -------------------------------------------

  /** Speeds to look at, rounded to what one sets, rising; the cut's own among them. */
  private double[] speeds() {
    double rpm = cut.speedRpm();
    boolean unknown = Double.isNaN(machine.maxSpeedRpm());
    double top = unknown ? 1.25 * rpm : machine.maxSpeedRpm();
    top = Math.min(top, Math.max(rpm, limits.highestSpeedRpm(cut)));
    double bottom = Double.isNaN(machine.minSpeedRpm()) ? rpm / 2 : machine.minSpeedRpm();
    double centre = Math.min(top, Math.max(bottom, rpm));
    double low = Math.max(bottom, centre / SPEED_RATIO);
    double high = Math.min(top, centre * SPEED_RATIO);
    TreeSet<Double> all = new TreeSet<>();
    double step = Math.log1p(SPEED_BAND / 2);
    int n = (int) Math.floor(Math.log(high / low) / step);
    for (int i = 0; i <= n; i++) {
      addSpeed(low * Math.exp(i * step), low, high, all);
    }
    addSpeed(high, low, high, all);
    int teeth = cut.tool().map(Tool::flutes).orElse(1);
    for (double hz : modalFrequenciesHz()) {
      double first = 60 * hz / teeth;
      for (int k = 1; first / k >= low && k <= 60; k++) {
        addSpeed(first / k, low, high, all);
        // a little below: the wall error swings where a tooth passes at the modal frequency
        addSpeed(0.98 * first / k, low, high, all);
      }
    }
    if (rpm >= low && rpm <= high) {
      all.add(rpm);
    }
    return all.stream().mapToDouble(Double::doubleValue).toArray();
  }

  private static void addSpeed(double rpm, double low, double high, TreeSet<Double> into) {
    double step = rpm < 5000 ? 10 : 50;
    double rounded = step * Math.round(rpm / step);
    if (rounded < low) {
      rounded += step;
    }
    if (rounded > high) {
      rounded -= step;
    }
    if (rounded >= low && rounded <= high) {
      into.add(rounded);
    }
  }

  /** Natural frequencies of the modes, and the strong peaks of measured responses, Hz. */
  private List<Double> modalFrequenciesHz() {
    List<Double> all = new ArrayList<>();
    List<Receptance> parts = new ArrayList<>(cut.x());
    parts.addAll(cut.y());
    for (Receptance part : parts) {
      if (part instanceof ModalModel model) {
        model.modes().forEach(m -> all.add(m.frequencyHz()));
      } else if (part instanceof Mode mode) {
        all.add(mode.frequencyHz());
      } else if (part instanceof FrequencyResponse response) {
        addPeaks(response, all);
      }
    }
    return all;
  }

  private static void addPeaks(FrequencyResponse response, List<Double> into) {
    int first = response.firstLineAtOrAbove(response.origin().bandLowHz());
    int last = response.firstLineAtOrAbove(response.origin().bandHighHz());
    double most = 0;
    for (int i = first; i < last; i++) {
      most = Math.max(most, -response.imag(i));
    }
    List<Integer> peaks = new ArrayList<>();
    for (int i = first + 2; i < last - 2; i++) {
      double here = -response.imag(i);
      if (here > 0.3 * most
          && here >= -response.imag(i - 1)
          && here >= -response.imag(i - 2)
          && here > -response.imag(i + 1)
          && here > -response.imag(i + 2)) {
        peaks.add(i);
      }
    }
    peaks.sort(Comparator.comparingDouble(response::imag));
    peaks.stream().limit(6).forEach(i -> into.add(response.frequencyHz(i)));
  }

  private List<Row> rows(double[] speeds) {
    List<CuttingProcess> cuts = new ArrayList<>();
    cuts.add(cut);
    Direction direction = cut.engagement().direction();
    if (cut.tool().isPresent() && (direction == Direction.UP || direction == Direction.DOWN)) {
      double diameter = cut.tool().get().diameterM();
      for (double factor : WIDTHS) {
        double wanted = factor * widthM(cut);
        double perMetre = wanted < 0.5e-3 ? 1e5 : 2e4;
        double width = Math.round(wanted * perMetre) / perMetre;
        // without a chatter limit nothing heavier is offered
        boolean usable = width > 0 && width <= diameter && factor != 1 && (judged || factor < 1);
        if (usable && cuts.stream().noneMatch(c -> near(widthM(c), width))) {
          cuts.add(cut.with(cut.engagement().withRadial(width, diameter)));
        }
      }
    }
    List<Row> rows = new ArrayList<>();
    for (int i = 0; i < cuts.size(); i++) {
      double from = (double) i / cuts.size();
      double share = 1.0 / cuts.size();
      Progress part =
          (done, what) ->
              progress.at(ROWS_SHARE * (from + share * done), "looking for better cuts");
      part.at(0, "");
      double[] usable = limits(cuts.get(i), speeds, part).usableM;
      rows.add(new Row(cuts.get(i), usable, depths(usable, speeds, SPEED_BAND)));
    }
    return rows;
  }

  /** Depth that may be used at each speed: the least in the band around it. */
  private double[] depths(double[] usable, double[] speeds, double band) {
    double[] depth = new double[speeds.length];
    for (int i = 0; i < speeds.length; i++) {
      double least = usable[i];
      for (int k = i - 1; k >= 0 && speeds[k] >= speeds[i] * (1 - band); k--) {
        least = Math.min(least, usable[k]);
      }
      for (int k = i + 1; k < speeds.length && speeds[k] <= speeds[i] * (1 + band); k++) {
        least = Math.min(least, usable[k]);
      }
      depth[i] = Math.min(deepestM, least);
    }
    return depth;
  }

  private Limits limits(CuttingProcess at, double[] speeds, Progress part) {
    double[] limit = new double[speeds.length];
    double[] usable = new double[speeds.length];
    if (!judged) {
      Arrays.fill(limit, Double.NaN);
      Arrays.fill(usable, deepestM);
      return new Limits(limit, usable);
    }
    List<Double> list = Arrays.stream(speeds).boxed().toList();
    StabilityMap map = judge.firstLimits(at, list, deepestM / DEPTH_SHARE, part);
    for (int i = 0; i < speeds.length; i++) {
      StabilityMap.Line line = map.lines().get(i);
      limit[i] = line.limitM();
      usable[i] = line.loss() == StabilityMap.Loss.NONE ? limit[i] : DEPTH_SHARE * limit[i];
    }
    return new Limits(limit, usable);
  }

  // ---- trying cuts --------------------------------------------------------------------------

  /** The cut as it is at the nearest slower and faster speeds that carry it. */
  private void sameCutElsewhere(double[] speeds, Row row, List<Offer> offers) {
    for (double band : new double[] {SPEED_BAND, NARROW_BAND}) {
      double[] depth = band == SPEED_BAND ? row.depthM : depths(row.usableM, speeds, band);
      for (int step : new int[] {-1, 1}) {
        nearest(speeds, depth, step, band)
            .ifPresent(
                found ->
                    offers.add(
                        new Offer(
                            found,
                            "the same cut at the nearest "
                                + (step < 0 ? "slower" : "faster")
                                + " speed that carries it"
                                + (band == SPEED_BAND
                                    ? ""
                                    : "; narrow: keep the speed within 1.5 %, further off"
                                        + " there is no reserve"))));
      }
      if (!offers.isEmpty()) {
        return;
      }
    }
  }

  private Optional<Found> nearest(double[] speeds, double[] depthM, int step, double band) {
    int own = 0;
    while (own < speeds.length && speeds[own] < cut.speedRpm()) {
      own++;
    }
    for (int i = step < 0 ? own - 1 : own; i >= 0 && i < speeds.length; i += step) {
      boolean other = Math.abs(speeds[i] - cut.speedRpm()) > 1e-6 * cut.speedRpm();
      if (other && cut.engagement().axialM() <= depthM[i] * (1 + 1e-12)) {
        Optional<Found> found = verify(cut.atSpeed(speeds[i]), 1, band);
        if (found.isPresent() && sameDepth(found.get().cut)) {
          return found;
        }
      }
    }
    return Optional.empty();
  }

  private boolean sameDepth(CuttingProcess other) {
    return Math.abs(other.engagement().axialM() - cut.engagement().axialM()) < 1e-9;
  }

  private void offer(String what, Optional<Found> found, List<Offer> into) {
    found.ifPresent(f -> into.add(new Offer(f, what)));
  }

  /**
   * The highest removal rate among the cuts that two conditions let through; the most promising are
   * tried first, and the rest is left when none of it can be better.
   */
  private Optional<Found> best(
      double[] speeds,
      List<Row> rows,
      Predicate<CuttingProcess> place,
      Predicate<CuttingProcess> feed) {
    List<Trial> trials = new ArrayList<>();
    for (Row row : rows) {
      for (int i = 0; i < speeds.length; i++) {
        if (place.test(row.cut.atSpeed(speeds[i]))) {
          addTrials(row, speeds[i], row.depthM[i], trials);
        }
      }
    }
    trials.sort(Comparator.comparingDouble(t -> -t.bound));
    Found best = null;
    double bestRate = 0;
    for (Trial trial : trials) {
      if (trial.bound <= bestRate) {
        break;
      }
      progress.at(ROWS_SHARE, "looking for better cuts");
      Optional<CuttingProcess> fed = fastestFeed(trial.cut, bestRate, feed);
      if (fed.isPresent() && rate(fed.get()) > bestRate * (1 + 1e-9)) {
        Optional<Found> found = verify(fed.get(), OTHER_SHARE, SPEED_BAND);
        if (found.isPresent() && rate(found.get().cut) > bestRate * (1 + 1e-9)) {
          best = found.get();
          bestRate = rate(best.cut);
        }
      }
    }
    return Optional.ofNullable(best);
  }

  private void addTrials(Row row, double rpm, double depthM, List<Trial> into) {
    TreeSet<Double> depths = new TreeSet<>();
    for (double share : DEPTHS) {
      depths.add(down(share * depthM));
    }
    if (cut.engagement().axialM() <= depthM) {
      depths.add(cut.engagement().axialM());
    }
    for (double depth : depths) {
      if (depth > 0) {
        CuttingProcess at = row.cut.with(row.cut.engagement().withAxial(depth)).atSpeed(rpm);
        into.add(new Trial(at, bound(at)));
      }
    }
  }

  /** A removal rate that the cut cannot pass, whatever its feed. */
  private double bound(CuttingProcess at) {
    double area =
        at.tool().isPresent() ? widthM(at) * at.engagement().axialM() : at.engagement().axialM();
    double feed = CutLimits.feedRateMPerS(at) * FEEDS[FEEDS.length - 1];
    if (!Double.isNaN(machine.maxFeedMPerS())) {
      feed = Math.min(feed, machine.maxFeedMPerS());
    }
    double bound = area * feed;
    double power = machine.powerAtW(at.speedRpm());
    // each cubic metre takes at least ktc joules
    return at.tool().isPresent() && !Double.isNaN(power)
        ? Math.min(bound, power / at.coefficients().ktcPa())
        : bound;
  }

  /** The highest feed in the list that keeps to the limits; all of them tighten with feed. */
  private Optional<CuttingProcess> fastestFeed(
      CuttingProcess at, double toBeat, Predicate<CuttingProcess> feed) {
    List<CuttingProcess> all = new ArrayList<>();
    double[] factors = cut.tool().isPresent() ? FEEDS : new double[] {1};
    for (double factor : factors) {
      CuttingProcess fed =
          factor == 1 ? at : at.withFeedPerTooth(roundedFeed(factor * cut.feedPerToothM()));
      if (feed.test(fed)) {
        all.add(fed);
      }
    }
    int low = 0;
    int high = all.size();
    CuttingProcess best = null;
    while (low < high) {
      int middle = (low + high) / 2;
      CuttingProcess fed = all.get(middle);
      boolean fits = fits(fed, COARSE * OTHER_SHARE, SEARCH_ANGLES);
      if (fits) {
        best = fed;
        low = middle + 1;
      } else if (tooThin(fed)) {
        low = middle + 1;
      } else {
        high = middle;
      }
      if (high > low && rate(all.get(high - 1)) <= toBeat) {
        return Optional.empty();
      }
    }
    return Optional.ofNullable(best);
  }

  private boolean tooThin(CuttingProcess at) {
    return checks(at, SEARCH_ANGLES).stream()
        .anyMatch(c -> c.name().equals("chip thickness") && !c.ok() && c.value() < c.limit());
  }

  private boolean fits(CuttingProcess at, double share, int angles) {
    return checks(at, angles).stream().allMatch(c -> c.ok() && c.use() <= share);
  }

  private List<CutLimits.Check> checks(CuttingProcess at, int angles) {
    if (at.tool().isEmpty()) {
      return limits.checks(at, Optional.empty());
    }
    // forces do not know the speed
    List<Double> key =
        List.of(
            at.engagement().entryRad(),
            at.engagement().exitRad(),
            at.engagement().axialM(),
            at.feedPerToothM(),
            (double) angles);
    CuttingForces forces = known.computeIfAbsent(key, k -> CuttingForces.of(at, angles));
    return limits.checks(at, Optional.of(forces));
  }

  /**
   * Judges a rounded cut once more, exactly: by the same judge at speeds across the band, with
   * finely sampled forces. Takes depth away if that is enough.
   */
  private Optional<Found> verify(CuttingProcess wanted, double share, double band) {
    List<Double> key =
        List.of(
            wanted.speedRpm(),
            wanted.engagement().entryRad(),
            wanted.engagement().exitRad(),
            wanted.engagement().axialM(),
            wanted.feedPerToothM(),
            share,
            band);
    return verified.computeIfAbsent(key, k -> judgedAgain(wanted, share, band));
  }

  private Optional<Found> judgedAgain(CuttingProcess wanted, double share, double band) {
    CuttingProcess at = wanted;
    double axial = at.engagement().axialM();
    double limit = Double.NaN;
    double use = 0;
    double highest = 0;
    String tightest = "";
    if (judged) {
      double rpm = at.speedRpm();
      double[] speeds = {
        rpm * (1 - band), rpm * (1 - band / 2), rpm, rpm * (1 + band / 2), rpm * (1 + band)
      };
      Limits across = limits(at, speeds, Progress.NONE);
      double least = Arrays.stream(across.usableM).min().orElseThrow();
      limit = across.limitM[2];
      if (axial > least * (1 + 1e-9)) {
        axial = down(least);
        if (!(axial > 0)) {
          return Optional.empty();
        }
        at = at.with(at.engagement().withAxial(axial));
      }
      use = axial / Arrays.stream(across.limitM).min().orElseThrow();
      highest = axial / least;
      tightest = "chatter";
    }
    if (!fits(at, share, 720)) {
      return Optional.empty();
    }
    for (CutLimits.Check check : checks(at, 720)) {
      // each compared with the share of it that an offered cut may use
      if (check.use() / OTHER_SHARE > highest) {
        use = check.use();
        highest = use / OTHER_SHARE;
        tightest = check.name();
      }
    }
    return Optional.of(new Found(at, limit, tightest, use));
  }

  // ---- shop numbers -------------------------------------------------------------------------

  /** A depth rounded down to 0.05 mm, or to 0.01 mm below 0.5 mm. */
  private static double down(double depthM) {
    double perMetre = depthM < 0.5e-3 ? 1e5 : 2e4;
    return Math.floor(depthM * perMetre + 1e-9) / perMetre;
  }

  /** A feed rounded to 0.001 mm, or to 0.0001 mm below 0.01 mm. */
  private static double roundedFeed(double feedM) {
    double perMetre = feedM < 1e-5 ? 1e7 : 1e6;
    return Math.max(1, Math.round(feedM * perMetre)) / perMetre;
  }
}

package ringtrue.planning;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.concurrent.ConcurrentHashMap;
import java.util.function.Predicate;
import java.util.stream.Stream;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Progress;
import ringtrue.dynamics.Receptance;
import ringtrue.stability.CuttingProcess;
import ringtrue.stability.Engagement.Direction;
import ringtrue.stability.InputSpread;
import ringtrue.stability.Tool;

/**
 * Looks for cuts inside every limit: over spindle speed, radial width, axial depth and feed, all
 * rounded to what a shop sets. Same input, same answer.
 *
 * <p>First the deepest stable cut is found roughly at each speed and width, then the most promising
 * cuts are judged again: a cut that is offered keeps its depth within {@value #DEPTH_SHARE} of the
 * least chatter limit in the reserve's band of speed, stays stable with its modes off by the
 * reserve's sigmas, is stable in 95 of 100 draws of its inputs, and leaves the wall within its
 * tolerance over the whole band.
 */
final class CutSearch {
  static final double DEPTH_SHARE = 0.8;

  /** Share of every other limit that a new cut may use. */
  private static final double OTHER_SHARE = 0.9;

  /** Faster speeds looked at lie within this factor of the cut's own. */
  private static final double SPEED_RATIO = 4;

  /** The same for slower speeds: they remove less and take longer to judge. */
  private static final double SLOWER_RATIO = 2.5;

  /** Even steps are left out so near to a speed that is looked at anyway. */
  private static final double CROWDED = 0.01;

  private static final double[] WIDTHS = {1, 0.5, 0.7, 1.4, 2};
  private static final double[] DEPTHS = {1, 0.8, 0.6, 0.4, 0.2};
  private static final double[] FEEDS = {0.5, 0.6, 0.7, 0.8, 0.9, 1, 1.1, 1.25, 1.4, 1.6, 1.8, 2};

  /** Step from speed to speed; a lobe that is worth having is wider. */
  private static final double SPEED_STEP = 0.03;

  /** Tops of the lobes that promise most. */
  private static final int MOST_TOPS = 5;

  /** Speeds on either side of a top that are looked at with another width. */
  private static final int AROUND = 2;

  /** Every so many speeds are looked at with other widths beside those. */
  private static final int SOME = 4;

  /** Step from depth to depth where the deepest stable cut is looked for. */
  private static final double RUNG = 1.06;

  /** Modes whose speeds are looked at beside the even steps: the ones that give most. */
  private static final int MODES = 3;

  /** Cuts judged again for each kind of offer, and speeds for the nearest one. */
  private static final int MOST_VERIFIED = 8;

  private static final int MOST_NEAREST = 6;
  private static final int MOST_SHALLOWER = 5;
  private static final double SHALLOWER = 0.9;

  private static final int SEARCH_ANGLES = 120;

  /** A chatter limit is looked for up to so many times the depth first. */
  private static final double NEARBY = 1.5;

  /** Share of a limit that a trial may use, for what coarse angles miss of a peak. */
  private static final double COARSE = 0.98;

  /** What limits a cut in which no chatter was found down to the end of the search. */
  private static final String END = "length of the flutes";

  private static final int MOST_SUGGESTIONS = 5;

  /** Share of the work that is in the chatter limits. */
  private static final double ROWS_SHARE = 0.9;

  private final CuttingProcess cut;
  private final Machine machine;
  private final CutLimits limits;
  private final StabilityJudge judge;
  private final Robustness robustness;
  private final Reserve reserve;
  private final Words words;
  private final double deepestM;
  private final boolean judged;
  private final InputSpread spread;
  private final Progress progress;
  private final Map<List<Double>, CuttingForces> known = new ConcurrentHashMap<>();
  private final Map<List<Double>, Double> chances = new HashMap<>();
  private final Map<List<Double>, Load> loads = new HashMap<>();
  private final Map<List<Double>, Optional<Found>> verified = new HashMap<>();

  /**
   * @param reserve what the cuts offered have to stand
   * @param deepestM deepest cut to look at, m
   * @param judged whether anything gives, so that chatter can be judged
   * @param spread how uncertain the inputs are
   * @param progress told how far the search is, may cancel
   */
  CutSearch(
      CuttingProcess cut,
      Machine machine,
      CutLimits limits,
      StabilityJudge judge,
      Reserve reserve,
      Words words,
      double deepestM,
      boolean judged,
      InputSpread spread,
      Progress progress) {
    this.cut = cut;
    this.machine = machine;
    this.limits = limits;
    this.judge = judge;
    this.robustness = new Robustness(judge, reserve);
    this.reserve = reserve;
    this.words = words;
    this.deepestM = deepestM;
    this.judged = judged;
    this.spread = spread;
    this.progress = progress;
  }

  /** One radial width with the depth that holds in the band around each speed, roughly. */
  private record Row(CuttingProcess cut, double[] rpm, double[] usableM, double[] depthM) {}

  private enum Load {
    FITS,
    TOO_THIN,
    TOO_MUCH
  }

  /** A cut to try. */
  private record Trial(CuttingProcess cut, double bound) {}

  /**
   * A cut that keeps to every limit.
   *
   * @param band how far the speed may be off
   */
  private record Found(CuttingProcess cut, double band) {}

  /** A found cut and what it is good for. */
  private record Offer(Found found, String what) {}

  /**
   * What was found.
   *
   * @param carries whether the cut as it is keeps the reserve
   */
  record Result(
      boolean carries,
      List<CutPlan.Suggestion> suggestions,
      Optional<CutPlan.SpeedStep> slower,
      Optional<CutPlan.SpeedStep> faster) {}

  /**
   * Better cuts, highest removal rate first.
   *
   * @param inside whether the cut as it is keeps to every limit: then only cuts that remove clearly
   *     more are worth saying
   * @param thin whether its margin to chatter is small: then a cut with more margin is worth saying
   */
  Result look(boolean inside, boolean thin) {
    double[] speeds = speeds();
    if (speeds.length == 0) {
      return new Result(false, List.of(), Optional.empty(), Optional.empty());
    }
    List<Row> rows = rows(speeds);
    Optional<Near> slower = nearest(rows.get(0), -1);
    Optional<Near> faster = nearest(rows.get(0), 1);
    List<Offer> offers = new ArrayList<>();
    if (!inside || thin) {
      slower.ifPresent(n -> offers.add(new Offer(n.found, n.words("slower"))));
      faster.ifPresent(n -> offers.add(new Offer(n.found, n.words("faster"))));
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
          best(rows, here.and(sameWidth), sameFeed),
          offers);
      offer("the best found at the same speed", best(rows, here, t -> true), offers);
    }
    Optional<Found> narrower = best(rows, t -> widthM(t) < 0.99 * widthM(cut), t -> true);
    Optional<Found> wider = best(rows, t -> widthM(t) > 1.01 * widthM(cut), t -> true);
    Optional<Found> same = best(rows, sameWidth, t -> true);
    // each search gives up after some failures: the highest of all is the highest
    Optional<Found> highest =
        Stream.of(best(rows, t -> true, t -> true), same, narrower, wider)
            .flatMap(Optional::stream)
            .max(Comparator.comparingDouble(f -> rate(f.cut)));
    offer("the highest removal rate found", highest, offers);
    offer("the best found with a narrower cut", narrower, offers);
    offer("the best found with a wider cut", wider, offers);
    offer("the best found at the same width", same, offers);
    return new Result(
        inside && !thin && carried(rpm, reserve.speedBand()).isPresent(),
        shown(offers, inside, thin),
        slower.map(n -> step(n, "slower")),
        faster.map(n -> step(n, "faster")));
  }

  private CutPlan.SpeedStep step(Near near, String which) {
    CuttingProcess c = near.found.cut;
    return new CutPlan.SpeedStep(c.speedRpm(), margin(near.found), near.band, near.words(which));
  }

  /** Chatter limit at the cut's speed, solved for exactly, over its depth, less 1. */
  private double margin(Found found) {
    if (!judged) {
      return Double.NaN;
    }
    CuttingProcess c = found.cut;
    double limit =
        judge
            .firstLimits(c, List.of(c.speedRpm()), deepestM / DEPTH_SHARE, Progress.NONE)
            .lines()
            .get(0)
            .limitM();
    return limit / c.engagement().axialM() - 1;
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
    return kept.parallelStream().map(this::suggestion).toList();
  }

  private CutPlan.Suggestion suggestion(Offer offer) {
    CuttingProcess c = offer.found.cut;
    double axial = c.engagement().axialM();
    StringBuilder because = new StringBuilder(offer.what);
    Tightest closest = tightest(offer.found);
    if (!closest.name.isEmpty()) {
      because
          .append("; next in its way is ")
          .append(closest.name)
          .append(" (")
          .append(Words.percent(closest.use))
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
        margin(offer.found),
        because.toString(),
        closest.name,
        closest.use,
        wallErrorM(c));
  }

  private double wallErrorM(CuttingProcess c) {
    return c.tool().isPresent() && CutLimits.gives(c)
        ? forces(c, 720).wall().at(c).map(WallError.Wall::errorM).orElse(Double.NaN)
        : Double.NaN;
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
    double low = Math.max(bottom, centre / SLOWER_RATIO);
    double high = Math.min(top, centre * SPEED_RATIO);
    TreeSet<Double> all = new TreeSet<>();
    int teeth = cut.tool().map(Tool::flutes).orElse(1);
    for (double hz : modalFrequenciesHz()) {
      double first = 60 * hz / teeth;
      for (int k = 1; first / k >= low && k <= 12; k++) {
        addSpeed(first / k, low, high, all);
        // a little below: the wall error swings where a tooth passes at the modal frequency
        addSpeed(0.98 * first / k, low, high, all);
      }
    }
    double step = Math.log1p(SPEED_STEP);
    int n = (int) Math.floor(Math.log(high / low) / step);
    for (int i = 0; i <= n; i++) {
      double even = low * Math.exp(i * step);
      if (all.subSet(even * (1 - CROWDED), even * (1 + CROWDED)).isEmpty()) {
        addSpeed(even, low, high, all);
      }
    }
    addSpeed(high, low, high, all);
    if (rpm >= low && rpm <= high) {
      all.add(rpm);
    }
    return all.stream().mapToDouble(Double::doubleValue).toArray();
  }

  private static double speedStep(double rpm) {
    return rpm < 5000 ? 10 : 50;
  }

  private static double rounded(double rpm) {
    return speedStep(rpm) * Math.round(rpm / speedStep(rpm));
  }

  private static void addSpeed(double rpm, double low, double high, TreeSet<Double> into) {
    double step = speedStep(rpm);
    double rounded = rounded(rpm);
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

  /** Natural frequencies of the modes that give most, and strong peaks as measured, Hz. */
  private List<Double> modalFrequenciesHz() {
    List<Double> all = new ArrayList<>();
    List<Mode> modes = new ArrayList<>();
    CuttingProcess here = cut.resolvedAt(cut.speedRpm());
    List<Receptance> parts = new ArrayList<>(here.x());
    parts.addAll(here.y());
    for (Receptance part : parts) {
      if (part instanceof ModalModel model) {
        modes.addAll(model.modes());
      } else if (part instanceof Mode mode) {
        modes.add(mode);
      } else if (part instanceof FrequencyResponse response) {
        addPeaks(response, all);
      }
    }
    modes.sort(Comparator.comparingDouble((Mode m) -> m.stiffnessNPerM() * m.dampingRatio()));
    modes.stream().limit(MODES).forEach(m -> all.add(m.frequencyHz()));
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
    // the cut's own width at every speed, the others where they promise most
    double own = cuts.size() == 1 ? 1 : 0.5;
    for (int i = 0; i < cuts.size(); i++) {
      double from = i == 0 ? 0 : own + (1 - own) * (i - 1) / (cuts.size() - 1);
      double share = i == 0 ? own : (1 - own) / (cuts.size() - 1);
      Progress part =
          (done, what) ->
              progress.at(ROWS_SHARE * (from + share * done), "looking for better cuts");
      part.at(0, "");
      rows.add(i == 0 || !judged ? row(cuts.get(i), speeds, part) : wide(cuts.get(i), rows, part));
    }
    return rows;
  }

  private Row row(CuttingProcess at, double[] rpm, Progress part) {
    double[] usable = usable(at, rpm, part);
    return new Row(at, rpm, usable, depths(usable, rpm, reserve.speedBand()));
  }

  /**
   * Another width: some of the speeds, the tops of the cut's own width and what lies around the
   * tops of this one. Lobes move little when the width changes, but they do.
   */
  private Row wide(CuttingProcess at, List<Row> rows, Progress part) {
    Row own = rows.get(0);
    int n = own.rpm.length;
    TreeSet<Integer> chosen = new TreeSet<>(tops(own));
    for (int i = 0; i < n; i++) {
      if (i % SOME == SOME / 2 || Math.abs(own.rpm[i] - cut.speedRpm()) < 1e-6 * own.rpm[i]) {
        chosen.add(i);
      }
    }
    Map<Integer, Double> known = new TreeMap<>();
    judge(at, own.rpm, chosen, (done, what) -> part.at(0.7 * done, what), known);
    Row first = of(at, own.rpm, known);
    List<Integer> listed = List.copyOf(known.keySet());
    TreeSet<Integer> more = new TreeSet<>();
    for (int top : tops(first)) {
      int i = listed.get(top);
      for (int k = Math.max(0, i - AROUND); k <= Math.min(n - 1, i + AROUND); k++) {
        more.add(k);
      }
    }
    more.removeAll(known.keySet());
    judge(at, own.rpm, more, (done, what) -> part.at(0.7 + 0.3 * done, what), known);
    return of(at, own.rpm, known);
  }

  private void judge(
      CuttingProcess at,
      double[] rpm,
      TreeSet<Integer> chosen,
      Progress part,
      Map<Integer, Double> into) {
    if (chosen.isEmpty()) {
      return;
    }
    double[] usable = usable(at, chosen.stream().mapToDouble(i -> rpm[i]).toArray(), part);
    int j = 0;
    for (int i : chosen) {
      into.put(i, usable[j++]);
    }
  }

  private Row of(CuttingProcess at, double[] rpm, Map<Integer, Double> known) {
    double[] speeds = known.keySet().stream().mapToDouble(i -> rpm[i]).toArray();
    double[] usable = known.values().stream().mapToDouble(v -> v).toArray();
    return new Row(at, speeds, usable, depths(usable, speeds, reserve.speedBand()));
  }

  /** Where the removal rate is highest among its neighbours, the highest of these first. */
  private static List<Integer> tops(Row row) {
    int n = row.rpm.length;
    double[] promise = new double[n];
    for (int i = 0; i < n; i++) {
      promise[i] = row.depthM[i] * row.rpm[i];
    }
    List<Integer> order = new ArrayList<>();
    for (int i = 0; i < n; i++) {
      if ((i == 0 || promise[i] >= promise[i - 1])
          && (i == n - 1 || promise[i] >= promise[i + 1])) {
        order.add(i);
      }
    }
    order.sort(Comparator.comparingDouble(i -> -promise[i]));
    return order.subList(0, Math.min(MOST_TOPS, order.size()));
  }

  /** Depth that may be used at each speed: the least in the band around it. */
  private double[] depths(double[] usable, double[] speeds, double band) {
    double[] depth = new double[speeds.length];
    // speeds are rounded, so that a neighbour may lie a little further off
    double reach = band == 0 ? 0 : band + SPEED_STEP / 6;
    for (int i = 0; i < speeds.length; i++) {
      double least = usable[i];
      for (int k = i - 1; k >= 0 && speeds[k] >= speeds[i] * (1 - reach); k--) {
        least = Math.min(least, usable[k]);
      }
      for (int k = i + 1; k < speeds.length && speeds[k] <= speeds[i] * (1 + reach); k++) {
        least = Math.min(least, usable[k]);
      }
      depth[i] = Math.min(deepestM, least);
    }
    return depth;
  }

  /** End of every search over depth, m. */
  private double endM() {
    double flutes = cut.tool().map(Tool::fluteLengthM).orElse(Double.NaN);
    double end = deepestM / DEPTH_SHARE;
    return flutes < end ? flutes : end;
  }

  /** What an offered cut may use at each speed, roughly: a share of the deepest stable cut. */
  private double[] usable(CuttingProcess at, double[] speeds, Progress part) {
    double[] usable = new double[speeds.length];
    if (!judged) {
      Arrays.fill(usable, deepestM);
      return usable;
    }
    double end = endM();
    double bottom = Math.min(end / 30, cut.engagement().axialM() / 3);
    int rungs = 1 + (int) Math.ceil(Math.log(end / bottom) / Math.log(RUNG));
    double[] ladder = new double[rungs];
    for (int i = 0; i < rungs; i++) {
      ladder[i] = end * Math.pow(RUNG, i + 1 - rungs);
    }
    double[] deepest = judge.deepest(judge.searched(at), speeds, ladder, part);
    for (int i = 0; i < speeds.length; i++) {
      // the border lies between this rung and the next
      usable[i] = deepest[i] == end ? end : DEPTH_SHARE * Math.sqrt(RUNG) * deepest[i];
    }
    return usable;
  }

  // ---- trying cuts --------------------------------------------------------------------------

  /**
   * The cut as it is at a speed near by.
   *
   * @param band how far the speed may be off there
   */
  private record Near(Found found, double band, double usualBand) {

    String words(String which) {
      return "the same cut at the nearest "
          + which
          + " speed that carries it"
          + (band == usualBand
              ? ""
              : "; narrow: keep the speed within "
                  + Words.finePercent(band)
                  + ", further off there is no reserve");
    }
  }

  /** The cut as it is at the nearest slower or faster speed that carries it. */
  private Optional<Near> nearest(Row row, int step) {
    double[] speeds = row.rpm;
    double usual = reserve.speedBand();
    for (double band : usual > 0 ? new double[] {usual, usual / 2} : new double[] {0}) {
      double[] depth = band == usual ? row.depthM : depths(row.usableM, speeds, band);
      Optional<Found> found = nearest(speeds, depth, step, band);
      if (found.isPresent()) {
        return Optional.of(new Near(found.get(), band, usual));
      }
    }
    return Optional.empty();
  }

  private Optional<Found> nearest(double[] speeds, double[] depthM, int step, double band) {
    double own = cut.speedRpm();
    int from = 0;
    while (from < speeds.length && speeds[from] < own) {
      from++;
    }
    double before = own;
    int tried = 0;
    progress.at(ROWS_SHARE, "looking for better cuts");
    for (int i = step < 0 ? from - 1 : from; i >= 0 && i < speeds.length; i += step) {
      if (Math.abs(speeds[i] - own) <= 1e-6 * own) {
        continue;
      }
      // depths are rough here: what is a little too deep is judged again as well
      boolean deepEnough = cut.engagement().axialM() <= depthM[i] * RUNG;
      if (deepEnough && wallHolds(cut.atSpeed(speeds[i]), band, 1, 720)) {
        Optional<Found> found = carried(speeds[i], band);
        if (found.isPresent()) {
          for (int part = 1; part <= 2; part++) {
            double rpm = rounded(before + (speeds[i] - before) * part / 3);
            boolean between = (rpm - before) * step > 0 && (speeds[i] - rpm) * step > 0;
            Optional<Found> nearer = between ? carried(rpm, band) : Optional.empty();
            if (nearer.isPresent()) {
              return nearer;
            }
          }
          return found;
        }
        if (++tried >= MOST_NEAREST) {
          return Optional.empty();
        }
      }
      before = speeds[i];
    }
    return Optional.empty();
  }

  private Optional<Found> carried(double rpm, double band) {
    return verify(cut.atSpeed(rpm), 1, band)
        .filter(f -> sameDepth(f.cut))
        .filter(f -> likely(f.cut));
  }

  private boolean sameDepth(CuttingProcess other) {
    return Math.abs(other.engagement().axialM() - cut.engagement().axialM()) < 1e-9;
  }

  private void offer(String what, Optional<Found> found, List<Offer> into) {
    found.flatMap(this::sure).ifPresent(f -> into.add(new Offer(f, what)));
  }

  /** The same, shallower where it is not likely enough to be stable. */
  private Optional<Found> sure(Found found) {
    double axial = found.cut.engagement().axialM();
    for (int i = 0; i <= MOST_SHALLOWER; i++) {
      CuttingProcess at = found.cut.with(found.cut.engagement().withAxial(axial));
      if (likely(at)) {
        boolean same = i == 0;
        boolean keeps =
            same
                || fits(at, OTHER_SHARE, 720)
                    && wallHolds(at, found.band, 1, 720)
                    && axial <= leastHeldM(at, axial, found.band) * (1 + 1e-9);
        return keeps ? Optional.of(same ? found : new Found(at, found.band)) : Optional.empty();
      }
      axial = down(SHALLOWER * axial);
      if (!(axial > 0)) {
        break;
      }
    }
    return Optional.empty();
  }

  /**
   * The highest removal rate among the cuts that two conditions let through; the most promising are
   * tried first, and the rest is left when none of it can be better.
   */
  private Optional<Found> best(
      List<Row> rows, Predicate<CuttingProcess> place, Predicate<CuttingProcess> feed) {
    List<Trial> trials = new ArrayList<>();
    for (Row row : rows) {
      for (int i = 0; i < row.rpm.length; i++) {
        if (place.test(row.cut.atSpeed(row.rpm[i]))) {
          addTrials(row, row.rpm[i], row.depthM[i], trials);
        }
      }
    }
    trials.sort(Comparator.comparingDouble(t -> -t.bound));
    Found best = null;
    double bestRate = 0;
    int judgedAgain = 0;
    for (Trial trial : trials) {
      if (trial.bound <= bestRate || judgedAgain >= MOST_VERIFIED) {
        break;
      }
      progress.at(ROWS_SHARE, "looking for better cuts");
      Optional<CuttingProcess> fed = fastestFeed(trial.cut, bestRate, feed);
      if (fed.isPresent() && rate(fed.get()) > bestRate * (1 + 1e-9)) {
        judgedAgain++;
        Optional<Found> found = verify(fed.get(), OTHER_SHARE, reserve.speedBand());
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
    double power = machine.powerAtCutterW(at.speedRpm());
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
    if (high == 0 || rate(all.get(high - 1)) <= toBeat) {
      return Optional.empty();
    }
    CuttingProcess best = null;
    while (low < high) {
      int middle = (low + high) / 2;
      CuttingProcess fed = all.get(middle);
      switch (loads.computeIfAbsent(key(fed), k -> load(fed))) {
        case FITS -> {
          best = fed;
          low = middle + 1;
        }
        case TOO_THIN -> low = middle + 1;
        case TOO_MUCH -> high = middle;
      }
      if (high > low && rate(all.get(high - 1)) <= toBeat) {
        return Optional.empty();
      }
    }
    return Optional.ofNullable(best);
  }

  /** What limits but chatter say of a trial, by coarse angles. */
  private Load load(CuttingProcess at) {
    if (fits(at, COARSE * OTHER_SHARE, SEARCH_ANGLES)
        && wallHolds(at, reserve.speedBand(), COARSE, SEARCH_ANGLES)) {
      return Load.FITS;
    }
    return tooThin(at) ? Load.TOO_THIN : Load.TOO_MUCH;
  }

  private static List<Double> key(CuttingProcess at) {
    return List.of(
        at.speedRpm(),
        at.engagement().entryRad(),
        at.engagement().exitRad(),
        at.engagement().axialM(),
        at.feedPerToothM());
  }

  private boolean tooThin(CuttingProcess at) {
    return checks(at, SEARCH_ANGLES).stream()
        .anyMatch(c -> c.name().equals("chip thickness") && !c.ok() && c.value() < c.limit());
  }

  private boolean fits(CuttingProcess at, double share, int angles) {
    return checks(at, angles).stream().allMatch(c -> c.ok() && (c.advice() || c.use() <= share));
  }

  private List<CutLimits.Check> checks(CuttingProcess at, int angles) {
    if (at.tool().isEmpty()) {
      return limits.checks(at, Optional.empty());
    }
    return limits.checks(at, Optional.of(forces(at, angles)));
  }

  /** Forces do not know the speed, so that one set serves many cuts. */
  private CuttingForces forces(CuttingProcess at, int angles) {
    List<Double> key =
        List.of(
            at.engagement().entryRad(),
            at.engagement().exitRad(),
            at.engagement().axialM(),
            at.feedPerToothM(),
            (double) angles);
    return known.computeIfAbsent(key, k -> CuttingForces.of(at, angles));
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
    if (!fits(at, share, 720) || !wallHolds(at, band, 1, 720)) {
      return Optional.empty();
    }
    if (!judged) {
      return Optional.of(new Found(at, band));
    }
    double axial = at.engagement().axialM();
    double failed = Double.NaN;
    for (int i = 0; ; i++) {
      if (!(axial > 0) || i > MOST_SHALLOWER) {
        return Optional.empty();
      }
      double least = leastHeldM(at, axial, band);
      if (axial <= least * (1 + 1e-9)) {
        break;
      }
      failed = axial;
      axial = down(least > 0 ? least : SHALLOWER * axial);
    }
    if (!Double.isNaN(failed)) {
      double between = down((axial + failed) / 2);
      if (between > axial && between <= leastHeldM(at, between, band) * (1 + 1e-9)) {
        axial = between;
      }
    }
    at = at.with(at.engagement().withAxial(axial));
    boolean shallower = axial != wanted.engagement().axialM();
    return shallower && !(fits(at, share, 720) && wallHolds(at, band, 1, 720))
        ? Optional.empty()
        : Optional.of(new Found(at, band));
  }

  /** What may be used at a depth, m; 0 where it does not hold at all. */
  private double leastHeldM(CuttingProcess wanted, double axialM, double band) {
    CuttingProcess at = wanted.with(wanted.engagement().withAxial(axialM));
    double to = Math.min(endM(), axialM / DEPTH_SHARE);
    if (!stableAround(at, band, to) || !robustness.holds(at, band)) {
      return 0;
    }
    // whatever is unstable on the way there as well
    return leastUsableM(at, band, to);
  }

  /**
   * Whether the cut is as likely stable as a plain go asks for. Corners of the modes alone do not
   * tell: the range of the cutting forces counts in the chance as well.
   */
  private boolean likely(CuttingProcess at) {
    if (!judged) {
      return true;
    }
    double chance = chances.computeIfAbsent(key(at), k -> CutPlanner.chance(at, judge, spread));
    return Double.isNaN(chance) || chance >= CutPlan.LEAST_CHANCE;
  }

  private boolean stableAround(CuttingProcess at, double band, double depthM) {
    for (boolean stable : judge.stable(judge.searched(at), around(at.speedRpm(), band), depthM)) {
      if (!stable) {
        return false;
      }
    }
    return true;
  }

  /**
   * What a cut may use of the least limit in a band of speeds: a share of it, all of it where no
   * chatter was found down to the end of the search.
   *
   * @param toM how deep to look, m; no more than that is found
   */
  private double leastUsableM(CuttingProcess at, double band, double toM) {
    double[] speeds = around(at.speedRpm(), band);
    double share = Math.min(DEPTH_SHARE, forcesShare());
    double farM = Math.min(endM(), toM * DEPTH_SHARE / share);
    double[] limit = judge.firstLimitsM(judge.searched(at), speeds, farM);
    double end = endM() * (1 - 1e-9);
    double least = Double.POSITIVE_INFINITY;
    for (int i = 0; i < limit.length; i++) {
      double its = i == limit.length / 2 ? share : DEPTH_SHARE;
      least = Math.min(least, limit[i] >= end ? limit[i] : its * limit[i]);
    }
    return least;
  }

  /**
   * Share of a limit at which the range of the cutting forces alone leaves the least chance: limits
   * go with their inverse.
   */
  private double forcesShare() {
    double part = 2 * CutPlan.LEAST_CHANCE - 1;
    return 1 / (1 + part * spread.coefficientRange());
  }

  /**
   * The limit that a cut comes closest to.
   *
   * @param name its name; empty where nothing could be judged
   * @param use share of it that is used
   */
  private record Tightest(String name, double use) {}

  private Tightest tightest(Found found) {
    CuttingProcess at = found.cut;
    Tightest closest = new Tightest("", Double.NaN);
    double highest = 0;
    if (judged) {
      double axial = at.engagement().axialM();
      double least = leastLimitM(found, Math.min(endM(), NEARBY * axial));
      if (least >= NEARBY * axial * (1 - 1e-9)) {
        least = leastLimitM(found, endM());
      }
      // each compared with the share of it that an offered cut may use
      boolean none = least >= endM() * (1 - 1e-9);
      highest = axial / least / (none ? 1 : DEPTH_SHARE);
      closest = new Tightest(none ? END : "chatter", axial / least);
    }
    for (CutLimits.Check check : checks(at, 720)) {
      if (!check.advice() && check.use() / OTHER_SHARE > highest) {
        highest = check.use() / OTHER_SHARE;
        closest = new Tightest(check.name(), check.use());
      }
    }
    double wall = worstWallM(at, found.band) / limits.wallToleranceM();
    // the worst of the band may use all of it
    return wall > highest ? new Tightest("surface location error", wall) : closest;
  }

  private double leastLimitM(Found found, double toM) {
    CuttingProcess at = found.cut;
    double[] speeds = around(at.speedRpm(), found.band);
    return Arrays.stream(judge.firstLimitsM(judge.searched(at), speeds, toM)).min().orElseThrow();
  }

  private static double[] around(double rpm, double band) {
    return band == 0
        ? new double[] {rpm}
        : new double[] {
          rpm * (1 - band), rpm * (1 - band / 2), rpm, rpm * (1 + band / 2), rpm * (1 + band)
        };
  }

  /** Whether the wall stays within its tolerance at every speed of the band. */
  private boolean wallHolds(CuttingProcess at, double band, double share, int angles) {
    if (at.tool().isEmpty() || !CutLimits.gives(at)) {
      return true;
    }
    double most = share * limits.wallToleranceM() * (1 + 1e-9);
    return worstWallM(at, band, angles) <= most;
  }

  private double worstWallM(CuttingProcess at, double band) {
    return at.tool().isEmpty() || !CutLimits.gives(at) ? 0 : worstWallM(at, band, 720);
  }

  /** Largest error of the wall at any speed of the band, m. */
  private double worstWallM(CuttingProcess at, double band, int angles) {
    WallError wall = forces(at, angles).wall();
    return Arrays.stream(around(at.speedRpm(), band))
        .map(rpm -> wall.at(at.atSpeed(rpm)).map(w -> Math.abs(w.errorM())).orElse(0.0))
        .max()
        .orElse(0);
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

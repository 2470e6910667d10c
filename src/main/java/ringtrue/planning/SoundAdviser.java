package ringtrue.planning;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.stream.IntStream;
import ringtrue.dynamics.Progress;
import ringtrue.planning.SoundAdvice.Against;
import ringtrue.planning.SoundAdvice.NearestMode;
import ringtrue.planning.SoundAdvice.TrySpeed;
import ringtrue.stability.CuttingProcess;
import ringtrue.stability.StabilityMap;

/**
 * Holds what was heard against the lobes: speeds to try, and what would have to be otherwise where
 * the two disagree.
 *
 * <p>Speeds come from the known rule n = 60 f/(k N): the teeth pass a whole number of times slower
 * than the chatter sings (Smith and Tlusty 1990). They are checked against the lobes, and those of
 * the lobes are named beside them.
 *
 * <p>A shift of all natural frequencies by s at equal stiffness and damping ratio is the same cut
 * at a speed 1/(1 + s) times as high, with frequencies 1 + s times as high.
 */
public final class SoundAdviser {
  private static final int MOST_SPEEDS = 5;
  private static final double LARGEST_SHIFT = 0.15;
  private static final int SHIFT_STEPS = 60;
  private static final double PLAUSIBLE_SHIFT = 0.04;
  private static final double PLAUSIBLE_FACTOR = 1.35;
  private static final double SAME_FREQUENCY = 0.03;
  private static final int SEARCHED_SPEEDS = 160;
  private static final double FLIP_DEPTH = 0.2;
  private static final double FLIP_SPEED = 0.02;

  private final CuttingProcess cut;
  private final Machine machine;
  private final StabilityJudge judge;
  private final HeardChatter heard;
  private final Words words;
  private final double depthM;
  private final int teeth;
  private final List<String> sentences = new ArrayList<>();

  private SoundAdviser(
      CuttingProcess cut, Machine machine, StabilityJudge judge, HeardChatter heard, Words words) {
    this.cut = cut;
    this.machine = machine;
    this.judge = judge;
    this.heard = heard;
    this.words = words;
    this.depthM = cut.engagement().axialM();
    this.teeth = cut.tool().map(t -> t.flutes()).orElse(1);
  }

  /**
   * The advice.
   *
   * @param cut the cut
   * @param machine which speeds there are
   * @param judge gives the lobes
   * @param heard what was heard
   * @param inches whether lengths are said in inches
   * @param progress told how far it is, may cancel
   */
  public static SoundAdvice advise(
      CuttingProcess cut,
      Machine machine,
      StabilityJudge judge,
      HeardChatter heard,
      boolean inches,
      Progress progress) {
    return new SoundAdviser(cut, machine, judge, heard, new Words(inches)).advice(progress);
  }

  /**
   * Whether by the lobes a cut flips at a speed or two per cent beside it, at its depth or up to a
   * fifth deeper: the modes are not known better.
   *
   * @param process the cut
   * @param judge gives the lobes
   * @param speedRpm spindle speed, rpm
   */
  public static boolean mayFlip(
      CuttingProcess process, StabilityJudge judge, double speedRpm, Progress progress) {
    if (process.x().isEmpty() && process.y().isEmpty() || process.tool().isEmpty()) {
      return false;
    }
    double depth = process.engagement().axialM();
    double reach = (1 + FLIP_DEPTH) * depth;
    List<Double> speeds =
        List.of((1 - FLIP_SPEED) * speedRpm, speedRpm, (1 + FLIP_SPEED) * speedRpm);
    boolean atLimit =
        judge.firstLimits(process, speeds, reach, progress).lines().stream()
            .anyMatch(l -> l.loss() == StabilityMap.Loss.FLIP && l.limitM() < reach);
    if (atLimit) {
      return true;
    }
    double[] hz = judge.chatterHz(process, speeds, progress);
    for (int i = 0; i < hz.length; i++) {
      double halves = 120 * hz[i] / (speeds.get(i) * process.tool().orElseThrow().flutes());
      if (Math.abs(halves - Math.rint(halves)) < 1e-4 && Math.rint(halves) % 2 != 0) {
        return true;
      }
    }
    return false;
  }

  private SoundAdvice advice(Progress progress) {
    boolean dynamic = !(cut.x().isEmpty() && cut.y().isEmpty());
    Optional<NearestMode> mode = heard.chatters() ? nearest() : Optional.empty();
    mode.ifPresent(this::say);
    if (heard.chatters() && mode.isEmpty() && dynamic) {
      sentences.add(
          "No known mode lies where this chatter would come from; tap what was not"
              + " measured: the work, the other direction, the machine.");
    }
    Optional<Against> against = dynamic ? Optional.of(against(progress)) : Optional.empty();
    List<TrySpeed> speeds = heard.chatters() ? speeds(mode, dynamic, progress) : List.of();
    return new SoundAdvice(speeds, mode, against, sentences);
  }

  // ---- which mode

  private Optional<NearestMode> nearest() {
    return ChatterMode.nearest(cut, heard.speedRpm(), heard.chatterHz());
  }

  private void say(NearestMode mode) {
    sentences.add(
        String.format(
            Locale.ROOT,
            "It belongs to the mode at %.5g Hz in %s: the chatter is %.2g %% %s it.",
            mode.frequencyHz(),
            mode.axis(),
            100 * Math.abs(mode.chatterOver()),
            mode.chatterOver() < 0 ? "below" : "above"));
  }

  // ---- sound against lobes

  private double reachM() {
    return 4 * depthM;
  }

  private Against against(Progress progress) {
    StabilityMap.Line line =
        judge.limits(cut, List.of(heard.speedRpm()), reachM(), progress).lines().get(0);
    boolean stable = stable(line);
    double limit = limit(line);
    // beyond the border another mode may grow faster, and the frequency moves
    double atDepth =
        heard.chatters() && !stable
            ? judge.chatterHz(cut, List.of(heard.speedRpm()), progress)[0]
            : Double.NaN;
    double predicted = Double.isNaN(atDepth) ? line.chatterHz() : atDepth;
    double off = Math.min(mismatch(predicted, 1), mismatch(line.chatterHz(), 1));
    boolean agree = heard.chatters() ? !stable && off < SAME_FREQUENCY : stable;
    if (agree) {
      sentences.add(
          heard.chatters()
              ? String.format(
                  Locale.ROOT,
                  "The lobes say so too: at %.0f rpm they end at %s, the cut is %s deep.",
                  heard.speedRpm(),
                  words.length(limit),
                  words.length(depthM))
              : String.format(
                  Locale.ROOT,
                  "The lobes say so too: at %.0f rpm the cut is free of chatter.",
                  heard.speedRpm()));
      return new Against(limit, stable, predicted, true, Double.NaN, true, Double.NaN);
    }
    double factor = heard.chatters() && !stable ? Double.NaN : limit / depthM;
    double shift = shift(progress);
    boolean plausible = Math.abs(shift) <= PLAUSIBLE_SHIFT;
    sayDisagreement(stable, limit, predicted, shift, factor);
    return new Against(limit, stable, predicted, false, shift, plausible, factor);
  }

  private boolean stable(StabilityMap.Line line) {
    return line.stable().stream().anyMatch(s -> s.fromM() <= depthM && depthM <= s.toM())
        || line.loss() == StabilityMap.Loss.NONE;
  }

  /** The limit that counts for the cut: the end of the stable stretch it lies in, or the first. */
  private double limit(StabilityMap.Line line) {
    return line.stable().stream()
        .filter(s -> s.fromM() <= depthM && depthM <= s.toM())
        .mapToDouble(StabilityMap.Interval::toM)
        .findFirst()
        .orElse(line.limitM());
  }

  /**
   * How far the chatter that was heard lies from one that is predicted, relative; lines that differ
   * by a multiple of tooth passing are the same chatter. Far beyond the border two modes may
   * chatter at once; it is enough that one of the motions heard is the predicted one.
   */
  private double mismatch(double predictedHz, double scale) {
    if (!heard.chatters() || Double.isNaN(predictedHz)) {
      return heard.chatters() ? 1 : 0;
    }
    double tooth = teeth * heard.speedRpm() / 60;
    double p = predictedHz * scale;
    double least = Double.POSITIVE_INFINITY;
    for (double hz : heard.allHz()) {
      least = Math.min(least, Math.min(fold(hz - p, tooth), fold(hz + p, tooth)) / hz);
    }
    return least;
  }

  private static double fold(double hz, double period) {
    return Math.abs(hz - period * Math.rint(hz / period));
  }

  /** The smallest shift of all modes with which the lobes say what was heard. */
  private double shift(Progress progress) {
    List<Double> shifts =
        IntStream.rangeClosed(-SHIFT_STEPS, SHIFT_STEPS)
            .mapToObj(i -> LARGEST_SHIFT * i / SHIFT_STEPS)
            .sorted(Comparator.reverseOrder())
            .toList();
    List<Double> speeds = shifts.stream().map(s -> heard.speedRpm() / (1 + s)).toList();
    List<StabilityMap.Line> lines =
        judge.limits(cut.resolvedAt(heard.speedRpm()), speeds, reachM(), progress).lines();
    double[] atDepth = new double[lines.size()];
    Arrays.fill(atDepth, Double.NaN);
    if (heard.chatters()) {
      atDepth = judge.chatterHz(cut.resolvedAt(heard.speedRpm()), speeds, progress);
    }
    double best = Double.NaN;
    double bestCost = Double.POSITIVE_INFINITY;
    for (int i = 0; i < lines.size(); i++) {
      double s = shifts.get(i);
      boolean stable = stable(lines.get(i));
      if (stable == heard.chatters()) {
        continue;
      }
      double hz = Double.isNaN(atDepth[i]) ? lines.get(i).chatterHz() : atDepth[i];
      double off = Math.min(mismatch(hz, 1 + s), mismatch(lines.get(i).chatterHz(), 1 + s));
      // the frequency is measured to a few tenths of a per cent, the shift should be small
      double cost = Math.abs(s) + (heard.chatters() ? 4 * Math.max(0, off - 0.005) : 0);
      if ((!heard.chatters() || off < SAME_FREQUENCY) && cost < bestCost) {
        best = s;
        bestCost = cost;
      }
    }
    return best;
  }

  private void sayDisagreement(
      boolean stable, double limit, double predicted, double shift, double factor) {
    if (heard.chatters() && stable) {
      sentences.add(
          String.format(
              Locale.ROOT,
              "Sound and lobes disagree: the lobes call the cut stable at %.0f rpm up to %s.",
              heard.speedRpm(),
              words.length(limit)));
    } else if (heard.chatters()) {
      sentences.add(
          String.format(
              Locale.ROOT,
              "Sound and lobes disagree about the frequency: both say chatter, but the lobes at"
                  + " %.5g Hz.",
              predicted));
    } else {
      sentences.add(
          String.format(
              Locale.ROOT,
              "Sound and lobes disagree: no chatter is heard, but the lobes end at %s at %.0f rpm and"
                  + " the cut is %s deep.",
              words.length(limit),
              heard.speedRpm(),
              words.length(depthM)));
    }
    if (Double.isNaN(shift)) {
      sentences.add(
          String.format(
              Locale.ROOT,
              "No shift of the natural frequencies up to %.0f %% brings them together.",
              100 * LARGEST_SHIFT));
    } else {
      Optional<NearestMode> mode = heard.chatters() ? nearest() : Optional.empty();
      sentences.add(
          String.format(
              Locale.ROOT,
              "They would agree if all natural frequencies were %.1f %% %s%s: %s.",
              100 * Math.abs(shift),
              shift < 0 ? "lower" : "higher",
              mode.map(
                      m ->
                          String.format(
                              Locale.ROOT,
                              " (the mode at %.5g Hz at %.5g Hz)",
                              m.frequencyHz(),
                              m.frequencyHz() * (1 + shift)))
                  .orElse(""),
              Math.abs(shift) <= PLAUSIBLE_SHIFT
                  ? "that much comes with re-clamping or with the running spindle; tap again"
                  : Math.abs(shift) <= 2 * PLAUSIBLE_SHIFT
                      ? "that is much, but a running spindle or another stick-out can do it; tap again"
                      : "that is hardly the same set-up; check stick-out, clamping and the tap test"));
    }
    if (!Double.isNaN(factor) && factor > 0) {
      sentences.add(
          String.format(
              Locale.ROOT,
              "They would as well if the cutting coefficients were %.2g times as large: %s.",
              factor,
              factor < PLAUSIBLE_FACTOR && factor > 1 / PLAUSIBLE_FACTOR
                  ? "wear, coating or another alloy can do that"
                  : "more than wear or another alloy usually do"));
    }
  }

  // ---- speeds

  private List<TrySpeed> speeds(Optional<NearestMode> mode, boolean dynamic, Progress progress) {
    double low =
        Double.isNaN(machine.minSpeedRpm()) ? 0.4 * heard.speedRpm() : machine.minSpeedRpm();
    double high =
        Double.isNaN(machine.maxSpeedRpm()) ? 2 * heard.speedRpm() : machine.maxSpeedRpm();
    boolean even = cut.tool().map(t -> t.evenPitch()).orElse(true);
    // a flip sings at half the tooth passing, whatever its mode; the rule is about the mode
    double hz =
        heard.flip() ? mode.map(NearestMode::frequencyHz).orElse(Double.NaN) : heard.chatterHz();
    List<Double> rule = even && !Double.isNaN(hz) ? rule(hz, teeth, low, high) : List.of();
    List<TrySpeed> all = new ArrayList<>();
    if (!dynamic) {
      for (double rpm : rule) {
        all.add(new TrySpeed(rpm, waves(hz, rpm), Double.NaN, false));
      }
      sentences.add("There are no lobes to check these speeds by: the cut has no dynamics.");
      return nearestFirst(all);
    }
    if (!even) {
      sentences.add(
          "The teeth are not evenly spaced: the rule 60 f/(k N) does not hold; speeds are from the"
              + " lobes alone.");
    }
    if (!rule.isEmpty()) {
      List<StabilityMap.Line> lines = judge.limits(cut, rule, reachM(), progress).lines();
      for (int i = 0; i < rule.size(); i++) {
        all.add(
            new TrySpeed(
                rule.get(i), waves(hz, rule.get(i)), limit(lines.get(i)), stable(lines.get(i))));
      }
    }
    List<TrySpeed> fromLobes = fromLobes(low, high, progress);
    sayRule(all, fromLobes);
    List<TrySpeed> first = new ArrayList<>();
    nearestFirst(all).stream().filter(TrySpeed::stable).forEach(first::add);
    fromLobes.stream().filter(f -> first.stream().noneMatch(t -> same(t, f))).forEach(first::add);
    nearestFirst(all).stream().filter(t -> !t.stable()).forEach(first::add);
    return first.size() > MOST_SPEEDS ? first.subList(0, MOST_SPEEDS) : first;
  }

  private static boolean same(TrySpeed a, TrySpeed b) {
    return Math.abs(a.speedRpm() - b.speedRpm()) < 0.02 * a.speedRpm();
  }

  /**
   * Speeds n = 60 f/(k N) within a range, the fastest first.
   *
   * @param chatterHz f, Hz
   * @param teeth N; 1 in turning
   * @param lowRpm slowest, rpm
   * @param highRpm fastest, rpm
   */
  public static List<Double> rule(double chatterHz, int teeth, double lowRpm, double highRpm) {
    List<Double> all = new ArrayList<>();
    for (int k = 1; k <= 60 && all.size() < 12; k++) {
      double rpm = 60 * chatterHz / (k * teeth);
      if (rpm >= lowRpm && rpm <= highRpm) {
        all.add(rpm);
      }
    }
    return all;
  }

  private int waves(double hz, double rpm) {
    return (int) Math.rint(60 * hz / (teeth * rpm));
  }

  private List<TrySpeed> nearestFirst(List<TrySpeed> all) {
    return all.stream()
        .sorted(
            Comparator.comparingDouble(t -> Math.abs(Math.log(t.speedRpm() / heard.speedRpm()))))
        .limit(MOST_SPEEDS)
        .toList();
  }

  /** The middles of the stable gaps of the lobes next to the present speed, up and down. */
  private List<TrySpeed> fromLobes(double low, double high, Progress progress) {
    List<Double> speeds =
        IntStream.rangeClosed(0, SEARCHED_SPEEDS)
            .mapToObj(i -> low + (high - low) * i / SEARCHED_SPEEDS)
            .filter(rpm -> rpm > 0)
            .toList();
    if (!(high > low)) {
      return List.of();
    }
    List<StabilityMap.Line> lines = judge.firstLimits(cut, speeds, reachM(), progress).lines();
    List<TrySpeed> up = new ArrayList<>();
    int i = 0;
    while (i < lines.size()) {
      int from = i;
      while (i < lines.size() && stable(lines.get(i))) {
        i++;
      }
      if (i > from) {
        // the deepest of the gap; in the middle of those that are as deep
        double deepest = lines.subList(from, i).stream().mapToDouble(this::limit).max().orElse(0);
        int at = from;
        int last = from;
        for (int j = from; j < i; j++) {
          if (limit(lines.get(j)) >= 0.999 * deepest) {
            at = limit(lines.get(at)) >= 0.999 * deepest ? at : j;
            last = j;
          }
        }
        int middle = (at + last) / 2;
        up.add(new TrySpeed(speeds.get(middle), 0, limit(lines.get(middle)), true));
      }
      i++;
    }
    List<TrySpeed> near = new ArrayList<>();
    up.stream()
        .filter(t -> t.speedRpm() > heard.speedRpm())
        .min(Comparator.comparingDouble(TrySpeed::speedRpm))
        .ifPresent(near::add);
    up.stream()
        .filter(t -> t.speedRpm() < heard.speedRpm())
        .max(Comparator.comparingDouble(TrySpeed::speedRpm))
        .ifPresent(near::add);
    return near;
  }

  private void sayRule(List<TrySpeed> rule, List<TrySpeed> lobes) {
    List<TrySpeed> good = nearestFirst(rule).stream().filter(TrySpeed::stable).toList();
    if (!rule.isEmpty() && good.isEmpty()) {
      sentences.add(
          lobes.isEmpty()
              ? "At none of the speeds 60 f/(k N) do the lobes call this depth stable, nor at any"
                  + " other that the machine has: cut less deep or less wide."
              : "At none of the speeds 60 f/(k N) do the lobes call this depth stable; those of the"
                  + " lobes come first in the list.");
    } else if (rule.isEmpty() && lobes.isEmpty()) {
      sentences.add(
          "The machine has no speed at which this depth would be stable: cut less deep or less"
              + " wide.");
    }
  }
}

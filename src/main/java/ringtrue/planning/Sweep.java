package ringtrue.planning;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.stream.IntStream;
import ringtrue.dynamics.Progress;
import ringtrue.stability.CuttingProcess;
import ringtrue.stability.Tool;
import ringtrue.units.BadInputException;

/**
 * All limits of a cut while one of its parameters is varied: what if.
 *
 * @param parameter what is varied
 * @param ownValue what the cut itself has, in SI (speed in rpm); NaN where not known
 * @param rows one for each value, rising
 */
public record Sweep(SweepParameter parameter, double ownValue, List<Row> rows) {

  /** Most values of a sweep. */
  public static final int MOST_VALUES = 2000;

  private static final int AT_ONCE = 16;
  private static final int ANGLES = 360;

  /**
   * The cut at one value.
   *
   * @param value in SI (speed in rpm)
   * @param limits every limit, as in the plan
   */
  public record Row(double value, List<CutPlan.Limit> limits) {
    public Row {
      limits = List.copyOf(limits);
    }

    /** Whether the cut keeps to every limit that could be judged. */
    public boolean inside() {
      return limits.stream().allMatch(l -> l.ok() || l.advice());
    }

    /** The limit of a name; empty where it could not be judged. */
    public Optional<CutPlan.Limit> limit(String name) {
      return limits.stream().filter(l -> l.name().equals(name)).findFirst();
    }
  }

  /**
   * Values at which all limits are kept.
   *
   * @param from first value of a run of such values
   * @param to last value of it
   */
  public record Stretch(double from, double to) {}

  public Sweep {
    rows = List.copyOf(rows);
  }

  /** Names of the limits that count, in the order of the plan; advice is left out. */
  public List<String> limitNames() {
    Set<String> names = new LinkedHashSet<>();
    for (Row row : rows) {
      row.limits().stream().filter(l -> !l.advice()).forEach(l -> names.add(l.name()));
    }
    return List.copyOf(names);
  }

  /** Runs of values at which all limits are kept. */
  public List<Stretch> inside() {
    List<Stretch> all = new ArrayList<>();
    int from = -1;
    for (int i = 0; i <= rows.size(); i++) {
      boolean in = i < rows.size() && rows.get(i).inside();
      if (in && from < 0) {
        from = i;
      } else if (!in && from >= 0) {
        all.add(new Stretch(rows.get(from).value(), rows.get(i - 1).value()));
        from = -1;
      }
    }
    return all;
  }

  /**
   * Varies one parameter and judges every limit.
   *
   * @param cut the cut
   * @param machine what the machine can do
   * @param settings as for a plan
   * @param judge who says up to which depth a cut is stable
   * @param parameter what to vary
   * @param values its values in SI (speed in rpm), rising, {@value #MOST_VALUES} at most
   * @param progress told how far it is, may cancel
   * @throws BadInputException if the cut has no such parameter or a value makes no sense
   */
  public static Sweep of(
      CuttingProcess cut,
      Machine machine,
      PlanSettings settings,
      StabilityJudge judge,
      SweepParameter parameter,
      List<Double> values,
      Progress progress) {
    parameter.requireIn(cut);
    if (values.isEmpty() || values.size() > MOST_VALUES) {
      throw new BadInputException(
          parameter.word() + ": 1 to " + MOST_VALUES + " values, were " + values.size());
    }
    CutLimits rules = new CutLimits(machine, settings);
    Words words = new Words(settings.inches());
    List<CuttingProcess> cuts = new ArrayList<>();
    for (double value : values) {
      boolean zero = value == 0 && parameter.zeroAllowed();
      boolean negative = value < 0 && parameter == SweepParameter.HELIX;
      if (!(value > 0 || zero || negative) || Double.isInfinite(value)) {
        throw new BadInputException(parameter.word() + ": must be more than zero, was " + value);
      }
      cuts.add(parameter.in(cut, value));
    }
    double[] limits = chatter(cut, cuts, parameter, judge, progress);
    CutPlan.Limit[][] rows = new CutPlan.Limit[cuts.size()][];
    double end = endM(cut, cuts);
    for (int from = 0; from < rows.length; from += AT_ONCE) {
      progress.at(0.7 + 0.3 * from / rows.length, "every limit");
      IntStream.range(from, Math.min(rows.length, from + AT_ONCE))
          .parallel()
          .forEach(
              i -> {
                CuttingProcess each = cuts.get(i);
                List<CutPlan.Limit> all = new ArrayList<>();
                if (limits.length > 0) {
                  all.add(CutPlanner.quickChatter(each, limits[i], end, words));
                }
                rules.checks(each, CutLimits.forces(each, ANGLES)).forEach(c -> all.add(c.shown()));
                rows[i] = all.toArray(new CutPlan.Limit[0]);
              });
    }
    progress.at(1, "every limit");
    return new Sweep(
        parameter,
        parameter.of(cut),
        IntStream.range(0, rows.length)
            .mapToObj(i -> new Row(values.get(i), List.of(rows[i])))
            .toList());
  }

  private static double endM(CuttingProcess cut, List<CuttingProcess> cuts) {
    double deepest = CutPlanner.deepestM(cut) / CutSearch.DEPTH_SHARE;
    for (CuttingProcess each : cuts) {
      deepest = Math.max(deepest, 1.25 * each.engagement().axialM());
    }
    double flutes = cut.tool().map(Tool::fluteLengthM).orElse(Double.NaN);
    return flutes < deepest ? flutes : deepest;
  }

  /** Chatter limit of each cut, m; none where nothing gives. */
  private static double[] chatter(
      CuttingProcess cut,
      List<CuttingProcess> cuts,
      SweepParameter parameter,
      StabilityJudge judge,
      Progress progress) {
    if (!CutPlanner.judgeable(cut)) {
      return new double[0];
    }
    double end = endM(cut, cuts);
    double[] limits = new double[cuts.size()];
    if (!parameter.movesChatter()) {
      double one = judge.firstLimitsM(judge.searched(cut), new double[] {cut.speedRpm()}, end)[0];
      Arrays.fill(limits, one);
      return limits;
    }
    for (int from = 0; from < limits.length; from += AT_ONCE) {
      progress.at(0.7 * from / limits.length, "chatter limits");
      IntStream.range(from, Math.min(limits.length, from + AT_ONCE))
          .parallel()
          .forEach(
              i -> {
                CuttingProcess each = cuts.get(i);
                double[] speed = {each.speedRpm()};
                limits[i] = judge.firstLimitsM(judge.searched(each), speed, end)[0];
              });
    }
    return limits;
  }
}

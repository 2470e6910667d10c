package ringtrue.ui.lobes;

import java.util.ArrayList;
import java.util.List;
import java.util.TreeMap;
import java.util.function.BiConsumer;
import javax.swing.SwingUtilities;
import ringtrue.library.CutLobes;
import ringtrue.planning.PowerLimit;
import ringtrue.stability.CuttingProcess;
import ringtrue.stability.Lobes;
import ringtrue.stability.LobesRequest;
import ringtrue.stability.StabilityMap;
import ringtrue.stability.StabilityMap.Line;
import ringtrue.ui.desk.Tasks;

/**
 * More speeds in the part of a map that is looked at, away from the event thread: half the distance
 * between two speeds, a quarter, and so on, so that what was found once stays useful.
 */
final class CloserLook {
  /** So many speeds are wanted in what is shown. */
  private static final int WANTED = 200;

  /** The finest distance is this part of the map's own: 2 to the power of so many. */
  private static final int MOST_HALVINGS = 10;

  /** A map with more speeds than that takes long to draw. */
  private static final int MOST_LINES = 3000;

  private final Tasks tasks;
  private final Runnable changed;
  private double fromRpm = Double.NaN;
  private double toRpm = Double.NaN;
  private Tasks.Task task;
  private List<Double> going = List.of();

  /**
   * @param changed told when it begins and when it ends
   */
  CloserLook(Tasks tasks, Runnable changed) {
    this.tasks = tasks;
    this.changed = changed;
  }

  /** What is shown now, rpm. */
  void show(double from, double to) {
    fromRpm = from;
    toRpm = to;
  }

  boolean busy() {
    return task != null && !task.cancelled();
  }

  void stop() {
    going = List.of();
    if (task != null) {
      task.cancel();
      task = null;
      changed.run();
    }
  }

  /**
   * Computes what is missing, if anything is.
   *
   * @param answer told a map with more lines and the power limits of all its lines; on the event
   *     thread, more than once
   */
  void look(MapMoment moment, Wanted wanted, BiConsumer<StabilityMap, double[]> answer) {
    List<Double> known = moment.map().lines().stream().map(Line::speedRpm).sorted().toList();
    List<Double> whole = wanted.speedsRpm(moment.cut(), false);
    List<Double> missing =
        known.size() > MOST_LINES ? List.of() : missing(whole, known, fromRpm, toRpm);
    if (missing.equals(going)) {
      return;
    }
    stop();
    if (missing.isEmpty()) {
      return;
    }
    going = missing;
    Tasks.Task[] self = new Tasks.Task[1];
    self[0] =
        tasks.start(
            "closer look at the lobes",
            progress -> {
              CuttingProcess process =
                  CutLobes.process(moment.cut().process(), wanted.method(), progress);
              StabilityMap map = moment.map();
              for (List<Double> part : parts(missing)) {
                LobesRequest request =
                    new LobesRequest(
                        map.over(), wanted.method(), part, moment.map().maxM(), List.of());
                map = joined(map, Lobes.compute(process, request, progress));
                StabilityMap now = map;
                double[] power = powerM(moment, map);
                SwingUtilities.invokeLater(
                    () -> {
                      if (task == self[0] && !self[0].cancelled()) {
                        answer.accept(now, power);
                      }
                    });
              }
              return true;
            },
            done -> ended(),
            complaint -> ended()); // the map as it is says what there is to say
    task = self[0];
    changed.run();
  }

  private void ended() {
    task = null;
    going = List.of();
    changed.run();
  }

  private static double[] powerM(MapMoment moment, StabilityMap map) {
    return PowerLimit.lengthsM(
        moment.cut().process(),
        moment.cut().machine(),
        moment.cut().planSettings(),
        map.over(),
        map.lines().stream().map(Line::speedRpm).toList(),
        map.maxM());
  }

  /** A few all over the range first, so that something is seen soon. */
  private static List<List<Double>> parts(List<Double> speeds) {
    List<Double> first = new ArrayList<>();
    List<Double> rest = new ArrayList<>();
    for (int i = 0; i < speeds.size(); i++) {
      (i % 4 == 1 ? first : rest).add(speeds.get(i));
    }
    return first.isEmpty() ? List.of(rest) : List.of(first, rest);
  }

  /**
   * Speeds to be added.
   *
   * @param whole speeds of the whole map, evenly spread, rpm
   * @param known speeds that are there, rising, rpm
   * @param from lower end of what is shown, rpm; NaN for all
   * @param to upper end, rpm
   */
  static List<Double> missing(List<Double> whole, List<Double> known, double from, double to) {
    List<Double> missing = new ArrayList<>();
    if (!(to > from) || whole.size() < 3) {
      return missing;
    }
    double first = whole.get(0);
    double last = whole.get(whole.size() - 1);
    double step = (last - first) / (whole.size() - 1);
    int halvings = 0;
    while (halvings < MOST_HALVINGS && step > (to - from) / WANTED) {
      step /= 2;
      halvings++;
    }
    if (halvings == 0) {
      return missing;
    }
    TreeMap<Double, Boolean> there = new TreeMap<>();
    known.forEach(rpm -> there.put(rpm, true));
    long begin = (long) Math.ceil((Math.max(from, first) - first) / step);
    long end = (long) Math.floor((Math.min(to, last) - first) / step);
    for (long i = begin; i <= end; i++) {
      double rpm = first + i * step;
      if (there.subMap(rpm - step / 4, rpm + step / 4).isEmpty()) {
        missing.add(rpm);
      }
    }
    return missing;
  }

  /** A map with the lines of another one as well. */
  static StabilityMap joined(StabilityMap map, StabilityMap more) {
    TreeMap<Double, Line> lines = new TreeMap<>();
    more.lines().forEach(line -> lines.put(line.speedRpm(), line));
    map.lines().forEach(line -> lines.put(line.speedRpm(), line));
    return new StabilityMap(
        map.over(),
        map.method(),
        List.copyOf(lines.values()),
        map.at(),
        map.growthPeriod(),
        map.maxM(),
        map.remarks());
  }
}

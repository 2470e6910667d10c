package ringtrue.stability;

import java.util.ArrayList;
import java.util.List;
import java.util.TreeMap;
import ringtrue.dynamics.Progress;
import ringtrue.stability.StabilityMap.Line;

/**
 * A stability map that is there at once and grows finer: a first answer at every few speeds, then
 * more and more of them until all are there. What is known is kept; each answer is right as far as
 * it goes. Every step can be cancelled through its {@link Progress} at any moment, and asked for
 * again.
 */
public final class GrowingLobes {
  private static final int COARSE = 50;

  private final CuttingProcess process;
  private final LobesRequest request;
  private final PeriodicMap periodic;
  private final TreeMap<Double, Line> other = new TreeMap<>();
  private final List<String> remarks = new ArrayList<>();
  private int every;
  private boolean fine;
  private int settled;
  private boolean started;

  private GrowingLobes(CuttingProcess process, LobesRequest request, PeriodicMap periodic) {
    this.process = process;
    this.request = request;
    this.periodic = periodic;
  }

  /**
   * @param process the cut
   * @param request what to show in the end
   * @throws ringtrue.units.BadInputException if the request makes no sense for this cut
   */
  public static GrowingLobes of(CuttingProcess process, LobesRequest request) {
    List<String> remarks = new ArrayList<>();
    LobesRequest checked = Lobes.checked(process, request, PeriodicLobes.Reach.WHOLE, remarks);
    boolean periodic =
        checked.method().orElseThrow() == Method.PERIODIC && !process.changesWithSpeed();
    GrowingLobes lobes =
        new GrowingLobes(
            process,
            checked,
            periodic ? new PeriodicMap(process, checked, PeriodicLobes.Reach.WHOLE) : null);
    lobes.remarks.addAll(remarks);
    return lobes;
  }

  /**
   * The first answer: about so many speeds spread over those of the request, with stretches of less
   * than a fiftieth of the whole length left out.
   *
   * @param speeds number of speeds
   */
  public StabilityMap first(int speeds, Progress progress) {
    int all = request.speedsRpm().size();
    every = 1;
    while (all / (2 * every) >= Math.max(1, speeds)) {
      every *= 2;
    }
    StabilityMap map = map(COARSE, progress);
    started = true;
    return map;
  }

  /** Twice as many speeds; once all are there, the finest look at each. */
  public StabilityMap finer(Progress progress) {
    if (!started) {
      return first(100, progress);
    }
    if (every > 1) {
      int before = every;
      every /= 2;
      try {
        return map(COARSE, progress);
      } catch (RuntimeException e) {
        every = before;
        throw e;
      }
    }
    StabilityMap map = map(PeriodicMap.FINE, progress);
    fine = true;
    return map;
  }

  /** Whether there is nothing finer. */
  public boolean complete() {
    return fine || started && every == 1 && periodic == null;
  }

  private StabilityMap map(int steps, Progress progress) {
    List<Double> speeds = new ArrayList<>();
    for (int i = 0; i < request.speedsRpm().size(); i += every) {
      speeds.add(request.speedsRpm().get(i));
    }
    LobesRequest part =
        new LobesRequest(request.over(), request.method(), speeds, request.maxM(), request.at());
    StabilityMap map;
    if (periodic == null) {
      map = joined(part, progress);
    } else {
      if (steps > settled) {
        // the same speeds as for the whole map at once, so that it ends with the same nodes
        List<Double> all = new ArrayList<>(request.speedsRpm());
        request.at().forEach(point -> all.add(point.speedRpm()));
        periodic.settle(all, steps, progress);
        settled = steps;
      }
      map = PeriodicLobes.finished(periodic, process, part, steps, progress);
    }
    List<String> all = new ArrayList<>(remarks);
    all.addAll(map.remarks());
    return map.withRemarks(all);
  }

  /** Other methods: only speeds that are not known yet are computed. */
  private StabilityMap joined(LobesRequest part, Progress progress) {
    List<Double> missing =
        part.speedsRpm().stream().filter(rpm -> !other.containsKey(rpm)).distinct().toList();
    StabilityMap map =
        Lobes.compute(
            process,
            new LobesRequest(part.over(), part.method(), missing, part.maxM(), part.at()),
            progress);
    map.lines().forEach(line -> other.put(line.speedRpm(), line));
    return new StabilityMap(
        map.over(),
        map.method(),
        part.speedsRpm().stream().map(other::get).toList(),
        map.at(),
        map.growthPeriod(),
        map.maxM(),
        map.remarks());
  }
}

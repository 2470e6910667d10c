package ringtrue.stability;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.concurrent.atomic.AtomicInteger;
import ringtrue.dynamics.Progress;
import ringtrue.stability.CuttingProcess.Operation;
import ringtrue.stability.LobesRequest.AtPoint;
import ringtrue.stability.SimulatedCut.Verdict;
import ringtrue.units.BadInputException;

/**
 * Limits by simulation in time: from a depth (or width) that is stable upwards in steps of a
 * quarter until the disturbance grows, then halving the stretch. A judge of another kind than the
 * methods that solve the equation, not a map maker: some fifteen simulations for each speed, and
 * islands above the first limit are not looked for.
 */
final class SimulationLobes implements LobesMethod {
  private static final double STEP = 1.25;
  private static final double EXACT = 0.005;
  private static final int MOST_DOWN = 40;
  private static final SimulationSettings SETTINGS =
      SimulationSettings.USUAL
          .withTracedTurns(1)
          .withMostTurns(400)
          .with(SimulationSettings.StockEdge.FIXED_ANGLES);

  @Override
  public StabilityMap compute(CuttingProcess process, LobesRequest asked, Progress progress) {
    List<String> remarks = new ArrayList<>();
    LobesRequest request = asked.upTo(end(process, asked, remarks));
    List<Double> speeds = request.speedsRpm();
    StabilityMap.Line[] lines = new StabilityMap.Line[speeds.size()];
    boolean[] unsure = new boolean[speeds.size()];
    AtomicInteger done = new AtomicInteger();
    double all = Math.max(1, speeds.size());
    // in chunks, so that a cancelled map ends soon
    int chunk = 4;
    for (int from = 0; from < speeds.size(); from += chunk) {
      progress.at(done.get() / all, "simulation over speed");
      java.util.stream.IntStream.range(from, Math.min(speeds.size(), from + chunk))
          .parallel()
          .forEach(
              i -> {
                lines[i] = line(process, request, speeds.get(i), unsure, i);
                done.incrementAndGet();
              });
    }
    List<StabilityMap.Point> points = new ArrayList<>();
    for (AtPoint at : request.at()) {
      progress.at(1, "single points");
      SimulatedCut cut = cut(process, request.over(), at.speedRpm(), at.lengthM());
      points.add(
          new StabilityMap.Point(
              at.speedRpm(),
              at.lengthM(),
              cut.verdict() == Verdict.STABLE || cut.rigid(),
              cut.growth(),
              Double.NaN));
    }
    progress.at(1, "simulation over speed");
    remarks.add(
        "limits by simulation in time, to half a per cent of themselves: the first loss of stability"
            + " at each speed; stable stretches above it were not looked for");
    int doubtful = 0;
    for (boolean u : unsure) {
      doubtful += u ? 1 : 0;
    }
    if (doubtful > 0) {
      remarks.add(
          "at "
              + doubtful
              + " of "
              + speeds.size()
              + " speeds the simulation could not tell close to the limit; it is counted as not"
              + " stable there");
    }
    boolean tooth =
        process.operation() == Operation.MILLING
            && process.tool().orElseThrow().evenPitch()
            && process.tool().orElseThrow().equalHelix();
    return new StabilityMap(
        request.over(),
        Method.SIMULATION.word(),
        List.of(lines),
        points,
        tooth ? "tooth passing" : "spindle turn",
        request.maxM(),
        remarks);
  }

  /**
   * End of the search, m.
   *
   * @throws BadInputException if the engagement has no radial width, or a point is too wide
   */
  private static double end(CuttingProcess process, LobesRequest request, List<String> remarks) {
    if (request.over() == StabilityMap.Over.WIDTH) {
      return WidthSearch.widest(process, request, remarks);
    }
    double met = process.tool().map(Regeneration::deepest).orElse(Double.POSITIVE_INFINITY);
    if (request.maxM() < met) {
      return request.maxM();
    }
    remarks.add(
        String.format(
            Locale.ROOT,
            "searched to %s only: flutes of different helix meet at %s",
            Plain.mm(0.98 * met),
            Plain.mm(met)));
    return 0.98 * met;
  }

  private static StabilityMap.Line unlimited(double rpm, double maxM) {
    return new StabilityMap.Line(
        rpm,
        maxM,
        List.of(new StabilityMap.Interval(0, maxM)),
        StabilityMap.Loss.NONE,
        Double.NaN,
        -1);
  }

  private static StabilityMap.Line line(
      CuttingProcess process, LobesRequest request, double rpm, boolean[] unsure, int i) {
    double max = request.maxM();
    double low = max;
    SimulatedCut above = null;
    // upwards from where even the averaged factors see no danger, or from far below the end
    double start = max / Math.pow(STEP, MOST_DOWN / 2.0);
    if (request.over() == StabilityMap.Over.DEPTH) {
      double certain = Lobes.certainDepthM(process.resolvedAt(rpm), max);
      start = Double.isFinite(certain) ? 0.5 * certain : max / 8;
    }
    double length = Math.min(start, max);
    SimulatedCut first = cut(process, request.over(), rpm, length);
    if (first.rigid()) {
      return unlimited(rpm, max);
    }
    unsure[i] |= first.verdict() == Verdict.CANNOT_TELL;
    if (first.verdict() != Verdict.STABLE) {
      for (int k = 0; k < MOST_DOWN && first.verdict() != Verdict.STABLE; k++) {
        above = first;
        low = length;
        length /= STEP;
        first = cut(process, request.over(), rpm, length);
      }
    } else {
      while (length < max) {
        double next = Math.min(max, STEP * length);
        SimulatedCut cut = cut(process, request.over(), rpm, next);
        if (cut.verdict() != Verdict.STABLE) {
          unsure[i] |= cut.verdict() == Verdict.CANNOT_TELL;
          above = cut;
          low = next;
          break;
        }
        length = next;
      }
    }
    if (above == null) {
      return unlimited(rpm, max);
    }
    double stable = length;
    double lost = low;
    while (lost - stable > EXACT * lost) {
      double middle = 0.5 * (stable + lost);
      SimulatedCut cut = cut(process, request.over(), rpm, middle);
      if (cut.verdict() == Verdict.STABLE) {
        stable = middle;
      } else {
        unsure[i] |= cut.verdict() == Verdict.CANNOT_TELL;
        lost = middle;
        above = cut.verdict() == Verdict.CANNOT_TELL ? above : cut;
      }
    }
    double limit = 0.5 * (stable + lost);
    return new StabilityMap.Line(
        rpm,
        limit,
        List.of(new StabilityMap.Interval(0, limit)),
        above.verdict() == Verdict.FLIP ? StabilityMap.Loss.FLIP : StabilityMap.Loss.HOPF,
        above.chatterHz(),
        -1);
  }

  private static SimulatedCut cut(
      CuttingProcess process, StabilityMap.Over over, double rpm, double lengthM) {
    Engagement engagement =
        over == StabilityMap.Over.DEPTH
            ? process.engagement().withAxial(lengthM)
            : process.engagement().withRadial(lengthM, process.tool().orElseThrow().diameterM());
    return CutInTime.run(process.with(engagement).atSpeed(rpm), SETTINGS, Progress.NONE);
  }
}

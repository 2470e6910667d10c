package ringtrue.stability;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.stream.Stream;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.Progress;
import ringtrue.stability.CuttingProcess.Operation;
import ringtrue.stability.LobesRequest.AtPoint;
import ringtrue.units.BadInputException;

/** Stability lobes: the one way in. */
public final class Lobes {
  private Lobes() {}

  /**
   * The stability map of a cut.
   *
   * @param process the cut; over depth its axial depth is not used, over width its radial width
   * @param request speeds, what to vary and how far, single points
   * @param progress told how far it is, may cancel
   * @throws BadInputException if the request makes no sense for this cut
   */
  public static StabilityMap compute(
      CuttingProcess process, LobesRequest request, Progress progress) {
    return compute(process, request, PeriodicLobes.Reach.WHOLE, progress);
  }

  /**
   * The same, but only the first limit at each speed is sure to be there: stable stretches above it
   * may be left out, which is faster.
   *
   * @param process the cut
   * @param request speeds, what to vary and how far, single points
   * @param progress told how far it is, may cancel
   * @throws BadInputException if the request makes no sense for this cut
   */
  public static StabilityMap firstLimits(
      CuttingProcess process, LobesRequest request, Progress progress) {
    return compute(process, request, PeriodicLobes.Reach.FIRST_LIMIT, progress);
  }

  /**
   * A first look at the first limits, for as long as nothing better is there: by the periodic
   * equation to a thousandth, with the nodes of the rule, not put to the test with more; a narrow
   * loss of stability below the limit may be missed. Other methods as {@link #firstLimits}.
   *
   * @param process the cut
   * @param request speeds, what to vary and how far, single points
   * @param progress told how far it is, may cancel
   * @throws BadInputException if the request makes no sense for this cut
   */
  public static StabilityMap roughLimits(
      CuttingProcess process, LobesRequest request, Progress progress) {
    return compute(process, request, PeriodicLobes.Reach.ROUGH_LIMIT, progress);
  }

  private static StabilityMap compute(
      CuttingProcess process, LobesRequest request, PeriodicLobes.Reach reach, Progress progress) {
    List<String> remarks = new ArrayList<>();
    LobesRequest checked = checked(process, request, reach, remarks);
    LobesMethod lobes = method(process, checked.method().orElseThrow(), reach);
    if (process.changesWithSpeed()) {
      lobes = new SpeedTables(lobes);
    }
    StabilityMap map = lobes.compute(process, checked, progress);
    remarks.addAll(map.remarks());
    return map.withRemarks(remarks);
  }

  private static LobesMethod method(
      CuttingProcess process, Method method, PeriodicLobes.Reach reach) {
    if (method == Method.SIMULATION) {
      return new SimulationLobes();
    }
    if (process.operation() == Operation.TURNING) {
      return new TurningLobes();
    }
    return switch (method) {
      case PERIODIC -> new PeriodicLobes(reach);
      case MULTI_FREQUENCY -> new MultiFrequencyLobes();
      default -> new ZeroOrderLobes();
    };
  }

  /** The request with its method chosen and its end of the search a number. */
  static LobesRequest checked(
      CuttingProcess process,
      LobesRequest request,
      PeriodicLobes.Reach reach,
      List<String> remarks) {
    boolean turning = process.operation() == Operation.TURNING;
    Method method = request.method().orElseGet(() -> best(process, reach));
    if (turning && request.over() == StabilityMap.Over.WIDTH) {
      throw new BadInputException(
          "over: turning has no radial width; ask for the limit over depth (the chip width)");
    }
    for (double rpm : request.speedsRpm()) {
      requirePositive("speeds: spindle speed", rpm, 1, "rpm");
    }
    for (AtPoint point : request.at()) {
      requirePositive("at: spindle speed", point.speedRpm(), 1, "rpm");
      requirePositive("at: " + request.over().word(), point.lengthM(), 1e3, "mm");
    }
    double maxM =
        Double.isNaN(request.maxM()) ? defaultMaxM(process, request.over()) : request.maxM();
    requirePositive("max: largest " + request.over().word(), maxM, 1e3, "mm");
    if (!turning && request.over() == StabilityMap.Over.DEPTH) {
      double fluteLength = process.tool().orElseThrow().fluteLengthM();
      if (maxM > fluteLength) {
        remarks.add(
            String.format(
                Locale.ROOT,
                "searched to the flute length of %s, not to %s",
                Plain.mm(fluteLength),
                Plain.mm(maxM)));
        maxM = fluteLength;
      }
      for (AtPoint point : request.at()) {
        if (point.lengthM() > fluteLength) {
          remarks.add(
              String.format(
                  Locale.ROOT,
                  "%s is deeper than the flutes are long, %s: the shank would rub",
                  Plain.mm(point.lengthM()),
                  Plain.mm(fluteLength)));
        }
      }
    }
    return new LobesRequest(
        request.over(), Optional.of(method), request.speedsRpm(), maxM, request.at());
  }

  /**
   * The method for a cut where none is asked for. Measured responses leave two: the multi-frequency
   * one, or averaged factors where it cannot be had or many limits are wanted quickly.
   */
  private static Method best(CuttingProcess process, PeriodicLobes.Reach reach) {
    if (process.operation() == Operation.TURNING) {
      return Method.ZERO_ORDER;
    }
    boolean measured =
        Stream.of(process.x(), process.y(), process.xy())
            .flatMap(List::stream)
            .anyMatch(FrequencyResponse.class::isInstance);
    if (!measured) {
      return Method.PERIODIC;
    }
    boolean possible =
        process.tool().orElseThrow().equalHelix() && process.processDampingNPerM() == 0;
    return possible && reach == PeriodicLobes.Reach.WHOLE
        ? Method.MULTI_FREQUENCY
        : Method.ZERO_ORDER;
  }

  /**
   * A sensible upper end of the search: over width the diameter; over depth the flute length, or
   * three diameters if that is unknown; in turning ten times the depth that is safe at every speed,
   * or 10 mm if nothing gives.
   *
   * <p>Where modes are a table over spindle speed, the least over its speeds counts.
   */
  public static double defaultMaxM(CuttingProcess process, StabilityMap.Over over) {
    if (process.operation() == Operation.TURNING) {
      double certain = certainDepthM(process, 1);
      return Double.isFinite(certain) ? 10 * certain : 0.01;
    }
    Tool tool = process.tool().orElseThrow();
    if (over == StabilityMap.Over.WIDTH) {
      return tool.diameterM();
    }
    return Double.isNaN(tool.fluteLengthM()) ? 3 * tool.diameterM() : tool.fluteLengthM();
  }

  /**
   * Depth below which the cut is stable at every speed, with averaged directional factors, whatever
   * the pitch of the cutter, m; infinite if there is none up to the largest. Process damping only
   * makes it larger and is left out. Where modes are a table over spindle speed: the least over the
   * table's speeds and a few in between.
   *
   * @param largestM largest depth of interest, m
   */
  public static double certainDepthM(CuttingProcess process, double largestM) {
    if (process.changesWithSpeed()) {
      return SpeedTables.speedsRpm(process).stream()
          .mapToDouble(rpm -> certainDepthM(process.resolvedAt(rpm), largestM))
          .min()
          .orElseThrow();
    }
    RegenerativeLoop loop =
        process.operation() == Operation.TURNING
            ? RegenerativeLoop.turning(process)
            : RegenerativeLoop.milling(process, process.engagement());
    SearchBand band = SearchBand.of(process, List.of(loop), largestM);
    BranchTable table = BranchTable.refined(loop, band.nodesHz(), 0.5 / largestM);
    double certain = 0.5 / table.largestRealPart();
    return certain <= largestM ? certain : Double.POSITIVE_INFINITY;
  }

  private static void requirePositive(String what, double value, double scale, String unit) {
    if (!(value > 0) || Double.isInfinite(value)) {
      throw new BadInputException(
          String.format(
              Locale.ROOT,
              "%s must be a positive number, was %s %s",
              what,
              Plain.number(scale * value),
              unit));
    }
  }
}

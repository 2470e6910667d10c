package ringtrue.library;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import ringtrue.dynamics.Progress;
import ringtrue.stability.CuttingProcess;
import ringtrue.stability.InputSpread;
import ringtrue.stability.Lobes;
import ringtrue.stability.LobesRequest;
import ringtrue.stability.Method;
import ringtrue.stability.ProbabilityLobes;
import ringtrue.stability.StabilityMap;
import ringtrue.units.BadInputException;

/**
 * The stability map of a cut as its file describes it, with all that is to be said about it.
 *
 * @param map the map
 * @param remarks those of the cut, of the map, and of how the map was made
 */
public record CutLobes(StabilityMap map, List<String> remarks) {
  private static final String FITTED =
      "modes were fitted to the measured responses: the multi-frequency method knows neither"
          + " different helices nor process damping";
  private static final int MEASURED_SPEED_STEPS = 200;
  private static final int DRAWN_SPEED_STEPS = 100;
  private static final int SPEED_STEPS = 400;
  private static final int SIMULATED_SPEED_STEPS = 24;

  /**
   * Sets of inputs to draw.
   *
   * @param samples number of them; 200 is usual
   * @param seed same seed, same answer
   */
  public record Draws(int samples, long seed) {}

  public CutLobes {
    remarks = List.copyOf(remarks);
  }

  /**
   * The map that was asked for.
   *
   * @param draws to say how sure it is; empty for a map without probabilities
   * @param progress told how far it is, may cancel
   * @throws BadInputException if the request makes no sense for this cut
   */
  public static CutLobes of(
      Cut cut, LobesRequest request, Optional<Draws> draws, Progress progress) {
    CuttingProcess process = process(cut.process(), request.method(), progress);
    StabilityMap map =
        draws.isEmpty()
            ? Lobes.compute(process, request, progress)
            : drawn(cut, process, request, draws.get(), progress);
    List<String> remarks = new ArrayList<>(cut.remarks());
    remarks.addAll(map.remarks());
    if (fitted(cut.process(), request.method())) {
      remarks.add(FITTED);
    } else if (ModalWay.measured(cut.process())) {
      remarks.addAll(ModalWay.compare(cut.process(), map, progress));
    }
    return new CutLobes(map, remarks);
  }

  private static StabilityMap drawn(
      Cut cut, CuttingProcess process, LobesRequest request, Draws draws, Progress progress) {
    if (request.method().equals(Optional.of(Method.SIMULATION))) {
      throw new BadInputException(
          "--samples: a simulation of each drawn cut would take too long; leave out --method");
    }
    InputSpread spread = InputSpread.of(process);
    if (cut.speedShiftSigma() > 0) {
      spread = spread.withShift(cut.speedShiftSigma(), cut.machine().maxSpeedRpm());
    }
    return ProbabilityLobes.compute(
        process, request, spread, draws.samples(), draws.seed(), progress);
  }

  /**
   * The cut as its map sees it: with modes fitted to measured responses where only those will do.
   *
   * @param method the method asked for; empty for the best there is
   * @throws BadInputException if modes are needed and none can be had
   */
  public static CuttingProcess process(
      CuttingProcess process, Optional<Method> method, Progress progress) {
    return fitted(process, method)
            || method.equals(Optional.of(Method.SIMULATION)) && ModalWay.measured(process)
        ? ModalWay.modal(process, progress)
        : process;
  }

  private static boolean fitted(CuttingProcess process, Optional<Method> method) {
    return method.isEmpty() && ModalWay.needed(process);
  }

  /** The machine's speeds, or half to twice the cut's where the machine does not say, rpm. */
  public static List<Double> speedsRpm(Cut cut) {
    return speedsRpm(cut, Optional.empty(), false);
  }

  /**
   * The same, as many as can be had in a few seconds.
   *
   * @param method the method asked for; empty for the best there is
   * @param drawn whether each speed is judged for many draws
   */
  public static List<Double> speedsRpm(Cut cut, Optional<Method> method, boolean drawn) {
    double speed = cut.process().speedRpm();
    double low = cut.machine().minSpeedRpm();
    double high = cut.machine().maxSpeedRpm();
    low = Double.isNaN(low) ? Math.min(speed, Double.isNaN(high) ? speed : high) / 2 : low;
    high = Double.isNaN(high) ? Math.max(speed, low) * 2 : high;
    return speedsRpm(cut, low, high, method, drawn);
  }

  /** The same between two speeds, rpm. */
  public static List<Double> speedsRpm(
      Cut cut, double low, double high, Optional<Method> method, boolean drawn) {
    List<Double> all = new ArrayList<>();
    // many draws and responses as measured take longer
    int undrawn = ModalWay.measured(cut.process()) ? MEASURED_SPEED_STEPS : SPEED_STEPS;
    int dense = drawn ? DRAWN_SPEED_STEPS : undrawn;
    if (method.equals(Optional.of(Method.SIMULATION))) {
      dense = SIMULATED_SPEED_STEPS;
    }
    int steps = high > low ? dense : 0;
    for (int i = 0; i <= steps; i++) {
      all.add(steps == 0 ? low : low + (high - low) * i / steps);
    }
    return all;
  }
}

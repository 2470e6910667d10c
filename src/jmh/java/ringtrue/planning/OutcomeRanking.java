package ringtrue.planning;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Progress;
import ringtrue.planning.OutcomeCheck.Kind;
import ringtrue.stability.CuttingCoefficients;
import ringtrue.stability.CuttingProcess;
import ringtrue.stability.Engagement;
import ringtrue.stability.QuickLook;
import ringtrue.stability.Tool;

/**
 * How often the cause that is named first is the true one: invented tools of two modes, of which
 * one, or both, or the coefficients are otherwise than known, and 4, 6 or 8 cuts around the known
 * limits at random speeds, judged by the true tool. Argument: number of tools for each line
 * (default 40), seed (default 1).
 *
 * <p>Only sets of cuts that contradict the map count. The mode's shift is 3 sigma, all modes' 3
 * sigma of one, the coefficients' factor 1.35 or its inverse at a range of 20 %.
 */
public final class OutcomeRanking {
  private static final double SIGMA = 0.01;

  private OutcomeRanking() {}

  private record Truth(CuttingProcess known, CuttingProcess real, Kind kind, double hz) {}

  public static void main(String[] args) {
    int tools = args.length > 0 ? Integer.parseInt(args[0]) : 40;
    long seed = args.length > 1 ? Long.parseLong(args[1]) : 1;
    System.out.println("true cause            cuts  sets  first right  among those named  none named");
    for (Kind kind : Kind.values()) {
      for (int cuts : new int[] {4, 6, 8}) {
        Random random = new Random(seed * 1000 + 10 * kind.ordinal() + cuts);
        int sets = 0;
        int first = 0;
        int named = 0;
        int none = 0;
        for (int tries = 0; sets < tools && tries < 50 * tools; tries++) {
          Truth truth = truth(kind, random);
          OutcomeCheck.Result result =
              OutcomeCheck.of(truth.known, trials(truth, cuts, random), Progress.NONE);
          if (result.contradictions() == 0) {
            continue;
          }
          sets++;
          List<OutcomeCheck.Cause> causes = result.causes();
          if (causes.isEmpty()) {
            none++;
            continue;
          }
          double best = causes.get(0).share();
          first += isTrue(causes.get(0), truth) ? 1 : 0;
          named +=
              causes.stream().anyMatch(c -> 3 * c.share() >= best && isTrue(c, truth)) ? 1 : 0;
        }
        System.out.printf(
            "%-20s  %4d  %4d  %9.0f %%  %15.0f %%  %8.0f %%%n",
            kind.word(),
            cuts,
            sets,
            100.0 * first / sets,
            100.0 * named / sets,
            100.0 * none / sets);
      }
    }
  }

  private static boolean isTrue(OutcomeCheck.Cause cause, Truth truth) {
    return cause.kind() == truth.kind
        && (Double.isNaN(truth.hz) || Math.abs(cause.frequencyHz() - truth.hz) < 1e-6);
  }

  private static Truth truth(Kind kind, Random random) {
    double sign = random.nextBoolean() ? 1 : -1;
    double x = 600 + 600 * random.nextDouble();
    double y = x * (1.1 + 0.4 * random.nextDouble());
    double zeta = 0.012 + 0.02 * random.nextDouble();
    double k = 2e6 * (1 + random.nextDouble());
    double radial = 0.001 + 0.004 * random.nextDouble();
    CuttingProcess known = cut(x, x, y, y, zeta, k, radial, 1);
    double shift = Math.exp(3 * sign * SIGMA);
    return switch (kind) {
      case MODE_FREQUENCY -> {
        boolean first = random.nextBoolean();
        yield new Truth(
            known,
            cut(first ? shift * x : x, x, first ? y : shift * y, y, zeta, k, radial, 1),
            kind,
            first ? x : y);
      }
      case ALL_FREQUENCIES ->
          new Truth(
              known, cut(shift * x, x, shift * y, y, zeta, k, radial, 1), kind, Double.NaN);
      case COEFFICIENTS ->
          new Truth(
              known,
              cut(x, x, y, y, zeta, k, radial, sign > 0 ? 1.35 : 1 / 1.35),
              kind,
              Double.NaN);
    };
  }

  private static CuttingProcess cut(
      double x, double knownX, double y, double knownY, double zeta, double k, double radial, double factor) {
    Tool tool =
        new Tool(
            0.01, List.of(0.0, 0.0), List.of(Math.PI, Math.PI), Double.NaN, Double.NaN, 0, Double.NaN);
    return new CuttingProcess(
        CuttingProcess.Operation.MILLING,
        Optional.of(tool),
        Engagement.of(Engagement.Direction.DOWN, radial, 0.001, 0.01),
        new CuttingCoefficients(8e8 * factor, 2.5e8 * factor, 0, 0, 0.2),
        List.of(ModalModel.of(new Mode(x, zeta, k, SIGMA * knownX, 0.001, 1e5, -90))),
        List.of(ModalModel.of(new Mode(y, zeta, k, SIGMA * knownY, 0.001, 1e5, -90))),
        12000,
        5e-5,
        0,
        List.of(),
        0);
  }

  /** Cuts near the known limits, as somebody makes them who works by the map. */
  private static List<OutcomeCheck.Trial> trials(Truth truth, int cuts, Random random) {
    List<OutcomeCheck.Trial> trials = new ArrayList<>();
    QuickLook known = new QuickLook(truth.known, 0.03);
    QuickLook real = new QuickLook(truth.real, 0.03);
    for (int i = 0; i < cuts; i++) {
      double[] rpm = {9000 + 14000 * random.nextDouble()};
      double depth = Math.min(0.02, known.firstLimitsM(rpm)[0] * (0.7 + 0.6 * random.nextDouble()));
      boolean chattered = !real.stable(rpm, depth)[0];
      CuttingProcess at =
          truth.known.atSpeed(rpm[0]).with(truth.known.engagement().withAxial(depth));
      trials.add(
          new OutcomeCheck.Trial(
              "cut " + i,
              at,
              chattered,
              chattered ? new QuickLook(truth.real, depth).chatterHz(rpm[0]) : Double.NaN));
    }
    return trials;
  }
}

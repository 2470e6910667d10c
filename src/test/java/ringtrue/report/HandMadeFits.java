package ringtrue.report;

import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import java.util.stream.IntStream;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Receptance;
import ringtrue.fitting.Convergence;
import ringtrue.fitting.FittedModes;
import ringtrue.fitting.FittedResponse;
import ringtrue.fitting.LineNoise;
import ringtrue.fitting.Stabilisation;
import ringtrue.fitting.Stabilisation.Group;
import ringtrue.fitting.Stabilisation.Pole;

/** Fits of known shape, invented, to try pictures on. */
final class HandMadeFits {
  private HandMadeFits() {}

  /** So many modes, evenly spaced in the logarithm of frequency, noise, and poles over orders. */
  static FittedResponse of(
      int count, double lowHz, double highHz, double timeConstantS, String name) {
    List<Mode> modes = new ArrayList<>();
    for (int j = 0; j < count; j++) {
      double fn = lowHz * 1.3 * Math.pow(highHz / lowHz / 1.7, (j + 0.5) / count);
      double k = 4e6 * Math.exp(0.8 * Math.sin(2.3 * j)) * Math.pow(fn / 500, 0.8);
      modes.add(new Mode(fn, 0.012 + 0.004 * (j % 3), k, 0.02, 1e-5, 1e4, -90.4));
    }
    return of(modes, lowHz, highHz, timeConstantS, name);
  }

  static FittedResponse of(
      List<Mode> modes, double lowHz, double highHz, double timeConstantS, String name) {
    ModalModel model = ModalModel.of(modes.toArray(new Mode[0]));
    Receptance g = model.throughWindow(timeConstantS);
    Random random = new Random(4);
    int n = 4000;
    double step = 1.25 * highHz / n;
    double[] hz = new double[n];
    double[] re = new double[n];
    double[] im = new double[n];
    double[] error = new double[n];
    double[] noise = new double[n];
    double[] value = new double[2];
    for (int i = 0; i < n; i++) {
      hz[i] = step * (i + 1);
      g.at(hz[i], value);
      noise[i] = 1e-10 * Math.pow(1000 / hz[i], 1.5) + 1e-3 * Math.hypot(value[0], value[1]);
      re[i] = value[0] + noise[i] * random.nextGaussian();
      im[i] = value[1] + noise[i] * random.nextGaussian();
      error[i] = noise[i] / Math.max(1e-12, Math.hypot(re[i], im[i]));
    }
    FrequencyResponse response =
        new FrequencyResponse(
            hz,
            re,
            im,
            null,
            error,
            new FrequencyResponse.Origin(
                "x", "tool tip", 6, timeConstantS, lowHz, highHz, name, List.of()));
    return new FittedResponse(
        response,
        new FittedModes(
            model,
            lowHz,
            highHz,
            0.0021,
            List.of(),
            poles(modes, lowHz, highHz, random),
            new Convergence(7, 1e-12, true, 1.03),
            lineNoise(hz, noise, lowHz, highHz)));
  }

  private static LineNoise lineNoise(double[] hz, double[] noise, double lowHz, double highHz) {
    int[] inside =
        IntStream.range(0, hz.length).filter(i -> hz[i] >= lowHz && hz[i] <= highHz).toArray();
    return new LineNoise(
        IntStream.of(inside).mapToDouble(i -> hz[i]).toArray(),
        IntStream.of(inside).mapToDouble(i -> noise[i]).toArray());
  }

  private static Stabilisation poles(List<Mode> modes, double lowHz, double highHz, Random random) {
    List<Pole> poles = new ArrayList<>();
    List<Group> groups = new ArrayList<>();
    for (Mode m : modes) {
      groups.add(new Group(m.frequencyHz(), 0.1, m.dampingRatio(), 1e-4, 12, true));
    }
    double weak = Math.sqrt(lowHz * highHz) * 1.05;
    groups.add(new Group(weak, 2, 0.02, 0.004, 5, false));
    for (int order = 4; order <= 40; order += 2) {
      for (int j = 0; j < modes.size() && 2 * j + 2 <= order; j++) {
        Mode m = modes.get(j);
        double hz = m.frequencyHz() * (1 + 2e-4 * random.nextGaussian());
        poles.add(new Pole(order, hz, m.dampingRatio(), order > 2 * j + 4, j));
      }
      if (order > 24) {
        poles.add(
            new Pole(order, weak * (1 + 0.004 * random.nextGaussian()), 0.02, true, modes.size()));
      }
      for (int j = 0; j < order / 10; j++) {
        double hz = lowHz * Math.pow(highHz / lowHz, random.nextDouble());
        poles.add(new Pole(order, hz, 0.05, random.nextInt(6) == 0, -1));
      }
    }
    return new Stabilisation(poles, groups);
  }
}

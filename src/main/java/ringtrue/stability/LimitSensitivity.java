package ringtrue.stability;

import java.util.HashMap;
import java.util.IdentityHashMap;
import java.util.Map;
import java.util.Optional;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.stability.HarmonicStructure.Measured;
import ringtrue.stability.MultiFrequencyLobes.Cut;

/**
 * How a limit depends on the receptances, to first order: {@code δ(1/b) = Re[(1 + iα) Σ_k w_k
 * δG(ω_k)]} with {@code w = z^H (∂M/∂G) y / z^H y} from the left and right eigenvectors at the
 * limit. The chatter frequency moves so that the eigenvalue μ stays real, hence {@code α = Re μ′/Im
 * μ′}; a flip keeps its frequency, α = 0. Where two lobes meet the other one is not seen.
 */
final class LimitSensitivity {
  private static final double NORMAL_95 = 1.959964;

  private final HarmonicStructure structure;
  private final HillLoop.Shape shape;
  private final double mu;
  private final double alpha;

  private LimitSensitivity(
      HarmonicStructure structure, HillLoop.Shape shape, double mu, double alpha) {
    this.structure = structure;
    this.shape = shape;
    this.mu = mu;
    this.alpha = alpha;
  }

  /**
   * @param hz frequency of the limit as the loop counts it, Hz
   * @param depthM the limit, m
   * @param flip whether it is a flip
   * @return empty if there is no limit at that place
   */
  static Optional<LimitSensitivity> of(
      HarmonicStructure structure, HillLoop loop, double hz, double depthM, boolean flip) {
    double mu = 1 / depthM;
    HillLoop.Shape shape = loop.shape(hz, mu);
    if (shape == null || Math.hypot(shape.re() - mu, shape.im()) > 0.02 * mu) {
      return Optional.empty();
    }
    double alpha = 0;
    if (!flip) {
      double[] slope = loop.slope(hz, mu, step(structure, loop, shape, hz));
      if (slope == null || slope[1] == 0) {
        return Optional.empty();
      }
      alpha = slope[0] / slope[1];
    }
    return Optional.of(new LimitSensitivity(structure, shape, mu, alpha));
  }

  /**
   * What the limit of a line depends on.
   *
   * @param process the cut that the map was made for
   * @param map where the line comes from; zero-order, single delay, or a method that solves the
   *     full periodic equation
   * @return empty where the line has no limit, or none that can be found again
   */
  static Optional<LimitSensitivity> of(
      CuttingProcess process, StabilityMap map, StabilityMap.Line line) {
    if (line.loss() == StabilityMap.Loss.NONE || Double.isNaN(line.chatterHz())) {
      return Optional.empty();
    }
    boolean milling = process.operation() == CuttingProcess.Operation.MILLING;
    if (milling && !process.tool().orElseThrow().equalHelix()) {
      return Optional.empty();
    }
    boolean width = map.over() == StabilityMap.Over.WIDTH;
    double depth = width ? process.engagement().axialM() : line.limitM();
    if (milling && !map.method().equals(Method.ZERO_ORDER.word())) {
      Cut cut = new Cut(process, width, map.maxM());
      HarmonicStructure structure = cut.structure(line.speedRpm());
      int h = Cut.more(Math.max(1, cut.harmonics(structure, line.speedRpm())));
      HillLoop loop = new HillLoop(structure, cut.coupling(h, line.limitM(), 0), line.speedRpm());
      double base = loop.baseHz();
      double rest = line.chatterHz() % base;
      boolean flip = line.loss() == StabilityMap.Loss.FLIP;
      double hz = flip ? 0.5 * base : Math.min(rest, base - rest);
      return of(structure, loop, hz, depth, flip);
    }
    CuttingProcess here = process.resolvedAt(line.speedRpm());
    if (width) {
      here =
          here.with(
              here.engagement().withRadial(line.limitM(), here.tool().orElseThrow().diameterM()));
    }
    HarmonicStructure structure = new HarmonicStructure(here);
    HillLoop loop =
        new HillLoop(
            structure,
            HarmonicCoupling.averaged(
                here, structure.gives(HarmonicStructure.XX), structure.gives(HarmonicStructure.YY)),
            line.speedRpm());
    return of(structure, loop, line.chatterHz(), depth, false);
  }

  /** A map over depth by averaged factors or one delay with the error bands of its limits. */
  static StabilityMap withBands(CuttingProcess process, StabilityMap map) {
    if (!new HarmonicStructure(process.resolvedAt(1)).measured()) {
      return map;
    }
    return new StabilityMap(
        map.over(),
        map.method(),
        map.lines().stream()
            .map(line -> of(process, map, line).map(s -> s.band(line, map.maxM())).orElse(line))
            .toList(),
        map.at(),
        map.growthPeriod(),
        map.maxM(),
        map.remarks(),
        map.probability());
  }

  /** One measured line, so that the slope is not that of the noise inside it. */
  private static double step(
      HarmonicStructure structure, HillLoop loop, HillLoop.Shape shape, double hz) {
    double line = structure.lineSpacingHz(Math.abs(shape.hz()[shape.loudest()]));
    double least = 1e-5 * loop.baseHz();
    return Double.isNaN(line) ? least : Math.max(least, line);
  }

  HillLoop.Shape shape() {
    return shape;
  }

  /**
   * Size of the eigenvalue's change for each m/N that a receptance changes at a harmonic, N/m².
   *
   * @param harmonic number of the harmonic, from 0
   * @param direction of {@link HarmonicStructure}
   */
  double influence(int harmonic, int direction) {
    return Math.hypot(
        shape.weight()[harmonic][2 * direction], shape.weight()[harmonic][2 * direction + 1]);
  }

  /** Weight on the receptance at the positive frequency, so that δ(1/b) = Re(weight · δG). */
  private double[] weight(int harmonic, int direction) {
    double re = shape.weight()[harmonic][2 * direction];
    double im = shape.weight()[harmonic][2 * direction + 1];
    double turnedRe = re - alpha * im;
    double turnedIm = im + alpha * re;
    return new double[] {turnedRe, shape.hz()[harmonic] < 0 ? -turnedIm : turnedIm};
  }

  /**
   * One-sigma error of 1/b that the random errors of the measured lines leave, 1/m; lines and
   * responses are independent, magnitude and phase of a line have the same relative error. NaN if
   * nothing is measured or an error is not known.
   */
  double sigma() {
    Map<FrequencyResponse, Map<Integer, double[]>> sums = new IdentityHashMap<>();
    for (int k = 0; k < shape.hz().length; k++) {
      double hz = Math.abs(shape.hz()[k]);
      for (int d = HarmonicStructure.XX; d <= HarmonicStructure.XY; d++) {
        double[] w = weight(k, d);
        if (w[0] == 0 && w[1] == 0) {
          continue;
        }
        for (Measured one : structure.measured(d)) {
          Map<Integer, double[]> lines = sums.computeIfAbsent(one.response, r -> new HashMap<>());
          one.lines(
              hz, (line, part, realOnly) -> add(lines, one.response, line, part, realOnly, w));
        }
      }
    }
    if (sums.isEmpty()) {
      return Double.NaN;
    }
    double variance = 0;
    for (Map.Entry<FrequencyResponse, Map<Integer, double[]>> response : sums.entrySet()) {
      for (Map.Entry<Integer, double[]> line : response.getValue().entrySet()) {
        double error = response.getKey().relativeError(line.getKey());
        double[] sum = line.getValue();
        variance += error * error * (sum[0] * sum[0] + sum[1] * sum[1]);
      }
    }
    return Math.sqrt(variance);
  }

  private static void add(
      Map<Integer, double[]> lines,
      FrequencyResponse response,
      int line,
      double part,
      boolean realOnly,
      double[] w) {
    double re = response.real(line);
    double im = response.imag(line);
    double wIm = realOnly ? 0 : w[1];
    double[] sum = lines.computeIfAbsent(line, l -> new double[2]);
    sum[0] += part * (w[0] * re - wIm * im);
    sum[1] += part * (w[0] * im + wIm * re);
  }

  /**
   * The line with its 95 % band, symmetric in 1/b; as it is if no error is known.
   *
   * @param maxM upper end of what was searched, m: no band reaches further
   */
  StabilityMap.Line band(StabilityMap.Line line, double maxM) {
    double sigma = sigma();
    if (Double.isNaN(sigma)) {
      return line;
    }
    double highest = mu - NORMAL_95 * sigma;
    return line.withBand(
        1 / (mu + NORMAL_95 * sigma),
        highest > 0 ? Math.max(line.limitM(), Math.min(maxM, 1 / highest)) : maxM);
  }
}

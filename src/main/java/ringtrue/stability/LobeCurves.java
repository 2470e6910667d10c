package ringtrue.stability;

import java.util.Arrays;
import ringtrue.units.BadInputException;

/**
 * Lobes of a cut with one delay as curves over the chatter frequency, for drawing: where several
 * cross, the lowest counts. There are two curves, one for each eigenvalue, each repeated for every
 * number of whole waves between cuts. A curve holds only the frequencies at which it has a limit.
 *
 * <p>With the eigenvalue λ at frequency f the limiting depth is {@code 1/(2 Re λ)} and the waves
 * between cuts are {@code k + ½ + arg λ/π}; Altintas & Budak 1995 with κ = −tan(arg λ).
 */
public final class LobeCurves {
  private static final int CURVES = BranchTable.BRANCHES;

  private final int lobes;
  private final double rpmPerHz;
  private final int[] points = new int[CURVES];
  private final double[][] frequencyHz = new double[CURVES][];
  private final double[][] depthM = new double[CURVES][];
  private final double[][] waves = new double[CURVES][];
  private final int[][] index = new int[CURVES][];

  /**
   * @param process a milling cut with even pitch and equal helices, or a turning cut
   * @param frequencyHz chatter frequencies, Hz, rising
   * @param lobes number of lobes, from no whole wave between cuts upwards
   * @throws BadInputException if the cutter has several delays or turning is damped by the process:
   *     then there are no such curves
   */
  static LobeCurves of(CuttingProcess process, double[] frequencyHz, int lobes) {
    if (process.changesWithSpeed()) {
      throw new BadInputException(
          "dynamics: modes that change with the speed have no lobes as curves over chatter"
              + " frequency; use the limit over speed instead");
    }
    if (process.operation() == CuttingProcess.Operation.TURNING) {
      if (process.processDampingNPerM() > 0) {
        throw new BadInputException(
            "process damping: lobes can be drawn as curves over chatter frequency without it only;"
                + " use the limit over speed instead");
      }
      return new LobeCurves(RegenerativeLoop.turning(process), 1, frequencyHz, lobes);
    }
    Tool tool = process.tool().orElseThrow();
    if (!tool.evenPitch() || !tool.equalHelix()) {
      throw new BadInputException(
          "tool: lobes can be drawn as curves over chatter frequency for even pitch and equal"
              + " helices only; use the limit over speed instead");
    }
    return new LobeCurves(
        RegenerativeLoop.milling(process, process.engagement()), tool.flutes(), frequencyHz, lobes);
  }

  private LobeCurves(RegenerativeLoop loop, int teeth, double[] hz, int lobes) {
    if (lobes < 1) {
      throw new IllegalArgumentException("at least one lobe, was " + lobes);
    }
    this.lobes = lobes;
    this.rpmPerHz = 60.0 / teeth;
    int n = hz.length;
    for (int c = 0; c < CURVES; c++) {
      frequencyHz[c] = new double[n];
      depthM[c] = new double[n];
      waves[c] = new double[n];
      index[c] = new int[n];
    }
    RegenerativeLoop.Block block = new RegenerativeLoop.Block();
    double[] before = {Double.NaN, 0};
    for (int from = 0; from < n; from += RegenerativeLoop.Block.SIZE) {
      int size = Math.min(RegenerativeLoop.Block.SIZE, n - from);
      System.arraycopy(hz, from, block.hz, 0, size);
      Arrays.fill(block.hz, size, RegenerativeLoop.Block.SIZE, hz[n - 1]);
      loop.over(block);
      follow(block, from, size, before);
    }
    for (int c = 0; c < CURVES; c++) {
      finish(depthM[c], waves[c], points[c]);
    }
  }

  /** Of two eigenvalues the one nearer to the last value of the first curve continues it. */
  private void follow(RegenerativeLoop.Block block, int from, int size, double[] before) {
    double beforeRe = before[0];
    double beforeIm = before[1];
    for (int i = 0; i < size; i++) {
      double aRe = block.re[i];
      double aIm = block.im[i];
      double bRe = block.otherRe[i];
      double bIm = block.otherIm[i];
      boolean swap =
          square(aRe - beforeRe) + square(aIm - beforeIm)
              > square(bRe - beforeRe) + square(bIm - beforeIm);
      keep(swap ? 1 : 0, from + i, block.hz[i], aRe, aIm);
      keep(swap ? 0 : 1, from + i, block.hz[i], bRe, bIm);
      beforeRe = swap ? bRe : aRe;
      beforeIm = swap ? bIm : aIm;
    }
    before[0] = beforeRe;
    before[1] = beforeIm;
  }

  private void keep(int c, int i, double hz, double re, double im) {
    if (re > 0) {
      int p = points[c]++;
      index[c][p] = i;
      frequencyHz[c][p] = hz;
      depthM[c][p] = re;
      waves[c][p] = im;
    }
  }

  /** From Re λ and Im λ to depth and waves between cuts, in place. */
  private static void finish(double[] depth, double[] waves, int n) {
    for (int i = 0; i < n; i++) {
      waves[i] = 0.5 + Math.atan(waves[i] / depth[i]) / Math.PI;
      depth[i] = 0.5 / depth[i];
    }
  }

  private static double square(double v) {
    return v * v;
  }

  /** Number of curves. */
  public int curves() {
    return CURVES;
  }

  /** Number of lobes of each curve. */
  public int lobes() {
    return lobes;
  }

  /** Number of points of a curve. */
  public int points(int curve) {
    return points[curve];
  }

  /** Chatter frequency of point i of a curve, Hz. */
  public double frequencyHz(int curve, int i) {
    return frequencyHz[curve][i];
  }

  /** Limiting axial depth at point i of a curve, m. */
  public double depthM(int curve, int i) {
    return depthM[curve][i];
  }

  /** Whether the curve has no limit just before point i: a drawn line must not join the two. */
  public boolean gapBefore(int curve, int i) {
    return i == 0 || index[curve][i] != index[curve][i - 1] + 1;
  }

  /** Spindle speed at point i of a curve with so many whole waves between cuts, rpm. */
  public double speedRpm(int curve, int lobe, int i) {
    return rpmPerHz * frequencyHz[curve][i] / (waves[curve][i] + lobe);
  }

  /**
   * Spindle speeds of a whole curve with so many whole waves between cuts.
   *
   * @param into room for {@link #points} numbers, rpm
   */
  public void speedsRpm(int curve, int lobe, double[] into) {
    double[] hz = frequencyHz[curve];
    double[] w = waves[curve];
    int n = points[curve];
    for (int i = 0; i < n; i++) {
      into[i] = rpmPerHz * hz[i] / (w[i] + lobe);
    }
  }
}

package ringtrue.stability;

/** The last turns of a simulated cut, step by step. */
public final class CutTrace {
  final double stepS;
  final double startS;
  final int stepsPerTurn;
  final int flutes;
  final double[] x;
  final double[] y;
  final double[] vx;
  final double[] vy;
  final double[] fx;
  final double[] fy;
  final double[] torque;
  final double[] feed;
  final float[][] chip;

  CutTrace(double stepS, double startS, int stepsPerTurn, int flutes, int size) {
    this.stepS = stepS;
    this.startS = startS;
    this.stepsPerTurn = stepsPerTurn;
    this.flutes = flutes;
    x = new double[size];
    y = new double[size];
    vx = new double[size];
    vy = new double[size];
    fx = new double[size];
    fy = new double[size];
    torque = new double[size];
    feed = new double[size];
    chip = new float[flutes][size];
  }

  /** Number of steps. */
  public int size() {
    return x.length;
  }

  /** Steps in a turn of the spindle. */
  public int stepsPerTurn() {
    return stepsPerTurn;
  }

  /** Number of flutes; 1 in turning. */
  public int flutes() {
    return flutes;
  }

  /** Time between steps, s. */
  public double stepS() {
    return stepS;
  }

  /** Time of step i since the beginning of the simulation, s. */
  public double timeS(int i) {
    return startS + i * stepS;
  }

  /** Displacement of the tool against the workpiece along the feed at step i, m. */
  public double xM(int i) {
    return x[i];
  }

  /** The same across the feed, m. */
  public double yM(int i) {
    return y[i];
  }

  /** Velocity of the tool against the workpiece along the feed, m/s. */
  public double xMPerS(int i) {
    return vx[i];
  }

  /** The same across the feed, m/s. */
  public double yMPerS(int i) {
    return vy[i];
  }

  /** Force on the tool along the feed, N. */
  public double xN(int i) {
    return fx[i];
  }

  /** Force on the tool across the feed, N. */
  public double yN(int i) {
    return fy[i];
  }

  /** Torque, N m; NaN where no diameter is known. */
  public double torqueNm(int i) {
    return torque[i];
  }

  /** Chip thickness of a flute, the largest over its height, m; 0 where it does not cut. */
  public double chipM(int flute, int i) {
    return chip[flute][i];
  }
}

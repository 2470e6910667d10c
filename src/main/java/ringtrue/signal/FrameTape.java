package ringtrue.signal;

/** The latest frames of two channels, as recorded numbers; older ones are written over. */
final class FrameTape {
  private final double[] force;
  private final double[] response;
  private long end;

  /**
   * @param frames how many are remembered
   */
  FrameTape(int frames) {
    force = new double[frames];
    response = new double[frames];
  }

  void append(double[] f, double[] x, int n) {
    int at = (int) (end % force.length);
    int first = Math.min(n, force.length - at);
    System.arraycopy(f, 0, force, at, first);
    System.arraycopy(x, 0, response, at, first);
    System.arraycopy(f, first, force, 0, n - first);
    System.arraycopy(x, first, response, 0, n - first);
    end += n;
  }

  /** Whether the frame and all later ones are still there. */
  boolean holds(long frame) {
    return frame >= end - force.length;
  }

  void read(long frame, int n, double[] f, double[] x, int offset) {
    int at = (int) (frame % force.length);
    int first = Math.min(n, force.length - at);
    System.arraycopy(force, at, f, offset, first);
    System.arraycopy(response, at, x, offset, first);
    System.arraycopy(force, 0, f, offset + first, n - first);
    System.arraycopy(response, 0, x, offset + first, n - first);
  }
}

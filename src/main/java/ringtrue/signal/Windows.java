package ringtrue.signal;

/**
 * The windows of a block, worked out.
 *
 * @param force force window, the exponential one included, up to its last value that is not 0
 * @param exponential exponential window; null for none
 */
record Windows(double[] force, double[] exponential) {

  static Windows of(BlockShape shape) {
    double[] exponential = Double.isInfinite(shape.timeConstantS()) ? null : shape.exponential();
    double[] force = shape.force();
    if (exponential != null) {
      for (int i = 0; i < force.length; i++) {
        force[i] *= exponential[i];
      }
    }
    return new Windows(force, exponential);
  }
}

package ringtrue.fitting;

/**
 * Fewer lines with the same content: neighbouring lines over which the response is a straight line
 * within its noise are replaced by their mean. Resonances keep every line, the long smooth
 * stretches between them do not. Good for a start; a mean is not quite the value at the middle, so
 * that nothing is decided on such lines.
 */
final class LineThinning {
  private static final int LONGEST_BLOCK = 32;

  /** A search for poles needs no line better than this part of its value. */
  private static final double CLOSE_ENOUGH = 3e-3;

  private LineThinning() {}

  static FitLines of(FitLines lines) {
    int n = lines.size();
    int[] start = new int[n + 1];
    for (int i = 0; i <= n; i++) {
      start[i] = i;
    }
    int blocks = n;
    for (int size = 1; size < LONGEST_BLOCK; size *= 2) {
      int[] merged = new int[blocks + 1];
      int count = 0;
      int b = 0;
      while (b < blocks) {
        merged[count++] = start[b];
        boolean both = b + 1 < blocks && start[b + 2] - start[b] == 2 * size;
        if (both && start[b] % (2 * size) == 0 && isStraight(lines, start[b], start[b + 2])) {
          b += 2;
        } else {
          b++;
        }
      }
      merged[count] = n;
      start = merged;
      blocks = count;
    }
    double[] omega = new double[blocks];
    double[] re = new double[blocks];
    double[] im = new double[blocks];
    double[] sigma = new double[blocks];
    for (int b = 0; b < blocks; b++) {
      int size = start[b + 1] - start[b];
      double variance = 0;
      for (int i = start[b]; i < start[b + 1]; i++) {
        omega[b] += lines.omega[i] / size;
        re[b] += lines.re[i] / size;
        im[b] += lines.im[i] / size;
        variance += lines.sigma[i] * lines.sigma[i] / size;
      }
      sigma[b] =
          Math.max(Math.sqrt(variance / size), 0.3 * CLOSE_ENOUGH * Math.hypot(re[b], im[b]));
    }
    return new FitLines(omega, re, im, sigma, lines.shift, lines.spacing);
  }

  /** Whether chi-square about the best straight line is what noise alone would give. */
  private static boolean isStraight(FitLines lines, int from, int to) {
    int size = to - from;
    double middle = 0;
    double meanRe = 0;
    double meanIm = 0;
    for (int i = from; i < to; i++) {
      middle += lines.omega[i] / size;
      meanRe += lines.re[i] / size;
      meanIm += lines.im[i] / size;
    }
    double spread = 0;
    double slopeRe = 0;
    double slopeIm = 0;
    for (int i = from; i < to; i++) {
      double x = lines.omega[i] - middle;
      spread += x * x;
      slopeRe += x * (lines.re[i] - meanRe);
      slopeIm += x * (lines.im[i] - meanIm);
    }
    slopeRe /= spread;
    slopeIm /= spread;
    double chiSquare = 0;
    double rise = 0;
    double noise = 0;
    for (int i = from; i < to; i++) {
      double x = lines.omega[i] - middle;
      double sigma = Math.max(lines.sigma[i], CLOSE_ENOUGH * lines.magnitude(i));
      double r = lines.re[i] - meanRe - slopeRe * x;
      double m = lines.im[i] - meanIm - slopeIm * x;
      chiSquare += (r * r + m * m) / (sigma * sigma);
      rise = Math.max(rise, Math.hypot(slopeRe * x, slopeIm * x));
      noise += sigma / size;
    }
    // A pair of lines always lies on a straight line; the values must be close as well.
    double freedom = 2.0 * (size - 2);
    boolean straight = freedom == 0 || chiSquare <= freedom + 3 * Math.sqrt(2 * freedom);
    return straight && rise <= Math.max(4 * noise, 0.1 * Math.hypot(meanRe, meanIm));
  }
}

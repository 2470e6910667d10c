package ringtrue.ui.plot;

import java.awt.Color;
import java.util.function.DoubleFunction;

/**
 * Colours for values over an area. All rise evenly in lightness, or in strength over the ground, so
 * that they can be read in grey and with any kind of colour vision. Not a number is clear.
 */
public final class Palette {
  private static final int SIZE = 256;
  private static final int[] RISING = rising();

  private final double low;
  private final double high;

  /** Where the steps begin; nothing for an even run. */
  private final double[] steps;

  private final Ink tint;
  private final int[] onLight;
  private final int[] onDark;
  private final DoubleFunction<String> format;

  private Palette(
      double low, double high, double[] steps, Ink tint, DoubleFunction<String> format) {
    if (!(high > low) || Double.isInfinite(high - low)) {
      throw new IllegalArgumentException("a palette runs from a lower to a higher value");
    }
    this.low = low;
    this.high = high;
    this.steps = steps;
    this.tint = tint;
    this.onLight = tints(false);
    this.onDark = tints(true);
    this.format = format;
  }

  /**
   * From dark blue over grey to yellow.
   *
   * @param low value of the darkest; lower ones are as dark
   * @param high value of the lightest; higher ones are as light
   * @param format writes a value for the legend
   */
  public static Palette rising(double low, double high, DoubleFunction<String> format) {
    return new Palette(low, high, new double[0], null, format);
  }

  /** The same with plain numbers in the legend. */
  public static Palette rising(double low, double high) {
    return rising(low, high, Axis.PLAIN);
  }

  /**
   * Steps of one tint over the ground, stronger for higher values; clear below the first.
   *
   * @param tint whose tone
   * @param steps where the steps begin, rising, two or more
   * @param format writes a value for the legend
   */
  public static Palette steps(Ink tint, double[] steps, DoubleFunction<String> format) {
    double[] own = steps.clone();
    return new Palette(own[0], own[own.length - 1], own, tint, format);
  }

  boolean isStepped() {
    return tint != null;
  }

  double low() {
    return low;
  }

  double high() {
    return high;
  }

  String read(double value) {
    return format.apply(value);
  }

  String words() {
    return format.apply(low) + " to " + format.apply(high);
  }

  /** Colour of a value as alpha, red, green and blue of 8 bits each. */
  int argb(double value, boolean dark) {
    if (Double.isNaN(value)) {
      return 0;
    }
    if (tint == null) {
      double part = (value - low) / (high - low);
      return RISING[(int) Math.round(Math.max(0, Math.min(1, part)) * (SIZE - 1))];
    }
    int step = 0;
    while (step < steps.length && value >= steps[step]) {
      step++;
    }
    return (dark ? onDark : onLight)[step];
  }

  private int[] tints(boolean dark) {
    int[] tints = new int[steps.length + 1];
    for (int step = 1; step <= steps.length; step++) {
      int alpha = step * (dark ? 130 : 165) / steps.length;
      tints[step] = alpha << 24 | (tint.color(dark).getRGB() & 0xFFFFFF);
    }
    return tints;
  }

  /** CIELAB lightness from 12 to 92, hue from blue to yellow, to sRGB (CIE 15, IEC 61966-2-1). */
  private static int[] rising() {
    int[] table = new int[SIZE];
    for (int i = 0; i < SIZE; i++) {
      double t = i / (SIZE - 1.0);
      table[i] = lab(12 + 80 * t, 6 * (1 - t) - 4 * t, -38 + 92 * t).getRGB();
    }
    return table;
  }

  private static Color lab(double lightness, double a, double b) {
    double fy = (lightness + 16) / 116;
    double x = 0.95047 * unfold(fy + a / 500);
    double y = unfold(fy);
    double z = 1.08883 * unfold(fy - b / 200);
    return new Color(
        gamma(3.2406 * x - 1.5372 * y - 0.4986 * z),
        gamma(-0.9689 * x + 1.8758 * y + 0.0415 * z),
        gamma(0.0557 * x - 0.2040 * y + 1.0570 * z));
  }

  private static double unfold(double f) {
    return f > 6.0 / 29 ? f * f * f : 3 * (6.0 / 29) * (6.0 / 29) * (f - 4.0 / 29);
  }

  private static float gamma(double c) {
    double v = c <= 0.0031308 ? 12.92 * c : 1.055 * Math.pow(c, 1 / 2.4) - 0.055;
    return (float) Math.max(0, Math.min(1, v));
  }
}

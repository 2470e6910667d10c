package ringtrue.library;

import java.math.BigDecimal;
import java.math.MathContext;
import java.math.RoundingMode;
import java.text.Normalizer;
import java.util.Locale;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.ResponseForm;

/**
 * Writes a frequency response, and its coherence where it is known, as universal datasets 164 and
 * 58, complex double precision in SI units.
 *
 * <p>Values have the thirteen digits of the format (E20.12). Abscissas fill the thirteen columns of
 * their field as plain decimals, which the format's readers take, since six digits (E13.5) would
 * move frequencies by some parts in a million.
 */
public final class Dataset58Text {
  private static final int TITLE = 80;
  private static final int ABSCISSA = 12;

  private Dataset58Text() {}

  /**
   * The response as the text of a universal file.
   *
   * @param form receptance, mobility or accelerance; the values are converted
   */
  public static String of(FrequencyResponse response, ResponseForm form) {
    StringBuilder text = new StringBuilder(response.lines() * 60 + 2000);
    line(text, "    -1");
    line(text, "   164");
    line(text, String.format(Locale.ROOT, "%10d%20s%10d", 1, "SI: m, N", 2));
    line(text, "  1.00000000000000000D+00  1.00000000000000000D+00  1.00000000000000000D+00");
    line(text, "  2.73150000000000000D+02");
    line(text, "    -1");
    function(text, response, form);
    if (anyCoherence(response)) {
      coherence(text, response);
    }
    return text.toString();
  }

  private static boolean anyCoherence(FrequencyResponse response) {
    for (int i = 0; i < response.lines(); i++) {
      if (Double.isNaN(response.coherence(i))) {
        return false;
      }
    }
    return true;
  }

  private static void function(StringBuilder text, FrequencyResponse r, ResponseForm form) {
    boolean even = even(r);
    String motion =
        switch (form) {
          case RECEPTANCE -> axis(8, direction(r, 0) == 0 ? 1 : 0, 0, "Displacement", "m");
          case MOBILITY -> axis(11, direction(r, 0) == 0 ? 1 : 0, 0, "Velocity", "m/s");
          case ACCELERANCE -> axis(12, direction(r, 0) == 0 ? 1 : 0, 0, "Acceleration", "m/s^2");
        };
    head(text, r, 4, 6, even, 1);
    line(text, motion);
    line(text, axis(13, 0, direction(r, 0) == 0 ? 1 : 0, "Force", "N"));
    line(text, axis(0, 0, 0, "NONE", "NONE"));
    double[] value = new double[2];
    for (int i = 0; i < r.lines(); i++) {
      value[0] = r.real(i);
      value[1] = r.imag(i);
      form.fromReceptance(r.frequencyHz(i), r.windowTimeConstantS(), value);
      if (even) {
        ordinate(text, value[0]);
        ordinate(text, value[1]);
        if (i % 2 == 1 || i == r.lines() - 1) {
          text.append('\n');
        }
      } else {
        text.append(abscissa(r.frequencyHz(i)));
        ordinate(text, value[0]);
        ordinate(text, value[1]);
        text.append('\n');
      }
    }
    line(text, "    -1");
  }

  private static void coherence(StringBuilder text, FrequencyResponse r) {
    boolean even = even(r);
    head(text, r, 6, 4, even, 2);
    line(text, axis(1, 0, 0, "Coherence", "NONE"));
    line(text, axis(1, 0, 0, "NONE", "NONE"));
    line(text, axis(0, 0, 0, "NONE", "NONE"));
    int perLine = even ? 4 : 2;
    for (int i = 0; i < r.lines(); i++) {
      if (!even) {
        text.append(abscissa(r.frequencyHz(i)));
      }
      ordinate(text, r.coherence(i));
      if (i % perLine == perLine - 1 || i == r.lines() - 1) {
        text.append('\n');
      }
    }
    line(text, "    -1");
  }

  /** Everything up to the description of the abscissa. */
  private static void head(
      StringBuilder text, FrequencyResponse r, int kind, int ordinate, boolean even, int number) {
    FrequencyResponse.Origin origin = r.origin();
    line(text, "    -1");
    line(text, "    58");
    line(text, title(origin.source()));
    line(text, title(origin.point()));
    line(text, "NONE");
    line(
        text,
        "averages "
            + origin.averages()
            + ", window "
            + (Double.isInfinite(origin.windowTimeConstantS())
                ? "none"
                : digits(origin.windowTimeConstantS(), 12) + " s")
            + ", usable "
            + digits(origin.bandLowHz(), 8)
            + " to "
            + digits(origin.bandHighHz(), 8)
            + " Hz");
    line(
        text,
        named(origin.axis()) || origin.axis().isEmpty() ? "NONE" : title("axis " + origin.axis()));
    line(
        text,
        String.format(
            Locale.ROOT,
            "%5d%10d%5d%10d %-10s%10d%4d %-10s%10d%4d",
            kind,
            number,
            0,
            0,
            "NONE",
            1,
            direction(r, 0),
            "NONE",
            1,
            direction(r, 1)));
    double first = r.frequencyHz(0);
    double step = (r.frequencyHz(r.lines() - 1) - first) / (r.lines() - 1);
    line(
        text,
        String.format(
            Locale.ROOT,
            "%10d%10d%10d%s%s%13s",
            ordinate,
            r.lines(),
            even ? 1 : 0,
            abscissa(even ? first : 0),
            abscissa(even ? step : 0),
            "0.00000E+00"));
    line(text, axis(18, 0, 0, "Frequency", "Hz"));
  }

  private static String axis(int type, int length, int force, String label, String unit) {
    return String.format(
        Locale.ROOT, "%10d%5d%5d%5d %-20s %-20s", type, length, force, 0, label, unit);
  }

  /** Letters x, y, z of the axis, the second for the force. */
  private static int direction(FrequencyResponse r, int which) {
    String axis = r.origin().axis();
    return named(axis) ? "xyz".indexOf(axis.charAt(Math.min(which, axis.length() - 1))) + 1 : 0;
  }

  private static boolean named(String axis) {
    return axis.matches("[xyz]{1,2}") && !axis.matches("(.)\\1");
  }

  /** Lines that lie evenly but for rounding. */
  private static boolean even(FrequencyResponse r) {
    int n = r.lines();
    double first = r.frequencyHz(0);
    double last = r.frequencyHz(n - 1);
    for (int i = 0; i < n; i++) {
      double there = first + (last - first) * i / (n - 1);
      if (Math.abs(r.frequencyHz(i) - there) > 1e-10 * last) {
        return false;
      }
    }
    return true;
  }

  private static void ordinate(StringBuilder text, double value) {
    String digits = String.format(Locale.ROOT, "%.12E", value);
    text.append(" ".repeat(Math.max(0, 20 - digits.length()))).append(digits);
  }

  /** As many digits as twelve columns hold. */
  private static String abscissa(double value) {
    String format = String.format(Locale.ROOT, "%.5E", value);
    String best = format;
    if (Double.parseDouble(format) != value && value >= 1e-3 && value < 1e10) {
      BigDecimal exact = new BigDecimal(value);
      int whole = Math.max(1, exact.precision() - exact.scale());
      best =
          exact.setScale(Math.max(0, ABSCISSA - 1 - whole), RoundingMode.HALF_EVEN).toPlainString();
      best = best.length() > ABSCISSA ? best.substring(0, ABSCISSA) : best;
    }
    return " ".repeat(Math.max(0, 13 - best.length())) + best;
  }

  private static String digits(double value, int digits) {
    BigDecimal rounded = new BigDecimal(value).round(new MathContext(digits)).stripTrailingZeros();
    return rounded.precision() - rounded.scale() > 12 || rounded.scale() > 16
        ? rounded.toString()
        : rounded.toPlainString();
  }

  /** One line of plain letters, never blank. */
  private static String title(String words) {
    String plain =
        Normalizer.normalize(words, Normalizer.Form.NFKD).replaceAll("[^\\x20-\\x7e]", "").strip();
    String cut = plain.substring(0, Math.min(TITLE, plain.length())).strip();
    return cut.isEmpty() || cut.equals("-1") ? "NONE" : cut;
  }

  private static void line(StringBuilder text, String line) {
    text.append(line).append('\n');
  }
}

package ringtrue.planning;

import java.math.BigDecimal;
import java.math.MathContext;
import java.util.Locale;

/** Numbers in sentences. */
record Words(boolean inches) {

  /** A length with its unit. */
  String length(double m) {
    return inches
        ? String.format(Locale.ROOT, "%.4f in", m / 0.0254)
        : plain(String.format(Locale.ROOT, m < 0.9995e-3 ? "%.3f" : "%.2f", m * 1e3)) + " mm";
  }

  /** Without zeros at the end that say nothing. */
  private static String plain(String number) {
    return new BigDecimal(number).stripTrailingZeros().toPlainString();
  }

  /** A small length, in micrometres or thousandths of an inch. */
  String small(double m) {
    return inches
        ? few(m / 0.0254e-3) + " thou"
        : String.format(Locale.ROOT, m < 9.95e-6 ? "%.1f um" : "%.0f um", m * 1e6);
  }

  /** The same with its sign. */
  String signed(double m) {
    return (m < 0 ? "-" : "+") + small(Math.abs(m));
  }

  /** A feed rate. */
  String feed(double mPerS) {
    return inches
        ? String.format(Locale.ROOT, "%.1f in/min", mPerS * 60 / 0.0254)
        : String.format(Locale.ROOT, "%.0f mm/min", mPerS * 60e3);
  }

  /** A cutting speed. */
  String cuttingSpeed(double mPerS) {
    return inches
        ? String.format(Locale.ROOT, "%.0f ft/min", mPerS * 60 / 0.3048)
        : String.format(Locale.ROOT, "%.0f m/min", mPerS * 60);
  }

  static String power(double watt) {
    return watt < 999.5
        ? String.format(Locale.ROOT, "%.0f W", watt)
        : String.format(Locale.ROOT, "%.2f kW", watt / 1e3);
  }

  static String torque(double nm) {
    return few(nm) + " N m";
  }

  static String stress(double pa) {
    return String.format(Locale.ROOT, "%.0f MPa", pa / 1e6);
  }

  static String force(double n) {
    return String.format(Locale.ROOT, n < 10 ? "%.1f N" : "%.0f N", n);
  }

  static String stiffness(double nPerM) {
    return few(nPerM / 1e6) + " N/um";
  }

  static String work(double joule) {
    return String.format(Locale.ROOT, "%.2g J", joule);
  }

  static String finePercent(double fraction) {
    return few(100 * fraction) + " %";
  }

  /** Three digits at most, none that say nothing. */
  static String few(double value) {
    return value == 0
        ? "0"
        : new BigDecimal(value).round(new MathContext(3)).stripTrailingZeros().toPlainString();
  }

  static String speed(double rpm) {
    return String.format(Locale.ROOT, "%.0f rpm", rpm);
  }

  static String percent(double fraction) {
    return String.format(Locale.ROOT, "%.0f %%", 100 * fraction);
  }
}

package ringtrue.report;

import java.util.Locale;

/** The unit in which people want to read lengths and what follows from them. */
public enum LengthUnit {
  MILLIMETRE("mm", 1e3, "mm/min", 60e3, "um", 1e6, 3),
  INCH("in", 1 / 0.0254, "in/min", 60 / 0.0254, "thou", 1000 / 0.0254, 4);

  private final String symbol;
  private final double perMetre;
  private final String feedSymbol;
  private final double feedPerMetrePerSecond;
  private final String smallSymbol;
  private final double smallPerMetre;
  private final int digits;

  LengthUnit(
      String symbol,
      double perMetre,
      String feedSymbol,
      double feedPerMetrePerSecond,
      String smallSymbol,
      double smallPerMetre,
      int digits) {
    this.symbol = symbol;
    this.perMetre = perMetre;
    this.feedSymbol = feedSymbol;
    this.feedPerMetrePerSecond = feedPerMetrePerSecond;
    this.smallSymbol = smallSymbol;
    this.smallPerMetre = smallPerMetre;
    this.digits = digits;
  }

  /** {@code mm} or {@code in}. */
  public String symbol() {
    return symbol;
  }

  /** A length in this unit. */
  public double of(double metres) {
    return metres * perMetre;
  }

  /** A length as text, for example {@code "0.435 mm"}. */
  public String length(double metres) {
    return String.format(Locale.ROOT, "%." + digits + "f %s", metres * perMetre, symbol);
  }

  /** A small length as text, in micrometres or thousandths of an inch. */
  public String small(double metres) {
    return String.format(Locale.ROOT, "%.3g %s", metres * smallPerMetre, smallSymbol);
  }

  /** A feed rate as text. */
  public String feed(double metresPerSecond) {
    return String.format(
        Locale.ROOT, "%.4g %s", metresPerSecond * feedPerMetrePerSecond, feedSymbol);
  }

  /** A removal rate as text: cm³/min or in³/min. */
  public String removal(double cubicMetresPerSecond) {
    return this == MILLIMETRE
        ? String.format(Locale.ROOT, "%.3g cm3/min", cubicMetresPerSecond * 60e6)
        : String.format(
            Locale.ROOT,
            "%.3g in3/min",
            cubicMetresPerSecond * 60 * perMetre * perMetre * perMetre);
  }
}

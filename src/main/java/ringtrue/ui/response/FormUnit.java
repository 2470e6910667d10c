package ringtrue.ui.response;

import ringtrue.dynamics.ResponseForm;
import ringtrue.report.LengthUnit;
import ringtrue.units.Dimension;
import ringtrue.units.Quantity;

/**
 * The unit in which a form of response is shown.
 *
 * @param symbol the unit
 * @param perSi how many of it one SI unit is
 */
public record FormUnit(String symbol, double perSi) {

  /** The handy unit of a form, metric or in inches and pounds. */
  public static FormUnit of(ResponseForm form, LengthUnit unit) {
    if (unit == LengthUnit.MILLIMETRE) {
      return new FormUnit(form.readableUnit(), form.readablePerSi());
    }
    return switch (form) {
      case RECEPTANCE -> read("in/lbf", Dimension.RECEPTANCE);
      case MOBILITY -> read("in/(s lbf)", Dimension.MOBILITY);
      case ACCELERANCE -> read("in/(s^2 lbf)", Dimension.ACCELERANCE);
    };
  }

  /** The unit of a stiffness. */
  public static FormUnit stiffness(LengthUnit unit) {
    String symbol = unit == LengthUnit.MILLIMETRE ? "N/um" : "lbf/in";
    return read(symbol, Dimension.STIFFNESS);
  }

  /** The unit of a modal mass. */
  public static FormUnit mass(LengthUnit unit) {
    return read(unit == LengthUnit.MILLIMETRE ? "kg" : "lb", Dimension.MASS);
  }

  private static FormUnit read(String symbol, Dimension dimension) {
    return new FormUnit(symbol, 1 / Quantity.parseUnit(symbol, dimension));
  }
}

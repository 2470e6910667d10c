package ringtrue.stability;

/**
 * How the cutter meets the work. Tooth angles are measured clockwise from +y, looking from the
 * spindle; the feed is along +x.
 *
 * @param direction which way, or free angles
 * @param radialM radial width ae, m; NaN with free angles
 * @param axialM axial depth ap, m (in turning: the chip width)
 * @param entryRad angle at which a tooth enters, rad
 * @param exitRad angle at which it leaves, rad, above entry
 */
public record Engagement(
    Direction direction, double radialM, double axialM, double entryRad, double exitRad) {

  /** Sense of the cut. */
  public enum Direction {
    /** Conventional: entry at 0. */
    UP,
    /** Climb: exit at 180°. */
    DOWN,
    /** Full width. */
    SLOT,
    /** Entry and exit given as angles. */
    ANGLES
  }

  public Engagement {
    if (!(axialM > 0) || Double.isInfinite(axialM)) {
      throw new IllegalArgumentException("axial depth must be positive, was " + axialM + " m");
    }
    if (!(entryRad >= 0 && exitRad > entryRad && exitRad <= 2 * Math.PI + 1e-12)) {
      throw new IllegalArgumentException(
          "a tooth must leave after it enters, was "
              + Math.toDegrees(entryRad)
              + " to "
              + Math.toDegrees(exitRad)
              + " deg");
    }
  }

  /**
   * Engagement from radial width: up milling enters at 0 and leaves at arccos(1 − 2ae/D), down
   * milling enters at 180° less that and leaves at 180°.
   *
   * @param direction up, down or slot
   * @param radialM radial width, m; ignored for a slot
   * @param axialM axial depth, m
   * @param diameterM tool diameter, m
   */
  public static Engagement of(
      Direction direction, double radialM, double axialM, double diameterM) {
    if (direction == Direction.SLOT) {
      return new Engagement(direction, diameterM, axialM, 0, Math.PI);
    }
    if (!(radialM > 0 && radialM <= diameterM)) {
      throw new IllegalArgumentException(
          "radial width must lie above 0 and not above the tool's diameter, was "
              + radialM
              + " m of "
              + diameterM
              + " m");
    }
    double swept = Math.acos(Math.max(-1, 1 - 2 * radialM / diameterM));
    return switch (direction) {
      case UP -> new Engagement(direction, radialM, axialM, 0, swept);
      case DOWN -> new Engagement(direction, radialM, axialM, Math.PI - swept, Math.PI);
      default -> throw new IllegalArgumentException("give entry and exit for free angles");
    };
  }

  /** The same with another axial depth. */
  public Engagement withAxial(double newAxialM) {
    return new Engagement(direction, radialM, newAxialM, entryRad, exitRad);
  }

  /** The same with another radial width on a tool of that diameter. */
  public Engagement withRadial(double newRadialM, double diameterM) {
    return of(
        direction == Direction.SLOT ? Direction.DOWN : direction, newRadialM, axialM, diameterM);
  }
}

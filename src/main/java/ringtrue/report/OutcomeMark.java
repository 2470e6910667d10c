package ringtrue.report;

/**
 * A cut that was made, on the map.
 *
 * @param speedRpm its spindle speed, rpm
 * @param lengthM its depth or width, m
 * @param chattered whether it chattered; otherwise it was quiet
 */
public record OutcomeMark(double speedRpm, double lengthM, boolean chattered) {}

package ringtrue.stability;

import java.util.List;

/**
 * A milling cutter.
 *
 * @param diameterM diameter, m
 * @param helixRad helix angle of each flute, rad; its size is the number of flutes, 1 or more
 * @param pitchRad {@code pitchRad.get(j)} is the angle at the tip between flute j and flute j+1,
 *     the one that follows it past a fixed place; sums to 2π
 * @param stickoutM how far it stands out of the holder, m; NaN where unknown
 * @param fluteLengthM length of the flutes, m; NaN where unknown
 * @param runoutM radial run-out, m; 0 where none
 * @param edgeRadiusM radius of the cutting edge, m; NaN where unknown
 */
public record Tool(
    double diameterM,
    List<Double> helixRad,
    List<Double> pitchRad,
    double stickoutM,
    double fluteLengthM,
    double runoutM,
    double edgeRadiusM) {

  public Tool {
    helixRad = List.copyOf(helixRad);
    pitchRad = List.copyOf(pitchRad);
    if (!(diameterM > 0) || Double.isInfinite(diameterM)) {
      throw new IllegalArgumentException("tool diameter must be positive, was " + diameterM + " m");
    }
    if (helixRad.isEmpty() || helixRad.size() != pitchRad.size()) {
      throw new IllegalArgumentException(
          "a cutter needs one helix and one pitch angle for each flute, has "
              + helixRad.size()
              + " and "
              + pitchRad.size());
    }
    double sum = 0;
    for (double pitch : pitchRad) {
      if (!(pitch > 0)) {
        throw new IllegalArgumentException("pitch angles must be positive, one was " + pitch);
      }
      sum += pitch;
    }
    if (Math.abs(sum - 2 * Math.PI) > 1e-6) {
      throw new IllegalArgumentException(
          "pitch angles must add up to 360 deg, add up to " + Math.toDegrees(sum));
    }
    for (double helix : helixRad) {
      if (!(helix > -Math.PI / 2.01 && helix < Math.PI / 2.01)) {
        throw new IllegalArgumentException("helix angle out of range: " + Math.toDegrees(helix));
      }
    }
  }

  /** Number of flutes. */
  public int flutes() {
    return pitchRad.size();
  }

  /** Whether all pitch angles are the same within 1e-9 rad. */
  public boolean evenPitch() {
    return pitchRad.stream().allMatch(p -> Math.abs(p - 2 * Math.PI / flutes()) < 1e-9);
  }

  /** Whether all helix angles are the same within 1e-9 rad. */
  public boolean equalHelix() {
    return helixRad.stream().allMatch(h -> Math.abs(h - helixRad.get(0)) < 1e-9);
  }
}

package ringtrue.report;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import ringtrue.acquisition.TapRecording;

/** What to heed and what to do when taps are recorded. */
public final class TapGuide {
  private TapGuide() {}

  /** What must be so before anybody touches the tool. */
  public static final List<String> CAUTIONS =
      List.of(
          "Spindle stopped and locked out: machine isolated or emergency stop pressed and locked,"
              + " nobody able to start it.",
          "Tool edges covered: hold the cutter by its holder, tap a land, never an edge or a corner."
              + " Carbide is brittle: light taps.",
          "Eye protection on: carbide splinters fly.",
          "Sensor, cable, wax and hammer come off before any start of the spindle.");

  /** What must be so before the spindle may turn again. */
  public static final String AFTERWARDS =
      "Before any start: take sensor, cable, wax and hammer off, and check draw bar, collet nut and"
          + " vise, which taps can loosen.";

  /**
   * How to go about it.
   *
   * @param about what is measured
   * @param bandHighHz how far the blows have to reach, Hz; NaN if nobody said
   */
  public static List<String> steps(TapRecording about, double bandHighHz) {
    List<String> steps = new ArrayList<>();
    steps.add(
        "Tool: sensor at the tip on a land between two flutes, blow exactly opposite or beside it in"
            + " the sensor's direction; all of it once for x and once for y, a measurement each.");
    steps.add(
        "Workpiece, where it gives: sensor and blow near the cut, in the same two directions.");
    steps.add(
        "A sensor opposite to the blow moves away from it: polarity \"+\" where its arrow points the"
            + " way the hammer goes, \"-\" where it points against the hammer.");
    steps.add(
        Double.isNaN(bandHighHz)
            ? "Hammer: the softest tip that reaches the band; a half-sine blow of contact time T"
                + " reaches 1.3/T (there its spectrum is down by 20 dB): 0.5 ms reaches 2.6 kHz."
            : String.format(
                Locale.ROOT,
                "Hammer: to reach %.0f Hz the contact must last less than %.3g ms (a half-sine blow"
                    + " of contact time T is down by 20 dB at 1.3/T).",
                bandHighHz,
                1.3e3 / bandHighHz));
    steps.add(
        "Tips, common practice, no source: rubber below 500 Hz, plastic to 2 kHz, hard plastic or"
            + " aluminium to 4 kHz, steel above; the lighter the hammer, the shorter the contact.");
    steps.add(mass(about.sensorMassKg()));
    steps.add("Tap once, let it ring, wait for the sound, tap again: same spot, same direction.");
    return steps;
  }

  /** Rayleigh's quotient: a mass m at the driving point lowers fn by m/(2M), M the modal mass. */
  private static String mass(double kg) {
    if (!(kg > 0)) {
      return "Sensor: a mass m at the tip lowers a mode of modal mass M by the part m/(2M); give"
          + " \"sensorMass\" so that it is taken off again.";
    }
    return String.format(
        Locale.ROOT,
        "Sensor: its %.3g g lower a mode of 50 g modal mass by about %.2g %%, one of 500 g by %.2g"
            + " %%; that is taken off again. Keep it below a tenth of the tool's modal mass (common"
            + " practice, no source), cable tied down.",
        1e3 * kg,
        100 * kg / 0.1,
        100 * kg / 1.0);
  }
}

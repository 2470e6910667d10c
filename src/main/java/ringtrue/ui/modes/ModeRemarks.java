package ringtrue.ui.modes;

import java.util.ArrayList;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/**
 * Remarks sorted by the mode that they are about, known from the frequencies that they name.
 *
 * @param ofModes remarks of each mode
 * @param rest those about no mode, or about none of these
 */
record ModeRemarks(List<List<String>> ofModes, List<String> rest) {
  private static final Pattern HERTZ =
      Pattern.compile("(\\d[\\d.]*(?:e[+-]?\\d+)?)(?=(?:(?:,| and| or) \\d[\\d.]*)* Hz)");
  private static final Pattern ABOUT = Pattern.compile("\\bmodes?\\b|\\bAt \\d");

  /** Frequencies in remarks have five significant digits, decays' perhaps four. */
  private static final double ALIKE = 1.5e-4;

  ModeRemarks {
    ofModes = ofModes.stream().map(List::copyOf).toList();
    rest = List.copyOf(rest);
  }

  /**
   * Sorts.
   *
   * @param frequenciesHz natural frequencies of the modes
   */
  static ModeRemarks of(List<String> remarks, List<Double> frequenciesHz) {
    List<List<String>> of = new ArrayList<>();
    frequenciesHz.forEach(f -> of.add(new ArrayList<>()));
    List<String> rest = new ArrayList<>();
    for (String remark : remarks) {
      boolean taken = false;
      for (int i = 0; i < of.size(); i++) {
        if (names(remark, frequenciesHz.get(i))) {
          of.get(i).add(remark);
          taken = true;
        }
      }
      if (!taken) {
        rest.add(remark);
      }
    }
    return new ModeRemarks(of, rest);
  }

  private static boolean names(String remark, double hz) {
    if (!ABOUT.matcher(remark).find()) {
      return false; // such as the ends of a band that happen to be alike
    }
    Matcher number = HERTZ.matcher(remark);
    while (number.find()) {
      try {
        if (Math.abs(Double.parseDouble(number.group(1)) - hz) < ALIKE * hz) {
          return true;
        }
      } catch (NumberFormatException e) {
        continue; // digits and dots that are no number
      }
    }
    return false;
  }
}

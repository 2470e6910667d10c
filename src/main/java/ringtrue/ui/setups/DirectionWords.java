package ringtrue.ui.setups;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.library.SavedMeasurement;
import ringtrue.ui.desk.DirectionResult;
import ringtrue.ui.desk.Finding;
import ringtrue.ui.job.Direction;
import ringtrue.ui.job.Direction.Part;
import ringtrue.ui.job.Measured;
import ringtrue.ui.kit.Sign;

/**
 * A direction at a glance.
 *
 * @param sign as a sign
 * @param quality in a word or two
 * @param facts taps, band, coherence, modes
 * @param why what makes it doubtful, one sentence; empty if nothing does
 */
record DirectionWords(Sign sign, String quality, String facts, String why) {
  /** Fewer taps than this tell little of how taps differ. */
  private static final int FEW_TAPS = 3;

  /** A median below this means noise, a loose sensor, or taps that differ. */
  private static final double GOOD_COHERENCE = 0.9;

  static DirectionWords of(
      Direction direction, Optional<Measured> measured, Finding<DirectionResult> finding) {
    if (measured.isEmpty()) {
      return new DirectionWords(
          Sign.OPEN,
          "missing",
          direction.part() == Part.TOOL
              ? "not measured yet"
              : "not measured; needed only where the workpiece gives way",
          "");
    }
    if (finding.value().isEmpty()) {
      return finding.problem().isEmpty()
          ? new DirectionWords(Sign.BEGUN, "being worked out", "", "")
          : new DirectionWords(Sign.BAD, "cannot be used", "", finding.problem());
    }
    DirectionResult result = finding.value().get();
    String why = doubt(result);
    return new DirectionWords(
        why.isEmpty() ? Sign.DONE : Sign.CAUTION,
        why.isEmpty() ? "good" : "doubtful",
        facts(result),
        why);
  }

  private static String facts(DirectionResult result) {
    List<String> facts = new ArrayList<>();
    result
        .response()
        .ifPresent(
            r -> {
              FrequencyResponse.Origin o = r.origin();
              facts.add(counted(o.averages(), "tap"));
              facts.add(band(o.bandLowHz(), o.bandHighHz()));
              double coherence = coherence(r);
              if (!Double.isNaN(coherence)) {
                facts.add(String.format(Locale.ROOT, "coherence %.2f", coherence));
              }
            });
    result.decays().ifPresent(d -> facts.add(counted(d.taps().size(), "tap") + " without force"));
    result
        .saved()
        .ifPresent(
            s -> {
              facts.add(counted(s.averages(), "tap"));
              facts.add(band(s.bandLowHz(), s.bandHighHz()));
              facts.add("saved modes only");
            });
    result.model().ifPresent(m -> facts.add(counted(m.modes().size(), "mode")));
    facts.removeIf(String::isEmpty);
    return String.join(", ", facts);
  }

  private static String doubt(DirectionResult result) {
    if (!result.problem().isEmpty()) {
      return result.problem();
    }
    if (result.response().isPresent()) {
      FrequencyResponse r = result.response().get();
      double coherence = coherence(r);
      if (r.origin().averages() < FEW_TAPS && result.taps().isPresent()) {
        return r.origin().averages() == 1
            ? "only one tap: nothing tells how taps differ"
            : "only two taps: how taps differ is hardly known";
      }
      if (coherence < GOOD_COHERENCE) {
        return String.format(
            Locale.ROOT,
            "half of the band has a coherence below %.2f: the taps do not agree well",
            coherence);
      }
    }
    boolean fitting = result.response().isPresent() && result.modes().isEmpty();
    if (result.model().isEmpty() && !fitting) {
      return "no mode was found";
    }
    return result.saved().map(SavedMeasurement::modes).map(List::isEmpty).orElse(false)
        ? "no mode was saved"
        : "";
  }

  private static double coherence(FrequencyResponse r) {
    return r.medianCoherence(r.origin().bandLowHz(), r.origin().bandHighHz());
  }

  private static String band(double lowHz, double highHz) {
    return Double.isNaN(lowHz) || Double.isNaN(highHz)
        ? ""
        : String.format(Locale.ROOT, "%.0f to %.0f Hz", lowHz, highHz);
  }

  static String counted(int count, String what) {
    return count + " " + what + (count == 1 ? "" : "s");
  }
}

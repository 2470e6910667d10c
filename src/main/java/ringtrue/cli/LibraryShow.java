package ringtrue.cli;

import java.util.List;
import java.util.Locale;
import java.util.Map;
import picocli.CommandLine;
import picocli.CommandLine.Parameters;
import ringtrue.library.Outcome;
import ringtrue.library.SavedMeasurement;
import ringtrue.library.SavedMeasurement.SavedMode;
import ringtrue.library.SavedSetUp;
import ringtrue.library.SetUp;

/** {@code library show}: all that is kept of a set-up. */
@CommandLine.Command(
    name = "show",
    sortOptions = false,
    description = "All that is kept of a set-up.")
final class LibraryShow extends LibraryPart {
  @Parameters(paramLabel = "ID", description = "the set-up's id")
  private String id;

  @Override
  public Integer call() {
    SavedSetUp saved = library().read(id);
    if (json) {
      JsonOut.write(out(), o -> toJson(o, saved));
    } else {
      print(saved);
    }
    warn(saved.problems());
    return Ringtrue.DONE;
  }

  private static void toJson(JsonOut o, SavedSetUp saved) {
    describe(o, saved.setUp());
    o.put("folder", saved.folder().toString());
    o.objects("measurements", saved.measurements(), LibraryShow::measurement);
    o.texts("cuts", saved.cuts());
    o.objects("outcomes", saved.outcomes(), LibraryShow::outcome);
    o.texts("problems", saved.problems());
  }

  static void measurement(JsonOut o, SavedMeasurement m) {
    o.put("id", m.id()).put("date", m.date().toString());
    o.put("axis", m.axis()).put("point", m.point()).put("name", m.name());
    o.put("inputProfile", m.inputProfile()).put("clampedAgain", m.clampedAgain());
    o.put("forceMeasured", m.forceMeasured()).put("averages", m.averages());
    o.numbers("bandHz", 2, i -> i == 0 ? m.bandLowHz() : m.bandHighHz());
    o.put("fitErrorRelative", m.fitErrorRelative());
    o.objects(
        "modes",
        m.modes(),
        (x, mode) ->
            x.put("frequencyHz", mode.frequencyHz())
                .put("frequencyHzSigma", mode.frequencyHzSigma())
                .put("dampingRatio", mode.dampingRatio())
                .put("dampingRatioSigma", mode.dampingRatioSigma())
                .put("stiffnessNPerM", mode.stiffnessNPerM())
                .put("stiffnessNPerMSigma", mode.stiffnessNPerMSigma())
                .put("phaseDeg", mode.phaseDeg()));
    o.object(
        "residual",
        r ->
            r.put("upperMPerN", m.residual().upperMPerN())
                .put("lowerPerKg", m.residual().lowerPerKg()));
    o.texts("remarks", m.remarks());
    o.put("program", m.program()).put("notes", m.note());
  }

  static void outcome(JsonOut o, Outcome outcome) {
    o.put("id", outcome.id()).put("date", outcome.date().toString()).put("cut", outcome.cut());
    o.put("result", outcome.result().word()).put("simulated", outcome.simulated());
    o.put("chatterHz", outcome.chatterHz());
    o.put("notes", outcome.note());
  }

  private void print(SavedSetUp saved) {
    SetUp setUp = saved.setUp();
    say("%s", setUp.title());
    say("");
    say("  %-14s %s", "id", setUp.id());
    for (Map.Entry<SetUp.Field, String> said : setUp.said().entrySet()) {
      if (said.getKey() != SetUp.Field.NAME) {
        say("  %-14s %s", said.getKey().words(), said.getValue().replaceAll("\\s*\\n\\s*", " / "));
      }
    }
    say(
        "  %-14s %s, revision %d of %s",
        "saved", day(setUp.created()), setUp.revision(), day(setUp.changed()));
    say("  %-14s %s", "folder", saved.folder());
    say("");
    if (saved.measurements().isEmpty()) {
      say("nothing was measured yet; library save MEASUREMENT.json --to %s", setUp.id());
    }
    for (SavedMeasurement m : saved.measurements()) {
      say(
          "%s  %s%s, %d %s%s%s",
          m.id(),
          m.axis(),
          m.point().isEmpty() ? "" : " at " + m.point(),
          m.averages(),
          m.averages() == 1 ? "tap" : "taps",
          m.inputProfile().isEmpty() ? "" : ", profile " + m.inputProfile(),
          m.clampedAgain() ? "" : ", same clamping as before");
      for (SavedMode mode : m.modes()) {
        say("    %s", line(mode));
      }
      if (!m.note().isEmpty()) {
        say("    note: %s", m.note());
      }
    }
    outcomes(saved.outcomes());
  }

  private void outcomes(List<Outcome> outcomes) {
    if (outcomes.isEmpty()) {
      return;
    }
    say("");
    say("What cuts did (lobes and library outcome hold them against the map)");
    for (Outcome o : outcomes) {
      say(
          "  %s  %-9s %s%s%s",
          o.id(),
          o.words(),
          o.cut(),
          o.chatterFrequency().isEmpty() ? "" : ", at " + o.chatterFrequency(),
          o.note().isEmpty() ? "" : " (" + o.note() + ")");
    }
  }

  /** A mode in one line, with what is known of its uncertainty. */
  static String line(SavedMode m) {
    return String.format(Locale.ROOT, "%9.2f Hz", m.frequencyHz())
        + plusMinus(m.frequencyHzSigma(), 1)
        + String.format(Locale.ROOT, "  %7.3f %%", 100 * m.dampingRatio())
        + plusMinus(m.dampingRatioSigma(), 100)
        + (m.hasStiffness()
            ? String.format(Locale.ROOT, "  %8.4g N/um", m.stiffnessNPerM() / 1e6)
                + plusMinus(m.stiffnessNPerMSigma(), 1e-6)
            : "  stiffness unknown");
  }

  /** Two digits of a sigma, however small. */
  private static String plusMinus(double sigma, double factor) {
    return Double.isNaN(sigma) ? "" : " ± " + LibraryPart.twoDigits(factor * sigma);
  }
}

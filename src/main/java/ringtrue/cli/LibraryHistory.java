package ringtrue.cli;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import picocli.CommandLine;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import ringtrue.dynamics.Mode;
import ringtrue.fitting.ClampingSpread;
import ringtrue.fitting.ModeDrift;
import ringtrue.library.DriftWords;
import ringtrue.library.SavedMeasurement;
import ringtrue.library.SavedSetUp;
import ringtrue.library.SetUpHistory;
import ringtrue.units.BadInputException;

/** {@code library history}: each mode of a set-up through time. */
@CommandLine.Command(
    name = "history",
    sortOptions = false,
    description = {
      "Each mode of a set-up through its measurements, with its drift.",
      "Values with one sigma, and how much clamping again scatters them."
    })
final class LibraryHistory extends LibraryPart {
  @Parameters(paramLabel = "ID", description = "the set-up's id")
  private String id;

  @Option(names = "--axis", paramLabel = "AXIS", description = "this direction only")
  private String axis;

  @Override
  public Integer call() {
    SavedSetUp saved = library().read(id);
    List<String> axes =
        saved.measurements().stream().map(SavedMeasurement::axis).distinct().sorted().toList();
    if (axis != null && !axes.contains(axis)) {
      throw new BadInputException(
          id + ": was not measured in " + axis + "; it has " + String.join(", ", axes));
    }
    List<SetUpHistory> all = new ArrayList<>();
    for (String each : axis == null ? axes : List.of(axis)) {
      SetUpHistory.of(saved, each).ifPresent(all::add);
    }
    if (json) {
      JsonOut.write(
          out(), o -> o.put("id", id).objects("axes", all, (x, history) -> toJson(x, history)));
    } else if (all.isEmpty()) {
      say("%s has no measurement with modes whose stiffness is known", id);
    } else {
      say("%s", saved.setUp().title());
      all.forEach(this::print);
    }
    warn(saved.problems());
    return Ringtrue.DONE;
  }

  private static void toJson(JsonOut o, SetUpHistory h) {
    o.put("axis", h.axis());
    o.objects(
        "measurements",
        h.measurements(),
        (m, each) ->
            m.put("id", each.id())
                .put("date", each.date().toString())
                .put("clampedAgain", each.clampedAgain()));
    o.objects(
        "modes",
        h.drifts(),
        (m, drift) -> {
          List<Mode> modes = drift.track().modes();
          m.numbers("frequencyHz", modes.size(), i -> value(modes.get(i), 0));
          m.numbers("frequencyHzSigma", modes.size(), i -> value(modes.get(i), 1));
          m.numbers("dampingRatio", modes.size(), i -> value(modes.get(i), 2));
          m.numbers("dampingRatioSigma", modes.size(), i -> value(modes.get(i), 3));
          m.numbers("stiffnessNPerM", modes.size(), i -> value(modes.get(i), 4));
          m.numbers("stiffnessNPerMSigma", modes.size(), i -> value(modes.get(i), 5));
          change(m, "frequencyDrift", drift.frequency());
          change(m, "dampingDrift", drift.damping());
          change(m, "stiffnessDrift", drift.stiffness());
        });
    o.object(
        "clamping",
        c -> {
          c.put("clampings", h.spread().clampings());
          c.objects(
              "modes",
              h.spread().spreads(),
              (m, s) -> {
                ModesJson.mode(m, s.mode());
                m.put("clampings", s.clampings());
                m.put("frequencyScatter", s.frequency());
                m.put("dampingScatter", s.damping());
                m.put("stiffnessScatter", s.stiffness());
              });
          c.texts("remarks", h.spread().remarks());
        });
  }

  private static double value(Mode m, int which) {
    if (m == null) {
      return Double.NaN;
    }
    return switch (which) {
      case 0 -> m.frequencyHz();
      case 1 -> m.frequencyHzSigma();
      case 2 -> m.dampingRatio();
      case 3 -> m.dampingRatioSigma();
      case 4 -> m.stiffnessNPerM();
      default -> m.stiffnessNPerMSigma();
    };
  }

  private static void change(JsonOut o, String name, ModeDrift.Change c) {
    o.object(
        name,
        x ->
            x.put("relativeChangeSinceFirst", c.sinceFirst())
                .put("relativeChangeSigma", c.sigma())
                .put("relativeChangePerDay", c.perDay())
                .put("relativeChangePerDaySigma", c.perDaySigma())
                .put("chance", c.chance())
                .put("trend", c.isTrend()));
  }

  private void print(SetUpHistory h) {
    for (ModeDrift drift : h.drifts()) {
      say("");
      say("%s, mode near %.1f Hz", h.axis(), drift.track().latest().frequencyHz());
      say("  %-16s %20s %20s %24s", "", "Hz", "damping %", "stiffness N/um");
      for (int i = 0; i < h.measurements().size(); i++) {
        SavedMeasurement m = h.measurements().get(i);
        Mode mode = drift.track().modes().get(i);
        String when = minute(m.date()) + (m.clampedAgain() ? " " : "=");
        if (mode == null) {
          say("  %-17s %s", when, "not found");
        } else {
          say(
              "  %-17s %19s %20s %24s",
              when,
              pair("%.2f", mode.frequencyHz(), mode.frequencyHzSigma(), 1),
              pair("%.3f", mode.dampingRatio(), mode.dampingRatioSigma(), 100),
              pair("%.4g", mode.stiffnessNPerM(), mode.stiffnessNPerMSigma(), 1e-6));
        }
      }
      DriftWords.of(drift, SetUpHistory.scatter(h.measurements())).forEach(w -> say("  %s", w));
    }
    if (h.measurements().stream().anyMatch(m -> !m.clampedAgain())) {
      say("  (= same clamping as the measurement before)");
    }
    clampings(h);
  }

  private static String pair(String format, double value, double sigma, double factor) {
    String text = String.format(Locale.ROOT, format, factor * value);
    return Double.isNaN(sigma) ? text : text + " ± " + twoDigits(factor * sigma);
  }

  private void clampings(SetUpHistory h) {
    say("");
    if (h.spread().clampings() < 2) {
      say(
          "%s was measured in one clamping: nothing is known of what clamping again does",
          h.axis());
      return;
    }
    say(
        "%s, %d clampings: the next one (mean, one sigma; with few clampings wider than their"
            + " scatter)",
        h.axis(), h.spread().clampings());
    for (ClampingSpread.Spread s : h.spread().spreads()) {
      Mode m = s.mode();
      say(
          "  %18s Hz %18s %% %20s N/um   scatter %s",
          pair("%.2f", m.frequencyHz(), m.frequencyHzSigma(), 1),
          pair("%.3f", m.dampingRatio(), m.dampingRatioSigma(), 100),
          pair("%.4g", m.stiffnessNPerM(), m.stiffnessNPerMSigma(), 1e-6),
          s.clampings() < 2
              ? "unknown"
              : String.format(
                  Locale.ROOT,
                  "%.2g, %.2g, %.2g %%",
                  100 * s.frequency(),
                  100 * s.damping(),
                  100 * s.stiffness()));
    }
    h.spread().remarks().forEach(r -> say("  - %s", r));
  }
}

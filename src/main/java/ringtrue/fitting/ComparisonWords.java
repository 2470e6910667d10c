package ringtrue.fitting;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.Mode;
import ringtrue.fitting.SetUpComparison.Change;
import ringtrue.fitting.SetUpComparison.Lone;
import ringtrue.fitting.SetUpComparison.Pair;
import ringtrue.fitting.SetUpComparison.Standing;
import ringtrue.fitting.SetUpComparison.Verdict;

/** A comparison in plain sentences. */
record ComparisonWords(
    Verdict verdict,
    List<Pair> pairs,
    List<Lone> gone,
    List<Lone> added,
    int compared,
    double chance,
    Optional<CommonLines.Difference> elsewhere) {

  /** A speed to show what a shift of the good speeds means. */
  private static final double EXAMPLE_RPM = 10_000;

  /** The mode that gives way most at its resonance: it limits the depth first, as a rule. */
  static Optional<Pair> mostFlexible(List<Pair> pairs) {
    return pairs.stream()
        .max(
            Comparator.comparingDouble(
                p -> 1 / (p.before().stiffnessNPerM() * p.before().dampingRatio())));
  }

  String sentence() {
    return switch (verdict) {
      case UNCHANGED ->
          "Nothing changed beyond the measurements' uncertainty: "
              + compared
              + " values of "
              + modes(pairs.size())
              + " compared, the farthest off by "
              + sigmas(farthest())
              + "; an unchanged set-up shows that much in "
              + Sentence.percent(chance)
              + " of such comparisons.";
      case CHANGED -> "Changed: " + String.join("; ", findings()) + ".";
      case CANNOT_TELL ->
          pairs.isEmpty()
              ? "Cannot tell: no mode is found in both measurements, and their difference shows none"
                  + " that is new or gone."
              : "Cannot tell: these measurements would overlook a shift of "
                  + mostFlexible(pairs)
                      .filter(p -> Double.isFinite(p.frequency().findable()))
                      .map(p -> Sentence.percent(p.frequency().findable()))
                      .orElse("any size")
                  + " of the most flexible mode, "
                  + mostFlexible(pairs)
                      .map(p -> Sentence.hertz(p.before().frequencyHz()))
                      .orElse("")
                  + (clampingLimits()
                      ? ". Clamping again by itself scatters that much: more taps would not tell,"
                          + " a comparison in one clamping would."
                      : ". More taps, harder ones or longer blocks would tell.");
    };
  }

  /** Whether most of the sigma is what clamping again does, not the taps. */
  private boolean clampingLimits() {
    return mostFlexible(pairs)
        .map(
            p -> {
              double f = p.before().frequencyHz();
              double taps =
                  Math.hypot(p.before().frequencyHzSigma(), p.now().frequencyHzSigma()) / f;
              return taps < p.frequency().sigma() / 2;
            })
        .orElse(false);
  }

  private static String modes(int count) {
    return count == 1 ? "1 mode" : count + " modes";
  }

  private static String sigmas(double significance) {
    return Sentence.digits(Math.abs(significance), 2) + " sigma";
  }

  private double farthest() {
    double most = 0;
    for (Pair p : pairs) {
      for (Change c : List.of(p.frequency(), p.damping(), p.stiffness())) {
        most = Math.max(most, Double.isNaN(c.significance()) ? 0 : Math.abs(c.significance()));
      }
    }
    return most;
  }

  private List<String> findings() {
    List<String> findings = new ArrayList<>();
    for (Pair p : pairs) {
      if (p.isSignificant()) {
        findings.add("the mode at " + Sentence.hertz(p.before().frequencyHz()) + ": " + what(p));
      }
    }
    lone(gone, "is gone", findings);
    lone(added, "is new", findings);
    elsewhere.ifPresent(
        d ->
            findings.add(
                "near "
                    + Sentence.digits(d.atHz(), 4)
                    + " Hz the responses differ by "
                    + Sentence.percent(d.ofLargest())
                    + " of the largest value, "
                    + Sentence.digits(d.overNoise(), 2)
                    + " times their noise"));
    return findings;
  }

  private static String what(Pair p) {
    List<String> parts = new ArrayList<>();
    if (p.frequency().significant()) {
      parts.add("frequency " + signed(p.shiftHz(), "Hz") + " (" + percent(p.frequency()) + ")");
    }
    if (p.damping().significant()) {
      parts.add("damping " + percent(p.damping()));
    }
    if (p.stiffness().significant()) {
      parts.add("stiffness " + percent(p.stiffness()));
    }
    return String.join(", ", parts);
  }

  private static String percent(Change c) {
    return signed(100 * c.relative(), "%") + ", " + sigmas(c.significance());
  }

  private static String signed(double value, String unit) {
    return (value > 0 ? "+" : "") + Sentence.digits(value, 3) + " " + unit;
  }

  private static void lone(List<Lone> modes, String what, List<String> into) {
    for (Lone l : modes) {
      if (l.standing() == Standing.CHANGED) {
        into.add(
            "a mode at "
                + Sentence.hertz(l.mode().frequencyHz())
                + " ("
                + Sentence.digits(l.mode().stiffnessNPerM() / 1e6, 3)
                + " N/um) "
                + what);
      }
    }
  }

  List<String> meaning() {
    List<String> meaning = new ArrayList<>();
    if (verdict == Verdict.CHANGED) {
      for (Pair p : pairs) {
        if (p.isSignificant()) {
          addMeaning(p, meaning);
        }
      }
      if (gone.stream().anyMatch(l -> l.standing() == Standing.CHANGED)
          || added.stream().anyMatch(l -> l.standing() == Standing.CHANGED)
          || elsewhere.isPresent()) {
        meaning.add("Compute the lobes again: a changed set of modes changes limits and speeds.");
      }
    }
    addFindable(meaning);
    return meaning;
  }

  private static void addMeaning(Pair p, List<String> meaning) {
    List<String> parts = new ArrayList<>();
    if (p.frequency().significant()) {
      double factor = 1 + p.frequency().relative();
      parts.add(
          "its good speeds move with it by "
              + signed(100 * p.frequency().relative(), "%")
              + ", from "
              + rpm(EXAMPLE_RPM)
              + " to "
              + rpm(EXAMPLE_RPM * factor)
              + " for example");
    }
    if (p.damping().significant() || p.stiffness().significant()) {
      parts.add(
          "stiffness times damping, which the depth without chatter at every speed goes by, changes"
              + " by "
              + signed(100 * (p.depthFactor() - 1), "%"));
    }
    meaning.add(
        "The mode at "
            + Sentence.hertz(p.before().frequencyHz())
            + ": "
            + String.join("; ", parts)
            + ".");
  }

  private static String rpm(double value) {
    return Math.round(value) + " rpm";
  }

  private void addFindable(List<String> meaning) {
    List<String> parts = new ArrayList<>();
    for (Pair p : pairs) {
      if (Double.isFinite(p.frequency().findable())) {
        parts.add(
            Sentence.hertz(p.before().frequencyHz())
                + ": "
                + Sentence.digits(100 * p.frequency().findable(), 2)
                + ", "
                + Sentence.digits(100 * p.damping().findable(), 2)
                + " and "
                + Sentence.digits(100 * p.stiffness().findable(), 2)
                + " %");
      }
    }
    if (!parts.isEmpty()) {
      meaning.add(
          "Smallest changes of frequency, damping and stiffness that would have been found, as a rule: "
              + String.join("; ", parts)
              + ".");
    }
  }

  List<String> remarks(
      FittedResponse before, FittedResponse now, CommonLines lines, SetUpScatter scatter) {
    List<String> remarks = new ArrayList<>();
    addLone(gone, "earlier", "later", remarks);
    addLone(added, "later", "earlier", remarks);
    if (before.response().origin().averages() == 1 || now.response().origin().averages() == 1) {
      remarks.add(
          "One of the two is a single tap, which does not show how taps differ; its stiffness was"
              + " taken as unsure by another 5 %.");
    }
    if (lines.throughModels()) {
      remarks.add(
          "The exponential windows of the two differ; the responses were compared with their windows"
              + " taken out by the fitted modes.");
    }
    FrequencyResponse.Origin a = before.response().origin();
    FrequencyResponse.Origin b = now.response().origin();
    if (!a.point().isEmpty() && !b.point().isEmpty() && !a.point().equals(b.point())) {
      remarks.add(
          "The points have different names, \""
              + a.point()
              + "\" and \""
              + b.point()
              + "\"; a different point has other stiffnesses.");
    }
    remarks.add(
        scatter.equals(SetUpScatter.NONE)
            ? "The sigmas know how the taps scatter, not how the set-up does when it is clamped again:"
                + " that is more, as a rule. Clamp the same tool again without changing anything and"
                + " compare; only what exceeds that scatter is a change of the tool."
            : "Scatter of clamping again, as given, was counted: "
                + Sentence.percent(scatter.frequency())
                + " in frequency, "
                + Sentence.percent(scatter.damping())
                + " in damping, "
                + Sentence.percent(scatter.stiffness())
                + " in stiffness (one sigma).");
    return remarks;
  }

  private static void addLone(List<Lone> modes, String here, String there, List<String> remarks) {
    for (Lone l : modes) {
      Mode m = l.mode();
      String name =
          "Only the " + here + " measurement has the mode at " + Sentence.hertz(m.frequencyHz());
      switch (l.standing()) {
        case CHANGED -> {
          // stands in the verdict
        }
        case IN_BOTH_RESPONSES ->
            remarks.add(
                name
                    + ", but the responses do not differ there as that mode would make them: the"
                    + " fits differ, not the set-ups.");
        case TOO_WEAK ->
            remarks.add(name + "; the noise of the two is too large to show it in both.");
        case OUTSIDE -> remarks.add(name + "; the " + there + " one does not reach there.");
      }
    }
  }
}

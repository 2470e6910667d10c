package ringtrue.fitting;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.function.Function;
import org.apache.commons.math3.special.Erf;
import ringtrue.dynamics.Mode;
import ringtrue.fitting.AccuracyRig.Kind;
import ringtrue.fitting.AccuracyStudy.Outcome;
import ringtrue.fitting.AccuracyStudy.Result;

/**
 * Measures the fit on the family of rigs and writes the table. Arguments: the first seed (1), the
 * file to write (standard output without), and kinds (all without).
 */
public final class AccuracyTable {
  private AccuracyTable() {}

  private static final String[] QUANTITY = {"fn", "ζ", "k"};

  public static void main(String[] args) throws IOException {
    long seed = args.length > 0 ? Long.parseLong(args[0]) : 1;
    List<Kind> kinds = new ArrayList<>();
    for (int i = 2; i < args.length; i++) {
      kinds.add(Kind.valueOf(args[i]));
    }
    List<Result> results = new ArrayList<>();
    for (Kind kind : kinds.isEmpty() ? Arrays.asList(Kind.values()) : kinds) {
      long start = System.nanoTime();
      List<Result> some =
          AccuracyRig.of(kind, seed, kind.rigs).parallelStream().map(AccuracyStudy::of).toList();
      results.addAll(some);
      System.err.printf(
          "%s: %d rigs, %.1f s, fit median %.0f ms, most %.0f ms%n",
          kind,
          some.size(),
          (System.nanoTime() - start) / 1e9,
          quantile(some.stream().mapToDouble(Result::milliseconds).toArray(), 0.5),
          some.stream().mapToDouble(Result::milliseconds).max().orElse(0));
      for (Result r : some) {
        tell(r);
      }
    }
    String page = page(results, seed);
    if (args.length > 1 && !args[1].equals("-")) {
      Files.writeString(Path.of(args[1]), page, StandardCharsets.UTF_8);
    } else {
      System.out.print(page);
    }
  }

  /** What went wrong with a rig, to standard error. */
  private static void tell(Result r) {
    for (Outcome o : r.modes()) {
      if (o.found() == null && (o.standsOut() || isPair(r.rig().kind))) {
        System.err.printf("  %s %d misses %s%n", r.rig().kind, r.rig().seed, shown(o.truth()));
      }
    }
    for (double part : r.falseParts()) {
      System.err.printf("  %s %d invents a mode of %.2g%n", r.rig().kind, r.rig().seed, part);
    }
  }

  private static boolean isPair(Kind kind) {
    return kind == Kind.PAIR_ONE || kind == Kind.PAIR_TWO;
  }

  private static String shown(Mode m) {
    return String.format(
        Locale.ROOT,
        "%.5g Hz ζ %.3g k %.3g",
        m.frequencyHz(),
        m.dampingRatio(),
        m.stiffnessNPerM());
  }

  // ---- numbers

  /** Relative error of fn, ζ or k. */
  static double error(Mode found, Mode truth, int quantity) {
    return switch (quantity) {
      case 0 -> found.frequencyHz() / truth.frequencyHz() - 1;
      case 1 -> found.dampingRatio() / truth.dampingRatio() - 1;
      default -> found.stiffnessNPerM() / truth.stiffnessNPerM() - 1;
    };
  }

  private static double relativeSigma(Mode found, Mode truth, int quantity) {
    return switch (quantity) {
      case 0 -> found.frequencyHzSigma() / truth.frequencyHz();
      case 1 -> found.dampingRatioSigma() / truth.dampingRatio();
      default -> found.stiffnessNPerMSigma() / truth.stiffnessNPerM();
    };
  }

  static double quantile(double[] values, double part) {
    if (values.length == 0) {
      return Double.NaN;
    }
    double[] sorted = values.clone();
    Arrays.sort(sorted);
    return sorted[(int) Math.min(sorted.length - 1, Math.floor(part * sorted.length))];
  }

  /** Size of error that a part of all modes would stay under with normal errors of these sigmas. */
  private static double boundQuantile(double[] sigmas, double part) {
    if (sigmas.length == 0) {
      return Double.NaN;
    }
    double low = 0;
    double high = 10 * Arrays.stream(sigmas).max().orElseThrow();
    for (int i = 0; i < 100; i++) {
      double middle = (low + high) / 2;
      double below = 0;
      for (double s : sigmas) {
        below += Erf.erf(middle / s / Math.sqrt(2)) / sigmas.length;
      }
      if (below < part) {
        low = middle;
      } else {
        high = middle;
      }
    }
    return high;
  }

  /** Sums over rigs. */
  record Summary(List<Result> results) {

    List<Outcome> modes() {
      return results.stream().flatMap(r -> r.modes().stream()).toList();
    }

    List<Outcome> standingOut() {
      return modes().stream().filter(Outcome::standsOut).toList();
    }

    long missed() {
      return standingOut().stream().filter(o -> o.found() == null).count();
    }

    long missedOfAll() {
      return modes().stream().filter(o -> o.found() == null).count();
    }

    long falseAbove(double part) {
      return results.stream().flatMap(r -> r.falseParts().stream()).filter(p -> p > part).count();
    }

    double errors(Function<Outcome, Mode> which, int quantity, double part) {
      return quantile(
          standingOut().stream()
              .filter(o -> which.apply(o) != null)
              .mapToDouble(o -> Math.abs(error(which.apply(o), o.truth(), quantity)))
              .toArray(),
          part);
    }

    double bound(int quantity, double part) {
      return boundQuantile(
          standingOut().stream().mapToDouble(o -> o.bound()[quantity]).toArray(), part);
    }

    /** Part of the modes found whose true value lies within two of the fit's own sigmas. */
    double coverage(Function<Outcome, Mode> which, int quantity) {
      return modes().stream()
          .filter(o -> which.apply(o) != null)
          .mapToDouble(
              o ->
                  Math.abs(error(which.apply(o), o.truth(), quantity))
                          <= 2 * relativeSigma(which.apply(o), o.truth(), quantity)
                      ? 1
                      : 0)
          .average()
          .orElse(Double.NaN);
    }

    /** Part of the rigs with all modes found. */
    double complete() {
      return results.stream()
          .mapToDouble(r -> r.modes().stream().allMatch(o -> o.found() != null) ? 1 : 0)
          .average()
          .orElse(Double.NaN);
    }
  }

  // ---- the page

  private static String page(List<Result> results, long seed) {
    StringBuilder text = new StringBuilder();
    text.append(head(results, seed));
    text.append("## Modes found\n\n")
        .append(
            "| rigs | number | modes in the band | stand out | missed of these | missed of all |")
        .append(" all found | false | false above 1 % |\n|---|---|---|---|---|---|---|---|---|\n");
    for (Kind kind : Kind.values()) {
      counts(text, kind.title, of(results, kind));
    }
    counts(text, "**all**", new Summary(results));
    for (int q = 0; q < 3; q++) {
      text.append("\n## Error of ").append(QUANTITY[q]).append(", %\n\n");
      text.append("Modes that stand out. In brackets: the fit that is told; the bound.\n\n")
          .append("| rigs | median | 95 % | 99 % |\n|---|---|---|---|\n");
      for (Kind kind : Kind.values()) {
        errors(text, kind.title, of(results, kind), q);
      }
      errors(text, "**all**", new Summary(results), q);
    }
    text.append("\n## True values within two sigmas, %\n\n")
        .append("All modes found. In brackets: the fit that is told.\n\n")
        .append("| rigs | fn | ζ | k |\n|---|---|---|---|\n");
    for (Kind kind : Kind.values()) {
      coverage(text, kind.title, of(results, kind));
    }
    coverage(text, "**all**", new Summary(results));
    return text.toString();
  }

  private static String head(List<Result> results, long seed) {
    return """
        # How accurately modes are found

        %d virtual rigs, all invented, each tapped five to eight times, recorded, averaged and fitted
        with nothing told: neither the processing nor the number of modes. Seeds from %d.
        A mode stands out if its own peak is twice the rest of the response there and twenty times
        the noise of a line. A mode is found if a fitted one lies within half of its half-power
        bandwidth; what is fitted elsewhere is false, and its peak is given as a part of the
        response's highest. *Told* is the same last step of the fit, on the same data, from the true
        modes. The *bound* is Cramér's and Rao's for the rig's own noise, with the taps heard out
        (`AccuracyBound` says what it leaves out); it is the error that normal errors of that size
        would keep under.

        Noise is 0.01 to 0.03 %% of the peak in both channels where nothing else is said
        (`AccuracyRig` holds the recipe). Made by
        `mvn -q -Pbench test-compile exec:java -Dexec.classpathScope=test -Dexec.mainClass=ringtrue.fitting.AccuracyTable -Dexec.args="%d src/site/accuracy.md"`.

        """
        .formatted(results.size(), seed, seed);
  }

  private static Summary of(List<Result> results, Kind kind) {
    return new Summary(results.stream().filter(r -> r.rig().kind == kind).toList());
  }

  private static void counts(StringBuilder text, String title, Summary s) {
    if (s.results.isEmpty()) {
      return;
    }
    text.append(
        String.format(
            Locale.ROOT,
            "| %s | %d | %d | %d | %d | %d | %.1f %% | %d | %d |%n",
            title,
            s.results.size(),
            s.modes().size(),
            s.standingOut().size(),
            s.missed(),
            s.missedOfAll(),
            100 * s.complete(),
            s.falseAbove(0),
            s.falseAbove(0.01)));
  }

  private static void errors(StringBuilder text, String title, Summary s, int q) {
    if (s.standingOut().isEmpty()) {
      return;
    }
    text.append("| ").append(title);
    for (double part : new double[] {0.5, 0.95, 0.99}) {
      text.append(
          String.format(
              Locale.ROOT,
              " | %.2g (%.2g; %.2g)",
              100 * s.errors(Outcome::found, q, part),
              100 * s.errors(Outcome::told, q, part),
              100 * s.bound(q, part)));
    }
    text.append(" |\n");
  }

  private static void coverage(StringBuilder text, String title, Summary s) {
    if (s.modes().isEmpty()) {
      return;
    }
    text.append("| ").append(title);
    for (int q = 0; q < 3; q++) {
      text.append(
          String.format(
              Locale.ROOT,
              " | %.0f (%.0f)",
              100 * s.coverage(Outcome::found, q),
              100 * s.coverage(Outcome::told, q)));
    }
    text.append(" |\n");
  }
}

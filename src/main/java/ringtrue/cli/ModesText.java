package ringtrue.cli;

import java.util.Locale;
import ringtrue.dynamics.Mode;
import ringtrue.fitting.Convergence;
import ringtrue.fitting.FittedModes;
import ringtrue.fitting.SetUpComparison;
import ringtrue.fitting.SetUpComparison.Change;
import ringtrue.fitting.SetUpComparison.Lone;
import ringtrue.fitting.SetUpComparison.Pair;
import ringtrue.fitting.TapScatter;
import ringtrue.library.MeasuredModes;
import ringtrue.library.ModesCsv;

/** Modes and comparisons as they are read on a terminal, and as CSV. */
final class ModesText {
  private final Command command;

  ModesText(Command command) {
    this.command = command;
  }

  private void say(String format, Object... values) {
    command.say(format, values);
  }

  void modes(FittedModes fitted) {
    if (fitted.model().modes().isEmpty()) {
      say("No mode was found from %.0f to %.0f Hz.", fitted.bandLowHz(), fitted.bandHighHz());
      return;
    }
    say(
        "%4s %20s %20s %22s %11s %8s",
        "mode", "frequency Hz", "damping %", "stiffness N/um", "mass kg", "phase");
    int number = 1;
    for (Mode m : fitted.model().modes()) {
      say(
          "%4d %20s %20s %22s %11.4g %8s",
          number++,
          plusMinus(m.frequencyHz(), m.frequencyHzSigma(), 2),
          plusMinus(m.dampingRatio() * 100, m.dampingRatioSigma() * 100, 4),
          plusMinus(m.stiffnessNPerM() / 1e6, m.stiffnessNPerMSigma() / 1e6, 4),
          m.massKg(),
          Double.isNaN(m.phaseDeg()) ? "" : String.format(Locale.ROOT, "%.1f", m.phaseDeg()));
    }
    say("");
    say(
        "± one sigma; fitted from %.0f to %.0f Hz; left over %.2g %% of the response",
        fitted.bandLowHz(), fitted.bandHighHz(), fitted.fitErrorRelative() * 100);
    say("phase: of the mode at its frequency, -90 degrees where all is well");
    convergence(fitted.convergence());
  }

  /** Uncertainties by drawing taps, where they were asked for. */
  void taps(MeasuredModes measured) {
    if (measured == null || measured.scatter().isEmpty()) {
      return;
    }
    TapScatter scatter = measured.scatter().get();
    say("");
    say(
        "one sigma by drawing the %d taps %d times, and how many times the fit's own",
        scatter.taps(), scatter.draws());
    say("%4s %20s %20s %22s", "mode", "frequency Hz", "damping %", "stiffness N/um");
    int number = 1;
    for (TapScatter.Spread s : scatter.modes()) {
      say(
          "%4d %20s %20s %22s",
          number++,
          spread(s.frequencyHz(), s.frequencyOverFit()),
          spread(s.dampingRatio() * 100, s.dampingOverFit()),
          spread(s.stiffnessNPerM() / 1e6, s.stiffnessOverFit()));
    }
  }

  private static String spread(double sigma, double overFit) {
    return Double.isNaN(overFit)
        ? String.format(Locale.ROOT, "%.2g", sigma)
        : String.format(Locale.ROOT, "%.2g (%.2f x)", sigma, overFit);
  }

  private void convergence(Convergence c) {
    if (c.steps() == 0 && Double.isNaN(c.reducedChiSquare())) {
      return;
    }
    say(
        "fit: %s after %d %s%s",
        c.converged() ? "settled" : "NOT settled",
        c.steps(),
        c.steps() == 1 ? "step" : "steps",
        Double.isNaN(c.reducedChiSquare()) ? "" : "; " + misfit(c.reducedChiSquare()));
  }

  /** Reduced chi-square in words. */
  static String misfit(double reducedChiSquare) {
    double times = Math.sqrt(reducedChiSquare);
    String number = String.format(Locale.ROOT, "%.2g", times);
    if (times < 1.4) {
      return "the misfit is " + number + " times the noise that was taken: nothing more is in it";
    }
    return times < 3
        ? "the misfit is " + number + " times the noise: a little is left that modes do not explain"
        : "the misfit is "
            + number
            + " times the noise: something is left that these modes do not explain";
  }

  /** A value with its sigma to two digits. */
  static String plusMinus(double value, double sigma, int digits) {
    if (Double.isNaN(sigma)) {
      return String.format(Locale.ROOT, "%.5g", value);
    }
    if (sigma > 0 && sigma < 1e-6) {
      return String.format(Locale.ROOT, "%.5g ± %.2g", value, sigma);
    }
    int places = sigma > 0 ? (int) Math.ceil(-Math.log10(sigma)) + 1 : digits;
    places = Math.max(0, Math.min(6, places));
    return String.format(Locale.ROOT, "%." + places + "f ± %." + places + "f", value, sigma);
  }

  static String csv(FittedModes fitted) {
    return ModesCsv.toText(fitted.model());
  }

  // Comparisons -----------------------------------------------------------------------------------

  void comparison(SetUpComparison c, String before) {
    say("");
    say("Compared with %s", before);
    say("%s", c.sentence());
    if (!c.pairs().isEmpty() || !c.gone().isEmpty() || !c.added().isEmpty()) {
      say("");
      say("%12s %12s %26s %26s %26s", "before Hz", "now Hz", "frequency", "damping", "stiffness");
      for (Pair p : c.pairs()) {
        say(
            "%12.2f %12.2f %26s %26s %26s",
            p.before().frequencyHz(),
            p.now().frequencyHz(),
            change(p.frequency()),
            change(p.damping()),
            change(p.stiffness()));
      }
      for (Lone l : c.gone()) {
        say("%12.2f %12s   %s", l.mode().frequencyHz(), "-", standing(l, "gone"));
      }
      for (Lone l : c.added()) {
        say("%12s %12.2f   %s", "-", l.mode().frequencyHz(), standing(l, "new"));
      }
      say("* changed; sigma: how many times the uncertainty of the difference");
    }
    if (Double.isFinite(c.agreement().shape())) {
      say("");
      say(
          "agreement from %.0f to %.0f Hz: shape %.5f (noise alone leaves %.5f), amplitude %.5f;"
              + " now %.3f times as flexible",
          c.bandLowHz(),
          c.bandHighHz(),
          c.agreement().shape(),
          c.agreement().shapeByNoise(),
          c.agreement().amplitude(),
          c.agreement().scale());
    }
    for (String sentence : c.meaning()) {
      say("  - %s", sentence);
    }
  }

  private static String change(Change c) {
    String sigma =
        Double.isNaN(c.significance())
            ? "sigma unknown"
            : String.format(Locale.ROOT, "%.1f sigma", Math.abs(c.significance()));
    return String.format(
        Locale.ROOT, "%+.3g %% (%s)%s", 100 * c.relative(), sigma, c.significant() ? " *" : "  ");
  }

  /** What is known of a mode that only one measurement has. */
  static String standing(Lone lone, String changed) {
    return switch (lone.standing()) {
      case CHANGED -> changed + " *";
      case IN_BOTH_RESPONSES -> "in both responses, fitted in one";
      case TOO_WEAK -> "too weak for the other's noise";
      case OUTSIDE -> "outside the other's band";
    };
  }
}

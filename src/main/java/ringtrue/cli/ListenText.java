package ringtrue.cli;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import ringtrue.library.Cut;
import ringtrue.planning.SoundAdvice;
import ringtrue.report.LengthUnit;
import ringtrue.signal.HeardCut;
import ringtrue.signal.SoundLine;

/** What the sound of a cut tells, to read. */
final class ListenText {
  static final List<String> CAUTIONS =
      List.of(
          "The sound shows what it shows: a quiet cut is not thereby a good or a safe one.",
          "A new speed or depth is a new cut: guards closed, small steps, a hand on the feed hold.");

  private static final int SHOWN = 14;

  private ListenText() {}

  /** The verdict in a line, as it is told while listening. */
  static String brief(HeardCut heard) {
    return String.format(
        Locale.ROOT,
        "%7.1f s  %-16s %s",
        heard.toS(),
        heard.verdict() == HeardCut.Verdict.NOTHING_HEARD ? "no cut heard" : heard.verdict().word(),
        details(heard));
  }

  private static String details(HeardCut heard) {
    String speed =
        Double.isNaN(heard.spindleHz())
            ? ""
            : String.format(Locale.ROOT, "%.0f rpm", 60 * heard.spindleHz());
    return Double.isNaN(heard.chatterHz())
        ? speed
        : String.format(Locale.ROOT, "%s, chatter at %.5g Hz", speed, heard.chatterHz());
  }

  static List<String> of(HeardCut heard, SoundAdvice advice, Cut cut, LengthUnit unit) {
    List<String> text = new ArrayList<>();
    text.add(
        String.format(
            Locale.ROOT,
            "%s: %s (%.2f to %.2f s)",
            cut.name(),
            heard.verdict().word(),
            heard.fromS(),
            heard.toS()));
    text.add(heard.because());
    speed(heard, cut, text);
    lines(heard, text);
    parts(heard, text);
    if (!advice.sentences().isEmpty()) {
      text.add("");
      text.addAll(advice.sentences());
    }
    speeds(advice, cut, unit, text);
    text.add("");
    CAUTIONS.forEach(c -> text.add("! " + c));
    return text;
  }

  private static void speed(HeardCut heard, Cut cut, List<String> text) {
    if (Double.isNaN(heard.spindleHz())) {
      return;
    }
    double off = 60 * heard.spindleHz() / cut.process().speedRpm() - 1;
    text.add(
        String.format(
            Locale.ROOT,
            "spindle %.1f rpm (%s stated %.0f)%s",
            60 * heard.spindleHz(),
            Math.abs(off) < 5e-4
                ? "as"
                : String.format(
                    Locale.ROOT,
                    "%.1f %% %s the",
                    100 * Math.abs(off),
                    off < 0 ? "below" : "above"),
            cut.process().speedRpm(),
            Double.isNaN(heard.toothPassHz())
                ? ""
                : String.format(Locale.ROOT, ", tooth passing %.2f Hz", heard.toothPassHz())));
  }

  private static void lines(HeardCut heard, List<String> text) {
    if (heard.peaks().isEmpty()) {
      return;
    }
    text.add("");
    text.add(
        String.format(Locale.ROOT, "%11s %9s %12s  %s", "Hz", "dB", "above noise", "what it is"));
    for (SoundLine line : heard.peaks().subList(0, Math.min(SHOWN, heard.peaks().size()))) {
      text.add(
          String.format(
              Locale.ROOT,
              "%11.2f %9.1f %9.0f dB  %s",
              line.frequencyHz(),
              line.levelDb(),
              line.aboveNoiseDb(),
              name(line)));
    }
    if (heard.peaks().size() > SHOWN) {
      text.add(
          String.format(Locale.ROOT, "%11s and %d weaker ones", "", heard.peaks().size() - SHOWN));
    }
  }

  private static String name(SoundLine line) {
    String what =
        switch (line.is()) {
          case TOOTH_PASSING -> line.harmonic() + " x tooth passing";
          case RUNOUT -> line.harmonic() + " x turns (run-out, unbalance)";
          case CHATTER ->
              line.about().isEmpty()
                  ? "chatter"
                  : line.about().equals("flip")
                      ? "chatter (flip)"
                      : String.format(
                          Locale.ROOT, "chatter, side band %+d x tooth passing", line.harmonic());
          case OTHER -> "other";
        };
    return line.is() == SoundLine.Kind.OTHER && !line.about().isEmpty()
        ? what + ": " + line.about()
        : what;
  }

  private static void parts(HeardCut heard, List<String> text) {
    if (heard.parts().size() < 2) {
      return;
    }
    text.add("");
    text.add("over time");
    HeardCut.Part first = null;
    HeardCut.Part last = null;
    for (HeardCut.Part p : heard.parts()) {
      if (first != null && p.verdict() != first.verdict()) {
        text.add(row(first, last));
        first = null;
      }
      first = first == null ? p : first;
      last = p;
    }
    text.add(row(first, last));
  }

  private static String row(HeardCut.Part from, HeardCut.Part to) {
    return String.format(
        Locale.ROOT,
        "%9.1f to %.1f s  %s%s",
        from.fromS(),
        to.toS(),
        from.verdict() == HeardCut.Verdict.NOTHING_HEARD ? "no cut heard" : from.verdict().word(),
        Double.isNaN(from.chatterHz())
            ? ""
            : String.format(Locale.ROOT, " at %.5g Hz", from.chatterHz()));
  }

  private static void speeds(SoundAdvice advice, Cut cut, LengthUnit unit, List<String> text) {
    if (advice.speeds().isEmpty()) {
      return;
    }
    text.add("");
    text.add("Speeds to try");
    for (SoundAdvice.TrySpeed s : advice.speeds()) {
      text.add(
          String.format(
              Locale.ROOT,
              "%9.0f rpm  %s%s",
              s.speedRpm(),
              s.wavesPerTooth() > 0
                  ? String.format(
                      Locale.ROOT,
                      "%d %s between teeth; ",
                      s.wavesPerTooth(),
                      s.wavesPerTooth() == 1 ? "wave" : "waves")
                  : "",
              Double.isNaN(s.limitDepthM())
                  ? "no lobes to check it by"
                  : String.format(
                      Locale.ROOT,
                      s.stable() ? "lobes: stable to %s or more" : "lobes: only to %s, cut is %s",
                      unit.length(s.limitDepthM()),
                      unit.length(cut.process().engagement().axialM()))));
    }
  }
}

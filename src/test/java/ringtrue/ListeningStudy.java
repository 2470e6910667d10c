package ringtrue;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.function.Predicate;
import java.util.stream.LongStream;
import ringtrue.SimulatedSounds.Air;
import ringtrue.SimulatedSounds.Case;
import ringtrue.SimulatedSounds.Kind;
import ringtrue.dynamics.Progress;
import ringtrue.signal.CutSoundReader;
import ringtrue.signal.CutSoundRecording;
import ringtrue.signal.HeardCut;
import ringtrue.signal.HeardCut.Verdict;

/** How well the sound of simulated cuts is read; writes {@code src/site/listening.md}. */
public final class ListeningStudy {
  private static final int CHUNK = 30;

  private ListeningStudy() {}

  /**
   * What came of one.
   *
   * @param seed drew it
   * @param attempt at which it did
   * @param kind what it is
   * @param air how the room can be told
   * @param flutes number of teeth
   * @param even whether they are evenly spaced
   * @param rate samples per second
   * @param verdict what was said
   * @param speedError relative error of the speed; NaN where none was found
   * @param chatterError relative error of the chatter frequency; NaN where there is none
   * @param truth for the curious
   * @param said for the curious
   */
  record Outcome(
      long seed,
      int attempt,
      Kind kind,
      Air air,
      int flutes,
      boolean even,
      double rate,
      Verdict verdict,
      double speedError,
      double chatterError,
      String truth,
      String said) {

    boolean chatters() {
      return kind == Kind.HOPF || kind == Kind.FLIP;
    }

    boolean right() {
      return switch (kind) {
        case CLEAN -> verdict == Verdict.CLEAN;
        case FORCED -> verdict == Verdict.FORCED;
        case FLIP -> verdict == (flutes == 2 ? Verdict.CANNOT_TELL : Verdict.CHATTER);
        default -> verdict == Verdict.CHATTER;
      };
    }
  }

  static Outcome outcome(long seed) {
    return outcome(SimulatedSounds.of(seed));
  }

  static Outcome outcome(Case c) {
    long seed = c.seed();
    try {
      HeardCut heard =
          CutSoundRecording.read(
                  new CutSoundReader(c.stated(), c.structure()),
                  c.recording(),
                  new CutSoundRecording.Part(1, 0, Double.POSITIVE_INFINITY),
                  c.inAir(),
                  Progress.NONE)
              .sound();
      return new Outcome(
          seed,
          c.attempt(),
          c.kind(),
          c.air(),
          c.flutes(),
          c.even(),
          c.recording().sampleRateHz(),
          heard.verdict(),
          heard.spindleHz() * 60 / c.trueRpm() - 1,
          heard.chatterHz() / c.chatterHz() - 1,
          String.format(
              Locale.ROOT,
              "tooth %.2f Hz chatter %.2f A %.2f modes %s runout %.1f um",
              c.trueRpm() / 60 * c.flutes(),
              c.chatterHz(),
              c.amplification(),
              c.structure().modesHz(),
              1e6 * c.process().tool().orElseThrow().runoutM()),
          String.format(
              Locale.ROOT,
              "tooth %.2f chatter %.2f A %.2f %.1f..%.1f: %s %s %s",
              heard.toothPassHz(),
              heard.chatterHz(),
              heard.amplification(),
              heard.fromS(),
              heard.toS(),
              heard.because(),
              heard.remarks(),
              heard.peaks().stream()
                  .limit(6)
                  .map(
                      p ->
                          String.format(
                              Locale.ROOT,
                              "%.1f(%.0f %s %d)",
                              p.frequencyHz(),
                              p.levelDb(),
                              p.is().word(),
                              p.harmonic()))
                  .toList()));
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  static List<Outcome> outcomes(long from, int count) {
    return LongStream.range(from, from + count)
        .parallel()
        .mapToObj(ListeningStudy::outcome)
        .toList();
  }

  /** The page. */
  static String page(long from, List<Outcome> all) {
    StringBuilder text = new StringBuilder();
    text.append("# How well the sound of a cut is read\n\n");
    text.append(
        String.format(
            Locale.ROOT,
            "%d recordings of cuts simulated in time, seeds %d to %d, made by"
                + " `ringtrue.ListeningStudy` (test sources); `ListeningStudyTest` holds a part of it."
                + " The rules were fixed before, on seeds below 100000.\n\n",
            all.size(),
            from,
            from + all.size() - 1));
    text.append(
        """
        Cutters of 5 to 14 mm with 2 to 4 teeth, one in six of the cuts that are no flips with uneven pitch, straight or 30° helix, run-out
        0 to 6 µm; modes of 350 to 4900 Hz in both directions; 4,500 to 24,000 rpm, the true speed up to 2 % off the stated one.
        Depth 0.2 to 0.85 times the limit for stable cuts, 1.15 to 1.8 times for chatter. True is what periodic lobes and simulation agree upon.
        A stable cut counts as forced if it moves at least 3 times as far as its forces would bend the structure at rest, as clean if
        at most 1.8 times; those between are not drawn. The sound is the velocity of the tool; the room adds noise 8 to 36 dB below it, fans with up to five
        lines 14 to 36 dB below (in one of eight a tone right beside a mode, 12 to 24 dB below), mains hum, and in one of three a spindle whine at a broken
        multiple of the turns. 16 bits; a third of the recordings begin and end in air, for a third there is another recording in air, for a third there is none. The reader knows the modes and their lobes.

        ## Verdicts

        | true | recordings | clean | forced vibration | chatter | cannot tell | right |
        |---|---|---|---|---|---|---|
        """);
    for (Kind kind : Kind.values()) {
      row(
          text,
          kind.name().toLowerCase(Locale.ROOT),
          all,
          o -> o.kind() == kind && !(kind == Kind.FLIP && o.flutes() == 2));
    }
    row(
        text,
        "flip with two teeth, on a line of run-out: cannot be told",
        all,
        o -> o.kind() == Kind.FLIP && o.flutes() == 2);
    row(text, "**all**", all, o -> true);
    row(text, "air around the cut", all, o -> o.air() == Air.AROUND);
    row(text, "recording in air", all, o -> o.air() == Air.FILE);
    row(text, "the cut alone", all, o -> o.air() == Air.NONE);
    for (int n = 2; n <= 4; n++) {
      int flutes = n;
      row(text, n + " teeth", all, o -> o.flutes() == flutes && o.even());
    }
    row(text, "uneven pitch", all, o -> !o.even());
    row(text, "44.1 kHz", all, o -> o.rate() < 45_000);
    row(text, "48 kHz", all, o -> o.rate() > 45_000);
    text.append(
        "\n## Frequencies\n\n| what | recordings | median error | 95 % below | largest |\n|---|---|---|---|---|\n");
    errors(text, "speed of the spindle", all.stream().mapToDouble(Outcome::speedError).toArray());
    errors(
        text,
        "chatter frequency, where chatter was said",
        all.stream().filter(Outcome::chatters).mapToDouble(Outcome::chatterError).toArray());
    long close =
        all.stream().filter(o -> o.chatters() && Math.abs(o.chatterError()) < 0.002).count();
    long said = all.stream().filter(o -> o.chatters() && o.verdict() == Verdict.CHATTER).count();
    text.append(
        String.format(
            Locale.ROOT,
            "\nWithin 0.2 %% of the strongest line of the true chatter: %d of %d. Where it is not, two lines of the same chatter, apart by"
                + " tooth passing, are about as strong, or the line is hidden by the comb.\n",
            close,
            said));
    return text.toString();
  }

  private static void row(
      StringBuilder text, String name, List<Outcome> all, Predicate<Outcome> which) {
    List<Outcome> some = all.stream().filter(which).toList();
    if (some.isEmpty()) {
      return;
    }
    text.append(
        String.format(
            Locale.ROOT,
            "| %s | %d | %d | %d | %d | %d | %.1f %% |%n",
            name,
            some.size(),
            count(some, o -> o.verdict() == Verdict.CLEAN),
            count(some, o -> o.verdict() == Verdict.FORCED),
            count(some, o -> o.verdict() == Verdict.CHATTER),
            count(
                some,
                o -> o.verdict() == Verdict.CANNOT_TELL || o.verdict() == Verdict.NOTHING_HEARD),
            100.0 * count(some, Outcome::right) / some.size()));
  }

  private static long count(List<Outcome> some, Predicate<Outcome> which) {
    return some.stream().filter(which).count();
  }

  private static void errors(StringBuilder text, String name, double[] errors) {
    double[] sorted =
        java.util.Arrays.stream(errors).filter(Double::isFinite).map(Math::abs).sorted().toArray();
    if (sorted.length == 0) {
      return;
    }
    text.append(
        String.format(
            Locale.ROOT,
            "| %s | %d | %.4f %% | %.4f %% | %.3g %% |%n",
            name,
            sorted.length,
            100 * sorted[sorted.length / 2],
            100 * sorted[(int) (0.95 * (sorted.length - 1))],
            100 * sorted[sorted.length - 1]));
  }

  /**
   * Reads so many and writes the page.
   *
   * @param args first seed, number, file (- for standard output; then the wrong ones are told too),
   *     file for the attempts
   */
  public static void main(String[] args) throws IOException {
    long from = Long.parseLong(args[0]);
    int count = Integer.parseInt(args[1]);
    List<Outcome> sorted = new ArrayList<>();
    String page = "";
    while (sorted.size() < count) {
      sorted.addAll(outcomes(from + sorted.size(), Math.min(CHUNK, count - sorted.size())));
      page = page(from, sorted);
      if (args.length > 3) { // the attempts, so that a test need not search for them
        StringBuilder attempts = new StringBuilder("# seed attempt\n");
        sorted.forEach(o -> attempts.append(o.seed() + " " + o.attempt() + "\n"));
        Files.writeString(Path.of(args[3]), attempts);
      }
      if (!args[2].equals("-")) {
        Files.writeString(Path.of(args[2]), page); // what there is, in case it is stopped
      }
    }
    sorted.stream()
        .filter(o -> !o.right())
        .forEach(o -> System.err.println(o.seed() + " " + o.kind() + " " + o.verdict()));
    if (!args[2].equals("-")) {
      return;
    }
    sorted.stream()
        .filter(o -> !o.right() || o.chatters() && Math.abs(o.chatterError()) > 0.002)
        .forEach(
            o ->
                System.out.printf(
                    "%d %s %s %d teeth %s %s: %s%n   truth %s%n   %s%n",
                    o.seed(),
                    o.kind(),
                    o.air(),
                    o.flutes(),
                    o.even(),
                    o.rate(),
                    o.verdict(),
                    o.truth(),
                    o.said()));
    System.out.println(page);
  }
}

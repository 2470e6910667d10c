package ringtrue.signal;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Random;
import java.util.TreeMap;
import java.util.stream.IntStream;
import ringtrue.acquisition.Blow;
import ringtrue.acquisition.MemoryRecording;
import ringtrue.acquisition.PulseShape;
import ringtrue.acquisition.RigChannel;
import ringtrue.acquisition.TapRecording;
import ringtrue.acquisition.VirtualRig;
import ringtrue.dynamics.Mode;
import ringtrue.signal.Tap.Verdict;

/**
 * Simulated taps with known faults, through the session as if they came from an input: how many of
 * the faults are found, and how many good taps are set aside. Everything is drawn from a seed.
 */
final class TapQuality {
  static final int SERIES = 334;
  static final int TAPS = 10;
  static final int FAULTS = 3;
  private static final int BITS = 24;
  private static final double INTERVAL_S = 0.9;

  /** What is done to a tap. */
  enum Fault {
    NONE("good tap"),
    DOUBLE_HIT("double hit, 3 to 60 ms apart, 20 to 100 % of the first"),
    FORCE_CLIPPED("force clipped, from a single sample to 10 % of the peak"),
    RESPONSE_CLIPPED("response clipped, from a single sample to 10 % of the peak"),
    WEAK("weak blow, 1 to 10 % of the usual"),
    FORCE_BURST("burst of noise in the force, no blow"),
    RESPONSE_BURST("burst of noise on the response, 0.3 to 3 times its energy in the band");

    final String words;

    Fault(String words) {
      this.words = words;
    }
  }

  /**
   * What became of a tap.
   *
   * @param series which series
   * @param tap which of its taps, counted from 1
   * @param hum whether both inputs hum in this series
   * @param fault what was done to it
   * @param atOnce verdict as it was announced first; null if it was not noticed
   * @param last verdict at the end; null if it was not noticed
   * @param reason the last reason
   */
  record Outcome(
      int series, int tap, boolean hum, Fault fault, Verdict atOnce, Verdict last, String reason) {
    boolean isRight(Verdict verdict) {
      return (fault == Fault.NONE) == (verdict == Verdict.KEPT);
    }
  }

  private TapQuality() {}

  /** A series of taps. */
  static List<Outcome> series(int number) throws IOException {
    Random random = new Random(1000L * number + 17);
    double fs = new double[] {44100, 48000, 48000, 96000}[random.nextInt(4)];
    boolean hum = random.nextInt(3) == 0;
    VirtualRig rig = rig(random, hum);
    double usualN = logBetween(random, 20, 200);
    double contactS = logBetween(random, 1.8e-4, 7e-4);
    PulseShape shape = PulseShape.values()[random.nextInt(3)];
    Fault[] faults = faults(random);
    List<Blow> blows = new ArrayList<>();
    double[] onset = new double[TAPS];
    double at = 1.0;
    for (int t = 0; t < TAPS; t++) {
      onset[t] = at;
      double peak = usualN * (1 + 0.15 * cut(random));
      double contact = contactS * (1 + 0.05 * cut(random));
      double gain = 1 + 0.03 * cut(random);
      if (faults[t] == Fault.WEAK) {
        peak = usualN * logBetween(random, 0.01, 0.1);
      }
      if (faults[t] != Fault.FORCE_BURST) {
        blows.add(new Blow(t + 1, at, peak, contact, shape, gain));
      }
      if (faults[t] == Fault.DOUBLE_HIT) {
        double later = at + logBetween(random, 0.003, 0.06);
        double second = peak * (0.2 + 0.8 * random.nextDouble());
        blows.add(new Blow(t + 1, later, second, contact, shape, gain));
      }
      at += INTERVAL_S * (0.9 + 0.2 * random.nextDouble());
    }
    double noiseN = usualN * logBetween(random, 1e-4, 1.5e-3);
    double humN = hum ? usualN * logBetween(random, 1e-3, 1.5e-2) : 0;
    rig =
        rig.withInputs(
            RigChannel.PERFECT.withNoise(noiseN).withHum(50, humN, 0, humN / 3),
            RigChannel.PERFECT);
    MemoryRecording clean =
        MemoryRecording.copyOf(rig.record("taps", fs, at + 0.3, blows, random.nextLong()));
    double[] force = clean.channel(1);
    double[] response = clean.channel(2);
    disturb(random, response, largest(response) * logBetween(random, 2e-5, 4e-4), fs, hum);
    spoil(random, faults, onset, force, response, fs, usualN, contactS);
    double forceFull = full(force, faults, onset, fs, Fault.FORCE_CLIPPED, random);
    double responseFull = full(response, faults, onset, fs, Fault.RESPONSE_CLIPPED, random);
    return judge(number, hum, faults, onset, fs, rig, force, forceFull, response, responseFull);
  }

  private static VirtualRig rig(Random random, boolean hum) {
    int modes = 1 + random.nextInt(3);
    Mode[] all = new Mode[modes];
    double hz = logBetween(random, 180, 1200);
    for (int m = 0; m < modes; m++) {
      all[m] = Mode.of(hz, logBetween(random, 0.008, 0.05), logBetween(random, 2e6, 3e7));
      hz *= 1.3 + random.nextDouble();
    }
    return VirtualRig.of(all);
  }

  private static Fault[] faults(Random random) {
    Fault[] faults = new Fault[TAPS];
    java.util.Arrays.fill(faults, Fault.NONE);
    for (int i = 0; i < FAULTS; i++) {
      int t = random.nextInt(TAPS);
      while (faults[t] != Fault.NONE) {
        t = random.nextInt(TAPS);
      }
      faults[t] = Fault.values()[1 + random.nextInt(Fault.values().length - 1)];
    }
    return faults;
  }

  /** Noise and hum of the response's input. */
  private static void disturb(
      Random random, double[] response, double noise, double fs, boolean hum) {
    double amplitude = hum ? noise * logBetween(random, 3, 30) : 0;
    double phase = 2 * Math.PI * random.nextDouble();
    for (int i = 0; i < response.length; i++) {
      response[i] +=
          noise * random.nextGaussian() + amplitude * Math.sin(2 * Math.PI * 50 * i / fs + phase);
    }
  }

  private static void spoil(
      Random random,
      Fault[] faults,
      double[] onset,
      double[] force,
      double[] response,
      double fs,
      double usualN,
      double contactS) {
    for (int t = 0; t < TAPS; t++) {
      int at = (int) (onset[t] * fs);
      if (faults[t] == Fault.FORCE_BURST) {
        double[] burst = burst(random, (int) (logBetween(random, 0.002, 0.02) * fs), 2);
        double scale = usualN * logBetween(random, 0.15, 1) / largest(burst);
        for (int i = 0; i < burst.length; i++) {
          force[at + i] += scale * burst[i];
        }
      } else if (faults[t] == Fault.RESPONSE_BURST) {
        // As wide as the blow's own band, so that it falls where the tap is looked at.
        double[] burst =
            burst(random, (int) (logBetween(random, 0.01, 0.08) * fs), (int) (contactS * fs) + 1);
        int later = (int) (random.nextDouble() * 0.01 * fs);
        double own = energy(response, at, (int) (0.1 * fs));
        double scale = Math.sqrt(logBetween(random, 0.3, 3) * own / energy(burst, 0, burst.length));
        for (int i = 0; i < burst.length; i++) {
          response[at + later + i] += scale * burst[i];
        }
      }
    }
  }

  /** Noise that comes and goes, smoothed over some samples. */
  private static double[] burst(Random random, int length, int smooth) {
    double[] white = new double[length + smooth];
    for (int i = 0; i < white.length; i++) {
      white[i] = random.nextGaussian();
    }
    double[] burst = new double[length];
    double sum = 0;
    for (int i = 0; i < smooth; i++) {
      sum += white[i];
    }
    for (int i = 0; i < length; i++) {
      burst[i] = sum * Math.sin(Math.PI * (i + 0.5) / length);
      sum += white[i + smooth] - white[i];
    }
    return burst;
  }

  /**
   * Full scale of an input: some way above what the other taps need. Taps that are to be clipped
   * are made so large that up to a tenth of their peak lies beyond it, one sample at least.
   */
  private static double full(
      double[] numbers, Fault[] faults, double[] onset, double fs, Fault clipped, Random random) {
    int reach = (int) (0.7 * fs);
    double most = 0;
    for (int t = 0; t < TAPS; t++) {
      if (faults[t] != clipped) {
        int at = (int) (onset[t] * fs) - reach / 10;
        most = Math.max(most, largest(java.util.Arrays.copyOfRange(numbers, at, at + reach)));
      }
    }
    double full = most * (1.1 + random.nextDouble());
    for (int t = 0; t < TAPS; t++) {
      if (faults[t] == clipped) {
        int at = (int) (onset[t] * fs) - reach / 10;
        double own = largest(java.util.Arrays.copyOfRange(numbers, at, at + reach));
        double beyond = random.nextInt(3) == 0 ? 1e-6 : 0.1 * random.nextDouble();
        for (int i = at; i < at + reach; i++) {
          numbers[i] *= full / own * (1 + beyond);
        }
      }
    }
    return full;
  }

  private static List<Outcome> judge(
      int number,
      boolean hum,
      Fault[] faults,
      double[] onset,
      double fs,
      VirtualRig rig,
      double[] force,
      double forceFull,
      double[] response,
      double responseFull)
      throws IOException {
    VirtualRig described =
        rig.withInputs(RigChannel.of(1, forceFull), RigChannel.of(1, responseFull));
    TapRecording about =
        described.measurement(
            "series " + number,
            "x",
            "tip",
            List.of(
                new MemoryRecording(
                    "taps", fs, converted(force, forceFull), converted(response, responseFull))));
    Replayed live = new Replayed(about, Processing.AUTOMATIC, TapSession.Goal.taps(0)).run(480);
    List<Outcome> outcomes = new ArrayList<>();
    for (int t = 0; t < TAPS; t++) {
      Verdict atOnce = null;
      Verdict last = null;
      String reason = "";
      for (SessionTap tap : live.session.taps()) {
        if (Math.abs(tap.onsetFrame() / fs - onset[t]) < INTERVAL_S / 3) {
          last = last == Verdict.KEPT ? last : tap.tap().verdict();
          reason = tap.tap().reason();
          int which = tap.tap().number();
          atOnce =
              live.events(TapEvent.Judged.class).stream()
                  .map(e -> e.tap().tap())
                  .filter(o -> o.number() == which)
                  .findFirst()
                  .orElseThrow()
                  .verdict();
        }
      }
      outcomes.add(new Outcome(number, t + 1, hum, faults[t], atOnce, last, reason));
    }
    return outcomes;
  }

  private static double[] converted(double[] values, double full) {
    double top = Math.scalb(1.0, BITS - 1);
    double[] numbers = new double[values.length];
    for (int i = 0; i < values.length; i++) {
      numbers[i] = Math.max(-top, Math.min(top - 1, Math.rint(values[i] / full * top))) / top;
    }
    return numbers;
  }

  private static double largest(double[] values) {
    double most = 0;
    for (double v : values) {
      most = Math.max(most, Math.abs(v));
    }
    return most;
  }

  private static double energy(double[] values, int from, int n) {
    double sum = 0;
    for (int i = from; i < from + n; i++) {
      sum += values[i] * values[i];
    }
    return sum;
  }

  private static double cut(Random random) {
    return Math.max(-2.5, Math.min(2.5, random.nextGaussian()));
  }

  private static double logBetween(Random random, double low, double high) {
    return low * Math.pow(high / low, random.nextDouble());
  }

  // ---- the page

  static List<Outcome> series(int from, int to) {
    return IntStream.range(from, to)
        .parallel()
        .mapToObj(
            s -> {
              try {
                return series(s);
              } catch (IOException e) {
                throw new UncheckedIOException(e);
              }
            })
        .flatMap(List::stream)
        .toList();
  }

  /**
   * @param tuned outcomes of the series from 0 on
   * @param first number of the first fresh series
   * @param fresh outcomes of these
   */
  static String page(List<Outcome> tuned, int first, List<Outcome> fresh) {
    StringBuilder page = new StringBuilder();
    page.append(
        String.format(
            Locale.ROOT,
            """
            # How well taps are judged as they come

            Twice %d simulated taps in %d series of %d, three of each ten with a known fault, through the live session, frame by frame as from an
            input. Made by `ringtrue.signal.TapQuality` (test sources) from fixed seeds; `TapQualityTest` holds a part of it.
            The rules were settled while looking at the first set, so that its numbers flatter; the second set was drawn when they
            stood, and no rule was changed for it.

            Rates 44.1, 48 and 96 kHz, 24 bits; one to three modes of 180 Hz and more, damping 0.8 to 5 %%; blows of 20 to 200 N and 0.18 to 0.7 ms of
            three shapes; peaks scatter by 15 %%, contact by 5 %%, angle by 3 %%; noise of the force 0.01 to 0.15 %% of the usual peak, of the
            response 0.002 to 0.04 %%. In a third of the series both inputs hum: the force with 0.1 to 1.5 %% of the usual peak, and a third
            harmonic a third as strong; the response with 3 to 30 times its noise.

            A fault counts as found if the tap is not kept; a weak blow or a burst below the trigger level is not kept either. "At once" is the
            verdict that is announced when the block is over, "in the end" the one that stands after all taps of the series: only the others
            tell that a response is odd, so that a tap among the first three may be set aside later.
            """,
            tuned.size(),
            tuned.size() / TAPS,
            TAPS));
    set(page, "Fresh taps, series " + first + " to " + (first + SERIES - 1), fresh);
    set(page, "The taps that the rules were settled on, series 0 to " + (SERIES - 1), tuned);
    return page.toString();
  }

  private static void set(StringBuilder page, String title, List<Outcome> all) {
    page.append(
        String.format(
            Locale.ROOT,
            """

            ## %s

            | what | taps | right at once | right in the end |
            |---|---|---|---|
            """,
            title));
    for (Fault fault : Fault.values()) {
      row(page, fault.words, all.stream().filter(o -> o.fault == fault).toList());
    }
    row(page, "**all faults**", all.stream().filter(o -> o.fault != Fault.NONE).toList());
    row(
        page,
        "good taps beside hum",
        all.stream().filter(o -> o.fault == Fault.NONE && o.hum).toList());
    row(
        page,
        "faults beside hum",
        all.stream().filter(o -> o.fault != Fault.NONE && o.hum).toList());
    page.append("\nVerdicts in the end:\n\n| what | verdicts |\n|---|---|\n");
    for (Fault fault : Fault.values()) {
      Map<String, Integer> words = new TreeMap<>();
      for (Outcome o : all) {
        if (o.fault == fault) {
          words.merge(o.last == null ? "not noticed" : o.last.word(), 1, Integer::sum);
        }
      }
      List<String> counts = new ArrayList<>();
      words.forEach((word, n) -> counts.add(word + " " + n));
      page.append("| ").append(fault.words).append(" | ");
      page.append(String.join(", ", counts)).append(" |\n");
    }
  }

  private static void row(StringBuilder page, String words, List<Outcome> some) {
    long first = some.stream().filter(o -> o.isRight(o.atOnce)).count();
    long last = some.stream().filter(o -> o.isRight(o.last)).count();
    page.append(
        String.format(
            Locale.ROOT,
            "| %s | %d | %.2f %% | %.2f %% |%n",
            words,
            some.size(),
            100.0 * first / some.size(),
            100.0 * last / some.size()));
  }

  /** How many verdicts of each kind a list of outcomes has; for the test. */
  static Map<Fault, Double> rightInTheEnd(List<Outcome> all) {
    Map<Fault, Double> right = new EnumMap<>(Fault.class);
    for (Fault fault : Fault.values()) {
      List<Outcome> some = all.stream().filter(o -> o.fault == fault).toList();
      right.put(fault, (double) some.stream().filter(o -> o.isRight(o.last)).count() / some.size());
    }
    return right;
  }

  /**
   * Writes the page.
   *
   * @param arguments number of the first fresh series, 100000 if left out, and the file, {@code
   *     src/site/tap-quality.md} if left out; every wrong verdict is named on the way
   */
  public static void main(String[] arguments) throws IOException {
    int first = arguments.length > 0 ? Integer.parseInt(arguments[0]) : 100_000;
    Path file = Path.of(arguments.length > 1 ? arguments[1] : "src/site/tap-quality.md");
    List<Outcome> tuned = series(0, SERIES);
    List<Outcome> fresh = series(first, first + SERIES);
    for (List<Outcome> some : List.of(tuned, fresh)) {
      some.stream().filter(o -> !o.isRight(o.last)).forEach(o -> System.out.println(o));
    }
    Files.write(file, page(tuned, first, fresh).getBytes(StandardCharsets.UTF_8));
  }
}

package ringtrue.signal;

import java.io.IOException;
import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.stream.IntStream;
import org.jtransforms.fft.DoubleFFT_1D;
import ringtrue.acquisition.Channel;
import ringtrue.acquisition.Recording;
import ringtrue.acquisition.ResponseQuantity;
import ringtrue.acquisition.TapFinder;
import ringtrue.acquisition.TapFinder.Direction;
import ringtrue.acquisition.TapFinder.Level;
import ringtrue.acquisition.TapRecording;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.Progress;
import ringtrue.signal.Tap.Verdict;
import ringtrue.units.BadInputException;

/**
 * From recorded taps to an averaged receptance with coherence and error.
 *
 * <p>The recordings are read as streams, three times at most and one block at a time, so that their
 * length does not matter. Estimators, coherence and random error after Bendat and Piersol, Random
 * Data; exponential window on both channels after Fladung (University of Cincinnati, IMAC).
 */
public final class ResponseEstimator {

  /** How far the force spectrum may drop in the usable band unless said otherwise, dB. */
  public static final double USUAL_FORCE_DROP_DB = 20;

  /** Coherence in the usable band unless said otherwise. */
  public static final double USUAL_MIN_COHERENCE = 0.8;

  /** A full-scale number less one step of 16 bits counts as clipped. */
  private static final double ALMOST_FULL = 1 - 1 / 32768.0;

  private static final double WEAK_PART = 0.125;
  private static final double WEAK_NOISE = 10;
  private static final long SAMPLES_AT_ONCE = 1 << 21;

  private final TapRecording recording;
  private final Processing wanted;
  private final Progress progress;
  private final Channel force;
  private final Channel response;
  private final List<String> remarks = new ArrayList<>();

  private ResponseEstimator(TapRecording recording, Processing wanted, Progress progress) {
    this.recording = recording;
    this.wanted = wanted;
    this.progress = progress;
    this.force =
        recording
            .force()
            .orElseThrow(
                () ->
                    new BadInputException(
                        recording.recordings().get(0).name()
                            + ": no force channel: without the force only frequency and damping can"
                            + " be had, from the free decay; a frequency response needs \"force\" in"
                            + " the measurement"));
    this.response = recording.response();
  }

  /**
   * Finds the taps, judges each, and averages those that are kept.
   *
   * @param recording recordings and the meaning of their channels
   * @param wanted what the user wants; the rest is chosen from the data and said in the remarks
   * @param progress told where the work is; may cancel it
   * @return receptance at the lines fs/N to fs/2, its quality, and the verdict on every tap
   * @throws BadInputException if the recordings cannot be read or give no response: no force
   *     channel, different sample rates, a silent channel, nothing that looks like a tap, no tap
   *     that can be kept
   */
  public static AveragedResponse estimate(
      TapRecording recording, Processing wanted, Progress progress) {
    try {
      return new ResponseEstimator(recording, wanted, progress).run();
    } catch (IOException e) {
      throw new BadInputException(
          recording.recordings().get(0).name() + ": cannot be read: " + e.getMessage(), e);
    }
  }

  private AveragedResponse run() throws IOException {
    check();
    TapFinder.Survey survey =
        TapFinder.survey(recording.recordings(), List.of(force, response), part(0, 0.25));
    Level forceLevel = survey.levels().get(0);
    Level responseLevel = survey.levels().get(1);
    checkLevels(survey, forceLevel, responseLevel);
    Planner.Plan plan =
        new Planner(recording, wanted, forceLevel, responseLevel, remarks, part(0.25, 0.45)).plan();
    checkNumbers(plan.blocks().size());

    Pass pass = new Pass(plan, forceLevel, responseLevel);
    List<Judged> judged = pass.judge();
    markPoorMatches(judged);
    List<Judged> kept = judged.stream().filter(j -> j.verdict == Verdict.KEPT).toList();
    if (kept.isEmpty()) {
      throw noneKept(judged);
    }
    Averages averages = pass.averages;
    if (averages.taps() != kept.size()) {
      averages = pass.sumAgain(judged);
    }
    return result(plan, pass, averages, judged, kept);
  }

  private Progress part(double from, double to) {
    return (done, what) -> progress.at(from + done * (to - from), what);
  }

  // ---- checks

  private void check() {
    Recording first = recording.recordings().get(0);
    for (Recording other : recording.recordings()) {
      if (other.sampleRateHz() != first.sampleRateHz()) {
        throw new BadInputException(
            String.format(
                Locale.ROOT,
                "%s: sample rate %s Hz differs from the %s Hz of %s; all recordings of a"
                    + " measurement need the same",
                other.name(),
                plain(other.sampleRateHz()),
                plain(first.sampleRateHz()),
                first.name()));
      }
    }
    if (force.number() == response.number()) {
      throw new BadInputException(
          "force and response are both channel " + force.number() + "; they must be different");
    }
    if (recording.quantity() == ResponseQuantity.SOUND) {
      throw new BadInputException(
          "response: sound tells frequency and damping but not displacement per force; a frequency"
              + " response needs acceleration, velocity or displacement");
    }
    wanted
        .triggerFraction()
        .filter(f -> !(f > 0 && f < 1))
        .ifPresent(
            f -> {
              throw new BadInputException(
                  "triggerLevel: must lie between 0 and 100 %, was " + 100 * f + " %");
            });
    wanted
        .minCoherence()
        .filter(c -> !(c >= 0 && c < 1))
        .ifPresent(
            c -> {
              throw new BadInputException("minCoherence: must lie between 0 and 1, was " + c);
            });
    wanted
        .forceDropDb()
        .filter(d -> !(d > 0))
        .ifPresent(
            d -> {
              throw new BadInputException("forceDrop: must be a positive number of dB, was " + d);
            });
  }

  private void checkLevels(TapFinder.Survey survey, Level forceLevel, Level responseLevel) {
    String name =
        recording.recordings().get(0).name() + (recording.recordings().size() > 1 ? " …" : "");
    if (forceLevel.silent()) {
      throw new BadInputException(
          name + ": the force channel " + force.number() + " is silent; check cable and channel");
    }
    if (responseLevel.silent()) {
      throw new BadInputException(
          name
              + ": the response channel "
              + response.number()
              + " is silent; check cable and channel");
    }
    if (survey.sameNumbers()) {
      throw new BadInputException(
          name
              + ": channels "
              + force.number()
              + " and "
              + response.number()
              + " hold the same numbers throughout, as when a sound driver mixes its inputs to one;"
              + " switch that off and record again");
    }
    if (forceLevel.direction() == Direction.DOWN) {
      remarks.add(
          "the blows go down in the force channel although a hammer can only push: its polarity"
              + " seems to be the wrong way round (set polarity of the force)");
    }
    for (Channel channel : List.of(force, response)) {
      if (channel.highPassHz() > 0) {
        remarks.add(
            String.format(
                Locale.ROOT,
                "the input's high-pass of %.4g Hz was undone in the %s",
                channel.highPassHz(),
                channel == force ? "force" : "response"));
      }
    }
  }

  private void checkNumbers(int taps) {
    for (int number : wanted.rejected()) {
      if (number < 1 || number > taps) {
        throw new BadInputException(
            "rejected: there is no tap " + number + "; the taps are numbered 1 to " + taps);
      }
    }
    for (int number : wanted.kept()) {
      if (number < 1 || number > taps) {
        throw new BadInputException(
            "kept: there is no tap " + number + "; the taps are numbered 1 to " + taps);
      }
    }
  }

  private BadInputException noneKept(List<Judged> judged) {
    StringBuilder why = new StringBuilder("no tap can be kept: ");
    int shown = Math.min(judged.size(), 12);
    for (int i = 0; i < shown; i++) {
      Judged j = judged.get(i);
      why.append(i == 0 ? "" : "; ")
          .append("tap ")
          .append(i + 1)
          .append(' ')
          .append(j.verdict.word())
          .append(" (")
          .append(j.reason)
          .append(')');
    }
    if (shown < judged.size()) {
      why.append("; and ").append(judged.size() - shown).append(" more");
    }
    return new BadInputException(recording.recordings().get(0).name() + ": " + why);
  }

  // ---- taps

  /** A tap while it is being judged. */
  private static final class Judged {
    Planner.Block block;
    Pulse pulse;
    double contactS;
    double usableToHz;
    Verdict verdict;
    String reason;

    /** Response per force in groups of lines: real and imaginary part; null if not transformed. */
    double[] signature;

    /** Force energy in the same groups. */
    double[] forceEnergy;
  }

  /** One walk over the blocks. */
  private final class Pass {
    private final Planner.Plan plan;
    private final BlockShape shape;
    private final Level forceLevel;
    private final Level responseLevel;
    private final double sign;
    private final Averages averages;
    private final List<BlockTransform> workers = new ArrayList<>();
    private final double typicalPeak;
    private final double forceWindowEnergy;
    private final double responseWindowEnergy;

    Pass(Planner.Plan plan, Level forceLevel, Level responseLevel) {
      this.plan = plan;
      this.shape = plan.shape();
      this.forceLevel = forceLevel;
      this.responseLevel = responseLevel;
      this.sign = forceLevel.direction() == Direction.DOWN ? -1 : 1;
      this.averages = new Averages(shape.lines());
      double[] peaks =
          plan.blocks().stream()
              .mapToDouble(Planner.Block::peakN)
              .filter(p -> !Double.isNaN(p))
              .sorted()
              .toArray();
      this.typicalPeak = peaks.length == 0 ? Double.NaN : peaks[peaks.length / 2];
      double[] exponential = Double.isInfinite(shape.timeConstantS()) ? null : shape.exponential();
      double[] forceWindow = shape.force();
      if (exponential != null) {
        for (int i = 0; i < forceWindow.length; i++) {
          forceWindow[i] *= exponential[i];
        }
      }
      this.forceWindowEnergy = energy(forceWindow);
      this.responseWindowEnergy = exponential == null ? shape.samples() : energy(exponential);
      int threads =
          (int)
              Math.max(
                  1,
                  Math.min(
                      Math.min(Runtime.getRuntime().availableProcessors(), 8),
                      Math.min(plan.blocks().size(), SAMPLES_AT_ONCE / shape.samples())));
      DoubleFFT_1D fft = new DoubleFFT_1D(shape.samples());
      for (int i = 0; i < threads; i++) {
        workers.add(new BlockTransform(shape, force, response, forceWindow, exponential, fft));
      }
    }

    List<Judged> judge() throws IOException {
      List<Judged> all = new ArrayList<>();
      for (Planner.Block block : plan.blocks()) {
        Judged judged = new Judged();
        judged.block = block;
        all.add(judged);
      }
      walk(
          all,
          0.45,
          0.95,
          (number, judged, worker, there) -> {
            look(number, judged, worker, there);
            worker.transform();
            after(judged, worker);
          },
          averages);
      return all;
    }

    /** Sums anew over the taps that are kept by now. */
    Averages sumAgain(List<Judged> judged) throws IOException {
      Averages again = new Averages(shape.lines());
      List<Judged> kept = judged.stream().filter(j -> j.verdict == Verdict.KEPT).toList();
      walk(
          kept,
          0.95,
          1,
          (number, one, worker, there) -> {
            convert(one, worker);
            worker.transform();
          },
          again);
      return again;
    }

    private void walk(List<Judged> all, double from, double to, Work work, Averages sums)
        throws IOException {
      int[] there = new int[workers.size()];
      try (BlockReader reader = new BlockReader(recording.recordings(), force, response)) {
        for (int first = 0; first < all.size(); first += workers.size()) {
          int batch = Math.min(workers.size(), all.size() - first);
          for (int i = 0; i < batch; i++) {
            Planner.Block block = all.get(first + i).block;
            BlockTransform worker = workers.get(i);
            there[i] =
                reader.read(
                    block.recording(),
                    block.start(),
                    shape.samples(),
                    worker.force,
                    worker.response);
          }
          int start = first;
          IntStream range = IntStream.range(0, batch);
          (batch > 1 ? range.parallel() : range)
              .forEach(i -> work.on(start + i + 1, all.get(start + i), workers.get(i), there[i]));
          List<double[]> f = new ArrayList<>();
          List<double[]> x = new ArrayList<>();
          for (int i = 0; i < batch; i++) {
            if (all.get(first + i).verdict == Verdict.KEPT) {
              f.add(workers.get(i).force);
              x.add(workers.get(i).response);
            }
          }
          sums.add(f, x);
          progress.at(
              from + (to - from) * (first + batch) / all.size(),
              "transforming tap " + (first + batch) + " of " + all.size());
        }
      }
    }

    private void convert(Judged judged, BlockTransform worker) {
      int index = judged.block.recording();
      Recording of = recording.recordings().get(index);
      worker.convert(
          HighPassInverse.rest(force, forceLevel, of, index),
          HighPassInverse.rest(response, responseLevel, of, index));
    }

    /** Everything that is judged before the transform. */
    private void look(int number, Judged judged, BlockTransform worker, int there) {
      int n = shape.samples();
      String overload =
          Optional.ofNullable(overload("force", worker.force, force, forceLevel, "N"))
              .orElseGet(
                  () ->
                      overload(
                          "response",
                          worker.response,
                          response,
                          responseLevel,
                          recording.quantity().siUnit()));
      convert(judged, worker);
      judged.pulse = Pulse.of(worker.force, n, sign, forceLevel.noise());
      judged.contactS = judged.pulse.contactSamples() / shape.sampleRateHz();
      judge(number, judged, overload, there);
    }

    private void judge(int number, Judged judged, String overload, int there) {
      Pulse pulse = judged.pulse;
      double typical = typicalPeak;
      double weak = Math.max(WEAK_NOISE * forceLevel.noise(), 0);
      if (wanted.rejected().contains(number)) {
        judged.verdict = Verdict.REJECTED_BY_USER;
        judged.reason = "left out as asked";
      } else if (overload != null) {
        judged.verdict = Verdict.OVERLOAD;
        judged.reason = overload;
      } else if (pulse.isDouble()) {
        judged.verdict = Verdict.DOUBLE_HIT;
        double after = (pulse.secondAt() - pulse.peakAt()) / shape.sampleRateHz();
        judged.reason =
            text(
                "the force rises again to %.3g N, %.2g %% of the first peak, %.3g ms %s%s",
                pulse.secondPeak(),
                100 * pulse.secondPeak() / pulse.peak(),
                1e3 * Math.abs(after),
                after < 0 ? "before it" : "after it",
                after > 0.25 ? ": if that is the next tap, take a shorter block" : "");
      } else if (pulse.largest() < weak) {
        judged.verdict = Verdict.TOO_WEAK;
        judged.reason =
            text(
                "its peak of %.3g N is less than %.0f times the noise of %.2g N",
                pulse.largest(), WEAK_NOISE, forceLevel.noise());
      } else if (pulse.largest() < WEAK_PART * typical) {
        judged.verdict = Verdict.TOO_WEAK;
        judged.reason =
            text(
                "its peak of %.3g N is only %.2g %% of the usual %.3g N",
                pulse.largest(), 100 * pulse.largest() / typical, typical);
      } else {
        judged.verdict = Verdict.KEPT;
        judged.reason =
            Double.isNaN(judged.contactS)
                ? text("one blow of %.3g N", pulse.largest())
                : text(
                    "one blow of %.3g N, contact %.3g ms", pulse.largest(), 1e3 * judged.contactS);
      }
      boolean asked = wanted.kept().contains(number) && judged.verdict != Verdict.REJECTED_BY_USER;
      if (asked && judged.verdict != Verdict.KEPT) {
        judged.reason = "kept as asked, although: " + judged.reason;
        judged.verdict = Verdict.KEPT;
      }
      if (judged.verdict == Verdict.KEPT && there < shape.samples()) {
        judged.verdict = Verdict.CUT_OFF;
        double before = Math.max(0, -judged.block.start()) / shape.sampleRateHz();
        double after = (shape.samples() - there) / shape.sampleRateHz() - before;
        judged.reason =
            before > 0
                ? text(
                    "its block would begin %.3g ms before the recording does; shorten preTrigger",
                    1e3 * before)
                : text(
                    "the recording ends %.3g ms before its block of %.3g s does",
                    1e3 * after, shape.samples() / shape.sampleRateHz());
      }
    }

    private void after(Judged judged, BlockTransform worker) {
      int lines = shape.lines();
      double df = shape.resolutionHz();
      double[] f = worker.force;
      if (Double.isNaN(judged.contactS)) {
        judged.usableToHz = Double.NaN;
      } else {
        double drop = wanted.forceDropDb().orElse(USUAL_FORCE_DROP_DB);
        UsableBand.Power power = i -> f[2 * i + 2] * f[2 * i + 2] + f[2 * i + 3] * f[2 * i + 3];
        double level = UsableBand.lowLevel(power, lines, df, judged.contactS);
        judged.usableToHz =
            df
                * UsableBand.forceEnd(
                    power, lines, df, judged.contactS, level * Math.pow(10, -drop / 10));
      }
      if (judged.verdict != Verdict.KEPT) {
        return;
      }
      double contact = Double.isNaN(plan.contactS()) ? judged.contactS : plan.contactS();
      double top = Double.isNaN(contact) ? 0.4 * shape.sampleRateHz() : 1.2 / contact;
      int end = (int) Math.max(1, Math.min(lines, top / df));
      int groups = Math.min(end, 400);
      double[] signature = new double[2 * groups];
      double[] energy = new double[groups];
      double[] x = worker.response;
      for (int g = 0; g < groups; g++) {
        double re = 0;
        double im = 0;
        double sum = 0;
        int to = (int) ((long) (g + 1) * end / groups);
        for (int i = (int) ((long) g * end / groups); i < to; i++) {
          double fr = f[2 * i + 2];
          double fi = f[2 * i + 3];
          double xr = x[2 * i + 2];
          double xi = x[2 * i + 3];
          re += fr * xr + fi * xi;
          im += fr * xi - fi * xr;
          sum += fr * fr + fi * fi;
        }
        signature[2 * g] = sum > 0 ? re / sum : 0;
        signature[2 * g + 1] = sum > 0 ? im / sum : 0;
        energy[g] = sum;
      }
      judged.signature = signature;
      judged.forceEnergy = energy;
    }

    /** Why a block is overloaded; null if it is not. */
    private String overload(
        String what, double[] numbers, Channel channel, Level level, String unit) {
      int n = shape.samples();
      double largest = Double.NEGATIVE_INFINITY;
      double smallest = Double.POSITIVE_INFINITY;
      int atLargest = 0;
      int atSmallest = 0;
      for (int i = 0; i < n; i++) {
        double v = numbers[i];
        if (v >= largest) {
          atLargest = v > largest ? 1 : atLargest + 1;
          largest = v;
        }
        if (v <= smallest) {
          atSmallest = v < smallest ? 1 : atSmallest + 1;
          smallest = v;
        }
      }
      double limit = channel.clipsAtNumber() * ALMOST_FULL;
      if (largest >= limit || smallest <= -limit) {
        int count = 0;
        for (int i = 0; i < n; i++) {
          count += Math.abs(numbers[i]) >= limit ? 1 : 0;
        }
        return text(
            "the %s reaches the input's full scale of %.4g %s in %d %s",
            what,
            channel.clipsAtNumber() * channel.unitsPerNumber(),
            unit,
            count,
            count == 1 ? "sample" : "samples");
      }
      double span = level.largestNumber() - level.smallestNumber();
      int flat = 0;
      if (atLargest >= 3 && largest >= level.largestNumber() - 0.01 * span) {
        flat = flatTop(numbers, n, largest);
      }
      double at = largest;
      if (flat < 3 && atSmallest >= 3 && smallest <= level.smallestNumber() + 0.01 * span) {
        flat = flatTop(numbers, n, smallest);
        at = smallest;
      }
      return flat < 3
          ? null
          : text(
              "the %s stays at exactly %.4g %s for %d samples, as a clipped signal does",
              what, at * channel.scale(), unit, flat);
    }

    /**
     * Longest run of samples that equal an extreme value and are entered or left with a jump. The
     * crest of a slow wave in coarse steps may be level too, but is entered by single steps.
     */
    private int flatTop(double[] numbers, int n, double extreme) {
      double step = Double.POSITIVE_INFINITY;
      for (int i = 1; i < n; i++) {
        double change = Math.abs(numbers[i] - numbers[i - 1]);
        if (change > 0 && change < step) {
          step = change;
        }
      }
      int best = 0;
      for (int i = 0; i < n; i++) {
        if (numbers[i] != extreme) {
          continue;
        }
        int from = i;
        while (i + 1 < n && numbers[i + 1] == extreme) {
          i++;
        }
        double in = from > 0 ? Math.abs(numbers[from - 1] - extreme) : 0;
        double out = i + 1 < n ? Math.abs(numbers[i + 1] - extreme) : 0;
        if (Math.max(in, out) >= 4 * step) {
          best = Math.max(best, i - from + 1);
        }
      }
      return best;
    }
  }

  @FunctionalInterface
  private interface Work {
    void on(int number, Judged judged, BlockTransform worker, int there);
  }

  // ---- taps that do not go with the others

  private static final double POOR_SHAPE = 0.05;
  private static final double POOR_GAIN = 0.3;
  private static final double FAR = 6;

  /**
   * Compares each kept tap with the median of all. The shape counts by the amplitude assurance
   * {@code |Σ w H* M|²/(Σ w |H|² Σ w |M|²)}, which a plain difference in gain leaves at 1, and the
   * gain by itself; both have to stand out from the scatter of the others.
   */
  private void markPoorMatches(List<Judged> all) {
    List<Judged> kept =
        all.stream().filter(j -> j.verdict == Verdict.KEPT && j.signature != null).toList();
    int n = kept.size();
    if (n < 3) {
      return;
    }
    int groups = kept.get(0).forceEnergy.length;
    double[] middle = new double[2 * groups];
    double[] weight = new double[groups];
    double[] column = new double[n];
    for (int v = 0; v < 2 * groups; v++) {
      for (int t = 0; t < n; t++) {
        column[t] = kept.get(t).signature[v];
      }
      middle[v] = median(column);
    }
    for (int g = 0; g < groups; g++) {
      for (int t = 0; t < n; t++) {
        column[t] = kept.get(t).forceEnergy[g];
      }
      weight[g] = median(column);
    }
    double[] misfit = new double[n];
    double[] gain = new double[n];
    for (int t = 0; t < n; t++) {
      double[] h = kept.get(t).signature;
      double hh = 0;
      double mm = 0;
      double re = 0;
      double im = 0;
      for (int g = 0; g < groups; g++) {
        double hr = h[2 * g];
        double hi = h[2 * g + 1];
        double mr = middle[2 * g];
        double mi = middle[2 * g + 1];
        hh += weight[g] * (hr * hr + hi * hi);
        mm += weight[g] * (mr * mr + mi * mi);
        re += weight[g] * (hr * mr + hi * mi);
        im += weight[g] * (hi * mr - hr * mi);
      }
      if (!(hh > 0 && mm > 0)) {
        return;
      }
      misfit[t] = Math.max(0, 1 - (re * re + im * im) / (hh * mm));
      gain[t] = Math.copySign(Math.hypot(re, im), re) / mm;
    }
    double usualMisfit = median(misfit);
    double usualGain = median(gain);
    double[] spread = Arrays.stream(gain).map(g -> Math.abs(g - usualGain)).toArray();
    double usualSpread = 1.4826 * median(spread);
    for (int t = 0; t < n; t++) {
      Judged judged = kept.get(t);
      boolean shape = misfit[t] > Math.max(POOR_SHAPE, FAR * usualMisfit);
      boolean size = spread[t] > Math.max(POOR_GAIN * Math.abs(usualGain), FAR * usualSpread);
      if (!shape && !size) {
        continue;
      }
      String reason =
          shape
              ? text(
                  "its response differs in shape from the others: amplitude assurance %.3f, the"
                      + " others %.3f; tapped elsewhere or at another angle?",
                  1 - misfit[t], 1 - usualMisfit)
              : text(
                  "its response is %.0f %% of the others', which agree within %.2g %%; tapped at"
                      + " another angle?",
                  100 * gain[t] / usualGain, 100 * usualSpread / Math.abs(usualGain));
      if (wanted.kept().contains(all.indexOf(judged) + 1)) {
        judged.reason = "kept as asked, although: " + reason;
      } else {
        judged.verdict = Verdict.POOR_MATCH;
        judged.reason = reason;
      }
    }
  }

  // ---- the result

  private AveragedResponse result(
      Planner.Plan plan, Pass pass, Averages averages, List<Judged> judged, List<Judged> kept) {
    BlockShape shape = plan.shape();
    int lines = shape.lines();
    int n = kept.size();
    double df = shape.resolutionHz();
    double decay = Double.isInfinite(shape.timeConstantS()) ? 0 : 1 / shape.timeConstantS();
    double[] frequency = new double[lines];
    double[] real = new double[lines];
    double[] imag = new double[lines];
    double[] coherence = new double[lines];
    double[] error = new double[lines];
    double[] h = new double[2];
    int derivatives = recording.quantity().derivatives();
    double skew = recording.skewS();
    for (int i = 0; i < lines; i++) {
      double hz = (i + 1) * shape.sampleRateHz() / shape.samples();
      double omega = 2 * Math.PI * hz;
      frequency[i] = hz;
      averages.ratio(plan.estimator(), i, h);
      if (skew != 0) {
        // The sample taken at n/fs + skew stands at n/fs: X(s) = X_recorded(s) exp(−s skew).
        double size = Math.exp(-decay * skew);
        multiply(h, size * Math.cos(omega * skew), -size * Math.sin(omega * skew));
      }
      for (int d = 0; d < derivatives; d++) {
        double scale = 1 / (decay * decay + omega * omega);
        multiply(h, decay * scale, -omega * scale);
      }
      real[i] = h[0];
      imag[i] = h[1];
      coherence[i] = Double.NaN;
      error[i] = Double.NaN;
      if (n > 1) {
        double g2 = averages.coherence(i);
        coherence[i] = g2;
        if (g2 > 0) {
          error[i] = Math.sqrt((1 - g2) / (2.0 * n * g2));
        }
      }
    }
    double contact = median(kept.stream().mapToDouble(j -> j.contactS).toArray());
    UsableBand band = band(pass, averages, contact);
    remarks.add(band.remark());
    if (n == 1) {
      remarks.add("one tap only: coherence and random error are unknown");
    }
    checkPower(averages, band, frequency, real, imag);
    if (recording.sensorMassKg() > 0) {
      takeSensorOff(band, decay, frequency, real, imag);
    }
    List<Tap> taps = new ArrayList<>();
    for (int i = 0; i < judged.size(); i++) {
      Judged j = judged.get(i);
      taps.add(
          new Tap(
              i + 1,
              recording.recordings().get(j.block.recording()).name(),
              j.block.trigger() / shape.sampleRateHz(),
              j.pulse.largest(),
              j.contactS,
              j.usableToHz,
              j.verdict,
              j.reason));
    }
    FrequencyResponse response =
        new FrequencyResponse(
            frequency,
            real,
            imag,
            coherence,
            error,
            new FrequencyResponse.Origin(
                recording.axis(),
                recording.point(),
                n,
                shape.timeConstantS(),
                band.lowHz(),
                band.highHz(),
                recording.name(),
                remarks));
    progress.at(1, "done");
    return new AveragedResponse(
        response,
        taps,
        new AveragedResponse.Used(
            shape.samples() / shape.sampleRateHz(),
            shape.preTrigger() / shape.sampleRateHz(),
            plan.triggerFraction(),
            shape.forceWindow(),
            shape.timeConstantS(),
            plan.estimator()));
  }

  private UsableBand band(Pass pass, Averages averages, double contact) {
    return UsableBand.of(
        averages,
        pass.shape,
        contact,
        pass.forceLevel.noise() * pass.forceLevel.noise() * pass.forceWindowEnergy,
        pass.responseLevel.noise() * pass.responseLevel.noise() * pass.responseWindowEnergy,
        wanted.minCoherence().orElse(USUAL_MIN_COHERENCE),
        wanted.forceDropDb().orElse(USUAL_FORCE_DROP_DB));
  }

  /**
   * At the driving point a blow can only put power into the structure, so that the imaginary part
   * of the receptance is negative. Where it is positive throughout, a sensor is turned round.
   */
  private void checkPower(
      Averages averages, UsableBand band, double[] frequency, double[] real, double[] imag) {
    double power = 0;
    double most = 0;
    for (int i = 0; i < frequency.length; i++) {
      if (frequency[i] >= band.lowHz() && frequency[i] <= band.highHz()) {
        power -= averages.sff[i] * frequency[i] * imag[i];
        most += averages.sff[i] * frequency[i] * size(real[i], imag[i]);
      }
    }
    if (power < -0.15 * most) {
      double phase = lowPhase(band, frequency, real, imag);
      remarks.add(
          text(
              "the response moves against the blow (phase at the lower end of the band %.0f°, and"
                  + " the imaginary part is positive at the peaks): at the driving point that cannot"
                  + " be, so the polarity of force or response is the wrong way round",
              phase));
    }
  }

  private static double lowPhase(
      UsableBand band, double[] frequency, double[] real, double[] imag) {
    for (int i = 0; i < frequency.length; i++) {
      if (frequency[i] >= band.lowHz()) {
        return Math.toDegrees(Math.atan2(imag[i], real[i]));
      }
    }
    return Double.NaN;
  }

  /** A = Am/(1 − m Am) with accelerance A = s² G, hence G = Gm/(1 − m s² Gm). */
  private void takeSensorOff(
      UsableBand band, double decay, double[] frequency, double[] real, double[] imag) {
    double mass = recording.sensorMassKg();
    double before = peakHz(band, frequency, real, imag);
    for (int i = 0; i < frequency.length; i++) {
      double omega = 2 * Math.PI * frequency[i];
      double[] a = {real[i], imag[i]};
      multiply(a, decay * decay - omega * omega, 2 * decay * omega);
      double re = 1 - mass * a[0];
      double im = -mass * a[1];
      double scale = 1 / (re * re + im * im);
      double[] g = {real[i], imag[i]};
      multiply(g, re * scale, -im * scale);
      real[i] = g[0];
      imag[i] = g[1];
    }
    double after = peakHz(band, frequency, real, imag);
    remarks.add(
        text(
            "the sensor's mass of %.3g g was taken off, as is right at the driving point (at another"
                + " point it is approximate): the highest peak moves from %.5g to %.5g Hz (%+.2g %%)",
            1e3 * mass, before, after, 100 * (after / before - 1)));
  }

  /** Frequency of the largest mobility in the band, between the lines. */
  private static double peakHz(UsableBand band, double[] frequency, double[] real, double[] imag) {
    int best = -1;
    double most = -1;
    for (int i = 1; i + 1 < frequency.length; i++) {
      double m = frequency[i] * size(real[i], imag[i]);
      if (frequency[i] >= band.lowHz() && frequency[i] <= band.highHz() && m > most) {
        most = m;
        best = i;
      }
    }
    if (best < 0) {
      return band.lowHz();
    }
    double a = frequency[best - 1] * size(real[best - 1], imag[best - 1]);
    double c = frequency[best + 1] * size(real[best + 1], imag[best + 1]);
    double bend = a - 2 * most + c;
    double shift = bend < 0 ? Math.max(-0.5, Math.min(0.5, 0.5 * (a - c) / bend)) : 0;
    return frequency[best] + shift * (frequency[1] - frequency[0]);
  }

  private static String plain(double value) {
    return BigDecimal.valueOf(value).stripTrailingZeros().toPlainString();
  }

  private static double energy(double[] window) {
    double sum = 0;
    for (double w : window) {
      sum += w * w;
    }
    return sum;
  }

  private static double size(double re, double im) {
    return Math.sqrt(re * re + im * im);
  }

  private static void multiply(double[] z, double re, double im) {
    double r = z[0] * re - z[1] * im;
    z[1] = z[0] * im + z[1] * re;
    z[0] = r;
  }

  /** Median of the numbers among the values; NaN if there are none. */
  private static double median(double[] values) {
    double[] sorted = Arrays.stream(values).filter(v -> !Double.isNaN(v)).sorted().toArray();
    int n = sorted.length;
    if (n == 0) {
      return Double.NaN;
    }
    return n % 2 == 1 ? sorted[n / 2] : (sorted[n / 2 - 1] + sorted[n / 2]) / 2;
  }

  private static String text(String format, Object... values) {
    return String.format(Locale.ROOT, format, values);
  }
}

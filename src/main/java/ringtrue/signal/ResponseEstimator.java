package ringtrue.signal;

import java.io.IOException;
import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import ringtrue.acquisition.Channel;
import ringtrue.acquisition.Recording;
import ringtrue.acquisition.ResponseQuantity;
import ringtrue.acquisition.TapFinder;
import ringtrue.acquisition.TapFinder.Direction;
import ringtrue.acquisition.TapFinder.Level;
import ringtrue.acquisition.TapRecording;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.Progress;
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

  private static final double NO_MEASURED_VALUE = 1e15;

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
                            + ": no force channel, so there is no frequency response; only frequency"
                            + " and damping can be had, from the free decays: use modes"));
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
    return estimateTaps(recording, wanted, progress).averaged();
  }

  /**
   * The same, with a way back to the single taps.
   *
   * @see #estimate
   */
  public static AveragedTaps estimateTaps(
      TapRecording recording, Processing wanted, Progress progress) {
    try {
      return new ResponseEstimator(recording, wanted, progress).run();
    } catch (IOException e) {
      throw new BadInputException(
          recording.recordings().get(0).name() + ": cannot be read: " + e.getMessage(), e);
    }
  }

  private AveragedTaps run() throws IOException {
    check();
    TapFinder.Survey survey =
        TapFinder.survey(recording.recordings(), List.of(force, response), part(0, 0.25));
    recording.recordings().forEach(r -> remarks.addAll(r.remarks()));
    Level forceLevel = survey.levels().get(0);
    Level responseLevel = survey.levels().get(1);
    checkLevels(survey, forceLevel, responseLevel);
    Planner.Plan plan =
        new Planner(recording, wanted, forceLevel, responseLevel, remarks, part(0.25, 0.45)).plan();
    checkNumbers(plan.blocks().size());

    TapWalk walk =
        new TapWalk(recording, wanted, plan, forceLevel, responseLevel, part(0.45, 0.98));
    List<JudgedTap> judged = walk.judge();
    WeakBlow.keepIfUsual(judged, plan.shape());
    PoorMatch.mark(judged, wanted.kept());
    List<JudgedTap> kept = judged.stream().filter(j -> j.isKept()).toList();
    if (kept.isEmpty()) {
      throw noneKept(judged);
    }
    Averages averages = walk.averages();
    if (averages.taps() != kept.size()) {
      averages = walk.sumAgain(judged);
    }
    SharedError shared = SharedError.of(kept, walk.groupHz());
    AveragedResponse averaged = result(plan, walk, averages, judged, kept, shared);
    return new AveragedTaps(averaged, recording, plan, walk, kept);
  }

  /**
   * What taps that are still coming add up to so far.
   *
   * @param recording what was measured; of its recordings only the names count
   * @param wanted what the user wants
   * @param plan how the blocks were processed
   * @param levels what force and response hold
   * @param averages sums over the taps that are kept, one at least
   * @param judged all taps
   * @param remarks what was said of the plan
   */
  static AveragedResponse soFar(
      TapRecording recording,
      Processing wanted,
      Planner.Plan plan,
      List<Level> levels,
      Averages averages,
      List<JudgedTap> judged,
      List<String> remarks) {
    ResponseEstimator estimator = new ResponseEstimator(recording, wanted, Progress.NONE);
    estimator.remarks.addAll(remarks);
    TapWalk walk =
        new TapWalk(recording, wanted, plan, levels.get(0), levels.get(1), Progress.NONE);
    List<JudgedTap> kept = judged.stream().filter(j -> j.isKept()).toList();
    return estimator.result(
        plan, walk, averages, judged, kept, SharedError.of(kept, walk.groupHz()));
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
    for (Level level : List.of(forceLevel, responseLevel)) {
      if (!(level.peak() < NO_MEASURED_VALUE)) {
        throw new BadInputException(
            name
                + ": the "
                + (level == forceLevel ? "force" : "response")
                + " reaches "
                + level.peak()
                + ", which no sensor measures; check the recording and the scale");
      }
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

  private BadInputException noneKept(List<JudgedTap> judged) {
    StringBuilder why = new StringBuilder("no tap can be kept: ");
    int shown = Math.min(judged.size(), 4);
    for (int i = 0; i < shown; i++) {
      JudgedTap j = judged.get(i);
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
    if (judged.stream().allMatch(j -> j.verdict == Tap.Verdict.DOUBLE_HIT)) {
      why.append(
          "; the hammer bounces at every tap: take a lighter hammer or a softer tip, hold it loosely,"
              + " and flick it back at once");
    }
    return new BadInputException(recording.recordings().get(0).name() + ": " + why);
  }

  // ---- the result

  private AveragedResponse result(
      Planner.Plan plan,
      TapWalk walk,
      Averages averages,
      List<JudgedTap> judged,
      List<JudgedTap> kept,
      SharedError shared) {
    BlockShape shape = plan.shape();
    int n = kept.size();
    Lines all = lines(shape, averages, plan.estimator(), recording.quantity(), recording.skewS());
    double[] frequency = all.frequency;
    double[] real = all.real;
    double[] imag = all.imag;
    double contact = Medians.of(kept.stream().mapToDouble(j -> j.contactS).toArray());
    UsableBand band = band(plan.shape(), walk, averages, contact);
    remarks.add(band.remark());
    if (kept.stream().allMatch(j -> j.pulse.isDouble())) {
      remarks.add(
          "every tap that was kept is a double hit, whose force spectrum has dips: take a lighter"
              + " hammer or a softer tip");
    }
    if (FrameRate.isFilm(recording)) {
      remarks.addAll(FrameRate.limits(recording.sampleRateHz(), true));
    }
    if (n == 1) {
      remarks.add("one tap only: coherence and random error are unknown");
    }
    checkPower(averages, band, frequency, real, imag);
    if (recording.sensorMassKg() > 0) {
      all.takeSensorOff(recording.sensorMassKg(), shape, n, shared);
      remarks.add(
          text(
              "the sensor's mass of %.3g g was taken off, as is right at the driving point (at another"
                  + " point it is approximate)",
              1e3 * recording.sensorMassKg()));
    }
    List<Tap> taps = new ArrayList<>();
    for (int i = 0; i < judged.size(); i++) {
      JudgedTap j = judged.get(i);
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
            all.coherence,
            all.error,
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
            plan.estimator()),
        shared);
  }

  /** Receptance with its coherence and random error, line by line. */
  record Lines(
      double[] frequency, double[] real, double[] imag, double[] coherence, double[] error) {

    /**
     * Takes a sensor's mass off: A = Am/(1 − m Am) with accelerance A = s² G, hence G = Gm/(1 − m
     * s² Gm) and dG/G = dGm/Gm · G/Gm. So the noise's part of the random error changes as the value
     * does. An error that neighbouring lines share does not: it acts as a wrong mass, which moves
     * the modes but keeps their shape.
     *
     * @param mass m, kg
     * @param taps taps averaged
     * @param common error that neighbouring lines share
     */
    void takeSensorOff(double mass, BlockShape shape, int taps, SharedError common) {
      double decay = decay(shape);
      double[] a = new double[2];
      double[] g = new double[2];
      for (int i = 0; i < frequency.length; i++) {
        double omega = 2 * Math.PI * frequency[i];
        a[0] = real[i];
        a[1] = imag[i];
        multiply(a, decay * decay - omega * omega, 2 * decay * omega);
        double re = 1 - mass * a[0];
        double im = -mass * a[1];
        double scale = 1 / (re * re + im * im);
        g[0] = real[i];
        g[1] = imag[i];
        multiply(g, re * scale, -im * scale);
        real[i] = g[0];
        imag[i] = g[1];
        double square = error[i] * error[i];
        double shared =
            Math.min(square, common.variance(frequency[i]) * (taps - 1) / (2.0 * taps * taps));
        error[i] = Math.sqrt((square - shared) * scale + shared);
      }
    }
  }

  /** 1/τ, 1/s: windowed spectra are those at s = 1/τ + iω. */
  private static double decay(BlockShape shape) {
    return Double.isInfinite(shape.timeConstantS()) ? 0 : 1 / shape.timeConstantS();
  }

  static Lines lines(
      BlockShape shape,
      Averages averages,
      Estimator estimator,
      ResponseQuantity quantity,
      double skew) {
    int lines = averages.lines();
    int n = averages.taps();
    double decay = decay(shape);
    double[] frequency = new double[lines];
    double[] real = new double[lines];
    double[] imag = new double[lines];
    double[] coherence = new double[lines];
    double[] error = new double[lines];
    double[] h = new double[2];
    int derivatives = quantity.derivatives();
    for (int i = 0; i < lines; i++) {
      double hz = (averages.first() + i + 1) * shape.sampleRateHz() / shape.samples();
      double omega = 2 * Math.PI * hz;
      frequency[i] = hz;
      averages.ratio(estimator, i, h);
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
    return new Lines(frequency, real, imag, coherence, error);
  }

  private UsableBand band(BlockShape shape, TapWalk walk, Averages averages, double contact) {
    return UsableBand.of(
        averages,
        shape,
        contact,
        walk.forceNoisePower(),
        walk.responseNoisePower(),
        recording.quantity().derivatives(),
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

  private static String plain(double value) {
    return BigDecimal.valueOf(value).stripTrailingZeros().toPlainString();
  }

  private static double size(double re, double im) {
    return Math.sqrt(re * re + im * im);
  }

  private static void multiply(double[] z, double re, double im) {
    double r = z[0] * re - z[1] * im;
    z[1] = z[0] * im + z[1] * re;
    z[0] = r;
  }

  private static String text(String format, Object... values) {
    return String.format(Locale.ROOT, format, values);
  }
}

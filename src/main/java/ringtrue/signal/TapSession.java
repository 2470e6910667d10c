package ringtrue.signal;

import java.io.IOException;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.BitSet;
import java.util.Deque;
import java.util.EnumMap;
import java.util.HashSet;
import java.util.Iterator;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import ringtrue.acquisition.Channel;
import ringtrue.acquisition.LevelMeter;
import ringtrue.acquisition.LiveInput;
import ringtrue.acquisition.TapFinder;
import ringtrue.acquisition.TapFinder.Level;
import ringtrue.acquisition.TapRecording;
import ringtrue.signal.Tap.Verdict;
import ringtrue.units.BadInputException;

/**
 * Taps as they come: listens, triggers, judges each tap when its block is over, and averages those
 * that are kept. Fed with frames by one thread; time is what the frames tell, so that a session can
 * be repeated and run faster than real time. The same classes judge as for recorded taps, and the
 * averages are those that {@link ResponseEstimator} gets from the recording with {@link
 * #processing()}.
 *
 * <p>Every verdict stands on what is known by then. What later taps tell may change it: a tap that
 * turns out to be unlike the others is set aside, and one that was odd beside a bad one comes back.
 */
public final class TapSession {

  /** How long it has to be quiet before the first tap unless said otherwise, s. */
  public static final double QUIET_S = 0.6;

  /** Part of the lines in the band that must have the wanted coherence. */
  public static final double MOST_LINES = 0.9;

  /** After this time of waiting for quiet the quieter moments have to do, s. */
  private static final double LONGEST_LISTEN_S = 15;

  /** Longest time for which the first tap's ringing is listened to, s. */
  private static final double LONGEST_RING_S = 4;

  private static final double LONGEST_BOUNCE_S = 0.3;
  private static final double BLOW_S = 0.02;
  private static final double LEAST_ROOM_S = 0.3;
  private static final double LEAD_S = 0.5;
  private static final double PRE_TRIGGER_S = 0.005;

  /** Without any noise the trigger stands at this part of full scale. */
  private static final double LEAST_LEVEL = 1e-4;

  /** A response that rings has to stay below half the level for this long, s. */
  private static final double RESPONSE_QUIET_S = 0.005;

  /** A longer block is worth judging everything anew if it is so many times longer. */
  private static final double WORTH_GROWING = 1.15;

  /** Blows that must agree on which way they go before the trigger looks that way only. */
  private static final int SURE_VOTES = 2;

  private static final double FADED = 3;
  private static final double MOST_HIDDEN = 4;
  private static final int MOST_LOOKED_AT = 6;
  private static final int FEW_FOR_COHERENCE = 3;

  /** Gives back frames that came before. */
  @FunctionalInterface
  public interface ReadBack {
    /**
     * @param frame first frame, counted from the start
     * @param count how many
     * @param into frames one after the other, as they came
     */
    void read(long frame, int count, double[] into) throws IOException;
  }

  /**
   * When the session is over, and what a tap must do.
   *
   * @param taps taps to keep; 0 for no end
   * @param coherence coherence to reach in {@link TapSession#MOST_LINES} of the lines of the band,
   *     with three taps at least; NaN for none
   * @param bandLowHz lower end of the wanted band, Hz; NaN for none
   * @param bandHighHz upper end, which every blow has to reach, Hz; NaN for none
   * @param triggerLevel trigger level in SI; NaN to choose it from the noise
   * @param patienceS how long to wait for a tap, s; infinite for ever
   */
  public record Goal(
      int taps,
      double coherence,
      double bandLowHz,
      double bandHighHz,
      double triggerLevel,
      double patienceS) {

    /** So many taps, everything else chosen from the data. */
    public static Goal taps(int number) {
      return new Goal(
          number, Double.NaN, Double.NaN, Double.NaN, Double.NaN, Double.POSITIVE_INFINITY);
    }
  }

  /** What the session is doing. */
  public enum State {
    LISTENING,
    READY,
    STRUCK,
    FINISHED
  }

  private final TapRecording about;
  private final Processing wanted;
  private final Processing choices;
  private final Goal goal;
  private final ReadBack back;
  private final Channel force;
  private final Channel response;
  private final boolean alone;
  private final double fs;
  private final int channels;
  private final double lengthGivenS;

  private final QuietWatch quiet;
  private final LevelMeter forceMeter;
  private final LevelMeter responseMeter;
  private final List<ChannelMeter> meters = new ArrayList<>();
  private final FrameTape tape;
  private final double[] f;
  private final double[] x;
  private double[] frames = new double[0];
  private int filled;
  private long now;
  private State state = State.LISTENING;

  private double level;
  private double sign = 1;
  private int votes;
  private boolean armed = true;
  private long loudAt;
  private long holdOffUntil;
  private long lastActivity;
  private Struck struck;

  /** Blows that came while an earlier one's block was running. */
  private final Deque<Long> following = new ArrayDeque<>();

  private Planner.Plan plan;
  private Planner.Plan earlier;
  private Planner.Plan next;
  private List<String> nextRemarks = List.of();
  private boolean planFromBadTap;
  private int plannedAtKept;
  private int plannedBy;
  private boolean planDue;
  private TapJudge judge;
  private BlockTransform worker;
  private int loaded;
  private Averages averages;
  private final BitSet summed = new BitSet();
  private List<JudgedTap> judged = new ArrayList<>();
  private final Map<Long, Long> interrupted = new TreeMap<>();
  private final Map<Long, Long> bounced = new TreeMap<>();
  private boolean judgeDue;
  private final Set<Integer> setAside = new HashSet<>();
  private final Set<Integer> takenBack = new HashSet<>();
  private final List<LiveInput.Gap> gaps = new ArrayList<>();
  private final List<String> planRemarks = new ArrayList<>();
  private final EnumMap<Verdict, Integer> inARow = new EnumMap<>(Verdict.class);
  private AveragedResponse averaged;
  private boolean settled;
  private List<TapEvent> events = new ArrayList<>();

  /** A tap whose block is not over. */
  private static final class Struck {
    final long onset;
    long loudAt;
    double loudest;

    Struck(long onset) {
      this.onset = onset;
      this.loudAt = onset;
    }
  }

  /**
   * @param about what is measured; its one recording only tells name, rate and channels of the
   *     input
   * @param wanted what the user wants of the processing; the rest is chosen from the first taps
   * @param goal when it is enough
   * @param back gives back earlier frames, for taps whose verdict changes
   */
  public TapSession(TapRecording about, Processing wanted, Goal goal, ReadBack back) {
    this(about, wanted, goal, back, QUIET_S);
  }

  /**
   * The same with another time of quiet, as for a recording that has little before its first tap.
   *
   * @param quietS how long it has to be quiet before the first tap, s
   */
  public TapSession(
      TapRecording about, Processing wanted, Goal goal, ReadBack back, double quietS) {
    this.about = about;
    this.wanted = wanted;
    this.goal = goal;
    this.back = back;
    this.response = about.response();
    this.alone = about.force().isEmpty();
    this.force = about.force().orElse(response);
    this.fs = about.sampleRateHz();
    this.channels = about.recordings().get(0).channels();
    check();
    this.choices = choices(wanted);
    this.lengthGivenS = choices.blockLengthS().orElse(Double.NaN);
    this.quiet = new QuietWatch(force, fs, quietS);
    this.forceMeter = new LevelMeter(force);
    this.responseMeter = new LevelMeter(response);
    forceMeter.begin(fs, Long.MAX_VALUE);
    responseMeter.begin(fs, Long.MAX_VALUE);
    for (int c = 1; c <= channels; c++) {
      double clipsAt =
          c == force.number()
              ? force.clipsAtNumber()
              : c == response.number() ? response.clipsAtNumber() : 1;
      meters.add(new ChannelMeter(clipsAt, fs));
    }
    int step = (int) Math.max(16, Math.round(0.01 * fs));
    this.f = new double[step];
    this.x = new double[step];
    double longest = Double.isNaN(lengthGivenS) ? LONGEST_RING_S : lengthGivenS;
    this.tape = new FrameTape((int) Math.min(1 << 27, Math.ceil((longest + 2) * fs) + step));
    events.add(new TapEvent.Listening(false));
  }

  private void check() {
    for (Channel channel : List.of(force, response)) {
      if (channel.number() > channels) {
        throw new BadInputException(
            String.format(
                Locale.ROOT,
                "%s: has %d %s, channel %d was asked for",
                about.recordings().get(0).name(),
                channels,
                channels == 1 ? "channel" : "channels",
                channel.number()));
      }
    }
    if (!alone && force.number() == response.number()) {
      throw new BadInputException(
          "force and response are both channel " + force.number() + "; they must be different");
    }
    if (goal.bandHighHz > fs / 2) {
      throw new BadInputException(
          String.format(
              Locale.ROOT,
              "band: %.6g Hz is more than half the sample rate of %.6g Hz; take a higher rate",
              goal.bandHighHz,
              fs));
    }
  }

  /** What can be chosen while it runs: no numbers of taps, no places, no level beside the noise. */
  private static Processing choices(Processing wanted) {
    return new Processing(
        wanted.blockLengthS().filter(Double::isFinite),
        wanted.preTriggerS(),
        Optional.empty(),
        wanted.forceWindow(),
        wanted.responseTimeConstantS(),
        wanted.responseEndValue(),
        wanted.estimator(),
        Set.of(),
        Set.of(),
        List.of(),
        wanted.minCoherence(),
        wanted.forceDropDb());
  }

  // ---- frames

  /**
   * Takes the next frames.
   *
   * @param more frames one after the other, channel by channel within each
   * @param count how many
   * @return what happened, in order
   * @throws IOException if earlier frames cannot be read back
   */
  public List<TapEvent> take(double[] more, int count) throws IOException {
    for (int c = 0; c < channels; c++) {
      meters.get(c).take(more, c, channels, count);
    }
    for (int i = 0; i < count; i++) {
      f[filled] = more[i * channels + force.number() - 1];
      x[filled] = more[i * channels + response.number() - 1];
      filled++;
      if (filled == f.length) {
        step();
      }
    }
    return happened();
  }

  /**
   * Goes on by as many frames as have been filled in: always the same steps, so that the size of
   * the portions in which they come does not matter.
   */
  private void step() throws IOException {
    int n = filled;
    filled = 0;
    forceMeter.take(f, n);
    responseMeter.take(x, n);
    tape.append(f, x, n);
    watch(n);
    now += n;
    if (planDue && state != State.FINISHED) {
      planAgain();
    }
    if (judgeDue && !judged.isEmpty()) {
      judgeAgain();
    }
    judgeDue = false;
    blocks(false);
    patience();
  }

  /**
   * Says that frames were lost: a tap whose block holds the place is cut off, also one that was
   * judged already.
   */
  public void gap(LiveInput.Gap gap) {
    gaps.add(gap);
    judgeDue = true;
    events.add(new TapEvent.FramesLost(gap));
  }

  /**
   * Ends the session: a tap whose block is not over is cut off.
   *
   * @param why in plain words
   */
  public List<TapEvent> end(String why) throws IOException {
    if (filled > 0) {
      step();
    }
    blocks(true);
    if (state != State.FINISHED) {
      finish(false, why);
    }
    return happened();
  }

  private List<TapEvent> happened() {
    List<TapEvent> all = List.copyOf(events);
    events = new ArrayList<>();
    return all;
  }

  private void watch(int n) {
    quiet.take(f, n);
    if (state == State.LISTENING) {
      listen();
      return;
    }
    if (state == State.FINISHED) {
      return;
    }
    double rest = quiet.rest();
    double scale = force.scale();
    long quietFrames = alone ? Math.round(RESPONSE_QUIET_S * fs) : 0;
    for (int i = 0; i < n; i++) {
      double value = f[i] * scale - rest;
      double v = votes < SURE_VOTES ? Math.abs(value) : sign * value;
      if (v >= level / 2) {
        if (v >= level && armed) {
          armed = false;
          onset(now + i);
        }
        loudAt = now + i;
      } else if (!armed && now + i - loudAt > quietFrames) {
        armed = true;
      }
    }
    if (struck != null && needsPlan()) {
      follow(n);
    }
  }

  private void listen() {
    if (!quiet.isDone() && now > LONGEST_LISTEN_S * fs && forceMeter.tellsSomething()) {
      Level seen = forceMeter.soFar();
      quiet.settleFor(seen.offsets().get(0), seen.noise());
      ready(false);
    } else if (quiet.isDone()) {
      ready(true);
    } else if (quiet.wasDisturbed()) {
      events.add(new TapEvent.Listening(true));
    }
  }

  private void ready(boolean wasQuiet) {
    state = State.READY;
    lastActivity = now;
    level = chosenLevel();
    double responseNoise = responseMeter.soFar().noise();
    meters.get(force.number() - 1).noise(quiet.noise() / Math.abs(force.scale()));
    meters.get(response.number() - 1).noise(responseNoise / Math.abs(response.scale()));
    events.add(
        new TapEvent.Ready(alone ? Double.NaN : quiet.noise(), responseNoise, level, wasQuiet));
  }

  private double chosenLevel() {
    if (!Double.isNaN(goal.triggerLevel)) {
      return goal.triggerLevel;
    }
    double least =
        Double.isInfinite(force.clipsAtNumber())
            ? Double.MIN_NORMAL
            : LEAST_LEVEL * force.clipsAtNumber() * force.unitsPerNumber();
    double usual = typicalPeak();
    double ofUsual = Double.isNaN(usual) ? 0 : TapFinder.USUAL_FRACTION * usual;
    return Math.max(least, Math.max(TapFinder.NOISE_MARGIN * quiet.noise(), ofUsual));
  }

  private void onset(long frame) {
    if (struck == null) {
      JudgedTap before = judged.isEmpty() ? null : judged.get(judged.size() - 1);
      if (before != null && frame - before.block.trigger() < TapJudge.LONGEST_BOUNCE_S * fs) {
        bounced.putIfAbsent(before.block.trigger(), frame);
        judgeDue = true;
      } else if (frame >= holdOffUntil) {
        begin(frame);
      }
      return;
    }
    long last = following.isEmpty() ? struck.onset : following.peekLast();
    boolean another =
        frame - last > LONGEST_BOUNCE_S * fs || !needsPlan() && frame >= blockEnd(struck);
    if (another) {
      following.add(frame);
    }
  }

  private void begin(long frame) {
    if (next != null && room(next) > frame - judged.get(judged.size() - 1).block.trigger()) {
      next = null; // blows come sooner than longer blocks would allow
    }
    struck = new Struck(frame);
    state = State.STRUCK;
    lastActivity = frame;
    events.add(new TapEvent.Struck(frame));
  }

  /** How long the response to the first tap stays above the noise. */
  private void follow(int n) {
    double scale = response.scale();
    Level seen = responseMeter.soFar();
    double rest = seen.offsets().get(0);
    double sum = 0;
    for (int i = 0; i < n; i++) {
      double v = x[i] * scale - rest;
      sum += v * v;
    }
    double loud = Math.sqrt(sum / n) / (FADED * seen.noise());
    struck.loudest = Math.max(struck.loudest, loud);
    if (loud > 1) {
      struck.loudAt = now + n;
    }
  }

  private void patience() {
    if (state == State.READY && now - lastActivity > goal.patienceS * fs) {
      finish(
          false,
          String.format(
              Locale.ROOT,
              "no tap came for %.3g s, %d kept; check that the hammer is on channel %d and that its"
                  + " blows reach %.3g %s",
              goal.patienceS,
              kept(),
              force.number(),
              level,
              alone ? about.quantity().siUnit() : "N"));
    }
  }

  private void finish(boolean reached, String sentence) {
    state = State.FINISHED;
    struck = null;
    events.add(new TapEvent.Finished(reached, sentence));
  }

  // ---- blocks

  private long blockEnd(Struck of) {
    return of.onset - plan.shape().preTrigger() + plan.shape().samples();
  }

  /** Judges the tap whose block is over, and begins the next one that has struck meanwhile. */
  private void blocks(boolean end) throws IOException {
    if (struck == null && next != null && state != State.FINISHED) {
      List<Verdict> before = judged.stream().map(j -> j.verdict).toList();
      if (takeUp()) {
        verdicts();
        sums();
        changes(before);
      }
    }
    while (struck != null && state != State.FINISHED) {
      boolean byThis = needsPlan();
      if (byThis && !(end || isRungOut())) {
        return;
      }
      if (byThis) {
        choosePlan();
      }
      if (!end && now < blockEnd(struck)) {
        return;
      }
      Struck over = struck;
      struck = null;
      state = State.READY;
      holdOffUntil = blockEnd(over);
      lastActivity = now;
      if (!following.isEmpty() && following.peek() < holdOffUntil) {
        interrupted.putIfAbsent(over.onset, following.peek());
      }
      complete(over, byThis);
      holdOffUntil = blockEnd(over);
      dropFaint();
      if (state != State.FINISHED && !following.isEmpty()) {
        begin(following.poll());
      }
    }
  }

  /** What seemed a blow while little was known may be nothing beside the trigger level of now. */
  private void dropFaint() throws IOException {
    for (Iterator<Long> some = following.iterator(); some.hasNext(); ) {
      long frame = some.next();
      int n = (int) Math.min(now - frame, Math.round(BLOW_S * fs));
      double[] blow = new double[n];
      read(frame, n, blow, new double[n]);
      double largest = 0;
      for (double number : blow) {
        largest = Math.max(largest, Math.abs(number * force.scale() - quiet.rest()));
      }
      if (largest < level) {
        some.remove();
      }
    }
  }

  /** As long as no good tap has shown how long the blocks must be, each tap is listened out. */
  private boolean needsPlan() {
    return plan == null || planFromBadTap;
  }

  private boolean isRungOut() {
    double elapsed = (now - struck.onset) / fs;
    if (!following.isEmpty()) {
      return true;
    }
    if (!Double.isNaN(lengthGivenS)) {
      return elapsed >= lengthGivenS;
    }
    // Where the noise soon hides the ringing, it goes on below the noise as it began above it.
    double seen = Math.log(Math.max(Math.E, struck.loudest));
    double hidden = Math.min(MOST_HIDDEN, Math.max(1, Math.log(1 / Decay.SMALL) / seen));
    double rang = hidden * (struck.loudAt - struck.onset) / fs;
    return elapsed >= LONGEST_RING_S || elapsed >= Math.max(LEAST_ROOM_S, 2.2 * rang + 0.05);
  }

  private void complete(Struck over, boolean chosenByIt) throws IOException {
    int pre = plan.shape().preTrigger();
    JudgedTap tap =
        new JudgedTap(
            judged.size() + 1, new Planner.Block(0, over.onset - pre, over.onset, Double.NaN));
    judged.add(tap);
    look(tap, around());
    List<Verdict> before = judged.stream().limit(tap.number - 1).map(j -> j.verdict).toList();
    verdicts();
    if (chosenByIt) {
      plannedBy = tap.number;
      weigh(judged.get(tap.number - 1));
    } else if (!planFromBadTap && isHardlyOne(judged.get(plannedBy - 1))) {
      planFromBadTap = true;
      earlier = null;
    }
    boolean atOnce = isTooLong(tap);
    planDue = isPlanDue(tap) && !atOnce;
    if (atOnce && isPlanDue(tap) ? chooseAgain() : takeUp()) {
      verdicts();
    }
    sums();
    tell(tap.number, before);
    advise(judged.get(judged.size() - 1).verdict);
    level = chosenLevel();
    goals();
  }

  /** A tap that was none, or hardly one, must not undo the plan that a better one gave. */
  private void weigh(JudgedTap tap) throws IOException {
    planFromBadTap = !tap.isKept();
    boolean worse = isHardlyOne(tap);
    if (worse && earlier != null) {
      adopt(earlier);
      verdicts();
    } else if (!worse) {
      earlier = plan;
    }
  }

  private static boolean isHardlyOne(JudgedTap tap) {
    return tap.verdict == Verdict.NO_TAP || tap.verdict == Verdict.TOO_WEAK;
  }

  private void tell(int newest, List<Verdict> before) {
    int kept = kept();
    events.add(new TapEvent.Judged(sessionTap(newest), kept));
    changes(before);
  }

  private void goals() {
    int kept = kept();
    if (state == State.FINISHED) {
      return;
    }
    if (goal.taps > 0 && kept >= goal.taps) {
      finish(true, kept + (kept == 1 ? " tap is kept" : " taps are kept"));
    } else if (!alone && kept >= FEW_FOR_COHERENCE && !Double.isNaN(goal.coherence)) {
      double reached = bandCoherence();
      if (reached >= goal.coherence) {
        finish(
            true,
            String.format(
                Locale.ROOT,
                "coherence is %.4f or more in nine tenths of the lines of the band, with %d taps",
                reached,
                kept));
      }
    }
  }

  /**
   * Coherence that {@link #MOST_LINES} of the lines in the wanted band have, or in the usable one
   * where none was given; NaN with fewer than two taps.
   */
  public double bandCoherence() {
    if (averages == null || averages.taps() < 2) {
      return Double.NaN;
    }
    double df = plan.shape().resolutionHz();
    double low = goal.bandLowHz;
    double high = goal.bandHighHz;
    if (Double.isNaN(high)) {
      AveragedResponse all = averaged().orElseThrow();
      low = all.response().origin().bandLowHz();
      high = all.response().origin().bandHighHz();
    }
    int from = (int) Math.max(0, Math.ceil((Double.isNaN(low) ? 0 : low) / df) - 1);
    int to = (int) Math.min(averages.lines(), Math.floor(high / df));
    if (to <= from) {
      return Double.NaN;
    }
    double[] all = new double[to - from];
    for (int i = from; i < to; i++) {
      all[i - from] = averages.coherence(i);
    }
    Arrays.sort(all);
    return all[(int) Math.floor((1 - MOST_LINES) * (all.length - 1))];
  }

  private void advise(Verdict verdict) {
    int row = inARow.getOrDefault(verdict, 0) + 1;
    inARow.clear();
    inARow.put(verdict, row);
    String sentence =
        switch (verdict) {
          case DOUBLE_HIT ->
              "the hammer bounces: take a lighter hammer or a softer tip, hold it loosely and flick"
                  + " it back at once";
          case OVERLOAD -> "turn the gain down or tap more lightly";
          case TOO_WEAK -> "tap harder";
          case TOO_SLOW -> "take a harder tip or a lighter hammer";
          case CUT_OFF -> "wait longer between taps, until it says so";
          case POOR_MATCH -> "tap the same spot in the same direction each time";
          case NO_TAP -> "look for a loose cable or plug at the hammer";
          default -> "";
        };
    if (row == 2 && !sentence.isEmpty()) {
      events.add(new TapEvent.Advice(sentence));
    }
  }

  // ---- what the user does

  /** Leaves a tap out, whatever is thought of it. */
  public List<TapEvent> setAside(int number) throws IOException {
    require(number);
    takenBack.remove(number);
    setAside.add(number);
    return refresh();
  }

  /** Keeps a tap, whatever is thought of it, unless its block is not whole. */
  public List<TapEvent> takeBack(int number) throws IOException {
    require(number);
    setAside.remove(number);
    takenBack.add(number);
    return refresh();
  }

  /** Leaves it to the data again whether a tap is kept. */
  public List<TapEvent> leaveToData(int number) throws IOException {
    require(number);
    setAside.remove(number);
    takenBack.remove(number);
    return refresh();
  }

  private void require(int number) {
    if (number < 1 || number > judged.size()) {
      throw new BadInputException(
          judged.isEmpty()
              ? "there is no tap yet"
              : "there is no tap " + number + "; the taps are numbered 1 to " + judged.size());
    }
  }

  private List<TapEvent> refresh() throws IOException {
    judgeAgain();
    return happened();
  }

  private void judgeAgain() throws IOException {
    List<Verdict> before = judged.stream().map(j -> j.verdict).toList();
    verdicts();
    sums();
    changes(before);
    level = chosenLevel();
    goals();
  }

  private void changes(List<Verdict> before) {
    for (int i = 0; i < before.size(); i++) {
      if (before.get(i) != judged.get(i).verdict) {
        events.add(new TapEvent.Changed(sessionTap(i + 1), before.get(i), kept()));
      }
    }
  }

  /**
   * Judges and sums everything anew when no more frames will come, with what is known of the inputs
   * by then; the averages are those of {@link ResponseEstimator} to the last bit. Only the error
   * that lines share may differ a little where a sensor is taken off, since the taps are compared
   * in groups of lines as wide as the first ones suggested.
   */
  public List<TapEvent> settle() throws IOException {
    if (judged.isEmpty() || settled) {
      return happened();
    }
    forceMeter.end();
    responseMeter.end();
    settled = true;
    List<Verdict> before = judged.stream().map(j -> j.verdict).toList();
    lookAgain();
    verdicts();
    sums();
    changes(before);
    return happened();
  }

  // ---- what there is

  public State state() {
    return state;
  }

  /** One meter for each channel of the input. */
  public List<ChannelMeter> meters() {
    return List.copyOf(meters);
  }

  /** Frames taken so far. */
  public long frames() {
    return now;
  }

  /** What starts a tap, in SI; 0 while it listens. */
  public double triggerLevel() {
    return level;
  }

  /** Taps that are kept by now. */
  public int kept() {
    return (int) judged.stream().filter(j -> j.isKept()).count();
  }

  /** All taps in order of time. */
  public List<SessionTap> taps() {
    List<SessionTap> taps = new ArrayList<>();
    for (int i = 1; i <= judged.size(); i++) {
      taps.add(sessionTap(i));
    }
    return taps;
  }

  private SessionTap sessionTap(int number) {
    JudgedTap tap = judged.get(number - 1);
    return new SessionTap(
        new Tap(
            number,
            about.recordings().get(0).name(),
            tap.block.trigger() / fs,
            alone ? Double.NaN : tap.pulse.largest(),
            tap.contactS,
            tap.usableToHz,
            tap.verdict,
            tap.reason),
        tap.block.start(),
        tap.block.trigger(),
        plan.shape().samples());
  }

  /** The average of the taps that are kept; empty if there is none, or no force channel. */
  public Optional<AveragedResponse> averaged() {
    if (alone || averages == null || averages.taps() == 0) {
      return Optional.empty();
    }
    if (averaged == null) {
      averaged =
          ResponseEstimator.soFar(
              about,
              wanted,
              plan,
              List.of(forceLevel(), responseLevel()),
              averages,
              judged,
              planRemarks);
    }
    return Optional.of(averaged);
  }

  /**
   * The processing as it was done, with the places of the blocks and the verdicts: with this {@link
   * ResponseEstimator} gets the same from the recording. Empty before the first tap.
   */
  public Optional<Processing> processing() {
    if (judged.isEmpty()) {
      return Optional.empty();
    }
    BlockShape shape = plan.shape();
    List<Double> starts = new ArrayList<>();
    Set<Integer> rejected = new HashSet<>();
    Set<Integer> kept = new HashSet<>();
    for (JudgedTap tap : judged) {
      starts.add(tap.block.start() / fs);
      (tap.isKept() ? kept : rejected).add(tap.number);
    }
    return Optional.of(
        new Processing(
            Optional.of(shape.samples() / fs),
            Optional.of(shape.preTrigger() / fs),
            Optional.empty(),
            Optional.of(shape.forceWindow()),
            Optional.of(shape.timeConstantS()),
            Optional.empty(),
            Optional.of(plan.estimator()),
            rejected,
            kept,
            starts,
            wanted.minCoherence(),
            wanted.forceDropDb()));
  }

  // ---- judging

  private Level forceLevel() {
    return settled ? forceMeter.level() : forceMeter.soFar();
  }

  private Level responseLevel() {
    return settled ? responseMeter.level() : responseMeter.soFar();
  }

  private TapJudge.Around around() {
    return new TapJudge.Around(forceLevel(), responseLevel(), sign, typicalPeak());
  }

  private double typicalPeak() {
    double[] peaks =
        judged.stream()
            .filter(j -> j.pulse != null && j.verdict != Verdict.NO_TAP)
            .mapToDouble(j -> j.pulse.largest())
            .sorted()
            .toArray();
    return peaks.length == 0 ? Double.NaN : peaks[peaks.length / 2];
  }

  /** Looks at a tap's block; its spectra are in the worker afterwards. */
  private void look(JudgedTap tap, TapJudge.Around around) throws IOException {
    int there = load(tap);
    if (alone) {
      judge.lookAlone(tap, worker, there, around);
      return;
    }
    judge.look(tap, worker, there, around, 0, now / fs);
    worker.transform();
    loaded = tap.number;
    judge.reach(tap, worker);
    judge.sign(tap, worker);
  }

  private int load(JudgedTap tap) throws IOException {
    loaded = 0;
    return read(tap.block.start(), plan.shape().samples(), worker.force, worker.response);
  }

  private void transform(JudgedTap tap, TapJudge.Around around) throws IOException {
    if (loaded == tap.number) {
      return;
    }
    load(tap);
    judge.convert(worker, around, 0, now / fs);
    worker.transform();
    loaded = tap.number;
  }

  /** As {@link BlockReader#read} does: the last number stands in for what is not there. */
  private int read(long start, int samples, double[] intoForce, double[] intoResponse)
      throws IOException {
    long begin = Math.max(0, Math.min(start, now));
    long end = Math.max(begin, Math.min(start + samples, now));
    int lead = (int) (begin - start);
    int there = (int) (end - begin);
    if (tape.holds(begin)) {
      tape.read(begin, there, intoForce, intoResponse, lead);
    } else {
      if (frames.length < there * channels) {
        frames = new double[there * channels];
      }
      back.read(begin, there, frames);
      for (int i = 0; i < there; i++) {
        intoForce[lead + i] = frames[i * channels + force.number() - 1];
        intoResponse[lead + i] = frames[i * channels + response.number() - 1];
      }
    }
    for (double[] values : new double[][] {intoForce, intoResponse}) {
      Arrays.fill(values, 0, Math.min(lead, samples), there > 0 ? values[lead] : 0);
      Arrays.fill(values, lead + there, samples, there > 0 ? values[lead + there - 1] : 0);
    }
    return there;
  }

  private void verdicts() throws IOException {
    giveVerdicts();
    if (!alone && turnRound()) {
      giveVerdicts();
    }
  }

  private void giveVerdicts() {
    TapJudge.Around around = around();
    for (JudgedTap tap : judged) {
      if (alone) {
        judge.verdictAlone(
            tap, around, interrupted.getOrDefault(tap.block.trigger(), -1L), setAside, takenBack);
      } else {
        judge.verdict(tap, around, setAside, takenBack);
      }
      bounce(tap);
      lost(tap);
    }
    if (!alone) {
      PoorMatch.mark(judged, takenBack);
    }
    averaged = null;
  }

  /** A bounce behind the end of a short block harms nothing there, but the user should know. */
  private void bounce(JudgedTap tap) {
    Long again = bounced.get(tap.block.trigger());
    if (again != null && tap.isKept() && !takenBack.contains(tap.number)) {
      tap.verdict = Verdict.DOUBLE_HIT;
      tap.reason =
          String.format(
              Locale.ROOT,
              "it strikes again %.3g ms after it",
              1e3 * (again - tap.block.trigger()) / fs);
    }
  }

  private void lost(JudgedTap tap) {
    for (LiveInput.Gap gap : gaps) {
      boolean inside =
          gap.atFrame() > tap.block.start()
              && gap.atFrame() < tap.block.start() + plan.shape().samples();
      if (inside && tap.verdict != Verdict.REJECTED_BY_USER) {
        tap.verdict = Verdict.CUT_OFF;
        tap.reason = "the input lost " + gap.missingFrames() + " frames inside its block";
      }
    }
  }

  /** Most blows tell which way they go; if it is the other way, all are looked at anew. */
  private boolean turnRound() throws IOException {
    int up = 0;
    int down = 0;
    for (JudgedTap tap : judged) {
      double large = Math.max(tap.pulse.largest(), tap.pull);
      double small = Math.min(tap.pulse.largest(), tap.pull);
      if (small < TapJudge.PULLS * large) {
        if (sign > 0 == tap.pulse.largest() >= tap.pull) {
          up++;
        } else {
          down++;
        }
      }
    }
    votes = Math.abs(up - down);
    if (up == down || up > down == sign > 0) {
      return false;
    }
    sign = -sign;
    lookAgain();
    return true;
  }

  private void lookAgain() throws IOException {
    TapJudge.Around around = around();
    for (JudgedTap tap : judged) {
      look(tap, around);
    }
    averages = new Averages(plan.shape().lines());
    summed.clear();
  }

  /** Brings the sums up to the verdicts. */
  private void sums() throws IOException {
    if (alone) {
      return;
    }
    TapJudge.Around around = around();
    for (JudgedTap tap : judged) {
      if (tap.isKept() != summed.get(tap.number)) {
        transform(tap, around);
        if (tap.isKept()) {
          averages.add(List.of(worker));
        } else {
          averages.remove(worker);
        }
        summed.set(tap.number, tap.isKept());
      }
    }
  }

  // ---- the plan

  private boolean isPlanDue(JudgedTap newest) {
    if (alone) {
      return false;
    }
    int kept = kept();
    boolean more = newest.isKept() && (kept == 3 || kept == 6) && plannedAtKept < kept;
    return !planFromBadTap && (more || isTooLong(newest));
  }

  /** Whether the next blow came before the block was over. */
  private boolean isTooLong(JudgedTap newest) {
    return Double.isNaN(lengthGivenS)
        && newest.verdict == Verdict.CUT_OFF
        && interrupted.containsKey(newest.block.trigger());
  }

  /** A plan from the first tap, or a makeshift one if that tap is good for nothing. */
  private void choosePlan() throws IOException {
    if (alone) {
      adopt(planAlone());
      return;
    }
    List<String> remarks = new ArrayList<>();
    Optional<Planner.Plan> chosen = plan(List.of(struck.onset), remarks);
    planFromBadTap = chosen.isEmpty();
    planRemarks.clear();
    planRemarks.addAll(remarks);
    adopt(chosen.orElseGet(this::makeshift));
  }

  private Planner.Plan makeshift() {
    int pre = (int) Math.round(Math.min(PRE_TRIGGER_S * fs, struck.onset));
    long room = (following.isEmpty() ? now : following.peek()) - struck.onset;
    int samples =
        Double.isNaN(lengthGivenS)
            ? Lengths.atMost((int) Math.max(16, pre + room))
            : (int) Math.max(16, Math.round(lengthGivenS * fs));
    return new Planner.Plan(
        new BlockShape(samples, pre, fs, Processing.ForceWindow.NONE, Double.POSITIVE_INFINITY),
        0,
        List.of(),
        wanted.estimator().orElse(Estimator.H1),
        Double.NaN);
  }

  /** How long the response alone rings decides. */
  private Planner.Plan planAlone() throws IOException {
    Planner.Plan makeshift = makeshift();
    if (!Double.isNaN(lengthGivenS)) {
      return makeshift;
    }
    int pre = makeshift.shape().preTrigger();
    int room = makeshift.shape().samples() - pre;
    double[] ring = new double[room];
    read(struck.onset, room, new double[room], ring);
    Level seen = responseLevel();
    for (int i = 0; i < room; i++) {
      ring[i] = ring[i] * response.scale() - seen.offsets().get(0);
    }
    Decay decay = Decay.of(List.of(ring), new double[0], seen.noise(), fs, 8, fs / 2.5);
    int samples =
        Lengths.atMost((int) Math.max(16, Math.min(pre + room, pre + 2 * decay.neededS() * fs)));
    return new Planner.Plan(
        new BlockShape(samples, pre, fs, Processing.ForceWindow.NONE, Double.POSITIVE_INFINITY),
        0,
        List.of(),
        Estimator.H1,
        Double.NaN);
  }

  private void adopt(Planner.Plan chosen) throws IOException {
    plan = chosen;
    plannedAtKept = kept();
    BlockShape shape = plan.shape();
    double contact = Double.isNaN(plan.contactS()) ? 3 / fs : plan.contactS();
    judge =
        new TapJudge(
            shape,
            force,
            response,
            about.quantity(),
            contact,
            wanted.forceDropDb().orElse(ResponseEstimator.USUAL_FORCE_DROP_DB),
            goal.bandHighHz);
    Windows windows = Windows.of(shape);
    worker =
        new BlockTransform(
            shape,
            force,
            response,
            windows.force(),
            windows.exponential(),
            new SplitFft.Plan(shape.samples()));
    List<JudgedTap> moved = new ArrayList<>();
    for (JudgedTap tap : judged) {
      long onset = tap.block.trigger();
      JudgedTap again =
          new JudgedTap(
              tap.number, new Planner.Block(0, onset - shape.preTrigger(), onset, Double.NaN));
      again.verdict = tap.verdict;
      again.pulse = tap.pulse;
      moved.add(again);
    }
    judged = moved;
    loaded = 0;
    lookAgain();
    events.add(new TapEvent.BlockChosen(shape.samples() / fs, planRemarks));
  }

  /** Planning anew takes its time: it comes after the verdict has been announced. */
  private void planAgain() throws IOException {
    planDue = false;
    List<Verdict> before = judged.stream().map(j -> j.verdict).toList();
    if (chooseAgain()) {
      verdicts();
      sums();
      changes(before);
    }
  }

  /** Plans from the taps that are kept; true if that changed the blocks at once. */
  private boolean chooseAgain() throws IOException {
    JudgedTap newest = judged.get(judged.size() - 1);
    boolean tooLong = isTooLong(newest);
    // What comes after the newest one is not known yet.
    List<Long> onsets =
        judged.stream().filter(j -> j.isKept() && j != newest).map(j -> j.block.trigger()).toList();
    if (onsets.isEmpty() || tooLong) {
      onsets = judged.stream().map(j -> j.block.trigger()).toList();
    }
    onsets = onsets.subList(Math.max(0, onsets.size() - MOST_LOOKED_AT), onsets.size());
    List<String> remarks = new ArrayList<>();
    Optional<Planner.Plan> chosen = plan(onsets, remarks);
    plannedAtKept = Math.max(plannedAtKept, kept());
    if (chosen.isEmpty()) {
      return false;
    }
    int before = plan.shape().samples();
    int after = chosen.get().shape().samples();
    boolean grows = after > WORTH_GROWING * before && room(chosen.get()) <= leastRoom();
    boolean shrinks = tooLong && after < before;
    if (!(grows || shrinks)) {
      return false;
    }
    next = chosen.get();
    nextRemarks = remarks;
    return takeUp();
  }

  /** Goes over to blocks that have grown, as soon as the newest tap's is over. */
  private boolean takeUp() throws IOException {
    if (next == null || now < judged.get(judged.size() - 1).block.trigger() + room(next)) {
      return false;
    }
    planRemarks.clear();
    planRemarks.addAll(nextRemarks);
    Planner.Plan chosen = next;
    next = null;
    adopt(chosen);
    return true;
  }

  /** Frames from any tap that is kept to the next blow. */
  private long leastRoom() {
    long least = Long.MAX_VALUE;
    for (int i = 0; i + 1 < judged.size(); i++) {
      if (judged.get(i).isKept()) {
        long onset = judged.get(i).block.trigger();
        long next = interrupted.getOrDefault(onset, judged.get(i + 1).block.trigger());
        least = Math.min(least, next - onset - margin());
      }
    }
    return least;
  }

  private static int room(Planner.Plan of) {
    return of.shape().samples() - of.shape().preTrigger();
  }

  /** What the planner chooses from these taps, each with what came before and after it. */
  private Optional<Planner.Plan> plan(List<Long> onsets, List<String> remarks) throws IOException {
    Pieces pieces = new Pieces(about, forceLevel(), responseLevel());
    for (long onset : onsets) {
      long before = 0;
      long after = now;
      for (JudgedTap tap : judged) {
        long other = tap.block.trigger();
        if (other < onset) {
          before = Math.max(before, other + Math.round(LONGEST_BOUNCE_S * fs));
        } else if (other > onset) {
          after = Math.min(after, other - margin());
        }
      }
      if (struck != null && struck.onset > onset) {
        after = Math.min(after, struck.onset - margin());
      }
      for (long later : following) {
        if (later > onset) {
          after = Math.min(after, later - margin());
        }
      }
      if (interrupted.containsKey(onset)) {
        after = Math.min(after, interrupted.get(onset) - margin());
      }
      long from = Math.max(0, Math.max(onset - Math.round(LEAD_S * fs), before));
      from = Math.min(from, Math.max(0, onset - Math.round(PRE_TRIGGER_S * fs)));
      long to = Math.min(after, onset + Math.round(LONGEST_RING_S * fs));
      int n = (int) Math.max(16, to - from);
      double[] pieceForce = new double[n];
      double[] pieceResponse = new double[n];
      read(from, n, pieceForce, pieceResponse);
      pieces.add(pieceForce, pieceResponse);
    }
    return pieces.plan(choices, remarks);
  }

  private long margin() {
    return Math.max(3, Math.round(0.0005 * fs));
  }
}

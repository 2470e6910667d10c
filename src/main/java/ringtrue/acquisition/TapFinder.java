package ringtrue.acquisition;

import java.io.IOException;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.stream.IntStream;
import ringtrue.dynamics.Progress;
import ringtrue.units.BadInputException;

/**
 * Finds the blows in recordings of any length, reading them as streams.
 *
 * <p>The onset of a tap is the first sample at or above the trigger level on the way up (for a
 * channel whose pulses go down: at or below its negative). After an onset nothing counts until the
 * hold-off is over and the signal has been below half the level; so a noisy edge is one tap.
 */
public final class TapFinder {

  /** The usual trigger level as a fraction of the largest peak. */
  public static final double USUAL_FRACTION = 0.05;

  /** The trigger stands at least this many times above the noise when it is chosen here. */
  public static final double NOISE_MARGIN = 8;

  private static final int READ = 1 << 14;

  private TapFinder() {}

  /** Which way the pulses go. */
  public enum Direction {
    UP,
    DOWN,
    /** Both ways, as a ringing response does. */
    EITHER
  }

  /**
   * What a channel holds, in its SI unit with the polarity included, before anybody looks for taps.
   *
   * @param offsets resting value in each recording: the median over its quiet stretches
   * @param means plain mean of each recording
   * @param noise standard deviation of the resting signal over stretches of about 10 ms, so hum is
   *     part of it
   * @param highest largest value above the resting value, over all recordings
   * @param lowest smallest value relative to the resting value, negative or 0
   * @param largestNumber largest recorded number as it stands in the recordings
   * @param smallestNumber smallest recorded number
   */
  public record Level(
      List<Double> offsets,
      List<Double> means,
      double noise,
      double highest,
      double lowest,
      double largestNumber,
      double smallestNumber) {

    public Level {
      offsets = List.copyOf(offsets);
      means = List.copyOf(means);
    }

    /** Largest departure from rest, either way. */
    public double peak() {
      return Math.max(highest, -lowest);
    }

    /** True where nothing happens at all: every sample of every recording is the same number. */
    public boolean silent() {
      return largestNumber == smallestNumber;
    }

    /** The way in which the larger pulses go. */
    public Direction direction() {
      return highest >= -lowest ? Direction.UP : Direction.DOWN;
    }

    /**
     * Trigger level chosen from the data: {@link TapFinder#USUAL_FRACTION} of the largest peak, or
     * more where that would be less than {@link TapFinder#NOISE_MARGIN} times the noise.
     *
     * @return a fraction of {@link #peak()}; 1 or more if nothing stands out of the noise
     */
    public double triggerFraction() {
      double peak = peak();
      return peak > 0 ? Math.max(USUAL_FRACTION, NOISE_MARGIN * noise / peak) : 1;
    }
  }

  /**
   * What several channels of the same recordings hold.
   *
   * @param levels one for each channel asked for
   * @param sameNumbers whether all channels asked for hold the same numbers throughout, as when a
   *     sound driver mixes its inputs to one
   */
  public record Survey(List<Level> levels, boolean sameNumbers) {
    public Survey {
      levels = List.copyOf(levels);
    }
  }

  /**
   * When a sample counts as the onset of a tap.
   *
   * @param level distance from rest, in the channel's SI unit, positive
   * @param direction which way the pulses go
   * @param holdOffS after an onset no other counts for this time, s
   * @param quietS how long the signal must stay below half the level before the next onset can
   *     count, s; 0 for a force, some milliseconds for a ringing response
   */
  public record Trigger(double level, Direction direction, double holdOffS, double quietS) {
    public Trigger {
      if (!(level > 0) || !(holdOffS >= 0) || !(quietS >= 0)) {
        throw new IllegalArgumentException(
            "trigger needs a positive level and times of 0 or more, was "
                + level
                + ", "
                + holdOffS
                + " s, "
                + quietS
                + " s");
      }
    }
  }

  /**
   * A blow.
   *
   * @param recording which recording, counted from 0
   * @param frame first sample at or beyond the trigger level
   * @param peak largest distance from rest in the trigger's direction until the next onset, at most
   *     for the hold-off; positive
   */
  public record Onset(int recording, long frame, double peak) {}

  /**
   * Reads the recordings once and says what their channels hold.
   *
   * @param recordings one or more
   * @param channels the channels of interest
   * @param progress told from 0 to 1
   * @throws IOException if a recording cannot be read
   * @throws BadInputException if a recording is damaged, has no samples, or lacks a channel
   */
  public static Survey survey(List<Recording> recordings, List<Channel> channels, Progress progress)
      throws IOException {
    int count = channels.size();
    double total = 0;
    for (Recording recording : recordings) {
      total += recording.frames();
    }
    List<LevelMeter> all = new ArrayList<>();
    for (Channel channel : channels) {
      all.add(new LevelMeter(channel));
    }
    boolean same = count > 1;
    double done = 0;
    for (Recording recording : recordings) {
      for (Channel channel : channels) {
        requireChannel(recording, channel);
      }
      if (recording.frames() < 2) {
        throw new BadInputException(
            recording.name()
                + ": has "
                + recording.frames()
                + " samples; a tap needs some hundred");
      }
      double[][] into = new double[recording.channels()][];
      double[][] wanted = new double[count][];
      for (int c = 0; c < count; c++) {
        int at = channels.get(c).number() - 1;
        if (into[at] == null) {
          into[at] = new double[READ];
        }
        wanted[c] = into[at];
        all.get(c).begin(recording.sampleRateHz(), recording.frames());
      }
      try (Recording.Cursor cursor = recording.from(0)) {
        for (int n = cursor.read(into, 0, READ); n > 0; n = cursor.read(into, 0, READ)) {
          int frames = n;
          IntStream.range(0, count).parallel().forEach(c -> all.get(c).take(wanted[c], frames));
          for (int c = 1; c < count; c++) {
            same = same && Arrays.equals(wanted[0], 0, n, wanted[c], 0, n);
          }
          done += n;
          progress.at(Math.min(1, done / total), "looking over " + recording.name());
        }
      }
      for (LevelMeter one : all) {
        one.end();
      }
    }
    return new Survey(all.stream().map(LevelMeter::level).toList(), same);
  }

  /**
   * Finds every onset, in the order of the recordings and of time.
   *
   * @param recordings one or more
   * @param channel where the pulses are
   * @param level what {@link #survey} found in that channel
   * @param trigger when a sample counts
   * @param progress told from 0 to 1
   * @return the onsets; empty if nothing reaches the level
   * @throws IOException if a recording cannot be read
   */
  public static List<Onset> find(
      List<Recording> recordings, Channel channel, Level level, Trigger trigger, Progress progress)
      throws IOException {
    double total = 0;
    for (Recording recording : recordings) {
      total += recording.frames();
    }
    List<Onset> found = new ArrayList<>();
    double done = 0;
    for (int r = 0; r < recordings.size(); r++) {
      Recording recording = recordings.get(r);
      requireChannel(recording, channel);
      double fs = recording.sampleRateHz();
      Watch watch =
          new Watch(
              trigger,
              r,
              Math.round(trigger.holdOffS * fs),
              Math.round(trigger.quietS * fs),
              found);
      double offset = level.offsets.get(r);
      double scale = channel.scale();
      double[][] into = new double[recording.channels()][];
      double[] numbers = new double[READ];
      into[channel.number() - 1] = numbers;
      long first = 0;
      try (Recording.Cursor cursor = recording.from(0)) {
        for (int n = cursor.read(into, 0, READ); n > 0; n = cursor.read(into, 0, READ)) {
          watch.see(numbers, n, first, scale, offset);
          first += n;
          done += n;
          progress.at(Math.min(1, done / total), "looking for taps in " + recording.name());
        }
      }
      watch.finish();
    }
    return List.copyOf(found);
  }

  /**
   * Joins onsets that follow the first of a group within a time into that first one, with the
   * largest of their peaks.
   *
   * @param onsets in order, as {@link #find} gives them
   * @param holdOffFrames time in samples
   */
  public static List<Onset> merge(List<Onset> onsets, long holdOffFrames) {
    List<Onset> merged = new ArrayList<>();
    for (Onset next : onsets) {
      Onset last = merged.isEmpty() ? null : merged.get(merged.size() - 1);
      if (last != null
          && last.recording == next.recording
          && next.frame - last.frame < holdOffFrames) {
        merged.set(
            merged.size() - 1,
            new Onset(last.recording, last.frame, Math.max(last.peak, next.peak)));
      } else {
        merged.add(next);
      }
    }
    return List.copyOf(merged);
  }

  /**
   * The complaint when no tap can be told from the noise.
   *
   * @param recordings where it was looked for
   * @param channel where it was looked for
   * @param level what the channel holds
   * @param triggerLevel the trigger level, in the channel's SI unit
   * @param unit that unit's sign, for example {@code "N"}
   */
  public static BadInputException nothingFound(
      List<Recording> recordings, Channel channel, Level level, double triggerLevel, String unit) {
    return new BadInputException(
        String.format(
            Locale.ROOT,
            "%s: no tap found in channel %d: the largest peak is %.3g %s, the noise %.3g %s, the"
                + " trigger level %.3g %s; check that this is the hammer's channel and its gain, tap"
                + " harder, or lower triggerLevel",
            recordings.get(0).name() + (recordings.size() > 1 ? " and others" : ""),
            channel.number(),
            level.peak(),
            unit,
            level.noise(),
            unit,
            triggerLevel,
            unit));
  }

  private static void requireChannel(Recording recording, Channel channel) {
    if (channel.number() > recording.channels()) {
      throw new BadInputException(
          recording.name()
              + ": has "
              + recording.channels()
              + (recording.channels() == 1 ? " channel" : " channels")
              + ", channel "
              + channel.number()
              + " was asked for");
    }
  }

  /** The trigger as it walks through one recording. */
  private static final class Watch {
    private final double level;
    private final double rearm;
    private final boolean up;
    private final boolean down;
    private final int recording;
    private final long holdOff;
    private final long quiet;
    private final List<Onset> found;
    private boolean armed = true;
    private long onset = -1;
    private double peak;
    private long loudAt = -1;

    Watch(Trigger trigger, int recording, long holdOff, long quiet, List<Onset> found) {
      this.level = trigger.level;
      this.rearm = trigger.level / 2;
      this.up = trigger.direction != Direction.DOWN;
      this.down = trigger.direction != Direction.UP;
      this.recording = recording;
      this.holdOff = holdOff;
      this.quiet = quiet;
      this.found = found;
    }

    void see(double[] numbers, int n, long first, double scale, double offset) {
      int part = 256;
      for (int from = 0; from < n; from += part) {
        int to = Math.min(n, from + part);
        if (armed && quietThroughout(numbers, from, to, scale, offset)) {
          continue;
        }
        for (int i = from; i < to; i++) {
          double value = numbers[i] * scale - offset;
          see(first + i, up ? (down ? Math.abs(value) : value) : -value);
        }
      }
    }

    private boolean quietThroughout(
        double[] numbers, int from, int to, double scale, double offset) {
      double highest = up ? rearm : Double.POSITIVE_INFINITY;
      double lowest = down ? -rearm : Double.NEGATIVE_INFINITY;
      for (int i = from; i < to; i++) {
        double value = numbers[i] * scale - offset;
        if (value >= highest || value <= lowest) {
          return false;
        }
      }
      return true;
    }

    private void see(long frame, double v) {
      if (v >= rearm) {
        if (v >= level && armed) {
          armed = false;
          if (onset < 0 || frame - onset >= holdOff) {
            finish();
            onset = frame;
            peak = v;
          }
        }
        loudAt = frame;
      } else if (!armed && frame - loudAt > quiet) {
        armed = true;
      }
      if (onset >= 0 && v > peak && frame - onset < Math.max(holdOff, 1)) {
        peak = v;
      }
    }

    void finish() {
      if (onset >= 0) {
        found.add(new Onset(recording, onset, peak));
        onset = -1;
      }
    }
  }
}

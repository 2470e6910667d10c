package ringtrue.signal;

import java.io.IOException;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import ringtrue.acquisition.Channel;
import ringtrue.acquisition.TapFinder.Direction;
import ringtrue.acquisition.TapFinder.Level;
import ringtrue.acquisition.TapFinder.Onset;
import ringtrue.acquisition.TapRecording;

/** What a few of the taps show of contact, decay and inputs, before any block is cut. */
final class FirstLook {

  /** Part of the taps that a choice has to suit; a few odd ones must not spoil it for all. */
  private static final double MOST = 0.75;

  /** Stretches behind a blow in which an undershoot is looked for. */
  private static final int STRETCHES = 8;

  /** Between these corners it is looked for, rad/s. */
  private static final double LOWEST_CORNER = 0.1;

  private static final double HIGHEST_CORNER = 1500;

  private static final int LONGEST_LOOK = 1 << 21;
  private static final double LOWEST_MODE_HZ = 8;

  private final TapRecording recording;
  private final Channel force;
  private final Channel response;
  private final Level forceLevel;
  private final Level responseLevel;
  private final double fs;
  private final double sign;
  private final Onset firstEver;
  private List<Onset> some = List.of();
  private long room;
  private long leastRoom;
  private boolean endsAtNextTap;
  private double contactS = Double.NaN;
  private double area;
  private double ringing;
  private double undershootHz;
  private boolean followed;
  private Decay decay;
  private boolean drifts;

  /**
   * @param onsets the taps; may be none
   * @param fine everything that triggered; a tap with more than one of these has bounced
   */
  FirstLook(
      TapRecording recording,
      Level forceLevel,
      Level responseLevel,
      List<Onset> onsets,
      List<Onset> fine)
      throws IOException {
    this.recording = recording;
    this.force = recording.force().orElseThrow();
    this.response = recording.response();
    this.forceLevel = forceLevel;
    this.responseLevel = responseLevel;
    this.fs = recording.sampleRateHz();
    this.sign = forceLevel.direction() == Direction.DOWN ? -1 : 1;
    this.firstEver = fine.isEmpty() ? null : fine.get(0);
    if (!onsets.isEmpty()) {
      choose(onsets, fine);
      lookAtForce();
    }
  }

  /** Whether there was no tap to look at. */
  boolean sawNothing() {
    return some.isEmpty();
  }

  /** Samples from most onsets to the next one or to the end of the recording. */
  long room() {
    return room;
  }

  /** Samples from any onset to the next one or to the end of the recording. */
  long leastRoom() {
    return leastRoom;
  }

  /** Whether it is the next tap that ends this room. */
  boolean endsAtNextTap() {
    return endsAtNextTap;
  }

  /** Typical contact time, s; NaN if unknown. */
  double contactS() {
    return contactS;
  }

  /** Typical sum of the force samples over the contact, N. */
  double area() {
    return area;
  }

  /** Swing of the force behind the contact as a part of its peak, noise taken off. */
  double ringing() {
    return ringing;
  }

  /** Whether weak second blows follow most of the blows. */
  boolean followed() {
    return followed;
  }

  /** Corner of an AC coupling seen in the force, Hz; 0 where none is seen. */
  double undershootHz() {
    return undershootHz;
  }

  private void choose(List<Onset> onsets, List<Onset> fine) {
    double[] peaks = onsets.stream().mapToDouble(Onset::peak).sorted().toArray();
    double typical = peaks[peaks.length / 2];
    long[] space = new long[onsets.size()];
    boolean[] toNext = new boolean[onsets.size()];
    for (int i = 0; i < space.length; i++) {
      Onset onset = onsets.get(i);
      boolean followed = i + 1 < space.length && onsets.get(i + 1).recording() == onset.recording();
      toNext[i] = followed;
      space[i] =
          (followed
                  ? onsets.get(i + 1).frame() - margin()
                  : recording.recordings().get(onset.recording()).frames())
              - onset.frame();
    }
    room = most(space);
    leastRoom = Arrays.stream(space).min().orElse(0);
    List<Onset> suitable = new ArrayList<>();
    int at = 0;
    for (int i = 0; i < space.length; i++) {
      Onset onset = onsets.get(i);
      // Both lists are in order, and every tap is among what triggered.
      while (!sameTime(fine.get(at), onset)) {
        at++;
      }
      Onset next = at + 1 < fine.size() ? fine.get(at + 1) : null;
      boolean bounces =
          next != null
              && next.recording() == onset.recording()
              && next.frame() < onset.frame() + space[i];
      if (space[i] >= room && onset.peak() >= typical / 3 && !bounces) {
        suitable.add(onset);
        endsAtNextTap |= toNext[i];
      }
    }
    if (suitable.isEmpty()) {
      suitable = List.of(onsets.get(0));
      room = space[0];
    }
    int most = room > LONGEST_LOOK / 4 ? 3 : 6;
    List<Onset> chosen = new ArrayList<>();
    for (int i = 0; i < Math.min(most, suitable.size()); i++) {
      chosen.add(
          suitable.get((int) ((long) i * suitable.size() / Math.min(most, suitable.size()))));
    }
    some = chosen;
  }

  private static boolean sameTime(Onset a, Onset b) {
    return a.recording() == b.recording() && a.frame() == b.frame();
  }

  /** A following onset must stay out of a block together with the foot of its pulse. */
  private long margin() {
    return Math.max(3, Math.round(0.0005 * fs));
  }

  private void lookAtForce() throws IOException {
    int pad = (int) Math.round(0.04 * fs);
    int span = (int) Math.min(room, Math.round(0.05 * fs));
    double[] contacts = new double[some.size()];
    double[] areas = new double[some.size()];
    double[] swings = new double[some.size()];
    double[] rate = new double[some.size()];
    double[] rateError = new double[some.size()];
    int known = 0;
    int weakSeconds = 0;
    try (BlockReader reader =
        new BlockReader(recording.recordings(), force, recording.response())) {
      for (Onset onset : some) {
        int n = pad + span;
        double[] f = new double[n];
        double[] x = new double[n];
        reader.read(onset.recording(), onset.frame() - pad, n, f, x);
        double rest =
            HighPassInverse.rest(
                force,
                forceLevel,
                recording.recordings().get(onset.recording()).frames() / fs,
                onset.recording());
        if (Double.isNaN(rest)) {
          rest = forceLevel.offsets().get(onset.recording());
        }
        for (int i = 0; i < n; i++) {
          f[i] = sign * (f[i] * force.scale() - rest);
        }
        int before = (int) Math.min(pad, onset.frame()) / 2;
        if (before >= 8 && force.highPassHz() == 0) {
          double mean = 0;
          for (int i = pad - 2 * before; i < pad - before; i++) {
            mean += f[i] / before;
          }
          for (int i = 0; i < n; i++) {
            f[i] -= mean;
          }
        }
        if (force.highPassHz() > 0) {
          HighPassInverse.apply(f, n, force.highPassHz(), fs);
        }
        Pulse pulse = Pulse.of(f, n, 1, forceLevel.noise());
        boolean strongDouble = pulse.isDouble() && !pulse.isWeakDouble();
        if (Double.isNaN(pulse.contactSamples()) || strongDouble) {
          continue;
        }
        weakSeconds += pulse.isWeakDouble() ? 1 : 0;
        contacts[known] = pulse.contactSamples() / fs;
        int length = (int) Math.ceil(pulse.contactSamples());
        int end = Math.min(n, pulse.endAt() + length / 4 + 1);
        double sum = 0;
        for (int i = Math.max(0, pulse.peakAt() - 2 * length); i < end; i++) {
          sum += f[i];
        }
        areas[known] = sum;
        behind(f, end + length, Math.min(n, end + 9 * length), pulse, swings, known);
        int from = Math.min(n, end + 2 * length);
        int to = Math.min(n, from + (int) Math.round(0.04 * fs));
        undershoot(f, from, to, pulse.peakAt(), sum, rate, rateError, known);
        known++;
      }
    }
    if (known == 0) {
      return;
    }
    contactS = Medians.of(Arrays.copyOf(contacts, known));
    area = Medians.of(Arrays.copyOf(areas, known));
    ringing = Medians.of(Arrays.copyOf(swings, known));
    followed = 2 * weakSeconds > known;
    undershootHz = force.highPassHz() > 0 ? 0 : corner(rate, rateError, known);
  }

  /** Swing of the force behind the contact, less what noise there is anyway. */
  private void behind(double[] f, int from, int to, Pulse pulse, double[] swings, int at) {
    int n = to - from;
    if (n < 8) {
      return;
    }
    double mean = 0;
    for (int i = from; i < to; i++) {
      mean += f[i] / n;
    }
    double power = 0;
    for (int i = from; i < to; i++) {
      power += (f[i] - mean) * (f[i] - mean) / n;
    }
    double own = power - 2 * forceLevel.noise() * forceLevel.noise();
    swings[at] = Math.sqrt(Math.max(0, own)) / pulse.peak();
  }

  /**
   * A first-order high-pass of corner ωc answers a blow of area A with −A ωc exp(−ωc t) after it:
   * its means over several stretches tell ωc. What they leave over, as hum does, is its error.
   */
  private void undershoot(
      double[] f,
      int from,
      int to,
      int peakAt,
      double area,
      double[] rate,
      double[] error,
      int at) {
    int n = to - from;
    if (n < 16 || !(area > 0)) {
      error[at] = Double.POSITIVE_INFINITY;
      return;
    }
    double[] begin = new double[STRETCHES + 1];
    double[] mean = new double[STRETCHES];
    double all = 0;
    for (int k = 0; k < STRETCHES; k++) {
      int first = from + (int) ((long) k * n / STRETCHES);
      int end = from + (int) ((long) (k + 1) * n / STRETCHES);
      for (int i = first; i < end; i++) {
        mean[k] += f[i] / (end - first) / (area / fs);
      }
      begin[k] = (first - peakAt) / fs;
      begin[k + 1] = (end - peakAt) / fs;
      all += mean[k] / STRETCHES;
    }
    double corner = 0;
    double least = misfit(mean, begin, 0);
    for (double w = LOWEST_CORNER; w < HIGHEST_CORNER; w *= 1.01) {
      double left = misfit(mean, begin, w);
      if (left < least) {
        least = left;
        corner = w;
      }
    }
    rate[at] = all > 0 ? -all : corner;
    // Hum and slow noise do not average out as white noise does: hence the factors.
    double white = 5 * forceLevel.noise() / Math.sqrt(n) / (area / fs) * (1 + corner / fs * n);
    error[at] = Math.max(white, 3 * Math.sqrt(least / STRETCHES));
  }

  private static double misfit(double[] mean, double[] begin, double corner) {
    double sum = 0;
    for (int k = 0; k < mean.length; k++) {
      double model =
          (Math.exp(-corner * begin[k]) - Math.exp(-corner * begin[k + 1]))
              / (begin[k + 1] - begin[k]);
      sum += (mean[k] + model) * (mean[k] + model);
    }
    return sum;
  }

  private static double corner(double[] rate, double[] error, int n) {
    double typical = Medians.of(Arrays.copyOf(rate, n));
    double spread = 0;
    double expected = 0;
    for (int i = 0; i < n; i++) {
      spread += Math.abs(rate[i] - typical) / n;
      expected = Math.max(expected, error[i]);
    }
    // Less than 0.05 Hz changes nothing at frequencies that an accelerometer reaches.
    boolean seen = typical > 5 * spread / Math.sqrt(n) && typical > expected && typical > 0.3;
    return seen ? typical / (2 * Math.PI) : 0;
  }

  /** How long the response rings; worked out when first asked for. */
  Decay decay() throws IOException {
    if (decay == null) {
      int length = (int) Math.min(room, LONGEST_LOOK);
      if (length < 32) {
        decay = new Decay(length / fs, 1);
        return decay;
      }
      List<double[]> stretches = new ArrayList<>();
      double[] before = new double[0];
      int drifting = 0;
      try (BlockReader reader = new BlockReader(recording.recordings(), force, response)) {
        // What the channel does at rest shows before the first tap only.
        int n = (int) Math.min(length, firstEver.frame() - margin());
        if (n >= Math.round(0.05 * fs)) {
          before = new double[n];
          long start = firstEver.frame() - margin() - n;
          reader.read(firstEver.recording(), start, n, new double[n], before);
          toRest(before, response, firstEver.recording());
        }
        double[] f = new double[length];
        for (Onset onset : some) {
          double[] x = new double[length];
          reader.read(onset.recording(), onset.frame(), length, f, x);
          toRest(x, response, onset.recording());
          drifting += Drift.takeOff(x) ? 1 : 0;
          stretches.add(x);
        }
      }
      drifts = 2 * drifting > some.size();
      double top = Double.isNaN(contactS) ? fs / 4 : Math.min(fs / 2.5, 1.3 / contactS);
      decay = Decay.of(stretches, before, responseLevel.noise(), fs, LOWEST_MODE_HZ, top);
    }
    return decay;
  }

  /** Whether the response drifts more than it rings when most of the time has gone by. */
  boolean drifts() throws IOException {
    decay();
    return drifts;
  }

  private void toRest(double[] x, Channel channel, int which) {
    double rest = responseLevel.offsets().get(which);
    for (int i = 0; i < x.length; i++) {
      x[i] = x[i] * channel.scale() - rest;
    }
  }

  /**
   * Amplitude left after a time, carried from what the decay needs to reach a tenth of a per cent.
   */
  double leftAfter(double seconds) throws IOException {
    Decay ring = decay();
    double looked = Math.min(room, LONGEST_LOOK) / fs;
    if (ring.left() > Decay.SMALL) {
      return Math.pow(ring.left(), Math.min(1, seconds / looked));
    }
    return ring.neededS() > 0 ? Math.pow(Decay.SMALL, seconds / ring.neededS()) : 0;
  }

  /** Time until the response has fallen to {@link Decay#SMALL}, s. */
  double secondsToSmall() throws IOException {
    Decay ring = decay();
    double looked = Math.min(room, LONGEST_LOOK) / fs;
    return looked * Math.log(Decay.SMALL) / Math.log(Math.min(0.9, ring.left()));
  }

  /** The largest value that most of the given ones reach. */
  static long most(long[] values) {
    long[] sorted = values.clone();
    Arrays.sort(sorted);
    return sorted[(int) Math.floor((1 - MOST) * (sorted.length - 1) + 1e-9)];
  }
}

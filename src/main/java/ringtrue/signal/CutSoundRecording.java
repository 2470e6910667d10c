package ringtrue.signal;

import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import ringtrue.acquisition.Recording;
import ringtrue.dynamics.Progress;
import ringtrue.units.BadInputException;

/** Reads a recording of a cut, a minute at a time, so that it may be as long as it likes. */
public final class CutSoundRecording {
  private static final double STRETCH_S = 60;
  private static final double LONGEST_AIR_S = 20;
  private static final int BLOCK = 8192;

  private CutSoundRecording() {}

  /**
   * Which part of a recording.
   *
   * @param channel counted from 1
   * @param fromS start, s
   * @param toS end, s; infinite for all
   */
  public record Part(int channel, double fromS, double toS) {
    public Part {
      if (channel < 1 || !(fromS >= 0) || !(toS > fromS)) {
        throw new IllegalArgumentException("no part of a recording: " + fromS + " to " + toS);
      }
    }
  }

  /**
   * The verdict on a recording.
   *
   * @param sound what matters most in it, with the verdict of each window
   * @param spectrograms of its minutes, in order
   */
  public record Heard(HeardCut sound, List<Spectrogram> spectrograms) {
    public Heard {
      spectrograms = List.copyOf(spectrograms);
    }
  }

  /**
   * Reads it.
   *
   * @param reader knows the cut
   * @param recording the cut
   * @param part which part of it
   * @param air a recording with the spindle running in air, if there is one
   * @param progress told how far it is, may cancel
   * @throws BadInputException if a channel is not there, rates differ, or nothing lies in the part
   */
  public static Heard read(
      CutSoundReader reader,
      Recording recording,
      Part part,
      Optional<Recording> air,
      Progress progress)
      throws IOException {
    double rate = recording.sampleRateHz();
    if (!(rate >= 2000 && rate <= 400_000)) {
      throw new BadInputException(
          String.format(
              Locale.ROOT,
              "%s: has %.6g samples per second; 2000 to 400000 can be listened to",
              recording.name(),
              rate));
    }
    List<AirSound> quiet = new ArrayList<>();
    if (air.isPresent()) {
      Recording other = air.get();
      if (other.sampleRateHz() != rate) {
        throw new BadInputException(
            String.format(
                Locale.ROOT,
                "%s: has %.6g samples per second, but %s has %.6g; record both at one rate",
                other.name(),
                other.sampleRateHz(),
                recording.name(),
                rate));
      }
      int channel = Math.min(part.channel, other.channels());
      long frames = Math.min(other.frames(), (long) (LONGEST_AIR_S * rate));
      double[] samples = samples(other, channel, 0, frames);
      quiet.add(new AirSound(samples, 0, samples.length, rate, false));
    }
    long from = (long) Math.min(recording.frames(), Math.rint(part.fromS * rate));
    long to = (long) Math.min(recording.frames(), Math.rint(part.toS * rate));
    if (to <= from) {
      throw new BadInputException(
          String.format(
              Locale.ROOT,
              "%s: is %.3g s long; nothing of it lies from %.3g s on",
              recording.name(),
              recording.frames() / rate,
              part.fromS));
    }
    int stretches = (int) Math.max(1, Math.ceil((to - from) / (STRETCH_S * rate)));
    List<HeardCut> all = new ArrayList<>();
    List<Spectrogram> grams = new ArrayList<>();
    for (int s = 0; s < stretches; s++) {
      long a = from + (to - from) * s / stretches;
      long b = from + (to - from) * (s + 1) / stretches;
      double[] samples = samples(recording, part.channel, a, b);
      int now = s;
      HeardCut heard =
          reader.read(
              samples,
              rate,
              a / rate,
              quiet,
              (done, what) -> progress.at((now + done) / stretches, what));
      heard.spectrogram().ifPresent(grams::add);
      all.add(heard);
    }
    return new Heard(HeardCut.together(all), grams);
  }

  /** The samples of a recording in air, up to 20 s of it. */
  public static double[] airSamples(Recording air, int channel) throws IOException {
    long most = (long) (LONGEST_AIR_S * air.sampleRateHz());
    return samples(air, Math.min(channel, air.channels()), 0, Math.min(most, air.frames()));
  }

  private static double[] samples(Recording recording, int channel, long from, long to)
      throws IOException {
    if (channel > recording.channels()) {
      throw new BadInputException(
          recording.name()
              + ": has no channel "
              + channel
              + ", but "
              + recording.channels()
              + (recording.channels() == 1 ? " channel" : " channels"));
    }
    double[] all = new double[Math.toIntExact(to - from)];
    double[][] into = new double[recording.channels()][];
    into[channel - 1] = all;
    try (Recording.Cursor cursor = recording.from(from)) {
      int n = 0;
      while (n < all.length) {
        int got = cursor.read(into, n, Math.min(BLOCK, all.length - n));
        if (got == 0) {
          throw new BadInputException(
              recording.name() + ": ends before the length that its header tells");
        }
        n += got;
      }
    }
    return all;
  }
}

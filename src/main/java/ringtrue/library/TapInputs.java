package ringtrue.library;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.InvalidPathException;
import java.nio.file.Path;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalInt;
import ringtrue.acquisition.BlowPlan;
import ringtrue.acquisition.Channel;
import ringtrue.acquisition.DemoShop;
import ringtrue.acquisition.LiveInput;
import ringtrue.acquisition.MemoryRecording;
import ringtrue.acquisition.Pace;
import ringtrue.acquisition.PcmFormat;
import ringtrue.acquisition.RawPcmInput;
import ringtrue.acquisition.Recording;
import ringtrue.acquisition.ReplayInput;
import ringtrue.acquisition.RigInput;
import ringtrue.acquisition.SoundInputs;
import ringtrue.acquisition.StoppableStream;
import ringtrue.acquisition.TapRecording;
import ringtrue.acquisition.VirtualRig;
import ringtrue.acquisition.WavRecording;
import ringtrue.signal.TapSession;
import ringtrue.units.BadInputException;
import ringtrue.units.Names;

/**
 * Opens an input by its name: the simulated machine, standard input, a recording to be replayed, or
 * else a sound input. What a complaint is about stands in front of it: {@code "input: "}, {@code
 * "rate: "}, {@code "channels: "} or {@code "bits: "}.
 */
public final class TapInputs {
  /** Name of standard input. */
  public static final String STANDARD_INPUT = "-";

  /** What the names of simulated machines begin with. */
  public static final String RIG = "rig:";

  private static final int RIG_BITS = 24;
  private static final int BLOWS = 200;
  private static final double FIRST_S = 1.5;

  /** A file may begin just before its first tap. */
  private static final double REPLAY_QUIET_S = 0.15;

  private TapInputs() {}

  /**
   * What is wanted.
   *
   * @param name {@code rig:NAME}, {@code -}, a WAV or measurement file, or a sound input's name
   * @param rateHz rate to take; empty for the input's own or best
   * @param channels channels to take; empty for as many as are needed
   * @param bits bits to take; empty for the input's own or most
   * @param needed channels that the sensors need
   * @param pace how fast what is simulated or replayed comes
   */
  public record Wish(
      String name,
      OptionalInt rateHz,
      OptionalInt channels,
      OptionalInt bits,
      int needed,
      Pace pace) {

    private void noLayout(String why) {
      if (channels.isPresent() || bits.isPresent()) {
        throw new BadInputException(
            (channels.isPresent() ? "channels" : "bits")
                + ": is for sound inputs and standard input; "
                + why);
      }
    }
  }

  /**
   * An open input.
   *
   * @param input gives the frames
   * @param about what its channels mean, where it knows that itself
   * @param quietS how long it has to be quiet before the first tap, s
   */
  public record Opened(LiveInput input, Optional<TapRecording> about, double quietS) {}

  /** Whatever opens inputs. */
  @FunctionalInterface
  public interface Opener {
    /**
     * Opens an input.
     *
     * @throws BadInputException if there is no such input, or it does not give what is wanted
     */
    Opened open(Wish wish);
  }

  /**
   * Opens inputs of this computer.
   *
   * @throws BadInputException if there is no such input, or it does not give what is wanted
   */
  public static Opened open(Wish wish) {
    return open(wish, SoundInputs.ofThisComputer());
  }

  static Opened open(Wish wish, SoundInputs sounds) {
    try {
      if (wish.name.startsWith(RIG)) {
        return rig(wish);
      }
      if (wish.name.equals(STANDARD_INPUT)) {
        return standardInput(wish);
      }
      Optional<Path> file = file(wish.name);
      return file.isPresent() ? replay(wish, file.get()) : sound(wish, sounds);
    } catch (IOException e) {
      throw new BadInputException(wish.name + ": cannot be opened: " + e.getMessage(), e);
    }
  }

  private static Optional<Path> file(String name) {
    try {
      Path path = Path.of(name);
      boolean looksLikeOne = name.toLowerCase(Locale.ROOT).matches(".*\\.(wav|json|csv|txt)");
      if (looksLikeOne && !Files.exists(path)) {
        throw new BadInputException(name + ": there is no such file to replay");
      }
      return Files.isRegularFile(path) ? Optional.of(path) : Optional.empty();
    } catch (InvalidPathException e) {
      return Optional.empty(); // a sound input may have such a name
    }
  }

  // ---- one method for each kind

  private static Opened rig(Wish wish) throws IOException {
    wish.noLayout("the simulated machine has two channels of " + RIG_BITS + " bits");
    String wanted = wish.name.substring(RIG.length());
    List<DemoShop.Series> all =
        DemoShop.series().stream().filter(s -> s.file().endsWith(".wav")).toList();
    List<String> names = all.stream().map(s -> s.file().replace(".wav", "")).toList();
    int at = names.indexOf(wanted);
    if (at < 0) {
      throw new BadInputException(
          "input: there is no simulated machine \""
              + wanted
              + "\"; "
              + Names.closest(wanted, names)
                  .map(n -> "did you mean " + RIG + n + "?")
                  .orElse("there are " + String.join(", ", names)));
    }
    DemoShop.Series series = all.get(at);
    VirtualRig rig = series.rig();
    rig = rig.withInputs(rig.force().withBits(RIG_BITS), rig.response().withBits(RIG_BITS));
    int rate = wish.rateHz.orElse((int) series.sampleRateHz());
    RigInput input = RigInput.of(rig, wanted, rate, many(series.plan()), series.seed(), wish.pace);
    Recording standIn = new MemoryRecording(input.name(), rate, new double[2][0]);
    TapRecording about =
        rig.measurement("simulated: " + wanted, series.axis(), "tool tip", List.of(standIn));
    return new Opened(input, Optional.of(about), TapSession.QUIET_S);
  }

  /** The same blows for as long as anybody may want to try. */
  private static BlowPlan many(BlowPlan some) {
    return new BlowPlan(
        BLOWS,
        FIRST_S,
        Math.max(1, some.intervalS()),
        some.intervalSpread(),
        some.peakForceN(),
        some.peakSpread(),
        some.contactS(),
        some.contactSpread(),
        some.gainSpread(),
        some.shape(),
        some.doubleHits(),
        some.strengths());
  }

  private static Opened standardInput(Wish wish) throws IOException {
    if (wish.rateHz.isEmpty() || wish.channels.isEmpty() || wish.bits.isEmpty()) {
      throw new BadInputException(
          "input: raw samples do not tell how they are laid out; give rate, channels and bits, like"
              + " 48000 Hz, 2 channels, 24 bits");
    }
    PcmFormat format =
        PcmFormat.packed(wish.rateHz.getAsInt(), wish.channels.getAsInt(), wish.bits.getAsInt());
    StoppableStream stream = new StoppableStream(System.in);
    return new Opened(
        new RawPcmInput("standard input", stream, format), Optional.empty(), TapSession.QUIET_S);
  }

  private static Opened replay(Wish wish, Path file) throws IOException {
    wish.noLayout("a recording has its own");
    Optional<Measurement> measurement =
        wish.name.toLowerCase(Locale.ROOT).endsWith(".json")
            ? Optional.of(MeasurementFile.read(file))
            : Optional.empty();
    Recording recording =
        measurement.isPresent()
            ? only(wish.name, measurement.get().recording().recordings())
            : wav(file, wish.name);
    if (wish.rateHz.isPresent() && wish.rateHz.getAsInt() != recording.sampleRateHz()) {
      throw new BadInputException(
          String.format(
              Locale.ROOT,
              "rate: %s has %.6g Hz and is replayed with that",
              wish.name,
              recording.sampleRateHz()));
    }
    ReplayInput input = ReplayInput.of(recording, wish.pace);
    if (measurement.isEmpty()) {
      withinFullScale(wish.name, input);
    }
    return new Opened(input, measurement.map(m -> scaled(m.recording(), input)), REPLAY_QUIET_S);
  }

  private static Recording wav(Path file, String name) throws IOException {
    String end = name.toLowerCase(Locale.ROOT);
    if (end.endsWith(".csv") || end.endsWith(".txt")) {
      throw new BadInputException(
          "input: "
              + name
              + " is text, which does not tell what its columns are; give the measurement file"
              + " that names it, like taps.json");
    }
    return WavRecording.open(file, name);
  }

  private static void withinFullScale(String name, ReplayInput input) {
    for (int c = 1; c <= input.channels(); c++) {
      if (input.fullScale(c) != 1) {
        throw new BadInputException(
            "input: "
                + name
                + ": channel "
                + c
                + " goes beyond full scale, as no input does; give the measurement file that names"
                + " it");
      }
    }
  }

  private static Recording only(String name, List<Recording> recordings) {
    if (recordings.size() > 1) {
      throw new BadInputException(
          "input: "
              + name
              + " names "
              + recordings.size()
              + " recordings; one at a time can be replayed");
    }
    return recordings.get(0);
  }

  /** The meaning of channels that come as fractions of the replay's full scale. */
  private static TapRecording scaled(TapRecording of, ReplayInput input) {
    return new TapRecording(
        of.name(),
        of.axis(),
        of.point(),
        of.recordings(),
        of.force().map(f -> scaled(f, input)),
        scaled(of.response(), input),
        of.quantity(),
        of.sensorMassKg(),
        of.skewS());
  }

  private static Channel scaled(Channel channel, ReplayInput input) {
    double full = input.fullScale(channel.number());
    return new Channel(
        channel.number(),
        channel.unitsPerNumber() * full,
        channel.clipsAtNumber() / full,
        channel.polarity(),
        channel.highPassHz());
  }

  private static Opened sound(Wish wish, SoundInputs sounds) {
    LiveInput input;
    try {
      input =
          sounds.open(
              wish.name,
              wish.rateHz.orElse(0),
              Math.max(wish.needed, wish.channels.orElse(1)),
              wish.bits.orElse(0));
    } catch (BadInputException e) {
      throw new BadInputException(
          "input: "
              + e.getMessage()
              + "; besides sound inputs there are rig:"
              + DemoShop.series().get(0).file().replace(".wav", "")
              + " (simulated), - (standard input), and files to replay",
          e);
    }
    return new Opened(input, Optional.empty(), TapSession.QUIET_S);
  }
}

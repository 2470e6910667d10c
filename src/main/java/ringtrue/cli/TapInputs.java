package ringtrue.cli;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import ringtrue.acquisition.BlowPlan;
import ringtrue.acquisition.DemoShop;
import ringtrue.acquisition.LiveInput;
import ringtrue.acquisition.Recording;
import ringtrue.acquisition.TapRecording;
import ringtrue.acquisition.WavRecording;
import ringtrue.signal.TapSession;
import ringtrue.units.BadInputException;
import ringtrue.units.Names;

/** Opens an input by its name: one kind after the other is asked whether the name is its own. */
final class TapInputs {
  private static final String RIG = "rig:";
  private static final int BLOWS = 200;
  private static final double FIRST_S = 1.5;

  /** A file may begin just before its first tap. */
  private static final double REPLAY_QUIET_S = 0.15;

  private TapInputs() {}

  /**
   * An open input.
   *
   * @param input gives the frames
   * @param about what its channels mean, where it knows that itself
   * @param quietS how long it has to be quiet before the first tap, s
   */
  record Opened(LiveInput input, Optional<TapRecording> about, double quietS) {}

  /** A kind of input. */
  private interface Kind {
    /** Empty if the name is not one of this kind. */
    Optional<Opened> open(String name, Optional<Double> rateHz, double timesRealTime)
        throws IOException;
  }

  private static final List<Kind> KINDS = List.of(TapInputs::rig, TapInputs::file);

  /**
   * Opens an input.
   *
   * @param name {@code rig:NAME}, or a WAV file to be replayed
   * @param rateHz rate to take; empty for the input's own
   * @param timesRealTime how fast what is simulated or replayed comes; infinite for at once
   * @throws BadInputException if there is no such input
   */
  static Opened open(String name, Optional<Double> rateHz, double timesRealTime) {
    try {
      for (Kind kind : KINDS) {
        Optional<Opened> opened = kind.open(name, rateHz, timesRealTime);
        if (opened.isPresent()) {
          return opened.get();
        }
      }
    } catch (IOException e) {
      throw new BadInputException(name + ": cannot be opened: " + e.getMessage(), e);
    }
    throw new BadInputException(
        "--input: there is no input \""
            + name
            + "\"; give rig:"
            + DemoShop.series().get(0).file().replaceAll("\\..*", "")
            + " for the simulated machine, or a WAV file to replay it");
  }

  private static Optional<Opened> rig(String name, Optional<Double> rateHz, double timesRealTime)
      throws IOException {
    if (!name.startsWith(RIG)) {
      return Optional.empty();
    }
    String wanted = name.substring(RIG.length());
    List<String> names =
        DemoShop.series().stream().map(s -> s.file().replaceAll("\\..*", "")).toList();
    int at = names.indexOf(wanted);
    if (at < 0) {
      throw new BadInputException(
          "--input: there is no simulated machine \""
              + wanted
              + "\"; "
              + Names.closest(wanted, names)
                  .map(n -> "did you mean " + RIG + n + "?")
                  .orElse("there are " + String.join(", ", names)));
    }
    DemoShop.Series series = DemoShop.series().get(at);
    BlowPlan some = series.plan();
    BlowPlan many =
        new BlowPlan(
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
    double rate = rateHz.orElse(series.sampleRateHz());
    Recording recording =
        series
            .rig()
            .record(
                wanted,
                rate,
                many.durationS(series.seed()),
                many.blows(series.seed()),
                series.seed());
    TapRecording about =
        series
            .rig()
            .measurement("simulated: " + wanted, series.axis(), "tool tip", List.of(recording));
    return Optional.of(
        new Opened(
            new ReplayedRecording(recording, 24, timesRealTime),
            Optional.of(about),
            TapSession.QUIET_S));
  }

  private static Optional<Opened> file(String name, Optional<Double> rateHz, double timesRealTime)
      throws IOException {
    if (!Files.isRegularFile(Path.of(name))) {
      return Optional.empty();
    }
    Recording recording = WavRecording.open(Path.of(name), name);
    if (rateHz.isPresent() && rateHz.get() != recording.sampleRateHz()) {
      throw new BadInputException(
          "--rate: " + name + " has " + recording.sampleRateHz() + " Hz and is replayed with that");
    }
    return Optional.of(
        new Opened(
            new ReplayedRecording(recording, 32, timesRealTime), Optional.empty(), REPLAY_QUIET_S));
  }
}

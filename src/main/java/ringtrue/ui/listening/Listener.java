package ringtrue.ui.listening;

import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.concurrent.CancellationException;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.function.Consumer;
import ringtrue.acquisition.LiveInput;
import ringtrue.acquisition.Pace;
import ringtrue.acquisition.Recording;
import ringtrue.acquisition.ReplayInput;
import ringtrue.acquisition.StreamedWav;
import ringtrue.acquisition.WavRecording;
import ringtrue.dynamics.Progress;
import ringtrue.library.CutSoundFile;
import ringtrue.library.HeardCuts;
import ringtrue.library.ModalWay;
import ringtrue.planning.SoundAdvice;
import ringtrue.signal.CutSoundRecording;
import ringtrue.signal.CutSoundSession;
import ringtrue.signal.HeardCut;
import ringtrue.signal.RunningSpectrogram;
import ringtrue.stability.CutInTime;
import ringtrue.stability.CuttingProcess;
import ringtrue.stability.SimulatedCut;
import ringtrue.stability.SimulationSettings;
import ringtrue.stability.SimulationSettings.Sound;
import ringtrue.stability.SimulationSettings.StockEdge;
import ringtrue.ui.plot.PlotContent;
import ringtrue.units.BadInputException;

/** Listens to a cut, away from the event thread; one of them for one sound. */
final class Listener {
  static final double KEPT_S = 20;
  private static final double PORTION_S = 0.05;
  private static final double SHOW_EVERY_S = 0.2;
  private static final double MEAN_S = 0.4;
  private static final double GRAM_EVERY_S = 0.5;
  private static final double SIMULATED_S = 6;
  private static final int SIMULATED_HZ = 48_000;
  private static final double SHORTEST_S = 0.2;
  private static final double CLIPS_AT = 0.9999;

  private final Known known;
  private final boolean inches;
  private final Optional<Path> air;
  private final int channel;
  private final Progress progress;
  private final SoundCharts charts;
  private final List<String> remarks = new ArrayList<>();

  /**
   * What is heard at a moment.
   *
   * @param timeS since the beginning, s
   * @param peak largest part of full scale since the moment before
   * @param clipped whether the input went to its end
   * @param spectrum to be shown
   * @param gram to be shown
   * @param heard the verdict of the last seconds, once there is one
   */
  record Moment(
      double timeS,
      double peak,
      boolean clipped,
      PlotContent spectrum,
      PlotContent gram,
      Optional<HeardCut> heard) {}

  /**
   * @param known the cut
   * @param inches whether lengths in sentences are in inches
   * @param air recording of the spindle in air
   * @param channel with the microphone, counted from 1
   * @param key tells this sound from others
   */
  Listener(
      Known known, boolean inches, Optional<Path> air, int channel, String key, Progress progress) {
    this.known = known;
    this.inches = inches;
    this.air = air;
    this.channel = channel;
    this.progress = progress;
    this.charts = new SoundCharts(known, key);
    remarks.addAll(known.remarks());
  }

  // ---- a recording

  /** Reads a stretch of a recording. */
  Heard read(Path file, double fromS, double toS, Heard.Source source, String problem)
      throws IOException {
    Recording recording;
    try {
      recording = WavRecording.open(file, file.getFileName().toString());
    } catch (IOException e) {
      throw new BadInputException(file.getFileName() + ": cannot be read: " + e.getMessage(), e);
    }
    double lengthS = recording.frames() / recording.sampleRateHz();
    if (recording.frames() > 0 && lengthS < SHORTEST_S) {
      throw new BadInputException(
          String.format(
              Locale.ROOT,
              "%s: is only %.2g s long; some seconds of the cut are needed",
              file.getFileName(),
              lengthS));
    }
    remarks.addAll(recording.remarks());
    CutSoundRecording.Heard heard =
        CutSoundRecording.read(
            known.reader(),
            recording,
            new CutSoundRecording.Part(channel, fromS, toS),
            air(),
            (done, what) -> progress.at(0.1 + 0.6 * done, "reading the sound"));
    progress.at(0.7, "asking the lobes");
    SoundAdvice advice =
        HeardCuts.advice(
            known.cut(),
            heard.sound(),
            inches,
            (done, what) -> progress.at(0.7 + 0.3 * done, "asking the lobes"));
    remarks.addAll(heard.sound().remarks());
    return new Heard(
        known,
        heard.sound(),
        advice,
        source,
        file,
        lengthS,
        charts.spectrum(heard.sound()),
        charts.gram(heard.sound(), heard.spectrograms()),
        remarks.stream().distinct().toList(),
        problem);
  }

  private Optional<Recording> air() throws IOException {
    return air.isEmpty()
        ? Optional.empty()
        : Optional.of(WavRecording.open(air.get(), air.get().getFileName().toString()));
  }

  // ---- live

  /** The sound that the cut would have by its simulation, played at its real pace. */
  Heard simulated(Path file, AtomicBoolean stop, Consumer<Moment> tell) throws IOException {
    progress.at(0.02, "simulating the cut");
    CuttingProcess process = known.cut().process();
    if (ModalWay.measured(process)) {
      process = ModalWay.modal(process, progress);
    }
    SimulatedCut cut =
        CutInTime.run(
            process,
            SimulationSettings.USUAL
                .with(StockEdge.FIXED_ANGLES)
                .withSound(Sound.VELOCITY, SIMULATED_S, SIMULATED_HZ),
            (done, what) -> progress.at(0.1 * done, "simulating the cut"));
    if (cut.sound().isEmpty() || cut.sound().get().size() == 0) {
      throw new BadInputException(
          "the simulated cut has no sound: its displacement became absurd before");
    }
    CutSoundFile.write(file, cut.sound().get(), true);
    try (LiveInput input = ReplayInput.of(WavRecording.open(file), new Pace(1))) {
      listen(input, Optional.empty(), stop, tell);
    }
    return read(file, 0, Double.POSITIVE_INFINITY, Heard.Source.SIMULATED, "");
  }

  /** A sound input, kept in a file. */
  Heard live(LiveInput input, Path file, AtomicBoolean stop, Consumer<Moment> tell)
      throws IOException {
    if (channel > input.channels()) {
      throw new BadInputException(
          String.format(Locale.ROOT, "%s has %d channels only", input.name(), input.channels()));
    }
    String problem = listen(input, Optional.of(file), stop, tell);
    return read(file, 0, Double.POSITIVE_INFINITY, Heard.Source.INPUT, problem);
  }

  /** Listens until it is stopped or the input ends; gives what broke it off, or nothing. */
  private String listen(
      LiveInput input, Optional<Path> keep, AtomicBoolean stop, Consumer<Moment> tell)
      throws IOException {
    double hz = input.sampleRateHz();
    CutSoundSession session = new CutSoundSession(known.reader(), hz, quiet(hz));
    RunningSpectrogram running = new RunningSpectrogram(hz, known.topHz(), KEPT_S);
    int portion = (int) Math.max(16, Math.round(PORTION_S * hz));
    double[] frames = new double[portion * input.channels()];
    double[] mono = new double[portion];
    List<HeardCut.Part> parts = new ArrayList<>();
    Optional<HeardCut> heard = Optional.empty();
    double peak = 0;
    double shown = 0;
    double drawn = Double.NEGATIVE_INFINITY;
    PlotContent gram = PlotContent.empty("");
    String problem = "";
    try (StreamedWav kept =
        keep.isEmpty()
            ? null
            : StreamedWav.create(keep.get(), (int) hz, input.channels(), input.bits(), false)) {
      while (!stop.get()) {
        progress.at(0.1, "listening");
        int n;
        try {
          n = input.read(frames, portion);
        } catch (IOException | BadInputException e) {
          problem = e.getMessage() + "; what came before was listened to";
          break;
        }
        if (n < 0) {
          break;
        }
        if (kept != null) {
          kept.write(frames, n);
        }
        for (int i = 0; i < n; i++) {
          mono[i] = frames[i * input.channels() + channel - 1];
          peak = Math.max(peak, Math.abs(mono[i]));
        }
        running.take(mono, n);
        Optional<HeardCut> now = session.take(mono, n);
        if (now.isPresent()) {
          heard = now;
          HeardCut h = now.get();
          parts.add(
              new HeardCut.Part(
                  Math.max(h.fromS(), session.timeS() - 1),
                  session.timeS(),
                  h.verdict(),
                  h.spindleHz(),
                  h.chatterHz()));
          parts.removeIf(p -> p.toS() < session.timeS() - 2 * KEPT_S);
        }
        if (now.isPresent() || session.timeS() - shown >= SHOW_EVERY_S) {
          shown = session.timeS();
          if (shown - drawn >= GRAM_EVERY_S) {
            drawn = shown;
            gram = charts.gram(running.columns(), running.stepHz(), KEPT_S, parts);
          }
          tell.accept(
              new Moment(
                  session.timeS(),
                  peak,
                  peak >= CLIPS_AT,
                  charts.spectrum(running.mean(MEAN_S), running.stepHz(), heard),
                  gram,
                  now));
          peak = 0;
        }
      }
    }
    input
        .gaps()
        .forEach(
            g ->
                remarks.add(
                    String.format(
                        Locale.ROOT,
                        "%d frames are missing at %.2f s: %s",
                        g.missingFrames(),
                        g.atFrame() / hz,
                        g.why())));
    if (session.timeS() == 0) {
      if (stop.get()) {
        throw new CancellationException();
      }
      throw new BadInputException(
          problem.isEmpty() ? input.name() + ": not a single frame came" : problem);
    }
    return problem;
  }

  private double[] quiet(double hz) throws IOException {
    Optional<Recording> other = air();
    if (other.isEmpty()) {
      return new double[0];
    }
    if (other.get().sampleRateHz() != hz) {
      throw new BadInputException(
          String.format(
              Locale.ROOT,
              "%s has %.6g samples per second, the sound %.6g; record both at one rate",
              other.get().name(),
              other.get().sampleRateHz(),
              hz));
    }
    return CutSoundRecording.airSamples(other.get(), channel);
  }
}

package ringtrue.cli;

import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.concurrent.atomic.AtomicBoolean;
import picocli.CommandLine;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import ringtrue.acquisition.LiveInput;
import ringtrue.acquisition.Pace;
import ringtrue.acquisition.Recording;
import ringtrue.acquisition.StreamedWav;
import ringtrue.acquisition.WavRecording;
import ringtrue.dynamics.Progress;
import ringtrue.library.Cut;
import ringtrue.library.CutFile;
import ringtrue.library.HeardCuts;
import ringtrue.library.SafeFile;
import ringtrue.library.TapInputs;
import ringtrue.planning.SoundAdvice;
import ringtrue.report.LengthUnit;
import ringtrue.report.Picture;
import ringtrue.report.SoundPicture;
import ringtrue.signal.CutSoundReader;
import ringtrue.signal.CutSoundRecording;
import ringtrue.signal.CutSoundSession;
import ringtrue.signal.HeardCut;
import ringtrue.signal.HeardStructure;
import ringtrue.signal.SoundSpectrum;
import ringtrue.signal.StatedCut;
import ringtrue.units.BadInputException;
import ringtrue.units.Dimension;

/** {@code listen}: what the sound of a real cut tells. */
@CommandLine.Command(
    name = "listen",
    sortOptions = false,
    description = "Reads the sound of a real cut: speed, tooth passing, run-out, chatter.",
    footer = {
      "",
      "Example: ringtrue listen cut.wav cut.json --air air.wav --png sound.png",
      "         ringtrue listen --input \"USB box\" --out cut.wav cut.json"
    })
final class ListenCommand extends Command {
  private static final long FINISHING_S = 20;
  private static final double PORTION_S = 0.05;
  private static final double LARGEST_SCALE = 8;

  @Parameters(
      arity = "1..2",
      paramLabel = "CUT.wav CUT.json",
      description = "the recording, and the cut file; with --input only the cut file")
  private List<Path> files = new ArrayList<>();

  @Option(
      names = "--input",
      paramLabel = "NAME",
      description =
          "listen while it is cut: a sound input (see inputs), a WAV file replayed, rig:NAME, or - for"
              + " raw integer samples on standard input")
  private String inputName;

  @Option(names = "--out", paramLabel = "FILE.wav", description = "with --input: keep the sound")
  private Path out;

  @Option(
      names = "--air",
      paramLabel = "AIR.wav",
      description = "the same machine at the same speed, cutting nothing")
  private Path air;

  @Option(
      names = "--channel",
      paramLabel = "N",
      description = "channel with the microphone (default: 1)")
  private String channel = "1";

  @Option(names = "--from", paramLabel = "TIME", description = "leave out what comes before")
  private String from;

  @Option(names = "--to", paramLabel = "TIME", description = "leave out what comes after")
  private String to;

  @Option(
      names = "--for",
      paramLabel = "TIME",
      description = "with --input: end after so long (default: Ctrl-C ends)")
  private String lasting;

  @Option(names = "--rate", paramLabel = "HZ", description = "with --input: sample rate")
  private String rate;

  @Option(names = "--channels", paramLabel = "N", description = "with --input: channels to take")
  private String channels;

  @Option(names = "--bits", paramLabel = "N", description = "with --input: bits of a sample")
  private String bits;

  @Option(
      names = "--pace",
      paramLabel = "TIMES",
      description = "how many times faster than real time a replay runs")
  private String pace = "1";

  @Option(
      names = "--csv",
      paramLabel = "FILE.csv",
      description = "write the mean spectrum of the cut")
  private Path csv;

  @Option(
      names = "--png",
      paramLabel = "FILE.png",
      description = "draw spectrum and spectrogram with the comb and what was found")
  private Path png;

  @Option(
      names = "--scale",
      paramLabel = "N",
      description = "pixels of the picture for each usual one (2 for print)")
  private String scale = "1";

  @Option(
      names = "--units",
      paramLabel = "mm|in",
      description = "lengths in what is printed (default: mm)")
  private String units = "mm";

  @Option(
      names = "--catalogue",
      paramLabel = "FILE",
      description = "your own materials or machines, before the bundled ones; repeatable")
  private List<Path> catalogueFiles = new ArrayList<>();

  private final AtomicBoolean stop = new AtomicBoolean();

  @Override
  public Integer call() {
    LengthUnit unit = lengthUnit(units);
    requireEnding("--csv", csv, ".csv", ".txt");
    requireEnding("--png", png, Picture.endings());
    requireEnding("--out", out, ".wav");
    boolean live = inputName != null;
    Path cutFile = files.get(files.size() - 1);
    check(live, cutFile);
    int microphone = (int) Options.whole("--channel", channel, 1, 16);
    double fromS = time("--from", from, 0);
    double toS = time("--to", to, Double.POSITIVE_INFINITY);
    if (!(toS > fromS)) {
      throw new BadInputException("--to: \"" + to + "\" must be later than --from");
    }
    double pixels = Options.number("--scale", scale, Dimension.RATIO, "");
    if (!(pixels >= 1 && pixels <= LARGEST_SCALE)) {
      throw new BadInputException("--scale: \"" + scale + "\" must be from 1 to 8");
    }
    mayWrite(csv, png, out);
    requireOthers(cutFile, csv, png, out);
    List<String> remarks = new ArrayList<>();
    Cut cut;
    CutSoundReader reader;
    try (TerminalProgress progress = new TerminalProgress(err())) {
      cut = CutFile.read(cutFile, CutCommand.catalogue(catalogueFiles), progress);
      remarks.addAll(cut.remarks());
      StatedCut stated = HeardCuts.stated(cut.process());
      HeardStructure structure = HeardCuts.structure(cut.process(), remarks, progress);
      reader = new CutSoundReader(stated, structure);
    } catch (BadInputException e) {
      throw Places.named(cutFile, e);
    }
    CutSoundRecording.Part part = new CutSoundRecording.Part(microphone, fromS, toS);
    Heard heard = live ? listen(reader, part, remarks) : read(reader, part, remarks);
    return result(heard, cut, unit, pixels, remarks);
  }

  /** What was heard, and what went wrong meanwhile. */
  private record Heard(CutSoundRecording.Heard sound, Optional<String> problem) {}

  private void check(boolean live, Path cutFile) {
    if (live && files.size() > 1) {
      throw new BadInputException(
          "with --input there is no recording to name; give only the cut file, and --out FILE.wav to"
              + " keep the sound");
    }
    if (!live && files.size() < 2) {
      throw new BadInputException(
          "listen needs the recording and the cut file, like: listen cut.wav cut.json; or --input"
              + " NAME to listen while it is cut");
    }
    if (!live && (out != null || lasting != null)) {
      throw new BadInputException(
          (out != null ? "--out" : "--for") + ": belongs to --input, which listens live");
    }
    if (live && (from != null || to != null)) {
      throw new BadInputException(
          (from != null ? "--from" : "--to") + ": belongs to a recording, not to --input");
    }
    if (!cutFile.toString().toLowerCase(Locale.ROOT).endsWith(".json")) {
      throw new BadInputException(
          cutFile + ": must be the cut file, which ends in .json; it comes after the recording");
    }
    if (out != null) {
      Path folder = out.toAbsolutePath().normalize().getParent();
      if (!Files.isDirectory(folder)) {
        throw new BadInputException("--out: the folder of " + out + " does not exist");
      }
    }
  }

  private static double time(String option, String text, double otherwise) {
    if (text == null) {
      return otherwise;
    }
    double value = Options.number(option, text, Dimension.TIME, "s");
    if (!(value >= 0)) {
      throw new BadInputException(option + ": \"" + text + "\" must not be negative");
    }
    return value;
  }

  private Optional<Recording> air() throws IOException {
    return air == null ? Optional.empty() : Optional.of(WavRecording.open(air));
  }

  // ---- a recording

  private Heard read(CutSoundReader reader, CutSoundRecording.Part part, List<String> remarks) {
    Path wav = files.get(0);
    requireOthers(wav, csv, png);
    try (TerminalProgress progress = new TerminalProgress(err())) {
      Recording recording = WavRecording.open(wav);
      remarks.addAll(recording.remarks());
      if (recording.channels() > 1 && part.channel() == 1) {
        remarks.add(
            String.format(
                Locale.ROOT,
                "channel 1 of %d was listened to; --channel takes another",
                recording.channels()));
      }
      return new Heard(
          CutSoundRecording.read(reader, recording, part, air(), progress), Optional.empty());
    } catch (IOException e) {
      throw new BadInputException(wav + ": cannot be read: " + e.getMessage(), e);
    }
  }

  // ---- live

  private Heard listen(CutSoundReader reader, CutSoundRecording.Part part, List<String> remarks) {
    double most =
        lasting == null
            ? Double.POSITIVE_INFINITY
            : Options.positive("--for", lasting, Dimension.TIME);
    TapInputs.Wish wish =
        new TapInputs.Wish(
            inputName,
            rate == null
                ? OptionalInt.empty()
                : OptionalInt.of((int) Options.number("--rate", rate, Dimension.FREQUENCY, "Hz")),
            channels == null
                ? OptionalInt.empty()
                : OptionalInt.of((int) Options.whole("--channels", channels, 1, 16)),
            bits == null
                ? OptionalInt.empty()
                : OptionalInt.of((int) Options.whole("--bits", bits, 16, 32)),
            part.channel(),
            new Pace(pace()));
    try (LiveInput input = Options.input(wish).input()) {
      if (part.channel() > input.channels()) {
        throw new BadInputException(
            "--channel: " + input.name() + " has " + input.channels() + " channels only");
      }
      double[] quiet = new double[0];
      if (air != null) {
        Recording other = WavRecording.open(air);
        if (other.sampleRateHz() != input.sampleRateHz()) {
          throw new BadInputException(
              String.format(
                  Locale.ROOT,
                  "--air: %s has %.6g samples per second, the input %.6g; record both at one rate",
                  other.name(),
                  other.sampleRateHz(),
                  input.sampleRateHz()));
        }
        quiet = CutSoundRecording.airSamples(other, part.channel());
      }
      OrderlyStop watch = new OrderlyStop(stop, input, FINISHING_S);
      try {
        return record(reader, part, input, quiet, most, remarks);
      } finally {
        out().flush();
        err().flush();
        watch.close();
      }
    } catch (IOException e) {
      throw new BadInputException(inputName + ": cannot be listened to: " + e.getMessage(), e);
    }
  }

  private double pace() {
    double times = Options.number("--pace", pace, Dimension.RATIO, "");
    if (!(times > 0)) {
      throw new BadInputException("--pace: \"" + pace + "\" must be more than zero");
    }
    return times;
  }

  private Heard record(
      CutSoundReader reader,
      CutSoundRecording.Part part,
      LiveInput input,
      double[] quiet,
      double mostS,
      List<String> remarks)
      throws IOException {
    double hz = input.sampleRateHz();
    CutSoundSession session = new CutSoundSession(reader, hz, quiet);
    PrintWriter words = json ? err() : out();
    words.println("listening to " + input.name() + (json ? "" : "; Ctrl-C ends"));
    int portion = (int) Math.max(16, Math.round(PORTION_S * hz));
    double[] frames = new double[portion * input.channels()];
    double[] mono = new double[portion];
    String problem = null;
    try (StreamedWav kept =
        out == null
            ? null
            : StreamedWav.create(out, (int) hz, input.channels(), input.bits(), overwrite)) {
      while (!stop.get() && session.timeS() < mostS) {
        int n;
        try {
          n = input.read(frames, portion);
        } catch (IOException | BadInputException e) {
          problem = String.valueOf(e.getMessage());
          break;
        }
        if (n < 0) {
          break;
        }
        if (kept != null) {
          kept.write(frames, n);
        }
        for (int i = 0; i < n; i++) {
          mono[i] = frames[i * input.channels() + part.channel() - 1];
        }
        session.take(mono, n).ifPresent(now -> tell(words, now));
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
      throw new BadInputException(
          problem == null ? input.name() + ": not a single frame came" : problem);
    }
    return new Heard(whole(reader, part, session), Optional.ofNullable(problem));
  }

  /** Everything once more, now that all is known: from the file if there is one. */
  private CutSoundRecording.Heard whole(
      CutSoundReader reader, CutSoundRecording.Part part, CutSoundSession session)
      throws IOException {
    if (out != null) {
      return CutSoundRecording.read(reader, WavRecording.open(out), part, air(), Progress.NONE);
    }
    HeardCut heard = session.result(Progress.NONE);
    return new CutSoundRecording.Heard(heard, heard.spectrogram().stream().toList());
  }

  private void tell(PrintWriter words, HeardCut now) {
    if (json) {
      words.print(
          JsonOut.text(
              o -> {
                o.put("event", "heard");
                ListenJson.part(
                    o,
                    new HeardCut.Part(
                        now.fromS(), now.toS(), now.verdict(), now.spindleHz(), now.chatterHz()));
              }));
    } else {
      words.println(ListenText.brief(now));
    }
    words.flush();
  }

  // ---- afterwards

  private Integer result(Heard all, Cut cut, LengthUnit unit, double pixels, List<String> remarks) {
    HeardCut heard = all.sound.sound();
    SoundAdvice advice;
    try (TerminalProgress progress = new TerminalProgress(err())) {
      advice = HeardCuts.advice(cut, heard, unit == LengthUnit.INCH, progress);
    }
    remarks.addAll(heard.remarks());
    if (csv != null) {
      String text =
          heard.spectrum().map(ListenCommand::toCsv).orElse("frequency_hz,level_db,noise_db\n");
      SafeFile.writeText(csv, overwrite, text);
      wrote(csv);
    }
    draw(
        png,
        () ->
            SoundPicture.of(
                cut.name(),
                heard,
                all.sound.spectrograms(),
                advice,
                HeardCuts.stated(cut.process())),
        pixels);
    if (out != null) {
      wrote(out);
    }
    if (json) {
      JsonOut.write(
          out(), o -> ListenJson.write(o, heard, advice, cut.process().speedRpm() / 60, remarks));
    } else {
      ListenText.of(heard, advice, cut, unit).forEach(out()::println);
    }
    remarks(remarks);
    all.problem.ifPresent(
        p -> err().println("ringtrue: " + p + "; what came before was listened to"));
    return all.problem.isPresent() ? Ringtrue.BAD_INPUT : Ringtrue.DONE;
  }

  private static String toCsv(SoundSpectrum spectrum) {
    StringBuilder text = new StringBuilder("frequency_hz,level_db,noise_db\n");
    for (int k = 1; k < spectrum.size(); k++) {
      text.append(
          String.format(
              Locale.ROOT,
              "%.4f,%.2f,%.2f%n",
              k * spectrum.stepHz(),
              spectrum.levelDb(k),
              spectrum.noiseDb(k)));
    }
    return text.toString();
  }
}

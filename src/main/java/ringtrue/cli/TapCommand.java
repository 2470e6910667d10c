package ringtrue.cli;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.io.PrintWriter;
import java.nio.charset.Charset;
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
import ringtrue.acquisition.MemoryRecording;
import ringtrue.acquisition.Pace;
import ringtrue.acquisition.Recording;
import ringtrue.acquisition.SessionFiles;
import ringtrue.acquisition.TapLog;
import ringtrue.acquisition.TapRecording;
import ringtrue.acquisition.TapSounds;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.library.InputProfile;
import ringtrue.library.InputProfileFile;
import ringtrue.library.Measurement;
import ringtrue.library.MeasurementFile;
import ringtrue.library.MeasurementText;
import ringtrue.library.SafeFile;
import ringtrue.library.TapInputs;
import ringtrue.library.UserFolder;
import ringtrue.report.TapGuide;
import ringtrue.signal.AveragedResponse;
import ringtrue.signal.SessionTap;
import ringtrue.signal.TapEvent;
import ringtrue.signal.TapRun;
import ringtrue.signal.TapSession;
import ringtrue.units.BadInputException;
import ringtrue.units.Dimension;

/** {@code tap}: records taps at the machine and judges each as it comes. */
@CommandLine.Command(
    name = "tap",
    sortOptions = false,
    description = {
      "Records taps at the machine and judges each as it comes, with a sound for kept",
      "and another for set aside. MEASUREMENT.json says what the sensors are; recording",
      "and verdicts are added to it, so that frf and modes go on from there.",
      "With --json, what happens goes to standard error, one JSON object in each line."
    },
    footer = {
      "",
      "On a terminal, while it runs: x sets the last tap aside, x 3 tap 3, k 3 takes tap 3 back,",
      "q ends it, each with Enter. Ctrl-C ends it too, and everything is kept.",
      "",
      "Example: ringtrue tap --input rig:tool-8mm-x --taps 5 --out try.wav try.json"
    })
final class TapCommand extends Command {
  private static final long FINISHING_S = 10;

  @Option(
      names = "--input",
      paramLabel = "NAME",
      description =
          "where frames come from: the name of a sound input, a part of it, or its number (see"
              + " inputs); rig:NAME is the simulated machine; a WAV or measurement file is"
              + " replayed; - is standard input with raw integer samples, little end first"
              + " (default: the profile's)")
  private String inputName;

  @Option(
      names = "--profile",
      paramLabel = "PROFILE",
      description =
          "input profile with device, full scales, skew and sensors: a file, or the name of one in the"
              + " user's folder")
  private String profileName;

  @Option(
      names = "--rate",
      paramLabel = "HZ",
      description = "sample rate (default: the profile's, or the input's own or highest)")
  private String rate;

  @Option(
      names = "--channels",
      paramLabel = "N",
      description = "channels to take (default: as many as the sensors need)")
  private String channels;

  @Option(
      names = "--bits",
      paramLabel = "N",
      description =
          "bits of a sample, 16, 24 or 32 (default: the profile's, or the most there are)")
  private String bits;

  @Option(
      names = "--taps",
      paramLabel = "N",
      description = "taps to keep (default: 5; 0 for no end)")
  private String taps = "5";

  @Option(
      names = "--coherence",
      paramLabel = "C",
      description =
          "end as soon as nine tenths of the lines in the band have this coherence, with 3 taps or more")
  private String coherence;

  @Option(
      names = "--band",
      paramLabel = "LO:HI",
      description = "wanted band in Hz; a blow that does not reach its end is set aside")
  private String band;

  @Option(
      names = "--trigger",
      paramLabel = "FORCE",
      description = "trigger level, like \"2 N\" (default: from the noise)")
  private String trigger;

  @Option(
      names = "--wait",
      paramLabel = "TIME",
      description = "give up when no tap comes for this time (default: 120 s)")
  private String patience = "120 s";

  @Option(
      names = "--pace",
      paramLabel = "TIMES",
      description = "how many times faster than real time a replay or the simulated machine runs")
  private String pace = "1";

  @Option(names = "--quiet", description = "no sounds")
  private boolean quiet;

  @Option(names = "--yes", description = "the cautions were read and hold; do not ask")
  private boolean yes;

  @Option(names = "--out", required = true, paramLabel = "FILE.wav", description = "the recording")
  private Path wav;

  @Parameters(
      paramLabel = "MEASUREMENT.json",
      description = "measurement file (ringtrue-measurement/1), in the folder of the recording")
  private Path file;

  private final AtomicBoolean stop = new AtomicBoolean();
  private final TapInputs.Opener inputs;
  private SessionFiles files;
  private boolean named;

  TapCommand() {
    this(Options::input);
  }

  TapCommand(TapInputs.Opener inputs) {
    this.inputs = inputs;
  }

  @Override
  public Integer call() {
    check();
    PrintWriter words = json ? err() : out();
    TapSession.Goal goal = goal();
    Optional<InputProfile> profile =
        Optional.ofNullable(profileName)
            .map(p -> InputProfileFile.read(UserFolder.inputProfile(p)));
    Optional<String> given = given(profile);
    TapInputs.Opened opened = inputs.open(wish(profile, given));
    try (LiveInput input = opened.input()) {
      Recording standIn =
          new MemoryRecording(
              String.valueOf(wav.getFileName()),
              input.sampleRateHz(),
              new double[input.channels()][0]);
      String text = description(opened, profile, given);
      Measurement measurement = setUp(text, standIn);
      TapSession session =
          new TapSession(
              measurement.recording(),
              measurement.processing(),
              goal,
              (frame, count, into) -> files.read(frame, count, into),
              opened.quietS());
      words.println(
          String.format(
              Locale.ROOT,
              "Recording from %s: %d channels, %.6g kHz, %d bits",
              input.name(),
              input.channels(),
              input.sampleRateHz() / 1000,
              input.bits()));
      profile.ifPresent(p -> compare(words, p, input));
      guide(words, measurement.recording(), goal);
      return record(input, session, goal, text);
    } catch (IOException e) {
      throw new BadInputException(
          wav.getFileName() + ": recording broke off: " + e.getMessage(), e);
    }
  }

  // ---- before

  private void check() {
    Path folder = wav.toAbsolutePath().normalize().getParent();
    if (!folder.equals(file.toAbsolutePath().normalize().getParent())) {
      throw new BadInputException(
          "--out: " + wav + " must go to the folder of " + file + ", which names it");
    }
    requireEnding("--out", wav, ".wav");
    if (!Files.isDirectory(folder)) {
      throw new BadInputException("--out: the folder of " + wav + " does not exist");
    }
    mayWrite(wav, TapLog.beside(wav));
    for (Path read : readFrom()) {
      requireOthers(read, wav, file);
    }
    if (Files.isDirectory(file)) {
      throw new BadInputException(file + ": is a folder; a measurement file is needed");
    }
    if (Files.exists(file) && MeasurementFile.namesRecordings(file) && !overwrite) {
      throw new BadInputException(
          file
              + ": names recordings already; add --overwrite to put this one in their place, or"
              + " choose another name");
    }
  }

  /** The files that a replay reads. */
  private List<Path> readFrom() {
    if (inputName == null || !inputName.toLowerCase(Locale.ROOT).matches(".*\\.(wav|json)")) {
      return List.of();
    }
    Path input = Path.of(inputName);
    if (!Files.isRegularFile(input)) {
      return List.of();
    }
    List<Path> all = new ArrayList<>(List.of(input));
    if (!inputName.toLowerCase(Locale.ROOT).endsWith(".wav")) {
      MeasurementFile.read(input)
          .recording()
          .recordings()
          .forEach(r -> all.add(input.resolveSibling(r.name())));
    }
    return all;
  }

  private TapSession.Goal goal() {
    double low = Double.NaN;
    double high = Double.NaN;
    if (band != null) {
      String[] ends = band.split(":", -1);
      if (ends.length != 2) {
        throw new BadInputException("--band: \"" + band + "\" must be LO:HI in Hz, like 50:3000");
      }
      low = Options.number("--band", ends[0], Dimension.FREQUENCY, "Hz");
      high = Options.number("--band", ends[1], Dimension.FREQUENCY, "Hz");
      if (!(low >= 0 && high > low)) {
        throw new BadInputException("--band: \"" + band + "\" must rise, like 50:3000");
      }
    }
    double wantedCoherence = Double.NaN;
    if (coherence != null) {
      wantedCoherence = Options.number("--coherence", coherence, Dimension.RATIO, "");
      if (!(wantedCoherence > 0 && wantedCoherence < 1)) {
        throw new BadInputException("--coherence: \"" + coherence + "\" must lie between 0 and 1");
      }
    }
    return new TapSession.Goal(
        (int) Options.whole("--taps", taps, 0, 10_000),
        wantedCoherence,
        low,
        high,
        trigger == null ? Double.NaN : positive("--trigger", trigger, Dimension.FORCE, "N"),
        positive("--wait", patience, Dimension.TIME, "s"));
  }

  private double times() {
    double times = Options.number("--pace", pace, Dimension.RATIO, "");
    if (!(times > 0)) {
      throw new BadInputException("--pace: \"" + pace + "\" must be more than zero");
    }
    return times;
  }

  private TapInputs.Wish wish(Optional<InputProfile> profile, Optional<String> given) {
    Optional<String> device = profile.map(InputProfile::device).filter(d -> !d.isBlank());
    if (inputName == null && device.isEmpty()) {
      throw new BadInputException(
          "tap needs --input NAME: a sound input (see inputs), rig:NAME, - or a file to replay");
    }
    // another input than the profile's is taken as it is
    Optional<InputProfile> own = inputName == null ? profile : Optional.empty();
    return new TapInputs.Wish(
        inputName == null ? device.get() : inputName,
        rate != null ? OptionalInt.of(wholeHertz()) : number(own.map(InputProfile::sampleRateHz)),
        channels != null
            ? OptionalInt.of((int) Options.whole("--channels", channels, 1, 16))
            : OptionalInt.empty(),
        bits != null
            ? OptionalInt.of(depth())
            : number(own.map(InputProfile::bits).filter(b -> b > 0)),
        given.map(t -> MeasurementFile.channelsNeeded(ownName(), t)).orElse(1),
        new Pace(times()));
  }

  private static OptionalInt number(Optional<Integer> of) {
    return of.map(OptionalInt::of).orElse(OptionalInt.empty());
  }

  private int wholeHertz() {
    double hertz = positive("--rate", rate, Dimension.FREQUENCY, "Hz");
    if (hertz != Math.rint(hertz) || hertz > 384_000) {
      throw new BadInputException(
          "--rate: \"" + rate + "\" must be a whole number of Hz up to 384000, like 48000");
    }
    return (int) hertz;
  }

  private int depth() {
    int depth = (int) Options.whole("--bits", bits, 16, 32);
    if (depth % 8 != 0) {
      throw new BadInputException("--bits: \"" + bits + "\" must be 16, 24 or 32");
    }
    return depth;
  }

  /** Full scale and skew were found with the profile's device, rate and bits. */
  private static void compare(PrintWriter words, InputProfile profile, LiveInput input) {
    words.println("Input profile " + profile.name());
    if (!profile.gain().isBlank()) {
      words.println("  check that the gain stands at: " + profile.gain());
    }
    profile
        .warnings(input.name(), input.sampleRateHz(), input.bits())
        .forEach(w -> words.println("  ! " + w));
  }

  private static double positive(String option, String text, Dimension dimension, String unit) {
    double value = Options.number(option, text, dimension, unit);
    if (!(value > 0)) {
      throw new BadInputException(option + ": \"" + text + "\" must be more than zero");
    }
    return value;
  }

  /** What is known of the sensors before the input is open. */
  private Optional<String> given(Optional<InputProfile> profile) {
    String before = Files.exists(file) ? MeasurementText.read(file) : null;
    if (profile.isPresent()) {
      String base = before == null ? MeasurementText.named(ownName()) : before;
      return Optional.of(MeasurementText.withProfile(base, profile.get()));
    }
    return Optional.ofNullable(before);
  }

  private String ownName() {
    return String.valueOf(file.getFileName()).replaceFirst("(?i)\\.json$", "");
  }

  /** An input that knows its sensors says so; else the profile does, else the measurement file. */
  private String description(
      TapInputs.Opened opened, Optional<InputProfile> profile, Optional<String> given) {
    if (opened.about().isPresent()) {
      if (profile.isPresent()) {
        throw new BadInputException(
            "--profile: " + opened.input().name() + " has its own sensors and needs no profile");
      }
      TapRecording about = opened.about().get();
      return given.isPresent()
          ? MeasurementText.withSensors(given.get(), about)
          : MeasurementText.of(about);
    }
    return given.orElseThrow(
        () ->
            new BadInputException(
                file
                    + ": is not there; it must say what the sensors are (or give --profile), like"
                    + " {\"format\": \"ringtrue-measurement/1\", \"force\": {\"channel\": 1,"
                    + " \"sensitivity\": \"2.25 mV/N\", \"fullScale\": \"1 V\"},"
                    + " \"response\": {\"channel\": 2, \"quantity\": \"acceleration\","
                    + " \"sensitivity\": \"10.2 mV/g\", \"fullScale\": \"1 V\"}}"));
  }

  private Measurement setUp(String text, Recording standIn) {
    try {
      return MeasurementFile.readSetUp(String.valueOf(file.getFileName()), text, standIn);
    } catch (BadInputException e) {
      throw Places.named(file, e);
    }
  }

  private void guide(PrintWriter words, TapRecording about, TapSession.Goal goal) {
    words.println();
    words.println("CAUTION");
    TapGuide.CAUTIONS.forEach(c -> words.println("  ! " + c));
    words.println();
    TapGuide.steps(about, goal.bandHighHz()).forEach(s -> words.println("  - " + s));
    if (about.force().isEmpty()) {
      words.println(
          "  - No force channel: only frequency and damping can be had; a bounce of the hammer"
              + " cannot be told.");
    }
    words.println();
    words.flush();
    if (System.console() != null && !yes) {
      String answer =
          System.console().readLine("Is all of that so? Then press Enter (q to leave): ");
      if (answer == null || answer.trim().equalsIgnoreCase("q")) {
        throw new BadInputException("nothing was recorded");
      }
    }
  }

  // ---- while it runs

  private Integer record(LiveInput input, TapSession session, TapSession.Goal goal, String text)
      throws IOException {
    files = SessionFiles.create(wav, input, overwrite);
    OrderlyStop watch = new OrderlyStop(stop, input, FINISHING_S);
    try {
      Optional<String> problem = run(input, session, goal, text);
      if (session.frames() == 0) {
        files.discard();
        throw new BadInputException(problem.orElse(input.name() + ": not a single frame came"));
      }
      nameRecording(text, session);
      result(session, problem);
      problem.ifPresent(this::sayWhatIsKept);
      return problem.isPresent() ? Ringtrue.BAD_INPUT : Ringtrue.DONE;
    } finally {
      out().flush();
      err().flush();
      watch.close();
    }
  }

  /** What went wrong with the input or the files, if anything did. */
  private Optional<String> run(
      LiveInput input, TapSession session, TapSession.Goal goal, String text) {
    try (SessionFiles open = files;
        TapSounds sounds = new TapSounds(quiet)) {
      TapRun run = new TapRun(input, open, session);
      boolean terminal = System.console() != null;
      if (terminal && !TapInputs.STANDARD_INPUT.equals(inputName)) {
        readKeys(run);
      }
      // beside JSON, what happens is told to standard error, an object in each line
      TapScreen screen =
          new TapScreen(
              json ? err() : out(),
              session,
              sounds,
              json,
              terminal,
              goal.taps(),
              input.sampleRateHz());
      return run.run(event -> show(event, screen, text), stop::get);
    } catch (IOException e) {
      return Optional.of(String.valueOf(e.getMessage()));
    }
  }

  /** From the first blow on the measurement file names the recording, whatever happens then. */
  private void show(TapEvent event, TapScreen screen, String text) {
    if (event instanceof TapEvent.Struck && !named) {
      named = true;
      SafeFile.writeText(
          file,
          true,
          MeasurementText.withRecording(text, String.valueOf(wav.getFileName()), Optional.empty()));
    }
    screen.accept(event);
  }

  private void nameRecording(String text, TapSession session) {
    SafeFile.writeText(
        file,
        true,
        MeasurementText.withRecording(
            text, String.valueOf(wav.getFileName()), session.processing()));
  }

  private void sayWhatIsKept(String problem) {
    String kept = problem.contains("kept") ? "" : "; what came before is kept";
    err().println("ringtrue: " + problem + kept + ", in " + wav);
  }

  private void readKeys(TapRun run) {
    Thread keys =
        new Thread(
            () -> {
              BufferedReader lines =
                  new BufferedReader(new InputStreamReader(System.in, Charset.defaultCharset()));
              try {
                for (String line = lines.readLine(); line != null; line = lines.readLine()) {
                  key(run, line.trim().toLowerCase(Locale.ROOT));
                }
              } catch (IOException e) {
                // no keys any more; the session goes on
              }
            },
            "keys");
    keys.setDaemon(true);
    keys.start();
  }

  private void key(TapRun run, String line) {
    if (line.equals("q")) {
      stop.set(true);
      return;
    }
    String[] words = line.split("\\s+");
    boolean known = words[0].equals("x") || words[0].equals("k");
    if (!known || words.length > 2 || words.length == 2 && !words[1].matches("\\d{1,6}")) {
      run.request(
          s -> List.of(new TapEvent.Advice("x 3 sets tap 3 aside, k 3 takes it back, q ends it")));
      return;
    }
    run.request(
        s -> {
          int number = words.length == 2 ? Integer.parseInt(words[1]) : s.taps().size();
          return words[0].equals("x") ? s.setAside(number) : s.takeBack(number);
        });
  }

  // ---- afterwards

  private void result(TapSession session, Optional<String> problem) {
    Optional<AveragedResponse> averaged = session.averaged();
    if (json) {
      JsonOut.write(
          out(),
          o -> {
            o.put("recording", wav.toString());
            o.put("measurement", file.toString());
            o.put("kept", session.kept());
            problem.ifPresent(p -> o.put("problem", p));
            o.objects("allTaps", session.taps(), TapScreen::tap);
            averaged.ifPresent(a -> FrfCommand.toJson(o, a));
          });
      return;
    }
    say("");
    List<SessionTap> all = session.taps();
    say("%d of %d taps kept", session.kept(), all.size());
    averaged.ifPresent(
        a -> {
          FrequencyResponse.Origin origin = a.response().origin();
          say(
              "usable from %.0f to %.0f Hz, %.4g Hz between lines",
              origin.bandLowHz(), origin.bandHighHz(), a.response().resolutionHz());
        });
    wrote(wav);
    wrote(file);
    say("");
    say("! %s", TapGuide.AFTERWARDS);
    averaged.ifPresent(a -> say("Next: ringtrue modes %s", file));
  }
}

package ringtrue.cli;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import picocli.CommandLine;
import ringtrue.acquisition.Child;
import ringtrue.acquisition.LiveInput;
import ringtrue.acquisition.TapLog;
import ringtrue.acquisition.WavRecording;
import ringtrue.library.InputProfile;
import ringtrue.library.InputProfileFile;
import ringtrue.library.Measurement;
import ringtrue.library.MeasurementFile;
import ringtrue.library.TapInputs;
import ringtrue.units.BadInputException;

class TapTest {
  private static final ObjectMapper JSON = new ObjectMapper();

  @TempDir Path folder;

  @Test
  void tapsOfTheSimulatedMachineGoOnToTheResponse() throws IOException {
    CommandRun run =
        tap("--input", "rig:tool-8mm-x", "--taps", "4", "--json", "--pace", "1000", "--quiet");
    assertThat(run.code()).as(run.err()).isZero();
    assertThat(run.err()).contains("locked out").contains("edges covered").contains("Eye");
    List<JsonNode> events = events(run);
    assertThat(events)
        .extracting(e -> e.get("event").asText())
        .contains("listening", "ready", "tap");
    JsonNode result = result(run);
    assertThat(result.get("kept").asInt()).isEqualTo(4);

    CommandRun frf = CommandRun.of("frf", file("try.json"), "--json");
    assertThat(frf.code()).as(frf.err()).isZero();
    JsonNode later = JSON.readTree(frf.out());
    assertThat(later.get("averages").asInt()).isEqualTo(4);
    assertThat(later.get("frequencyHz")).isEqualTo(result.get("frequencyHz"));
    for (String part : List.of("realMPerN", "imagMPerN", "coherence")) {
      for (int i = 0; i < later.get(part).size(); i++) {
        double wanted = later.get(part).get(i).asDouble();
        assertThat(result.get(part).get(i).asDouble())
            .isCloseTo(wanted, within(1e-9 * Math.abs(wanted)));
      }
    }
    // The second tap's hammer bounces in this series: its verdict is kept beside the recording.
    List<String> log = Files.readAllLines(folder.resolve("try.taps.jsonl"));
    assertThat(log).anyMatch(l -> l.contains("\"double hit\"") && l.contains("\"tap\":3"));
  }

  @Test
  void aRecordingIsReplayedWithItsOwnSensors() throws IOException {
    String described = Files.readString(Path.of("demo-measurements/tool-10mm-y.json"));
    Files.writeString(
        folder.resolve("try.json"), described.replaceAll("\"recordings\": \\[[^\\]]*\\],", ""));
    CommandRun run =
        tap(
            "--input",
            "demo-measurements/tool-10mm-y.wav",
            "--taps",
            "0",
            "--pace",
            "1000",
            "--quiet");
    assertThat(run.code()).as(run.err()).isZero();
    assertThat(run.out()).contains("LISTENING").contains("TAP NOW").contains("KEPT 1");
    assertThat(run.out()).contains("SET ASIDE: double hit").contains("take sensor, cable");
    JsonNode written = JSON.readTree(Files.readString(folder.resolve("try.json")));
    assertThat(written.get("recordings").get(0).asText()).isEqualTo("try.wav");
    assertThat(written.get("force").get("sensitivity").asText()).isEqualTo("2.25 mV/N");
    assertThat(written.get("processing").get("rejected")).isNotEmpty();
  }

  @Test
  void nothingIsReplacedUnlessAsked() throws IOException {
    String[] some = {"--input", "rig:tool-8mm-y", "--taps", "1", "--pace", "1000", "--quiet"};
    assertThat(tap(some).code()).isZero();
    byte[] before = Files.readAllBytes(folder.resolve("try.wav"));
    CommandRun again = tap(some);
    assertThat(again.code()).isEqualTo(2);
    assertThat(again.err()).contains("is there already");
    assertThat(Files.readAllBytes(folder.resolve("try.wav"))).isEqualTo(before);
    Files.delete(folder.resolve("try.wav"));
    Files.delete(folder.resolve("try.taps.jsonl"));
    assertThat(tap(some).err()).contains("names recordings already");
    List<String> more = new ArrayList<>(List.of(some));
    more.add("--overwrite");
    assertThat(tap(more.toArray(new String[0])).code()).isZero();
  }

  /** The same frames by another way give the same session, to the byte. */
  @Test
  void standardInputIsAnInputLikeAnyOther() throws IOException {
    CommandRun rig =
        tap("--input", "rig:tool-8mm-x", "--taps", "3", "--pace", "1000", "--quiet", "--json");
    assertThat(rig.code()).as(rig.err()).isZero();
    byte[] wav = Files.readAllBytes(folder.resolve("try.wav"));
    int frames = (int) WavRecording.open(folder.resolve("try.wav")).frames();
    byte[] raw = Arrays.copyOfRange(wav, wav.length - 6 * frames, wav.length);
    describe("again.json", "try.json");
    InputStream before = System.in;
    try {
      System.setIn(new ByteArrayInputStream(raw));
      CommandRun run =
          tapInto(
              "again",
              "--input",
              "-",
              "--rate",
              "48 kHz",
              "--channels",
              "2",
              "--bits",
              "24",
              "--taps",
              "3",
              "--quiet",
              "--json");
      assertThat(run.code()).as(run.err()).isZero();
      JsonNode one = result(rig);
      JsonNode other = result(run);
      assertThat(other.get("allTaps")).isNotEmpty().isEqualTo(one.get("allTaps"));
      assertThat(other.get("realMPerN")).isEqualTo(one.get("realMPerN"));
    } finally {
      System.setIn(before);
    }
    assertThat(Files.readAllBytes(folder.resolve("again.wav"))).isEqualTo(wav);
  }

  @Test
  void aTextFileIsReplayedByItsMeasurement() throws IOException {
    CommandRun run =
        tap(
            "--input",
            "demo-measurements/turning-bar.json",
            "--taps",
            "0",
            "--pace",
            "1000",
            "--quiet");
    assertThat(run.code()).as(run.err()).isZero();
    JsonNode now = JSON.readTree(CommandRun.of("modes", file("try.json"), "--json").out());
    JsonNode then =
        JSON.readTree(CommandRun.of("modes", "demo-measurements/turning-bar.json", "--json").out());
    assertThat(now.get("modes")).hasSameSizeAs(then.get("modes"));
    for (int m = 0; m < then.get("modes").size(); m++) {
      for (String what : List.of("frequencyHz", "stiffnessNPerM")) {
        double wanted = then.get("modes").get(m).get(what).asDouble();
        assertThat(now.get("modes").get(m).get(what).asDouble())
            .isCloseTo(wanted, within(2e-3 * wanted));
      }
    }
  }

  /** Full scale, sensitivities and skew are the profile's; what differs from it is said. */
  @Test
  void aProfileTellsTheSensors() throws IOException {
    Files.writeString(
        folder.resolve("box.json"),
        """
        {"format": "ringtrue-input/1", "name": "bench box", "device": "Box", "sampleRate": "96 kHz",
         "bits": 24, "gain": "both at noon", "channelSkew": "3 us",
         "force": {"channel": 1, "sensitivity": "2.25 mV/N", "fullScale": "0.2 V",
                   "fullScaleFrom": "measured", "fullScaleSigma": "0.3 %"},
         "response": {"channel": 2, "quantity": "acceleration", "sensitivity": "10.2 mV/g",
                      "fullScale": "1.0 V", "fullScaleSigma": "0.4 %", "sensorMass": "0.6 g"}}
        """);
    Files.writeString(
        folder.resolve("try.json"),
        "{\"format\": \"ringtrue-measurement/1\", \"name\": \"spindle\", \"axis\": \"y\","
            + " \"response\": {\"polarity\": \"-\"}}");
    CommandRun run =
        tap(
            "--input",
            "demo-measurements/tool-10mm-y.wav",
            "--profile",
            file("box.json"),
            "--taps",
            "3",
            "--pace",
            "1000",
            "--quiet");
    assertThat(run.code()).as(run.err()).isZero();
    assertThat(run.out()).contains("both at noon").contains("belongs to the input \"Box\"");
    assertThat(run.out()).contains("was made at 96000 Hz, this is 48000 Hz");
    assertThat(run.out()).doesNotContain("was made with");
    JsonNode written = JSON.readTree(Files.readString(folder.resolve("try.json")));
    assertThat(written.get("axis").asText()).isEqualTo("y");
    assertThat(written.get("response").get("polarity").asText()).isEqualTo("-");
    assertThat(written.get("calibration").get("sigma").asDouble()).isCloseTo(0.005, within(1e-9));
    Measurement measurement = MeasurementFile.read(folder.resolve("try.json"));
    InputProfile profile = InputProfileFile.read(folder.resolve("box.json"));
    assertThat(measurement.recording().skewS()).isEqualTo(3e-6);
    assertThat(measurement.recording().sensorMassKg()).isEqualTo(0.6e-3);
    assertThat(measurement.recording().force().orElseThrow())
        .isEqualTo(profile.force().orElseThrow().described());
    assertThat(measurement.recording().response().unitsPerNumber())
        .isEqualTo(profile.response().described().unitsPerNumber());
    assertThat(CommandRun.of("modes", file("try.json")).code()).isZero();
  }

  /** A profile's device and rate are what is opened if nobody says otherwise. */
  @Test
  void aProfileTellsWhatToOpen() throws IOException {
    Files.writeString(
        folder.resolve("box.json"),
        """
        {"format": "ringtrue-input/1", "name": "bench box", "device": "Box", "sampleRate": "96 kHz",
         "bits": 24, "response": {"channel": 4, "quantity": "sound", "sensitivity": "12 mV/Pa",
                                  "fullScale": "1.0 V"}}
        """);
    List<TapInputs.Wish> wishes = new ArrayList<>();
    TapCommand command =
        new TapCommand(
            wish -> {
              wishes.add(wish);
              throw new BadInputException("enough");
            });
    CommandRun run = run(command, "--profile", file("box.json"));
    assertThat(run.err()).contains("enough");
    assertThat(wishes).hasSize(1);
    assertThat(wishes.get(0).name()).isEqualTo("Box");
    assertThat(wishes.get(0).rateHz()).hasValue(96_000);
    assertThat(wishes.get(0).bits()).hasValue(24);
    assertThat(wishes.get(0).needed()).isEqualTo(4);
  }

  /** Frames are dropped, and then the device is pulled out. */
  @Test
  void aLostDeviceEndsTheSessionAndKeepsEverything() throws IOException {
    TapCommand command =
        new TapCommand(
            wish -> {
              TapInputs.Opened opened = TapInputs.open(wish);
              return new TapInputs.Opened(
                  new Failing(opened.input(), 75_000, 480, 250_000),
                  opened.about(),
                  opened.quietS());
            });
    CommandRun run =
        run(command, "--input", "rig:tool-8mm-y", "--pace", "1000", "--quiet", "--json");
    assertThat(run.code()).isEqualTo(2);
    String complaint = run.err().substring(run.err().lastIndexOf("ringtrue:"));
    assertThat(complaint.trim()).doesNotContain("\n").contains("unplugged").contains("try.wav");
    List<JsonNode> events = events(run);
    JsonNode gap =
        events.stream()
            .filter(e -> e.get("event").asText().equals("gap"))
            .findFirst()
            .orElseThrow();
    assertThat(gap.get("missingFrames").asInt()).isEqualTo(480);
    JsonNode result = result(run);
    assertThat(result.get("problem").asText()).contains("unplugged");
    assertThat(WavRecording.open(folder.resolve("try.wav")).frames()).isEqualTo(250_000);
    TapLog.Content log = TapLog.read(folder.resolve("try.taps.jsonl"));
    assertThat(log.gaps()).containsExactly(new LiveInput.Gap(75_000, 480, "for the test"));
    assertThat(log.remarks()).isEmpty();
    assertThat(log.taps())
        .filteredOn(t -> t.firstFrame() < 75_000 && t.firstFrame() + t.frames() > 75_000)
        .isNotEmpty()
        .allMatch(t -> t.verdict().equals("cut off") && t.reason().contains("lost 480 frames"));
    CommandRun frf = CommandRun.of("frf", file("try.json"), "--json");
    assertThat(JSON.readTree(frf.out()).get("averages").asInt())
        .isEqualTo(result.get("kept").asInt())
        .isPositive();
  }

  /** Frames of another input until some are lost, and then the whole device. */
  private record Failing(LiveInput input, int lostAt, int lost, int end, long[] taken)
      implements LiveInput {
    Failing(LiveInput input, int lostAt, int lost, int end) {
      this(input, lostAt, lost, end, new long[1]);
    }

    @Override
    public String name() {
      return "Box";
    }

    @Override
    public double sampleRateHz() {
      return input.sampleRateHz();
    }

    @Override
    public int channels() {
      return input.channels();
    }

    @Override
    public int bits() {
      return input.bits();
    }

    @Override
    public int read(double[] frames, int most) throws IOException {
      if (taken[0] == end) {
        throw new IOException("Box: unplugged; what was recorded before is kept");
      }
      int got = input.read(frames, (int) Math.min(most, end - taken[0]));
      taken[0] += got;
      return got;
    }

    @Override
    public List<Gap> gaps() {
      return taken[0] < lostAt + 48_000
          ? List.of()
          : List.of(new Gap(lostAt, lost, "for the test"));
    }

    @Override
    public void close() throws IOException {
      input.close();
    }
  }

  /** As with Ctrl-C: the session ends in order, also while it waits for input. */
  @Test
  void aSessionThatIsStoppedIsKept() throws IOException, InterruptedException {
    Path wav = folder.resolve("try.wav");
    try (Child child =
        Child.java(
            Map.of(),
            Ringtrue.class,
            "tap",
            "--input",
            "rig:tool-8mm-y",
            "--taps",
            "0",
            "--pace",
            "2",
            "--yes",
            "--out",
            wav.toString(),
            file("try.json"))) {
      assertThat(child.says("KEPT 2", 60)).as("%s", child.lines()).isTrue();
      child.process.toHandle().destroy();
      assertThat(child.ends(30)).as("%s", child.lines()).isPositive();
      assertThat(child.lines()).anyMatch(l -> l.startsWith("STOPPED: as asked"));
    }
    assertThat(WavRecording.open(wav).remarks()).isEmpty();
    CommandRun frf = CommandRun.of("frf", file("try.json"), "--json");
    assertThat(frf.code()).as(frf.err()).isZero();
    assertThat(JSON.readTree(frf.out()).get("averages").asInt()).isGreaterThanOrEqualTo(2);
  }

  @Test
  void standardInputThatGoesSilentCanBeStopped() throws IOException, InterruptedException {
    CommandRun rig = tap("--input", "rig:tool-8mm-y", "--taps", "2", "--pace", "1000", "--quiet");
    assertThat(rig.code()).as(rig.err()).isZero();
    byte[] wav = Files.readAllBytes(folder.resolve("try.wav"));
    describe("again.json", "try.json");
    try (Child child =
        Child.java(
            Map.of(),
            Ringtrue.class,
            "tap",
            "--input",
            "-",
            "--rate",
            "48000",
            "--channels",
            "2",
            "--bits",
            "24",
            "--taps",
            "0",
            "--quiet",
            "--yes",
            "--out",
            file("again.wav"),
            file("again.json"))) {
      OutputStream samples = child.process.getOutputStream();
      samples.write(wav, 128, wav.length - 128);
      samples.flush();
      assertThat(child.says("KEPT 2", 60)).as("%s", child.lines()).isTrue();
      child.process.toHandle().destroy();
      assertThat(child.ends(30)).as("%s", child.lines()).isPositive();
      assertThat(child.lines()).anyMatch(l -> l.startsWith("STOPPED: as asked"));
    }
    assertThat(Files.readString(folder.resolve("again.json"))).contains("blockStarts");
  }

  @Test
  void whatCannotBeIsSaidInOneLine() throws IOException {
    String rig = "rig:tool-8mm-x";
    String taps = "demo-measurements/tool-8mm-x.wav";
    assertProblem("there is no simulated machine \"\"", "--input", "rig:");
    assertProblem("did you mean rig:tool-8mm-x", "--input", "rig:tool-8mm-z");
    assertProblem("there is no such file to replay", "--input", "not-there.wav");
    assertProblem("there is no such file to replay", "--input", "not-there.json");
    assertProblem("must be LO:HI", "--input", rig, "--band", "3000");
    assertProblem("must rise", "--input", rig, "--band", "3000:50");
    assertProblem("more than half the sample rate", "--input", rig, "--band", "50:30000");
    assertProblem("must lie between 0 and 1", "--input", rig, "--coherence", "2");
    assertProblem("--coherence", "--input", rig, "--coherence", "high");
    assertProblem("whole number from 0", "--input", rig, "--taps", "-1");
    assertProblem("whole number from 0", "--input", rig, "--taps", "many");
    assertProblem("--trigger", "--input", rig, "--trigger", "2 mm");
    assertProblem("more than zero", "--input", rig, "--trigger", "-2 N");
    assertProblem("more than zero", "--input", rig, "--wait", "0 s");
    assertProblem("more than zero", "--input", rig, "--pace", "0");
    assertProblem("--pace", "--input", rig, "--pace", "fast");
    assertProblem("whole number of Hz", "--input", rig, "--rate", "48000.5");
    assertProblem("whole number of Hz", "--input", rig, "--rate", "1 MHz");
    assertProblem("more than zero", "--input", rig, "--rate", "0");
    assertProblem("--channels: is for sound inputs", "--input", rig, "--channels", "2");
    assertProblem("--bits: is for sound inputs", "--input", taps, "--bits", "24");
    assertProblem("is replayed with that", "--input", taps, "--rate", "44100");
    assertProblem("must be 16, 24 or 32", "--input", rig, "--bits", "20");
    assertProblem("from 1 to 16", "--input", rig, "--channels", "0");
    assertProblem("give --rate, --channels and --bits", "--input", "-");
    assertProblem("give --rate, --channels and --bits", "--input", "-", "--rate", "48000");
    assertProblem("it must say what the sensors are", "--input", taps);
    assertProblem("is text", "--input", "demo-measurements/turning-bar.csv");
    assertProblem("tap needs --input");
    assertProblem("unknown option --tap", "--input", rig, "--tap", "3");
    assertProblem("there is no such file", "--input", taps, "--profile", "no-such-box.json");
    assertProblem("there is no input profile", "--input", taps, "--profile", "no such box");
    // without any sound input, or with some of another name
    assertProblem("besides sound inputs there are rig:", "--input", "no such mixer");
    assertThat(folder).isEmptyDirectory();
  }

  /** Not even with --overwrite. */
  @Test
  void whatIsReadIsNotWrittenOver() throws IOException {
    assertThat(tap("--input", "rig:tool-8mm-x", "--taps", "1", "--pace", "1000", "--quiet").code())
        .isZero();
    byte[] wav = Files.readAllBytes(folder.resolve("try.wav"));
    for (String input : List.of("try.wav", "try.json")) {
      CommandRun run = tap("--input", file(input), "--overwrite", "--quiet");
      assertThat(run.code()).isEqualTo(2);
      assertThat(run.err()).contains("is what is read");
    }
    assertThat(Files.readAllBytes(folder.resolve("try.wav"))).isEqualTo(wav);
  }

  @Test
  void nothingIsLeftOfNothing() throws IOException {
    InputStream before = System.in;
    try {
      System.setIn(new ByteArrayInputStream(new byte[3]));
      Files.writeString(
          folder.resolve("try.json"),
          "{\"format\": \"ringtrue-measurement/1\", \"response\": {\"channel\": 1,"
              + " \"quantity\": \"sound\"}}");
      String was = Files.readString(folder.resolve("try.json"));
      assertProblem(
          "not a single frame",
          "--input",
          "-",
          "--rate",
          "48000",
          "--channels",
          "2",
          "--bits",
          "16");
      assertThat(folder).isDirectoryNotContaining(f -> !f.endsWith("try.json"));
      assertThat(Files.readString(folder.resolve("try.json"))).isEqualTo(was);
    } finally {
      System.setIn(before);
    }
  }

  @Test
  void placesThatCannotBeAreSaidInOneLine() throws IOException {
    String[] rig = {"tap", "--input", "rig:tool-8mm-x", "--yes", "--quiet", "--pace", "1000"};
    assertThat(complaint(rig, "--out", file("try.txt"), file("try.json"))).contains("end in .wav");
    assertThat(complaint(rig, "--out", file("no/try.wav"), file("no/try.json")))
        .contains("does not exist");
    assertThat(complaint(rig, "--out", file("a.wav"), "elsewhere.json")).contains("folder");
    assertThat(complaint(rig, "--out", file("a.wav"))).contains("MEASUREMENT.json");
    assertThat(complaint(rig, file("a.json"))).contains("--out");
    Files.createDirectory(folder.resolve("a.json"));
    assertThat(complaint(rig, "--out", file("a.wav"), file("a.json"))).contains("is a folder");
    Files.delete(folder.resolve("a.json"));
    for (String bad :
        List.of("", "[]", "{}", "{\"format\": \"ringtrue-measurement/9\"}", "{\"format\": 3")) {
      Files.writeString(folder.resolve("a.json"), bad);
      complaint(rig, "--out", file("a.wav"), file("a.json"));
      assertThat(Files.readString(folder.resolve("a.json"))).isEqualTo(bad);
      Files.delete(folder.resolve("a.json"));
    }
    Files.writeString(
        folder.resolve("a.json"),
        "{\"format\": \"ringtrue-measurement/1\", \"columns\": {\"force\": 1}}");
    assertThat(complaint(rig, "--out", file("a.wav"), file("a.json"))).contains("columns");
    assertThat(folder.resolve("a.wav")).doesNotExist();
  }

  private static String complaint(String[] some, String... more) {
    List<String> all = new ArrayList<>(List.of(some));
    all.addAll(List.of(more));
    CommandRun run = CommandRun.of(all.toArray(new String[0]));
    assertThat(run.code()).as(run.err()).isEqualTo(2);
    assertThat(run.err()).contains("ringtrue:");
    String complaint = run.err().substring(run.err().indexOf("ringtrue:"));
    assertThat(complaint.trim()).doesNotContain("\n");
    return complaint;
  }

  private void assertProblem(String part, String... options) {
    CommandRun run = tap(options);
    assertThat(run.code()).as(run.err()).isEqualTo(2);
    String complaint = run.err().substring(run.err().indexOf("ringtrue:"));
    assertThat(complaint).contains(part);
    assertThat(complaint.trim()).doesNotContain("\n");
  }

  /** A measurement file with the sensors of another, before anything was recorded. */
  private void describe(String name, String like) throws IOException {
    ObjectNode all = (ObjectNode) JSON.readTree(Files.readString(folder.resolve(like)));
    all.remove("recordings");
    all.remove("processing");
    Files.writeString(folder.resolve(name), all.toString());
  }

  private CommandRun run(TapCommand command, String... options) {
    StringWriter out = new StringWriter();
    StringWriter err = new StringWriter();
    List<String> all = new ArrayList<>(List.of(options));
    all.addAll(List.of("--yes", "--out", file("try.wav"), file("try.json")));
    CommandLine line = new CommandLine(command);
    line.setOut(new PrintWriter(out));
    line.setErr(new PrintWriter(err));
    int code = line.execute(all.toArray(new String[0]));
    line.getOut().flush();
    line.getErr().flush();
    return new CommandRun(code, out.toString(), err.toString());
  }

  private CommandRun tapInto(String name, String... options) {
    List<String> all = new ArrayList<>(List.of("tap"));
    all.addAll(List.of(options));
    all.addAll(List.of("--yes", "--out", file(name + ".wav"), file(name + ".json")));
    return CommandRun.of(all.toArray(new String[0]));
  }

  private CommandRun tap(String... options) {
    return tapInto("try", options);
  }

  private String file(String name) {
    return folder.resolve(name).toString();
  }

  private static JsonNode result(CommandRun run) throws IOException {
    assertThat(run.out().trim().lines()).hasSize(1);
    return JSON.readTree(run.out());
  }

  private static List<JsonNode> events(CommandRun run) throws IOException {
    List<JsonNode> events = new ArrayList<>();
    for (String line : run.err().split("\n")) {
      if (line.startsWith("{")) {
        events.add(JSON.readTree(line));
      }
    }
    return events;
  }
}

package ringtrue.acquisition;

import static org.assertj.core.api.Assertions.assertThat;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import ringtrue.cli.Ringtrue;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Progress;

/**
 * The way from the operating system's sound stack into our files, without any hardware. Needs ALSA
 * (exact) and PulseAudio (real time) on Linux; {@code -Dringtrue.capture=exact} or {@code all} says
 * that they are there, and then nothing may be missing. Otherwise it is skipped.
 */
class SoundStackTest {
  private static final Path SYSTEM_CONF = SoundServer.SYSTEM_CONF;
  private static final long SEED = 5;
  private static final VirtualRig RIG =
      VirtualRig.of(Mode.of(1240, 0.02, 8e6), Mode.of(310, 0.03, 2e7))
          .withInputs(
              RigChannel.of(2.25e-3, 0.2).withNoise(2e-5),
              RigChannel.of(1.04e-3, 1).withNoise(1e-4));

  private static void needs(String what) {
    String said = System.getProperty("ringtrue.capture", "");
    assumeTrue(
        said.equals("all") || said.equals(what),
        "skipped: capture through the sound stack needs ALSA and PulseAudio; .ci/run installs them"
            + " and says -Dringtrue.capture=all");
    assertThat(SYSTEM_CONF).as("ALSA's own configuration (package libasound2-data)").exists();
  }

  private static Path folder(String name) throws IOException {
    Path folder = Path.of("target", "capture", name).toAbsolutePath();
    if (Files.exists(folder)) {
      try (var files = Files.walk(folder)) {
        for (Path file : files.sorted(java.util.Comparator.reverseOrder()).toList()) {
          Files.delete(file);
        }
      }
    }
    return Files.createDirectories(folder);
  }

  /** A recording of taps as a WAV file of the wanted layout. */
  private static Path taps(Path folder, int rate, int bits, double seconds) throws IOException {
    VirtualRig rig = RIG.withInputs(RIG.force().withBits(bits), RIG.response().withBits(bits));
    BlowPlan plan = BlowPlan.of((int) (seconds / 1.2), 1.2, 40, 1e-3).withSpread(0.1, 0.1, 0.05, 0);
    Recording recording = rig.record("taps", rate, seconds, plan.blows(5), 5);
    Path file = folder.resolve("taps.wav");
    WavWriter.SampleFormat format =
        bits == 16 ? WavWriter.SampleFormat.INT16 : WavWriter.SampleFormat.INT24;
    WavWriter.write(recording, file, format, true);
    return file;
  }

  private static byte[] samples(Path wav, int bits, long frames) throws IOException {
    MemoryRecording read = MemoryRecording.copyOf(WavRecording.open(wav));
    double[] left = read.channel(1);
    double[] right = read.channel(2);
    ByteArrayOutputStream bytes = new ByteArrayOutputStream();
    for (int i = 0; i < Math.min(frames, left.length); i++) {
      for (double value : new double[] {left[i], right[i]}) {
        int number = (int) Math.scalb(value, bits - 1);
        for (int b = 0; b < bits; b += 8) {
          bytes.write(number >> b);
        }
      }
    }
    return bytes.toByteArray();
  }

  /**
   * ALSA's file plugin gives the bytes of a file as fast as they are taken. What our program writes
   * is the same to the byte, and the taps in it are found.
   */
  @ParameterizedTest
  @CsvSource({"48000, 16", "48000, 24", "96000, 16", "96000, 24"})
  void whatTheSystemGivesIsWhatTheFileHolds(int rate, int bits)
      throws IOException, InterruptedException {
    needs("exact");
    Path folder = folder("exact-" + rate + "-" + bits);
    double seconds = 5;
    long frames = (long) (seconds * rate);
    // the recording thread runs ahead by the ring's length, and the file must not end before
    Path taps = taps(folder, rate, bits, seconds + SoundInput.RING_S + 2);
    Path raw = Files.write(folder.resolve("taps.raw"), samples(taps, bits, Long.MAX_VALUE));
    Path conf =
        Files.writeString(
            folder.resolve("alsa.conf"),
            "pcm.!default { type file slave.pcm \"null\" file \"/dev/null\" infile \""
                + raw
                + "\" format \"raw\" }\n");
    Path got = folder.resolve("got.wav");
    try (Child child =
        Child.java(
            Map.of("ALSA_CONFIG_PATH", SYSTEM_CONF + ":" + conf),
            CaptureChild.class,
            "default",
            "" + rate,
            "2",
            "" + bits,
            "" + frames,
            got.toString())) {
      assertThat(child.ends(60)).as("%s", child.lines()).isZero();
      assertThat(child.lines("opened")).as("%s", child.lines()).hasSize(1);
      assertThat(child.lines("gap")).isEmpty();
      assertThat(child.lines("lost")).isEmpty();
    }
    byte[] file = Files.readAllBytes(got);
    int length = (int) (frames * 2 * bits / 8);
    byte[] data = Arrays.copyOfRange(file, file.length - length, file.length);
    assertThat(Arrays.mismatch(data, 0, length, Files.readAllBytes(raw), 0, length)).isEqualTo(-1);
    assertThat(onsets(got)).isEqualTo(onsets(taps).stream().filter(f -> f < frames).toList());
    foundAll(got, plan(seconds + SoundInput.RING_S + 2), frames);
  }

  /** Every blow of a plan is found where it was struck, within a millisecond, and no other. */
  private static void foundAll(Path wav, BlowPlan plan, long frames) throws IOException {
    double rate = WavRecording.open(wav).sampleRateHz();
    List<Long> found = onsets(wav);
    List<Double> struck =
        plan.blows(SEED).stream().map(Blow::onsetS).filter(t -> t * rate < frames).toList();
    assertThat(found).hasSize(struck.size());
    for (int i = 0; i < found.size(); i++) {
      assertThat(found.get(i) / rate - struck.get(i)).isBetween(0.0, 1e-3);
    }
  }

  private static BlowPlan plan(double seconds) {
    return BlowPlan.of((int) (seconds / 1.2), 1.2, 40, 1e-3).withSpread(0.1, 0.1, 0.05, 0);
  }

  /**
   * A sound server of our own plays a recording of taps into a sink without hardware, in real time,
   * and its monitor is what our program records. Channels are in order and every sample is the same
   * after alignment, unless a gap was reported there.
   */
  @Test
  void aMinuteThroughASoundServerInRealTime() throws IOException, InterruptedException {
    needs("all");
    Path folder = folder("server");
    int rate = 48_000;
    double seconds = 60;
    Path taps = taps(folder, rate, 16, seconds);
    Path got = folder.resolve("got.wav");
    try (SoundServer server = SoundServer.start(folder, rate);
        Child recorder = server.recorder(rate, 16, (long) ((seconds + 4) * rate), got)) {
      assertThat(recorder.says("recording", 30)).as("%s", recorder.lines()).isTrue();
      try (Child player = server.player(taps)) {
        assertThat(player.ends(seconds + 30)).as("%s", player.lines()).isZero();
      }
      assertThat(recorder.ends(60)).as("%s", recorder.lines()).isZero();
      assertThat(recorder.lines("lost")).isEmpty();
      List<long[]> missing = missing(taps, got);
      List<String> gaps = recorder.lines("gap");
      assertThat(gaps)
          .as("gaps reported, where %d stretches are missing", missing.size())
          .hasSameSizeAs(missing);
      for (int i = 0; i < gaps.size(); i++) {
        String[] gap = gaps.get(i).split(" ");
        assertThat(Long.parseLong(gap[0]) - missing.get(i)[0]).isBetween(-2L * rate, 2L * rate);
        assertThat(Long.parseLong(gap[1]) - missing.get(i)[1]).isBetween(-2000L, 2000L);
      }
    }
  }

  /**
   * Stretches of the played recording that were not recorded: frame of the recording, and how many.
   * Everything else must be the same to the bit in both channels. Silence that the sink put in when
   * the player was late is nothing that was lost, and may come three times.
   */
  private static List<long[]> missing(Path played, Path got) throws IOException {
    MemoryRecording truth = MemoryRecording.copyOf(WavRecording.open(played));
    MemoryRecording heard = MemoryRecording.copyOf(WavRecording.open(got));
    double[][] a = {truth.channel(1), truth.channel(2)};
    double[][] b = {heard.channel(1), heard.channel(2)};
    // the sink loses the first 20 ms while it begins to run
    int i = 2400;
    int at = find(a, i, b, 0, b[0].length);
    assertThat(at).as("where the played recording begins").isNotNegative();
    List<long[]> missing = new ArrayList<>();
    int silences = 0;
    while (i < a[0].length) {
      if (at < b[0].length && a[0][i] == b[0][at] && a[1][i] == b[1][at]) {
        i++;
        at++;
        continue;
      }
      int silent = silence(b, at);
      if (silent >= 16) {
        silences++;
        at += silent;
        continue;
      }
      int further = find(b, at, a, i, Math.min(a[0].length, i + 96_000));
      assertThat(further).as("frame %d of the played recording is another one", i).isGreaterThan(i);
      missing.add(new long[] {at, further - i});
      i = further;
    }
    assertThat(silences).as("times that the player was late").isLessThanOrEqualTo(3);
    return missing;
  }

  private static int silence(double[][] x, int from) {
    int at = from;
    while (at < x[0].length && x[0][at] == 0 && x[1][at] == 0) {
      at++;
    }
    return at - from;
  }

  /** Where in b the 64 frames of a at a place are, from one place on up to another; −1 nowhere. */
  private static int find(double[][] a, int place, double[][] b, int from, int to) {
    for (int at = from; at + 64 <= to && place + 64 <= a[0].length; at++) {
      int same = 0;
      while (same < 64
          && a[0][place + same] == b[0][at + same]
          && a[1][place + same] == b[1][at + same]) {
        same++;
      }
      if (same == 64) {
        return at;
      }
    }
    return -1;
  }

  /** The sound server dies, as when a device is pulled out: one sentence, and the file is whole. */
  @Test
  void whatWasRecordedBeforeTheDeviceWentIsKept() throws IOException, InterruptedException {
    needs("all");
    Path folder = folder("unplugged");
    Path got = folder.resolve("got.wav");
    try (SoundServer server = SoundServer.start(folder, 48_000);
        Child recorder = server.recorder(48_000, 16, 48_000 * 60, got)) {
      assertThat(recorder.says("recording", 30)).as("%s", recorder.lines()).isTrue();
      Thread.sleep(1500);
      server.dies();
      assertThat(recorder.ends(20)).as("%s", recorder.lines()).isZero();
      assertThat(recorder.lines("lost")).hasSize(1);
      assertThat(recorder.lines("lost").get(0)).contains("what was recorded before is kept");
    }
    assertThat(WavRecording.open(got).frames()).isGreaterThan(24_000);
  }

  /** The whole command on a sound input in real time: taps are judged while they are played. */
  @Test
  void tapsAreJudgedAsTheSystemDeliversThem() throws IOException, InterruptedException {
    needs("all");
    Path folder = folder("tap");
    Path taps = taps(folder, 48_000, 16, 30);
    Path got = folder.resolve("got.wav");
    Path measurement =
        Files.writeString(
            folder.resolve("got.json"),
            """
            {"format": "ringtrue-measurement/1",
             "force": {"channel": 1, "sensitivity": "2.25 mV/N", "fullScale": "0.2 V"},
             "response": {"channel": 2, "quantity": "acceleration", "fullScale": "1 V",
                          "sensitivity": "1.04 mV/(m/s^2)"}}
            """);
    try (SoundServer server = SoundServer.start(folder, 48_000);
        Child player = server.player(taps);
        Child session =
            Child.java(
                server.environment(),
                Ringtrue.class,
                "tap",
                "--input",
                "default",
                "--rate",
                "48000",
                "--bits",
                "16",
                "--taps",
                "4",
                "--yes",
                "--quiet",
                "--out",
                got.toString(),
                measurement.toString())) {
      assertThat(session.ends(60)).as("%s", session.lines()).isZero();
      assertThat(session.lines()).anyMatch(l -> l.startsWith("DONE: 4 taps are kept"));
      assertThat(player.process.isAlive()).isTrue();
    }
    TapLog.Content log = TapLog.read(TapLog.beside(got));
    assertThat(log.gaps()).isEmpty();
    assertThat(log.taps()).filteredOn(t -> t.verdict().equals("kept")).hasSize(4);
  }

  private static List<Long> onsets(Path wav) throws IOException {
    Channel force = RIG.force().described(1);
    List<Recording> recordings = List.of(WavRecording.open(wav));
    TapFinder.Level level =
        TapFinder.survey(recordings, List.of(force), Progress.NONE).levels().get(0);
    return TapFinder.find(
            recordings,
            force,
            level,
            new TapFinder.Trigger(5, level.direction(), 0.1, 0.002),
            Progress.NONE)
        .stream()
        .map(TapFinder.Onset::frame)
        .toList();
  }
}

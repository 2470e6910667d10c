package ringtrue.cli;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.Arrays;
import java.util.Random;
import org.junit.jupiter.api.Assertions;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * Good files damaged at random, seeded: the program answers or refuses in one line; it never
 * throws, hangs, or takes more than the test process's one gigabyte. What readers do alone is
 * fuzzed harder in {@code library.ReadersFuzzTest}; here the damage goes on into the computation.
 */
class MutationTest {
  private static final int ROUNDS = Integer.getInteger("ringtrue.mutations", 60);
  private static final String[] NASTY = {
    "0",
    "-1",
    "1e308",
    "1e-308",
    "NaN",
    "Infinity",
    "null",
    "true",
    "[]",
    "{}",
    "\"\"",
    "\"1 mm\"",
    "\"-5 rpm\"",
    "\"1e300 Hz\"",
    "\"1e-300 N/m\"",
    "99999999999999999999",
    "\u0000",
    "\uFEFF",
    ",",
    ";",
    "\n",
    "\t",
    "\"\\u0000\"",
    "\"../../x\"",
    "1.5",
    "\"0 s\"",
    "\"1e9 s\"",
    "\"100 %\""
  };

  @TempDir Path folder;
  private SmallJob job;

  @BeforeEach
  void goodFiles() throws IOException {
    job = SmallJob.in(folder);
  }

  private void survives(Path file, Random random, String... args) throws IOException {
    byte[] good = Files.readAllBytes(file);
    for (int round = 0; round < ROUNDS; round++) {
      byte[] bad = damaged(good, random);
      Files.write(file, bad);
      int shown = round;
      CommandRun run =
          Assertions.assertTimeoutPreemptively(
              Duration.ofSeconds(20),
              () -> CommandRun.of(args),
              () -> "hung in round " + shown + " on " + Arrays.toString(args));
      String what = "round " + round + ", " + Arrays.toString(args) + ": " + run.err();
      assertThat(run.code()).as(what).isIn(0, 2);
      assertThat(run.err()).as(what).doesNotContain("Exception", "\tat ");
      if (run.code() == 2) {
        assertThat(run.err().strip().lines().count()).as(what).isEqualTo(1);
        assertThat(run.out()).as(what).isEmpty();
      } else {
        assertThat(run.out()).as(what).startsWith("{").doesNotContain("NaN", "Infinity");
      }
    }
    Files.write(file, good);
  }

  private static byte[] damaged(byte[] good, Random random) {
    byte[] bytes = good.clone();
    int times = 1 + random.nextInt(3);
    for (int i = 0; i < times && bytes.length > 0; i++) {
      // most damage near the start, where headers are
      int at = (int) (bytes.length * Math.pow(random.nextDouble(), 1 + random.nextInt(3)));
      int length = 1 + random.nextInt(Math.max(1, Math.min(200, bytes.length - at)));
      switch (random.nextInt(6)) {
        case 0 -> bytes[at] ^= (byte) (1 << random.nextInt(8));
        case 1 -> bytes[at] = (byte) random.nextInt(256);
        case 2 -> bytes = Arrays.copyOf(bytes, at);
        case 3 -> bytes = join(bytes, at, new byte[0], Math.min(bytes.length, at + length));
        case 4 -> {
          byte[] nasty = NASTY[random.nextInt(NASTY.length)].getBytes(StandardCharsets.UTF_8);
          bytes = join(bytes, at, nasty, Math.min(bytes.length, at + random.nextInt(8)));
        }
        default -> bytes = join(bytes, at, Arrays.copyOfRange(bytes, at, at + length), at);
      }
    }
    return bytes;
  }

  private static byte[] join(byte[] bytes, int head, byte[] middle, int tailFrom) {
    byte[] all = Arrays.copyOf(bytes, head + middle.length + bytes.length - tailFrom);
    System.arraycopy(middle, 0, all, head, middle.length);
    System.arraycopy(bytes, tailFrom, all, head + middle.length, bytes.length - tailFrom);
    return all;
  }

  @ParameterizedTest
  @ValueSource(longs = {1})
  void damagedMeasurementFiles(long seed) throws IOException {
    survives(Path.of(job.measurement()), new Random(seed), "frf", job.measurement(), "--json");
  }

  @ParameterizedTest
  @ValueSource(longs = {3})
  void damagedWav(long seed) throws IOException {
    survives(job.wav(), new Random(seed), "modes", job.measurement(), "--json");
  }

  @ParameterizedTest
  @ValueSource(longs = {5})
  void damagedCutFiles(long seed) throws IOException {
    survives(
        Path.of(job.cut()),
        new Random(seed),
        "lobes",
        job.cut(),
        "--json",
        "--speeds",
        "6000:24000:3000");
    survives(Path.of(job.cut()), new Random(seed + 100), "plan", job.cut(), "--json");
  }

  @ParameterizedTest
  @ValueSource(longs = {13})
  void damagedCutFilesWithEverything(long seed) throws IOException {
    Path cut = folder.resolve("everything.json");
    Files.writeString(
        cut,
        """
        {
          "format": "ringtrue-cut/1", "operation": "milling",
          "machine": {"maxSpeed": "24000 rpm"},
          "tool": {"diameter": "8 mm", "flutes": 3},
          "material": {"ktc": "800 MPa", "krc": "250 MPa", "range": "15 %"},
          "engagement": {"direction": "down", "radial": "3 mm", "axial": "2 mm"},
          "speed": "12000 rpm", "feedPerTooth": "0.05 mm", "processDamping": "2.5e5 N/m",
          "dynamics": {"speedShiftSigma": "2 %", "tool": {
            "x": {"bySpeed": [
              {"speed": "0 rpm", "modes": [{"frequency": "900 Hz", "damping": "2 %", "stiffness": "5e6 N/m"}]},
              {"speed": "12000 rpm", "modes": [{"frequency": "870 Hz", "damping": "3 %", "stiffness": "5e6 N/m"}]}]},
            "y": {"modes": [{"frequency": "950 Hz", "damping": "2 %", "stiffness": "6e6 N/m", "frequencySigma": "1 %"}]},
            "xy": {"modes": [{"frequency": "900 Hz", "damping": "2 %", "stiffness": "-4e7 N/m"}]}}}
        }
        """);
    survives(
        cut, new Random(seed), "lobes", cut.toString(), "--json", "--speeds", "6000:24000:6000");
  }

  @ParameterizedTest
  @ValueSource(longs = {7})
  void damagedResponses(long seed) throws IOException {
    survives(job.response(), new Random(seed), "modes", job.response().toString(), "--json");
  }

  @ParameterizedTest
  @ValueSource(longs = {12})
  void damagedEarlierResponses(long seed) throws IOException {
    Path earlier = folder.resolve("earlier.csv");
    Files.copy(job.response(), earlier);
    survives(
        earlier,
        new Random(seed),
        "modes",
        job.response().toString(),
        "--against",
        earlier.toString(),
        "--json");
  }

  @ParameterizedTest
  @ValueSource(longs = {9})
  void damagedTextRecordings(long seed) throws IOException {
    StringBuilder table = new StringBuilder("time;force;acceleration\n");
    Random noise = new Random(11);
    for (int i = 0; i < 1500; i++) {
      double t = i / 8000.0;
      double force = i >= 100 && i < 104 ? 50 * Math.sin(Math.PI * (i - 99) / 5.0) : 0;
      double ring = i < 100 ? 0 : 30 * Math.exp(-(i - 100) / 150.0) * Math.sin((i - 100) * 0.8);
      table.append(
          String.format(
              java.util.Locale.ROOT,
              "%.6f;%.4f;%.4f%n",
              t,
              force + 0.01 * noise.nextGaussian(),
              ring + 0.01 * noise.nextGaussian()));
    }
    Path text = folder.resolve("taps.txt");
    Files.writeString(text, table);
    Path measurement = folder.resolve("t.json");
    Files.writeString(
        measurement,
        """
        {"format": "ringtrue-measurement/1", "recordings": ["taps.txt"],
         "columns": {"time": 1, "force": 2, "response": 3, "forceUnit": "N", "responseUnit": "m/s^2"}}
        """);
    survives(text, new Random(seed), "frf", measurement.toString(), "--json");
  }
}

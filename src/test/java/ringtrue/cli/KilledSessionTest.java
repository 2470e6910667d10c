package ringtrue.cli;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.OptionalInt;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import ringtrue.acquisition.Child;
import ringtrue.acquisition.LiveInput;
import ringtrue.acquisition.Pace;
import ringtrue.acquisition.Recording;
import ringtrue.acquisition.TapLog;
import ringtrue.acquisition.WavRecording;
import ringtrue.library.TapInputs;

/**
 * The {@code tap} command is killed (SIGKILL) at random moments: everything that it had announced
 * is there afterwards and can be read. {@code -Dringtrue.kills=200} for more of them.
 */
class KilledSessionTest {
  private static final int KILLS = Integer.getInteger("ringtrue.kills", 20);
  private static final String RIG = "rig:tool-8mm-x";
  private static final int MOST_FRAMES = 10_500_000;
  private static final ObjectMapper JSON = new ObjectMapper();

  @TempDir Path folder;

  @Test
  void everyAnnouncedTapIsThere() throws IOException, InterruptedException {
    Random random = new Random(17);
    int[] truth = truth();
    int announced = 0;
    int unfinished = 0;
    int measured = 0;
    for (int kill = 0; kill < KILLS; kill++) {
      Path wav = folder.resolve("session-" + kill + ".wav");
      Path json = folder.resolve("session-" + kill + ".json");
      List<JsonNode> taps = killed(random, wav, json);
      announced += taps.size();
      if (!taps.isEmpty()) {
        unfinished += check(wav, taps, truth);
      }
      if (measured < 3 && taps.stream().anyMatch(t -> t.get("kept").asInt() >= 2)) {
        CommandRun frf = CommandRun.of("frf", json.toString(), "--json");
        assertThat(frf.code()).as(frf.err()).isZero();
        measured++;
      }
      Files.deleteIfExists(wav);
    }
    System.out.println(
        KILLS
            + " kills, "
            + announced
            + " verdicts announced, all there; "
            + unfinished
            + " remarks on what was cut short");
    assertThat(announced).isGreaterThan(KILLS);
    assertThat(unfinished).isPositive();
    assertThat(measured).isPositive();
  }

  /** Runs a session, kills it and gives the verdicts that it had announced by then. */
  private static List<JsonNode> killed(Random random, Path wav, Path json)
      throws IOException, InterruptedException {
    try (Child session =
        Child.java(
            Map.of(),
            Ringtrue.class,
            "tap",
            "--input",
            RIG,
            "--taps",
            "0",
            "--pace",
            "25",
            "--quiet",
            "--yes",
            "--json",
            "--out",
            wav.toString(),
            json.toString())) {
      // some are killed while they begin, most while taps come
      if (random.nextInt(10) > 0) {
        assertThat(session.says("{\"event\":\"tap\"", 60)).as("%s", session.lines()).isTrue();
      }
      long nanos = (long) (random.nextDouble() * 8e8);
      Thread.sleep(nanos / 1_000_000, (int) (nanos % 1_000_000));
      session.process.destroyForcibly();
      assertThat(session.ends(20)).as("%s", session.lines()).isNotZero();
      return verdicts(session.lines());
    }
  }

  private static List<JsonNode> verdicts(List<String> lines) {
    List<JsonNode> verdicts = new ArrayList<>();
    for (String line : lines) {
      try {
        JsonNode event = JSON.readTree(line);
        if (event.path("event").asText().matches("tap|changed")) {
          verdicts.add(event);
        }
      } catch (JsonProcessingException e) {
        // the cautions, and a last line that was cut short: that was not announced
      }
    }
    return verdicts;
  }

  private static int check(Path wav, List<JsonNode> announced, int[] truth) throws IOException {
    TapLog.Content log = TapLog.read(TapLog.beside(wav));
    List<String> lines = Files.readAllLines(TapLog.beside(wav));
    WavRecording recording = WavRecording.open(wav);
    for (int i = 0; i < announced.size(); i++) {
      JsonNode said = announced.get(i);
      JsonNode written = JSON.readTree(lines.get(i + 1));
      assertThat(written.get("tap").asInt()).isEqualTo(said.get("number").asInt());
      assertThat(written.get("verdict")).isEqualTo(said.get("verdict"));
      assertThat(written.get("reason")).isEqualTo(said.get("reason"));
      assertThat(written.get("firstFrame")).isEqualTo(said.get("firstFrame"));
      int first = said.get("firstFrame").asInt();
      int frames = said.get("frames").asInt();
      double[][] block = new double[2][frames];
      try (Recording.Cursor cursor = recording.from(first)) {
        assertThat(cursor.read(block, 0, frames)).isEqualTo(frames);
      }
      for (int k = 0; k < frames; k++) {
        for (int c = 0; c < 2; c++) {
          int number = (int) Math.scalb(block[c][k], 23);
          if (number != truth[2 * (first + k) + c]) {
            assertThat(number).as("frame %d", first + k).isEqualTo(truth[2 * (first + k) + c]);
          }
        }
      }
    }
    int last = announced.get(announced.size() - 1).get("number").asInt();
    assertThat(log.taps()).hasSizeGreaterThanOrEqualTo(last);
    return recording.remarks().size() + log.remarks().size();
  }

  /** The frames that the simulated machine gives, one after the other, as 24-bit numbers. */
  private static int[] truth() throws IOException {
    TapInputs.Wish wish =
        new TapInputs.Wish(
            RIG,
            OptionalInt.empty(),
            OptionalInt.empty(),
            OptionalInt.empty(),
            2,
            Pace.AS_FAST_AS_POSSIBLE);
    int[] all = new int[2 * MOST_FRAMES];
    double[] some = new double[2 * 4096];
    int at = 0;
    try (LiveInput input = TapInputs.open(wish).input()) {
      for (int n = input.read(some, 4096); n > 0; n = input.read(some, 4096)) {
        for (int i = 0; i < 2 * n; i++) {
          all[at++] = (int) Math.scalb(some[i], 23);
        }
      }
    }
    return all;
  }
}

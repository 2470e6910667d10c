package ringtrue.acquisition;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.json.JsonMapper;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.Closeable;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import ringtrue.units.BadInputException;

/**
 * The taps of a session and what was thought of them, one line of JSON for each, beside the stream.
 * When {@link #append} returns, the tap's frames and its line are on the disk; only then may the
 * verdict be announced. A later line of the same tap (one taken back, or set aside by the user)
 * holds against an earlier one.
 *
 * <p>The first line names format, recording and rate: {@code {"format": "ringtrue-taps/1",
 * "recording": "taps.wav", "sampleRateHz": 48000}}.
 */
public final class TapLog implements Closeable {
  private static final String FORMAT = "ringtrue-taps/1";
  private static final long LARGEST_FILE = 64L << 20;
  private static final JsonMapper JSON = new JsonMapper();

  /**
   * A tap.
   *
   * @param tap number, counted from 1
   * @param firstFrame first frame of its block in the stream
   * @param frames length of the block
   * @param verdict the word for it, such as {@code "kept"} or {@code "double hit"}
   * @param reason why, in plain words; empty if there is nothing to say
   * @param numbers whatever else was found, SI units in the names: {@code peakForceN} for example
   */
  public record Entry(
      int tap,
      long firstFrame,
      long frames,
      String verdict,
      String reason,
      Map<String, Double> numbers) {

    public Entry {
      if (tap < 1 || firstFrame < 0 || frames < 1) {
        throw new IllegalArgumentException(
            "tap " + tap + " at frame " + firstFrame + " with " + frames + " frames");
      }
      Objects.requireNonNull(verdict, "verdict");
      Objects.requireNonNull(reason, "reason");
      numbers = Map.copyOf(numbers);
    }
  }

  /**
   * What a log says.
   *
   * @param recording file name of the stream, in the same folder
   * @param sampleRateHz its rate
   * @param taps the last word on each tap, in order of their numbers
   * @param gaps where frames were lost
   * @param remarks what the reader should know, such as a last line that was cut short
   */
  public record Content(
      String recording,
      double sampleRateHz,
      List<Entry> taps,
      List<LiveInput.Gap> gaps,
      List<String> remarks) {
    public Content {
      taps = List.copyOf(taps);
      gaps = List.copyOf(gaps);
      remarks = List.copyOf(remarks);
    }
  }

  private final StreamedWav stream;
  private final Path path;
  private final FileChannel file;
  private long length;

  private TapLog(StreamedWav stream, Path path, FileChannel file) {
    this.stream = stream;
    this.path = path;
    this.file = file;
  }

  /**
   * Begins a log in the stream's folder.
   *
   * @param stream the recording that the taps are in
   * @param sampleRateHz its rate
   * @param path where the log shall be
   * @param overwrite whether a file of that name may be replaced
   * @throws BadInputException if there is one that may not be replaced
   */
  public static TapLog create(StreamedWav stream, double sampleRateHz, Path path, boolean overwrite)
      throws IOException {
    TapLog log = new TapLog(stream, path, StreamedWav.createFile(path, overwrite));
    ObjectNode line = JSON.createObjectNode();
    line.put("format", FORMAT).put("recording", String.valueOf(stream.path().getFileName()));
    line.put("sampleRateHz", sampleRateHz);
    try {
      log.append(line);
    } catch (IOException e) {
      log.close();
      throw e;
    }
    return log;
  }

  /** The usual name of the log of a recording: {@code taps.wav} has {@code taps.taps.jsonl}. */
  public static Path beside(Path recording) {
    String name = String.valueOf(recording.getFileName());
    return recording.resolveSibling(name.replaceFirst("(?i)\\.wav$", "") + ".taps.jsonl");
  }

  /**
   * Brings the stream and then the tap's line to the disk.
   *
   * @throws IOException if either cannot be written; the lines of before are kept
   */
  public void append(Entry entry) throws IOException {
    if (entry.firstFrame + entry.frames > stream.frames()) {
      throw new IllegalArgumentException(
          "tap " + entry.tap + " ends beyond the " + stream.frames() + " frames written");
    }
    stream.force();
    ObjectNode line = JSON.createObjectNode();
    line.put("tap", entry.tap).put("firstFrame", entry.firstFrame).put("frames", entry.frames);
    line.put("verdict", entry.verdict).put("reason", entry.reason);
    ObjectNode numbers = line.putObject("numbers");
    entry.numbers.keySet().stream().sorted().forEach(k -> numbers.put(k, entry.numbers.get(k)));
    append(line);
  }

  /**
   * Brings the place of a gap to the disk.
   *
   * @throws IOException if it cannot be written; the lines of before are kept
   */
  public void append(LiveInput.Gap gap) throws IOException {
    ObjectNode line = JSON.createObjectNode();
    line.put("gapAtFrame", gap.atFrame()).put("missingFrames", gap.missingFrames());
    line.put("why", gap.why());
    append(line);
  }

  private void append(ObjectNode line) throws IOException {
    ByteBuffer bytes = ByteBuffer.wrap((line + "\n").getBytes(StandardCharsets.UTF_8));
    try {
      while (bytes.hasRemaining()) {
        file.write(bytes, length + bytes.position());
      }
      file.force(true);
      length += bytes.limit();
    } catch (IOException e) {
      throw new IOException(
          path.getFileName()
              + ": cannot be written any further: "
              + StreamedWav.reason(e)
              + "; the taps of before are kept",
          e);
    }
  }

  @Override
  public void close() throws IOException {
    if (!file.isOpen()) {
      return;
    }
    try (file) {
      // what a failed write left
      file.truncate(length);
    }
  }

  /**
   * Reads a log, also one whose program was killed.
   *
   * @throws BadInputException if it is no such log, or a line other than the last cannot be read
   */
  public static Content read(Path path) throws IOException {
    String name = String.valueOf(path.getFileName());
    List<String> lines = new ArrayList<>(text(path, name).lines().toList());
    List<String> remarks = new ArrayList<>();
    JsonNode first = lines.isEmpty() ? null : parsed(lines.get(0));
    if (first == null || !FORMAT.equals(first.path("format").asText())) {
      throw new BadInputException(
          name + ": line 1: must be {\"format\": \"" + FORMAT + "\", ...} of a session's taps");
    }
    Map<Integer, Entry> taps = new LinkedHashMap<>();
    List<LiveInput.Gap> gaps = new ArrayList<>();
    for (int i = 1; i < lines.size(); i++) {
      JsonNode line = parsed(lines.get(i));
      Entry entry = entry(line);
      if (entry != null) {
        taps.put(entry.tap, entry);
      } else if (line != null && line.path("gapAtFrame").canConvertToLong()) {
        gaps.add(
            new LiveInput.Gap(
                line.get("gapAtFrame").asLong(),
                line.path("missingFrames").asLong(),
                line.path("why").asText()));
      } else if (i == lines.size() - 1) {
        remarks.add(
            name + ": the last line was cut short when the program was stopped, and was left out");
      } else {
        throw new BadInputException(name + ": line " + (i + 1) + ": is neither a tap nor a gap");
      }
    }
    List<Entry> all = new ArrayList<>(taps.values());
    all.sort(java.util.Comparator.comparingInt(Entry::tap));
    return new Content(
        first.path("recording").asText(),
        first.path("sampleRateHz").asDouble(),
        all,
        gaps,
        remarks);
  }

  private static String text(Path path, String name) throws IOException {
    try {
      if (Files.size(path) > LARGEST_FILE) {
        throw new BadInputException(name + ": too large for the taps of a session");
      }
      return new String(Files.readAllBytes(path), StandardCharsets.UTF_8);
    } catch (NoSuchFileException e) {
      throw new BadInputException(name + ": there is no such file", e);
    }
  }

  private static JsonNode parsed(String line) {
    try {
      JsonNode node = JSON.readTree(line);
      return node.isObject() ? node : null;
    } catch (JsonProcessingException e) {
      return null;
    }
  }

  private static Entry entry(JsonNode line) {
    if (line == null || !line.path("tap").isInt() || !line.path("verdict").isTextual()) {
      return null;
    }
    Map<String, Double> numbers = new LinkedHashMap<>();
    for (Map.Entry<String, JsonNode> number : line.path("numbers").properties()) {
      numbers.put(number.getKey(), number.getValue().asDouble());
    }
    try {
      return new Entry(
          line.get("tap").asInt(),
          line.path("firstFrame").asLong(-1),
          line.path("frames").asLong(),
          line.get("verdict").asText(),
          line.path("reason").asText(),
          numbers);
    } catch (IllegalArgumentException e) {
      return null;
    }
  }
}

package ringtrue.library;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.LinkedHashMap;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import ringtrue.library.SetUpLibrary.Filer;
import ringtrue.signal.Processing;
import ringtrue.units.BadInputException;

/** A measurement file and its recordings, to be laid beside each other in a folder of their own. */
final class MeasurementCopy {
  private final String text;
  private final Map<String, Path> recordings;

  private MeasurementCopy(String text, Map<String, Path> recordings) {
    this.text = text;
    this.recordings = recordings;
  }

  /**
   * @param file a measurement file that can be read
   */
  static MeasurementCopy of(Path file) {
    return of(file, Optional.empty());
  }

  /**
   * @param file a measurement file that can be read
   * @param decided which taps count, where that is not what the file says
   */
  static MeasurementCopy of(Path file, Optional<Processing> decided) {
    String name = file.getFileName().toString();
    JsonNode tree;
    try {
      tree = JsonFields.tree(Files.readString(file, StandardCharsets.UTF_8), name);
    } catch (IOException e) {
      throw new BadInputException(name + ": cannot be read: " + SafeFile.reason(e), e);
    }
    if (!(tree instanceof ObjectNode all)) {
      throw new BadInputException(name + ": must hold one JSON object");
    }
    Map<String, Path> recordings = new LinkedHashMap<>();
    beside(all, file, recordings);
    if (all.get("addedMass") instanceof ObjectNode added) {
      beside(added, file, recordings);
    }
    decided.ifPresent(
        p -> {
          ObjectNode into =
              all.get("processing") instanceof ObjectNode said ? said : all.putObject("processing");
          numbers(into.putArray("rejected"), p.rejected());
          numbers(into.putArray("kept"), p.kept());
        });
    return new MeasurementCopy(JsonText.pretty(all), recordings);
  }

  private static void numbers(ArrayNode into, Set<Integer> numbers) {
    numbers.stream().sorted().forEach(into::add);
  }

  /** Names each recording by its last part, numbered where two are called alike. */
  private static void beside(ObjectNode holder, Path file, Map<String, Path> recordings) {
    ArrayNode names = JsonNodeFactory.instance.arrayNode();
    for (JsonNode said : holder.path("recordings")) {
      Path path = file.toAbsolutePath().resolveSibling(said.asText());
      names.add(freeName(path, recordings));
    }
    holder.set("recordings", names);
  }

  private static String freeName(Path path, Map<String, Path> taken) {
    String name = path.getFileName().toString();
    int dot = name.lastIndexOf('.');
    String stem = dot > 0 ? name.substring(0, dot) : name;
    String ending = dot > 0 ? name.substring(dot).toLowerCase(Locale.ROOT) : "";
    String words = SetUpId.words(stem);
    String plain = (words.isEmpty() ? "recording" : words) + ending.replaceAll("[^.a-z0-9]", "");
    if (!ArchiveNames.knownKind(plain)) {
      plain += ".txt"; // so that an archive takes it along
    }
    String free = plain;
    for (int n = 2; taken.containsKey(free) && !taken.get(free).equals(path); n++) {
      free = plain.replaceFirst("(?=(\\.[a-z0-9]*)?$)", "-" + n);
    }
    taken.put(free, path);
    return free;
  }

  /** Writes it. */
  void into(Path folder, Filer filer) throws IOException {
    for (Map.Entry<String, Path> recording : recordings.entrySet()) {
      filer.copy(recording.getValue(), folder.resolve(recording.getKey()));
    }
    filer.write(folder.resolve(SavedMeasurementFile.MEASUREMENT), text);
  }
}

package ringtrue.library;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.json.JsonMapper;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import ringtrue.fitting.FitSettings;
import ringtrue.units.BadInputException;

/**
 * What the user wanted of the modes of a saved measurement, so that they can be found again: {@code
 * fit.json} beside them, format {@code ringtrue-fit/1}. Not there where everything was automatic.
 */
public final class SavedFit {
  /** Name of the file. */
  public static final String NAME = "fit.json";

  private static final String FORMAT = "ringtrue-fit/1";
  private static final JsonMapper JSON = new JsonMapper();

  private SavedFit() {}

  /** As text. */
  static String toText(FitSettings fit) {
    ObjectNode all = JSON.createObjectNode().put("format", FORMAT);
    fit.bandLowHz().ifPresent(hz -> all.put("bandLowHz", hz));
    fit.bandHighHz().ifPresent(hz -> all.put("bandHighHz", hz));
    fit.count().ifPresent(n -> all.put("count", n));
    fit.picksHz().forEach(all.putArray("picksHz")::add);
    return all.toPrettyString() + "\n";
  }

  /**
   * What was wanted of a saved measurement.
   *
   * @param folder the measurement's folder
   * @throws BadInputException if the file is there and cannot be used
   */
  public static FitSettings of(Path folder) {
    Path file = folder.resolve(NAME);
    if (!Files.isRegularFile(file, LinkOption.NOFOLLOW_LINKS)) {
      return FitSettings.AUTOMATIC;
    }
    try {
      JsonNode all = JSON.readTree(Files.readString(file));
      if (!all.path("format").asText().equals(FORMAT)) {
        throw new BadInputException(NAME + ": its format must be " + FORMAT);
      }
      List<Double> picks = new ArrayList<>();
      all.path("picksHz").forEach(hz -> picks.add(hz.asDouble()));
      return new FitSettings(
          number(all, "bandLowHz"),
          number(all, "bandHighHz"),
          Optional.ofNullable(all.get("count")).map(JsonNode::asInt),
          picks);
    } catch (JsonProcessingException e) {
      throw new BadInputException(NAME + ": is no JSON", e);
    } catch (IOException e) {
      throw new BadInputException(NAME + ": cannot be read: " + SafeFile.reason(e), e);
    }
  }

  private static Optional<Double> number(JsonNode all, String name) {
    return Optional.ofNullable(all.get(name)).map(JsonNode::asDouble);
  }
}

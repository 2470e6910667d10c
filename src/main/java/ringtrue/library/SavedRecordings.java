package ringtrue.library;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.util.Optional;
import ringtrue.units.BadInputException;

/** Takes the recordings of a saved measurement out of a library, to go on with them elsewhere. */
public final class SavedRecordings {
  private SavedRecordings() {}

  /**
   * Copies the measurement file and its recordings.
   *
   * @param saved the set-up
   * @param measurement one of its measurements
   * @param into a folder
   * @param base what the copies' names begin with; none of that beginning may be there
   * @return name of the measurement file there; empty where no recordings were kept
   * @throws BadInputException if they cannot be read or name anything outside their folder
   */
  public static Optional<String> copy(
      SavedSetUp saved, SavedMeasurement measurement, Path into, String base) {
    Path folder = saved.folder(measurement);
    Path file = folder.resolve(SavedMeasurementFile.MEASUREMENT);
    if (!Files.isRegularFile(file, LinkOption.NOFOLLOW_LINKS)) {
      return Optional.empty();
    }
    String place = saved.setUp().id() + "/" + measurement.id();
    NamesInside.require(file, place);
    if (!(JsonFields.tree(SetUpReader.text(file, place), place) instanceof ObjectNode all)) {
      throw new BadInputException(place + ": must hold one JSON object");
    }
    try {
      recordings(all, folder, into, base);
      if (all.get("addedMass") instanceof ObjectNode added) {
        recordings(added, folder, into, base + "-mass");
      }
      String name = base + ".json";
      Files.writeString(into.resolve(name), JsonText.pretty(all));
      return Optional.of(name);
    } catch (IOException e) {
      throw new BadInputException(place + ": cannot be copied: " + SafeFile.reason(e), e);
    }
  }

  private static void recordings(ObjectNode holder, Path folder, Path into, String base)
      throws IOException {
    ArrayNode names = JsonNodeFactory.instance.arrayNode();
    int count = holder.path("recordings").size();
    for (int i = 0; i < count; i++) {
      Path from = folder.resolve(holder.path("recordings").get(i).asText());
      String own = from.getFileName().toString();
      int dot = own.lastIndexOf('.');
      String name = base + (i == 0 ? "" : "-" + (i + 1)) + (dot < 0 ? "" : own.substring(dot));
      Files.copy(from, into.resolve(name));
      names.add(name);
    }
    holder.set("recordings", names);
  }
}

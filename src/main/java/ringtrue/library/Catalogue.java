package ringtrue.library;

import java.io.IOException;
import java.io.InputStream;
import java.io.StringReader;
import java.io.UncheckedIOException;
import java.nio.ByteBuffer;
import java.nio.charset.CharacterCodingException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Collection;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.TreeSet;
import java.util.function.Function;
import ringtrue.planning.Machine;
import ringtrue.planning.ToolMaterial;
import ringtrue.units.BadInputException;
import ringtrue.units.Names;

/**
 * Materials, cutter materials and machines that can be called by name: the rows that come with the
 * program and the user's own, which win over rows of the same name. Immutable.
 */
public final class Catalogue {
  private final Shelf<CatalogueMaterial> materials =
      new Shelf<>("material", CatalogueMaterial::name);
  private final Shelf<ToolMaterial> tools = new Shelf<>("tool material", ToolMaterial::name);
  private final Shelf<Machine> machines = new Shelf<>("machine", Machine::name);

  private Catalogue() {}

  /** The rows that come with the program. */
  public static Catalogue bundled() {
    return with(List.of());
  }

  /**
   * The rows that come with the program and those of the user's files: tables ({@code .csv}, the
   * header tells materials from cutter materials) and machines ({@code .json}). Where two files
   * hold the same name, the later one wins.
   *
   * @throws BadInputException naming file, line and column or field
   */
  public static Catalogue with(List<Path> userFiles) {
    Catalogue all = new Catalogue();
    all.add(new CatalogueTable("materials.csv", new StringReader(resource("materials.csv"))));
    all.add(
        new CatalogueTable("tool-materials.csv", new StringReader(resource("tool-materials.csv"))));
    for (String file : resource("machines/list.txt").lines().toList()) {
      all.machines.put(MachineFields.ofText(file, resource("machines/" + file)), List.of());
    }
    for (Path file : userFiles) {
      String place = file.toString();
      if (place.toLowerCase(Locale.ROOT).endsWith(".json")) {
        all.machines.put(MachineFields.ofText(place, text(file)), List.of());
      } else {
        all.add(new CatalogueTable(place, new StringReader(text(file))));
      }
    }
    return all;
  }

  private void add(CatalogueTable table) {
    table.materials.forEach(m -> materials.put(m, m.aliases()));
    table.tools.forEach(t -> tools.put(t.material(), t.aliases()));
  }

  /**
   * A material by its name or an alias, whatever the case.
   *
   * @throws BadInputException if there is none; the message names the closest known one
   */
  public CatalogueMaterial material(String name) {
    return materials.get(name);
  }

  /** All materials, bundled ones first. */
  public List<CatalogueMaterial> materials() {
    return materials.all();
  }

  /**
   * What a cutter is made of, by name or alias.
   *
   * @throws BadInputException if there is none; the message names the closest known one
   */
  public ToolMaterial toolMaterial(String name) {
    return tools.get(name);
  }

  /** All materials of cutters, bundled ones first. */
  public List<ToolMaterial> toolMaterials() {
    return tools.all();
  }

  /**
   * A machine by its name.
   *
   * @throws BadInputException if there is none; the message names the closest known one
   */
  public Machine machine(String name) {
    return machines.get(name);
  }

  /** All machines, bundled ones first. */
  public List<Machine> machines() {
    return machines.all();
  }

  private static String resource(String name) {
    try (InputStream in = Catalogue.class.getResourceAsStream("/shared/" + name)) {
      if (in == null) {
        throw new IllegalStateException("the program was packed without shared/" + name);
      }
      return new String(in.readAllBytes(), StandardCharsets.UTF_8);
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  static String text(Path file) {
    try {
      return StandardCharsets.UTF_8.newDecoder().decode(ByteBuffer.wrap(bytes(file))).toString();
    } catch (CharacterCodingException e) {
      throw new BadInputException(file + ": is not UTF-8 text; save it as UTF-8", e);
    }
  }

  private static byte[] bytes(Path file) {
    try {
      return Files.readAllBytes(file);
    } catch (IOException e) {
      throw new BadInputException(
          file + ": cannot be read; give a catalogue file (.csv or .json) that exists", e);
    }
  }

  /** Things by name; a thing put later hides an earlier one of the same name. */
  private static final class Shelf<T> {
    private final String kind;
    private final Function<T, String> nameOf;
    private final Map<String, T> byName = new LinkedHashMap<>();
    private final Map<String, T> byAlias = new LinkedHashMap<>();

    Shelf(String kind, Function<T, String> nameOf) {
      this.kind = kind;
      this.nameOf = nameOf;
    }

    void put(T thing, Collection<String> aliases) {
      T hidden = byName.put(key(nameOf.apply(thing)), thing);
      if (hidden != null) {
        // the old row's aliases now mean the new row, not a row that can no longer be seen
        byAlias.replaceAll((alias, old) -> old == hidden ? thing : old);
      }
      byAlias.remove(key(nameOf.apply(thing)));
      for (String alias : aliases) {
        byAlias.put(key(alias), thing);
      }
    }

    List<T> all() {
      return new ArrayList<>(byName.values());
    }

    T get(String name) {
      T found = byName.get(key(name));
      if (found == null) {
        found = byAlias.get(key(name));
      }
      if (found != null) {
        return found;
      }
      TreeSet<String> known = new TreeSet<>(String.CASE_INSENSITIVE_ORDER);
      byName.values().forEach(t -> known.add(nameOf.apply(t)));
      TreeSet<String> all = new TreeSet<>(known);
      all.addAll(byAlias.keySet());
      String near =
          Names.closest(name, known)
              .or(() -> Names.closest(name, all))
              .map(n -> "closest known: \"" + n + "\"")
              .orElse("known: " + String.join(", ", known));
      throw new BadInputException("unknown " + kind + " \"" + name + "\"; " + near);
    }

    private static String key(String name) {
      return name.trim().replaceAll("\\s+", " ").toLowerCase(Locale.ROOT);
    }
  }
}

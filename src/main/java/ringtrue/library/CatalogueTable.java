package ringtrue.library;

import java.io.IOException;
import java.io.Reader;
import java.io.UncheckedIOException;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Iterator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import org.apache.commons.csv.CSVFormat;
import org.apache.commons.csv.CSVParser;
import org.apache.commons.csv.CSVRecord;
import ringtrue.planning.ToolMaterial;
import ringtrue.stability.CuttingCoefficients;
import ringtrue.units.BadInputException;
import ringtrue.units.Names;

/** Reads the catalogue's two kinds of table; the header tells which one it is. */
final class CatalogueTable {
  private static final List<String> MATERIAL_COLUMNS =
      List.of(
          "name",
          "aliases",
          "iso_group",
          "ktc_mpa",
          "krc_mpa",
          "kte_n_per_mm",
          "kre_n_per_mm",
          "ktc_low_mpa",
          "ktc_high_mpa",
          "vc_max_m_per_min",
          "basis",
          "source");
  private static final List<String> TOOL_COLUMNS =
      List.of(
          "name",
          "aliases",
          "youngs_modulus_gpa",
          "density_kg_m3",
          "trs_low_mpa",
          "trs_high_mpa",
          "allowed_cyclic_mpa",
          "speed_factor",
          "source");

  /** Above every value in the units of the columns. */
  private static final double LARGEST = 1e9;

  private static final double MPA = 1e6;
  private static final double GPA = 1e9;
  private static final double N_PER_MM = 1e3;

  /** A cutter's material with the other names that it goes by. */
  record NamedTool(ToolMaterial material, List<String> aliases) {}

  final List<CatalogueMaterial> materials = new ArrayList<>();
  final List<NamedTool> tools = new ArrayList<>();

  private final String place;
  private final Map<String, Integer> columns = new LinkedHashMap<>();
  private final Map<String, Long> linesByName = new LinkedHashMap<>();
  private CSVRecord row;
  private long line;

  /**
   * @param place what to call the file in messages
   * @throws BadInputException naming file, line and column
   */
  CatalogueTable(String place, Reader text) {
    this.place = place;
    CSVFormat format =
        CSVFormat.DEFAULT
            .builder()
            .setCommentMarker('#')
            .setIgnoreEmptyLines(true)
            .setIgnoreSurroundingSpaces(true)
            .get();
    try (CSVParser parser = format.parse(text)) {
      Iterator<CSVRecord> rows = parser.iterator();
      if (!rows.hasNext()) {
        throw new BadInputException(
            place + ": no header line; the first line of a material table is like " + header());
      }
      row = rows.next();
      line = parser.getCurrentLineNumber();
      boolean isTools = readHeader();
      while (rows.hasNext()) {
        row = rows.next();
        line = parser.getCurrentLineNumber();
        if (row.size() != columns.size()) {
          throw new BadInputException(
              where()
                  + " has "
                  + row.size()
                  + " cells, the header has "
                  + columns.size()
                  + " (put text that holds a comma in \"quotes\")");
        }
        if (isTools) {
          tools.add(tool());
        } else {
          materials.add(material());
        }
      }
    } catch (IOException | UncheckedIOException e) {
      throw new BadInputException(
          place + ", line " + (line + 1) + ": cannot be read as comma-separated text", e);
    }
  }

  private static String header() {
    return String.join(",", MATERIAL_COLUMNS);
  }

  private boolean readHeader() {
    List<String> given =
        Arrays.stream(row.values()).map(c -> c.replace("\uFEFF", "").trim()).toList();
    boolean isTools = given.contains("youngs_modulus_gpa") && !given.contains("ktc_mpa");
    List<String> known = isTools ? TOOL_COLUMNS : MATERIAL_COLUMNS;
    for (String column : given) {
      if (!known.contains(column)) {
        String near = Names.closest(column, known).map(n -> ", closest known: " + n).orElse("");
        throw new BadInputException(
            where()
                + ": unknown column \""
                + column
                + "\""
                + near
                + " (known: "
                + String.join(", ", known)
                + ")");
      }
      if (columns.put(column, columns.size()) != null) {
        throw new BadInputException(where() + ": column \"" + column + "\" is there twice");
      }
    }
    Set<String> needed =
        new TreeSet<>(
            isTools
                ? List.of("name", "youngs_modulus_gpa", "allowed_cyclic_mpa")
                : List.of("name", "ktc_mpa", "krc_mpa"));
    needed.removeAll(given);
    if (!needed.isEmpty()) {
      throw new BadInputException(where() + ": column " + needed.iterator().next() + " is missing");
    }
    return isTools;
  }

  private CatalogueMaterial material() {
    String name = name();
    double ktc = positive("ktc_mpa") * MPA;
    double low = optional("ktc_low_mpa", Double.NaN) * MPA;
    double high = optional("ktc_high_mpa", Double.NaN) * MPA;
    if (low > ktc) {
      throw bad("ktc_low_mpa", "must not be above ktc_mpa");
    }
    if (high < ktc) {
      throw bad("ktc_high_mpa", "must not be below ktc_mpa");
    }
    double down = Double.isNaN(low) ? 0 : (ktc - low) / ktc;
    double up = Double.isNaN(high) ? 0 : (high - ktc) / ktc;
    double range = Double.isNaN(low) && Double.isNaN(high) ? Double.NaN : Math.max(down, up);
    CuttingCoefficients coefficients =
        new CuttingCoefficients(
            ktc,
            number("krc_mpa") * MPA,
            optional("kte_n_per_mm", 0) * N_PER_MM,
            optional("kre_n_per_mm", 0) * N_PER_MM,
            range);
    return new CatalogueMaterial(
        name,
        aliases(),
        cell("iso_group"),
        coefficients,
        low,
        high,
        optional("vc_max_m_per_min", Double.NaN) / 60,
        cell("basis"),
        cell("source"));
  }

  private NamedTool tool() {
    String name = name();
    double low = optional("trs_low_mpa", Double.NaN) * MPA;
    double high = optional("trs_high_mpa", Double.NaN) * MPA;
    if (high < low) {
      throw bad("trs_high_mpa", "must not be below trs_low_mpa");
    }
    return new NamedTool(
        new ToolMaterial(
            name,
            positive("youngs_modulus_gpa") * GPA,
            optional("density_kg_m3", Double.NaN),
            low,
            high,
            positive("allowed_cyclic_mpa") * MPA,
            optional("speed_factor", 1),
            cell("source")),
        aliases());
  }

  private String name() {
    String name = cell("name");
    if (name.isEmpty()) {
      throw bad("name", "must not be empty");
    }
    Long before = linesByName.putIfAbsent(name.toLowerCase(Locale.ROOT), line);
    if (before != null) {
      throw bad("name", "is already on line " + before);
    }
    return name;
  }

  private List<String> aliases() {
    return Arrays.stream(cell("aliases").split(";"))
        .map(String::trim)
        .filter(a -> !a.isEmpty())
        .toList();
  }

  private String cell(String column) {
    Integer at = columns.get(column);
    return at == null ? "" : row.get(at).trim();
  }

  private double number(String column) {
    String text = cell(column);
    double value;
    try {
      value = Double.parseDouble(text);
    } catch (NumberFormatException e) {
      throw bad(column, "must be a plain number like 650 (the unit is in the column's name)");
    }
    // parseDouble also takes "NaN", "1e999" and hexadecimal numbers
    if (!Double.isFinite(value) || !text.matches("[-+0-9.eE]+")) {
      throw bad(column, "must be a plain number like 650 (the unit is in the column's name)");
    }
    if (Math.abs(value) > LARGEST) {
      throw bad(column, "is more than any material has");
    }
    return value;
  }

  private double positive(String column) {
    double value = number(column);
    if (!(value > 0)) {
      throw bad(column, "must be above 0");
    }
    return value;
  }

  private double optional(String column, double otherwise) {
    if (cell(column).isEmpty()) {
      return otherwise;
    }
    double value = number(column);
    if (value < 0) {
      throw bad(column, "must not be negative");
    }
    return value;
  }

  private BadInputException bad(String column, String what) {
    return new BadInputException(
        where() + ", column " + column + ": \"" + cell(column) + "\" " + what);
  }

  private String where() {
    return place + ", line " + line;
  }
}

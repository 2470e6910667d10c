package ringtrue.library;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Collections;
import java.util.List;
import java.util.Optional;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import ringtrue.dynamics.Progress;
import ringtrue.planning.CutPlan;
import ringtrue.planning.CutPlanner;
import ringtrue.planning.Machine;
import ringtrue.planning.PlanSettings;
import ringtrue.planning.ToolMaterial;
import ringtrue.stability.CuttingProcess;
import ringtrue.stability.Engagement;
import ringtrue.stability.Tool;
import ringtrue.units.BadInputException;

class CatalogueTest {
  @TempDir Path dir;

  private final Catalogue bundled = Catalogue.bundled();

  @ParameterizedTest
  @ValueSource(
      strings = {
        "aluminium 6082-T6",
        "aluminium 6061-T6",
        "aluminium 7075-T6",
        "carbon steel C45",
        "mild steel",
        "stainless 304",
        "tool steel",
        "alloy steel 42CrMo4",
        "grey cast iron GG25",
        "brass",
        "titanium Ti-6Al-4V",
        "POM plastic"
      })
  void everydayMaterialsAreThere(String name) {
    CatalogueMaterial material = bundled.material(name);
    assertThat(material.name()).isEqualTo(name);
    assertThat(material.coefficients().relativeRange()).isPositive();
  }

  @Test
  void everyRowHasSourceBasisAndARangeAroundItsValue() {
    assertThat(bundled.materials()).hasSizeGreaterThanOrEqualTo(12);
    for (CatalogueMaterial row : bundled.materials()) {
      assertThat(row.source()).as(row.name()).isNotBlank();
      assertThat(row.basis()).as(row.name()).isNotBlank();
      assertThat(row.ktcLowPa()).as(row.name()).isLessThan(row.coefficients().ktcPa());
      assertThat(row.ktcHighPa()).as(row.name()).isGreaterThan(row.coefficients().ktcPa());
    }
    assertThat(bundled.toolMaterials()).allSatisfy(t -> assertThat(t.source()).isNotBlank());
  }

  /**
   * Chin. J. Mech. Eng. 2021, s10033-021-00536-9, Table 5, rows (189) and (190), N/mm² and N/mm.
   */
  @ParameterizedTest
  @CsvSource({"6082-T6, 631, 99, 13, 10", "7075-T6, 767, 168.8, 27.7, 26.6"})
  void measuredRowsAreAsPublished(String alloy, double ktc, double krc, double kte, double kre) {
    var c = bundled.material("aluminium " + alloy).coefficients();
    assertThat(c.ktcPa()).isCloseTo(ktc * 1e6, within(1.0));
    assertThat(c.krcPa()).isCloseTo(krc * 1e6, within(1.0));
    assertThat(c.kteNPerM()).isCloseTo(kte * 1e3, within(1e-6));
    assertThat(c.kreNPerM()).isCloseTo(kre * 1e3, within(1e-6));
  }

  /**
   * A tangent touches: at h0 the row's force is 0.7 of Kienzle's b kc1.1 h^(1−mc), and so is its
   * slope, taken here as a difference quotient of the law itself, not by the recipe's formula.
   */
  @Test
  void kienzleRowsTouchKienzlesLawAtTheStatedThickness() throws IOException {
    double h0 = 0.02;
    double dh = 1e-6;
    int rows = 0;
    for (String line : Files.readAllLines(Path.of("fixtures/catalogue/kienzle.csv"))) {
      String[] cell = line.split(",");
      if (line.startsWith("#") || line.startsWith("name,")) {
        continue;
      }
      double kc = 0.7 * Double.parseDouble(cell[4]);
      double mc = Double.parseDouble(cell[5]);
      var c = bundled.material(cell[0]).coefficients();
      double ktc = c.ktcPa() / 1e6;
      double kte = c.kteNPerM() / 1e3;
      double force = kc * Math.pow(h0, 1 - mc);
      double slope = kc * (Math.pow(h0 + dh, 1 - mc) - Math.pow(h0 - dh, 1 - mc)) / (2 * dh);
      // rows are rounded to 1 N/mm² and 0.1 N/mm
      assertThat(ktc * h0 + kte).as(cell[0]).isCloseTo(force, within(0.07));
      assertThat(ktc).as(cell[0]).isCloseTo(slope, within(0.51));
      rows++;
    }
    assertThat(rows).isEqualTo(14);
  }

  @Test
  void namesAreFoundByAliasAndInAnyCase() {
    assertThat(bundled.material("6061").name()).isEqualTo("aluminium 6061-T6");
    assertThat(bundled.material("  Mild   STEEL ").name()).isEqualTo("mild steel");
    assertThat(bundled.material("Aluminum 6082-t6").name()).isEqualTo("aluminium 6082-T6");
    assertThat(bundled.toolMaterial("carbide")).isEqualTo(withSource("carbide"));
    assertThat(bundled.toolMaterial("hss").youngsModulusPa()).isEqualTo(220e9);
  }

  /** The program's default cutter material and the catalogue's row must not drift apart. */
  private ToolMaterial withSource(String alias) {
    ToolMaterial d = ToolMaterial.SUBMICRON_CARBIDE;
    return new ToolMaterial(
        d.name(),
        d.youngsModulusPa(),
        d.densityKgPerM3(),
        d.ruptureLowPa(),
        d.ruptureHighPa(),
        d.allowedCyclicPa(),
        d.speedFactor(),
        bundled.toolMaterial(alias).source());
  }

  @Test
  void unknownNameNamesTheClosestOne() {
    assertThatThrownBy(() -> bundled.material("mild stel"))
        .isInstanceOf(BadInputException.class)
        .hasMessage("unknown material \"mild stel\"; closest known: \"mild steel\"");
    assertThatThrownBy(() -> bundled.machine("benchtop ruter"))
        .hasMessageContaining("closest known: \"benchtop router\"");
    assertThatThrownBy(() -> bundled.material("xyzzyxyzzyxyzzy"))
        .hasMessageContaining("known: acrylic PMMA, ")
        .hasMessageContaining("mild steel");
  }

  @Test
  void everyMachineFileOfTheFolderIsListed() throws IOException {
    try (Stream<Path> files = Files.list(Path.of("shared/machines"))) {
      long count = files.filter(f -> f.toString().endsWith(".json")).count();
      assertThat((long) bundled.machines().size()).isEqualTo(count);
    }
    Machine router = bundled.machine("Benchtop Router");
    assertThat(router.maxSpeedRpm()).isCloseTo(24000, within(1e-9));
    assertThat(router.maxFeedMPerS()).isCloseTo(5.0 / 60, within(1e-12));
    assertThat(router.power().get(2).powerW()).isCloseTo(2200, within(1e-9));
    assertThat(bundled.machine("light knee mill").power()).hasSize(3);
    assertThat(bundled.machine("small machining centre").power()).hasSize(4);
  }

  @Test
  void ownRowsWinAndInheritTheAliases() throws IOException {
    Path own =
        write("own.csv", "# mine\nname,ktc_mpa,krc_mpa\nMild Steel,1500,600\nunobtainium,9000,1\n");
    Catalogue mine = Catalogue.with(List.of(own));
    assertThat(mine.material("mild steel").coefficients().ktcPa()).isEqualTo(1500e6);
    assertThat(mine.material("AISI 1018").coefficients().ktcPa()).isEqualTo(1500e6);
    assertThat(mine.material("mild steel").coefficients().kteNPerM()).isZero();
    assertThat(mine.material("mild steel").coefficients().relativeRange()).isNaN();
    assertThat(mine.material("unobtainium").coefficients().krcPa()).isEqualTo(1e6);
    assertThat(mine.materials()).hasSize(bundled.materials().size() + 1);
  }

  @Test
  void ownMachinesAndCuttersAreRead() throws IOException {
    Path machine =
        write(
            "m.json",
            "{\"format\": \"ringtrue-machine/1\", \"name\": \"my router\", \"maxSpeed\": \"400"
                + " Hz\"}");
    Path cutter =
        write("t.csv", "name,youngs_modulus_gpa,allowed_cyclic_mpa\nmy carbide,600,700\n");
    Catalogue mine = Catalogue.with(List.of(machine, cutter));
    assertThat(mine.machine("my router").maxSpeedRpm()).isCloseTo(24000, within(1e-9));
    assertThat(mine.machine("my router").minSpeedRpm()).isNaN();
    assertThat(mine.machine("my router").power()).isEmpty();
    assertThat(mine.toolMaterial("my carbide").allowedCyclicPa()).isEqualTo(700e6);
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "name,ktc_mpa,krc_mpa\\nfoo,12x,1 | line 2, column ktc_mpa: \"12x\" must be a plain number",
        "name,ktc_mpa,krc_mpa\\nfoo,-5,1 | line 2, column ktc_mpa: \"-5\" must be above 0",
        "name,ktc_mpa,krc_mpa\\nfoo,NaN,1 | line 2, column ktc_mpa: \"NaN\" must be a plain number",
        "name,ktc_mpa,krc_mpa\\nfoo,5,1\\n,5,1 | line 3, column name: \"\" must not be empty",
        "name,ktc_mpa,krc_mpa\\nfoo,5,1\\nFOO,5,1 | line 3, column name: \"FOO\" is already on line 2",
        "name,ktc_mpa,krc_mpa\\nfoo,5 | line 2 has 2 cells, the header has 3",
        "name,ktc_mpa\\nfoo,5 | line 1: column krc_mpa is missing",
        "name,ktcmpa,krc_mpa\\nfoo,5,1 | line 1: unknown column \"ktcmpa\", closest known: ktc_mpa",
        "name,ktc_mpa,krc_mpa,kte_n_per_mm\\nfoo,5,1,-1 | column kte_n_per_mm: \"-1\" must not be negative",
        "name,ktc_mpa,krc_mpa,ktc_high_mpa\\nfoo,5,1,4 | column ktc_high_mpa: \"4\" must not be below ktc_mpa",
        "name,ktc_mpa,ktc_mpa,krc_mpa\\nfoo,5,5,4 | column \"ktc_mpa\" is there twice",
      })
  void badRowsAreReportedWithFileLineAndColumn(String text, String message) throws IOException {
    Path own = write("own.csv", text.replace("\\n", "\n"));
    assertThatThrownBy(() -> Catalogue.with(List.of(own)))
        .isInstanceOf(BadInputException.class)
        .hasMessageStartingWith(own + ", ")
        .hasMessageContaining(message);
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "~maxSpead~: ~5 rpm~ | maxSpead: unknown field; did you mean \"maxSpeed\"?",
        "~maxSpeed~: 5000 | maxSpeed: 5000 has no unit; write a spindle speed as text like \"12000 rpm\"",
        "~maxSpeed~: ~5 kg~ | maxSpeed: \"5 kg\" is not a spindle speed",
        "~maxSpeed~: ~-5 rpm~ | maxSpeed: must be more than zero, is \"-5 rpm\"",
        "~minSpeed~: ~9 rpm~, ~maxSpeed~: ~5 rpm~ | minSpeed: 9.0 rpm is above maxSpeed, 5.0 rpm",
        "~power~: [[~5 rpm~, ~1 kW~], [~5 rpm~, ~2 kW~]] | power[1]: speeds must rise",
        "~power~: [[~5 rpm~]] | power[0]: must be a pair like",
        "~power~: ~5 kW~ | power: must be a list in brackets",
      })
  void badMachineFieldsAreNamed(String field, String message) {
    String text =
        ("{'format': 'ringtrue-machine/1', 'name': 'x', " + field + "}")
            .replace('\'', '"')
            .replace('~', '"');
    assertThatThrownBy(() -> MachineFields.ofText("m.json", text))
        .isInstanceOf(BadInputException.class)
        .hasMessageStartingWith("m.json: ")
        .hasMessageContaining(message);
  }

  @Test
  void otherFormatsVersionsAndBrokenFilesAreRefused() {
    assertThatThrownBy(() -> MachineFields.ofText("m.json", "{\"format\": \"ringtrue-machine/2\"}"))
        .hasMessageContaining("\"ringtrue-machine/2\" is newer than this program understands");
    assertThatThrownBy(() -> MachineFields.ofText("m.json", "{\"name\": \"x\"}"))
        .hasMessageContaining("\"ringtrue-machine/1\"");
    assertThatThrownBy(() -> MachineFields.ofText("m.json", "{\"name\":\n"))
        .isInstanceOf(BadInputException.class)
        .hasMessageContaining("line 2");
    assertThatThrownBy(() -> Catalogue.with(List.of(dir.resolve("none.csv"))))
        .isInstanceOf(BadInputException.class)
        .hasMessageContaining("cannot be read");
  }

  private Path write(String name, String text) throws IOException {
    return Files.writeString(dir.resolve(name), text);
  }

  /**
   * Common practice, no source: on a router spindle of about 2 kW at 24,000 rpm, 0.25 in
   * four-flute, 0.5 in deep in mild steel at 150 in/min, a width of 0.030 in is fine, 0.050 in is
   * at the edge, 0.070 in is too much.
   */
  @ParameterizedTest
  @CsvSource({"0.030, 0.5, 0.85", "0.050, 0.9, 1.15", "0.070, 1.2, 2"})
  void mildSteelOnALightRouterAsPeopleKnowIt(double widthIn, double least, double most) {
    double inch = 0.0254;
    Tool tool =
        new Tool(
            0.25 * inch,
            Collections.nCopies(4, Math.toRadians(35)),
            Collections.nCopies(4, Math.PI / 2),
            Double.NaN,
            Double.NaN,
            0,
            Double.NaN);
    CuttingProcess cut =
        new CuttingProcess(
            CuttingProcess.Operation.MILLING,
            Optional.of(tool),
            Engagement.of(Engagement.Direction.DOWN, widthIn * inch, 0.5 * inch, 0.25 * inch),
            bundled.material("mild steel").coefficients(),
            List.of(),
            List.of(),
            24000,
            150 * inch / 24000 / 4,
            0);
    Machine router = bundled.machine("benchtop router");
    CutPlan.Limit power =
        CutPlanner.plan(cut, router, PlanSettings.DEFAULT, Progress.NONE).limits().stream()
            .filter(l -> l.name().equals("power"))
            .findFirst()
            .orElseThrow();
    assertThat(power.value() / power.limit()).isBetween(least, most);
    assertThat(power.value() / 2000).isBetween(least, most);
  }
}

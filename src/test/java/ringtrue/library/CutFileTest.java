package ringtrue.library;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.ModeTable;
import ringtrue.dynamics.OppositeMode;
import ringtrue.dynamics.Progress;
import ringtrue.dynamics.Receptance;
import ringtrue.units.BadInputException;

/** What a cut file says arrives in SI, in its place. */
class CutFileTest {
  private static final String X =
      "{\"modes\": [{\"frequency\": \"1000 Hz\", \"damping\": \"2 %\", \"stiffness\": \"4e6 N/m\","
          + " \"frequencySigma\": \"1 %\", \"dampingSigma\": \"0.3 %\", \"stiffnessSigma\": \"2e5 N/m\"}]}";

  @TempDir Path folder;

  private Cut read(String more, String tool, String dynamics) throws IOException {
    Path file = folder.resolve("cut.json");
    Files.writeString(
        file,
        """
        {"format": "ringtrue-cut/1", "operation": "milling", "machine": {"maxSpeed": "24000 rpm"},
         "tool": {"diameter": "8 mm", "flutes": 3},
         "material": {"ktc": "800 MPa", "krc": "250 MPa", "range": "15 %"},
         "engagement": {"direction": "down", "radial": "3 mm", "axial": "2 mm"},
         "speed": "12000 rpm", "feedPerTooth": "0.05 mm","""
            + more
            + " \"dynamics\": {"
            + dynamics
            + "\"tool\": {"
            + tool
            + "}}}");
    return CutFile.read(file, Catalogue.bundled(), Progress.NONE);
  }

  private static double[] at(Receptance receptance, double hz) {
    double[] g = new double[2];
    receptance.at(hz, g);
    return g;
  }

  @Test
  void whatIsLeftOutIsNothing() throws IOException {
    Cut cut = read("", "\"x\": " + X + ", \"y\": " + X, "");
    assertThat(cut.process().xy()).isEmpty();
    assertThat(cut.process().processDampingNPerM()).isZero();
    assertThat(cut.speedShiftSigma()).isNaN();
    assertThat(cut.remarks()).isEmpty();
  }

  @Test
  void uncertaintyIsRead() throws IOException {
    Cut cut = read("", "\"x\": " + X + ", \"y\": " + X, "\"speedShiftSigma\": \"2 %\", ");
    assertThat(cut.speedShiftSigma()).isCloseTo(0.02, within(1e-15));
    assertThat(cut.process().coefficients().relativeRange()).isCloseTo(0.15, within(1e-15));
    ModalModel x = (ModalModel) cut.process().x().get(0);
    assertThat(x.modes().get(0).frequencyHzSigma()).isCloseTo(10, within(1e-12));
    assertThat(x.modes().get(0).dampingRatioSigma()).isCloseTo(0.003, within(1e-15));
    assertThat(x.modes().get(0).stiffnessNPerMSigma()).isCloseTo(2e5, within(1e-6));
  }

  /** One 1/k in the same sense, one 1/k in the opposite one: written out by hand at 0 Hz. */
  @Test
  void aNegativeStiffnessAcrossCountsWithTheOtherSign() throws IOException {
    String cross =
        "\"xy\": {\"modes\": [{\"frequency\": \"900 Hz\", \"damping\": \"1 %\", \"stiffness\": \"-2.5e7 N/m\"},"
            + " {\"frequency\": \"700 Hz\", \"damping\": \"1 %\", \"stiffness\": \"1e7 N/m\"}]}";
    Cut cut = read("", "\"x\": " + X + ", \"y\": " + X + ", " + cross, "");
    assertThat(cut.process().xy()).hasSize(2).hasAtLeastOneElementOfType(OppositeMode.class);
    double still = cut.process().xy().stream().mapToDouble(r -> at(r, 0)[0]).sum();
    assertThat(still).isCloseTo(1 / 1e7 - 1 / 2.5e7, within(1e-20));
    assertThat(cut.dynamicsSource()).contains("tool xy: 2 modes");
    assertThat(cut.remarks()).isEmpty();
  }

  @Test
  void acrossWithoutAlongIsRemarkedOn() throws IOException {
    Cut cut = read("", "\"x\": " + X + ", \"xy\": " + X, "");
    assertThat(cut.remarks()).anyMatch(r -> r.contains("xy is given without both x and y"));
  }

  /** Half way between 0 and 12,000 rpm lies half way between the rows; beyond, the last row. */
  @Test
  void modesOverSpeed() throws IOException {
    String table =
        "\"x\": {\"bySpeed\": [{\"speed\": \"0 rpm\", \"modes\": [{\"frequency\": \"1000 Hz\", \"damping\": \"2 %\", \"stiffness\": \"4e6 N/m\"}]},"
            + " {\"speed\": \"12000 rpm\", \"modes\": [{\"frequency\": \"960 Hz\", \"damping\": \"3 %\", \"stiffness\": \"5e6 N/m\"}]}]}";
    Cut cut = read("", table + ", \"y\": " + X, "");
    assertThat(cut.process().changesWithSpeed()).isTrue();
    ModeTable x = (ModeTable) cut.process().x().get(0);
    assertThat(x.rows().get(0).speedRpm()).isZero();
    assertThat(x.atSpeed(6000).modes().get(0).frequencyHz()).isCloseTo(980, within(1e-9));
    assertThat(x.atSpeed(6000).modes().get(0).dampingRatio()).isCloseTo(0.025, within(1e-12));
    assertThat(x.atSpeed(30_000).modes().get(0).stiffnessNPerM()).isCloseTo(5e6, within(1e-3));
    assertThat(cut.dynamicsSource()).contains("tool x: 1 mode over 2 speeds");
  }

  @Test
  void processDamping() throws IOException {
    Cut cut = read("\"processDamping\": \"2.5e5 N/m\",", "\"x\": " + X + ", \"y\": " + X, "");
    assertThat(cut.process().processDampingNPerM()).isCloseTo(2.5e5, within(1e-6));
  }

  @Test
  void aShiftWithSpeedNeedsTheFullSpeed() throws IOException {
    Path file = folder.resolve("cut.json");
    read("", "\"x\": " + X + ", \"y\": " + X, "\"speedShiftSigma\": \"2 %\", ");
    Files.writeString(
        file, Files.readString(file).replace("\"maxSpeed\": \"24000", "\"minSpeed\": \"100"));
    assertThatThrownBy(() -> CutFile.read(file, Catalogue.bundled(), Progress.NONE))
        .isInstanceOf(BadInputException.class)
        .hasMessage(
            "cut.json: dynamics.speedShiftSigma: is the shift at the machine's highest speed; give"
                + " that as machine.maxSpeed, like \"24000 rpm\"");
  }

  @Test
  void turningHasNoAcross() throws IOException {
    read("", "\"x\": " + X + ", \"y\": " + X + ", \"xy\": " + X, "");
    Path file = folder.resolve("cut.json");
    Files.writeString(
        file,
        Files.readString(file)
            .replace("\"milling\"", "\"turning\"")
            .replace("\"y\": " + X + ", ", ""));
    assertThatThrownBy(() -> CutFile.read(file, Catalogue.bundled(), Progress.NONE))
        .isInstanceOf(BadInputException.class)
        .hasMessageContaining("dynamics.tool.xy: unknown field");
  }
}

package ringtrue.units;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * Factors from their definitions: inch 25.4 mm and pound 0.45359237 kg (international yard and
 * pound agreement, 1959), standard gravity 9.80665 m/s² (3rd CGPM, 1901), horsepower 550 ft·lbf/s.
 */
class QuantityTest {

  /** Found by fuzzing: took minutes in a pattern that tried every way to part the blanks. */
  @Test
  void aVeryLongTextIsRefusedAtOnce() {
    for (String filling : List.of(" ", "1", "1 ", "e", "(")) {
      String text = "1." + filling.repeat(300_000 / filling.length()) + "\n";
      org.junit.jupiter.api.Assertions.assertTimeoutPreemptively(
          java.time.Duration.ofSeconds(20),
          () ->
              assertThatThrownBy(() -> Quantity.parse(text, Dimension.LENGTH))
                  .isInstanceOf(BadInputException.class)
                  .message()
                  .hasSizeLessThan(200));
    }
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "2,2 mV/N | VOLTAGE_PER_FORCE | 0.0022",
        "0,005 mm | LENGTH | 5e-6",
        "-1,25 mm | LENGTH | -0.00125",
        "1234,567 mm | LENGTH | 1.234567",
        "12,3456 mm | LENGTH | 0.0123456",
        "2,1e6 N/m | STIFFNESS | 2.1e6",
        "0,95 | RATIO | 0.95"
      })
  void aCommaThatCannotStandBetweenThousandsIsADecimalPoint(
      String text, Dimension dimension, double expected) {
    assertThat(Quantity.parse(text, dimension))
        .isCloseTo(expected, within(Math.abs(expected) * 1e-9));
  }

  @Test
  void aCommaThatCouldMeanEitherIsRefusedWithBothWays() {
    assertThatThrownBy(() -> Quantity.parse("2,200 mm", Dimension.LENGTH))
        .hasMessage(
            "\"2,200 mm\" can be read in two ways; write 2.200 with a point, or 2200 without a comma");
    assertThatThrownBy(() -> Quantity.parse("1,234.5 mm", Dimension.LENGTH))
        .hasMessageEndingWith("write 1234.5 without a comma");
    assertThatThrownBy(() -> Quantity.parse("13,000,000 Hz", Dimension.FREQUENCY))
        .hasMessageEndingWith("write 13000000 without a comma");
  }

  @Test
  void aRangeIsSaidInTheUnitThatWasWritten() {
    assertThat(Quantity.range("900 mm", Dimension.LENGTH, 1e-9, 0.2))
        .isEqualTo("from 0.000001 to 200 mm");
    assertThat(Quantity.range("9,5 in", Dimension.LENGTH, 0.000254, 0.254))
        .isEqualTo("from 0.01 to 10 in");
    assertThat(Quantity.range("12", Dimension.LENGTH, 1e-9, 0.2))
        .isEqualTo("from 1.00e-09 to 0.2 m");
  }

  @ParameterizedTest
  @CsvSource({
    "6.35 mm, LENGTH, 0.00635",
    "0.25 in, LENGTH, 0.00635",
    "2.5 thou, LENGTH, 6.35e-5",
    "5 um, LENGTH, 5e-6",
    "5 µm, LENGTH, 5e-6",
    "10.2 mV/g, VOLTAGE_PER_ACCELERATION, 0.00104011053",
    "2.25 mV/N, VOLTAGE_PER_FORCE, 0.00225",
    "10 mV/lbf, VOLTAGE_PER_FORCE, 0.00224808943",
    "12000 rpm, SPINDLE_SPEED, 12000",
    "200 Hz, SPINDLE_SPEED, 12000",
    "1.24 kHz, FREQUENCY, 1240",
    "150 in/min, VELOCITY, 0.0635",
    "5 m/min, VELOCITY, 0.0833333333",
    "300 sfm, VELOCITY, 1.524",
    "1.1 %, RATIO, 0.011",
    "0.011, RATIO, 0.011",
    "180 deg, ANGLE, 3.14159265359",
    "1900 MPa, PRESSURE, 1.9e9",
    "1900 N/mm^2, PRESSURE, 1.9e9",
    "1900 N/mm2, PRESSURE, 1.9e9",
    "1 ksi, PRESSURE, 6894757.293",
    "2.2 kW, POWER, 2200",
    "3 hp, POWER, 2237.09961",
    "0.6 g, MASS, 0.0006",
    "1 g, ACCELERATION, 9.80665",
    "9.81 m/s^2, ACCELERATION, 9.81",
    "9.81 m/s2, ACCELERATION, 9.81",
    "9.81 m/s², ACCELERATION, 9.81",
    "2.1e6 N/m, STIFFNESS, 2.1e6",
    "1 N/um, STIFFNESS, 1e6",
    "1 lbf/in, STIFFNESS, 175.126835",
    "18 N/mm, FORCE_PER_LENGTH, 18000",
    "20 V/(m/s), VOLTAGE_PER_VELOCITY, 20",
    "20 V s/m, VOLTAGE_PER_VELOCITY, 20",
    "8 mV/um, VOLTAGE_PER_LENGTH, 8000",
    "0.9 Nm, TORQUE, 0.9",
    "0.9 N*m, TORQUE, 0.9",
    "8 in*lbf, TORQUE, 0.903878",
    "-3 mm, LENGTH, -0.003",
    ".5e1mm, LENGTH, 0.005"
  })
  void readsWhatPeopleWrite(String text, Dimension dimension, double expected) {
    assertThat(Quantity.parse(text, dimension))
        .isCloseTo(expected, within(Math.abs(expected) * 1e-6));
  }

  @Test
  void gramAndGravityAreToldApartByWhatIsWanted() {
    assertThat(Quantity.parse("1 g", Dimension.MASS)).isEqualTo(1e-3);
    assertThat(Quantity.parse("1 g", Dimension.ACCELERATION)).isEqualTo(9.80665);
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = ';',
      value = {
        "6.35; LENGTH; has no unit",
        "six mm; LENGTH; is not a length",
        "''; LENGTH; is not a length",
        "6.35 kg; LENGTH; measures something else",
        "6.35 nm^2; LENGTH; measures something else",
        "6.35 milimetre; LENGTH; unknown unit",
        "6.35 mm/; LENGTH; unknown unit",
        "6.35 (mm; LENGTH; unknown unit",
        "6.35 mm); LENGTH; unknown unit",
        "6.35 mm^99; LENGTH; measures something else",
        "1e999 mm; LENGTH; too large",
        "NaN mm; LENGTH; is not a length",
        "0x10 mm; LENGTH; unknown unit",
        "'1,500 mm'; LENGTH; can be read in two ways",
        "12000 rmp; SPINDLE_SPEED; closest known: rpm"
      })
  void refusesTheRestInOneLineWithAnExample(String text, Dimension dimension, String why) {
    assertThatThrownBy(() -> Quantity.parse(text, dimension))
        .isInstanceOf(BadInputException.class)
        .hasMessageContaining(why)
        .message()
        .doesNotContain("\n");
  }

  @Test
  void closestNameIsALikelySlipOrNothing() {
    List<String> known = List.of("sensitivity", "fullScale", "channel");
    assertThat(Names.closest("sensitivty", known)).contains("sensitivity");
    assertThat(Names.closest("fullscale", known)).contains("fullScale");
    assertThat(Names.closest("weather", known)).isEmpty();
  }
}

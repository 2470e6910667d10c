package ringtrue.ui.cut;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Map;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import ringtrue.library.Catalogue;
import ringtrue.library.SetUp;
import ringtrue.report.LengthUnit;
import ringtrue.ui.job.CutDraft;
import ringtrue.ui.job.CutField;

class CutValuesTest {
  private static final LengthUnit MM = LengthUnit.MILLIMETRE;
  private static final LengthUnit INCH = LengthUnit.INCH;

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "AXIAL|3|3 mm|3 in",
        "AXIAL|0.25 in|0.25 in|0.25 in",
        "AXIAL|12 thou|12 thou|12 thou",
        "RUNOUT|.005|.005 mm|.005 in",
        "SPEED|12000|12000 rpm|12000 rpm",
        "FEED|1500|1500 mm/min|1500 in/min",
        "HELIX|38|38 deg|38 deg",
        "PITCH|88,92, 88,92|88 deg, 92 deg, 88 deg, 92 deg|88 deg, 92 deg, 88 deg, 92 deg",
        "POWER|6000 0.5; 24000 2.2|6000 rpm 0.5 kW; 24000 rpm 2.2 kW|6000 rpm 0.5 kW; 24000 rpm 2.2 kW",
        "EFFICIENCY|80|80 %|80 %",
        "EFFICIENCY|0.8|0.8|0.8",
        "SAFETY|1.5|1.5|1.5",
        "HOLDING_FORCE|200|200 N|200 N",
        "KTC|1900|1900 MPa|1900 MPa",
        "AXIAL|deep|deep|deep"
      })
  void bareNumbersTakeThePresentUnit(CutField field, String written, String mm, String inch) {
    assertThat(CutValues.complete(field, written, MM)).isEqualTo(mm);
    assertThat(CutValues.complete(field, written, INCH)).isEqualTo(inch);
  }

  @ParameterizedTest
  @CsvSource({
    "AXIAL, 0.25 in, 0.00635",
    "RUNOUT, 0.4 thou, 1.016e-5",
    "FEED, 100 in/min, 0.042333333",
    "FEED, 100 ipm, 0.042333333",
    "SPEED, 18000 rpm, 18000",
    "FEED_PER_TOOTH, 0.002 in, 5.08e-5"
  })
  void unitsOfTheShopAreRead(CutField field, String text, double si) {
    assertThat(CutValues.si(field, text).orElseThrow()).isCloseTo(si, within(1e-6 * si));
  }

  @ParameterizedTest
  @CsvSource({"AXIAL, 0.0035", "FEED, 0.0325", "SPEED, 13000", "HELIX, 0.66", "KTC, 6.3e8"})
  void whatIsWrittenForANumberReadsAsThatNumber(CutField field, double si) {
    for (LengthUnit unit : LengthUnit.values()) {
      String text = CutValues.text(field, si, unit);
      assertThat(CutValues.si(field, text).orElseThrow()).as(text).isCloseTo(si, within(1e-5 * si));
    }
  }

  @Test
  void complaintsSayWhatWouldDo() {
    assertThat(CutValues.complaint(CutField.AXIAL, "3 mm")).isEmpty();
    assertThat(CutValues.complaint(CutField.AXIAL, "")).isEmpty();
    assertThat(CutValues.complaint(CutField.AXIAL, "3 kg")).contains("not a length");
    assertThat(CutValues.complaint(CutField.PITCH, "90 deg, 90 mm")).contains("not a");
    assertThat(CutValues.complaint(CutField.FLUTES, "four")).contains("whole number");
  }

  @Test
  void surfaceSpeedBecomesSpindleSpeedAndBack() {
    CutDraft draft = CutDraft.NEW.with(CutField.DIAMETER, "0.5 in");
    CutDraft set = CutEdits.set(draft, CutField.SPEED, "400 sfm", INCH);
    // 12 * 400 / (pi * 0.5) = 3055.77
    assertThat(set.text(CutField.SPEED)).isEqualTo("3055.77 rpm");
    assertThat(CutValues.cuttingSpeed(CutEdits.cuttingSpeedMPerS(set).orElseThrow(), INCH))
        .isEqualTo("400 sfm");
    assertThat(CutValues.cuttingSpeed(CutEdits.cuttingSpeedMPerS(set).orElseThrow(), MM))
        .isEqualTo("121.9 m/min");
    assertThat(CutEdits.set(CutDraft.NEW, CutField.SPEED, "400 sfm", MM).text(CutField.SPEED))
        .isEqualTo("400 sfm"); // no diameter to tell from: kept, and complained about
  }

  @Test
  void aShareOfTheDiameterIsAWidth() {
    CutDraft draft = CutDraft.NEW.with(CutField.DIAMETER, "8 mm");
    assertThat(CutEdits.set(draft, CutField.RADIAL, "25 %", MM).text(CutField.RADIAL))
        .isEqualTo("2 mm");
  }

  @Test
  void feedIsSaidInOneWayOnly() {
    CutDraft draft = CutEdits.set(CutDraft.NEW, CutField.FEED_PER_TOOTH, "0.05", MM);
    CutDraft rate = CutEdits.set(draft, CutField.FEED, "1500", MM);
    assertThat(rate.has(CutField.FEED_PER_TOOTH)).isFalse();
    assertThat(rate.text(CutField.FEED)).isEqualTo("1500 mm/min");
    assertThat(CutEdits.set(rate, CutField.FEED_PER_TOOTH, "0.04", MM).has(CutField.FEED))
        .isFalse();
  }

  @Test
  void unevenPitchIsAWholeTurn() {
    assertThat(CutEdits.unevenPitch(4)).isEqualTo("88 deg, 92 deg, 88 deg, 92 deg");
    assertThat(CutEdits.unevenPitch(3)).isEqualTo("118 deg, 122 deg, 120 deg");
  }

  @Test
  void theSetUpFillsWhatIsNotSaid() {
    Map<SetUp.Field, String> says =
        Map.of(
            SetUp.Field.DIAMETER, "10 mm",
            SetUp.Field.FLUTES, "4",
            SetUp.Field.MACHINE, "some machine of nobody");
    CutDraft draft = CutDraft.NEW.with(CutField.FLUTES, "3");
    Map<CutField, String> offered = CutEdits.fromSetUp(draft, says, Catalogue.bundled());
    assertThat(offered).containsOnly(Map.entry(CutField.DIAMETER, "10 mm"));
    assertThat(CutEdits.with(draft, offered, MM).text(CutField.DIAMETER)).isEqualTo("10 mm");
  }

  @Test
  void aMachineOfTheCatalogueCanBecomeOwnNumbers() {
    Catalogue catalogue = Catalogue.bundled();
    String name = catalogue.machines().get(0).name();
    CutDraft named = CutEdits.machine(CutDraft.NEW, name);
    assertThat(CutEdits.ownMachine(named)).isFalse();
    CutDraft own = CutEdits.ownMachine(named, catalogue, MM);
    assertThat(CutEdits.ownMachine(own)).isTrue();
    assertThat(CutValues.si(CutField.MAX_SPEED, own.text(CutField.MAX_SPEED)).orElseThrow())
        .isEqualTo(catalogue.machine(name).maxSpeedRpm());
    assertThat(CutEdits.machine(own, name)).isEqualTo(named);
  }

  @Test
  void turningLosesWhatBelongsToMilling() {
    CutDraft turned = CutEdits.operation(CutDraft.NEW.with(CutField.RADIAL, "1 mm"), true);
    assertThat(turned.turning()).isTrue();
    assertThat(turned.has(CutField.RADIAL)).isFalse();
    assertThat(CutEdits.missing(turned))
        .containsExactly(
            CutField.MATERIAL, CutField.AXIAL, CutField.SPEED, CutField.FEED_PER_TOOTH);
    assertThat(CutEdits.sense(CutEdits.operation(turned, false))).isEqualTo("down");
  }

  @Test
  void anExampleLeavesNothingToSay() {
    CutDraft example = CutEdits.example(CutDraft.NEW, Catalogue.bundled());
    assertThat(CutEdits.missing(example)).isEmpty();
    assertThat(example.has(CutField.MACHINE)).isTrue();
  }

  @Test
  void aDecimalCommaIsAPointAndOneBetweenThousandsIsAskedAbout() {
    CutDraft draft = CutEdits.set(CutDraft.NEW, CutField.SPEED, "12,5", MM);
    assertThat(draft.text(CutField.SPEED)).isEqualTo("12.5 rpm");
    assertThat(CutValues.complaint(CutField.AXIAL, "0,5 mm")).isEmpty();
    assertThat(CutValues.complaint(CutField.SPEED, "13,000 rpm")).contains("13000");
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "AXIAL|10 hp|\"10 hp\" is not a length (hp measures something else); write it like \"6.35 mm\"",
        "ENTRY|abc|\"abc\" is not an angle; write it like \"35 deg\"",
        "SAFETY|two|write a number, like 1.5",
        "FLUTES|many|write a whole number, like 4"
      })
  void aComplaintSaysWhatWouldBeRight(CutField field, String written, String complaint) {
    CutDraft draft = CutEdits.set(CutDraft.NEW, field, written, MM);
    assertThat(draft.text(field)).isEqualTo(written);
    assertThat(CutValues.complaint(field, written)).isEqualTo(complaint);
  }

  @Test
  void aComplaintStandsBesideItsFieldWithoutThePlaceInAFile() {
    assertThat(CutField.withoutPlace("cut.json: engagement.axial: must be more than 0"))
        .isEqualTo("must be more than 0");
    assertThat(CutField.withoutPlace("material: no such one: try again"))
        .isEqualTo("no such one: try again");
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "RADIAL|3.2 mm|3.2 mm|0.126 in",
        "FEED_PER_TOOTH|0.03 mm|0.03 mm|0.00118 in",
        "FEED|100 in/min|2540 mm/min|100 in/min",
        "RUNOUT|5 um|5 um|0.000197 in",
        "SPEED|13000 rpm|13000 rpm|13000 rpm",
        "HELIX|38 deg|38 deg|38 deg",
        "AXIAL|deep|deep|deep"
      })
  void whatWasOpenedIsReadInTheUnitThatIsSet(CutField field, String said, String mm, String inch) {
    assertThat(CutValues.shown(field, said, MM)).isEqualTo(mm);
    assertThat(CutValues.shown(field, said, INCH)).isEqualTo(inch);
  }
}

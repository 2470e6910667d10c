package ringtrue.ui.tapping;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import org.assertj.core.data.Percentage;
import org.junit.jupiter.api.Test;
import ringtrue.acquisition.MemoryRecording;
import ringtrue.acquisition.TapSounds;
import ringtrue.library.InputProfile;
import ringtrue.library.Measurement;
import ringtrue.library.MeasurementFile;
import ringtrue.signal.AveragedResponse;
import ringtrue.signal.ResponseEstimator;
import ringtrue.signal.SessionTap;
import ringtrue.signal.Tap;
import ringtrue.signal.TapEvent;
import ringtrue.signal.TapSignals;
import ringtrue.ui.job.Direction;
import ringtrue.ui.kit.Sign;
import ringtrue.units.BadInputException;

/** What the stage says and writes, without a window. */
class TappingPartsTest {

  private static SessionTap tap(int number, Tap.Verdict verdict, String reason) {
    return new SessionTap(new Tap(number, "a.wav", 1, 20, 3e-4, 4000, verdict, reason), 0, 10, 100);
  }

  @Test
  void whatIsReadFromAfar() {
    Announcer announcer = new Announcer(3, 48_000);
    assertThat(announcer.banner().words()).isEqualTo("WAIT");
    assertThat(announcer.take(new TapEvent.Ready(0.1, 0.1, 1, true), Double.NaN))
        .isEqualTo(TapSounds.Sound.READY);
    assertThat(announcer.banner().words()).isEqualTo("TAP NOW");
    announcer.take(new TapEvent.Struck(5), Double.NaN);
    assertThat(announcer.banner().words()).isEqualTo("WAIT");
    assertThat(
            announcer.take(
                new TapEvent.Judged(tap(1, Tap.Verdict.KEPT, "one blow"), 1), Double.NaN))
        .isEqualTo(TapSounds.Sound.KEPT);
    assertThat(announcer.banner())
        .isEqualTo(new Banner(Sign.DONE, "KEPT 1 of 3", "One blow. Tap again."));
    assertThat(
            announcer.take(
                new TapEvent.Judged(tap(2, Tap.Verdict.DOUBLE_HIT, "it rises again"), 1), 0.9))
        .isEqualTo(TapSounds.Sound.SET_ASIDE);
    assertThat(announcer.banner().words()).isEqualTo("SET ASIDE: double hit");
    announcer.take(new TapEvent.Finished(true, "three taps are kept"), 0.9);
    assertThat(announcer.banner()).isEqualTo(new Banner(Sign.DONE, "DONE", "Three taps are kept."));
  }

  /** Every slip of a calibration is about its own field. */
  @Test
  void complaintsFindTheirFields() {
    SensorDraft good =
        SensorDraft.FIRST
            .with(SensorField.FORCE_SENSITIVITY, "2.25 mV/N")
            .with(SensorField.FORCE_FULL_SCALE, "1 V")
            .with(SensorField.RESPONSE_SENSITIVITY, "10.2 mV/g")
            .with(SensorField.RESPONSE_FULL_SCALE, "1 V");
    assertThat(read(good).recording().force()).isPresent();
    check(good, SensorField.FORCE_SENSITIVITY, "0 mV/N", "2.25 mV", "2.25", "", "much");
    check(good, SensorField.FORCE_FULL_SCALE, "0 V", "-1 V", "1 N", "");
    check(good, SensorField.RESPONSE_SENSITIVITY, "10.2 mV/N", "0", "");
    check(good, SensorField.RESPONSE_CHANNEL, "3", "0", "two", "1");
    check(good, SensorField.FORCE_CHANNEL, "7", "1.5");
    check(good, SensorField.SENSOR_MASS, "0.6", "600 kg", "-1 g");
    assertThat(SensorDraft.ofRemembered(good.remembered())).isEqualTo(good);
    InputProfile profile = good.profile("box", "Box", 48_000, 24);
    assertThat(profile.force().orElseThrow().voltsPerUnit())
        .isCloseTo(2.25e-3, Percentage.withPercentage(1e-9));
    assertThatThrownBy(
            () ->
                good.with(SensorField.FORCE_SENSITIVITY, "2.25 mV").profile("box", "", 48_000, 24))
        .isInstanceOf(BadInputException.class)
        .hasMessageStartingWith("force.sensitivity: ");
  }

  private static Measurement read(SensorDraft draft) {
    return MeasurementFile.readSetUp(
        "tool x",
        draft.measurement(Direction.TOOL_X, false),
        new MemoryRecording("box", 48_000, new double[2][0]));
  }

  private static void check(SensorDraft good, SensorField field, String... wrong) {
    for (String each : wrong) {
      assertThatThrownBy(() -> read(good.with(field, each)))
          .as("%s %s", field, each)
          .isInstanceOf(BadInputException.class)
          .satisfies(
              e -> {
                assertThat(SensorField.of(e.getMessage())).as(e.getMessage()).contains(field);
                assertThat(SensorField.plain(e.getMessage()))
                    .doesNotContain(field.path() + ":")
                    .doesNotContain("tool x");
              });
    }
  }

  @Test
  void namesTellDirections() {
    assertThat(TapImport.guess("tool-8mm-x.wav")).contains(Direction.TOOL_X);
    assertThat(TapImport.guess("tool-8mm-y.wav")).contains(Direction.TOOL_Y);
    assertThat(TapImport.guess("bracket-y.wav")).contains(Direction.WORK_Y);
    assertThat(TapImport.guess("tool tip my taps axis-x")).contains(Direction.TOOL_X);
    assertThat(TapFiles.what(Path.of("demo-measurements", "turning-bar.csv")))
        .isEqualTo(TapImport.What.TEXT);
  }

  /** The largest force that is drawn is the one that is listed, and so is the spectrum's reach. */
  @Test
  void signalsOfATap() throws Exception {
    Measurement m = MeasurementFile.read(Path.of("demo-measurements", "tool-8mm-x.json"));
    AveragedResponse averaged =
        ResponseEstimator.estimateTaps(m.recording(), m.processing(), (d, w) -> {}).averaged();
    Tap tap = averaged.taps().get(0);
    TapSignals s = TapSignals.read(m.recording(), tap, averaged.used().blockLengthS());
    double most = 0;
    for (double f : s.force()) {
      most = Math.max(most, f);
    }
    assertThat(most).isCloseTo(tap.peakForceN(), Percentage.withPercentage(1));
    int line = (int) Math.round(tap.usableToHz() / s.lineHz());
    assertThat(20 * Math.log10(s.spectrum()[line] / s.spectrum()[1])).isBetween(-23.0, -17.0);
    TapPlots.OfTap plots = TapPlots.of(s, Optional.of(TapRow.of(tap)), "m/s^2");
    assertThat(plots.force().isEmpty()).isFalse();
    assertThat(plots.spectrum().isEmpty()).isFalse();
    assertThat(TapPlots.coherence(Averaged.of(averaged.response())).isEmpty()).isFalse();
    assertThat(TapPlots.magnitude(Averaged.of(averaged.response())).title()).contains("taps");
    assertThat(List.of(tap).stream().map(TapRow::of).toList().get(0).kept()).isTrue();
  }
}

package ringtrue.signal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.io.IOException;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import ringtrue.acquisition.MemoryRecording;
import ringtrue.dynamics.Progress;
import ringtrue.signal.HeardCut.Verdict;

/** Sounds put together from sines, of which everything is known. */
class CutSoundReaderTest {

  /** A sound that is being put together. */
  private static final class Mix {
    final double rate;
    final double[] samples;
    final Random random = new Random(5);

    Mix(double rate, double seconds) {
      this.rate = rate;
      this.samples = new double[(int) (rate * seconds)];
    }

    Mix noise(double sigma) {
      for (int i = 0; i < samples.length; i++) {
        samples[i] += sigma * random.nextGaussian();
      }
      return this;
    }

    Mix tone(double hz, double amplitude) {
      return tone(hz, amplitude, 0, samples.length / rate);
    }

    Mix tone(double hz, double amplitude, double fromS, double toS) {
      double phase = 2 * Math.PI * random.nextDouble();
      for (int i = (int) (fromS * rate); i < Math.min(samples.length, (int) (toS * rate)); i++) {
        samples[i] += amplitude * Math.sin(2 * Math.PI * hz * i / rate + phase);
      }
      return this;
    }

    Mix comb(double hz, int lines, double amplitude, double fromS, double toS) {
      for (int k = 1; k <= lines; k++) {
        tone(k * hz, amplitude / k, fromS, toS);
      }
      return this;
    }

    Mix comb(double hz, int lines, double amplitude) {
      return comb(hz, lines, amplitude, 0, samples.length / rate);
    }

    HeardCut heard(StatedCut cut) {
      return new CutSoundReader(cut, HeardStructure.UNKNOWN).read(samples, rate, Progress.NONE);
    }
  }

  /** Common practice: 24,000 rpm with four teeth pass 1,600 teeth in a second. */
  @Test
  void fourTeethAt24000RpmPass1600TimesASecond() {
    HeardCut heard =
        new Mix(48_000, 2.5).noise(0.002).comb(1600, 5, 0.1).heard(StatedCut.even(24_000, 4));
    assertThat(heard.toothPassHz()).isCloseTo(1600, within(0.05));
    assertThat(heard.verdict()).isEqualTo(Verdict.CLEAN);
  }

  /** REFERENCE W20: turns, tooth passing and flip of three cuts. */
  @ParameterizedTest
  @CsvSource({
    "24000, 3, 400, 1200, 600, CHATTER",
    "18000, 2, 300, 600, 300, CANNOT_TELL",
    "7200, 4, 120, 480, 240, CHATTER"
  })
  void flipLiesAtHalfTheTeeth(
      double rpm, int teeth, double turns, double tooth, double flip, Verdict verdict) {
    Mix mix = new Mix(44_100, 3).noise(0.001).comb(tooth, 4, 0.05);
    for (int k = 0; k < 3; k++) {
      mix.tone(flip + k * tooth, 0.09 / (1 + k));
    }
    mix.tone(turns, 0.002);
    HeardCut heard = mix.heard(StatedCut.even(rpm, teeth));
    assertThat(heard.spindleHz()).isCloseTo(turns, within(0.02));
    assertThat(heard.toothPassHz()).isCloseTo(tooth, within(0.05));
    assertThat(heard.verdict()).as(heard.because()).isEqualTo(verdict);
    if (verdict == Verdict.CHATTER) {
      assertThat(heard.flip()).isTrue();
      assertThat(heard.chatterHz()).isCloseTo(flip, within(0.05));
    } else {
      assertThat(heard.because()).contains("run-out", "3 to 5 %", "cannot tell");
    }
  }

  @Test
  void chatterHasSideBandsAtToothPassing() {
    double tooth = 591.3;
    Mix mix = new Mix(48_000, 3).noise(0.001).comb(tooth, 5, 0.05);
    mix.tone(1012.4, 0.08).tone(1012.4 - tooth, 0.01).tone(1012.4 + tooth, 0.008);
    HeardCut heard = mix.heard(StatedCut.even(20 * 595, 3));
    assertThat(heard.verdict()).as(heard.because()).isEqualTo(Verdict.CHATTER);
    assertThat(heard.chatterHz()).isCloseTo(1012.4, within(0.05));
    assertThat(heard.flip()).isFalse();
    assertThat(heard.because()).contains("side bands");
  }

  /** The same lone line: there before the entry, coming with the cut, and nobody knows. */
  @Test
  void aLoneLineIsJudgedByWhatSoundsInAir() {
    StatedCut cut = StatedCut.even(11_800, 3);
    HeardCut fan =
        new Mix(48_000, 5).noise(0.001).comb(591, 5, 0.05, 2, 5).tone(1012.4, 0.04).heard(cut);
    assertThat(fan.verdict()).as(fan.because()).isEqualTo(Verdict.CLEAN);
    assertThat(fan.fromS()).isBetween(1.9, 2.6);
    assertThat(fan.remarks()).anyMatch(r -> r.contains("sounds in air as well"));
    HeardCut comes =
        new Mix(48_000, 5)
            .noise(0.001)
            .comb(591, 5, 0.05, 2, 5)
            .tone(1012.4, 0.04, 2, 5)
            .heard(cut);
    assertThat(comes.verdict()).as(comes.because()).isEqualTo(Verdict.CHATTER);
    assertThat(comes.because()).contains("comes with the cut");
    HeardCut alone =
        new Mix(48_000, 3).noise(0.001).comb(591, 5, 0.05).tone(1012.4, 0.04).heard(cut);
    assertThat(alone.verdict()).isEqualTo(Verdict.CANNOT_TELL);
    assertThat(alone.because()).contains("recording in air");
  }

  @Test
  void anotherRecordingInAirTellsFansToo() throws IOException {
    StatedCut cut = StatedCut.even(11_800, 3);
    Mix sound = new Mix(48_000, 3).noise(0.001).comb(591, 5, 0.05).tone(1012.4, 0.04);
    Mix air = new Mix(48_000, 2).noise(0.001).tone(1012.4, 0.04);
    HeardCut heard =
        CutSoundRecording.read(
                new CutSoundReader(cut, HeardStructure.UNKNOWN),
                new MemoryRecording("cut", 48_000, sound.samples),
                new CutSoundRecording.Part(1, 0, Double.POSITIVE_INFINITY),
                Optional.of(new MemoryRecording("air", 48_000, air.samples)),
                Progress.NONE)
            .sound();
    assertThat(heard.verdict()).isEqualTo(Verdict.CLEAN);
  }

  @Test
  void humIsNoChatterButChatterNearAMultipleOfMainsIs() {
    StatedCut cut = StatedCut.even(11_800, 3);
    Mix hum = new Mix(48_000, 3).noise(0.001).comb(591, 5, 0.03);
    for (int k = 1; k < 6; k++) {
      hum.tone(50.01 * k, 0.02);
    }
    assertThat(hum.heard(cut).verdict()).isEqualTo(Verdict.CLEAN);
    HeardCut chatter =
        new Mix(48_000, 3)
            .noise(0.001)
            .comb(591, 5, 0.03)
            .tone(50, 0.005)
            .tone(500.3, 0.05)
            .tone(500.3 + 591, 0.01)
            .tone(591 - 500.3, 0.01)
            .heard(cut);
    assertThat(chatter.verdict()).isEqualTo(Verdict.CHATTER);
    assertThat(chatter.chatterHz()).isCloseTo(500.3, within(0.05));
  }

  @ParameterizedTest
  @CsvSource({"44100", "48000", "96000"})
  void aDroopingSpindleIsFollowed(double rate) {
    Mix mix = new Mix(rate, 4).noise(0.001);
    double phase = 0;
    for (int i = 0; i < mix.samples.length; i++) {
      double turns = 200 * (1 - 0.06 - 0.02 * i / mix.samples.length);
      phase += 2 * Math.PI * turns / rate;
      for (int k = 1; k <= 6; k++) {
        mix.samples[i] += 0.08 / k * Math.sin(3 * k * phase + k);
      }
    }
    HeardCut heard = mix.heard(StatedCut.even(12_000, 3));
    assertThat(heard.verdict()).as(heard.because()).isEqualTo(Verdict.CLEAN);
    assertThat(heard.spindleHz()).isCloseTo(200 * 0.93, within(0.2));
    assertThat(heard.spindleHighHz() - heard.spindleLowHz()).isBetween(2.2, 4.2);
    assertThat(heard.remarks())
        .anyMatch(r -> r.contains("7.0 % slower than stated"))
        .anyMatch(r -> r.contains("the speed changes in the cut"));
  }

  @Test
  void clippingIsSaidAndItsLinesAreNoChatter() {
    Mix mix = new Mix(48_000, 3).noise(0.001).comb(591, 3, 0.5).tone(50, 0.2).tone(311.7, 0.06);
    for (int i = 0; i < mix.samples.length; i++) {
      mix.samples[i] = Math.max(-0.4, Math.min(0.4, mix.samples[i]));
    }
    HeardCut heard = mix.heard(StatedCut.even(11_800, 3));
    assertThat(heard.remarks()).anyMatch(r -> r.contains("clipped"));
    assertThat(heard.verdict()).as(heard.because()).isEqualTo(Verdict.CLEAN);
  }

  @Test
  void unevenTeethHaveLinesAtEveryTurn() {
    Mix mix = new Mix(48_000, 3).noise(0.001);
    for (int k = 1; k < 20; k++) {
      mix.tone(200 * k, 0.05 / (1 + k % 4));
    }
    HeardCut heard = mix.heard(new StatedCut(200, 4, 1));
    assertThat(heard.verdict()).isEqualTo(Verdict.CLEAN);
    assertThat(heard.spindleHz()).isCloseTo(200, within(0.02));
  }

  @Test
  void silenceAndShortnessAreNoCutAndSpeechIsNoChatter() {
    StatedCut cut = StatedCut.even(11_800, 3);
    assertThat(new Mix(48_000, 3).heard(cut).because()).contains("no sound");
    HeardCut shortOne = new Mix(48_000, 0.03).noise(0.01).comb(590, 3, 0.1).heard(cut);
    assertThat(shortOne.verdict()).isEqualTo(Verdict.NOTHING_HEARD);
    assertThat(shortOne.because()).contains("too short");
    assertThat(new Mix(48_000, 0).heard(cut).verdict()).isEqualTo(Verdict.NOTHING_HEARD);
    // a voice: harmonics of a pitch that wanders, in syllables
    Mix voice = new Mix(48_000, 4).noise(0.002);
    double phase = 0;
    for (int i = 0; i < voice.samples.length; i++) {
      double t = i / 48_000.0;
      double pitch = 130 * (1 + 0.2 * Math.sin(2 * Math.PI * 0.7 * t) + 0.05 * Math.sin(17 * t));
      phase += 2 * Math.PI * pitch / 48_000;
      double loud = Math.max(0, Math.sin(2 * Math.PI * 2.3 * t));
      for (int k = 1; k < 15; k++) {
        voice.samples[i] += 0.05 * loud / k * Math.sin(k * phase);
      }
    }
    HeardCut heard = voice.heard(cut);
    // its harmonics may be taken for a comb, but no speech is chatter
    assertThat(heard.verdict()).as(heard.because()).isNotEqualTo(Verdict.CHATTER);
  }

  @Test
  void turningHasLinesOfTheTurnsOnly() {
    double turns = 10.02;
    Mix mix = new Mix(44_100, 8).noise(0.002);
    for (int k = 1; k < 6; k++) {
      mix.tone(k * turns, 0.01 / k, 0, 8);
    }
    mix.tone(412.6, 0.1, 3, 8);
    HeardCut heard = mix.heard(StatedCut.turning(600));
    assertThat(heard.verdict()).as(heard.because()).isEqualTo(Verdict.CHATTER);
    assertThat(heard.toothPassHz()).isNaN();
    assertThat(heard.chatterHz()).isCloseTo(412.6, within(0.1));
  }

  /** Chatter in four seconds of twenty is not lost in the mean, and its time is told. */
  @Test
  void chatterInAPartOfALongCutIsFound() throws IOException {
    Mix mix = new Mix(44_100, 20).noise(0.001).comb(591, 5, 0.05);
    mix.tone(1012.4, 0.08, 11, 16)
        .tone(1012.4 - 591, 0.01, 11, 16)
        .tone(1012.4 + 591, 0.01, 11, 16);
    HeardCut heard = mix.heard(StatedCut.even(11_800, 3));
    assertThat(heard.verdict()).isEqualTo(Verdict.CHATTER);
    assertThat(heard.fromS()).isBetween(10.0, 15.0);
    assertThat(heard.parts()).hasSize(5).anyMatch(p -> p.verdict() == Verdict.CLEAN);
  }

  /** Said within {@link CutSoundSession#LATEST_S} of its beginning, and in air before the entry. */
  @Test
  void liveVerdictsComeInTime() {
    double rate = 44_100;
    Mix mix = new Mix(rate, 15).noise(0.001).comb(591, 5, 0.05, 3, 15);
    mix.tone(1012.4, 0.08, 9, 15).tone(400.9, 0.03);
    CutSoundSession session =
        new CutSoundSession(
            new CutSoundReader(StatedCut.even(11_800, 3), HeardStructure.UNKNOWN),
            rate,
            new double[0]);
    double first = Double.NaN;
    List<Verdict> before = new ArrayList<>();
    int portion = 2048;
    for (int i = 0; i + portion <= mix.samples.length; i += portion) {
      Optional<HeardCut> now =
          session.take(Arrays.copyOfRange(mix.samples, i, i + portion), portion);
      if (now.isPresent() && now.get().verdict() == Verdict.CHATTER && Double.isNaN(first)) {
        first = session.timeS();
      } else if (now.isPresent() && session.timeS() < 9) {
        before.add(now.get().verdict());
      }
    }
    assertThat(first).isBetween(9.0, 9 + CutSoundSession.LATEST_S);
    assertThat(before)
        .contains(Verdict.NOTHING_HEARD, Verdict.CLEAN)
        .doesNotContain(Verdict.CHATTER);
    HeardCut whole = session.result(Progress.NONE);
    assertThat(whole.verdict()).isEqualTo(Verdict.CHATTER);
    assertThat(whole.chatterHz()).isCloseTo(1012.4, within(0.1));
  }

  /**
   * At 101.85 turns a second, not far from the stated speed, the chatter would be the seventh
   * multiple of the turns; its side bands lie by 402.9 Hz apart all the same.
   */
  @Test
  void loudChatterDoesNotTakeTheSpindleAlong() {
    double tooth = 4 * 100.73;
    Mix mix = new Mix(48_000, 3).noise(0.001).comb(tooth, 3, 0.0015).tone(712.98, 0.3);
    mix.tone(712.98 - 100.73, 0.006).tone(2 * 712.98, 0.008);
    mix.tone(712.98 + tooth, 0.004).tone(712.98 - tooth, 0.004);
    HeardCut heard = mix.heard(StatedCut.even(6000, 4));
    assertThat(heard.spindleHz()).isCloseTo(100.73, within(0.05));
    assertThat(heard.chatterHz()).as(heard.because()).isCloseTo(712.98, within(0.05));
  }

  /** A spindle that has lost a tenth of its speed is still followed where the teeth are clear. */
  @Test
  void aSpindleFarFromTheStatedSpeedIsFollowed() {
    HeardCut heard =
        new Mix(48_000, 2).noise(0.002).comb(700, 5, 0.1).heard(StatedCut.even(15_400, 3));
    assertThat(heard.toothPassHz()).isCloseTo(700, within(0.05));
    assertThat(heard.verdict()).isEqualTo(Verdict.CLEAN);
    assertThat(heard.remarks()).anyMatch(r -> r.contains("9.1 % slower"));
  }

  /** With two teeth a flip and run-out sound alike; where the lobes say flip, neither is denied. */
  @ParameterizedTest
  @CsvSource({"true, CANNOT_TELL", "false, CLEAN"})
  void aWeakFlipOfTwoTeethIsLeftOpenWhereTheLobesSayFlip(boolean flips, Verdict verdict) {
    Mix mix = new Mix(48_000, 2).noise(0.001).comb(600, 4, 0.05).tone(300, 0.01).tone(900, 0.02);
    HeardStructure structure = HeardStructure.UNKNOWN.withFlips(hz -> flips);
    HeardCut heard =
        new CutSoundReader(StatedCut.even(18_000, 2), structure)
            .read(mix.samples, mix.rate, Progress.NONE);
    assertThat(heard.verdict()).as(heard.because()).isEqualTo(verdict);
    if (flips) {
      assertThat(heard.because()).contains("3 to 5 %", "may flip");
    }
  }

  @Test
  void chatterInAFifthOfAShortCutIsFoundAndItsTimeSaid() {
    double tooth = 700;
    Mix mix = new Mix(48_000, 2.6).noise(0.002).comb(tooth, 5, 0.1);
    mix.tone(1300.4, 0.3, 1.04, 1.56);
    mix.tone(1300.4 + tooth, 0.04, 1.04, 1.56).tone(1300.4 - tooth, 0.04, 1.04, 1.56);
    HeardCut heard = mix.heard(StatedCut.even(14_000, 3));
    assertThat(heard.verdict()).as(heard.because()).isEqualTo(Verdict.CHATTER);
    assertThat(heard.chatterHz()).isCloseTo(1300.4, within(1.0));
    assertThat(heard.fromS()).isCloseTo(1.04, within(0.2));
    assertThat(heard.toS()).isCloseTo(1.56, within(0.2));
    assertThat(heard.because()).contains("not all through the cut");
    assertThat(heard.parts()).hasSize(3);
  }

  @Test
  void aConstantIsNoSoundAndChangesNone() {
    double[] constant = new double[100_000];
    Arrays.fill(constant, 0.3);
    CutSoundReader reader = new CutSoundReader(StatedCut.even(14_000, 3), HeardStructure.UNKNOWN);
    HeardCut nothing = reader.read(constant, 48_000, Progress.NONE);
    assertThat(nothing.verdict()).isEqualTo(Verdict.NOTHING_HEARD);
    assertThat(nothing.spindleHz()).isNaN();
    double[] raised = new Mix(48_000, 2).noise(0.002).comb(700, 5, 0.1).samples;
    for (int i = 0; i < raised.length; i++) {
      raised[i] += 0.3;
    }
    HeardCut heard = reader.read(raised, 48_000, Progress.NONE);
    assertThat(heard.verdict()).isEqualTo(Verdict.CLEAN);
    assertThat(heard.toothPassHz()).isCloseTo(700, within(0.05));
  }
}

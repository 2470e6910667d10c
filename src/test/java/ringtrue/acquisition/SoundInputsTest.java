package ringtrue.acquisition;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.lang.reflect.InvocationHandler;
import java.lang.reflect.Proxy;
import java.util.ArrayList;
import java.util.List;
import java.util.function.Predicate;
import javax.sound.sampled.AudioFormat;
import javax.sound.sampled.AudioSystem;
import javax.sound.sampled.DataLine;
import javax.sound.sampled.Line;
import javax.sound.sampled.LineUnavailableException;
import javax.sound.sampled.Mixer;
import javax.sound.sampled.TargetDataLine;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import ringtrue.units.BadInputException;

/** Mixers that claim one thing and do another. */
@Timeout(60)
class SoundInputsTest {
  private static final int ANY = AudioSystem.NOT_SPECIFIED;

  /** A mixer whose lines open where the predicate says so. */
  private record Fake(String name, List<AudioFormat> claimed, Predicate<AudioFormat> does) {

    Mixer mixer() {
      DataLine.Info info =
          new DataLine.Info(TargetDataLine.class, claimed.toArray(AudioFormat[]::new), ANY, ANY);
      InvocationHandler answers =
          (proxy, method, args) ->
              switch (method.getName()) {
                case "getMixerInfo" -> new Info(name);
                case "getTargetLineInfo" -> new Line.Info[] {info};
                case "isLineSupported" -> info.matches((Line.Info) args[0]) || wanted(args[0]);
                case "getLine" -> line();
                case "equals" -> proxy == args[0];
                default -> throw new UnsupportedOperationException(method.getName());
              };
      return (Mixer)
          Proxy.newProxyInstance(
              Mixer.class.getClassLoader(), new Class<?>[] {Mixer.class}, answers);
    }

    private boolean wanted(Object asked) {
      AudioFormat format = ((DataLine.Info) asked).getFormats()[0];
      return claimed.stream().anyMatch(format::matches);
    }

    private TargetDataLine line() {
      AudioFormat[] opened = {null};
      InvocationHandler answers =
          (proxy, method, args) ->
              switch (method.getName()) {
                case "open" -> {
                  AudioFormat format = (AudioFormat) args[0];
                  if (!does.test(format)) {
                    throw new LineUnavailableException("line with format not supported");
                  }
                  opened[0] = format;
                  yield null;
                }
                case "getFormat" -> opened[0];
                case "getBufferSize" -> 48_000;
                case "read" -> {
                  byte[] into = (byte[]) args[0];
                  java.util.Arrays.fill(into, (byte) 1);
                  Thread.sleep(1);
                  yield args[2];
                }
                case "start", "stop", "close" -> null;
                default -> throw new UnsupportedOperationException(method.getName());
              };
      return (TargetDataLine)
          Proxy.newProxyInstance(
              Mixer.class.getClassLoader(), new Class<?>[] {TargetDataLine.class}, answers);
    }
  }

  private static final class Info extends Mixer.Info {
    Info(String name) {
      super(name, "nobody", "Direct Audio Device: " + name, "1");
    }
  }

  private static AudioFormat pcm(float rate, int bits, int bytes, int channels, boolean big) {
    return new AudioFormat(
        AudioFormat.Encoding.PCM_SIGNED,
        rate,
        bits,
        channels,
        channels == ANY ? ANY : bytes * channels,
        rate,
        big);
  }

  private static SoundInputs of(Fake... fakes) {
    List<Mixer> mixers = new ArrayList<>();
    for (Fake fake : fakes) {
      mixers.add(fake.mixer());
    }
    return new SoundInputs(() -> mixers);
  }

  private static final Fake BOX =
      new Fake(
          "Box",
          List.of(
              pcm(ANY, 16, 2, 2, false),
              pcm(ANY, 16, 2, 2, true),
              pcm(ANY, 24, 4, 2, false),
              pcm(ANY, 8, 1, 2, false)),
          f -> f.getSampleRate() <= 96_000 || f.getSampleSizeInBits() == 16);

  /** Claims any rate; what it really opens at is listed, the deepest first. */
  @Test
  void listsWhatOpensNotWhatIsClaimed() {
    List<SoundInputs.Device> devices = of(BOX).list();
    assertThat(devices)
        .containsExactly(
            new SoundInputs.Device(
                1,
                "Box",
                "Direct Audio Device: Box",
                List.of(
                    new SoundInputs.Offer(24, 4, 2, List.of(44_100, 48_000, 88_200, 96_000)),
                    new SoundInputs.Offer(
                        16, 2, 2, List.of(44_100, 48_000, 88_200, 96_000, 176_400, 192_000))),
                true,
                ""));
  }

  @Test
  void opensTheDeepestAtTheWantedRateOrAtTheHighest() throws IOException {
    try (SoundInput input = of(BOX).open("box", 48_000, 2, 0)) {
      assertThat(input.format()).isEqualTo(new PcmFormat(48_000, 2, 24, 4, false));
      double[] frames = new double[20];
      assertThat(input.read(frames, 10)).isEqualTo(10);
      assertThat(frames[0]).isEqualTo(0x010101 * 0x1p-23);
    }
    try (SoundInput input = of(BOX).open("", 0, 2, 0)) {
      assertThat(input.format()).isEqualTo(new PcmFormat(96_000, 2, 24, 4, false));
    }
    try (SoundInput input = of(BOX).open("", 192_000, 1, 0)) {
      assertThat(input.format()).isEqualTo(new PcmFormat(192_000, 2, 16, 2, false));
    }
    try (SoundInput input = of(BOX).open("1", 48_000, 2, 16)) {
      assertThat(input.bits()).isEqualTo(16);
    }
  }

  @Test
  void bigEndianIsTakenWhereThereIsNothingElse() throws IOException {
    Fake big = new Fake("Big", List.of(pcm(48_000, 24, 3, 1, true)), f -> true);
    try (SoundInput input = of(big).open("", 0, 1, 0)) {
      assertThat(input.format()).isEqualTo(new PcmFormat(48_000, 1, 24, 3, true));
    }
  }

  @Test
  void aDeviceTakenByAnotherProgramIsSaidInOneSentence() {
    Fake taken = new Fake("Taken", BOX.claimed, f -> false);
    assertThat(of(taken).list().get(0).offers()).isEmpty();
    assertThatThrownBy(() -> of(BOX, taken).open("Taken", 48_000, 2, 0))
        .isInstanceOf(BadInputException.class)
        .hasMessage(
            "input \"Taken\" could not be opened: taken by another program, unplugged, or not"
                + " allowed for this user");
  }

  @Test
  void whatItDoesNotGiveIsSaidWithWhatItGives() {
    assertThatThrownBy(() -> of(BOX).open("Box", 192_000, 2, 24))
        .isInstanceOf(BadInputException.class)
        .hasMessage(
            "input \"Box\" does not give 2 channels of 24 bits at 192000 Hz; it gives 2 x 24 bits"
                + " at 44100/48000/88200/96000 Hz, 2 x 16 bits at"
                + " 44100/48000/88200/96000/176400/192000 Hz");
  }

  @Test
  void namesAreFoundOrTheClosestIsSaid() {
    Fake other = new Fake("Box in the shed", BOX.claimed, BOX.does);
    SoundInputs inputs = of(BOX, other);
    inputs.open("shed", 48_000, 2, 0).close();
    assertThatThrownBy(() -> inputs.open("bo", 48_000, 2, 0))
        .hasMessage(
            "input \"bo\" fits several: Box, Box in the shed; say more of the name, or its number");
    assertThatThrownBy(() -> inputs.open("Bax", 48_000, 2, 0))
        .hasMessage(
            "there is no input \"Bax\"; did you mean \"Box\"? there are: Box, Box in the shed");
  }

  @Test
  void noInputAtAllIsOneSentence() {
    SoundInputs none = of();
    assertThat(none.list()).isEmpty();
    assertThatThrownBy(() -> none.open("", 48_000, 2, 0))
        .isInstanceOf(BadInputException.class)
        .hasMessageStartingWith("no sound input was found");
  }
}

package ringtrue.ui.shell;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.awt.Dimension;
import java.awt.Rectangle;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import ringtrue.ui.desk.FileTaker;
import ringtrue.units.BadInputException;

/** What files are, and where windows can stand. */
class FileKindTest {
  private static final Path DEMO = Path.of("demo-measurements");

  @TempDir Path folder;

  private Path file(String name, String text) throws Exception {
    return Files.write(folder.resolve(name), text.getBytes(StandardCharsets.ISO_8859_1));
  }

  @Test
  void whatTheProgramBringsAlong() {
    assertThat(FileKind.of(DEMO.resolve("tool-8mm-x.wav"))).isEqualTo(FileTaker.WAV);
    assertThat(FileKind.of(DEMO.resolve("tool-8mm-x.json"))).isEqualTo("ringtrue-measurement/1");
    assertThat(FileKind.of(DEMO.resolve("cut-turning.json"))).isEqualTo("ringtrue-cut/1");
    assertThat(FileKind.of(DEMO.resolve("turning-bar.csv"))).isEqualTo(FileTaker.TEXT);
  }

  @Test
  void contentCountsMoreThanTheName() throws Exception {
    assertThat(FileKind.of(file("sound.txt", "RIFF....WAVEfmt "))).isEqualTo(FileTaker.WAV);
    assertThat(FileKind.of(file("packed.dat", "PK\u0003\u0004...."))).isEqualTo(FileTaker.ARCHIVE);
    assertThat(FileKind.of(file("cut.txt", " {\"format\": \"ringtrue-cut/1\"}")))
        .isEqualTo("ringtrue-cut/1");
    assertThat(FileKind.of(file("a.csv", "# format: ringtrue-frf/1\nfrequency_hz,real_m_per_n\n")))
        .isEqualTo(FileTaker.RESPONSE);
    assertThat(FileKind.of(file("b.csv", "Frequency,Real,Imag\n1,2,3\n")))
        .isEqualTo(FileTaker.RESPONSE);
    assertThat(FileKind.of(file("c.txt", "0.0 1.0 2.0\n"))).isEqualTo(FileTaker.TEXT);
    assertThat(FileKind.of(file("d.unv", "    -1\n    58\n"))).isEqualTo(FileTaker.UNIVERSAL);
  }

  @Test
  void whatIsUnknownHasNoFormat() throws Exception {
    assertThat(FileKind.of(file("x.bin", "anything"))).isEmpty();
    complains(file("x.json", "{ half"), "x.json: is not whole");
    complains(file("x.csv", ""), "x.csv: is empty");
    complains(
        file("m.csv", "frequency_hz,damping_ratio,stiffness_n_per_m\n1,2,3\n"),
        "m.csv: holds modes");
    complains(file("m.json", "{\"format\": \"ringtrue-saved-modes/1\"}"), "m.json: holds modes");
    assertThat(FileKind.of(file("x.pdf", "%PDF-1.7"))).isEmpty();
    assertThatThrownBy(() -> FileKind.of(folder.resolve("missing.wav")))
        .isInstanceOf(BadInputException.class)
        .hasMessageStartingWith("missing.wav: cannot be read");
    assertThatThrownBy(() -> FileKind.of(folder)).isInstanceOf(BadInputException.class);
  }

  private static void complains(Path file, String begins) {
    assertThatThrownBy(() -> FileKind.of(file))
        .isInstanceOf(BadInputException.class)
        .hasMessageStartingWith(begins);
  }

  @Test
  void aWindowStandsWhereItStoodIfItIsSeenThere() {
    Dimension least = new Dimension(900, 600);
    List<Rectangle> one = List.of(new Rectangle(0, 0, 1920, 1080));
    Rectangle at = new Rectangle(100, 80, 1200, 800);
    assertThat(WindowPlace.of(WindowPlace.text(at), one, least)).isEqualTo(at);
    assertThat(WindowPlace.of("2500 80 1200 800", one, least)).isNull();
    assertThat(WindowPlace.of("100 -500 1200 800", one, least)).isNull();
    assertThat(WindowPlace.of("0 0 9000 9000", one, least)).isNull();
    assertThat(WindowPlace.of("0 0 10 10", one, least)).isEqualTo(new Rectangle(0, 0, 900, 600));
    for (String odd : new String[] {"", "1 2 3", "a b c d", "1 2 3 99999999999"}) {
      assertThat(WindowPlace.of(odd, one, least)).isNull();
    }
  }
}

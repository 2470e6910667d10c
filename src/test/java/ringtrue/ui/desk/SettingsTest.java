package ringtrue.ui.desk;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import ringtrue.report.LengthUnit;

/** What is remembered from one time to the next. */
class SettingsTest {
  @TempDir Path home;

  @Test
  void writtenAndReadItIsTheSame() {
    Settings settings =
        Settings.NONE
            .withUnit(LengthUnit.INCH)
            .with("sounds", false)
            .with("scale", 150)
            .with("recent", "/a/b\n/c d/\u00e9.wav");
    settings.write(home);
    assertThat(Settings.read(home)).isEqualTo(settings);
    assertThat(settings.unit()).isEqualTo(LengthUnit.INCH);
    assertThat(settings.on("sounds", true)).isFalse();
    assertThat(settings.number("scale", 100)).isEqualTo(150);
    settings.with("scale", 175).write(home);
    assertThat(Settings.read(home).number("scale", 100)).isEqualTo(175);
  }

  @Test
  void aDamagedFileIsForgotten() throws Exception {
    Path file = home.resolve("window.json");
    for (String text :
        new String[] {"", "{", "[1, 2]", "\u0000\u0001", "{\"a\": {\"b\": 1}}", "7"}) {
      Files.writeString(file, text);
      assertThat(Settings.read(home).text("unit", "mm")).isEqualTo("mm");
    }
    Settings.NONE.with("unit", "in").write(home);
    assertThat(Settings.read(home).unit()).isEqualTo(LengthUnit.INCH);
  }

  @Test
  void whatIsNoNumberIsNone() {
    assertThat(Settings.NONE.with("scale", "large").number("scale", 100)).isEqualTo(100);
    assertThat(Settings.NONE.on("sounds", true)).isTrue();
  }

  @Test
  void aStageOfAnotherVersionIsTheFirst() {
    assertThat(StageId.remembered("MODES")).isEqualTo(StageId.MODES);
    assertThat(StageId.remembered("gone")).isEqualTo(StageId.SET_UP);
  }
}

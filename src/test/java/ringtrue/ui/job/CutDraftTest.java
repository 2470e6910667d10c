package ringtrue.ui.job;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import com.fasterxml.jackson.databind.json.JsonMapper;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;
import org.junit.jupiter.params.provider.ValueSource;
import ringtrue.units.BadInputException;

/** Cuts as they are being described. */
class CutDraftTest {
  @TempDir Path folder;

  @ParameterizedTest
  @ValueSource(strings = {"cut-pocket-8mm", "cut-bracket-10mm", "cut-turning"})
  void aCutFileComesBackTheSame(String name) throws Exception {
    JsonMapper json = new JsonMapper();
    String text = Files.readString(Path.of("demo-measurements", name + ".json"));
    CutDraft draft = new CutDraft(text);
    String again = draft.file(Map.of());
    assertThat(json.readTree(again)).isEqualTo(json.readTree(text));
    CutDraft same = draft;
    for (CutField field : CutField.values()) {
      if (draft.has(field)) {
        same = same.with(field, draft.text(field));
      }
    }
    for (CutField field : CutField.values()) {
      assertThat(same.text(field)).as(field.path()).isEqualTo(draft.text(field));
    }
    Path file = folder.resolve("cut.json");
    ObjectNode without = (ObjectNode) json.readTree(same.file(Map.of()));
    Files.writeString(file, without.toString());
    assertThat(json.readTree(file.toFile())).isEqualTo(json.readTree(text));
  }

  @ParameterizedTest
  @EnumSource(CutField.class)
  void whatIsSaidOfAFieldIsThereAndCanBeTakenBack(CutField field) {
    String said = field.example().isEmpty() ? "some words" : field.example();
    CutDraft draft = CutDraft.NEW.with(field, said);
    assertThat(draft.text(field)).isEqualTo(said);
    assertThat(draft.has(field)).isTrue();
    CutDraft back = draft.with(field, " ");
    assertThat(back.has(field)).isFalse();
    boolean insteadOfDirection = field.path().startsWith("engagement.direction");
    if (!CutDraft.NEW.has(field) && !insteadOfDirection) {
      assertThat(back).isEqualTo(CutDraft.NEW);
    }
  }

  @ParameterizedTest
  @EnumSource(CutField.class)
  void aComplaintTellsItsField(CutField field) {
    assertThat(CutField.of("cut.json: " + field.path() + ": must be more")).contains(field);
    assertThat(CutField.of(field.path() + ": must be more")).contains(field);
  }

  @Test
  void whatTheWindowDoesNotShowIsKept() {
    CutDraft draft = new CutDraft("{\"format\":\"ringtrue-cut/1\",\"tool\":{\"odd\":7}}");
    assertThat(draft.with(CutField.DIAMETER, "6 mm").with(CutField.DIAMETER, "").json())
        .contains("\"odd\":7");
  }

  @Test
  void dynamicsComeFromWhatIsMeasured() {
    String file = CutDraft.NEW.file(Map.of(Direction.TOOL_X, "{\"modes\":[]}"));
    CutDraft draft = new CutDraft(file);
    assertThat(draft.describes(Direction.TOOL_X)).isTrue();
    assertThat(draft.describes(Direction.TOOL_Y)).isFalse();
  }

  @Test
  void nothingButAnObjectIsTaken() {
    assertThatThrownBy(() -> new CutDraft("[1]")).isInstanceOf(BadInputException.class);
    assertThatThrownBy(() -> new CutDraft("{")).isInstanceOf(BadInputException.class);
  }

  @Test
  void aResponseCountsAsMeasuredOrWithItsModes() {
    Measured response =
        Measured.of(Direction.TOOL_X, Measured.Kind.RESPONSE, "tip-x.csv", "from elsewhere");
    CutDraft as = CutDraft.NEW.counting(response, true);
    assertThat(as.countsAsMeasured(response)).isTrue();
    assertThat(as.countsAsMeasured(response.withFit(response.fit()))).isTrue();
    assertThat(
            as.countsAsMeasured(
                Measured.of(Direction.TOOL_X, Measured.Kind.TAPS, "tip-x.json", "tapped")))
        .isFalse();
    assertThat(as.counting(response, false)).isEqualTo(CutDraft.NEW);
  }
}

package ringtrue.ui.kit;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.List;
import javax.swing.SwingUtilities;
import org.junit.jupiter.api.Test;

/** A line to write in. */
class FieldTest {
  private final List<String> said = new ArrayList<>();

  private void onEvents(Runnable what) throws Exception {
    SwingUtilities.invokeAndWait(what);
  }

  @Test
  void whatIsWrittenCountsOnEnterAndOnce() throws Exception {
    onEvents(
        () -> {
          Field field = new Field("width", "Width", 8).onCommit(said::add);
          field.show("3 mm");
          field.input().setText("4 mm");
          assertThat(said).isEmpty();
          field.input().postActionEvent();
          field.input().postActionEvent();
          assertThat(said).containsExactly("4 mm");
          assertThat(field.input().getAccessibleContext().getAccessibleName()).isEqualTo("Width");
          assertThat(field.label().getLabelFor()).isSameAs(field.input());
        });
  }

  @Test
  void escapeBringsBackWhatStoodThere() throws Exception {
    onEvents(
        () -> {
          Field field = new Field("width", "Width", 8).onCommit(said::add);
          field.show("3 mm");
          field.input().setText("4 mm");
          field.input().getActionMap().get("as-it-was").actionPerformed(null);
          assertThat(field.text()).isEqualTo("3 mm");
          assertThat(field.input().getActionMap().get("as-it-was").isEnabled()).isFalse();
        });
  }

  @Test
  void typingIsTakenBackBeforeAnythingElse() throws Exception {
    onEvents(
        () -> {
          Field field = new Field("width", "Width", 8);
          field.show("3");
          javax.swing.Action undo = field.input().getActionMap().get("typed-undo");
          assertThat(undo.isEnabled()).as("nothing typed yet").isFalse();
          field.input().replaceSelection("4");
          assertThat(undo.isEnabled()).isTrue();
          undo.actionPerformed(null);
          assertThat(field.text()).isEqualTo("3");
          assertThat(undo.isEnabled()).isFalse();
        });
  }

  @Test
  void aComplaintIsSeenAndGoes() throws Exception {
    onEvents(
        () -> {
          Field field = new Field("width", "Width", 8);
          field.complain("must be more than 0");
          assertThat(field.input().getClientProperty("JComponent.outline")).isEqualTo("error");
          field.complain("");
          assertThat(field.input().getClientProperty("JComponent.outline")).isNull();
        });
  }
}

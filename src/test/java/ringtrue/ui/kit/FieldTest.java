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

  @Test
  void aComplaintIsNoStopOfTheTabKeyAndIsHeardWithTheField() throws Exception {
    onEvents(
        () -> {
          Field field = new Field("width", "Width", 8);
          field.complain("must be more than 0");
          assertThat(stops(field)).containsExactly(field.input());
          assertThat(field.input().getAccessibleContext().getAccessibleDescription())
              .isEqualTo("must be more than 0");
        });
  }

  private static List<java.awt.Component> stops(java.awt.Container in) {
    List<java.awt.Component> all = new ArrayList<>();
    for (java.awt.Component each : in.getComponents()) {
      if (each.isFocusable()
          && (each instanceof javax.swing.text.JTextComponent
              || each instanceof javax.swing.AbstractButton)) {
        all.add(each);
      }
      if (each instanceof java.awt.Container inner && !all.contains(each)) {
        all.addAll(stops(inner));
      }
    }
    return all;
  }

  @Test
  void whatAValueComesToStandsBelowAndGivesWayToAComplaint() throws Exception {
    onEvents(
        () -> {
          Field field = new Field("width", "Width", 8).suffix("mm");
          int plain = field.getPreferredSize().height;
          field.suffix("= 3.2 mm, 40 % of D");
          int hinted = field.getPreferredSize().height;
          assertThat(hinted).isGreaterThan(plain);
          field.complain("no");
          assertThat(field.getPreferredSize().height).isBetween(hinted, hinted + 6);
        });
  }
}

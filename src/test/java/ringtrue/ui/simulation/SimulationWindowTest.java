package ringtrue.ui.simulation;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import javax.swing.JTabbedPane;
import javax.swing.text.JTextComponent;
import org.junit.jupiter.api.Test;
import ringtrue.ui.DemoCut;
import ringtrue.ui.Jobs;
import ringtrue.ui.WindowHarness;
import ringtrue.ui.desk.StageId;

/** The simulation in time, in the cut's stage. */
class SimulationWindowTest extends WindowHarness {
  private void demo() throws Exception {
    onEvents(
        () -> {
          frame.setSize(1280, 800);
          return null;
        });
    Path folder = Jobs.demoJob(home);
    onEvents(
        () -> {
          desk.resume(folder, () -> {});
          return null;
        });
    waitUntil("the job is open", () -> desk.folder().isPresent());
    depth(DemoCut.CHATTERS);
    waitUntil("the plan is there", () -> desk.results().plan().ready());
    onEvents(
        () -> {
          desk.go(StageId.CUT);
          return null;
        });
    waitUntil("the tabs are seen", () -> find("cut-tabs") != null);
    onEvents(
        () -> {
          ((JTabbedPane) find("cut-tabs")).setSelectedIndex(3);
          return null;
        });
  }

  private void depth(String depth) throws Exception {
    onEvents(
        () -> {
          desk.amend(j -> j.with(DemoCut.at(depth)));
          return null;
        });
  }

  private String verdict() {
    return find("simulation-verdict") instanceof JTextComponent says ? says.getText() : "";
  }

  private double at() {
    return ((CutterPicture) find("simulation-picture")).at();
  }

  @Test
  void itRunsByItselfTurnsAndFollowsTheCut() throws Exception {
    demo();
    waitUntil("it chatters", () -> verdict().contains("chatter at"));
    double before = onEvents(this::at);
    waitUntil("the cutter turns", () -> at() > before);
    press("simulation-play");
    waitUntil("it is held", () -> label("simulation-play").startsWith("Play"));
    keys("SPACE");
    waitUntil("it plays", () -> label("simulation-play").startsWith("Hold"));
    keys("SPACE");
    waitUntil("it is held again", () -> label("simulation-play").startsWith("Play"));
    double held = onEvents(this::at);
    press("simulation-ahead");
    assertThat(onEvents(this::at)).isGreaterThan(held);
    shoot("chatter");
    depth(DemoCut.QUIET);
    waitUntil(
        "the cut of before is named as such, or the new one is there",
        () -> verdict().contains("of the cut before") || verdict().contains("stable"));
    waitUntil("the cut is there", () -> desk.results().cut().ready());
    onEvents(
        () -> {
          if (find("simulation-run").isEnabled() && !verdict().contains("stable")) {
            ((javax.swing.JButton) find("simulation-run")).doClick(0);
          }
          return null;
        });
    waitUntil("it is stable", () -> verdict().contains("stable") && !verdict().contains("before"));
    shoot("stable");
    onEvents(
        () -> {
          ((javax.swing.JButton) find("simulation-run")).doClick(0);
          ((javax.swing.JButton) find("simulation-stop")).doClick(0);
          return null;
        });
    waitUntil("it was stopped", () -> find("simulation-notice") != null);
    assertThat(find("simulation-stop")).isNull();
  }

  private String label(String name) {
    return find(name) instanceof javax.swing.JButton button ? button.getText() : "";
  }
}

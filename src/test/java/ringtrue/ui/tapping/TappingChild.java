package ringtrue.ui.tapping;

import java.awt.Component;
import java.awt.Container;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import javax.swing.JLabel;
import javax.swing.SwingUtilities;
import javax.swing.Timer;
import ringtrue.library.Catalogue;
import ringtrue.library.SetUpLibrary;
import ringtrue.ui.Jobs;
import ringtrue.ui.desk.Desk;
import ringtrue.ui.desk.Settings;
import ringtrue.ui.desk.StageId;
import ringtrue.ui.job.CutDraft;
import ringtrue.ui.job.Job;
import ringtrue.ui.kit.Theme;
import ringtrue.ui.shell.MainFrame;
import ringtrue.ui.shell.RingtrueWindow;

/**
 * The real window in a process of its own that taps at the simulated machine by the suggested
 * steps; it writes a line whenever its large words change. To be killed.
 */
final class TappingChild {
  private static String before = "";

  private TappingChild() {}

  public static void main(String[] args) {
    Path home = Path.of(args[0]);
    Settings settings = Settings.read(home).with("sounds", false).with("simulated-pace", 2);
    SwingUtilities.invokeLater(
        () -> {
          Theme.apply(false);
          Desk desk =
              RingtrueWindow.desk(
                  home, settings, SetUpLibrary.in(home.resolve("library")), Catalogue.bundled());
          MainFrame frame = new MainFrame(desk, "test", () -> System.exit(0));
          frame.open();
          desk.begin(
              new Job(Map.of(), Optional.empty(), List.of(), CutDraft.NEW, true),
              () -> {
                desk.go(StageId.TAPS);
                Jobs.steps(desk, StageId.TAPS, 2);
              });
          new Timer(20, e -> tell(frame)).start();
        });
  }

  private static void tell(Container in) {
    if (find(in) instanceof JLabel label && !label.getText().equals(before)) {
      before = label.getText();
      System.out.println(before);
      System.out.flush();
    }
  }

  private static Component find(Container in) {
    for (Component each : in.getComponents()) {
      if ("taps-state".equals(each.getName()) && each.isShowing()) {
        return each;
      }
      Component found = each instanceof Container c ? find(c) : null;
      if (found != null) {
        return found;
      }
    }
    return null;
  }
}

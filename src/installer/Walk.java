import java.awt.Component;
import java.awt.Container;
import java.awt.GraphicsEnvironment;
import java.awt.Window;
import java.io.PrintWriter;
import java.io.Writer;
import java.nio.file.Path;
import java.util.List;
import java.util.Locale;
import javax.swing.AbstractButton;
import javax.swing.SwingUtilities;
import ringtrue.cli.Ringtrue;
import ringtrue.library.Catalogue;
import ringtrue.library.SetUpLibrary;
import ringtrue.ui.desk.Settings;
import ringtrue.ui.shell.MainFrame;
import ringtrue.ui.shell.RingtrueWindow;

/** Walks once through the window, so that its classes are loaded; for BuildImage. */
public final class Walk {
  private static MainFrame frame;

  public static void main(String[] args) throws Exception {
    if (GraphicsEnvironment.isHeadless()) {
      PrintWriter nowhere = new PrintWriter(Writer.nullWriter());
      Ringtrue.run(nowhere, nowhere, "demo", "--out", args[0]);
      System.exit(0);
    }
    Path home = Path.of(args[0]);
    SwingUtilities.invokeAndWait(
        () -> {
          ringtrue.ui.kit.Theme.apply(false);
          frame =
              new MainFrame(
                  RingtrueWindow.desk(
                      home,
                      Settings.NONE,
                      SetUpLibrary.in(home.resolve("library")),
                      Catalogue.bundled()),
                  "walk",
                  () -> System.exit(0));
          frame.open();
        });
    Thread.sleep(1500);
    press("begin-simulated");
    Thread.sleep(1500);
    for (String stage :
        List.of("set-up", "taps", "response", "modes", "lobes", "cut", "listen")) {
      press("stage-" + stage.toLowerCase(Locale.ROOT));
      Thread.sleep(700);
    }
    SwingUtilities.invokeAndWait(frame::end);
    Thread.sleep(12_000);
    System.exit(0);
  }

  private static void press(String name) throws Exception {
    SwingUtilities.invokeAndWait(
        () -> {
          for (Window window : Window.getWindows()) {
            Component found = find(window, name);
            if (found instanceof AbstractButton button) {
              button.doClick(0);
              return;
            }
          }
        });
  }

  private static Component find(Component in, String name) {
    if (name.equals(in.getName())) {
      return in;
    }
    if (in instanceof Container container) {
      for (Component child : container.getComponents()) {
        Component found = find(child, name);
        if (found != null) {
          return found;
        }
      }
    }
    return null;
  }
}

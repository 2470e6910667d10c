package ringtrue.ui.shell;

import java.awt.GraphicsEnvironment;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.CompletionException;
import javax.swing.SwingUtilities;
import ringtrue.library.Catalogue;
import ringtrue.library.SetUpLibrary;
import ringtrue.library.UserFolder;
import ringtrue.ui.cut.CutStage;
import ringtrue.ui.desk.Desk;
import ringtrue.ui.desk.Settings;
import ringtrue.ui.kit.Theme;
import ringtrue.ui.listening.ListenStage;
import ringtrue.ui.lobes.LobesStage;
import ringtrue.ui.modes.ModesStage;
import ringtrue.ui.response.ResponseStage;
import ringtrue.ui.setups.SetUpStage;
import ringtrue.ui.tapping.TapsStage;
import ringtrue.units.BadInputException;

/** Opens the window. */
public final class RingtrueWindow {
  private RingtrueWindow() {}

  /** Whether there is a display to open it on. */
  public static boolean possible() {
    return !GraphicsEnvironment.isHeadless();
  }

  /**
   * Opens the window; returns at once.
   *
   * @param files files to open at the start; may be empty
   * @param version version of the program, for the about box and what is saved
   */
  public static void open(List<Path> files, String version) {
    Path home = UserFolder.data();
    CompletableFuture<Catalogue> catalogue =
        CompletableFuture.supplyAsync(RingtrueWindow::catalogue);
    Settings settings = Settings.read(home);
    SetUpLibrary library = SetUpLibrary.in(UserFolder.library());
    SwingUtilities.invokeLater(
        () -> {
          Theme.prepare(settings);
          Read read = read(catalogue);
          Desk desk = desk(home, settings, library, read.catalogue);
          MainFrame frame = new MainFrame(desk, version, () -> System.exit(0));
          frame.open();
          if (!read.problem.isEmpty()) {
            desk.say(read.problem);
          }
          Optional.of(files).filter(f -> !f.isEmpty()).ifPresent(frame::openFiles);
        });
  }

  private record Read(Catalogue catalogue, String problem) {}

  /** What has been read meanwhile; without the user's own rows if they cannot be used. */
  private static Read read(CompletableFuture<Catalogue> catalogue) {
    try {
      return new Read(catalogue.join(), "");
    } catch (CompletionException e) {
      if (e.getCause() instanceof BadInputException problem) {
        return new Read(
            Catalogue.bundled(), "your own catalogue is left out: " + problem.getMessage());
      }
      throw e;
    }
  }

  private static Catalogue catalogue() {
    Path own = UserFolder.catalogue();
    return Catalogue.with(Files.isDirectory(own) ? UserFolder.filesIn(own) : List.of());
  }

  /** A desk with every stage; on the event thread. */
  public static Desk desk(Path home, Settings settings, SetUpLibrary library, Catalogue catalogue) {
    Desk desk = new Desk(home, settings, library, catalogue);
    desk.add(new SetUpStage(desk));
    desk.add(new TapsStage(desk));
    desk.add(new ResponseStage(desk));
    desk.add(new ModesStage(desk));
    desk.add(new LobesStage(desk));
    desk.add(new CutStage(desk));
    desk.add(new ListenStage(desk));
    return desk;
  }
}

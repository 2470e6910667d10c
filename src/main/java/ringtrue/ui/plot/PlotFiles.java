package ringtrue.ui.plot;

import java.awt.Component;
import java.awt.Toolkit;
import java.awt.datatransfer.DataFlavor;
import java.awt.datatransfer.Transferable;
import java.awt.datatransfer.UnsupportedFlavorException;
import java.awt.image.BufferedImage;
import java.io.File;
import java.nio.file.Path;
import java.util.Locale;
import java.util.Objects;
import java.util.Optional;
import java.util.concurrent.Executor;
import java.util.concurrent.Executors;
import java.util.function.Consumer;
import javax.swing.JFileChooser;
import javax.swing.JOptionPane;
import javax.swing.SwingUtilities;
import javax.swing.filechooser.FileNameExtensionFilter;
import ringtrue.units.BadInputException;

/** Where plots save what they show. The application may give its own way of asking and working. */
public final class PlotFiles {
  private static FileAsker asker = PlotFiles::choose;
  private static Executor worker =
      Executors.newSingleThreadExecutor(
          task -> {
            Thread thread = new Thread(task, "plot-files");
            thread.setDaemon(true);
            return thread;
          });
  private static File folder;

  private PlotFiles() {}

  /** Asks where to save something. */
  @FunctionalInterface
  public interface FileAsker {
    /**
     * @param parent what is saved
     * @param suggestedName a name to start from, with its ending
     * @param ending the ending that the file should have, with its dot
     * @return the file, which is replaced if it is there; nothing if it is not to be saved
     */
    Optional<Path> ask(Component parent, String suggestedName, String ending);
  }

  /** Asks in another way from now on. */
  public static void askWith(FileAsker other) {
    asker = Objects.requireNonNull(other, "asker");
  }

  /** Makes and writes files elsewhere from now on. */
  public static void workWith(Executor other) {
    worker = Objects.requireNonNull(other, "worker");
  }

  static Optional<Path> ask(Component parent, String suggestedName, String ending) {
    return asker.ask(parent, suggestedName, ending);
  }

  /** Does something away from the event thread and tells on the event thread how it went. */
  static void inBackground(Runnable work, Runnable done, Consumer<String> failed) {
    worker.execute(
        () -> {
          try {
            work.run();
            SwingUtilities.invokeLater(done);
          } catch (BadInputException e) {
            SwingUtilities.invokeLater(() -> failed.accept(e.getMessage()));
          } catch (RuntimeException | OutOfMemoryError e) {
            SwingUtilities.invokeLater(() -> failed.accept("not saved: " + e));
          }
        });
  }

  static void copy(Export export, Runnable done, Consumer<String> failed) {
    BufferedImage[] image = new BufferedImage[1];
    inBackground(
        () -> image[0] = export.image(),
        () -> {
          try {
            Toolkit.getDefaultToolkit()
                .getSystemClipboard()
                .setContents(new ImageOffer(image[0]), null);
            done.run();
          } catch (IllegalStateException e) {
            failed.accept("not copied: another program holds the clipboard");
          }
        },
        failed);
  }

  private static Optional<Path> choose(Component parent, String suggestedName, String ending) {
    JFileChooser chooser =
        new JFileChooser(folder) {
          private static final long serialVersionUID = 1;

          @Override
          public void approveSelection() {
            File file = ended(getSelectedFile(), ending);
            if (!file.exists() || isReplaced(this, file)) {
              super.approveSelection();
            }
          }
        };
    chooser.setSelectedFile(new File(chooser.getCurrentDirectory(), suggestedName));
    chooser.setFileFilter(
        new FileNameExtensionFilter(
            ending.substring(1).toUpperCase(Locale.ROOT) + " files", ending.substring(1)));
    if (chooser.showSaveDialog(parent) != JFileChooser.APPROVE_OPTION) {
      return Optional.empty();
    }
    folder = chooser.getCurrentDirectory();
    return Optional.of(ended(chooser.getSelectedFile(), ending).toPath());
  }

  private static boolean isReplaced(Component parent, File file) {
    return JOptionPane.showConfirmDialog(
            parent,
            file.getName() + " is there already. Replace it?",
            "Replace the file",
            JOptionPane.OK_CANCEL_OPTION)
        == JOptionPane.OK_OPTION;
  }

  private static File ended(File file, String ending) {
    return file.getName().toLowerCase(Locale.ROOT).endsWith(ending)
        ? file
        : new File(file.getPath() + ending);
  }

  /** A picture for the clipboard. */
  private record ImageOffer(BufferedImage image) implements Transferable {
    @Override
    public DataFlavor[] getTransferDataFlavors() {
      return new DataFlavor[] {DataFlavor.imageFlavor};
    }

    @Override
    public boolean isDataFlavorSupported(DataFlavor flavor) {
      return DataFlavor.imageFlavor.equals(flavor);
    }

    @Override
    public Object getTransferData(DataFlavor flavor) throws UnsupportedFlavorException {
      if (!isDataFlavorSupported(flavor)) {
        throw new UnsupportedFlavorException(flavor);
      }
      return image;
    }
  }
}

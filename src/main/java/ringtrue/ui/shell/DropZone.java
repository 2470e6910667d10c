package ringtrue.ui.shell;

import java.awt.AlphaComposite;
import java.awt.BasicStroke;
import java.awt.Color;
import java.awt.Font;
import java.awt.Graphics;
import java.awt.Graphics2D;
import java.awt.RenderingHints;
import java.awt.datatransfer.DataFlavor;
import java.awt.datatransfer.Transferable;
import java.awt.datatransfer.UnsupportedFlavorException;
import java.awt.dnd.DnDConstants;
import java.awt.dnd.DropTarget;
import java.awt.dnd.DropTargetAdapter;
import java.awt.dnd.DropTargetDragEvent;
import java.awt.dnd.DropTargetDropEvent;
import java.awt.dnd.DropTargetEvent;
import java.io.File;
import java.io.IOException;
import java.net.URI;
import java.nio.file.FileSystemNotFoundException;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.function.Consumer;
import javax.swing.JComponent;
import javax.swing.JFrame;
import javax.swing.UIManager;
import ringtrue.ui.kit.Theme;

/** Takes files that are dropped anywhere on the frame, and shows that it would. */
final class DropZone extends JComponent {
  private final transient Consumer<List<Path>> open;

  private DropZone(Consumer<List<Path>> open) {
    this.open = open;
    setName("drop-zone");
  }

  static void install(JFrame frame, Consumer<List<Path>> open) {
    DropZone zone = new DropZone(open);
    frame.setGlassPane(zone);
    frame.setDropTarget(new DropTarget(frame, DnDConstants.ACTION_COPY, zone.new Target(), true));
  }

  private final class Target extends DropTargetAdapter {
    @Override
    public void dragEnter(DropTargetDragEvent e) {
      if (holdsFiles(e.getCurrentDataFlavorsAsList())) {
        e.acceptDrag(DnDConstants.ACTION_COPY);
        setVisible(true);
      } else {
        e.rejectDrag();
      }
    }

    @Override
    public void dragExit(DropTargetEvent e) {
      setVisible(false);
    }

    @Override
    public void drop(DropTargetDropEvent e) {
      setVisible(false);
      if (!holdsFiles(e.getCurrentDataFlavorsAsList())) {
        e.rejectDrop();
        return;
      }
      e.acceptDrop(DnDConstants.ACTION_COPY);
      e.dropComplete(take(e.getTransferable()));
    }
  }

  private static boolean isUriList(DataFlavor flavor) {
    return flavor.isMimeTypeEqual("text/uri-list")
        && flavor.getRepresentationClass() == String.class;
  }

  private static boolean holdsFiles(List<DataFlavor> flavors) {
    return flavors.stream().anyMatch(f -> f.equals(DataFlavor.javaFileListFlavor) || isUriList(f));
  }

  /** Opens what is dropped; whether there was anything to open. */
  boolean take(Transferable dropped) {
    List<Path> files = files(dropped);
    if (!files.isEmpty()) {
      open.accept(files);
    }
    return !files.isEmpty();
  }

  /** Some file managers give a list of addresses only (RFC 2483). */
  private static List<Path> files(Transferable dropped) {
    try {
      if (dropped.isDataFlavorSupported(DataFlavor.javaFileListFlavor)) {
        List<?> files = (List<?>) dropped.getTransferData(DataFlavor.javaFileListFlavor);
        return files.stream().map(f -> ((File) f).toPath()).toList();
      }
      for (DataFlavor each : dropped.getTransferDataFlavors()) {
        if (isUriList(each)) {
          return String.valueOf(dropped.getTransferData(each))
              .lines()
              .map(String::strip)
              .filter(l -> l.startsWith("file:"))
              .map(DropZone::path)
              .flatMap(Optional::stream)
              .toList();
        }
      }
    } catch (UnsupportedFlavorException | IOException problem) {
      return List.of(); // whoever gave it has taken it back
    }
    return List.of();
  }

  private static Optional<Path> path(String address) {
    try {
      return Optional.of(Path.of(URI.create("file://" + URI.create(address).getRawPath())));
    } catch (IllegalArgumentException | FileSystemNotFoundException e) {
      return Optional.empty(); // no file of this computer
    }
  }

  @Override
  protected void paintComponent(Graphics graphics) {
    Graphics2D g = (Graphics2D) graphics.create();
    g.setRenderingHint(RenderingHints.KEY_ANTIALIASING, RenderingHints.VALUE_ANTIALIAS_ON);
    g.setRenderingHint(
        RenderingHints.KEY_TEXT_ANTIALIASING, RenderingHints.VALUE_TEXT_ANTIALIAS_ON);
    g.setColor(Theme.dark() ? Color.BLACK : Color.WHITE);
    g.setComposite(AlphaComposite.SrcOver.derive(0.75f));
    g.fillRect(0, 0, getWidth(), getHeight());
    g.setComposite(AlphaComposite.SrcOver);
    Font font = UIManager.getFont("Label.font");
    float m = font.getSize2D();
    g.setColor(UIManager.getColor("Component.accentColor"));
    g.setStroke(
        new BasicStroke(
            m / 4,
            BasicStroke.CAP_ROUND,
            BasicStroke.JOIN_ROUND,
            10,
            new float[] {m, 0.7f * m},
            0));
    int edge = Math.round(m);
    g.drawRoundRect(edge, edge, getWidth() - 2 * edge, getHeight() - 2 * edge, 2 * edge, 2 * edge);
    g.setColor(UIManager.getColor("Label.foreground"));
    g.setFont(font.deriveFont(Font.BOLD, 2 * m));
    String words = "Drop to open";
    int wide = g.getFontMetrics().stringWidth(words);
    g.drawString(words, (getWidth() - wide) / 2, getHeight() / 2);
    g.dispose();
  }
}

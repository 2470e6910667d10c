package ringtrue.ui.plot;

import java.awt.Font;
import java.awt.Graphics2D;
import java.awt.image.BufferedImage;
import java.nio.file.Path;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import org.apache.batik.svggen.SVGGraphics2D;
import ringtrue.library.SafeFile;
import ringtrue.report.Picture;

/**
 * What a plot shows at one moment, to be written as a file: always light, with title and legend.
 *
 * @param scene the content
 * @param view the zoom
 * @param hidden layers that are switched off
 * @param handles handles where they are now
 * @param name what the plot is called
 * @param width width in pixels at its usual size
 * @param height height in the same
 * @param font the usual font
 */
record Export(
    Scene scene,
    View view,
    Set<String> hidden,
    List<Layer.Handle> handles,
    String name,
    int width,
    int height,
    Font font) {
  private static final double PNG_SCALE = 2;

  static {
    EmbeddedPng.register();
  }

  /** A file name without ending. */
  String suggestedName() {
    String words = scene.content.title().isBlank() ? name : scene.content.title();
    String plain =
        words.toLowerCase(Locale.ROOT).replaceAll("[^a-z0-9]+", "-").replaceAll("^-|-$", "");
    return plain.isEmpty() ? "plot" : plain.substring(0, Math.min(40, plain.length()));
  }

  BufferedImage image() {
    return picture().image(PNG_SCALE);
  }

  /**
   * @throws ringtrue.units.BadInputException if the file cannot be written
   */
  void write(Path file, String ending) {
    if (".csv".equals(ending)) {
      SafeFile.writeText(file, true, new Table(scene, hidden).csv());
    } else {
      Picture picture = picture();
      SafeFile.write(file, true, out -> picture.write(Path.of("plot" + ending), PNG_SCALE, out));
    }
  }

  private Picture picture() {
    Frame.Habit habit = new Frame.Habit(font, 0, 0);
    Frame frame = Frame.of(scene, view, width, height, habit);
    Picture.Layout layout = new Picture.Layout(width, height, g -> paint(g, frame, habit));
    String words = new Words(scene, frame, hidden, Double.NaN).description();
    String title = scene.content.title().isBlank() ? name : scene.content.title();
    return new Picture(title, words, layout, layout);
  }

  private void paint(Graphics2D g, Frame frame, Frame.Habit habit) {
    boolean vector = g instanceof SVGGraphics2D;
    double fine = vector ? 1 : g.getTransform().getScaleX();
    Painter painter = new Painter(scene, frame, Colours.paper(), habit, fine);
    painter.paint(g, hidden, vector);
    for (Layer.Handle handle : handles) {
      painter.handle(g, handle, handle.x(), handle.y(), false);
    }
  }
}

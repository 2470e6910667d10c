package ringtrue.ui.kit;

import java.awt.BasicStroke;
import java.awt.Color;
import java.awt.Graphics2D;
import java.awt.Image;
import java.awt.RenderingHints;
import java.awt.geom.Path2D;
import java.awt.geom.RoundRectangle2D;
import java.awt.image.BufferedImage;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.stream.IntStream;
import javax.imageio.ImageIO;

/** The program's sign: what a tap leaves, a wave that dies away, on a dark ground. */
public final class AppIcon {
  private static final int[] SIZES = {16, 24, 32, 48, 64, 128, 256};
  private static final Color GROUND = new Color(0x12, 0x2b, 0x3e);
  private static final Color WAVE = new Color(0x56, 0xb4, 0xe9);
  private static final Color BLOW = new Color(0xf0, 0xe4, 0x42);

  private AppIcon() {}

  /** For a frame, in every size that systems ask for. */
  public static List<Image> images() {
    return IntStream.of(SIZES).mapToObj(AppIcon::image).map(Image.class::cast).toList();
  }

  /**
   * One size.
   *
   * @param size width and height, pixels
   */
  public static BufferedImage image(int size) {
    BufferedImage image = new BufferedImage(size, size, BufferedImage.TYPE_INT_ARGB);
    Graphics2D g = image.createGraphics();
    g.setRenderingHint(RenderingHints.KEY_ANTIALIASING, RenderingHints.VALUE_ANTIALIAS_ON);
    g.setRenderingHint(RenderingHints.KEY_STROKE_CONTROL, RenderingHints.VALUE_STROKE_PURE);
    g.setColor(GROUND);
    g.fill(new RoundRectangle2D.Double(0, 0, size, size, 0.3 * size, 0.3 * size));
    double turns = size < 32 ? 2 : 3;
    double left = 0.24 * size;
    double right = 0.92 * size;
    Path2D wave = new Path2D.Double();
    int steps = 40 + size;
    for (int i = 0; i <= steps; i++) {
      double part = i / (double) steps;
      double x = left + part * (right - left);
      double y = size * (0.5 - 0.36 * Math.exp(-2.6 * part) * Math.sin(2 * Math.PI * turns * part));
      if (i == 0) {
        wave.moveTo(x, y);
      } else {
        wave.lineTo(x, y);
      }
    }
    g.setColor(WAVE);
    g.setStroke(stroke(size * (size < 32 ? 0.09 : 0.065)));
    g.draw(wave);
    Path2D blow = new Path2D.Double();
    blow.moveTo(0.14 * size, 0.2 * size);
    blow.lineTo(0.14 * size, 0.8 * size);
    g.setColor(BLOW);
    g.setStroke(stroke(size * 0.1));
    g.draw(blow);
    g.dispose();
    return image;
  }

  private static BasicStroke stroke(double width) {
    return new BasicStroke((float) width, BasicStroke.CAP_ROUND, BasicStroke.JOIN_ROUND);
  }

  /**
   * Writes PNG files for packaging, {@code ringtrue-256.png} and so on.
   *
   * @param arguments the folder
   */
  public static void main(String[] arguments) throws IOException {
    Path folder = Files.createDirectories(Path.of(arguments.length == 0 ? "." : arguments[0]));
    for (int size : SIZES) {
      ImageIO.write(image(size), "png", folder.resolve("ringtrue-" + size + ".png").toFile());
    }
    ImageIO.write(image(512), "png", folder.resolve("ringtrue-512.png").toFile());
  }
}

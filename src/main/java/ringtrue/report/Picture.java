package ringtrue.report;

import java.awt.Graphics2D;
import java.awt.RenderingHints;
import java.awt.image.BufferedImage;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.file.Path;
import java.util.Locale;
import java.util.Objects;
import java.util.function.Consumer;

/**
 * A finished picture that can be had as pixels or as vector graphics.
 *
 * @param heading what is shown, one line
 * @param caption what the reader should know, some sentences
 * @param whole with heading and caption in it
 * @param bare without them, for pages that have them as text
 */
public record Picture(String heading, String caption, Layout whole, Layout bare) {

  /** Endings of the files that {@link #write} knows, with the usual one first. */
  private static final String[] ENDINGS = {".png", ".svg", ".pdf"};

  /**
   * Something laid out on an area.
   *
   * @param width width, in pixels of the usual picture
   * @param height height, in the same
   * @param content paints it, from the upper left corner on, as often as asked
   */
  public record Layout(int width, int height, Consumer<Graphics2D> content) {

    /** Paints it on any surface. */
    public void paint(Graphics2D g) {
      // text as wide at every scale, so that lines break where they were measured to
      g.setRenderingHint(
          RenderingHints.KEY_FRACTIONALMETRICS, RenderingHints.VALUE_FRACTIONALMETRICS_ON);
      g.setRenderingHint(
          RenderingHints.KEY_TEXT_ANTIALIASING, RenderingHints.VALUE_TEXT_ANTIALIAS_ON);
      g.setRenderingHint(RenderingHints.KEY_ANTIALIASING, RenderingHints.VALUE_ANTIALIAS_ON);
      content.accept(g);
    }
  }

  public Picture {
    Objects.requireNonNull(heading, "heading");
    Objects.requireNonNull(caption, "caption");
    Objects.requireNonNull(whole, "whole");
    Objects.requireNonNull(bare, "bare");
  }

  /** Endings of the files that can be written, with the usual one first. */
  public static String[] endings() {
    return ENDINGS.clone();
  }

  /**
   * The picture as pixels.
   *
   * @param scale pixels for each one of the usual picture, 1 or more
   */
  public BufferedImage image(double scale) {
    BufferedImage image =
        new BufferedImage(
            (int) Math.round(scale * whole.width),
            (int) Math.round(scale * whole.height),
            BufferedImage.TYPE_INT_RGB);
    Graphics2D g = image.createGraphics();
    g.scale(scale, scale);
    whole.paint(g);
    g.dispose();
    return image;
  }

  /**
   * Writes it in the way that a file's ending asks for: vector graphics for {@code .svg} and {@code
   * .pdf}, pixels otherwise.
   *
   * @param name the file's name; only its ending counts
   * @param scale pixels for each one of the usual picture; vector graphics need none
   */
  public void write(Path name, double scale, OutputStream out) throws IOException {
    String ending = name.toString().toLowerCase(Locale.ROOT);
    if (ending.endsWith(".svg")) {
      out.write(Svg.file(this).getBytes(java.nio.charset.StandardCharsets.UTF_8));
    } else if (ending.endsWith(".pdf")) {
      PdfFile.picture(this, out);
    } else {
      Pictures.writePng(image(scale), out);
    }
  }
}

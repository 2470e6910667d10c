package ringtrue.ui.plot;

import java.awt.image.RenderedImage;
import java.io.IOException;
import java.io.OutputStream;
import javax.imageio.ImageIO;
import org.apache.batik.ext.awt.image.spi.ImageWriter;
import org.apache.batik.ext.awt.image.spi.ImageWriterParams;
import org.apache.batik.ext.awt.image.spi.ImageWriterRegistry;

/** Pixels inside a drawing, written by the Java platform; the drawing library has no writer. */
final class EmbeddedPng implements ImageWriter {
  private EmbeddedPng() {}

  /** Makes it known; once is enough. */
  static void register() {
    ImageWriterRegistry.getInstance().register(new EmbeddedPng());
  }

  @Override
  public void writeImage(RenderedImage image, OutputStream out) throws IOException {
    ImageIO.write(image, "png", out);
  }

  @Override
  public void writeImage(RenderedImage image, OutputStream out, ImageWriterParams params)
      throws IOException {
    writeImage(image, out);
  }

  @Override
  public String getMIMEType() {
    return "image/png";
  }
}

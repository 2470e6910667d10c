package ringtrue.report;

import com.openhtmltopdf.extend.FSObjectDrawer;
import com.openhtmltopdf.outputdevice.helper.BaseRendererBuilder.FontStyle;
import com.openhtmltopdf.pdfboxout.PdfRendererBuilder;
import com.openhtmltopdf.render.DefaultObjectDrawerFactory;
import com.openhtmltopdf.util.XRLog;
import de.rototor.pdfbox.graphics2d.PdfBoxGraphics2D;
import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.io.UncheckedIOException;
import java.util.List;
import java.util.Map;
import java.util.logging.Level;
import java.util.logging.Logger;
import org.apache.fontbox.FontBoxFont;
import org.apache.fontbox.ttf.TTFParser;
import org.apache.fontbox.ttf.TrueTypeFont;
import org.apache.pdfbox.io.RandomAccessReadBuffer;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.pdfbox.pdmodel.PDPage;
import org.apache.pdfbox.pdmodel.PDPageContentStream;
import org.apache.pdfbox.pdmodel.common.PDRectangle;
import org.apache.pdfbox.pdmodel.font.CIDFontMapping;
import org.apache.pdfbox.pdmodel.font.FontMapper;
import org.apache.pdfbox.pdmodel.font.FontMappers;
import org.apache.pdfbox.pdmodel.font.FontMapping;
import org.apache.pdfbox.pdmodel.font.PDCIDSystemInfo;
import org.apache.pdfbox.pdmodel.font.PDFontDescriptor;
import org.apache.pdfbox.util.Matrix;

/** Pages and pictures as PDF: vector graphics, and text that can be searched and copied. */
public final class PdfFile {
  static final String PICTURE = "ringtrue/picture";

  private static final Logger LIBRARY = Logger.getLogger("org.apache.pdfbox");
  private static final float POINTS_PER_PIXEL = 0.5f;

  private PdfFile() {}

  /**
   * Writes a page.
   *
   * @param left what stands at the top left of each sheet
   * @param right what stands at the top right
   */
  public static void write(Page page, Paper paper, String left, String right, OutputStream out)
      throws IOException {
    XRLog.setLoggingEnabled(false);
    LIBRARY.setLevel(Level.SEVERE); // it warns of fonts that no page uses
    FontMappers.set(OwnFonts.MAPPER);
    List<Picture> pictures = page.pictures();
    FSObjectDrawer drawer =
        (element, x, y, width, height, device, context, dots) -> {
          Picture.Layout layout =
              pictures.get(Integer.parseInt(element.getAttribute("data"))).bare();
          device.drawWithGraphics(
              (float) x,
              (float) y,
              (float) width / dots,
              (float) height / dots,
              g -> {
                g.scale(width / dots / layout.width(), height / dots / layout.height());
                layout.paint(g);
              });
          return Map.of();
        };
    DefaultObjectDrawerFactory drawers = new DefaultObjectDrawerFactory();
    drawers.registerDrawer(PICTURE, drawer);
    PdfRendererBuilder builder = new PdfRendererBuilder();
    font(builder, "LiberationSans-Regular", "page", 400);
    font(builder, "LiberationSans-Bold", "page", 700);
    font(builder, "LiberationMono-Regular", "typed", 400);
    // what Java calls the font of the pictures
    font(builder, "LiberationSans-Regular", "SansSerif", 400);
    font(builder, "LiberationSans-Bold", "SansSerif", 700);
    builder.useFastMode();
    builder.usePdfUaAccessibility(true);
    builder.useReplacementText("?");
    builder.withProducer("ringtrue");
    builder.useObjectDrawerFactory(drawers);
    builder.useUriResolver((base, uri) -> null); // nothing is ever loaded
    builder.withHtmlContent(page.printed(paper, left, right), null);
    builder.toStream(out);
    builder.run();
  }

  private static void font(PdfRendererBuilder builder, String file, String family, int weight) {
    builder.useFont(() -> opened(file), family, weight, FontStyle.NORMAL, true);
  }

  private static InputStream opened(String file) {
    InputStream font = PdfFile.class.getResourceAsStream("/liberation/" + file + ".ttf");
    if (font == null) {
      throw new IllegalStateException("the program lacks its font " + file);
    }
    return font;
  }

  /**
   * Answers every question for a font with one of ours. The library would look through all fonts of
   * the system, which takes seconds, and leave a list of them in the user's home.
   */
  private static final class OwnFonts implements FontMapper {
    static final FontMapper MAPPER = new OwnFonts();

    private final TrueTypeFont font;

    private OwnFonts() {
      try {
        font = new TTFParser().parse(new RandomAccessReadBuffer(opened("LiberationSans-Regular")));
      } catch (IOException e) {
        throw new UncheckedIOException(e);
      }
    }

    @Override
    public FontMapping<TrueTypeFont> getTrueTypeFont(String name, PDFontDescriptor about) {
      return new FontMapping<>(font, true);
    }

    @Override
    public FontMapping<FontBoxFont> getFontBoxFont(String name, PDFontDescriptor about) {
      return new FontMapping<>(font, true);
    }

    @Override
    public CIDFontMapping getCIDFont(
        String name, PDFontDescriptor about, PDCIDSystemInfo characters) {
      return new CIDFontMapping(null, font, true);
    }
  }

  /** Writes a picture as a sheet of its own size. */
  static void picture(Picture picture, OutputStream out) throws IOException {
    Picture.Layout layout = picture.whole();
    PDRectangle size =
        new PDRectangle(layout.width() * POINTS_PER_PIXEL, layout.height() * POINTS_PER_PIXEL);
    try (PDDocument document = new PDDocument()) {
      PDPage sheet = new PDPage(size);
      document.addPage(sheet);
      document.getDocumentInformation().setTitle(picture.heading());
      PdfBoxGraphics2D g = new PdfBoxGraphics2D(document, layout.width(), layout.height());
      layout.paint(g);
      g.dispose();
      try (PDPageContentStream stream = new PDPageContentStream(document, sheet)) {
        stream.transform(Matrix.getScaleInstance(POINTS_PER_PIXEL, POINTS_PER_PIXEL));
        stream.drawForm(g.getXFormObject());
      }
      document.save(out);
    }
  }
}

package ringtrue.report;

import java.awt.Dimension;
import java.awt.Graphics;
import java.io.StringWriter;
import java.util.Locale;
import java.util.function.IntSupplier;
import javax.xml.XMLConstants;
import javax.xml.parsers.DocumentBuilderFactory;
import javax.xml.parsers.ParserConfigurationException;
import javax.xml.transform.OutputKeys;
import javax.xml.transform.Transformer;
import javax.xml.transform.TransformerException;
import javax.xml.transform.TransformerFactory;
import javax.xml.transform.dom.DOMSource;
import javax.xml.transform.stream.StreamResult;
import org.apache.batik.svggen.SVGGeneratorContext;
import org.apache.batik.svggen.SVGGraphics2D;
import org.apache.batik.svggen.SVGIDGenerator;
import org.w3c.dom.Document;
import org.w3c.dom.Element;
import org.w3c.dom.NamedNodeMap;
import org.w3c.dom.Node;
import org.w3c.dom.NodeList;

/** Pictures as Scalable Vector Graphics. */
final class Svg {
  private static final String NAMESPACE = "http://www.w3.org/2000/svg";

  private Svg() {}

  /** A file of its own, heading and caption included. */
  static String file(Picture picture) {
    int[] ids = {0};
    return "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
        + text(picture, picture.whole(), () -> ids[0]++)
        + "\n";
  }

  /**
   * A piece of a page, without heading and caption.
   *
   * @param ids gives each part that is referred to a number that the page has only once
   */
  static String inline(Picture picture, IntSupplier ids) {
    return text(picture, picture.bare(), ids);
  }

  private static String text(Picture picture, Picture.Layout layout, IntSupplier ids) {
    try {
      Document document = documents().newDocumentBuilder().newDocument();
      Element outermost = document.createElementNS(NAMESPACE, "svg");
      document.appendChild(outermost);
      SVGGeneratorContext context = SVGGeneratorContext.createDefault(document);
      context.setComment(null);
      context.setPrecision(2);
      context.setIDGenerator(
          new SVGIDGenerator() {
            @Override
            public String generateID(String prefix) {
              return "part" + ids.getAsInt();
            }
          });
      Surface surface = new Surface(context);
      surface.setSVGCanvasSize(new Dimension(layout.width(), layout.height()));
      layout.paint(surface);
      Element root = surface.getRoot();
      // the page decides how wide it is; what is drawn stays in proportion
      root.removeAttribute("width");
      root.removeAttribute("height");
      root.setAttribute("viewBox", "0 0 " + layout.width() + " " + layout.height());
      root.setAttribute("role", "img");
      int id = ids.getAsInt();
      Element title = named(document, "title", "title" + id, picture.heading());
      Element words = named(document, "desc", "desc" + id, picture.caption());
      root.setAttribute("aria-labelledby", "title" + id + " desc" + id);
      Node first = root.getFirstChild();
      root.insertBefore(title, first);
      root.insertBefore(words, first);
      NodeList defs = root.getElementsByTagName("defs");
      for (int i = 0; i < defs.getLength(); i++) {
        ((Element) defs.item(i)).removeAttribute("id"); // the same in every picture
      }
      join(root);
      return written(root);
    } catch (ParserConfigurationException | TransformerException e) {
      throw new IllegalStateException("the picture cannot be written as SVG", e);
    }
  }

  /**
   * Straight pieces that follow each other become one path: a curve comes as thousands of them, and
   * dashes would begin anew in each.
   */
  private static void join(Node parent) {
    StringBuilder path = new StringBuilder();
    Element run = null;
    String end = "";
    Node next;
    for (Node node = parent.getFirstChild(); node != null; node = next) {
      next = node.getNextSibling();
      if (!(node instanceof Element element) || !"line".equals(element.getTagName())) {
        finish(run, path);
        run = null;
        join(node);
        continue;
      }
      String from = element.getAttribute("x1") + " " + element.getAttribute("y1");
      String to = element.getAttribute("x2") + " " + element.getAttribute("y2");
      for (String place : new String[] {"x1", "y1", "x2", "y2"}) {
        element.removeAttribute(place);
      }
      if (run != null && sameStyle(run, element)) {
        if (!from.equals(end)) {
          path.append('M').append(from);
        }
        path.append('L').append(to);
        parent.removeChild(element);
      } else {
        finish(run, path);
        run = element;
        path.setLength(0);
        path.append('M').append(from).append('L').append(to);
      }
      end = to;
    }
    finish(run, path);
  }

  private static void finish(Element run, StringBuilder path) {
    if (run != null) {
      run.getOwnerDocument().renameNode(run, NAMESPACE, "path");
      run.setAttribute("d", path.toString());
    }
  }

  private static boolean sameStyle(Element a, Element b) {
    NamedNodeMap all = a.getAttributes();
    if (all.getLength() != b.getAttributes().getLength()) {
      return false;
    }
    for (int i = 0; i < all.getLength(); i++) {
      if (!all.item(i).getNodeValue().equals(b.getAttribute(all.item(i).getNodeName()))) {
        return false;
      }
    }
    return true;
  }

  private static Element named(Document document, String kind, String id, String words) {
    Element element = document.createElementNS(NAMESPACE, kind);
    element.setAttribute("id", id);
    element.setTextContent(Page.printable(words));
    return element;
  }

  private static String written(Element root) throws TransformerException {
    TransformerFactory factory = TransformerFactory.newDefaultInstance();
    factory.setFeature(XMLConstants.FEATURE_SECURE_PROCESSING, true);
    Transformer transformer = factory.newTransformer();
    transformer.setOutputProperty(OutputKeys.OMIT_XML_DECLARATION, "yes");
    StringWriter text = new StringWriter();
    transformer.transform(new DOMSource(root), new StreamResult(text));
    return text.toString();
  }

  private static DocumentBuilderFactory documents() {
    DocumentBuilderFactory factory = DocumentBuilderFactory.newDefaultInstance();
    factory.setNamespaceAware(true);
    return factory;
  }

  /** Writes text as text, as wide as it was measured to be whatever font the reader has. */
  private static final class Surface extends SVGGraphics2D {
    Surface(SVGGeneratorContext context) {
      super(context, false);
    }

    private Surface(Surface other) {
      super(other);
    }

    @Override
    public Graphics create() {
      return new Surface(this);
    }

    @Override
    public void drawString(String words, float x, float y) {
      if (words.isBlank()) {
        return;
      }
      Element text = getDOMFactory().createElementNS(NAMESPACE, "text");
      text.setAttribute("x", Float.toString(x));
      text.setAttribute("y", Float.toString(y));
      text.setAttribute("stroke", "none");
      double width = getFont().getStringBounds(words, getFontRenderContext()).getWidth();
      text.setAttribute("textLength", String.format(Locale.ROOT, "%.1f", width));
      text.setAttribute("lengthAdjust", "spacingAndGlyphs");
      text.setTextContent(Page.printable(words));
      domGroupManager.addElement(text, org.apache.batik.svggen.DOMGroupManager.FILL);
    }
  }
}

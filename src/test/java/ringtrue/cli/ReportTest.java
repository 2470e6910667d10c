package ringtrue.cli;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.awt.geom.Rectangle2D;
import java.awt.image.BufferedImage;
import java.io.IOException;
import java.io.StringReader;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.MessageDigest;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.HexFormat;
import java.util.List;
import java.util.Set;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;
import javax.xml.parsers.DocumentBuilderFactory;
import org.apache.pdfbox.Loader;
import org.apache.pdfbox.cos.COSName;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.pdfbox.pdmodel.PDPage;
import org.apache.pdfbox.pdmodel.PDResources;
import org.apache.pdfbox.pdmodel.graphics.form.PDFormXObject;
import org.apache.pdfbox.rendering.PDFRenderer;
import org.apache.pdfbox.text.PDFTextStripperByArea;
import org.junit.jupiter.api.Assumptions;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.w3c.dom.Document;
import org.w3c.dom.Element;
import org.w3c.dom.NamedNodeMap;
import org.w3c.dom.NodeList;
import org.xml.sax.InputSource;

/** {@code report}: the page as HTML and PDF, held against the other commands' numbers. */
class ReportTest {
  private static final String NASTY = "<script>document.title='ran'</script> & \"Ø8\" 'µ' ]]> --";
  private static final double POINTS_PER_MM = 72 / 25.4;

  @TempDir static Path folder;
  private static SmallJob job;
  private static Document page;
  private static String html;
  private static CommandRun run;

  @BeforeAll
  static void report() throws Exception {
    job = SmallJob.in(folder);
    Path measurement = folder.resolve("m.json");
    Files.writeString(
        measurement,
        Files.readString(measurement)
            .replace("small job", NASTY.replace("\\", "\\\\").replace("\"", "\\\"")));
    Files.writeString(folder.resolve("cut.json"), turning());
    run =
        CommandRun.of(
            "report",
            job.measurement(),
            job.response().toString(),
            job.cut(),
            "--out",
            folder.resolve("r.html").toString(),
            "--out",
            folder.resolve("r.pdf").toString(),
            "--by",
            "A. Turner",
            "--note",
            "2 × 3 mm², −5 °C ± ½; " + NASTY);
    assertThat(run.err()).isEmpty();
    assertThat(run.code()).isZero();
    html = Files.readString(folder.resolve("r.html"));
    DocumentBuilderFactory factory = DocumentBuilderFactory.newInstance();
    page =
        factory
            .newDocumentBuilder()
            .parse(new InputSource(new StringReader(html.replace("<!DOCTYPE html>", ""))));
  }

  /** Turning, which is computed in no time. */
  static String turning() {
    return """
        {"format": "ringtrue-cut/1", "name": "bore", "operation": "turning",
         "machine": {"minSpeed": "500 rpm", "maxSpeed": "2500 rpm"}, "material": "mild steel",
         "engagement": {"axial": "0.4 mm", "workDiameter": "42 mm"},
         "speed": "1500 rpm", "feedPerTooth": "0.12 mm",
         "dynamics": {"tool": {"x": {"modes": [{"frequency": "300 Hz", "frequencySigma": "3 Hz",
           "damping": "3 %", "dampingSigma": "0.3 %", "stiffness": "5e6 N/m"}]}}}}
        """;
  }

  private static List<Element> all(String tag) {
    List<Element> found = new ArrayList<>();
    NodeList nodes = page.getElementsByTagName(tag);
    for (int i = 0; i < nodes.getLength(); i++) {
      found.add((Element) nodes.item(i));
    }
    return found;
  }

  private static JsonNode json(String... args) throws IOException {
    return new ObjectMapper().readTree(CommandRun.of(args).out());
  }

  // The page --------------------------------------------------------------------------------------

  @Test
  void nothingIsLoadedFromElsewhere() {
    for (String tag : List.of("script", "link", "iframe", "img", "object", "embed", "base")) {
      assertThat(all(tag)).as(tag).isEmpty();
    }
    for (Element element : all("*")) {
      NamedNodeMap attributes = element.getAttributes();
      for (int i = 0; i < attributes.getLength(); i++) {
        String name = attributes.item(i).getNodeName();
        String value = attributes.item(i).getNodeValue();
        if (List.of("src", "href", "xlink:href", "data", "action").contains(name)) {
          assertThat(value).as(name).matches("#.*|data:image/png.*");
        }
        assertThat(name).as("handlers").doesNotStartWith("on");
        assertThat(value.replace("url(#", "")).doesNotContain("url(");
      }
    }
    assertThat(all("style").get(0).getTextContent()).doesNotContain("url(", "@import");
  }

  @Test
  void everythingHasWordsAndAnIdOnlyOnce() {
    Set<String> ids = new HashSet<>();
    for (Element element : all("*")) {
      if (element.hasAttribute("id")) {
        assertThat(ids.add(element.getAttribute("id"))).as(element.getAttribute("id")).isTrue();
      }
    }
    assertThat(page.getDocumentElement().getAttribute("lang")).isEqualTo("en");
    List<Element> pictures = all("svg");
    assertThat(pictures).hasSize(5); // two of the measurement, two of the response, the lobes
    for (Element svg : pictures) {
      for (String id : svg.getAttribute("aria-labelledby").split(" ")) {
        assertThat(ids).contains(id);
      }
      assertThat(svg.getAttribute("role")).isEqualTo("img");
      assertThat(svg.getParentNode().getNodeName()).isEqualTo("figure");
      assertThat(svg.getNextSibling().getNodeName()).isEqualTo("figcaption");
      assertThat(svg.getNextSibling().getTextContent()).hasSizeGreaterThan(40);
    }
    for (Element table : all("table")) {
      assertThat(table.getElementsByTagName("caption").getLength()).isOne();
      NodeList heads = table.getElementsByTagName("th");
      assertThat(heads.getLength()).isPositive();
      for (int i = 0; i < heads.getLength(); i++) {
        assertThat(((Element) heads.item(i)).getAttribute("scope")).isIn("col", "row");
      }
    }
    for (Element use : all("*")) {
      String clip = use.getAttribute("clip-path");
      if (!clip.isEmpty()) {
        assertThat(ids).contains(clip.replaceAll("url\\(#(.*)\\)", "$1"));
      }
    }
  }

  /** What a file says is shown, never obeyed. */
  @Test
  void namesAreTextOnly() {
    assertThat(all("h2").stream().map(Element::getTextContent)).contains(NASTY);
    assertThat(html).doesNotContain("<script").contains("&lt;script&gt;");
  }

  @Test
  void picturesAreVectorsAndCurvesAreWhole() {
    for (Element svg : all("svg")) {
      assertThat(svg.getElementsByTagName("image").getLength()).isZero();
      assertThat(svg.getElementsByTagName("line").getLength()).isZero();
      NodeList paths = svg.getElementsByTagName("path");
      assertThat(paths.getLength()).isBetween(10, 600);
    }
  }

  @Test
  void numbersAreThoseOfTheCommands() throws IOException {
    JsonNode modes = json("modes", job.measurement(), "--json").get("modes");
    List<List<String>> rows = table("Modes, ± one sigma");
    assertThat(rows).hasSize(modes.size());
    for (int i = 0; i < modes.size(); i++) {
      JsonNode m = modes.get(i);
      same(
          rows.get(i).get(0),
          m.get("frequencyHz").asDouble(),
          m.get("frequencyHzSigma").asDouble());
      same(
          rows.get(i).get(1),
          100 * m.get("dampingRatio").asDouble(),
          100 * m.get("dampingRatioSigma").asDouble());
      same(
          rows.get(i).get(2),
          m.get("stiffnessNPerM").asDouble() / 1e6,
          m.get("stiffnessNPerMSigma").asDouble() / 1e6);
    }
    JsonNode taps = json("frf", job.measurement(), "--json").get("taps");
    List<List<String>> shown = table("3 of 3 taps were kept");
    for (int i = 0; i < taps.size(); i++) {
      assertThat(Double.parseDouble(shown.get(i).get(1)))
          .isCloseTo(taps.get(i).get("onsetS").asDouble(), within(5.1e-5));
      assertThat(shown.get(i).get(5)).isEqualTo(taps.get(i).get("verdict").asText());
      assertThat(shown.get(i).get(6)).isEqualTo(taps.get(i).get("reason").asText());
    }
    JsonNode plan = json("plan", job.cut(), "--json");
    List<List<String>> limits = table("Every limit");
    assertThat(limits).hasSize(plan.get("limits").size());
    for (int i = 0; i < limits.size(); i++) {
      JsonNode limit = plan.get("limits").get(i);
      assertThat(limits.get(i).get(0)).isEqualTo(limit.get("name").asText());
      String inside = limit.get("ok").asBoolean() ? "yes" : "NO";
      assertThat(limits.get(i).get(3))
          .isEqualTo(limit.get("advice").asBoolean() ? "advice" : inside);
      assertThat(limits.get(i).get(5)).isEqualTo(limit.get("because").asText());
      assertThat(limits.get(i).get(1))
          .isEqualTo(
              ringtrue.report.PlanWords.number(
                  limit.get("value").asDouble(),
                  limit.get("unit").asText(),
                  ringtrue.report.LengthUnit.MILLIMETRE));
    }
    assertThat(table("Better cuts")).hasSize(plan.get("suggestions").size());
    assertThat(html)
        .contains(
            plan.get("withCare").asBoolean()
                ? "GO WITH CARE,"
                : plan.get("verdict").asText().toUpperCase(java.util.Locale.ROOT) + ",");
    JsonNode lobes = json("lobes", job.cut(), "--json", "--at", "1500 rpm,0.4 mm");
    assertThat(html)
        .contains(
            String.format(
                java.util.Locale.ROOT,
                "becomes %.3g times",
                lobes.get("at").get(0).get("growth").asDouble()));
  }

  private static void same(String shown, double value, double sigma) {
    String[] parts = shown.split(" ± ");
    int dot = parts[0].indexOf('.');
    double half = 0.51 * Math.pow(10, dot < 0 ? 0 : dot + 1 - parts[0].length());
    assertThat(Double.parseDouble(parts[0])).as(shown).isCloseTo(value, within(half));
    assertThat(Double.parseDouble(parts[1])).as(shown).isCloseTo(sigma, within(half));
  }

  /** Rows of the first table whose caption begins so. */
  private static List<List<String>> table(String caption) {
    Element table =
        all("table").stream()
            .filter(
                t -> t.getElementsByTagName("caption").item(0).getTextContent().startsWith(caption))
            .findFirst()
            .orElseThrow();
    List<List<String>> rows = new ArrayList<>();
    NodeList lines = table.getElementsByTagName("tr");
    for (int i = 1; i < lines.getLength(); i++) {
      List<String> row = new ArrayList<>();
      NodeList cells = ((Element) lines.item(i)).getElementsByTagName("td");
      for (int c = 0; c < cells.getLength(); c++) {
        row.add(cells.item(c).getTextContent());
      }
      rows.add(row);
    }
    return rows;
  }

  @Test
  void everyFileThatWasReadIsNamedWithItsDigest() throws Exception {
    for (String name : List.of("m.json", "taps.wav", "tip-y.csv", "cut.json")) {
      byte[] digest =
          MessageDigest.getInstance("SHA-256").digest(Files.readAllBytes(folder.resolve(name)));
      assertThat(html).as(name).contains(HexFormat.of().formatHex(digest));
    }
    assertThat(html).contains("ringtrue lobes", "ringtrue modes", "--paper a4");
  }

  // The print -------------------------------------------------------------------------------------

  @Test
  void thePdfSaysWhatThePageSays() throws IOException {
    String printed = body(folder.resolve("r.pdf"));
    for (String tag :
        List.of("h1", "h2", "h3", "p", "li", "th", "td", "caption", "figcaption", "pre")) {
      for (Element element : all(tag)) {
        String words = element.getTextContent().replaceAll("\\s+", "");
        assertThat(printed.contains(words)).as("%s: %s", tag, element.getTextContent()).isTrue();
      }
    }
    assertThat(printed).contains("2×3mm²,−5°C±½", "dampingζ%", "N/µm");
  }

  /** Text between the margins, all pages after each other, blanks left out. */
  private static String body(Path file) throws IOException {
    StringBuilder text = new StringBuilder();
    try (PDDocument print = Loader.loadPDF(file.toFile())) {
      for (PDPage sheet : print.getPages()) {
        PDFTextStripperByArea stripper = new PDFTextStripperByArea();
        float top = (float) (19 * POINTS_PER_MM);
        float height = sheet.getMediaBox().getHeight() - (float) (36 * POINTS_PER_MM);
        stripper.addRegion(
            "body", new Rectangle2D.Float(0, top, sheet.getMediaBox().getWidth(), height));
        stripper.extractRegions(sheet);
        text.append(stripper.getTextForRegion("body"));
      }
    }
    return text.toString().replaceAll("\\s+", "");
  }

  @Test
  void bothPapersWithFontsInsideAndMarginsFree() throws IOException {
    Path letter = folder.resolve("letter.pdf");
    Path chances = folder.resolve("chances.html");
    Path cut = Files.writeString(folder.resolve("bore.json"), turning());
    CommandRun inches =
        CommandRun.of(
            "report",
            cut.toString(),
            "--out",
            letter.toString(),
            "--out",
            chances.toString(),
            "--units",
            "in",
            "--samples",
            "80");
    assertThat(inches.err()).isEmpty();
    assertThat(inches.code()).isZero();
    assertThat(Files.readString(chances))
        .contains("80 draws of the inputs, seed 1", "What moves the limit most", "--paper letter")
        .doesNotContain("<image");
    sheets(folder.resolve("r.pdf"), 210, 297);
    sheets(letter, 215.9, 279.4);
    assertThat(body(letter)).contains("0.0157in");
  }

  private static void sheets(Path file, double widthMm, double heightMm) throws IOException {
    try (PDDocument print = Loader.loadPDF(file.toFile())) {
      int number = 0;
      for (PDPage sheet : print.getPages()) {
        assertThat(sheet.getMediaBox().getWidth() / POINTS_PER_MM).isCloseTo(widthMm, within(0.1));
        assertThat(sheet.getMediaBox().getHeight() / POINTS_PER_MM)
            .isCloseTo(heightMm, within(0.1));
        embedded(sheet.getResources());
        BufferedImage image = new PDFRenderer(print).renderImageWithDPI(number++, 50.8f);
        // two pixels for each millimetre
        assertThat(inked(image, 0, 28)).as("left of page %d", number).isFalse();
        assertThat(inked(image, image.getWidth() - 28, image.getWidth()))
            .as("right of page %d", number)
            .isFalse();
      }
      assertThat(number).isBetween(2, 20);
      assertThat(print.getDocumentCatalog().getLanguage()).isEqualTo("en");
      assertThat(print.getDocumentCatalog().getStructureTreeRoot()).isNotNull();
    }
  }

  private static void embedded(PDResources resources) throws IOException {
    for (COSName name : resources.getFontNames()) {
      assertThat(resources.getFont(name).isEmbedded()).as("font %s", name).isTrue();
    }
    for (COSName name : resources.getXObjectNames()) {
      if (resources.getXObject(name) instanceof PDFormXObject form && form.getResources() != null) {
        embedded(form.getResources());
      }
    }
  }

  private static boolean inked(BufferedImage image, int from, int to) {
    for (int x = from; x < to; x++) {
      for (int y = 0; y < image.getHeight(); y++) {
        if ((image.getRGB(x, y) & 0xFFFFFF) != 0xFFFFFF) {
          return true;
        }
      }
    }
    return false;
  }

  // What goes wrong -------------------------------------------------------------------------------

  @Test
  void whatCannotBeFittedIsSaidOnThePage() throws IOException {
    Path cross = folder.resolve("cross.json");
    Files.writeString(
        cross,
        Files.readString(folder.resolve("m.json")).replace("\"axis\": \"y\"", "\"axis\": \"xy\""));
    Path out = folder.resolve("cross.html");
    CommandRun part = CommandRun.of("report", cross.toString(), "--out", out.toString());
    assertThat(part.code()).isZero();
    assertThat(Files.readString(out))
        .contains("Modes could not be fitted", "class=\"problem\"", "taps were kept");
  }

  @Test
  void badInputIsOneLineAndWritesNothing() throws IOException {
    Path bad = Files.writeString(folder.resolve("other.json"), "{\"format\": \"something/1\"}");
    Path out = folder.resolve("never.html");
    for (String input : List.of(bad.toString(), folder.resolve("nowhere.json").toString())) {
      refused("", job.response().toString(), input, "--out", out.toString());
    }
    refused("must be a4 or letter", job.cut(), "--out", out.toString(), "--paper", "a5");
    refused("must be mm or in", job.cut(), "--out", out.toString(), "--units", "m");
    refused("the same file twice", job.cut(), "--out", out.toString(), "--out", out.toString());
    refused(
        "is there already",
        job.cut(),
        "--out",
        folder.resolve("r.html").toString(),
        "--out",
        out.toString());
    refused("is what is read", job.cut(), "--out", job.cut() + ".html", "--out", job.cut());
    assertThat(out).doesNotExist();
  }

  private static void refused(String because, String... args) {
    List<String> all = new ArrayList<>(List.of("report"));
    all.addAll(List.of(args));
    CommandRun one = CommandRun.of(all.toArray(new String[0]));
    assertThat(one.code()).as(one.err()).isEqualTo(2);
    assertThat(one.err().lines()).hasSize(1);
    if (!because.equals("is what is read")) {
      assertThat(one.err()).contains(because);
    }
  }

  @Test
  void aPageForEachFileInAFolder() throws IOException {
    Path out = folder.resolve("pages");
    Path bad = Files.writeString(folder.resolve("broken.json"), "{");
    CommandRun each =
        CommandRun.of(
            "report", job.measurement(), bad.toString(), "--out", out.toString(), "--json");
    assertThat(each.code()).isEqualTo(2);
    JsonNode told = new ObjectMapper().readTree(each.out());
    assertThat(told.get("failed").asInt()).isOne();
    try (Stream<Path> files = Files.list(out)) {
      assertThat(files.map(f -> f.getFileName().toString()))
          .containsExactlyInAnyOrder("m.html", "m.pdf");
    }
  }

  @Test
  void chartsAreSavedAsVectorGraphicsByTheirEnding() throws Exception {
    Path svg = folder.resolve("frf.svg");
    Path pdf = folder.resolve("modes.pdf");
    assertThat(CommandRun.of("frf", job.measurement(), "--png", svg.toString()).code()).isZero();
    assertThat(CommandRun.of("modes", job.measurement(), "--png", pdf.toString()).code()).isZero();
    Document drawn = DocumentBuilderFactory.newInstance().newDocumentBuilder().parse(svg.toFile());
    assertThat(drawn.getDocumentElement().getAttribute("viewBox")).startsWith("0 0 1200 ");
    assertThat(drawn.getDocumentElement().getTextContent()).contains("Receptance");
    try (PDDocument print = Loader.loadPDF(pdf.toFile())) {
      assertThat(print.getNumberOfPages()).isOne();
      BufferedImage image = new PDFRenderer(print).renderImage(0);
      int inked = 0;
      for (int x = 0; x < image.getWidth(); x++) {
        for (int y = 0; y < image.getHeight(); y++) {
          inked += (image.getRGB(x, y) & 0xFFFFFF) != 0xFFFFFF ? 1 : 0;
        }
      }
      assertThat(inked).isGreaterThan(5_000);
    }
    CommandRun other = CommandRun.of("frf", job.measurement(), "--png", "x.gif");
    assertThat(other.err()).contains("must end in .png or .svg or .pdf");
  }

  /** Skipped where there is no browser; the rest of the tests do not need one. */
  @Test
  void aRealBrowserOpensIt() throws Exception {
    Path browser = Path.of("/usr/bin/chromium");
    Assumptions.assumeTrue(Files.isExecutable(browser), "no Chromium here");
    Process process =
        new ProcessBuilder(
                browser.toString(),
                "--headless",
                "--no-sandbox",
                "--disable-gpu",
                "--user-data-dir=" + folder.resolve("browser"),
                "--dump-dom",
                folder.resolve("r.html").toUri().toString())
            .redirectError(ProcessBuilder.Redirect.DISCARD)
            .redirectOutput(folder.resolve("dom.html").toFile())
            .start();
    assertThat(process.waitFor(60, TimeUnit.SECONDS)).isTrue();
    String dom = Files.readString(folder.resolve("dom.html"));
    assertThat(dom).doesNotContain("<title>ran</title>").contains("&lt;script&gt;", "</svg>");
    assertThat(dom.split("<svg", -1)).hasSize(6);
  }
}

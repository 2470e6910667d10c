package ringtrue.report;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.List;
import java.util.Locale;
import java.util.stream.Collectors;

/** A report as a file, and what it says of itself. */
public final class ReportFile {
  private static final int LONGEST_TITLE = 70;

  private ReportFile() {}

  /**
   * What a file of a report holds: a PDF where its name ends so, HTML otherwise.
   *
   * @param sheet paper of the PDF
   */
  public static byte[] content(Report report, Path file, Paper sheet) {
    ByteArrayOutputStream bytes = new ByteArrayOutputStream();
    try {
      if (file.toString().toLowerCase(Locale.ROOT).endsWith(".pdf")) {
        PdfFile.write(report.page(), sheet, report.shortTitle(), report.date(), bytes);
      } else {
        bytes.write(report.page().html().getBytes(StandardCharsets.UTF_8));
      }
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
    return bytes.toByteArray();
  }

  /** A heading for what is told about. */
  public static String title(List<ReportItem> items) {
    String all = items.stream().map(Report::name).distinct().collect(Collectors.joining(", "));
    return all.length() <= LONGEST_TITLE
        ? all
        : Report.name(items.get(0)) + " and " + (items.size() - 1) + " more";
  }

  /** The Java that runs, with its version. */
  public static String java() {
    return System.getProperty("java.version") + " (" + System.getProperty("java.vendor") + ")";
  }
}

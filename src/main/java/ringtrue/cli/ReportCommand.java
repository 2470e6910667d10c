package ringtrue.cli;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.ZonedDateTime;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.stream.Collectors;
import picocli.CommandLine;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import ringtrue.library.CutLobes;
import ringtrue.library.SafeFile;
import ringtrue.report.LengthUnit;
import ringtrue.report.Paper;
import ringtrue.report.Report;
import ringtrue.report.ReportFile;
import ringtrue.report.ReportItem;
import ringtrue.units.BadInputException;

/** {@code report}: measurements and cuts as a page to keep with the job. */
@CommandLine.Command(
    name = "report",
    sortOptions = false,
    description =
        "A page to keep with the job: what was measured and planned, and how to check it.",
    footer = {
      "",
      "Example: ringtrue report tip-x.json tip-y.json cut.json --out job.html --out job.pdf",
      "With a folder as --out each file gets a page of its own, as HTML and as PDF."
    })
final class ReportCommand extends Command {
  private static final int LONGEST_NOTE = 4000;

  @Parameters(
      arity = "1..*",
      paramLabel = "MEASUREMENT.json|FRF.csv|CUT.json",
      description = "what to tell about, in this order")
  private List<String> named;

  @Option(
      names = "--out",
      paramLabel = "FILE.html|FILE.pdf|FOLDER",
      required = true,
      description = "where to write; give it twice for both kinds")
  private List<Path> outputs = new ArrayList<>();

  @Option(
      names = "--units",
      paramLabel = "mm|in",
      description = "lengths in the report (default: mm)")
  private String units = "mm";

  @Option(
      names = "--paper",
      paramLabel = "a4|letter",
      description = "sheet of the PDF (default: a4, letter with --units in)")
  private String paper;

  @Option(
      names = "--title",
      paramLabel = "TEXT",
      description = "heading (default: what it tells about)")
  private String title;

  @Option(names = "--by", paramLabel = "NAME", description = "who made it")
  private String by = "";

  @Option(names = "--note", paramLabel = "TEXT", description = "what you want to say about the job")
  private String note = "";

  @Option(
      names = "--samples",
      paramLabel = "N",
      description = "lobes with the chance of being stable, from N sets of inputs; 200 is usual")
  private String samples;

  @Option(names = "--seed", paramLabel = "S", description = "draws the sets (default: 1)")
  private String seed;

  @Option(
      names = "--catalogue",
      paramLabel = "FILE",
      description =
          "your own materials (CSV) or machines (JSON), before the bundled ones; repeatable")
  private List<Path> catalogueFiles = new ArrayList<>();

  @Option(
      names = "--library",
      paramLabel = "DIR",
      description = "where saved set-ups are kept (default: library in your data folder)")
  private Path libraryFolder;

  private LengthUnit unit;
  private Paper sheet;

  @Override
  public Integer call() {
    unit = lengthUnit(units);
    sheet = sheet();
    Optional<CutLobes.Draws> draws = LobesCommand.draws(samples, seed);
    if (note.length() > LONGEST_NOTE) {
      throw new BadInputException(
          "--note: is longer than " + LONGEST_NOTE + " characters; keep it short");
    }
    List<Path> files = Batch.files(named);
    boolean folder = outputs.size() == 1 && !isPage(outputs.get(0));
    if (!folder) {
      for (Path output : outputs) {
        requireEnding("--out", output, ".html", ".htm", ".pdf");
        files.forEach(f -> requireOthers(f, output));
      }
      if (outputs.stream().map(p -> p.toAbsolutePath().normalize()).distinct().count()
          < outputs.size()) {
        throw new BadInputException("--out: the same file twice");
      }
      mayWrite(outputs.toArray(new Path[0]));
    }
    List<Path> own = new ArrayList<>(CutCommand.ownCatalogueFiles());
    own.addAll(catalogueFiles);
    ReportItems items =
        new ReportItems(
            CutCommand.catalogue(catalogueFiles),
            own,
            LibraryPart.library(libraryFolder),
            unit,
            draws);
    return folder ? each(files, items, outputs.get(0)) : together(files, items);
  }

  private static boolean isPage(Path output) {
    return !Files.isDirectory(output)
        && output.getFileName() != null
        && output.getFileName().toString().toLowerCase(Locale.ROOT).matches(".*\\.(html?|pdf)");
  }

  private Paper sheet() {
    if (paper == null) {
      return unit == LengthUnit.INCH ? Paper.LETTER : Paper.A4;
    }
    return Paper.of(paper)
        .orElseThrow(
            () -> new BadInputException("--paper: \"" + paper + "\" must be a4 or letter"));
  }

  /** One page about all. */
  private Integer together(List<Path> files, ReportItems items) {
    List<ReportItem> all = new ArrayList<>();
    try (TerminalProgress progress = new TerminalProgress(err())) {
      for (int i = 0; i < files.size(); i++) {
        int number = i;
        all.add(
            items.of(
                files.get(i),
                (done, what) ->
                    progress.at(
                        (number + done) / files.size(),
                        files.get(number).getFileName() + ": " + what)));
      }
    }
    write(all, files, outputs);
    if (json) {
      JsonOut.write(out(), o -> toJson(o, outputs, all));
    }
    return Ringtrue.DONE;
  }

  private record Written(List<Path> pages, List<ReportItem> items) {}

  /** A page about each. */
  private Integer each(List<Path> files, ReportItems items, Path folder) {
    Batch.requireFolder("--out", folder);
    List<Path> pages = Batch.outputs(folder, files, ".html");
    List<Path> prints = Batch.outputs(folder, files, ".pdf");
    Batch<Written> batch =
        Batch.run(
            files,
            err(),
            (file, number, progress) -> {
              List<Path> both = List.of(pages.get(number), prints.get(number));
              mayWrite(both.toArray(new Path[0]));
              List<ReportItem> item = List.of(items.of(file, progress));
              write(item, List.of(file), both);
              return new Written(both, item);
            });
    if (json) {
      batch.json(out(), "reports", (o, w) -> toJson(o, w.pages, w.items));
    } else {
      batch.summary(this, "file", "result", w -> Report.inWords(w.items.get(0)), w -> List.of());
    }
    return batch.finish(err());
  }

  /** All pages are made before the first is written. */
  private void write(List<ReportItem> items, List<Path> files, List<Path> pages) {
    Report report = report(items, files, pages);
    List<byte[]> contents = new ArrayList<>();
    for (Path page : pages) {
      contents.add(ReportFile.content(report, page, sheet));
    }
    for (int i = 0; i < pages.size(); i++) {
      byte[] content = contents.get(i);
      SafeFile.write(pages.get(i), overwrite, o -> o.write(content));
      wrote(pages.get(i));
    }
  }

  private Report report(List<ReportItem> items, List<Path> files, List<Path> pages) {
    return new Report(
        title == null ? ReportFile.title(items) : title,
        by,
        note,
        ZonedDateTime.now().truncatedTo(ChronoUnit.MINUTES),
        unit,
        items,
        Ringtrue.version(),
        ReportFile.java(),
        commands(items, files, pages));
  }

  private List<String> commands(List<ReportItem> items, List<Path> files, List<Path> pages) {
    List<String> lines = new ArrayList<>();
    String drawn =
        samples == null ? "" : " --samples " + samples + " --seed " + (seed == null ? "1" : seed);
    String own =
        catalogueFiles.stream().map(f -> " --catalogue " + quoted(f)).collect(Collectors.joining())
            + (libraryFolder == null ? "" : " --library " + quoted(libraryFolder));
    for (int i = 0; i < items.size(); i++) {
      String file = quoted(files.get(i));
      ReportItem item = items.get(i);
      if (item instanceof ReportItem.Planned planned) {
        lines.add(
            String.format(
                Locale.ROOT,
                "ringtrue lobes %s --json --at %s%s%s",
                file,
                quoted(
                    planned.cut().process().speedRpm()
                        + " rpm,"
                        + planned.cut().process().engagement().axialM()
                        + " m"),
                drawn,
                own));
        lines.add("ringtrue plan " + file + " --json --units " + unit.symbol() + own);
      } else {
        if (item instanceof ReportItem.Taps) {
          lines.add("ringtrue frf " + file + " --json");
        }
        lines.add("ringtrue modes " + file + " --json");
      }
    }
    StringBuilder whole = new StringBuilder("ringtrue report");
    files.forEach(f -> whole.append(' ').append(quoted(f)));
    pages.forEach(p -> whole.append(" --out ").append(quoted(p)));
    whole.append(" --units ").append(unit.symbol()).append(" --paper ").append(sheet.word());
    lines.add(whole.append(drawn).append(own).toString());
    return lines;
  }

  private static String quoted(Path file) {
    return quoted(file.toString());
  }

  private static String quoted(String word) {
    return word.matches("[-A-Za-z0-9_./\\\\:,+]+") ? word : '"' + word.replace("\"", "\\\"") + '"';
  }

  private static void toJson(JsonOut o, List<Path> pages, List<ReportItem> items) {
    o.texts("written", pages.stream().map(Path::toString).toList());
    o.objects(
        "items",
        items,
        (i, item) -> {
          i.put("name", Report.name(item));
          i.put("file", item.sources().get(0).file().toString());
          i.put("result", Report.inWords(item));
          i.objects(
              "sources",
              item.sources(),
              (s, source) ->
                  s.put("file", source.file().toString())
                      .put("bytes", source.bytes())
                      .put("sha256", source.sha256()));
        });
  }
}

package ringtrue.ui.cut;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.ZonedDateTime;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import ringtrue.dynamics.Progress;
import ringtrue.fitting.FittedModes;
import ringtrue.library.Catalogue;
import ringtrue.library.Cut;
import ringtrue.library.InputFiles;
import ringtrue.library.SafeFile;
import ringtrue.library.SetUpLibrary;
import ringtrue.planning.CutPlan;
import ringtrue.report.LengthUnit;
import ringtrue.report.Paper;
import ringtrue.report.PlannedItems;
import ringtrue.report.Report;
import ringtrue.report.ReportFile;
import ringtrue.report.ReportItem;
import ringtrue.report.ReportItem.Found;
import ringtrue.ui.desk.Desk;
import ringtrue.ui.desk.DirectionResult;
import ringtrue.ui.desk.Tasks;
import ringtrue.ui.job.Direction;
import ringtrue.ui.job.Job;
import ringtrue.ui.job.JobFolder;
import ringtrue.ui.job.Measured;
import ringtrue.ui.job.TappedWith;
import ringtrue.units.BadInputException;

/** The job as a page to keep: what was measured in each direction, and the cut. */
final class CutReport {
  /** The cut file in the job's folder that a report rests on. */
  private static final String CUT = "cut.json";

  private static final String SIMULATED =
      "The taps come from the simulated machine: nothing here was measured on a real one.";

  private final Job job;
  private final JobFolder folder;
  private final List<DirectionResult> measured;
  private final Optional<Cut> cut;
  private final Optional<CutPlan> plan;
  private final List<String> doubts;
  private final Tasks.Work<String> cutText;
  private final Catalogue catalogue;
  private final SetUpLibrary library;
  private final LengthUnit unit;

  private CutReport(
      Desk desk, JobFolder folder, List<DirectionResult> measured, Tasks.Work<String> cutText) {
    job = desk.job();
    this.folder = folder;
    this.measured = measured;
    this.cutText = cutText;
    doubts = desk.results().doubts();
    cut = desk.results().cut().value().map(c -> named(c, job));
    plan = desk.results().plan().ready() ? desk.results().plan().value() : Optional.empty();
    catalogue = desk.catalogue();
    library = desk.library();
    unit = desk.unit();
  }

  /** A name that may speak of the tool that was tapped gives way to the tool that cuts. */
  private static Cut named(Cut cut, Job job) {
    return TappedWith.mismatch(job).isEmpty()
        ? cut
        : cut.named("cut with " + TappedWith.ofCut(job).words(TappedWith.NUMBERS));
  }

  /** What there is to tell now; called on the event thread with a job open. */
  static CutReport of(Desk desk) {
    List<DirectionResult> all = new ArrayList<>();
    for (Measured m : desk.job().measured()) {
      desk.results().of(m.direction()).value().ifPresent(all::add);
    }
    return new CutReport(
        desk, desk.folder().orElseThrow(), all, desk.results().writing(desk.job().cut()));
  }

  /** Whether there is anything that a report could tell about. */
  boolean empty() {
    return measured.isEmpty() && cut.isEmpty();
  }

  /** The sheet that goes with the unit. */
  static Paper paper(LengthUnit unit) {
    return unit == LengthUnit.INCH ? Paper.LETTER : Paper.A4;
  }

  /** A name for the file, without its ending. */
  static String fileName(Job job) {
    String plain = job.title().toLowerCase(Locale.ROOT).replaceAll("[^a-z0-9]+", "-");
    String trimmed = plain.replaceAll("^-+|-+$", "");
    return (trimmed.isEmpty() ? "job" : trimmed.substring(0, Math.min(40, trimmed.length())))
        + "-report";
  }

  /** Both files of a name: the page and the print. */
  static List<Path> files(Path named) {
    String name = named.getFileName().toString().replaceFirst("(?i)\\.(html?|pdf)$", "");
    return List.of(named.resolveSibling(name + ".html"), named.resolveSibling(name + ".pdf"));
  }

  /**
   * Gathers and writes it; away from the event thread.
   *
   * @param files where to
   * @param overwrite whether files of these names may be replaced
   * @return what was written
   * @throws BadInputException if there is nothing to tell, or a file cannot be written
   */
  List<Path> write(List<Path> files, boolean overwrite, Progress progress) throws Exception {
    for (Path file : files) {
      SafeFile.refuseExisting(file, overwrite);
    }
    List<ReportItem> items = new ArrayList<>();
    List<String> commands = new ArrayList<>();
    for (DirectionResult each : measured) {
      progress.at(0.1, "measured directions");
      item(each).ifPresent(items::add);
      if (each.of().kind() != Measured.Kind.SAVED) {
        commands.add("ringtrue modes " + quoted(folder.file(each.of().file())) + " --json");
      }
    }
    if (cut.isPresent()) {
      Path file = folder.file(CUT);
      SafeFile.writeText(file, true, cutText.run(progress));
      items.add(
          new PlannedItems(catalogue, List.of(), library, unit, Optional.empty())
              .of(file, cut.get(), plan, (done, what) -> progress.at(0.15 + 0.65 * done, what))
              .doubted(doubts));
      commands.add("ringtrue plan " + quoted(file) + " --json --units " + unit.symbol());
    }
    if (items.isEmpty()) {
      throw new BadInputException("there is nothing to report yet: tap, or describe a cut");
    }
    Report report =
        new Report(
            title(items),
            "",
            caution(),
            ZonedDateTime.now().truncatedTo(ChronoUnit.MINUTES),
            unit,
            items,
            version(),
            ReportFile.java(),
            commands);
    List<byte[]> contents = new ArrayList<>();
    for (Path file : files) {
      progress.at(0.8 + 0.1 * contents.size(), file.getFileName().toString());
      contents.add(ReportFile.content(report, file, paper(unit)));
    }
    for (int i = 0; i < contents.size(); i++) {
      byte[] content = contents.get(i);
      SafeFile.write(files.get(i), overwrite, out -> out.write(content));
    }
    return files;
  }

  /** The job's name, unless it speaks of a tool that is not the cut's. */
  private String title(List<ReportItem> items) {
    if (TappedWith.mismatch(job).isPresent()) {
      return "Cut with " + TappedWith.ofCut(job).words(TappedWith.NUMBERS);
    }
    return job.title().equals("New set-up") ? ReportFile.title(items) : job.title();
  }

  private String caution() {
    List<String> all = new ArrayList<>();
    if (job.simulated()) {
      all.add(SIMULATED);
    }
    for (String doubt : doubts) {
      all.add(doubt.substring(0, 1).toUpperCase(Locale.ROOT) + doubt.substring(1) + ".");
    }
    return String.join(" ", all);
  }

  private static String version() {
    String version = CutReport.class.getPackage().getImplementationVersion();
    return version == null ? "(not packaged)" : version;
  }

  private static String quoted(Path file) {
    return '"' + file.toString() + '"';
  }

  /** What the report tells of a direction; nothing where the library holds it, or it is too raw. */
  private Optional<ReportItem> item(DirectionResult r) {
    if (r.of().kind() == Measured.Kind.SAVED) {
      return Optional.empty(); // the cut tells about it
    }
    Path file = folder.file(r.of().file());
    Direction direction = r.of().direction();
    List<String> remarks = new ArrayList<>(List.of("direction: " + direction.words()));
    remarks.addAll(r.remarks());
    Found<FittedModes> modes =
        r.modes()
            .map(Found::of)
            .orElseGet(
                () -> Found.none(r.problem().isEmpty() ? "no modes were fitted" : r.problem()));
    if (r.measurement().isPresent() && r.taps().isPresent()) {
      return Optional.of(
          new ReportItem.Taps(
              InputFiles.of(file),
              r.measurement().get().recording(),
              r.measurement().get().calibrationFactor(),
              r.taps().get().averaged(),
              modes,
              remarks));
    }
    if (r.measurement().isPresent() && r.decays().isPresent()) {
      return Optional.of(
          new ReportItem.Decays(
              InputFiles.of(file), r.measurement().get().recording(), r.decays().get()));
    }
    return r.response()
        .map(
            response ->
                new ReportItem.Response(
                    List.of(InputFiles.source(file)), response, modes, remarks));
  }

  /** A name that is free for both files, beside the one that is given. */
  static Path freeName(Path folder, String base) {
    for (int i = 1; ; i++) {
      Path named = folder.resolve(i == 1 ? base : base + "-" + i);
      if (files(named).stream().noneMatch(Files::exists)) {
        return files(named).get(0);
      }
    }
  }
}

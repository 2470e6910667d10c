package ringtrue.ui.lobes;

import java.awt.Graphics2D;
import java.awt.image.BufferedImage;
import java.io.PrintStream;
import java.lang.management.ManagementFactory;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.TimeUnit;
import javax.swing.SwingUtilities;
import ringtrue.dynamics.Progress;
import ringtrue.library.Catalogue;
import ringtrue.library.Cut;
import ringtrue.library.CutFile;
import ringtrue.library.SetUpLibrary;
import ringtrue.report.LengthUnit;
import ringtrue.stability.CuttingProcess.Operation;
import ringtrue.stability.StabilityMap.Over;
import ringtrue.ui.desk.Desk;
import ringtrue.ui.desk.Settings;
import ringtrue.ui.job.CutDraft;
import ringtrue.ui.job.CutField;
import ringtrue.ui.job.Job;
import ringtrue.ui.plot.Plot;
import ringtrue.ui.plot.PlotContent;

/**
 * How long it takes from a move of a slider until the map is painted: coarse, and as fine as it
 * gets. A program to run by hand; no window is opened, the plot is painted into a picture on the
 * event thread as it would be on a screen. Arguments: names of demo cuts; all of them without.
 * Beside the time on the clock it says half the processor's time, which is what two cores of one's
 * own would take at least.
 */
public final class LobesRefreshBench {
  private static final int MOVES = 6;
  private static final com.sun.management.OperatingSystemMXBean CPU =
      ManagementFactory.getPlatformMXBean(com.sun.management.OperatingSystemMXBean.class);

  private LobesRefreshBench() {}

  /** Told everything, it notes when. */
  private static final class Notes implements LobesWork.Listener {
    final Plot plot = new Plot("bench");
    final BufferedImage screen = new BufferedImage(700, 560, BufferedImage.TYPE_INT_RGB);
    long from;
    long cpuFrom;
    double here;
    List<double[]> steps = new ArrayList<>();
    double worstPaint;
    CompletableFuture<Boolean> complete = new CompletableFuture<>();

    Notes() {
      plot.setSize(700, 560);
      plot.doLayout();
    }

    /** What two cores take for it, ms. */
    private double halfCpuMs() {
      return (CPU.getProcessCpuTime() - cpuFrom) / 2e6;
    }

    private double ms() {
      return (System.nanoTime() - from) / 1e6;
    }

    @Override
    public void cut(Cut cut) {}

    @Override
    public void here(Here now) {
      here = ms();
    }

    @Override
    public void map(MapMoment moment, PlotContent content, ringtrue.report.LengthUnit unit) {
      long begun = System.nanoTime();
      plot.show(content);
      Graphics2D g = screen.createGraphics();
      plot.paint(g);
      g.dispose();
      worstPaint = Math.max(worstPaint, (System.nanoTime() - begun) / 1e6);
      steps.add(new double[] {moment.map().lines().size(), ms(), halfCpuMs()});
      if (moment.complete()) {
        complete.complete(true);
      }
    }

    @Override
    public void problem(String sentence) {
      if (!sentence.isEmpty()) {
        complete.completeExceptionally(new IllegalStateException(sentence));
      }
    }
  }

  public static void main(String[] args) throws Exception {
    PrintStream out = System.out;
    Path home = Files.createTempDirectory("lobes-bench");
    Catalogue catalogue = Catalogue.bundled();
    Desk desk = new Desk(home, Settings.NONE, SetUpLibrary.in(home.resolve("library")), catalogue);
    CompletableFuture<Boolean> open = new CompletableFuture<>();
    SwingUtilities.invokeLater(() -> desk.begin(Job.EMPTY, () -> open.complete(true)));
    open.get(10, TimeUnit.SECONDS);
    for (String name : args.length == 0 ? LobesJobs.demoCuts() : List.of(args)) {
      Path file = Path.of("demo-measurements", name + ".json");
      Cut base = CutFile.read(file, catalogue, Progress.NONE);
      CutDraft draft = new CutDraft(Files.readString(file));
      for (Over over : Over.values()) {
        if (over == Over.WIDTH && base.process().operation() == Operation.TURNING) {
          continue;
        }
        bench(out, desk, name + " over " + over.word(), base, draft, over);
      }
    }
    SwingUtilities.invokeAndWait(() -> desk.close(() -> {}));
    System.exit(0);
  }

  private static void bench(
      PrintStream out, Desk desk, String title, Cut base, CutDraft draft, Over over)
      throws Exception {
    out.println(title);
    Wanted wanted = new Wanted(over, Optional.empty(), Double.NaN, Double.NaN, Double.NaN);
    LobesWork.Extras extras = new LobesWork.Extras(false, false, LengthUnit.MILLIMETRE, Double.NaN);
    Notes notes = new Notes();
    LobesWork work = new LobesWork(desk, notes);
    for (int move = 0; move < MOVES; move++) {
      boolean turning = base.process().operation() == Operation.TURNING;
      double factor = 1 + 0.02 * move;
      double length =
          over == Over.DEPTH
              ? base.process().engagement().radialM()
              : base.process().engagement().axialM();
      CutDraft moved =
          turning
              ? draft.with(CutField.PROCESS_DAMPING, 1000 * (move + 1) + " N/m")
              : draft.with(
                  over == Over.DEPTH ? CutField.RADIAL : CutField.AXIAL,
                  Readable.length(factor * length, 0.001, LengthUnit.MILLIMETRE));
      notes.complete = new CompletableFuture<>();
      notes.steps = new ArrayList<>();
      notes.worstPaint = 0;
      SwingUtilities.invokeLater(
          () -> {
            notes.from = System.nanoTime();
            notes.cpuFrom = CPU.getProcessCpuTime();
            work.show(moved, base, wanted, extras);
          });
      notes.complete.get(120, TimeUnit.SECONDS);
      Thread.sleep(200);
      StringBuilder line = new StringBuilder();
      notes.steps.forEach(
          s ->
              line.append(
                  String.format(Locale.ROOT, "  %.0f at %.0f (%.0f) ms", s[0], s[1], s[2])));
      out.printf(
          Locale.ROOT,
          "  move %d: the cut's own answer %.0f ms; speeds%s; worst event %.0f ms%n",
          move + 1,
          notes.here,
          line,
          notes.worstPaint);
    }
  }
}

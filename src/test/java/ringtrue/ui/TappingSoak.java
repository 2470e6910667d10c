package ringtrue.ui;

import java.nio.file.DirectoryStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.FutureTask;
import javax.swing.SwingUtilities;
import ringtrue.library.Catalogue;
import ringtrue.library.SetUpLibrary;
import ringtrue.ui.desk.Act;
import ringtrue.ui.desk.Desk;
import ringtrue.ui.desk.Settings;
import ringtrue.ui.desk.StageId;
import ringtrue.ui.job.CutDraft;
import ringtrue.ui.job.Job;
import ringtrue.ui.kit.Theme;
import ringtrue.ui.shell.MainFrame;
import ringtrue.ui.shell.RingtrueWindow;

/**
 * An hour of simulated tapping in the real window: session after session without an end of their
 * own, at a high pace. Writes the heap in use after a collection every two minutes of simulated
 * time. Arguments: minutes (60), times real time (10). Recordings of sessions that are over are
 * removed, so that the disk does not fill.
 */
final class TappingSoak {
  private static final double SESSION_MINUTES = 2;

  private TappingSoak() {}

  public static void main(String[] args) throws Exception {
    double minutes = args.length > 0 ? Double.parseDouble(args[0]) : 60;
    double pace = args.length > 1 ? Double.parseDouble(args[1]) : 10;
    Path home = Files.createTempDirectory("tapping-soak");
    Settings settings =
        Settings.NONE.with("sounds", false).with("simulated-pace", pace).with("taps-wanted", "0");
    Desk[] desk = new Desk[1];
    MainFrame[] frame = new MainFrame[1];
    onEvents(
        () -> {
          Theme.apply(false);
          desk[0] =
              RingtrueWindow.desk(
                  home, settings, SetUpLibrary.in(home.resolve("library")), Catalogue.bundled());
          frame[0] = new MainFrame(desk[0], "test", () -> {});
          frame[0].open();
          desk[0].begin(
              new Job(Map.of(), Optional.empty(), List.of(), CutDraft.NEW, true),
              () -> {
                desk[0].go(StageId.TAPS);
                step(desk[0]);
                step(desk[0]);
              });
        });
    double done = 0;
    while (done < minutes) {
      Thread.sleep((long) (60_000 * SESSION_MINUTES / pace));
      done += SESSION_MINUTES;
      onEvents(() -> act(desk[0], "tap-stop"));
      Thread.sleep(2500);
      long used = heap();
      System.out.printf(
          Locale.ROOT,
          "%.0f min of tapping: %.1f MB in use, %d lines of verdicts%n",
          done,
          used / 1048576.0,
          verdicts(desk[0]));
      if (done < minutes) {
        tidy(desk[0]);
        onEvents(() -> act(desk[0], "tap-again"));
      }
    }
    onEvents(() -> frame[0].end());
    System.exit(0);
  }

  private static void step(Desk desk) {
    desk.stage(StageId.TAPS).next().orElseThrow().action().run();
  }

  private static void act(Desk desk, String id) {
    desk.acts().stream()
        .filter(a -> a.id().equals(id) && a.enabled().getAsBoolean())
        .map(Act::action)
        .forEach(Runnable::run);
  }

  private static long heap() throws InterruptedException {
    long least = Long.MAX_VALUE;
    for (int i = 0; i < 3; i++) {
      System.gc();
      Thread.sleep(150);
      Runtime r = Runtime.getRuntime();
      least = Math.min(least, r.totalMemory() - r.freeMemory());
    }
    return least;
  }

  private static int verdicts(Desk desk) throws Exception {
    int lines = 0;
    Path folder = desk.folder().orElseThrow().path();
    try (DirectoryStream<Path> all = Files.newDirectoryStream(folder, "*.taps.jsonl")) {
      for (Path each : all) {
        lines += Files.readAllLines(each).size() - 1;
      }
    }
    return lines;
  }

  /** Empties the recordings but the newest. */
  private static void tidy(Desk desk) throws Exception {
    Path folder = desk.folder().orElseThrow().path();
    String newest =
        desk.job().measured().isEmpty()
            ? ""
            : desk.job().measured().get(0).file().replace(".json", ".wav");
    try (DirectoryStream<Path> all = Files.newDirectoryStream(folder, "*.wav")) {
      for (Path each : all) {
        if (!each.getFileName().toString().equals(newest)) {
          Files.write(each, new byte[0]);
        }
      }
    }
  }

  private static void onEvents(Runnable what) throws Exception {
    FutureTask<Void> task = new FutureTask<>(what, null);
    SwingUtilities.invokeLater(task);
    task.get();
  }
}

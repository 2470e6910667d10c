package ringtrue.ui;

import java.io.InputStream;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
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
 * An hour of simulated tapping in the real window: session after session, at a high pace. Writes
 * after each the heap in use after a collection, against the time that was recorded. Arguments:
 * minutes to record (60), times real time (10), minutes on the clock at most (20). Recordings of
 * sessions that are over are removed, so that the disk does not fill.
 */
final class TappingSoak {
  /** Shorter than the simulated machine's blows last. */
  private static final double SESSION_MINUTES = 3;

  private TappingSoak() {}

  public static void main(String[] args) throws Exception {
    double minutes = args.length > 0 ? Double.parseDouble(args[0]) : 60;
    double pace = args.length > 1 ? Double.parseDouble(args[1]) : 10;
    double longest = args.length > 2 ? Double.parseDouble(args[2]) : 20;
    long begun = System.nanoTime();
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
                Jobs.steps(desk[0], StageId.TAPS, 2);
              });
        });
    for (int i = 0; i < 300 && desk[0].job().measured().isEmpty(); i++) {
      Thread.sleep(100);
    }
    double done = 0;
    double clock = 0;
    int sessions = 0;
    while (done < minutes && clock < longest) {
      if (sessions > 0) {
        tidy(desk[0]);
        onEvents(() -> act(desk[0], "tap-again"));
      }
      sessions++;
      Thread.sleep((long) (60_000 * SESSION_MINUTES / pace));
      onEvents(() -> act(desk[0], "tap-stop"));
      Thread.sleep(2500);
      done += recordedMinutes(desk[0]);
      clock = (System.nanoTime() - begun) / 60e9;
      System.out.printf(
          Locale.ROOT,
          "%d sessions, %.1f min recorded, %.1f min on the clock: %.1f MB in use, %d taps judged%n",
          sessions,
          done,
          clock,
          heap() / 1048576.0,
          verdicts(desk[0]));
    }
    onEvents(() -> frame[0].end());
    System.exit(0);
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

  /** How long the newest recording is, from its file's head (average bytes in a second). */
  private static double recordedMinutes(Desk desk) throws Exception {
    if (newest(desk).isEmpty()) {
      return 0;
    }
    Path newest = desk.folder().orElseThrow().file(newest(desk));
    byte[] head = new byte[256];
    try (InputStream in = Files.newInputStream(newest)) {
      in.readNBytes(head, 0, head.length);
    }
    int format = new String(head, StandardCharsets.ISO_8859_1).indexOf("fmt ");
    double bytesPerS = ByteBuffer.wrap(head).order(ByteOrder.LITTLE_ENDIAN).getInt(format + 16);
    return Files.size(newest) / bytesPerS / 60;
  }

  private static String newest(Desk desk) {
    return desk.job().measured().isEmpty()
        ? ""
        : desk.job().measured().get(0).file().replace(".json", ".wav");
  }

  /** Empties the recordings but the newest. */
  private static void tidy(Desk desk) throws Exception {
    Path folder = desk.folder().orElseThrow().path();
    String newest = newest(desk);
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

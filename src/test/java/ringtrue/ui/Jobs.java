package ringtrue.ui;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import javax.swing.Timer;
import ringtrue.ui.desk.Desk;
import ringtrue.ui.desk.StageId;
import ringtrue.ui.job.Direction;
import ringtrue.ui.job.Job;
import ringtrue.ui.job.JobFolder;
import ringtrue.ui.job.Measured;

/** Jobs for tests, made of the demo measurements. */
public final class Jobs {
  private static final Path DEMO = Path.of("demo-measurements");

  private Jobs() {}

  /**
   * A job in a folder below {@code home}/jobs: the 8 mm demo tool, tapped along x and y.
   *
   * @param home the user's folder
   * @return the job's folder, to be given to {@code desk.resume}
   */
  public static Path demoJob(Path home) {
    JobFolder folder = JobFolder.create(home.resolve("jobs"));
    Job job = Job.EMPTY;
    for (Direction direction : new Direction[] {Direction.TOOL_X, Direction.TOOL_Y}) {
      String name = "tool-8mm-" + direction.axis();
      for (String ending : new String[] {".json", ".wav"}) {
        try {
          Files.copy(DEMO.resolve(name + ending), folder.file(name + ending));
        } catch (IOException e) {
          throw new UncheckedIOException(e);
        }
      }
      job =
          job.with(Measured.of(direction, Measured.Kind.TAPS, name + ".json", "demo measurement"));
    }
    folder.write(job);
    Path path = folder.path();
    folder.close();
    return path;
  }

  /** Presses what a stage suggests next, so many times, each as soon as there is something. */
  public static void steps(Desk desk, StageId stage, int times) {
    int[] left = {times};
    Timer timer = new Timer(30, null);
    timer.addActionListener(
        e ->
            desk.stage(stage)
                .next()
                .ifPresent(
                    next -> {
                      next.action().run();
                      if (--left[0] == 0) {
                        timer.stop();
                      }
                    }));
    timer.start();
  }
}

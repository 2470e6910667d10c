package ringtrue.ui.response;

import java.util.function.Consumer;
import ringtrue.ui.desk.Tasks;

/**
 * Work of which only the newest answer counts: one piece runs, the newest one waits, all between
 * are dropped. Event thread only.
 */
public final class Latest {
  private final Tasks tasks;
  private final String name;
  private Tasks.Task running;
  private Runnable waiting;

  /**
   * @param name what the work is about
   */
  public Latest(Tasks tasks, String name) {
    this.tasks = tasks;
    this.name = name;
  }

  /** Does work as soon as what runs has ended. */
  public <T> void want(Tasks.Work<T> work, Consumer<T> answer, Consumer<String> complaint) {
    if (running != null && !running.cancelled()) {
      waiting = () -> want(work, answer, complaint);
      return;
    }
    running =
        tasks.start(
            name,
            progress -> {
              T found = null;
              String problem = "";
              try {
                found = work.run(progress);
              } catch (ringtrue.units.BadInputException e) {
                problem = e.getMessage();
              }
              return new Done<>(found, problem);
            },
            done -> {
              ended();
              if (done.problem.isEmpty()) {
                answer.accept(done.found);
              } else {
                complaint.accept(done.problem);
              }
            },
            fault -> {
              ended();
              complaint.accept(fault);
            });
  }

  private record Done<T>(T found, String problem) {}

  private void ended() {
    running = null;
    Runnable next = waiting;
    waiting = null;
    if (next != null) {
      next.run();
    }
  }
}

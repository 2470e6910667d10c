package ringtrue.ui.desk;

import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.CancellationException;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.function.Consumer;
import javax.swing.SwingUtilities;
import ringtrue.dynamics.Progress;
import ringtrue.units.BadInputException;

/**
 * Work away from the event thread. Everything here is called on the event thread; answers come back
 * on it, and an answer that nobody waits for any more is dropped.
 */
public final class Tasks {
  private final List<Task> running = new ArrayList<>();
  private final List<Runnable> listeners = new ArrayList<>();
  private final AtomicInteger count = new AtomicInteger();
  private boolean closed;
  private final ExecutorService workers =
      Executors.newCachedThreadPool(
          task -> {
            Thread thread = new Thread(task, "work-" + count.incrementAndGet());
            thread.setDaemon(true);
            thread.setPriority(Thread.NORM_PRIORITY - 1);
            return thread;
          });

  /** What a task computes. */
  @FunctionalInterface
  public interface Work<T> {
    /**
     * @param progress to be told, and asked whether the answer is still wanted
     * @throws BadInputException if what the user gave cannot be used
     * @throws Exception if anything else goes wrong
     */
    T run(Progress progress) throws Exception;
  }

  /** A piece of work that goes on. */
  public final class Task {
    private final String name;
    private final long sinceNanos = System.nanoTime();
    private volatile boolean cancelled;
    private volatile double done;
    private volatile String what = "";

    private Task(String name) {
      this.name = name;
    }

    /** What it is about, in a few words. */
    public String name() {
      return name;
    }

    /** How far it is, 0 to 1. */
    public double done() {
      return done;
    }

    /** What it is doing. */
    public String what() {
      return what;
    }

    /** For how long it has been going on, s. */
    public double seconds() {
      return (System.nanoTime() - sinceNanos) / 1e9;
    }

    /** Its answer is not wanted any more. */
    public void cancel() {
      cancelled = true;
      remove(this);
    }

    public boolean cancelled() {
      return cancelled;
    }

    private void at(double part, String words) {
      if (cancelled) {
        throw new CancellationException();
      }
      done = part;
      what = words;
    }
  }

  /**
   * Starts work. After {@link #close} nothing is started any more, and nobody is told.
   *
   * @param name what it is about, shown with its progress
   * @param work what to do, away from the event thread
   * @param answer given what it found, on the event thread
   * @param complaint given one sentence if it could not be done, on the event thread
   */
  public <T> Task start(String name, Work<T> work, Consumer<T> answer, Consumer<String> complaint) {
    Task task = new Task(name);
    if (closed) {
      task.cancelled = true;
      return task;
    }
    running.add(task);
    changed();
    workers.execute(() -> run(task, work, answer, complaint));
    return task;
  }

  private <T> void run(Task task, Work<T> work, Consumer<T> answer, Consumer<String> complaint) {
    try {
      task.at(0, "");
      T found = work.run(task::at);
      SwingUtilities.invokeLater(() -> finish(task, () -> answer.accept(found)));
    } catch (CancellationException e) {
      SwingUtilities.invokeLater(() -> remove(task));
    } catch (BadInputException e) {
      SwingUtilities.invokeLater(() -> finish(task, () -> complaint.accept(e.getMessage())));
    } catch (OutOfMemoryError e) {
      SwingUtilities.invokeLater(
          () -> finish(task, () -> complaint.accept("not enough memory for this")));
    } catch (Exception | StackOverflowError | AssertionError | LinkageError e) {
      String fault =
          "a fault of the program, not of your input: "
              + e.getClass().getSimpleName()
              + (e.getMessage() == null ? "" : ": " + e.getMessage());
      if (System.getenv("RINGTRUE_TRACE") != null) {
        java.util.logging.Logger.getLogger("ringtrue")
            .log(java.util.logging.Level.WARNING, task.name, e);
      }
      SwingUtilities.invokeLater(() -> finish(task, () -> complaint.accept(fault)));
    }
  }

  private void finish(Task task, Runnable end) {
    boolean wanted = running.contains(task) && !task.cancelled;
    remove(task);
    if (wanted) {
      end.run();
    }
  }

  private void remove(Task task) {
    if (running.remove(task)) {
      changed();
    }
  }

  /** What goes on, the oldest first. */
  public List<Task> running() {
    return List.copyOf(running);
  }

  /** Told whenever something begins or ends. */
  public void onChange(Runnable listener) {
    listeners.add(listener);
  }

  private void changed() {
    List.copyOf(listeners).forEach(Runnable::run);
  }

  /** Ends everything. */
  public void close() {
    closed = true;
    List.copyOf(running).forEach(Task::cancel);
    workers.shutdownNow();
  }
}

package ringtrue.cli;

import java.io.PrintWriter;
import ringtrue.dynamics.Progress;

/** Shows progress on a terminal once a job has taken half a second; silent elsewhere. */
final class TerminalProgress implements Progress, AutoCloseable {
  private static final long FIRST_NANOS = 500_000_000L;
  private static final long STEP_NANOS = 100_000_000L;

  private final PrintWriter err;
  private final boolean terminal = System.console() != null;
  private final long start = System.nanoTime();
  private long last = start + FIRST_NANOS - STEP_NANOS;
  private boolean shown;

  TerminalProgress(PrintWriter err) {
    this.err = err;
  }

  @Override
  public synchronized void at(double done, String what) {
    long now = System.nanoTime();
    if (terminal && now - last > STEP_NANOS) {
      last = now;
      shown = true;
      err.printf("\r%-60.60s %3.0f %%", what, 100 * Math.max(0, Math.min(1, done)));
      err.flush();
    }
  }

  /** Clears the line. */
  @Override
  public void close() {
    if (shown) {
      err.printf("\r%70s\r", "");
      err.flush();
    }
  }
}

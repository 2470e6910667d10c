package ringtrue.ui;

import java.awt.AWTEvent;
import java.awt.EventQueue;
import java.awt.Toolkit;
import java.lang.management.ManagementFactory;
import java.lang.management.ThreadMXBean;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;

/**
 * How much work each event was for the event thread's processor; unlike time on the clock it does
 * not count what other programs take away meanwhile.
 */
public final class CpuWatch extends EventQueue implements AutoCloseable {
  private final ThreadMXBean threads = ManagementFactory.getThreadMXBean();
  private final List<String> heavy = Collections.synchronizedList(new ArrayList<>());
  private final double limitMs;

  private CpuWatch(double limitMs) {
    this.limitMs = limitMs;
  }

  /** Begins to watch. */
  public static CpuWatch over(double limitMs) {
    CpuWatch watch = new CpuWatch(limitMs);
    Toolkit.getDefaultToolkit().getSystemEventQueue().push(watch);
    return watch;
  }

  @Override
  protected void dispatchEvent(AWTEvent event) {
    long from = threads.getCurrentThreadCpuTime();
    super.dispatchEvent(event);
    double ms = (threads.getCurrentThreadCpuTime() - from) / 1e6;
    if (ms > limitMs) {
      heavy.add(Math.round(ms) + " ms: " + event);
    }
  }

  /** Events over the limit. */
  public List<String> heavy() {
    return List.copyOf(heavy);
  }

  @Override
  public void close() {
    pop();
  }
}

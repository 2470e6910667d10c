package ringtrue.ui;

import java.awt.AWTEvent;
import java.awt.EventQueue;
import java.awt.Toolkit;
import java.lang.management.ManagementFactory;
import java.lang.management.ThreadInfo;
import java.lang.management.ThreadMXBean;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Deque;
import java.util.List;
import java.util.Locale;
import java.util.Optional;

/**
 * What each event was for the event thread: time on the clock, and its own time, that is time of
 * the processor and time in which the thread waited for others. Unlike time on the clock its own
 * time does not count what other programs take away meanwhile. Of an event that lasts it notes what
 * the thread was doing, so that a complaint tells where to look.
 *
 * <p>What is dispatched while an event goes on, as by a dialog that is waited for, counts for
 * itself, and waiting for the next event counts for nobody, nor does waiting for the display while
 * the test's robot or the toolkit's own thread has it.
 */
public final class CpuWatch extends EventQueue implements AutoCloseable {
  /**
   * One for all tests of a process, never taken away again: where the event thread ends for want of
   * windows just then, a new one may wait at the queue that went.
   */
  private static final CpuWatch ONE = new CpuWatch();

  private static boolean pushed;

  /** Shorter ones are not kept, ms. */
  private static final double NOTED_MS = 25;

  private static final long LOOK_MS = 5;
  private static final long OLD_NANOS = 30_000_000;
  private static final int LOOKS = 12;
  private static final int DEEP = 120;
  private static final int INNER = 8;

  private final ThreadMXBean threads = ManagementFactory.getThreadMXBean();
  private final List<Held> held = new ArrayList<>();
  private final Deque<Going> going = new ArrayDeque<>(); // of the event thread only
  private volatile Going newest;
  private volatile boolean on;

  /**
   * What held the event thread.
   *
   * @param event which event
   * @param ms on the clock
   * @param ownMs of the processor and blocked or waiting
   * @param doing what it was seen doing meanwhile, each with how often
   */
  public record Held(String event, double ms, double ownMs, List<String> doing) {
    @Override
    public String toString() {
      return String.format(
          Locale.ROOT, "%.0f ms (%.0f on the clock) %.140s%n%s", ownMs, ms, event, lines());
    }

    private String lines() {
      StringBuilder all = new StringBuilder();
      doing.forEach(d -> all.append("      ").append(d).append('\n'));
      return all.toString();
    }
  }

  /** Where the event thread stands: the clock, its time of the processor, and its waiting, ns. */
  private record Moment(long clock, long cpu, long waited) {
    Moment minus(Moment other) {
      return new Moment(clock - other.clock, cpu - other.cpu, waited - other.waited);
    }

    Moment plus(Moment other) {
      return new Moment(clock + other.clock, cpu + other.cpu, waited + other.waited);
    }
  }

  /** An event that goes on. */
  private static final class Going {
    private final Thread thread = Thread.currentThread();
    private final Moment from;
    private Moment others = new Moment(0, 0, 0);
    private final List<String> doing = new ArrayList<>();
    private volatile boolean waits;
    private volatile boolean waitsForOthers;
    private boolean leftOut;

    Going(Moment from) {
      this.from = from;
    }
  }

  private CpuWatch() {
    if (threads.isThreadContentionMonitoringSupported()) {
      threads.setThreadContentionMonitoringEnabled(true);
    }
    Thread looking = new Thread(this::look, "looking at the event thread");
    looking.setDaemon(true);
    looking.start();
  }

  /** Begins to watch. */
  public static synchronized CpuWatch begin() {
    if (!pushed) {
      Toolkit.getDefaultToolkit().getSystemEventQueue().push(ONE);
      pushed = true;
    }
    synchronized (ONE.held) {
      ONE.held.clear();
    }
    ONE.on = true;
    return ONE;
  }

  private Moment now() {
    ThreadInfo info = threads.getThreadInfo(Thread.currentThread().getId());
    long waitedMs = Math.max(0, info.getBlockedTime()) + Math.max(0, info.getWaitedTime());
    return new Moment(System.nanoTime(), threads.getCurrentThreadCpuTime(), waitedMs * 1_000_000);
  }

  @Override
  protected void dispatchEvent(AWTEvent event) {
    Going mine = new Going(now());
    Going around = going.peek();
    going.push(mine);
    newest = mine;
    try {
      super.dispatchEvent(event);
    } finally {
      Moment whole = now().minus(mine.from);
      going.pop();
      newest = around;
      if (around != null) {
        around.others = around.others.plus(whole);
      }
      boolean robotWaits = event.getClass().getName().startsWith("sun.awt.SunToolkit");
      if (!robotWaits && !mine.leftOut) {
        Moment spent = whole.minus(mine.others);
        double own = (spent.cpu + (mine.waitsForOthers ? spent.waited : 0)) / 1e6;
        note(event, spent.clock / 1e6, own, mine);
      }
    }
  }

  private void note(AWTEvent event, double ms, double own, Going of) {
    if (on && Math.max(ms, own) > NOTED_MS) {
      List<String> doing;
      synchronized (of.doing) {
        doing = List.copyOf(of.doing);
      }
      synchronized (held) {
        held.add(new Held(String.valueOf(event).replace("java.awt.event.", ""), ms, own, doing));
      }
    }
  }

  @Override
  public AWTEvent getNextEvent() throws InterruptedException {
    Going around = going.peek();
    if (around == null) {
      return super.getNextEvent();
    }
    Moment from = now();
    around.waits = true;
    try {
      return super.getNextEvent();
    } finally {
      around.waits = false;
      around.others = around.others.plus(now().minus(from));
    }
  }

  // ---- looking

  private void look() {
    while (true) {
      try {
        Thread.sleep(LOOK_MS);
      } catch (InterruptedException e) {
        return;
      }
      Going at = newest;
      if (!on || at == null || at.waits) {
        continue;
      }
      at.waitsForOthers |= waitsForOthers(threads.getThreadInfo(at.thread.getId(), INNER));
      if (System.nanoTime() - at.from.clock > OLD_NANOS) {
        synchronized (at.doing) {
          if (at.doing.size() < LOOKS) {
            at.doing.add(shortly(threads.getThreadInfo(at.thread.getId(), DEEP)));
          }
        }
      }
    }
  }

  /** Whether it waits for anything but the display and the next event, as focus events may. */
  private static boolean waitsForOthers(ThreadInfo seen) {
    Thread.State state = seen.getThreadState();
    return state != Thread.State.RUNNABLE
        && Arrays.stream(seen.getStackTrace())
            .map(StackTraceElement::getMethodName)
            .noneMatch(at -> at.equals("awtLock") || at.equals("getNextEvent"));
  }

  /** The innermost places, and those of the program. */
  private static String shortly(ThreadInfo seen) {
    StringBuilder line = new StringBuilder(String.valueOf(seen.getThreadState()));
    if (seen.getLockOwnerName() != null) {
      line.append(" for ").append(seen.getLockOwnerName());
    }
    int inner = 0;
    int own = 0;
    for (StackTraceElement at : seen.getStackTrace()) {
      boolean ours = at.getClassName().startsWith("ringtrue.");
      if (ours ? own++ < 5 : inner++ < 3) {
        String name = at.getClassName();
        line.append(" < ")
            .append(name.substring(name.lastIndexOf('.') + 1))
            .append('.')
            .append(at.getMethodName())
            .append(ours ? ":" + at.getLineNumber() : "");
      }
    }
    return line.toString();
  }

  // ---- telling

  /** What held the event thread for longer than so many milliseconds of its own time. */
  public List<Held> heavy(double ms) {
    synchronized (held) {
      return held.stream().filter(h -> h.ownMs > ms).toList();
    }
  }

  /** What held it for longer on the clock. */
  public List<Held> late(double ms) {
    synchronized (held) {
      return held.stream().filter(h -> h.ms > ms).toList();
    }
  }

  /** Leaves out the event that goes on; called within it. */
  public void leaveOut() {
    Optional.ofNullable(going.peek()).ifPresent(g -> g.leftOut = true);
  }

  /** No more is noted; what was is kept until the next begins. */
  @Override
  public void close() {
    on = false;
  }
}

package ringtrue.library;

import java.io.IOException;
import java.lang.invoke.MethodHandles;
import java.lang.management.ManagementFactory;
import java.lang.reflect.Method;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Random;
import ringtrue.units.BadInputException;

/**
 * Feeds a reader damaged files and keeps those that reach code which none has reached before, to
 * damage them further. What is reached is read from JaCoCo's probes, which the build puts into all
 * classes; without them (in an IDE) damage is blind.
 *
 * <p>An input is a finding if the reader throws anything but a {@link BadInputException} of one
 * line that names the file, takes more than two seconds of processor time, or allocates more than 1
 * GB. An input that never ends is reported by a second thread.
 */
final class Fuzzer {
  private static final double LONGEST_S = 2;
  private static final long MOST_ALLOCATED = 1L << 30;
  private static final long HANGS_MS = 60_000;
  private static final int LONGEST_MESSAGE = 1100;
  private static final int MOST_FINDINGS = 5;

  private static final com.sun.management.ThreadMXBean THREADS =
      (com.sun.management.ThreadMXBean) ManagementFactory.getThreadMXBean();

  /** Reads a file; also checks what was read. */
  @FunctionalInterface
  interface Reader {
    void read(Path file) throws Exception;
  }

  /**
   * What is fuzzed.
   *
   * @param name of the reader
   * @param fileName name that inputs get
   * @param corpus good files
   * @param way how inputs are damaged
   * @param reader the reader
   * @param covered classes whose coverage guides
   * @param namesOthers whether files name other files, in which the complaint may be
   */
  record Target(
      String name,
      String fileName,
      List<byte[]> corpus,
      Mutations.Way way,
      Reader reader,
      List<Class<?>> covered,
      boolean namesOthers) {

    Target(
        String name,
        String fileName,
        List<byte[]> corpus,
        Mutations.Way way,
        Reader reader,
        List<Class<?>> covered) {
      this(name, fileName, corpus, way, reader, covered, false);
    }

    @Override
    public String toString() {
      return name;
    }
  }

  /** What an input did that it must not do. */
  record Finding(String what, byte[] input) {}

  /** How it went. */
  record Outcome(
      long inputs,
      List<Finding> findings,
      int refused,
      int kept,
      int reached,
      int probes,
      double slowestS,
      long mostAllocated,
      double seconds) {
    String words(String name) {
      return String.format(
          Locale.ROOT,
          "%-14s %7d inputs, %5.1f %% refused, %4d kept, %4d of %4d probes reached,"
              + " slowest %.3f s, most allocated %.1f MB, %.0f inputs/s, %d findings",
          name,
          inputs,
          100.0 * refused / inputs,
          kept,
          reached,
          probes,
          slowestS,
          mostAllocated / 1e6,
          inputs / seconds,
          findings.size());
    }
  }

  private final Target target;
  private final Path file;
  private final List<boolean[]> probes = new ArrayList<>();
  private final List<boolean[]> reached = new ArrayList<>();
  private final List<boolean[]> before = new ArrayList<>();
  private final List<byte[]> corpus = new ArrayList<>();
  private final List<Finding> findings = new ArrayList<>();
  private volatile long startedMs;
  private volatile byte[] running = {};
  private int refused;
  private double slowestS;
  private long mostAllocated;

  Fuzzer(Target target, Path folder) {
    this.target = target;
    this.file = folder.resolve(target.fileName());
  }

  /** Damages and reads so many inputs. */
  Outcome run(int inputs, long seed) throws InterruptedException {
    for (Class<?> covered : target.covered()) {
      boolean[] found = probes(covered);
      if (found != null) {
        probes.add(found);
        before.add(found.clone());
        reached.add(new boolean[found.length]);
      }
    }
    long start = System.nanoTime();
    startedMs = System.currentTimeMillis();
    Thread worker = new Thread(() -> work(inputs, new Random(seed)), "fuzz " + target.name());
    worker.setDaemon(true);
    worker.start();
    while (worker.isAlive()) {
      worker.join(200);
      if (worker.isAlive() && System.currentTimeMillis() - startedMs > HANGS_MS) {
        findings.add(
            new Finding("does not end: " + Arrays.toString(worker.getStackTrace()), running));
        break;
      }
    }
    for (int i = 0; i < probes.size(); i++) {
      for (int p = 0; p < probes.get(i).length; p++) {
        probes.get(i)[p] |= before.get(i)[p] | reached.get(i)[p];
      }
    }
    int all = probes.stream().mapToInt(p -> p.length).sum();
    return new Outcome(
        inputs,
        List.copyOf(findings),
        refused,
        corpus.size(),
        reached.stream().mapToInt(Fuzzer::count).sum(),
        all,
        slowestS,
        mostAllocated,
        (System.nanoTime() - start) / 1e9);
  }

  private void work(int inputs, Random random) {
    try {
      for (byte[] good : target.corpus()) {
        one(good);
        corpus.add(good);
      }
      for (int i = 0; i < inputs && findings.size() < MOST_FINDINGS; i++) {
        // half of the time one of the latest finds
        int newest = random.nextBoolean() ? corpus.size() : Math.min(20, corpus.size());
        byte[] input = corpus.get(corpus.size() - 1 - random.nextInt(newest));
        int times = random.nextInt(3) > 0 ? 1 : 2 + random.nextInt(4);
        for (int t = 0; t < times; t++) {
          byte[] other = corpus.get(random.nextInt(corpus.size()));
          input = target.way().of(input, other, random);
        }
        if (one(input)) {
          corpus.add(input);
        }
      }
    } catch (Throwable e) {
      findings.add(new Finding("the fuzzer itself failed: " + e, running));
    }
  }

  /** Whether it reached something new. */
  private boolean one(byte[] input) throws IOException {
    Files.write(file, input);
    probes.forEach(p -> Arrays.fill(p, false));
    running = input;
    startedMs = System.currentTimeMillis();
    long cpu = THREADS.getCurrentThreadCpuTime();
    long allocated = THREADS.getCurrentThreadAllocatedBytes();
    String problem = null;
    try {
      target.reader().read(file);
    } catch (BadInputException e) {
      refused++;
      problem = complaint(e.getMessage());
    } catch (Throwable e) {
      StackTraceElement[] stack = e.getStackTrace();
      problem = e + " at " + Arrays.toString(Arrays.copyOf(stack, Math.min(6, stack.length)));
    }
    double seconds = (THREADS.getCurrentThreadCpuTime() - cpu) / 1e9;
    allocated = THREADS.getCurrentThreadAllocatedBytes() - allocated;
    slowestS = Math.max(slowestS, seconds);
    mostAllocated = Math.max(mostAllocated, allocated);
    if (seconds > LONGEST_S) {
      problem = "took " + seconds + " s";
    }
    if (allocated > MOST_ALLOCATED) {
      problem = "allocated " + allocated + " bytes";
    }
    if (problem != null) {
      findings.add(new Finding(problem, input));
    }
    boolean fresh = false;
    for (int i = 0; i < probes.size(); i++) {
      boolean[] now = probes.get(i);
      boolean[] seen = reached.get(i);
      for (int p = 0; p < now.length; p++) {
        if (now[p] && !seen[p]) {
          seen[p] = true;
          fresh = true;
        }
      }
    }
    return fresh;
  }

  private String complaint(String message) {
    boolean named =
        target.namesOthers()
            ? message.matches("(?s).+: .+")
            : message.contains(target.fileName().replaceAll("\\.[a-z]+$", ""));
    if (!named) {
      return "does not name the file: " + message;
    }
    if (message.length() > LONGEST_MESSAGE) {
      return "a complaint of " + message.length() + " letters";
    }
    return message.lines().count() == 1 ? null : "more than one line: " + message;
  }

  private static int count(boolean[] all) {
    int count = 0;
    for (boolean one : all) {
      count += one ? 1 : 0;
    }
    return count;
  }

  /** JaCoCo's probes of a class: the array that its code sets; null without JaCoCo. */
  private static boolean[] probes(Class<?> covered) {
    try {
      for (Method method : covered.getDeclaredMethods()) {
        if (method.getName().equals("$jacocoInit")) {
          method.setAccessible(true);
          Object found =
              method.getParameterCount() == 0
                  ? method.invoke(null)
                  : method.invoke(null, MethodHandles.lookup(), "$jacocoData", covered);
          return (boolean[]) found;
        }
      }
    } catch (ReflectiveOperationException | ClassCastException e) {
      return null;
    }
    return null;
  }
}

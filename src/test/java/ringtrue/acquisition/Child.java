package ringtrue.acquisition;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.concurrent.TimeUnit;

/** A process that a test started, and the lines that it says. */
public final class Child implements AutoCloseable {
  public final Process process;
  private final List<String> lines = new ArrayList<>();
  private final Thread reader;

  private Child(Process process) {
    this.process = process;
    reader = new Thread(this::collect, "output of a child process");
    reader.setDaemon(true);
    reader.start();
  }

  /** Starts a program; what it says on standard error is joined to its output. */
  public static Child start(Map<String, String> environment, String... command) throws IOException {
    ProcessBuilder builder = new ProcessBuilder(command).redirectErrorStream(true);
    builder.environment().putAll(environment);
    return new Child(builder.start());
  }

  /** Starts a main class of the tests on this JVM's own class path. */
  public static Child java(Map<String, String> environment, Class<?> main, String... args)
      throws IOException {
    return start(environment, javaCommand(main, args).toArray(String[]::new));
  }

  static List<String> javaCommand(Class<?> main, String... args) {
    List<String> command = new ArrayList<>();
    command.add(Path.of(System.getProperty("java.home"), "bin", "java").toString());
    command.addAll(List.of("-Xmx256m", "-XX:TieredStopAtLevel=1", "-XX:+UseSerialGC", "-cp"));
    command.add(System.getProperty("java.class.path"));
    command.add(main.getName());
    command.addAll(Arrays.asList(args));
    return command;
  }

  private void collect() {
    try (BufferedReader in = process.inputReader(StandardCharsets.UTF_8)) {
      for (String line = in.readLine(); line != null; line = in.readLine()) {
        synchronized (lines) {
          lines.add(line);
          lines.notifyAll();
        }
      }
    } catch (IOException | UncheckedIOException e) {
      // the process is gone, and with it what it had to say
    }
  }

  /** All lines so far. */
  public List<String> lines() {
    synchronized (lines) {
      return List.copyOf(lines);
    }
  }

  /** The rest of all lines so far that begin with a word. */
  public List<String> lines(String word) {
    return lines().stream()
        .filter(l -> l.startsWith(word + " ") || l.equals(word))
        .map(l -> l.substring(word.length()).trim())
        .toList();
  }

  /** Waits for a line that begins with a word. */
  public boolean says(String word, double seconds) throws InterruptedException {
    long until = System.nanoTime() + (long) (seconds * 1e9);
    synchronized (lines) {
      while (!said(word)) {
        long left = (until - System.nanoTime()) / 1_000_000;
        if (left <= 0 || !process.isAlive() && !reader.isAlive()) {
          return said(word);
        }
        lines.wait(Math.min(left, 100));
      }
      return true;
    }
  }

  private boolean said(String word) {
    return lines().stream().anyMatch(l -> l.startsWith(word));
  }

  /** Waits for its end and for all that it said; its exit code, or −1 if it did not end. */
  public int ends(double seconds) throws InterruptedException {
    if (!process.waitFor((long) (seconds * 1000), TimeUnit.MILLISECONDS)) {
      return -1;
    }
    reader.join(5000);
    return process.exitValue();
  }

  @Override
  public void close() {
    process.destroyForcibly();
  }
}

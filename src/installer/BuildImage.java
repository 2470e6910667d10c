import java.awt.GraphicsEnvironment;
import java.io.File;
import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.concurrent.TimeUnit;
import java.util.spi.ToolProvider;
import java.util.stream.Stream;

/**
 * Makes an app image of the packaged program with its own Java runtime, for the platform it runs
 * on: the modules that the jar needs (jdeps), a runtime of them (jlink), an archive of the classes
 * that a start loads (class-data sharing), the image (jpackage). Tells its size and the time from
 * the start of the process to the first painted window, with the archive and without.
 *
 * <p>Run by {@code mvn -Pinstaller package} as a single source file: {@code java BuildImage.java
 * TARGET VERSION}. Without a display the archive holds what a command loads, and no time to a window
 * is told.
 */
public final class BuildImage {
  private static final String MAIN = "ringtrue.cli.Ringtrue";
  private static final String ARCHIVE = "ringtrue.jsa";

  /** What no class names, but the window needs: readers of the screen, and compressed letters. */
  private static final List<String> BESIDES = List.of("jdk.accessibility", "jdk.charsets");

  private final Path target;
  private final String version;
  private final Path work;
  private final boolean windows =
      System.getProperty("os.name").toLowerCase(Locale.ROOT).contains("win");
  private final boolean mac =
      System.getProperty("os.name").toLowerCase(Locale.ROOT).contains("mac");

  private BuildImage(Path target, String version) {
    this.target = target;
    this.version = version;
    this.work = target.resolve("installer");
  }

  public static void main(String[] args) throws Exception {
    new BuildImage(Path.of(args[0]).toAbsolutePath(), args[1]).build();
  }

  private void build() throws Exception {
    remove(work);
    Path input = Files.createDirectories(work.resolve("input"));
    Path jar = input.resolve("ringtrue.jar");
    Files.copy(target.resolve("ringtrue.jar"), jar);

    Path runtime = work.resolve("runtime");
    tool(
        "jlink",
        "--add-modules",
        String.join(",", modules(jar)),
        "--strip-debug",
        "--no-header-files",
        "--no-man-pages",
        Runtime.version().feature() < 21 ? "--compress=2" : "--compress=zip-6",
                "--output",
        runtime.toString());

    Path image = work.resolve("image");
    List<String> jpackage =
        new ArrayList<>(
            List.of(
                "--type", "app-image",
                "--name", "Ringtrue",
                "--app-version", version,
                "--description", "From hammer taps to a cut plan",
                "--input", input.toString(),
                "--main-jar", "ringtrue.jar",
                "--main-class", MAIN,
                "--runtime-image", runtime.toString(),
                "--icon", icon(jar).toString(),
                "--java-options", "-XX:SharedArchiveFile=$APPDIR/" + ARCHIVE,
                "--java-options", "-Xshare:auto",
                "--dest", image.toString()));
    tool("jpackage", jpackage.toArray(String[]::new));

    Path app = image.resolve(mac ? "Ringtrue.app" : "Ringtrue");
    Path insideJar = find(app, "ringtrue.jar");
    Path launcher = find(app, windows ? "Ringtrue.exe" : "Ringtrue");
    Path java = find(app, windows ? "java.exe" : "java");
    boolean display = !GraphicsEnvironment.isHeadless();
    double plain = display ? start(launcher) : Double.NaN;
    archive(java, insideJar);
    double shared = display ? start(launcher) : Double.NaN;

    System.out.printf(Locale.ROOT, "app image: %s%n", app);
    System.out.printf(Locale.ROOT, "size: %.1f MB%n", size(app) / 1e6);
    if (display) {
      System.out.printf(
          Locale.ROOT,
          "start of the process to painted window: %.2f s; without the archive of classes: %.2f s%n",
          shared,
          plain);
    } else {
      System.out.println("no display: the start-up time of the window was not measured");
    }
  }

  private static List<String> modules(Path jar) {
    String found =
        tool(
            "jdeps",
            "--multi-release",
            "17",
            "--ignore-missing-deps",
            "--print-module-deps",
            jar.toString());
    List<String> modules = new ArrayList<>(Arrays.asList(found.strip().split(",")));
    BESIDES.stream().filter(m -> !modules.contains(m)).forEach(modules::add);
    return modules;
  }

  /** The program draws its own icon. */
  private Path icon(Path jar) throws Exception {
    Path icon = work.resolve(windows ? "ringtrue.ico" : mac ? "ringtrue.icns" : "ringtrue.png");
    run(
        List.of(
            currentJava(),
            "-Djava.awt.headless=true",
            "-cp",
            compiled("IconFile", jar),
            "IconFile",
            icon.toString()),
        60);
    return icon;
  }

  /** Compiles a source file that lies beside this one; gives a class path that it runs with. */
  private String compiled(String name, Path jar) throws IOException {
    Path classes = Files.createDirectories(work.resolve(name));
    tool(
        "javac",
        "-cp",
        jar.toString(),
        "-d",
        classes.toString(),
        Path.of("src", "installer", name + ".java").toString());
    return jar + File.pathSeparator + classes;
  }

  private static String currentJava() {
    return Path.of(System.getProperty("java.home"), "bin", "java").toString();
  }

  /** Lists the classes that a start and a walk through the window load, and archives them. */
  private void archive(Path java, Path jar) throws Exception {
    Path list = work.resolve("classes.txt");
    run(
        List.of(
            java.toString(),
            "-XX:DumpLoadedClassList=" + list,
            "-cp",
            compiled("Walk", jar),
            "Walk",
            work.resolve("walk-home").toString()),
        120);
    run(
        List.of(
            java.toString(),
            "-Xshare:dump",
            "-XX:SharedClassListFile=" + list,
            "-XX:SharedArchiveFile=" + jar.resolveSibling(ARCHIVE),
            "-cp",
            jar.toString()),
        300);
  }

  /** Seconds from the start of the process to its first painted window; the best of three. */
  private double start(Path launcher) throws Exception {
    double best = Double.POSITIVE_INFINITY;
    for (int i = 0; i < 3; i++) {
      Path told = work.resolve("started-" + i);
      Files.deleteIfExists(told);
      ProcessBuilder builder = new ProcessBuilder(launcher.toString());
      builder.environment().put("RINGTRUE_HOME", work.resolve("start-home").toString());
      builder.environment().put("RINGTRUE_STARTED", told.toString());
      long from = System.currentTimeMillis();
      Process process = builder.start();
      for (int wait = 0; wait < 600 && !Files.exists(told) && process.isAlive(); wait++) {
        Thread.sleep(50);
      }
      Thread.sleep(300);
      process.descendants().forEach(ProcessHandle::destroy);
      process.destroy();
      process.waitFor(10, TimeUnit.SECONDS);
      if (!Files.exists(told)) {
        throw new IllegalStateException("the image's window did not open");
      }
      best = Math.min(best, (Long.parseLong(Files.readString(told).strip()) - from) / 1e3);
    }
    return best;
  }

  private static String tool(String name, String... args) {
    StringWriter out = new StringWriter();
    StringWriter err = new StringWriter();
    ToolProvider tool =
        ToolProvider.findFirst(name)
            .orElseThrow(() -> new IllegalStateException("this Java has no " + name));
    int code = tool.run(new PrintWriter(out), new PrintWriter(err), args);
    if (code != 0) {
      throw new IllegalStateException(name + " failed: " + out + err);
    }
    return out.toString();
  }

  private void run(List<String> command, int seconds) throws Exception {
    Process process =
        new ProcessBuilder(command)
            .redirectErrorStream(true)
            .redirectOutput(work.resolve("log.txt").toFile())
            .start();
    if (!process.waitFor(seconds, TimeUnit.SECONDS)) {
      process.destroyForcibly();
      throw new IllegalStateException("took too long: " + String.join(" ", command));
    }
    if (process.exitValue() != 0) {
      throw new IllegalStateException(
          String.join(" ", command) + " failed: " + Files.readString(work.resolve("log.txt")));
    }
  }

  private static Path find(Path in, String name) throws IOException {
    try (Stream<Path> all = Files.walk(in)) {
      return all.filter(Files::isRegularFile)
          .filter(p -> p.getFileName().toString().equals(name))
          .findFirst()
          .orElseThrow(() -> new IllegalStateException("the image has no " + name));
    }
  }

  private static long size(Path in) throws IOException {
    try (Stream<Path> all = Files.walk(in)) {
      return all.filter(Files::isRegularFile).mapToLong(p -> p.toFile().length()).sum();
    }
  }

  private static void remove(Path folder) throws IOException {
    if (Files.exists(folder)) {
      try (Stream<Path> all = Files.walk(folder)) {
        for (Path each : all.sorted(Comparator.reverseOrder()).toList()) {
          Files.delete(each);
        }
      }
    }
  }
}

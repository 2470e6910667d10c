package ringtrue.ui.shell;

import java.awt.Font;
import java.io.IOException;
import java.lang.reflect.Field;
import java.lang.reflect.Method;
import java.net.URI;
import java.net.URISyntaxException;
import java.nio.file.FileSystem;
import java.nio.file.FileSystems;
import java.nio.file.Files;
import java.nio.file.Path;
import java.text.DecimalFormat;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Collections;
import java.util.Deque;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.stream.Stream;
import javax.swing.UIManager;
import javax.swing.plaf.metal.MetalLookAndFeel;
import ringtrue.ui.help.HelpWindow;
import ringtrue.ui.plot.Rehearsal;

/**
 * Loads in the background what the window will need: the classes of this program's window, those
 * that they name, and those with which the look draws; then paints plots where nobody sees them. No
 * component is made here. Without it the event thread would load the classes one by one when a
 * stage is opened first.
 */
final class Warmth {
  /** What is taken in where a class of the window names it. */
  private static final List<String> TAKEN =
      List.of("ringtrue.", "javax.swing.", "com.formdev.flatlaf.", "net.miginfocom.", "sun.swing.");

  private static final String OWN = "ringtrue.ui.";

  /** How often each is painted. */
  private static final int PAINTED = 6;

  private static final AtomicBoolean BEGUN = new AtomicBoolean();
  private static final CountDownLatch DONE = new CountDownLatch(1);

  private final Set<String> seen = new HashSet<>();
  private final Deque<Class<?>> toFollow = new ArrayDeque<>();

  private Warmth() {}

  /**
   * Begins, the first time that it is asked for.
   *
   * @param then told when all is loaded, not on the event thread
   */
  static void begin(Runnable then) {
    boolean first = BEGUN.compareAndSet(false, true);
    Font font = UIManager.getFont("Label.font");
    Thread thread =
        new Thread(
            () -> {
              if (first) {
                try {
                  new Warmth().load();
                } catch (RuntimeException e) {
                  // then they are loaded when they are needed
                }
                DONE.countDown();
              }
              await();
              then.run();
              if (first) {
                new DecimalFormat().format(0.5); // as fields for numbers do
                new MetalLookAndFeel().getDefaults(); // which the look asks for a file's dialog
                Rehearsal.run(font, PAINTED);
                HelpWindow.rehearse();
              }
            },
            "loading");
    thread.setDaemon(true);
    thread.setPriority(Thread.MIN_PRIORITY);
    thread.start();
  }

  private static void await() {
    try {
      DONE.await();
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }

  void load() {
    own().forEach(this::take);
    for (Object key : Collections.list(UIManager.getLookAndFeelDefaults().keys())) {
      if (key.toString().endsWith("UI") && UIManager.get(key) instanceof String name) {
        take(name);
      }
    }
    while (!toFollow.isEmpty()) {
      follow(toFollow.poll());
    }
  }

  /** The names of all classes of the window, from where this one comes from. */
  private static List<String> own() {
    try {
      URI place = Warmth.class.getProtectionDomain().getCodeSource().getLocation().toURI();
      Path path = Path.of(place);
      if (Files.isDirectory(path)) {
        return names(path);
      }
      try (FileSystem jar = FileSystems.newFileSystem(path)) {
        return names(jar.getPath("/"));
      }
    } catch (IOException | URISyntaxException | RuntimeException e) {
      return Collections.emptyList(); // then they are loaded when they are needed
    }
  }

  private static List<String> names(Path root) throws IOException {
    Path from = root.resolve(OWN.replace('.', '/'));
    List<String> names = new ArrayList<>();
    try (Stream<Path> all = Files.walk(from)) {
      for (Path each : (Iterable<Path>) all::iterator) {
        String name = root.relativize(each).toString().replace('\\', '/');
        if (name.endsWith(".class") && !name.endsWith("-info.class")) {
          names.add(name.substring(0, name.length() - ".class".length()).replace('/', '.'));
        }
      }
    }
    return names;
  }

  private void take(String name) {
    if (!seen.add(name)) {
      return;
    }
    try {
      toFollow.add(Class.forName(name, true, Warmth.class.getClassLoader()));
    } catch (ClassNotFoundException | LinkageError e) {
      return; // it complains where it is needed, if ever
    }
  }

  /** Takes in what a class names. */
  private void follow(Class<?> from) {
    boolean own = from.getName().startsWith(OWN);
    try {
      for (Class<?> inner : from.getDeclaredClasses()) {
        named(inner);
      }
      if (from.getSuperclass() != null) {
        named(from.getSuperclass());
      }
      if (own) {
        for (Field each : from.getDeclaredFields()) {
          named(each.getType());
        }
        for (Method each : from.getDeclaredMethods()) {
          named(each.getReturnType());
          for (Class<?> type : each.getParameterTypes()) {
            named(type);
          }
        }
      }
    } catch (LinkageError e) {
      return; // it complains where it is needed, if ever
    }
  }

  private void named(Class<?> type) {
    if (TAKEN.stream().anyMatch(type.getName()::startsWith)) {
      take(type.getName());
    }
  }
}

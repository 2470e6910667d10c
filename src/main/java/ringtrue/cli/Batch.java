package ringtrue.cli;

import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.DirectoryStream;
import java.nio.file.Files;
import java.nio.file.InvalidPathException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.regex.Pattern;
import java.util.regex.PatternSyntaxException;
import ringtrue.dynamics.Progress;
import ringtrue.units.BadInputException;

/**
 * One command on many files: each by itself, so that a bad one does not stop the others.
 *
 * @param <R> what comes out of a file
 */
final class Batch<R> {
  private static final int LONGEST_REMARK = 160;

  /** Words of remarks that put a result in doubt, the gravest first. */
  private static final List<Pattern> GRAVE =
      List.of(
          Pattern.compile("swapped|polarity|does not match|do not match|contradict|wrong"),
          Pattern.compile("no mode|not found|cannot|could not|overload|clipp"),
          Pattern.compile("too |outside|left out|cut off|unknown|heavy|less than|few"),
          Pattern.compile("not |differ|may "));

  /**
   * A file and what came of it.
   *
   * @param result nothing where the file failed
   * @param problem why it failed; empty where it did not
   */
  record Entry<R>(Path file, Optional<R> result, String problem) {}

  /** What is done with a file. */
  @FunctionalInterface
  interface Job<R> {
    /**
     * @param number which of the files it is, from 0
     */
    R of(Path file, int number, Progress progress);
  }

  private final List<Entry<R>> entries;

  private Batch(List<Entry<R>> entries) {
    this.entries = entries;
  }

  /** Does it with every file, telling how far it is. */
  static <R> Batch<R> run(List<Path> files, PrintWriter err, Job<R> job) {
    List<Entry<R>> entries = new ArrayList<>();
    try (TerminalProgress terminal = new TerminalProgress(err)) {
      for (int i = 0; i < files.size(); i++) {
        Path file = files.get(i);
        int number = i;
        Progress progress =
            (done, what) ->
                terminal.at(
                    (number + Math.max(0, Math.min(1, done))) / files.size(),
                    (number + 1) + " of " + files.size() + ", " + file.getFileName() + ": " + what);
        progress.at(0, "reading");
        try {
          entries.add(new Entry<>(file, Optional.of(job.of(file, i, progress)), ""));
        } catch (BadInputException e) {
          entries.add(new Entry<>(file, Optional.empty(), Places.named(file, e).getMessage()));
        }
      }
    }
    return new Batch<>(List.copyOf(entries));
  }

  List<Entry<R>> entries() {
    return entries;
  }

  /** Writes all as one list; each entry has {@code file}, and {@code problem} where it failed. */
  void json(PrintWriter out, String name, JsonOut.Item<R> content) {
    JsonOut.write(
        out,
        o ->
            o.put("files", (long) entries.size())
                .put("failed", (long) failed().size())
                .objects(
                    name,
                    entries,
                    (item, entry) -> {
                      item.put("file", entry.file.toString());
                      if (entry.result.isEmpty()) {
                        item.put("problem", entry.problem);
                      } else {
                        content.into(item, entry.result.get());
                      }
                    }));
  }

  /** What a result comes to, for the summary. */
  interface InWords<R> {
    String of(R result);
  }

  /** What is to be known about a result. */
  interface Remarks<R> {
    List<String> of(R result);
  }

  /** Prints a line for each file, with its gravest remark below. */
  void summary(Command command, String what, String columns, InWords<R> words, Remarks<R> remarks) {
    int width = entries.stream().mapToInt(e -> e.file.toString().length()).max().orElse(0);
    String row = "%-" + Math.max(16, Math.min(60, width)) + "s  %s";
    command.say(row, what, columns);
    for (Entry<R> entry : entries) {
      command.say(row, entry.file, entry.result.map(words::of).orElse("FAILED: " + entry.problem));
      List<String> all = entry.result.map(remarks::of).orElse(List.of());
      String more = all.size() == 1 ? "" : " (and " + (all.size() - 1) + " more)";
      worst(all).ifPresent(remark -> command.say("    %s%s", shortened(remark), more));
    }
    command.say("");
    command.say(
        "%d %s, %d failed",
        entries.size(), entries.size() == 1 ? "file" : "files", failed().size());
  }

  /** Says what failed and gives the exit code. */
  int finish(PrintWriter err) {
    for (Entry<R> entry : failed()) {
      err.println("ringtrue: " + entry.problem.replaceAll("\\s*[\\r\\n]+\\s*", " "));
    }
    return failed().isEmpty() ? Ringtrue.DONE : Ringtrue.BAD_INPUT;
  }

  private List<Entry<R>> failed() {
    return entries.stream().filter(e -> e.result.isEmpty()).toList();
  }

  /**
   * The remark that puts a result in doubt most, by its words; the first of those that are equally
   * grave. Nothing where all only tell how it was done.
   */
  static Optional<String> worst(List<String> remarks) {
    for (Pattern grave : GRAVE) {
      for (String remark : remarks) {
        if (grave.matcher(remark.toLowerCase(Locale.ROOT)).find()) {
          return Optional.of(remark);
        }
      }
    }
    return Optional.empty();
  }

  private static String shortened(String remark) {
    if (remark.length() <= LONGEST_REMARK) {
      return remark;
    }
    int end = remark.lastIndexOf(' ', LONGEST_REMARK);
    return remark.substring(0, end > 0 ? end : LONGEST_REMARK) + " …";
  }

  // Names -----------------------------------------------------------------------------------------

  /**
   * Files as they were named; {@code *} and {@code ?} in a file's name are looked up where the
   * shell has not done so.
   *
   * @throws BadInputException if nothing fits a name with them
   */
  static List<Path> files(List<String> named) {
    List<Path> all = new ArrayList<>();
    for (String name : named) {
      if (name.matches(".*[*?].*") && !there(name)) {
        fitting(name).stream().filter(f -> !all.contains(f)).forEach(all::add);
      } else {
        all.add(path(name));
      }
    }
    return List.copyOf(all);
  }

  private static boolean there(String name) {
    try {
      return Files.exists(Path.of(name));
    } catch (InvalidPathException e) {
      return false;
    }
  }

  private static Path path(String name) {
    try {
      return Path.of(name);
    } catch (InvalidPathException e) {
      throw new BadInputException("\"" + name + "\" is not a file name: " + e.getReason(), e);
    }
  }

  private static List<Path> fitting(String name) {
    int cut = Math.max(name.lastIndexOf('/'), name.lastIndexOf(java.io.File.separatorChar));
    String inFolder = cut < 0 ? "" : name.substring(0, cut + 1);
    if (inFolder.matches(".*[*?].*")) {
      throw new BadInputException(
          "\"" + name + "\": * and ? may stand in the file's name only, not in its folder's");
    }
    Path folder = path(inFolder.isEmpty() ? "." : inFolder);
    List<Path> found = new ArrayList<>();
    try (DirectoryStream<Path> there =
        Files.newDirectoryStream(folder, glob(name.substring(cut + 1)))) {
      for (Path file : there) {
        if (Files.isRegularFile(file)) {
          found.add(inFolder.isEmpty() ? file.getFileName() : file);
        }
      }
    } catch (IOException | PatternSyntaxException e) {
      throw new BadInputException("\"" + name + "\": the folder cannot be read", e);
    }
    if (found.isEmpty()) {
      throw new BadInputException("\"" + name + "\": no file fits that name");
    }
    found.sort(null);
    return found;
  }

  /** Only the two signs that every shell knows. */
  private static String glob(String name) {
    return name.replaceAll("([\\[\\]{}\\\\])", "\\\\$1");
  }

  /**
   * A file in a folder for each input, none twice: inputs of one name get their number, and a
   * number that makes another's name the next free one.
   *
   * @param folder where to; null for nowhere
   * @return one name for each input; nulls where the folder is
   */
  static List<Path> outputs(Path folder, List<Path> files, String ending) {
    List<Path> names = new ArrayList<>();
    Map<String, Integer> times = new HashMap<>();
    for (Path file : files) {
      times.merge(key(stem(file)), 1, Integer::sum);
    }
    Set<String> taken = new LinkedHashSet<>();
    times.forEach(
        (stem, n) -> {
          if (n == 1) {
            taken.add(stem);
          }
        });
    for (int i = 0; i < files.size(); i++) {
      String stem = stem(files.get(i));
      String name = stem;
      if (times.get(key(stem)) > 1) {
        name = stem + "-" + (i + 1);
        for (int more = 2; !taken.add(key(name)); more++) {
          name = stem + "-" + (i + 1) + "-" + more;
        }
      }
      names.add(folder == null ? null : folder.resolve(name + ending));
    }
    return names;
  }

  /** Some file systems do not tell large letters from small. */
  private static String key(String stem) {
    return stem.toLowerCase(Locale.ROOT);
  }

  private static String stem(Path file) {
    return file.getFileName().toString().replaceAll("(?i)\\.(json|csv|unv|uff|uf58|u58)$", "");
  }

  /** Refuses a place that is a file where a folder is needed. */
  static void requireFolder(String option, Path folder) {
    if (folder != null && Files.exists(folder) && !Files.isDirectory(folder)) {
      throw new BadInputException(
          option + ": " + folder + ": is a file; with several files a folder is needed");
    }
  }
}

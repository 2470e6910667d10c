package ringtrue.ui.job;

import java.io.IOException;
import java.nio.channels.FileChannel;
import java.nio.channels.FileLock;
import java.nio.channels.OverlappingFileLockException;
import java.nio.file.DirectoryStream;
import java.nio.file.FileAlreadyExistsException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.time.Instant;
import java.time.LocalDateTime;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.stream.Stream;
import ringtrue.library.SafeFile;
import ringtrue.units.BadInputException;

/**
 * The folder of a job: {@code job.json}, measurement files and recordings. Whoever works on it
 * holds its lock; a lock that nobody holds beside a mark of work going on tells of a program that
 * was killed.
 */
public final class JobFolder implements AutoCloseable {
  private static final String JOB = "job.json";
  private static final String LOCK = "in-use";
  private static final String BIN = ".bin";
  private static final DateTimeFormatter NAME =
      DateTimeFormatter.ofPattern("yyyyMMdd-HHmmss", Locale.ROOT);

  private final Path folder;
  private final FileChannel channel;
  private final FileLock lock;

  /**
   * A job that lies in its folder.
   *
   * @param folder its folder
   * @param job what it is
   * @param changed when any of its files was written last
   * @param brokenOff whether the program that worked on it did not end in order
   */
  public record Found(Path folder, Job job, Instant changed, boolean brokenOff, boolean inUse) {}

  private JobFolder(Path folder, FileChannel channel, FileLock lock) {
    this.folder = folder;
    this.channel = channel;
    this.lock = lock;
  }

  /**
   * A new folder for a job.
   *
   * @param root where jobs lie
   * @throws BadInputException if none can be made there
   */
  public static JobFolder create(Path root) {
    try {
      Files.createDirectories(root);
      String name = LocalDateTime.now().format(NAME);
      for (int i = 1; ; i++) {
        Path folder = root.resolve(i == 1 ? name : name + "-" + i);
        try {
          Files.createDirectory(folder);
          return open(folder);
        } catch (FileAlreadyExistsException e) {
          continue; // begun in the same second
        }
      }
    } catch (IOException e) {
      throw new BadInputException(root + ": no folder can be made there: " + e.getMessage(), e);
    }
  }

  /**
   * Takes a folder into work.
   *
   * @throws BadInputException if another window works on it, or it cannot be written to
   */
  public static JobFolder open(Path folder) {
    try {
      FileChannel channel =
          FileChannel.open(
              folder.resolve(LOCK), StandardOpenOption.CREATE, StandardOpenOption.WRITE);
      FileLock lock = tryLock(channel);
      if (lock == null) {
        channel.close();
        throw new BadInputException(
            folder.getFileName() + ": another window works on this one already");
      }
      return new JobFolder(folder, channel, lock);
    } catch (IOException e) {
      throw new BadInputException(folder + ": cannot be opened: " + e.getMessage(), e);
    }
  }

  private static FileLock tryLock(FileChannel channel) throws IOException {
    try {
      return channel.tryLock();
    } catch (OverlappingFileLockException e) {
      return null; // held in this very process
    }
  }

  /** Where its files lie. */
  public Path path() {
    return folder;
  }

  /** A file of it. */
  public Path file(String name) {
    return folder.resolve(name);
  }

  /**
   * A name that is still free, like {@code tool-x.json}, {@code tool-x-2.json}.
   *
   * @param base name without ending
   * @param endings endings that must all be free
   */
  public String freeName(String base, String... endings) {
    for (int i = 1; ; i++) {
      String name = i == 1 ? base : base + "-" + i;
      if (Stream.of(endings).noneMatch(e -> Files.exists(folder.resolve(name + e)))) {
        return name;
      }
    }
  }

  /** Writes what the job is. */
  public void write(Job job) {
    SafeFile.writeText(folder.resolve(JOB), true, JobFile.toText(job));
  }

  /**
   * Jobs of a folder that nobody works on, the newest first. Those without anything are left out.
   */
  public static List<Found> in(Path root) {
    List<Found> all = new ArrayList<>();
    if (!Files.isDirectory(root)) {
      return all;
    }
    try (DirectoryStream<Path> folders = Files.newDirectoryStream(root, Files::isDirectory)) {
      for (Path each : folders) {
        read(each, all);
      }
    } catch (IOException e) {
      throw new BadInputException(root + ": cannot be listed: " + e.getMessage(), e);
    }
    all.sort(Comparator.comparing(Found::changed).reversed());
    return all;
  }

  /** Jobs of a folder that cannot be read, a sentence each. */
  public static List<String> damaged(Path root) {
    List<String> all = new ArrayList<>();
    try (Stream<Path> folders = Files.isDirectory(root) ? Files.list(root) : Stream.empty()) {
      for (Path each : folders.filter(f -> Files.isRegularFile(f.resolve(JOB))).sorted().toList()) {
        try {
          job(each);
        } catch (BadInputException e) {
          all.add(each + ": " + e.getMessage());
        }
      }
    } catch (IOException e) {
      throw new BadInputException(root + ": cannot be listed: " + e.getMessage(), e);
    }
    return all;
  }

  private static void read(Path folder, List<Found> into) {
    Path file = folder.resolve(JOB);
    try {
      if (!Files.exists(file)) {
        return;
      }
      boolean brokenOff = Files.exists(folder.resolve(LOCK));
      boolean inUse = brokenOff && isInUse(folder);
      Job job = JobFile.ofText(Files.readString(file));
      if (!job.isEmpty()) {
        into.add(new Found(folder, job, changed(folder), brokenOff && !inUse, inUse));
      }
    } catch (IOException | BadInputException e) {
      return; // nothing that could be offered
    }
  }

  private static boolean isInUse(Path folder) throws IOException {
    try {
      open(folder).release();
      return false;
    } catch (BadInputException e) {
      return true;
    }
  }

  /** When any of its files was written last. */
  private static Instant changed(Path folder) throws IOException {
    Instant newest = Instant.EPOCH;
    try (DirectoryStream<Path> files = Files.newDirectoryStream(folder)) {
      for (Path each : files) {
        Instant its = Files.getLastModifiedTime(each).toInstant();
        if (its.isAfter(newest) && !each.endsWith(LOCK)) {
          newest = its;
        }
      }
    }
    return newest;
  }

  /** Reads the job of a folder. */
  public static Job job(Path folder) {
    try {
      return JobFile.ofText(Files.readString(folder.resolve(JOB)));
    } catch (IOException e) {
      throw new BadInputException(folder + ": holds no job: " + e.getMessage(), e);
    }
  }

  /** Removes a folder of this kind with all that is in it. */
  public static void remove(Path folder) {
    try (Stream<Path> all = Files.walk(folder)) {
      for (Path each : all.sorted(Comparator.reverseOrder()).toList()) {
        Files.delete(each);
      }
    } catch (IOException e) {
      throw new BadInputException(folder + ": cannot be removed: " + e.getMessage(), e);
    }
  }

  /**
   * Moves a job's folder to the bin beside it, from which {@link #fromBin} brings it back.
   *
   * @return where it lies then
   * @throws BadInputException if another window works on it, or it cannot be moved
   */
  public static Path toBin(Path folder) {
    open(folder).close();
    return move(folder, folder.resolveSibling(BIN));
  }

  /** Brings a job's folder back from the bin. */
  public static Path fromBin(Path binned) {
    return move(binned, binned.getParent().getParent());
  }

  private static Path move(Path folder, Path into) {
    try {
      Files.createDirectories(into);
      String name = folder.getFileName().toString();
      for (int i = 1; ; i++) {
        Path to = into.resolve(i == 1 ? name : name + "-" + i);
        if (!Files.exists(to)) {
          return Files.move(folder, to);
        }
      }
    } catch (IOException e) {
      throw new BadInputException(folder + ": cannot be moved: " + e.getMessage(), e);
    }
  }

  private void release() throws IOException {
    lock.release();
    channel.close();
  }

  /** Ends work in order: the mark of work going on goes. */
  @Override
  public void close() {
    try {
      Files.deleteIfExists(folder.resolve(LOCK));
      release();
    } catch (IOException e) {
      throw new BadInputException(folder + ": cannot be closed: " + e.getMessage(), e);
    }
  }
}

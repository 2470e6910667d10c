package ringtrue.library;

import java.io.IOException;
import java.nio.channels.FileChannel;
import java.nio.channels.FileLock;
import java.nio.charset.StandardCharsets;
import java.nio.file.FileAlreadyExistsException;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.Map;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.locks.ReentrantLock;
import ringtrue.units.BadInputException;

/**
 * Keeps others from changing the same description while it is read, changed and written.
 *
 * <p>Two locks in one: the system's own lock of a file, which ends with the process that holds it,
 * and a file that only one can make, for shares where the former does not reach other machines. The
 * file names its maker; it is taken over when that process is dead, or, if it belongs to another
 * machine, when it has stood for a minute by the share's own clock. Changes take milliseconds.
 */
final class LibraryLock implements AutoCloseable {
  private static final long STALE_MS = 60_000;
  private static final long PATIENCE_MS = 90_000;
  private static final long LOOK_AGAIN_MS = 15;
  private static final Map<Path, ReentrantLock> IN_THIS_PROCESS = new ConcurrentHashMap<>();
  static final String FILE = ".lock";
  static final String OWNER = ".lock-owner";

  private final Path owner;
  private final ReentrantLock own;
  private final FileChannel channel;
  private final String content;

  private LibraryLock(Path owner, ReentrantLock own, FileChannel channel, String content) {
    this.owner = owner;
    this.own = own;
    this.channel = channel;
    this.content = content;
  }

  /**
   * Waits for its turn.
   *
   * @param root the library's folder
   * @throws BadInputException if another one holds it for too long
   */
  static LibraryLock of(Path root) throws IOException {
    return of(root, PATIENCE_MS, STALE_MS);
  }

  static LibraryLock of(Path root, long patienceMs, long staleMs) throws IOException {
    long end = System.nanoTime() + TimeUnit.MILLISECONDS.toNanos(patienceMs);
    ReentrantLock own =
        IN_THIS_PROCESS.computeIfAbsent(root.toRealPath(), r -> new ReentrantLock(true));
    try {
      if (!own.tryLock(patienceMs, TimeUnit.MILLISECONDS)) {
        throw taken(root);
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw new BadInputException(root + ": stopped while waiting for another writer", e);
    }
    FileChannel channel = null;
    try {
      channel =
          FileChannel.open(root.resolve(FILE), StandardOpenOption.CREATE, StandardOpenOption.WRITE);
      boolean bySystem = bySystem(channel, end, root);
      String content = Writer.self().mark() + " " + SetUpId.ending(12) + "\n";
      Path owner = root.resolve(OWNER);
      while (!made(owner, content)) {
        takeOver(root, owner, bySystem, staleMs);
        if (System.nanoTime() > end) {
          throw taken(root);
        }
        pause(root);
      }
      return new LibraryLock(owner, own, channel, content);
    } catch (IOException | RuntimeException e) {
      if (channel != null) {
        channel.close();
      }
      own.unlock();
      throw e;
    }
  }

  /** Whether the system's lock could be had; false where the file system knows none. */
  private static boolean bySystem(FileChannel channel, long end, Path root) {
    while (true) {
      try {
        FileLock lock = channel.tryLock();
        if (lock != null) {
          return true;
        }
      } catch (IOException e) {
        return false;
      }
      if (System.nanoTime() > end) {
        throw taken(root);
      }
      pause(root);
    }
  }

  private static boolean made(Path owner, String content) throws IOException {
    try {
      Files.write(
          owner,
          content.getBytes(StandardCharsets.UTF_8),
          StandardOpenOption.CREATE_NEW,
          StandardOpenOption.WRITE);
      return true;
    } catch (FileAlreadyExistsException e) {
      return false;
    }
  }

  /** Moves the mark of a dead owner out of the way. */
  private static void takeOver(Path root, Path owner, boolean bySystem, long staleMs)
      throws IOException {
    String held;
    long made;
    try {
      held = Files.readString(owner);
      made = Files.getLastModifiedTime(owner).toMillis();
    } catch (NoSuchFileException e) {
      return;
    }
    String mark = held.split(" ", 2)[0];
    boolean ofThisPlace = mark.startsWith(Writer.self().place() + ".");
    // who holds the system's lock here while the mark is of this place: its maker is gone
    boolean dead = ofThisPlace && (bySystem || Writer.isDead(mark));
    if (!dead && shareClock(root) - made < staleMs) {
      return;
    }
    Path aside = root.resolve(SetUpFolder.WRITING + Writer.self().mark() + "-" + SetUpId.ending(8));
    try {
      Files.move(owner, aside);
    } catch (NoSuchFileException e) {
      return; // another one was quicker
    }
    String moved = Files.readString(aside);
    if (!moved.equals(held)) {
      // it had been taken over in between, and this is the new one's
      made(owner, moved);
    }
    Files.deleteIfExists(aside);
  }

  /** What time it is on the machine that keeps the files. */
  private static long shareClock(Path root) throws IOException {
    Path now = root.resolve(SetUpFolder.WRITING + Writer.self().mark() + "-" + SetUpId.ending(8));
    try {
      Files.write(now, new byte[0]);
      return Files.getLastModifiedTime(now).toMillis();
    } finally {
      Files.deleteIfExists(now);
    }
  }

  /** Whether it still is ours; asked right before what counts. */
  boolean isHeld() throws IOException {
    try {
      return Files.readString(owner).equals(content);
    } catch (NoSuchFileException e) {
      return false;
    }
  }

  private static void pause(Path root) {
    try {
      Thread.sleep(LOOK_AGAIN_MS);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw new BadInputException(root + ": stopped while waiting for another writer", e);
    }
  }

  private static BadInputException taken(Path root) {
    return new BadInputException(
        root + ": another program has been changing the library for too long; try again later");
  }

  @Override
  public void close() throws IOException {
    try (channel) {
      if (isHeld()) {
        Files.deleteIfExists(owner);
      }
    } finally {
      own.unlock();
    }
  }
}

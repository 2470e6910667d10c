package ringtrue.library;

import java.io.BufferedOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.channels.Channels;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.AtomicMoveNotSupportedException;
import java.nio.file.FileAlreadyExistsException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.StandardOpenOption;
import ringtrue.units.BadInputException;

/** Writes a file whole or not at all, and never over another one unless asked. */
public final class SafeFile {
  private SafeFile() {}

  /** What fills the file. */
  @FunctionalInterface
  public interface Content {
    void writeTo(OutputStream out) throws IOException;
  }

  /**
   * Writes text as UTF-8.
   *
   * @see #write(Path, boolean, Content)
   */
  public static void writeText(Path file, boolean overwrite, String text) {
    write(file, overwrite, out -> out.write(text.getBytes(StandardCharsets.UTF_8)));
  }

  /**
   * Writes to a temporary file in the same folder, forces it to disk and gives it its name, which
   * is forced to disk as well.
   *
   * @param file where to; missing folders are made
   * @param overwrite whether a file that is there may be replaced
   * @throws BadInputException if there is one and it may not be replaced, or if it cannot be
   *     written
   */
  public static void write(Path file, boolean overwrite, Content content) {
    refuseExisting(file, overwrite);
    Path folder = file.toAbsolutePath().getParent();
    Path temporary = null;
    try {
      makeFolder(folder);
      temporary = Files.createTempFile(folder, ".writing-", ".part");
      temporary.toFile().deleteOnExit(); // where the program is stopped half-way
      try (FileChannel channel = FileChannel.open(temporary, StandardOpenOption.WRITE)) {
        OutputStream out = new BufferedOutputStream(Channels.newOutputStream(channel), 1 << 16);
        content.writeTo(out);
        out.flush();
        channel.force(true);
      }
      makeReadable(temporary);
      if (overwrite) {
        replace(temporary, file);
      } else {
        placeNew(temporary, file);
      }
      Disk.syncFolder(folder);
    } catch (FileAlreadyExistsException e) {
      throw new BadInputException(
          file + ": is there already; add --overwrite to replace it, or choose another name", e);
    } catch (IOException e) {
      throw new BadInputException(file + ": cannot be written: " + reason(e), e);
    } finally {
      discard(temporary);
    }
  }

  private static void makeFolder(Path folder) {
    try {
      Files.createDirectories(folder);
    } catch (FileAlreadyExistsException e) {
      throw new BadInputException(folder + ": is a file; a folder is needed there", e);
    } catch (IOException e) {
      throw new BadInputException(folder + ": cannot be made: " + reason(e), e);
    }
  }

  /** Complains early, before long work, if a file is there that may not be replaced. */
  public static void refuseExisting(Path file, boolean overwrite) {
    if (Files.isDirectory(file)) {
      throw new BadInputException(file + ": is a folder; a file name is needed");
    }
    if (Files.exists(file) && !Files.isRegularFile(file)) {
      throw new BadInputException(file + ": is a device, not a file; a file name is needed");
    }
    if (!overwrite && Files.exists(file)) {
      throw new BadInputException(
          file + ": is there already; add --overwrite to replace it, or choose another name");
    }
  }

  /**
   * Complains early, before long work, if nothing can be written where a file is to go. It tries:
   * what a file system says of permissions is not always what it does. Where the folder is not
   * there yet, whether one can be made in the nearest that is. Nothing is left behind.
   *
   * @throws BadInputException if nothing can be written there
   */
  public static void requireWritable(Path file) {
    Path folder = file.toAbsolutePath().getParent();
    Path there = folder;
    while (there != null && !Files.exists(there)) {
      there = there.getParent();
    }
    if (there == null) {
      throw new BadInputException(file + ": cannot be written: there is no such drive or folder");
    }
    if (!Files.isDirectory(there)) {
      throw new BadInputException(there + ": is a file; a folder is needed there");
    }
    Path trial = null;
    try {
      trial =
          there.equals(folder)
              ? Files.createTempFile(there, ".writing-", ".part")
              : Files.createTempDirectory(there, ".writing-");
    } catch (IOException e) {
      throw new BadInputException(file + ": cannot be written: " + reason(e), e);
    } finally {
      discard(trial);
    }
  }

  /**
   * Gives a new file its name unless somebody took it meanwhile: a plain move looks first and moves
   * then, and could replace what came in between; making a link cannot.
   */
  private static void placeNew(Path temporary, Path file) throws IOException {
    try {
      Files.createLink(file, temporary);
    } catch (FileAlreadyExistsException e) {
      throw e;
    } catch (IOException | UnsupportedOperationException e) {
      Files.move(temporary, file); // not every file system has links
    }
  }

  private static void replace(Path temporary, Path file) throws IOException {
    try {
      Files.move(
          temporary, file, StandardCopyOption.ATOMIC_MOVE, StandardCopyOption.REPLACE_EXISTING);
    } catch (AtomicMoveNotSupportedException e) {
      Files.move(temporary, file, StandardCopyOption.REPLACE_EXISTING);
    }
  }

  /** Temporary files are private to their owner; a result is as readable as any new file. */
  private static void makeReadable(Path file) {
    file.toFile().setReadable(true, false);
  }

  private static void discard(Path temporary) {
    if (temporary != null) {
      try {
        Files.deleteIfExists(temporary);
      } catch (IOException e) {
        // nothing is lost by a left-over temporary file, and the first problem is the one to report
      }
    }
  }

  static String reason(IOException e) {
    if (e instanceof java.nio.file.AccessDeniedException) {
      return "no permission";
    }
    if (e instanceof java.nio.file.FileSystemException system && system.getReason() != null) {
      return system.getReason();
    }
    return e.getMessage() == null ? e.getClass().getSimpleName() : e.getMessage();
  }
}

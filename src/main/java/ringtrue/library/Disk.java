package ringtrue.library;

import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.nio.channels.Channels;
import java.nio.channels.FileChannel;
import java.nio.file.FileAlreadyExistsException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.StandardOpenOption;

/**
 * The few things that are done to a disk when something is kept for good: each is finished, and
 * outlasts a power cut, when its method returns.
 */
class Disk {
  /** The real one. */
  static final Disk REAL = new Disk();

  /** Writes a file that is not there yet. */
  void write(Path file, byte[] content) throws IOException {
    try (FileChannel channel =
        FileChannel.open(file, StandardOpenOption.CREATE_NEW, StandardOpenOption.WRITE)) {
      java.nio.ByteBuffer bytes = java.nio.ByteBuffer.wrap(content);
      while (bytes.hasRemaining()) {
        channel.write(bytes);
      }
      channel.force(true);
    }
  }

  /** Copies what a file holds to one that is not there yet. */
  void copy(Path from, Path to) throws IOException {
    try (InputStream in = Files.newInputStream(from);
        FileChannel channel =
            FileChannel.open(to, StandardOpenOption.CREATE_NEW, StandardOpenOption.WRITE)) {
      OutputStream out = Channels.newOutputStream(channel);
      in.transferTo(out);
      out.flush();
      channel.force(true);
    }
  }

  /** Makes a folder in one that is there; nothing happens if it is there already. */
  void makeFolder(Path folder) throws IOException {
    try {
      Files.createDirectory(folder);
      sync(folder.getParent());
    } catch (FileAlreadyExistsException e) {
      if (!Files.isDirectory(folder, java.nio.file.LinkOption.NOFOLLOW_LINKS)) {
        throw e;
      }
    }
  }

  /**
   * Gives a file or folder its place in one step. A file that is there is replaced, a folder that
   * is there and not empty is not.
   */
  void move(Path from, Path to) throws IOException {
    Files.move(from, to, StandardCopyOption.ATOMIC_MOVE);
    sync(to.getParent());
    if (!from.getParent().equals(to.getParent())) {
      sync(from.getParent());
    }
  }

  /** Deletes a file or an empty folder, if it is there. */
  void delete(Path what) throws IOException {
    Files.deleteIfExists(what);
  }

  /** Forces the names in a folder to the disk, where the system can. */
  void sync(Path folder) {
    syncFolder(folder);
  }

  static void syncFolder(Path folder) {
    try (FileChannel channel = FileChannel.open(folder, StandardOpenOption.READ)) {
      channel.force(true);
    } catch (IOException e) {
      // not every system opens folders; those that do not keep names by themselves
    }
  }
}

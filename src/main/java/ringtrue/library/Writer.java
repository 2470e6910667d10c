package ringtrue.library;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.HexFormat;
import java.util.Locale;

/**
 * Who writes: this process on this machine. Locks and unfinished work carry its mark, so that
 * others can tell whether it still lives.
 *
 * @param place stands for machine, start of the machine and process space: process numbers mean the
 *     same in equal places only
 * @param process number of the process
 */
record Writer(String place, long process) {
  private static final Writer SELF = new Writer(here(), ProcessHandle.current().pid());

  /** This process. */
  static Writer self() {
    return SELF;
  }

  /** Fit for a file name. */
  String mark() {
    return place + "." + process;
  }

  /**
   * Whether a mark belongs to a process of this place that is no more. Of other places nothing is
   * known.
   */
  static boolean isDead(String mark) {
    int dot = mark.indexOf('.');
    if (dot < 0 || !mark.substring(0, dot).equals(SELF.place)) {
      return false;
    }
    try {
      long process = Long.parseLong(mark.substring(dot + 1));
      return ProcessHandle.of(process).map(p -> !p.isAlive()).orElse(true);
    } catch (NumberFormatException e) {
      return false;
    }
  }

  private static String here() {
    StringBuilder text = new StringBuilder();
    for (String file : new String[] {"/proc/sys/kernel/random/boot_id", "/etc/hostname"}) {
      try {
        text.append(Files.readString(Path.of(file)));
      } catch (IOException e) {
        text.append('-');
      }
    }
    try {
      text.append(Files.readSymbolicLink(Path.of("/proc/self/ns/pid")));
    } catch (IOException | UnsupportedOperationException e) {
      text.append('-');
    }
    for (String name : new String[] {"COMPUTERNAME", "HOSTNAME"}) {
      text.append(System.getenv(name));
    }
    text.append(System.getProperty("user.name", "").toLowerCase(Locale.ROOT));
    return digest(text.toString().getBytes(StandardCharsets.UTF_8), 10);
  }

  /** The first digits of a digest (SHA-256), hexadecimal. */
  static String digest(byte[] content, int digits) {
    try {
      return HexFormat.of()
          .formatHex(MessageDigest.getInstance("SHA-256").digest(content))
          .substring(0, digits);
    } catch (NoSuchAlgorithmException e) {
      throw new IllegalStateException(e); // every Java has it
    }
  }
}

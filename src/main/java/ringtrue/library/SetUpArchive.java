package ringtrue.library;

import com.fasterxml.jackson.databind.json.JsonMapper;
import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.nio.channels.Channels;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.FileAlreadyExistsException;
import java.nio.file.FileVisitResult;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.nio.file.SimpleFileVisitor;
import java.nio.file.StandardOpenOption;
import java.nio.file.attribute.BasicFileAttributes;
import java.security.DigestInputStream;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.time.LocalDateTime;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashSet;
import java.util.HexFormat;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.zip.CRC32;
import java.util.zip.CheckedInputStream;
import java.util.zip.Deflater;
import java.util.zip.DeflaterInputStream;
import java.util.zip.ZipEntry;
import java.util.zip.ZipException;
import java.util.zip.ZipFile;
import java.util.zip.ZipOutputStream;
import ringtrue.dynamics.Progress;
import ringtrue.units.BadInputException;

/**
 * A set-up's folder as one zip file: first {@code ringtrue-archive.json} (format {@code
 * ringtrue-archive/1}) with name, length and SHA-256 of every file, then the files below {@code
 * set-up/}. The same folder always gives the same bytes.
 *
 * <p>Whatever an archive from outside holds, unpacking writes only below a folder of its own that
 * was not there before, only plain files of kinds that belong into a set-up, only what the list
 * announces, and nothing at all if anything is wrong.
 */
public final class SetUpArchive {
  private static final String LIST = "ringtrue-archive.json";
  private static final String FORMAT = "ringtrue-archive";
  private static final int VERSION = 1;
  private static final String BELOW = "set-up/";
  private static final int MOST_FILES = 10_000;
  private static final long MOST_BYTES = (4L << 30) - (64 << 20);
  private static final int LARGEST_LIST = 8 << 20;

  /** More than numbers as text ever shrink; what would shrink more is stored as it is. */
  private static final int MOST_RATIO = 100;

  private static final int SMALL = 1 << 16;
  private static final int BUFFER = 1 << 16;
  private static final LocalDateTime WHEN = LocalDateTime.of(1980, 1, 1, 0, 0);

  private SetUpArchive() {}

  /** A file as the list of an archive announces it. */
  private record Listed(long bytes, String sha256) {}

  /** A file before it is packed. */
  private record Seen(Path file, long bytes, long crc, String sha256, boolean deflate) {}

  // Packing ---------------------------------------------------------------------------------------

  /**
   * Packs a folder. Hidden files and files of kinds that do not belong into a set-up stay out.
   *
   * @param folder the set-up's folder
   * @param zip where to, outside of the folder; written whole or not at all
   * @param overwrite whether a file that is there may be replaced
   * @param progress told how far it is, and may stop it
   * @return names of files that stayed out because of their kind
   * @throws BadInputException if the folder cannot be packed or the file not written
   */
  public static List<String> pack(Path folder, Path zip, boolean overwrite, Progress progress) {
    SafeFile.refuseExisting(zip, overwrite);
    if (!Files.isDirectory(folder)) {
      throw new BadInputException(folder + ": is no folder of a set-up");
    }
    if (zip.toAbsolutePath().normalize().startsWith(folder.toAbsolutePath().normalize())) {
      throw new BadInputException(
          zip + ": lies in the folder that is packed; choose another place");
    }
    List<String> leftOut = new ArrayList<>();
    Map<String, Seen> files = new TreeMap<>();
    try {
      Map<String, Path> found = found(folder, leftOut);
      for (Map.Entry<String, Path> file : found.entrySet()) {
        progress.at(0.5 * files.size() / found.size(), "looking at files");
        files.put(file.getKey(), seen(file.getValue()));
      }
    } catch (IOException e) {
      throw new BadInputException(folder + ": cannot be read: " + words(e), e);
    }
    if (files.isEmpty()) {
      throw new BadInputException(folder + ": holds nothing that could be packed");
    }
    long total = files.values().stream().mapToLong(Seen::bytes).sum();
    if (files.size() > MOST_FILES || total > MOST_BYTES) {
      throw new BadInputException(
          folder + ": is too large for an archive (" + MOST_FILES + " files and 4 GB at most)");
    }
    String name = String.valueOf(folder.toAbsolutePath().normalize().getFileName());
    SafeFile.write(zip, overwrite, out -> write(out, list(name, files), files, progress));
    return leftOut;
  }

  /**
   * Whether an archive announces, file for file, what a folder would be packed as.
   *
   * @param parent a folder of set-ups
   * @return the folder in it; empty if none is the same, or if the archive cannot be read
   */
  static Optional<Path> same(Path zip, Path parent, Progress progress) {
    try (ZipFile open = new ZipFile(zip.toFile())) {
      ZipEntry entry = open.getEntry(LIST);
      if (entry == null) {
        return Optional.empty();
      }
      byte[] announced;
      try (InputStream in = open.getInputStream(entry)) {
        announced = in.readNBytes(LARGEST_LIST);
      }
      String name = new JsonMapper().readTree(announced).path("name").asText("");
      if (!SetUpId.isOne(name) || !Files.isDirectory(parent.resolve(name))) {
        return Optional.empty();
      }
      Path folder = parent.resolve(name);
      Map<String, Seen> files = new TreeMap<>();
      for (Map.Entry<String, Path> file : found(folder, new ArrayList<>()).entrySet()) {
        progress.at(0, "comparing");
        files.put(file.getKey(), seen(file.getValue()));
      }
      return Arrays.equals(announced, list(name, files)) ? Optional.of(folder) : Optional.empty();
    } catch (IOException e) {
      return Optional.empty(); // whoever unpacks it says what is wrong
    }
  }

  private static Map<String, Path> found(Path folder, List<String> leftOut) throws IOException {
    Map<String, Path> found = new TreeMap<>();
    ArchiveNames names = new ArchiveNames();
    Files.walkFileTree(
        folder,
        new SimpleFileVisitor<>() {
          @Override
          public FileVisitResult preVisitDirectory(Path each, BasicFileAttributes attributes) {
            return !each.equals(folder) && hidden(each)
                ? FileVisitResult.SKIP_SUBTREE
                : FileVisitResult.CONTINUE;
          }

          @Override
          public FileVisitResult visitFile(Path each, BasicFileAttributes attributes) {
            String name = folder.relativize(each).toString().replace('\\', '/');
            if (hidden(each)) {
              return FileVisitResult.CONTINUE;
            }
            if (!attributes.isRegularFile()) {
              throw new BadInputException(each + ": is a link or a device; only files are packed");
            }
            if (!ArchiveNames.knownKind(String.valueOf(each.getFileName()))) {
              leftOut.add(name);
              return FileVisitResult.CONTINUE;
            }
            Optional<String> why = names.refusal(name);
            if (why.isPresent()) {
              throw new BadInputException(each + ": the name " + why.get() + "; rename the file");
            }
            found.put(name, each);
            return FileVisitResult.CONTINUE;
          }
        });
    return found;
  }

  private static boolean hidden(Path file) {
    return String.valueOf(file.getFileName()).startsWith(".");
  }

  private static Seen seen(Path file) throws IOException {
    MessageDigest digest = digest();
    CRC32 crc = new CRC32();
    Deflater deflater = deflater();
    long bytes = Files.size(file);
    boolean sound = file.toString().toLowerCase(Locale.ROOT).endsWith(".wav");
    try (InputStream in =
        new CheckedInputStream(new DigestInputStream(Files.newInputStream(file), digest), crc)) {
      long packed = drained(sound ? in : new DeflaterInputStream(in, deflater, BUFFER));
      boolean deflate = !sound && packed < bytes * 9 / 10 && bytes / 50 < packed;
      return new Seen(
          file, bytes, crc.getValue(), HexFormat.of().formatHex(digest.digest()), deflate);
    } finally {
      deflater.end();
    }
  }

  private static Deflater deflater() {
    return new Deflater(Deflater.DEFAULT_COMPRESSION, true);
  }

  private static long drained(InputStream in) throws IOException {
    byte[] buffer = new byte[BUFFER];
    long sum = 0;
    int got;
    while ((got = in.read(buffer)) > 0) {
      sum += got;
    }
    return sum;
  }

  private static byte[] list(String name, Map<String, Seen> files) {
    StringBuilder text = new StringBuilder(files.size() * 150 + 200);
    text.append("{\n  \"format\": \"").append(FORMAT).append('/').append(VERSION).append("\",\n");
    text.append("  \"name\": ").append(quoted(name)).append(",\n  \"files\": [");
    String between = "\n";
    for (Map.Entry<String, Seen> file : files.entrySet()) {
      text.append(between).append("    {\"name\": ").append(quoted(file.getKey()));
      text.append(", \"bytes\": ").append(file.getValue().bytes);
      text.append(", \"sha256\": \"").append(file.getValue().sha256).append("\"}");
      between = ",\n";
    }
    return text.append("\n  ]\n}\n").toString().getBytes(StandardCharsets.UTF_8);
  }

  private static String quoted(String text) {
    return com.fasterxml.jackson.databind.node.TextNode.valueOf(text).toString();
  }

  private static void write(
      OutputStream out, byte[] list, Map<String, Seen> files, Progress progress)
      throws IOException {
    ZipOutputStream zip = new ZipOutputStream(out, StandardCharsets.UTF_8);
    zip.putNextEntry(entry(LIST));
    zip.write(list);
    zip.closeEntry();
    long total = Math.max(1, files.values().stream().mapToLong(Seen::bytes).sum());
    long done = 0;
    for (Map.Entry<String, Seen> file : files.entrySet()) {
      Seen seen = file.getValue();
      ZipEntry entry = entry(BELOW + file.getKey());
      if (!seen.deflate) {
        entry.setMethod(ZipEntry.STORED);
        entry.setSize(seen.bytes);
        entry.setCompressedSize(seen.bytes);
        entry.setCrc(seen.crc);
      }
      zip.putNextEntry(entry);
      MessageDigest digest = digest();
      try (InputStream in = new DigestInputStream(Files.newInputStream(seen.file), digest)) {
        byte[] buffer = new byte[BUFFER];
        int got;
        while ((got = in.read(buffer)) > 0) {
          zip.write(buffer, 0, got);
          done += got;
          progress.at(Math.min(1, 0.5 + 0.5 * done / total), "packing");
        }
      }
      if (!HexFormat.of().formatHex(digest.digest()).equals(seen.sha256)) {
        throw new IOException(file.getKey() + " changed while it was packed");
      }
      zip.closeEntry();
    }
    zip.finish();
  }

  private static ZipEntry entry(String name) {
    ZipEntry entry = new ZipEntry(name);
    entry.setTimeLocal(WHEN);
    return entry;
  }

  // Unpacking -------------------------------------------------------------------------------------

  /**
   * Unpacks an archive into a fresh folder.
   *
   * @param zip the archive
   * @param parent where the folder is made; made itself if it is missing
   * @param progress told how far it is, and may stop it
   * @return the folder, named as the one that was packed, with a number behind it if there is such
   *     a folder already
   * @throws BadInputException if the archive is damaged, not one of a set-up, or cannot be written;
   *     then nothing is left behind
   */
  public static Path unpack(Path zip, Path parent, Progress progress) {
    String name = String.valueOf(zip.getFileName());
    Path temporary = null;
    try {
      if (Files.isDirectory(zip)) {
        throw new BadInputException(name + ": is a folder, not an archive");
      }
      ZipDirectory.check(zip, name, MOST_FILES + 1);
      try (ZipFile file = new ZipFile(zip.toFile(), StandardCharsets.UTF_8)) {
        Archive archive = new Archive(name, file, Files.size(zip));
        archive.check();
        Files.createDirectories(parent);
        if (Files.getFileStore(parent).getUsableSpace() < archive.total) {
          throw new BadInputException(
              name + ": needs " + archive.total + " bytes in " + parent + ", which is too full");
        }
        temporary = Files.createTempDirectory(parent, ".writing-");
        archive.writeTo(temporary, progress);
        Path made = named(temporary, parent, archive.folder);
        temporary = null;
        return made;
      }
    } catch (NoSuchFileException e) {
      throw new BadInputException(name + ": there is no such file (" + e.getFile() + ")", e);
    } catch (ZipException e) {
      throw new BadInputException(name + ": is no sound zip archive: " + words(e), e);
    } catch (FileAlreadyExistsException e) {
      throw new BadInputException(parent + ": is a file; a folder is needed there", e);
    } catch (IOException | IllegalArgumentException e) {
      throw new BadInputException(name + ": cannot be unpacked: " + words(e), e);
    } finally {
      if (temporary != null) {
        discard(temporary);
      }
    }
  }

  private static String words(Exception e) {
    String text = e.getMessage() == null ? e.getClass().getSimpleName() : e.getMessage();
    return e instanceof java.nio.file.AccessDeniedException ? "no permission for " + text : text;
  }

  /** Gives the folder its name, the first that is free. */
  private static Path named(Path temporary, Path parent, String name) throws IOException {
    for (int i = 1; i < 10_000; i++) {
      Path target = parent.resolve(i == 1 ? name : name + "-" + i);
      if (!Files.exists(target, LinkOption.NOFOLLOW_LINKS)) {
        try {
          makeReadable(temporary);
          return Files.move(temporary, target);
        } catch (FileAlreadyExistsException e) {
          // somebody else was quicker; the next name
        }
      }
    }
    throw new IOException("no name is free for \"" + name + "\"");
  }

  /** Temporary folders are private to their owner; a set-up is as readable as any folder. */
  private static void makeReadable(Path folder) {
    folder.toFile().setReadable(true, false);
    folder.toFile().setExecutable(true, false);
  }

  private static void discard(Path folder) {
    try {
      Files.walkFileTree(
          folder,
          new SimpleFileVisitor<>() {
            @Override
            public FileVisitResult visitFile(Path each, BasicFileAttributes attributes)
                throws IOException {
              Files.delete(each);
              return FileVisitResult.CONTINUE;
            }

            @Override
            public FileVisitResult postVisitDirectory(Path each, IOException problem)
                throws IOException {
              Files.delete(each);
              return FileVisitResult.CONTINUE;
            }
          });
    } catch (IOException e) {
      // the first problem is the one to report
    }
  }

  /** An archive while it is read. */
  private static final class Archive {
    private final String name;
    private final ZipFile file;
    private final Map<String, Listed> listed = new LinkedHashMap<>();
    private final long archiveBytes;
    private String folder = "";
    private long total;

    Archive(String name, ZipFile file, long archiveBytes) {
      this.name = name;
      this.file = file;
      this.archiveBytes = archiveBytes;
    }

    private BadInputException bad(String what) {
      return new BadInputException(name + ": " + what);
    }

    /** Everything that can be told without unpacking. */
    void check() throws IOException {
      readList();
      ArchiveNames names = new ArchiveNames();
      for (Map.Entry<String, Listed> each : listed.entrySet()) {
        Optional<String> why = names.refusal(each.getKey());
        if (why.isPresent()) {
          throw bad("the name " + quoted(shown(each.getKey())) + " " + why.get());
        }
        total += each.getValue().bytes;
        if (total > MOST_BYTES) {
          throw bad("would take more than 4 GB");
        }
      }
      Set<String> seen = new HashSet<>();
      long packed = 0;
      for (ZipEntry entry : (Iterable<ZipEntry>) file.stream().map(e -> (ZipEntry) e)::iterator) {
        String entryName = entry.getName();
        if (!seen.add(entryName)) {
          throw bad(quoted(shown(entryName)) + " is there twice");
        }
        packed += entry.getCompressedSize();
        if (packed > archiveBytes) {
          throw bad("entries overlap");
        }
        if (entryName.equals(LIST)) {
          continue;
        }
        Listed announced =
            entryName.startsWith(BELOW) ? listed.get(entryName.substring(BELOW.length())) : null;
        if (announced == null) {
          throw bad(quoted(shown(entryName)) + " is not in the list " + LIST);
        }
        if (entry.getSize() != announced.bytes) {
          throw bad(
              quoted(shown(entryName))
                  + " has "
                  + entry.getSize()
                  + " bytes, the list says "
                  + announced.bytes);
        }
        if (announced.bytes > SMALL
            && announced.bytes / MOST_RATIO > Math.max(1, entry.getCompressedSize())) {
          throw bad(quoted(shown(entryName)) + " is packed tighter than measurements can be");
        }
      }
      for (String each : listed.keySet()) {
        if (!seen.contains(BELOW + each)) {
          throw bad(quoted(shown(each)) + " is in the list but not in the archive");
        }
      }
    }

    private static String shown(String text) {
      return text.length() > 80 ? text.substring(0, 77) + "..." : text;
    }

    private void readList() throws IOException {
      ZipEntry entry = file.getEntry(LIST);
      if (entry == null) {
        throw bad("is no archive of a set-up: " + LIST + " is missing");
      }
      byte[] bytes;
      try (InputStream in = file.getInputStream(entry)) {
        bytes = in.readNBytes(LARGEST_LIST + 1);
      }
      if (bytes.length > LARGEST_LIST) {
        throw bad(LIST + " is too large");
      }
      JsonFields all =
          JsonFields.ofText(
              name + ": " + LIST,
              new String(bytes, StandardCharsets.UTF_8),
              FORMAT,
              VERSION,
              List.of("name", "files"));
      folder = all.requiredText("name", "\"end-mill-6mm\"");
      Optional<String> why = ArchiveNames.refusalOfPart(folder);
      if (why.isPresent()) {
        throw all.problem("name", quoted(shown(folder)) + " " + why.get());
      }
      for (JsonFields each : all.objects("files", List.of("name", "bytes", "sha256"))) {
        String path = each.requiredText("name", "\"set-up.json\"");
        double size = each.number("bytes").orElseThrow(() -> each.missing("bytes", "1234"));
        String hash = each.requiredText("sha256", "64 hexadecimal digits");
        if (!(size >= 0 && size <= MOST_BYTES) || size != Math.rint(size)) {
          throw each.problem("bytes", "must be a whole number up to 4 GB, is " + size);
        }
        if (!hash.matches("[0-9a-f]{64}")) {
          throw each.problem("sha256", "must be 64 hexadecimal digits");
        }
        if (listed.put(path, new Listed((long) size, hash)) != null) {
          throw each.problem("name", quoted(shown(path)) + " is there twice");
        }
      }
      if (listed.isEmpty()) {
        throw all.missing("files", "the files of a set-up");
      }
    }

    void writeTo(Path target, Progress progress) throws IOException {
      long done = 0;
      for (Map.Entry<String, Listed> each : listed.entrySet()) {
        Path place = target.resolve(each.getKey());
        if (!place.normalize().startsWith(target)) {
          throw bad("the name " + quoted(shown(each.getKey())) + " leads out of its folder");
        }
        Files.createDirectories(place.getParent());
        MessageDigest digest = digest();
        long left = each.getValue().bytes;
        try (InputStream in = file.getInputStream(file.getEntry(BELOW + each.getKey()));
            FileChannel channel =
                FileChannel.open(place, StandardOpenOption.CREATE_NEW, StandardOpenOption.WRITE)) {
          OutputStream out = Channels.newOutputStream(channel);
          byte[] buffer = new byte[BUFFER];
          int got;
          while ((got = in.read(buffer)) > 0) {
            left -= got;
            if (left < 0) {
              throw bad(quoted(shown(each.getKey())) + " is longer than the list says");
            }
            out.write(buffer, 0, got);
            digest.update(buffer, 0, got);
            done += got;
            progress.at(Math.min(1, (double) done / Math.max(1, total)), "unpacking");
          }
          channel.force(true);
        }
        if (left != 0
            || !HexFormat.of().formatHex(digest.digest()).equals(each.getValue().sha256)) {
          throw bad(quoted(shown(each.getKey())) + " is damaged: it is not what the list says");
        }
      }
    }
  }

  private static MessageDigest digest() {
    try {
      return MessageDigest.getInstance("SHA-256");
    } catch (NoSuchAlgorithmException e) {
      throw new IllegalStateException(e); // every Java platform has it
    }
  }
}

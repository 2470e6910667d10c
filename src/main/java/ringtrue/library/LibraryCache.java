package ringtrue.library;

import java.io.ByteArrayInputStream;
import java.io.ByteArrayOutputStream;
import java.io.DataInputStream;
import java.io.DataOutputStream;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.concurrent.TimeUnit;
import java.util.zip.CRC32;
import ringtrue.library.LibraryEntry.Measured;
import ringtrue.library.SetUpReader.Stamp;
import ringtrue.units.BadInputException;

/**
 * What a list of a library shows, kept beside it so that ten thousand files need not be parsed for
 * every list. An item counts only as long as every file and folder that it was read from looks as
 * it did then (time and size); whatever is wrong with the cache itself, it counts as empty. What
 * was changed within two seconds before the cache was written is not kept, since a second change
 * could leave the same time.
 */
final class LibraryCache {
  private static final int MAGIC = 0x52544c43;
  private static final int VERSION = 1;
  private static final long LARGEST = 1L << 30;
  private static final long UNSURE_NS = TimeUnit.SECONDS.toNanos(2);

  /**
   * One set-up.
   *
   * @param entry what the list shows
   * @param stamps what it was read from
   */
  record Item(LibraryEntry entry, List<Stamp> stamps) {

    boolean holds(Path folder) {
      for (Stamp stamp : stamps) {
        if (!stamp.holds(folder)) {
          return false;
        }
      }
      return true;
    }

    private boolean isSettled(long nowNs) {
      return stamps.stream().allMatch(s -> s.modifiedNs() < nowNs - UNSURE_NS);
    }
  }

  private LibraryCache() {}

  /** What was kept, by id; empty where there is nothing or nothing that can be used. */
  static Map<String, Item> read(Path root) {
    Path file = root.resolve(SetUpFolder.CACHE);
    try {
      if (!Files.isRegularFile(file, LinkOption.NOFOLLOW_LINKS) || Files.size(file) > LARGEST) {
        return Map.of();
      }
      byte[] all = Files.readAllBytes(file);
      if (all.length < 16) {
        return Map.of();
      }
      CRC32 sum = new CRC32();
      sum.update(all, 8, all.length - 8);
      DataInputStream in = new DataInputStream(new ByteArrayInputStream(all));
      if (in.readLong() != sum.getValue() || in.readInt() != MAGIC || in.readInt() != VERSION) {
        return Map.of();
      }
      int count = in.readInt();
      Map<String, Item> items = new HashMap<>(2 * Math.min(count, all.length));
      for (int i = 0; i < count; i++) {
        Item item = item(in);
        items.put(item.entry.setUp().id(), item);
      }
      return items;
    } catch (IOException | RuntimeException e) {
      return Map.of();
    }
  }

  /** Keeps items, if the folder can be written; a list does not fail for want of a cache. */
  static void write(Path root, List<Item> items) {
    Path file = root.resolve(SetUpFolder.CACHE);
    Path part = root.resolve(SetUpFolder.WRITING + Writer.self().mark() + "-" + SetUpId.ending(8));
    try {
      Files.createFile(part);
      long nowNs = Files.getLastModifiedTime(part).to(TimeUnit.NANOSECONDS);
      List<Item> settled = items.stream().filter(i -> i.isSettled(nowNs)).toList();
      ByteArrayOutputStream content = new ByteArrayOutputStream(400 * settled.size() + 100);
      DataOutputStream out = new DataOutputStream(content);
      out.writeInt(MAGIC);
      out.writeInt(VERSION);
      out.writeInt(settled.size());
      for (Item item : settled) {
        item(out, item);
      }
      byte[] body = content.toByteArray();
      CRC32 sum = new CRC32();
      sum.update(body);
      try (DataOutputStream to = new DataOutputStream(Files.newOutputStream(part))) {
        to.writeLong(sum.getValue());
        to.write(body);
      }
      Files.move(
          part,
          file,
          java.nio.file.StandardCopyOption.ATOMIC_MOVE,
          java.nio.file.StandardCopyOption.REPLACE_EXISTING);
    } catch (IOException e) {
      try {
        Files.deleteIfExists(part);
      } catch (IOException again) {
        // it will be swept
      }
    }
  }

  private static void item(DataOutputStream out, Item item) throws IOException {
    SetUp s = item.entry.setUp();
    out.writeUTF(s.id());
    out.writeInt(s.revision());
    instant(out, s.created());
    instant(out, s.changed());
    out.writeByte(s.said().size());
    for (Map.Entry<SetUp.Field, String> said : s.said().entrySet()) {
      out.writeByte(said.getKey().ordinal());
      out.writeUTF(said.getValue());
    }
    out.writeInt(item.entry.measured().size());
    for (Measured m : item.entry.measured()) {
      out.writeUTF(m.id());
      instant(out, m.date());
      out.writeUTF(m.axis());
      out.writeUTF(m.point());
      out.writeUTF(m.inputProfile());
      out.writeShort(m.frequenciesHz().size());
      for (double hz : m.frequenciesHz()) {
        out.writeDouble(hz);
      }
    }
    out.writeInt(item.entry.quiet());
    out.writeInt(item.entry.chattered());
    out.writeInt(item.entry.problems().size());
    for (String problem : item.entry.problems()) {
      out.writeUTF(problem);
    }
    out.writeInt(item.stamps.size());
    for (Stamp stamp : item.stamps) {
      out.writeUTF(stamp.path());
      out.writeLong(stamp.modifiedNs());
      out.writeLong(stamp.size());
    }
  }

  private static Item item(DataInputStream in) throws IOException {
    String id = in.readUTF();
    int revision = in.readInt();
    Instant created = instant(in);
    Instant changed = instant(in);
    EnumMap<SetUp.Field, String> said = new EnumMap<>(SetUp.Field.class);
    for (int n = in.readByte(); n > 0; n--) {
      said.put(SetUp.Field.values()[in.readByte()], in.readUTF());
    }
    int measurements = in.readInt();
    List<Measured> measured = new ArrayList<>();
    for (int i = 0; i < measurements; i++) {
      String name = in.readUTF();
      Instant date = instant(in);
      String axis = in.readUTF();
      String point = in.readUTF();
      String profile = in.readUTF();
      int modes = in.readShort();
      List<Double> frequencies = new ArrayList<>(modes);
      for (int k = 0; k < modes; k++) {
        frequencies.add(in.readDouble());
      }
      measured.add(new Measured(name, date, axis, point, profile, frequencies));
    }
    int quiet = in.readInt();
    int chattered = in.readInt();
    List<String> problems = new ArrayList<>();
    for (int n = in.readInt(); n > 0; n--) {
      problems.add(in.readUTF());
    }
    List<Stamp> stamps = new ArrayList<>();
    for (int n = in.readInt(); n > 0; n--) {
      stamps.add(new Stamp(in.readUTF(), in.readLong(), in.readLong()));
    }
    if (stamps.isEmpty()) {
      throw new BadInputException("an item without files");
    }
    return new Item(
        new LibraryEntry(
            new SetUp(id, revision, created, changed, said), measured, quiet, chattered, problems),
        stamps);
  }

  private static void instant(DataOutputStream out, Instant moment) throws IOException {
    out.writeLong(moment.getEpochSecond());
    out.writeInt(moment.getNano());
  }

  private static Instant instant(DataInputStream in) throws IOException {
    return Instant.ofEpochSecond(in.readLong(), in.readInt());
  }
}

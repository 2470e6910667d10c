package ringtrue.library;

import java.io.ByteArrayOutputStream;
import java.io.DataOutputStream;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Collections;
import java.util.EnumMap;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
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
  private static final int VERSION = 2;
  private static final SetUp.Field[] FIELDS = SetUp.Field.values();
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

  private final byte[] content;
  private final Map<String, Integer> starts;

  private LibraryCache(byte[] content, Map<String, Integer> starts) {
    this.content = content;
    this.starts = starts;
  }

  /** What was kept; nothing where there is no cache, or none that can be used. */
  static LibraryCache read(Path root) {
    LibraryCache nothing = new LibraryCache(new byte[0], Map.of());
    Path file = root.resolve(SetUpFolder.CACHE);
    try {
      if (!Files.isRegularFile(file, LinkOption.NOFOLLOW_LINKS) || Files.size(file) > LARGEST) {
        return nothing;
      }
      byte[] all = Files.readAllBytes(file);
      if (all.length < 16) {
        return nothing;
      }
      CRC32 sum = new CRC32();
      sum.update(all, 8, all.length - 8);
      ByteBuffer in = ByteBuffer.wrap(all);
      if (in.getLong() != sum.getValue() || in.getInt() != MAGIC || in.getInt() != VERSION) {
        return nothing;
      }
      int count = in.getInt();
      Map<String, Integer> starts = new HashMap<>(2 * Math.min(count, all.length));
      for (int i = 0; i < count; i++) {
        int length = in.getInt();
        int start = in.position();
        starts.put(text(in), start);
        in.position(start + length);
      }
      return new LibraryCache(all, starts);
    } catch (IOException | RuntimeException e) {
      return nothing;
    }
  }

  /** Set-ups that were kept. */
  Set<String> ids() {
    return Collections.unmodifiableSet(starts.keySet());
  }

  /** The item of a set-up; null where none was kept, or what was kept makes no sense. */
  Item item(String id) {
    Integer start = starts.get(id);
    if (start == null) {
      return null;
    }
    try {
      return item(ByteBuffer.wrap(content).position(start));
    } catch (RuntimeException e) {
      return null;
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
        ByteArrayOutputStream one = new ByteArrayOutputStream(500);
        item(new DataOutputStream(one), item);
        out.writeInt(one.size());
        one.writeTo(out);
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
    text(out, s.id());
    out.writeInt(s.revision());
    instant(out, s.created());
    instant(out, s.changed());
    out.writeByte(s.said().size());
    for (Map.Entry<SetUp.Field, String> said : s.said().entrySet()) {
      out.writeByte(said.getKey().ordinal());
      text(out, said.getValue());
    }
    out.writeInt(item.entry.measured().size());
    for (Measured m : item.entry.measured()) {
      text(out, m.id());
      instant(out, m.date());
      text(out, m.axis());
      text(out, m.point());
      text(out, m.inputProfile());
      out.writeShort(m.frequenciesHz().size());
      for (double hz : m.frequenciesHz()) {
        out.writeDouble(hz);
      }
    }
    out.writeInt(item.entry.quiet());
    out.writeInt(item.entry.chattered());
    out.writeInt(item.entry.problems().size());
    for (String problem : item.entry.problems()) {
      text(out, problem);
    }
    out.writeInt(item.stamps.size());
    for (Stamp stamp : item.stamps) {
      text(out, stamp.path());
      out.writeLong(stamp.modifiedNs());
      out.writeLong(stamp.size());
    }
  }

  private static Item item(ByteBuffer in) {
    String id = text(in);
    int revision = in.getInt();
    Instant created = instant(in);
    Instant changed = instant(in);
    EnumMap<SetUp.Field, String> said = new EnumMap<>(SetUp.Field.class);
    for (int n = in.get(); n > 0; n--) {
      said.put(FIELDS[in.get()], text(in));
    }
    int measurements = in.getInt();
    List<Measured> measured = new ArrayList<>();
    for (int i = 0; i < measurements; i++) {
      String name = text(in);
      Instant date = instant(in);
      String axis = text(in);
      String point = text(in);
      String profile = text(in);
      int modes = in.getShort();
      List<Double> frequencies = new ArrayList<>(modes);
      for (int k = 0; k < modes; k++) {
        frequencies.add(in.getDouble());
      }
      measured.add(new Measured(name, date, axis, point, profile, frequencies));
    }
    int quiet = in.getInt();
    int chattered = in.getInt();
    List<String> problems = new ArrayList<>();
    for (int n = in.getInt(); n > 0; n--) {
      problems.add(text(in));
    }
    List<Stamp> stamps = new ArrayList<>();
    for (int n = in.getInt(); n > 0; n--) {
      stamps.add(new Stamp(text(in), in.getLong(), in.getLong()));
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

  private static Instant instant(ByteBuffer in) {
    return Instant.ofEpochSecond(in.getLong(), in.getInt());
  }

  private static void text(DataOutputStream out, String text) throws IOException {
    byte[] bytes = text.getBytes(StandardCharsets.UTF_8);
    out.writeInt(bytes.length);
    out.write(bytes);
  }

  private static String text(ByteBuffer in) {
    int length = in.getInt();
    int start = in.position();
    in.position(start + length);
    return new String(in.array(), start, length, StandardCharsets.UTF_8);
  }
}

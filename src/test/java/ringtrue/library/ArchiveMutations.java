package ringtrue.library;

import java.io.ByteArrayInputStream;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.zip.ZipEntry;
import java.util.zip.ZipInputStream;
import java.util.zip.ZipOutputStream;

/** Damages archives inside: names, the list, contents; and outside: their bytes. */
final class ArchiveMutations {
  private static final String[] NAMES = {
    "../x.json",
    "/x.json",
    "a\\b.json",
    "CON.json",
    "x.exe",
    "A.JSON",
    "a/../b.json",
    ".x.json",
    "x.json.",
    "x\u0000.json",
    "u\u0308.json",
    "x/x/x/x/x/x/x/x/x/x.json",
    "",
    "set-up.json/a.json"
  };

  private ArchiveMutations() {}

  static byte[] of(byte[] input, byte[] other, Random random) {
    if (random.nextInt(3) == 0) {
      return Mutations.bytes(input, other, random);
    }
    Map<String, byte[]> entries = entries(input);
    if (entries.isEmpty()) {
      return Mutations.bytes(input, other, random);
    }
    List<String> names = new ArrayList<>(entries.keySet());
    String one = names.get(random.nextInt(names.size()));
    byte[] content = entries.get(one);
    String list = names.get(0);
    switch (random.nextInt(7)) {
      case 0 -> entries.remove(one);
      case 1 -> entries.put(one, Mutations.json(content, content, random));
      case 2, 3 -> entries.put(list, Mutations.json(entries.get(list), entries.get(list), random));
      case 4 -> entries.put("set-up/" + NAMES[random.nextInt(NAMES.length)], content);
      case 5 -> {
        // the same odd name in list and archive
        String odd = NAMES[random.nextInt(NAMES.length)];
        String plain = one.replaceFirst("^set-up/", "");
        String text = new String(entries.get(list), StandardCharsets.UTF_8);
        entries.put(
            list,
            text.replace(
                    "\"" + plain + "\"",
                    "\"" + odd.replace("\\", "\\\\").replace("\u0000", "\\u0000") + "\"")
                .getBytes(StandardCharsets.UTF_8));
        entries.remove(one);
        entries.put("set-up/" + odd, content);
      }
      default -> entries.put(one, new byte[random.nextInt(200_000)]);
    }
    return zip(entries, random);
  }

  private static Map<String, byte[]> entries(byte[] input) {
    Map<String, byte[]> entries = new LinkedHashMap<>();
    try (ZipInputStream zip = new ZipInputStream(new ByteArrayInputStream(input))) {
      ZipEntry entry;
      while ((entry = zip.getNextEntry()) != null && entries.size() < 20) {
        entries.put(entry.getName(), zip.readNBytes(300_000));
      }
    } catch (IOException | IllegalArgumentException e) {
      // what could be read will do
    }
    return entries;
  }

  static byte[] zip(Map<String, byte[]> entries, Random random) {
    ByteArrayOutputStream bytes = new ByteArrayOutputStream();
    try (ZipOutputStream zip = new ZipOutputStream(bytes)) {
      for (Map.Entry<String, byte[]> each : entries.entrySet()) {
        ZipEntry entry = new ZipEntry(each.getKey());
        if (random.nextInt(10) == 0) {
          entry.setComment("x");
        }
        zip.putNextEntry(entry);
        zip.write(each.getValue());
      }
    } catch (IOException | IllegalArgumentException e) {
      return bytes.toByteArray();
    }
    return bytes.toByteArray();
  }
}

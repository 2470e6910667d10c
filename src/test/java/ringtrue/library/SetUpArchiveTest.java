package ringtrue.library;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.MessageDigest;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.concurrent.CancellationException;
import java.util.stream.Stream;
import java.util.zip.ZipEntry;
import java.util.zip.ZipFile;
import java.util.zip.ZipOutputStream;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import ringtrue.dynamics.Progress;
import ringtrue.units.BadInputException;

class SetUpArchiveTest {
  @TempDir Path folder;
  private Path setUp;
  private Path into;

  @BeforeEach
  void aSetUp() throws IOException {
    setUp = folder.resolve("end-mill-k3f9w");
    into = folder.resolve("library");
    Files.createDirectories(setUp.resolve("measurements/x-20260301"));
    Files.createDirectories(into);
    Files.writeString(
        setUp.resolve("set-up.json"), "{\"format\": \"ringtrue-setup/1\"}\n".repeat(50));
    byte[] noise = new byte[100_000];
    new Random(1).nextBytes(noise);
    Files.write(setUp.resolve("measurements/x-20260301/taps.wav"), noise);
    Files.write(setUp.resolve("measurements/x-20260301/silence.wav"), new byte[1_000_000]);
    Files.writeString(
        setUp.resolve("measurements/x-20260301/zeros.csv"), "0,0,0\n".repeat(100_000));
    Files.writeString(setUp.resolve("measurements/x-20260301/grüße.txt"), "");
  }

  private static Map<String, String> tree(Path root) throws IOException {
    Map<String, String> all = new java.util.TreeMap<>();
    try (Stream<Path> files = Files.walk(root)) {
      for (Path file : (Iterable<Path>) files.filter(Files::isRegularFile)::iterator) {
        all.put(root.relativize(file).toString(), hash(Files.readAllBytes(file)));
      }
    }
    return all;
  }

  private static String hash(byte[] bytes) {
    try {
      return HexFormat.of().formatHex(MessageDigest.getInstance("SHA-256").digest(bytes));
    } catch (java.security.NoSuchAlgorithmException e) {
      throw new IllegalStateException(e);
    }
  }

  private void nothingIsLeftBehind() throws IOException {
    try (Stream<Path> left = Files.list(into)) {
      assertThat(left).isEmpty();
    }
  }

  @Test
  void whatIsPackedIsUnpackedByteForByte() throws IOException {
    Path zip = folder.resolve("a.zip");
    assertThat(SetUpArchive.pack(setUp, zip, false, Progress.NONE)).isEmpty();
    Path made = SetUpArchive.unpack(zip, into, Progress.NONE);
    assertThat(made.getFileName()).hasToString("end-mill-k3f9w");
    assertThat(tree(made)).isEqualTo(tree(setUp)).hasSize(5);

    // never over what is there
    Path second = SetUpArchive.unpack(zip, into, Progress.NONE);
    assertThat(second.getFileName()).hasToString("end-mill-k3f9w-2");
    assertThat(tree(second)).isEqualTo(tree(setUp));

    // the same folder gives the same bytes, wherever and whenever
    Path again = folder.resolve("b.zip");
    SetUpArchive.pack(made, again, false, Progress.NONE);
    assertThat(Files.readAllBytes(again)).isEqualTo(Files.readAllBytes(zip));
    assertThatThrownBy(() -> SetUpArchive.pack(setUp, zip, false, Progress.NONE))
        .hasMessageContaining("--overwrite");

    // any program can read it
    try (ZipFile plain = new ZipFile(zip.toFile())) {
      assertThat(plain.size()).isEqualTo(6);
    }
  }

  @Test
  void whatDoesNotBelongStaysOut() throws IOException {
    Files.writeString(setUp.resolve("tool.exe"), "MZ");
    Files.writeString(setUp.resolve(".lock"), "");
    Files.createDirectories(setUp.resolve(".cache"));
    Files.writeString(setUp.resolve(".cache/list.json"), "{}");
    Path zip = folder.resolve("a.zip");
    assertThat(SetUpArchive.pack(setUp, zip, false, Progress.NONE)).containsExactly("tool.exe");
    assertThat(tree(SetUpArchive.unpack(zip, into, Progress.NONE))).hasSize(5);
    Files.createSymbolicLink(setUp.resolve("secret.txt"), Path.of("/etc/passwd"));
    assertThatThrownBy(
            () -> SetUpArchive.pack(setUp, folder.resolve("c.zip"), false, Progress.NONE))
        .isInstanceOf(BadInputException.class)
        .hasMessageContaining("secret.txt: is a link");
    assertThat(folder.resolve("c.zip")).doesNotExist();
  }

  @Test
  void stoppingLeavesNothingBehind() throws IOException {
    Path zip = folder.resolve("a.zip");
    SetUpArchive.pack(setUp, zip, false, Progress.NONE);
    Progress stop =
        (done, what) -> {
          if (done > 0.7) {
            throw new CancellationException();
          }
        };
    assertThatThrownBy(() -> SetUpArchive.unpack(zip, into, stop))
        .isInstanceOf(CancellationException.class);
    nothingIsLeftBehind();
    assertThatThrownBy(() -> SetUpArchive.pack(setUp, folder.resolve("d.zip"), false, stop))
        .isInstanceOf(CancellationException.class);
    try (Stream<Path> left = Files.list(folder)) {
      assertThat(left).containsExactlyInAnyOrder(setUp, into, zip);
    }
  }

  // Hostile archives ------------------------------------------------------------------------------

  private Path hostile(Map<String, byte[]> files) throws IOException {
    StringBuilder list = new StringBuilder();
    for (Map.Entry<String, byte[]> file : files.entrySet()) {
      list.append(list.length() == 0 ? "" : ",")
          .append("{\"name\": ")
          .append(com.fasterxml.jackson.databind.node.TextNode.valueOf(file.getKey()))
          .append(", \"bytes\": " + file.getValue().length)
          .append(", \"sha256\": \"" + hash(file.getValue()) + "\"}");
    }
    return archive(
        "{\"format\": \"ringtrue-archive/1\", \"name\": \"x\", \"files\": [" + list + "]}", files);
  }

  private Path archive(String list, Map<String, byte[]> files) throws IOException {
    ByteArrayOutputStream bytes = new ByteArrayOutputStream();
    try (ZipOutputStream zip = new ZipOutputStream(bytes, StandardCharsets.UTF_8)) {
      zip.putNextEntry(new ZipEntry("ringtrue-archive.json"));
      zip.write(list.getBytes(StandardCharsets.UTF_8));
      for (Map.Entry<String, byte[]> file : files.entrySet()) {
        zip.putNextEntry(new ZipEntry("set-up/" + file.getKey()));
        zip.write(file.getValue());
      }
    }
    Path file = folder.resolve("h.zip");
    Files.write(file, bytes.toByteArray());
    return file;
  }

  private void refused(Path zip, String why) throws IOException {
    List<Path> before = paths();
    assertThatThrownBy(() -> SetUpArchive.unpack(zip, into, Progress.NONE))
        .isInstanceOf(BadInputException.class)
        .hasMessageStartingWith(zip.getFileName() + ": ")
        .hasMessageContaining(why)
        .satisfies(e -> assertThat(e.getMessage()).doesNotContain("\n"));
    nothingIsLeftBehind();
    assertThat(paths()).isEqualTo(before);
  }

  private List<Path> paths() throws IOException {
    try (Stream<Path> all = Files.walk(folder)) {
      return all.sorted().toList();
    }
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "../evil.json",
        "a/../../evil.json",
        "/etc/evil.json",
        "./a.json",
        "a//b.json",
        "a/",
        "..\\evil.json",
        "C:evil.json",
        "a/b:stream.json",
        ".git/hooks.json",
        ".lock.json",
        "con.json",
        "NUL.wav",
        "com1.txt",
        "LPT\u00b9.txt",
        "aux/a.json",
        "CONIN$.txt",
        "a.json.",
        "a.json ",
        " a.json",
        "a /b.json",
        "a\u0000.json",
        "a\n.json",
        "a\u202egpj.json",
        "a\u200b.json",
        "u\u0308.json",
        "a?.json",
        "\u212a.json",
        "run.sh",
        "run.json.exe",
        "noending",
        "a/b/c/d/e/f/g/h/i.json",
        ""
      })
  void namesThatMayNotBe(String name) throws IOException {
    refused(hostile(Map.of(name, new byte[] {1})), "");
  }

  @Test
  void overlongNames() throws IOException {
    refused(hostile(Map.of("a".repeat(300) + ".json", new byte[1])), "is too long");
    refused(hostile(Map.of("ä".repeat(110) + ".json", new byte[1])), "is too long");
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "a.json|A.json",
        "straße.json|STRASSE.json",
        "a.json|a.json/b.json",
        "a.json/b.json|a.JSON",
        "ﬁ.json|fi.json",
      })
  void namesThatOneFileSystemTakesForTheSame(String both) throws IOException {
    Map<String, byte[]> files = new LinkedHashMap<>();
    for (String name : both.split("\\|")) {
      files.put(name, new byte[] {1});
    }
    refused(hostile(files), "is there twice");
  }

  @Test
  void listsThatDoNotFit() throws IOException {
    byte[] one = {1};
    String item = "{\"name\": \"a.json\", \"bytes\": 1, \"sha256\": \"" + hash(one) + "\"}";
    String head = "{\"format\": \"ringtrue-archive/1\", \"name\": \"x\", \"files\": [";
    refused(archive(head + item + "]}", Map.of()), "is in the list but not in the archive");
    refused(
        archive(head + item + "]}", Map.of("a.json", one, "b.json", one)), "is not in the list");
    refused(
        archive(head + item + "]}", Map.of("a.json", new byte[2])), "has 2 bytes, the list says 1");
    refused(archive(head + item + "]}", Map.of("a.json", new byte[] {2})), "is damaged");
    refused(archive(head + item + "," + item + "]}", Map.of("a.json", one)), "is there twice");
    refused(archive(head + "]}", Map.of()), "files: missing");
    refused(archive(head.replace("/1", "/2") + item + "]}", Map.of("a.json", one)), "newer");
    refused(
        archive(head.replace("\"x\"", "\"../x\"") + item + "]}", Map.of("a.json", one)), "name: ");
    refused(archive(head + item.replace(": 1,", ": 1e18,") + "]}", Map.of("a.json", one)), "4 GB");
    refused(archive(head + item.replace(": 1,", ": 1.5,") + "]}", Map.of("a.json", one)), "whole");
    refused(archive("[".repeat(100_000), Map.of()), "not valid JSON");
    Path none = folder.resolve("none.zip");
    assertThatThrownBy(() -> SetUpArchive.unpack(none, into, Progress.NONE))
        .hasMessageContaining("no such file");
    Files.writeString(none, "PK");
    refused(none, "is no zip archive");
    Files.write(none, new byte[0]);
    refused(none, "is no zip archive");
  }

  @Test
  void bombs() throws IOException {
    // 8 MB of nothing in 8 kB
    refused(hostile(Map.of("a.json", new byte[8 << 20])), "packed tighter");
    // a list without end
    refused(archive(" ".repeat(9 << 20), Map.of()), "is too large");
    Path zip = hostile(Map.of("a.json", new byte[1]));
    byte[] many = Files.readAllBytes(zip);
    many[many.length - 12] = 0x12; // total number of entries, little-endian: 0x2712 = 10,002
    many[many.length - 11] = 0x27;
    Files.write(zip, many);
    refused(zip, "more than 10001 entries");
  }

  @Test
  void linksEncryptionAndOverlap() throws IOException {
    Path zip = hostile(Map.of("a.json", "/etc/passwd".getBytes(StandardCharsets.US_ASCII)));
    byte[] good = Files.readAllBytes(zip);
    List<Integer> entries = new ArrayList<>();
    for (int i = 0; i + 4 < good.length; i++) {
      if (good[i] == 'P' && good[i + 1] == 'K' && good[i + 2] == 1 && good[i + 3] == 2) {
        entries.add(i);
      }
    }
    int second = entries.get(1);
    byte[] link = good.clone();
    link[second + 5] = 3; // made by Unix
    link[second + 41] = (byte) 0xA1; // S_IFLNK | 0777
    link[second + 40] = (byte) 0xFF;
    Files.write(zip, link);
    refused(zip, "is a link");
    byte[] secret = good.clone();
    secret[second + 8] |= 1;
    Files.write(zip, secret);
    refused(zip, "is encrypted");
    byte[] method = good.clone();
    method[second + 10] = 12;
    Files.write(zip, method);
    refused(zip, "method 12");
    for (int length = 0; length < good.length; length += 17) {
      Files.write(zip, java.util.Arrays.copyOf(good, length));
      refused(zip, "");
    }
  }

  @Test
  void aFolderThatCannotBeWrittenIsSaid() throws IOException {
    Path zip = folder.resolve("a.zip");
    SetUpArchive.pack(setUp, zip, false, Progress.NONE);
    Path file = folder.resolve("file");
    Files.writeString(file, "");
    assertThatThrownBy(() -> SetUpArchive.unpack(zip, file, Progress.NONE))
        .isInstanceOf(BadInputException.class)
        .hasMessageContaining("folder is needed");
    assertThatThrownBy(() -> SetUpArchive.pack(file, folder.resolve("e.zip"), false, Progress.NONE))
        .hasMessageContaining("is no folder");
    assertThatThrownBy(() -> SetUpArchive.pack(setUp, setUp.resolve("e.zip"), false, Progress.NONE))
        .hasMessageContaining("lies in the folder");
  }
}

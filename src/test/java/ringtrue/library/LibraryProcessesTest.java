package ringtrue.library;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.DirectoryStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.Set;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import ringtrue.acquisition.Child;
import ringtrue.dynamics.Progress;

/**
 * Several processes and one library. {@code -Dringtrue.libraryKills=500} for more kills, {@code
 * -Dringtrue.libraryChanges=1000} for more changes side by side.
 */
class LibraryProcessesTest {
  private static final int KILLS = Integer.getInteger("ringtrue.libraryKills", 8);
  private static final int CHANGES = Integer.getInteger("ringtrue.libraryChanges", 60);

  @TempDir Path folder;

  /** What must be there of a set-up. */
  private static final class Expected {
    final Set<String> measured = new HashSet<>();
    final Set<String> outcomes = new HashSet<>();
    final Set<String> notes = new LinkedHashSet<>();
    String lastNote = "";
    boolean removed;
    boolean removing;
    boolean restoring;
    String changing = "";
  }

  @Test
  void whatWasConfirmedOutlivesAnyKill() throws IOException, InterruptedException {
    Path root = folder.resolve("library");
    Path archive = folder.resolve("archive.zip");
    packOne(archive);
    Random random = new Random(23);
    int confirmed = 0;
    int atWork = 0;
    Map<String, Integer> kinds = new HashMap<>();
    Map<String, Expected> all = new HashMap<>();
    for (int kill = 0; kill < KILLS; kill++) {
      List<String> lines;
      try (Child child =
          Child.java(
              Map.of(),
              LibraryWriter.class,
              root.toString(),
              Integer.toString(1000 + kill),
              "100000",
              archive.toString())) {
        // some are killed at their first change, most after a few
        String first = random.nextInt(5) == 0 ? "will" : "did";
        assertThat(child.says(first, 60)).as("%s", child.lines()).isTrue();
        long nanos = (long) (random.nextDouble() * 4e8);
        Thread.sleep(nanos / 1_000_000, (int) (nanos % 1_000_000));
        // by its handle: Process.destroyForcibly would close the pipe with what was said last
        child.process.toHandle().destroyForcibly();
        assertThat(child.ends(20)).as("%s", child.lines()).isNotZero();
        lines = child.lines();
      }
      String last = lines.get(lines.size() - 1);
      if (last.startsWith("will")) {
        atWork++;
        kinds.merge(last.split(" ")[1], 1, Integer::sum);
      }
      confirmed += (int) lines.stream().filter(l -> l.startsWith("did")).count();
      Map<String, Expected> here = expected(lines);
      check(root, here);
      all.putAll(here);
    }
    check(root, all);
    SetUpLibrary.Listing listing = SetUpLibrary.in(root).list();
    assertThat(listing.unreadable()).isEmpty();
    assertThat(listing.entries()).allSatisfy(e -> assertThat(e.problems()).isEmpty());
    // the next writer sweeps up after the dead ones
    SetUpLibrary.in(root).create(Map.of(SetUp.Field.NAME, "last"), Instant.now());
    try (DirectoryStream<Path> left = Files.newDirectoryStream(root, ".writing-*")) {
      assertThat(left).isEmpty();
    }
    System.out.println(
        KILLS
            + " kills, "
            + confirmed
            + " confirmed changes all there; killed at work "
            + atWork
            + " times: "
            + kinds);
    assertThat(confirmed).isGreaterThanOrEqualTo(KILLS / 2);
    assertThat(atWork).isPositive();
  }

  private void packOne(Path archive) {
    SetUpLibrary other = SetUpLibrary.in(folder.resolve("other"));
    SetUp setUp =
        other.create(
            Map.of(SetUp.Field.NAME, "from elsewhere"),
            List.of(
                new MeasurementKeeper.Kept(
                    LibraryWriter.measurement("archived"),
                    LibraryWriter.filling("archived"),
                    List.of())),
            Instant.now());
    other.pack(setUp.id(), archive, false, Progress.NONE);
  }

  private static Map<String, Expected> expected(List<String> lines) {
    Map<String, Expected> all = new HashMap<>();
    for (String line : lines) {
      String[] word = line.split(" ");
      boolean done = word[0].equals("did");
      if (word.length < 3 || !done && (word[1].equals("create") || word[1].equals("import"))) {
        continue;
      }
      if (word[1].equals("import")) {
        all.remove(word[2]); // the id may have gone to the bin before
      }
      Expected e = all.computeIfAbsent(word[2], id -> new Expected());
      switch (word[1]) {
        case "create" -> e.measured.add(word[3]);
        case "import" -> e.measured.add("archived");
        case "add" -> {
          if (done) {
            e.measured.add(word[4]);
          }
        }
        case "outcome" -> {
          if (done) {
            e.outcomes.add(word[4]);
          }
        }
        case "change" -> {
          e.changing = done ? "" : word[3];
          if (done) {
            e.notes.add(word[3]);
            e.lastNote = word[3];
          }
        }
        case "remove" -> {
          e.removing = !done;
          e.removed |= done;
        }
        case "restore" -> {
          e.restoring = !done;
          e.removed &= !done;
        }
        default -> throw new IllegalStateException(line);
      }
    }
    return all;
  }

  private static void check(Path root, Map<String, Expected> all) throws IOException {
    SetUpLibrary library = SetUpLibrary.in(root);
    Map<String, Path> bin = new HashMap<>();
    for (SetUpLibrary.Removed removed : library.bin()) {
      bin.putIfAbsent(removed.id(), root.resolve(SetUpFolder.BIN).resolve(removed.name()));
    }
    for (Map.Entry<String, Expected> each : all.entrySet()) {
      String id = each.getKey();
      Expected e = each.getValue();
      Path live = root.resolve(id);
      boolean inBin = bin.containsKey(id) && !Files.exists(live);
      assertThat(Files.exists(live) || inBin).as("%s is somewhere", id).isTrue();
      if (!e.removing && !e.restoring) {
        assertThat(inBin).as("%s is in the bin", id).isEqualTo(e.removed);
      }
      Path at = inBin ? bin.get(id) : live;
      SavedSetUp saved = SetUpReader.read(at, id, new ArrayList<>());
      assertThat(saved.problems()).isEmpty();
      assertThat(saved.measurements().stream().map(SavedMeasurement::note))
          .containsAll(e.measured)
          .doesNotHaveDuplicates();
      for (SavedMeasurement m : saved.measurements()) {
        assertThat(Files.readString(saved.folder(m).resolve("notes.txt")))
            .isEqualTo(LibraryWriter.content(m.note()));
        assertThat(m.modes()).isEqualTo(LibraryWriter.measurement(m.note()).modes());
      }
      assertThat(saved.outcomes().stream().map(Outcome::note)).containsAll(e.outcomes);
      for (Outcome o : saved.outcomes()) {
        assertThat(Files.readString(saved.cutFile(o.cut())))
            .isEqualTo(LibraryWriter.CUT.formatted(o.note(), id));
        assertThat(Files.readString(saved.cutFile(o.cut()).resolveSibling("notes.txt")))
            .isEqualTo(LibraryWriter.content(o.note()));
      }
      String note = saved.setUp().text(SetUp.Field.NOTES);
      assertThat(note).isIn(e.lastNote, e.changing.isEmpty() ? e.lastNote : e.changing);
      assertThat(descriptions(at)).containsAll(e.notes);
    }
  }

  /** Notes of the description as it is, as it was, and of changes that met others. */
  private static List<String> descriptions(Path at) throws IOException {
    List<Path> files = new ArrayList<>();
    files.add(at.resolve(SetUpFile.NAME));
    for (Path where : List.of(at, at.resolve(SetUpFolder.EARLIER))) {
      if (Files.isDirectory(where)) {
        try (DirectoryStream<Path> some = Files.newDirectoryStream(where, "set-up*.json")) {
          some.forEach(files::add);
        }
      }
    }
    List<String> notes = new ArrayList<>();
    for (Path file : new LinkedHashSet<>(files)) {
      notes.add(SetUpFile.ofText(file.toString(), Files.readString(file)).text(SetUp.Field.NOTES));
    }
    return notes;
  }

  @Test
  void twoWritersNeitherLoseNorMixAnything() throws IOException, InterruptedException {
    Path root = folder.resolve("shared");
    SetUpLibrary library = SetUpLibrary.in(root);
    String id = library.create(Map.of(SetUp.Field.NAME, "shared by two"), Instant.now()).id();
    List<String> said = new ArrayList<>();
    try (Child one = writer(root, 1, id);
        Child two = writer(root, 2, id)) {
      assertThat(one.ends(600)).as("%s", last(one)).isZero();
      assertThat(two.ends(600)).as("%s", last(two)).isZero();
      said.addAll(one.lines("did"));
      said.addAll(two.lines("did"));
    }
    assertThat(said).hasSize(2 * CHANGES);
    SavedSetUp saved = library.read(id);
    assertThat(saved.measurements().stream().map(SavedMeasurement::note))
        .containsExactlyInAnyOrderElementsOf(tokens(said, "add"));
    assertThat(saved.outcomes().stream().map(Outcome::note))
        .containsExactlyInAnyOrderElementsOf(tokens(said, "outcome"));
    for (SavedMeasurement m : saved.measurements()) {
      assertThat(Files.readString(saved.folder(m).resolve("notes.txt")))
          .isEqualTo(LibraryWriter.content(m.note()));
    }
    List<String> changes = tokens(said, "change");
    List<String> notes = new ArrayList<>(descriptions(saved.folder()));
    notes.removeIf(String::isEmpty);
    assertThat(notes).containsExactlyInAnyOrderElementsOf(changes);
    List<String> in =
        said.stream().filter(s -> s.startsWith("change") && s.endsWith(" in")).toList();
    assertThat(saved.setUp().revision()).isEqualTo(1 + in.size());
    SetUpLibrary.Listing listing = library.list();
    assertThat(listing.unreadable()).isEmpty();
    List<String> names = new ArrayList<>(tokens(said, "create"));
    names.add("shared by two");
    assertThat(listing.entries().stream().map(e -> e.setUp().title()))
        .containsExactlyInAnyOrderElementsOf(names);
    System.out.println(
        said.size()
            + " changes by two processes, all there; "
            + (changes.size() - in.size())
            + " of "
            + changes.size()
            + " changes of one description met another and were kept beside it");
  }

  private static Child writer(Path root, int seed, String id) throws IOException {
    return Child.java(
        Map.of(),
        LibraryWriter.class,
        root.toString(),
        Integer.toString(seed),
        Integer.toString(CHANGES),
        id);
  }

  private static String last(Child child) {
    List<String> lines = child.lines();
    return lines.isEmpty()
        ? ""
        : String.join("\n", lines.subList(Math.max(0, lines.size() - 5), lines.size()));
  }

  private static List<String> tokens(List<String> said, String kind) {
    return said.stream().filter(s -> s.startsWith(kind + " ")).map(s -> s.split(" ")[1]).toList();
  }
}

package ringtrue.library;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.nio.file.DirectoryStream;
import java.nio.file.FileSystemException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.FileTime;
import java.time.Instant;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.concurrent.TimeUnit;
import java.util.function.Consumer;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import ringtrue.dynamics.Progress;
import ringtrue.dynamics.Residual;
import ringtrue.library.SavedMeasurement.SavedMode;
import ringtrue.library.SetUp.Field;
import ringtrue.units.BadInputException;

class SetUpLibraryTest {
  private static final Instant NOW = Instant.parse("2026-03-01T09:30:00Z");

  @TempDir Path folder;

  private static Map<Field, String> everything() {
    Map<Field, String> said = new EnumMap<>(Field.class);
    for (Field field : Field.values()) {
      said.put(
          field,
          switch (field.kind()) {
            case TEXT -> "Größe \"" + field.words() + "\" \\ 5 µm,\nzweite Zeile";
            case LENGTH -> "0.2500 in";
            case COUNT -> "4";
          });
    }
    said.put(Field.NAME, "Schaftfräser 6 mm");
    return said;
  }

  private SetUpLibrary library() {
    return SetUpLibrary.in(folder.resolve("library"));
  }

  private static MeasurementKeeper.Kept kept(String token) {
    return new MeasurementKeeper.Kept(
        LibraryWriter.measurement(token), LibraryWriter.filling(token), List.of());
  }

  /** Every file with its content, to see that nothing changed. */
  private static Map<String, String> all(Path root) throws IOException {
    Map<String, String> files = new TreeMap<>();
    try (Stream<Path> walk = Files.walk(root)) {
      for (Path file : walk.filter(Files::isRegularFile).toList()) {
        String name = root.relativize(file).toString();
        if (!name.startsWith(".")) {
          files.put(name, Files.readString(file));
        }
      }
    }
    return files;
  }

  // What is kept comes back -----------------------------------------------------------------------

  @Test
  void everyFieldComesBack() {
    SetUpLibrary library = library();
    SetUp made = library.create(everything(), NOW);
    assertThat(library.read(made.id()).setUp()).isEqualTo(made);
    assertThat(made.said()).isEqualTo(everything());
    assertThat(made.id()).matches("schaftfraser-6-mm-[a-z0-9]{5}");
    assertThat(made.number(Field.STICKOUT)).isEqualTo(0.00635);
    assertThat(SetUpFile.ofText("f", SetUpFile.toText(made))).isEqualTo(made);
  }

  @Test
  void aMeasurementComesBackToTheLastDigit() {
    double third = 1 / 3.0;
    SavedMeasurement m =
        new SavedMeasurement(
            "x-1",
            Instant.parse("2026-03-01T09:30:00.123Z"),
            "x",
            "tool tip",
            "name",
            "bench box",
            false,
            true,
            7,
            100 + third,
            4000 + third,
            third / 100,
            List.of(
                new SavedMode(
                    900 + third, third / 10, 1e6 * third, third, 1e-5 * third, 1e3, -89.9),
                new SavedMode(
                    1e3, 0.01, Double.NaN, Double.NaN, Double.NaN, Double.NaN, Double.NaN)),
            new Residual(1e-9 * third, -third),
            List.of("a remark", "another"),
            "ringtrue 0.1.0",
            "a note");
    assertThat(SavedMeasurementFile.ofText("x-1", "f", SavedMeasurementFile.toText(m)))
        .isEqualTo(m);
    Outcome outcome =
        new Outcome("o-1", NOW, "cut-1", Outcome.Result.CHATTERED, "612.5 Hz", "loud");
    assertThat(Outcome.ofText("o-1", "f", outcome.toText())).isEqualTo(outcome);
    assertThat(outcome.chatterHz()).isEqualTo(612.5);
    assertThat(outcome.toText()).doesNotContain("source");
    Outcome simulated =
        new Outcome("o-1", NOW, "cut-1", Outcome.Result.CHATTERED, "612.5 Hz", "", true);
    assertThat(Outcome.ofText("o-1", "f", simulated.toText())).isEqualTo(simulated);
    assertThat(simulated.words()).isEqualTo("chattered, simulated");
  }

  @Test
  void measuringAgainKeepsTheOldOne() {
    SetUpLibrary library = library();
    String id = library.create(everything(), List.of(kept("a")), NOW).id();
    SavedMeasurement b =
        library.add(id, LibraryWriter.measurement("b"), LibraryWriter.filling("b"));
    assertThat(library.read(id).along("x").stream().map(SavedMeasurement::note))
        .containsExactlyInAnyOrder("a", "b");
    assertThat(library.read(id).folder(b).resolve("notes.txt"))
        .hasContent(LibraryWriter.content("b"));
  }

  @Test
  void aSimulatedOutcomeIsKeptButIsNoCutThatWasMade() {
    SetUpLibrary library = library();
    String id = library.create(everything(), List.of(kept("a")), NOW).id();
    for (boolean simulated : new boolean[] {true, false}) {
      library.add(
          id,
          "trial",
          "{}",
          (folder, filer) -> {},
          new Outcome("new", NOW, "new", Outcome.Result.CHATTERED, "", "", simulated));
    }
    assertThat(library.read(id).outcomes()).hasSize(2);
    assertThat(LibraryEntry.of(library.read(id)).chattered()).isEqualTo(1);
  }

  @Test
  void aChangeKeepsWhatWasSaidBefore() throws IOException {
    SetUpLibrary library = library();
    SetUp first = library.create(everything(), NOW);
    SetUp second =
        library.change(first, Map.of(Field.HOLDER, "ER20", Field.NOTES, ""), NOW).setUp();
    assertThat(second.revision()).isEqualTo(2);
    assertThat(library.read(first.id()).setUp()).isEqualTo(second);
    assertThat(second.said()).doesNotContainKey(Field.NOTES);
    Path earlier = library.folder(first.id()).resolve("earlier/set-up-1.json");
    assertThat(SetUpFile.ofText("f", Files.readString(earlier))).isEqualTo(first);
  }

  @Test
  void aChangeThatMeetsAnotherIsKeptBesideIt() {
    SetUpLibrary library = library();
    SetUp base = library.create(everything(), NOW);
    SetUp theirs = library.change(base, Map.of(Field.HOLDER, "theirs"), NOW).setUp();
    SetUpLibrary.Changed ours = library.change(base, Map.of(Field.HOLDER, "ours"), NOW);
    assertThat(ours.setUp()).isEqualTo(theirs);
    assertThat(ours.conflict().orElseThrow()).content().contains("\"holder\": \"ours\"");
    SavedSetUp read = library.read(base.id());
    assertThat(read.setUp()).isEqualTo(theirs);
    assertThat(read.problems()).singleElement().asString().contains("at the same time");
  }

  // The bin ---------------------------------------------------------------------------------------

  @Test
  void whatIsRemovedCanBeRestoredUntilTheBinIsEmptied() throws IOException {
    SetUpLibrary library = library();
    String id = library.create(everything(), List.of(kept("a"), kept("b")), NOW).id();
    Map<String, String> before = all(library.root());
    String measurement = library.read(id).measurements().get(0).id();
    library.remove(id, measurement, NOW);
    assertThat(library.read(id).measurements()).hasSize(1);
    library.restore(measurement);
    library.remove(id, NOW);
    assertThat(library.ids()).isEmpty();
    assertThat(library.bin()).hasSize(1);
    assertThatThrownBy(() -> library.read(id)).hasMessageContaining("no set-up");
    library.restore(id);
    assertThat(all(library.root())).isEqualTo(before);
    library.remove(id, NOW);
    assertThat(library.emptyBin()).isEqualTo(1);
    assertThat(library.bin()).isEmpty();
    assertThat(all(library.root())).isEmpty();
  }

  @Test
  void restoringDoesNotReplaceWhatIsThere() throws IOException {
    SetUpLibrary library = library();
    String id = library.create(everything(), NOW).id();
    Path zip = folder.resolve("a.zip");
    library.pack(id, zip, false, Progress.NONE);
    library.remove(id, NOW);
    assertThat(library.unpack(zip, Progress.NONE)).isEqualTo(id);
    Map<String, String> before = all(library.root());
    assertThatThrownBy(() -> library.restore(id)).hasMessageContaining("is there already");
    assertThat(all(library.root())).isEqualTo(before);
    String other = library.restore(id, true).id();
    assertThat(other).isNotEqualTo(id);
    assertThat(library.bin()).isEmpty();
    assertThat(library.read(other).setUp().said()).isEqualTo(library.read(id).setUp().said());
  }

  // Damage that could be taken for something else ------------------------------------------------

  @Test
  void aDamagedMeasurementIsNotTakenForOneThatWasNeverMade() throws IOException {
    SetUpLibrary library = library();
    String id = library.create(everything(), List.of(kept("a")), NOW).id();
    SavedMeasurement m = library.read(id).measurements().get(0);
    Files.writeString(library.read(id).folder(m).resolve("modes.json"), "hello");
    SavedSetUp saved = library.read(id);
    assertThat(saved.damagedMeasurements()).hasSize(1);
    assertThatThrownBy(
            () ->
                SavedDynamics.of(
                    saved, "x", java.util.Optional.empty(), java.util.Optional.empty()))
        .isInstanceOf(BadInputException.class)
        .hasMessageContaining("in x is damaged")
        .hasMessageContaining(m.id());
    assertThat(saved.damagedAlong("y")).isEmpty();
    library.setDamagedAside(NOW);
    SavedSetUp after = library.read(id);
    assertThat(after.damagedMeasurements()).isEmpty();
    assertThatThrownBy(
            () ->
                SavedDynamics.of(
                    after, "x", java.util.Optional.empty(), java.util.Optional.empty()))
        .isInstanceOf(BadInputException.class)
        .hasMessageContaining("_damaged/" + id + "~measurements~" + m.id())
        .hasMessageContaining("measure again");
    assertThat(after.damagedAlong("y")).isEmpty();
  }

  @Test
  void whatIsSavedTogetherKeepsItsOrderAndItsClamping() {
    for (boolean between : new boolean[] {false, true}) {
      SetUpLibrary library = library();
      List<MeasurementKeeper.Kept> together = new ArrayList<>(List.of(kept("a")));
      for (int i = 1; i < 6; i++) {
        together.add(kept("after " + i).after(i, between));
      }
      String id = library.create(everything(), together, NOW).id();
      List<SavedMeasurement> along = library.read(id).along("x");
      assertThat(along)
          .extracting(SavedMeasurement::name)
          .containsExactlyElementsOf(together.stream().map(k -> k.found().name()).toList());
      assertThat(SavedDynamics.clampings(along)).hasSize(between ? 6 : 1);
    }
  }

  @Test
  void theSameTapsSavedTwiceAreNoSecondClamping() {
    SetUpLibrary library = library();
    String id = library.create(everything(), List.of(kept("a")), NOW).id();
    SavedMeasurement first = library.read(id).measurements().get(0);
    library.add(id, first, LibraryWriter.filling("a"));
    SavedDynamics twice =
        SavedDynamics.of(
            library.read(id), "x", java.util.Optional.empty(), java.util.Optional.empty());
    assertThat(twice.model()).isEqualTo(first.model().orElseThrow());
    assertThat(twice.remarks()).anySatisfy(r -> assertThat(r).contains("count once"));
  }

  @Test
  void copiesOfOtherProgramsAreNamed() throws IOException {
    SetUpLibrary library = library();
    String id = library.create(everything(), NOW).id();
    Path own = library.root().resolve(id);
    Files.copy(own.resolve("set-up.json"), own.resolve("set-up (copy of laptop).json"));
    Path copy = Files.createDirectory(library.root().resolve("Copy of " + id));
    Files.copy(own.resolve("set-up.json"), copy.resolve("set-up.json"));
    SetUpLibrary.Listing listing = library.list();
    assertThat(listing.unreadable())
        .anySatisfy(p -> assertThat(p).startsWith("Copy of " + id + ": holds a set-up"));
    assertThat(listing.entries().get(0).problems())
        .anySatisfy(p -> assertThat(p).contains("set-up (copy of laptop).json: is no name"));
    assertThat(library.setDamagedAside(NOW)).isEmpty();
  }

  @Test
  void recordingsAndResponsesAreLookedInto() throws IOException {
    SetUpLibrary library = library();
    String id = library.create(everything(), List.of(kept("a")), NOW).id();
    assertThat(library.look(List.of(id), Progress.NONE)).isEmpty();
    Path measured = library.read(id).folder(library.read(id).measurements().get(0));
    Files.writeString(measured.resolve("response.csv"), "hello\n");
    Files.writeString(measured.resolve("measurement.json"), "{");
    assertThat(library.look(List.of(id), Progress.NONE))
        .hasSize(2)
        .allSatisfy(p -> assertThat(p).startsWith(id + "/measurements/"));
    Files.delete(measured.resolve("measurement.json"));
    Files.writeString(measured.resolve("tip.wav"), "RIFF");
    assertThat(library.look(List.of(id), Progress.NONE))
        .anySatisfy(p -> assertThat(p).contains("measurement.json is missing"));
  }

  /** A step from version 1 to 2 that renames a field, as a later program may bring one. */
  @Test
  void anOlderVersionIsBroughtUpToDateWhileItIsRead() throws Exception {
    String old = "{\"format\": \"ringtrue-try/1\", \"length\": \"5 mm\"}";
    assertThatThrownBy(
            () -> JsonFields.ofText("old.json", old, "ringtrue-try", 2, List.of("depth")))
        .hasMessageContaining("is older than this program understands");
    try (AutoCloseable step =
        FormatUpgrades.register(
            "ringtrue-try", 1, tree -> tree.set("depth", tree.remove("length")))) {
      assertThat(step).isNotNull();
      JsonFields read = JsonFields.ofText("old.json", old, "ringtrue-try", 2, List.of("depth"));
      assertThat(read.text("depth")).contains("5 mm");
      assertThatThrownBy(
              () ->
                  JsonFields.ofText(
                      "new.json",
                      old.replace("try/1", "try/3"),
                      "ringtrue-try",
                      2,
                      List.of("depth")))
          .hasMessageContaining("is newer than this program understands");
    }
  }

  // Archives --------------------------------------------------------------------------------------

  @Test
  void anArchiveBringsEverything() throws IOException {
    SetUpLibrary library = library();
    String id = library.create(everything(), List.of(kept("a")), NOW).id();
    Path zip = folder.resolve("a.zip");
    library.pack(id, zip, false, Progress.NONE);
    SetUpLibrary other = SetUpLibrary.in(folder.resolve("other"));
    assertThat(other.unpack(zip, Progress.NONE)).isEqualTo(id);
    assertThat(all(other.root())).isEqualTo(all(library.root()));
    String second = other.unpack(zip, Progress.NONE);
    assertThat(second).isNotEqualTo(id).startsWith("schaftfraser-6-mm-");
    assertThat(other.read(second).setUp().said()).isEqualTo(everything());
  }

  // Damage and attacks ----------------------------------------------------------------------------

  @Test
  void aDamagedFileIsNamedAndTheRestOpens() throws IOException {
    SetUpLibrary library = library();
    String good = library.create(everything(), List.of(kept("a"), kept("b")), NOW).id();
    String bad = library.create(Map.of(Field.NAME, "bad"), NOW).id();
    String newer = library.create(Map.of(Field.NAME, "newer"), NOW).id();
    Files.writeString(library.folder(bad).resolve("set-up.json"), "{\"format\": \"ringtr");
    Path newerFile = library.folder(newer).resolve("set-up.json");
    Files.writeString(
        newerFile, Files.readString(newerFile).replace("ringtrue-setup/1", "ringtrue-setup/2"));
    String half = library.read(good).measurements().get(0).id();
    Path halfFile = library.folder(good).resolve("measurements/" + half + "/modes.json");
    Files.writeString(halfFile, Files.readString(halfFile).substring(0, 100));
    SetUpLibrary.Listing listing = library.list();
    assertThat(listing.entries()).singleElement().extracting(e -> e.setUp().id()).isEqualTo(good);
    assertThat(listing.entries().get(0).measured()).hasSize(1);
    assertThat(listing.entries().get(0).problems())
        .singleElement()
        .asString()
        .startsWith(good + "/measurements/" + half + "/modes.json: line ");
    assertThat(listing.unreadable())
        .hasSize(2)
        .anySatisfy(p -> assertThat(p).startsWith(bad + "/set-up.json: line 1"))
        .anySatisfy(p -> assertThat(p).contains("newer than this program"));
    assertThat(library.setDamagedAside(NOW)).hasSize(2);
    assertThat(library.list().unreadable()).singleElement().asString().contains("newer");
    assertThat(library.list().entries().get(0).problems()).isEmpty();
    try (DirectoryStream<Path> aside =
        Files.newDirectoryStream(library.root().resolve("_damaged"))) {
      assertThat(aside).hasSize(2);
    }
    assertThat(newerFile).exists();
  }

  @ParameterizedTest
  @ValueSource(
      strings = {"../outside", "/etc/passwd", "..", ".", "", "a/b", "a\\b", "A", "con", "-a", "a-"})
  void noIdLeadsOutOfTheLibrary(String id) {
    SetUpLibrary library = library();
    library.create(everything(), NOW);
    assertThatThrownBy(() -> library.read(id)).isInstanceOf(BadInputException.class);
    assertThatThrownBy(() -> library.remove(id, NOW)).isInstanceOf(BadInputException.class);
    assertThatThrownBy(() -> library.restore(id)).isInstanceOf(BadInputException.class);
    assertThatThrownBy(() -> library.add(id, LibraryWriter.measurement("a"), (f, d) -> {}))
        .isInstanceOf(BadInputException.class);
  }

  @Test
  void linksAreNotFollowed() throws IOException {
    SetUpLibrary library = library();
    String id = library.create(everything(), List.of(kept("a")), NOW).id();
    Path secret = Files.createDirectories(folder.resolve("secret"));
    Files.writeString(secret.resolve("set-up.json"), SetUpFile.toText(library.read(id).setUp()));
    Files.createSymbolicLink(library.root().resolve("linked"), secret);
    Path measurement =
        library.folder(id).resolve("measurements/" + library.read(id).measurements().get(0).id());
    Path moved = Files.move(measurement.resolve("modes.json"), secret.resolve("modes.json"));
    Files.createSymbolicLink(measurement.resolve("modes.json"), moved);
    SetUpLibrary.Listing listing = library.list();
    assertThat(listing.unreadable()).singleElement().asString().contains("linked: is a link");
    assertThat(listing.entries().get(0).problems())
        .singleElement()
        .asString()
        .contains("is a link");
    assertThatThrownBy(() -> library.add("linked", LibraryWriter.measurement("b"), (f, d) -> {}))
        .hasMessageContaining("is a link");
    // emptying the bin deletes the link, not what it leads to
    library.remove("linked", NOW);
    library.emptyBin();
    assertThat(secret.resolve("set-up.json")).exists();
  }

  @ParameterizedTest
  @ValueSource(
      strings = {"../../../x.wav", "/etc/passwd", "sub/../../../x.wav", "..", "c:\\\\x.wav"})
  void filesOfALibraryNameOnlyWhatLiesBesideThem(String name) throws IOException {
    Path file = folder.resolve("measurement.json");
    Files.writeString(
        file, "{\"format\": \"ringtrue-measurement/1\", \"recordings\": [\"%s\"]}".formatted(name));
    assertThatThrownBy(() -> NamesInside.require(file, "m")).hasMessageContaining("leads out");
    Path cut = folder.resolve("cut.json");
    Files.writeString(
        cut,
        "{\"format\": \"ringtrue-cut/1\", \"dynamics\": {\"tool\": {\"x\": {\"frf\": \"%s\"}}}}"
            .formatted(name));
    assertThatThrownBy(() -> NamesInside.require(cut, "c")).hasMessageContaining("leads out");
  }

  // The cache -------------------------------------------------------------------------------------

  @Test
  void theCacheIsNeverTrustedOverTheFiles() throws IOException {
    SetUpLibrary library = library();
    String id = library.create(everything(), List.of(kept("a")), NOW).id();
    age(library.root());
    SetUpLibrary.Listing first = library.list();
    Path cache = library.root().resolve(".cache");
    assertThat(LibraryCache.read(library.root()).ids()).containsExactly(id);
    assertThat(library.list()).isEqualTo(first);
    List<Consumer<Path>> changes =
        List.of(
            root -> library.add(id, LibraryWriter.measurement("b"), (f, d) -> {}),
            root -> library.change(library.read(id).setUp(), Map.of(Field.NOTES, "new"), NOW),
            root -> edit(root.resolve(id).resolve("set-up.json"), "\"flutes\": 4", "\"flutes\": 6"),
            root -> library.remove(id, library.read(id).measurements().get(0).id(), NOW));
    for (Consumer<Path> change : changes) {
      change.accept(library.root());
      SetUpLibrary.Listing cached = library.list();
      Files.delete(cache);
      assertThat(cached).isEqualTo(library.list()).isNotEqualTo(first);
      first = cached;
      age(library.root());
      library.list();
    }
    byte[] whole = Files.readAllBytes(cache);
    for (int at = 0; at < whole.length; at += 37) {
      byte[] broken = whole.clone();
      broken[at] ^= 0x55;
      Files.write(cache, broken);
      assertThat(LibraryCache.read(library.root()).ids()).isEmpty();
    }
    assertThat(library.list()).isEqualTo(first);
  }

  @Test
  void whatWasJustWrittenIsNotCached() {
    SetUpLibrary library = library();
    library.create(everything(), NOW);
    library.list();
    assertThat(LibraryCache.read(library.root()).ids()).isEmpty();
  }

  private static void edit(Path file, String from, String to) {
    try {
      String text = Files.readString(file);
      assertThat(text).contains(from);
      Files.writeString(file, text.replace(from, to));
    } catch (IOException e) {
      throw new IllegalStateException(e);
    }
  }

  /** As if it had been written ten minutes ago; later calls age less, so that times differ. */
  private static void age(Path root) throws IOException {
    FileTime then = FileTime.fromMillis(System.currentTimeMillis() - 600_000);
    try (Stream<Path> walk = Files.walk(root)) {
      for (Path each : walk.toList()) {
        Files.setLastModifiedTime(each, then);
      }
    }
  }

  // A disk that fails -----------------------------------------------------------------------------

  /** Fails at the n-th thing that is done to it, and at all after. */
  private static final class FailingDisk extends Disk {
    private int left;

    FailingDisk(int left) {
      this.left = left;
    }

    private void step(Path file) throws IOException {
      if (left-- <= 0) {
        throw new FileSystemException(file.toString(), null, "No space left on device");
      }
    }

    @Override
    void write(Path file, byte[] content) throws IOException {
      if (left == 0) {
        // what was written before the disk was full stays
        Files.write(file, java.util.Arrays.copyOf(content, content.length / 2));
      }
      step(file);
      super.write(file, content);
    }

    @Override
    void copy(Path from, Path to) throws IOException {
      step(to);
      super.copy(from, to);
    }

    @Override
    void makeFolder(Path made) throws IOException {
      step(made);
      super.makeFolder(made);
    }

    @Override
    void move(Path from, Path to) throws IOException {
      step(to);
      super.move(from, to);
    }
  }

  /** Wherever a change stops, all of it is there or nothing. */
  @Test
  void aFullDiskDamagesNothing() throws IOException {
    SetUpLibrary good = library();
    SetUp setUp = good.create(everything(), List.of(kept("a")), NOW);
    String id = setUp.id();
    Path zip = folder.resolve("a.zip");
    good.pack(id, zip, false, Progress.NONE);
    List<Consumer<SetUpLibrary>> changes =
        List.of(
            l -> l.create(Map.of(Field.NAME, "n"), List.of(kept("n")), NOW),
            l -> l.add(id, LibraryWriter.measurement("b"), LibraryWriter.filling("b")),
            l ->
                l.add(
                    id,
                    "cut",
                    LibraryWriter.CUT.formatted("c", id),
                    (f, d) -> {},
                    new Outcome("new", NOW, "new", Outcome.Result.QUIET, "", "")),
            l -> l.change(l.read(id).setUp(), Map.of(Field.NOTES, "other"), NOW),
            l -> l.unpack(zip, Progress.NONE),
            l -> l.remove(id, NOW));
    for (Consumer<SetUpLibrary> change : changes) {
      int failed = 0;
      for (int n = 0; n < 50; n++) {
        Map<String, String> before = all(good.root());
        try {
          change.accept(SetUpLibrary.in(good.root(), new FailingDisk(n)));
          break;
        } catch (BadInputException e) {
          failed++;
          assertThat(e).hasMessageContaining("No space left on device");
          Map<String, String> after = all(good.root());
          // a cut or an earlier description may be there without what was to follow
          after.keySet().removeIf(k -> !before.containsKey(k) && k.matches(".*/(cuts|earlier)/.*"));
          assertThat(after).isEqualTo(before);
          assertThat(good.list().unreadable()).isEmpty();
        }
      }
      assertThat(failed).isPositive();
      assertThat(good.list().unreadable()).isEmpty();
    }
    try (DirectoryStream<Path> left = Files.newDirectoryStream(good.root(), ".writing-*")) {
      assertThat(left).isEmpty();
    }
  }

  /** A real one of a megabyte; needs the right to mount. */
  @Test
  void aReallyFullDiskAndAReadOnlyOne() throws IOException, InterruptedException {
    Path small = Files.createDirectory(folder.resolve("small"));
    assumeTrue(ran("mount", "-t", "tmpfs", "-o", "size=1m", "tmpfs", small.toString()));
    try {
      SetUpLibrary library = SetUpLibrary.in(small.resolve("library"));
      String id = library.create(everything(), NOW).id();
      List<String> saved = new ArrayList<>();
      BadInputException full = null;
      for (int i = 0; i < 300 && full == null; i++) {
        String token = "t" + i;
        try {
          library.add(id, LibraryWriter.measurement(token), LibraryWriter.filling(token));
          saved.add(token);
        } catch (BadInputException e) {
          full = e;
        }
      }
      assertThat(full)
          .hasMessageContaining("No space left on device")
          .hasMessageContaining("nothing was changed");
      assertThat(saved).isNotEmpty();
      assertThat(library.list().unreadable()).isEmpty();
      assertThat(library.read(id).problems()).isEmpty();
      assertThat(library.read(id).measurements().stream().map(SavedMeasurement::note))
          .containsExactlyInAnyOrderElementsOf(saved);
      library.remove(id, library.read(id).measurements().get(0).id(), NOW);
      library.emptyBin();
      assertThat(ran("mount", "-o", "remount,ro", small.toString())).isTrue();
      Map<String, String> before = all(library.root());
      assertThatThrownBy(() -> library.change(library.read(id).setUp(), Map.of(), NOW))
          .isInstanceOf(BadInputException.class)
          .hasMessageContaining("Read-only file system");
      assertThatThrownBy(() -> library.remove(id, NOW))
          .hasMessageContaining("Read-only file system");
      assertThat(library.list().entries()).hasSize(1);
      assertThat(all(library.root())).isEqualTo(before);
    } finally {
      ran("umount", small.toString());
    }
  }

  private static boolean ran(String... command) throws IOException, InterruptedException {
    try {
      Process process = new ProcessBuilder(command).redirectErrorStream(true).start();
      process.getInputStream().readAllBytes();
      return process.waitFor(20, TimeUnit.SECONDS) && process.exitValue() == 0;
    } catch (IOException e) {
      return false;
    }
  }

  // Locks -----------------------------------------------------------------------------------------

  @Test
  void theLockOfADeadWriterIsTakenOver() throws IOException, InterruptedException {
    SetUpLibrary library = library();
    SetUp setUp = library.create(everything(), NOW);
    Process gone = new ProcessBuilder("true").start();
    gone.waitFor();
    Path owner = library.root().resolve(LibraryLock.OWNER);
    Files.writeString(owner, Writer.self().place() + "." + gone.pid() + " abc\n");
    assertThat(library.change(setUp, Map.of(Field.NOTES, "n"), NOW).conflict()).isEmpty();
    assertThat(owner).doesNotExist();
  }

  @Test
  void theLockOfAnotherMachineIsWaitedForAndTakenOverWhenItIsOld() throws IOException {
    Path root = Files.createDirectory(folder.resolve("l"));
    Path owner = root.resolve(LibraryLock.OWNER);
    Files.writeString(owner, "elsewhere.17 abc\n");
    assertThatThrownBy(() -> LibraryLock.of(root, 100, 60_000))
        .hasMessageContaining("another program");
    assertThat(owner).hasContent("elsewhere.17 abc\n");
    Files.setLastModifiedTime(owner, FileTime.fromMillis(System.currentTimeMillis() - 120_000));
    try (LibraryLock lock = LibraryLock.of(root, 1000, 60_000)) {
      assertThat(lock.isHeld()).isTrue();
      Files.writeString(owner, "elsewhere.18 def\n");
      assertThat(lock.isHeld()).isFalse();
    }
    assertThat(owner).hasContent("elsewhere.18 def\n");
  }

  @Test
  void workOfDeadWritersIsSweptAndThatOfOthersIsNot() throws IOException, InterruptedException {
    SetUpLibrary library = library();
    library.create(everything(), NOW);
    Process gone = new ProcessBuilder("true").start();
    gone.waitFor();
    Path dead =
        library.root().resolve(".writing-" + Writer.self().place() + "." + gone.pid() + "-abcd");
    Path other = library.root().resolve(".writing-elsewhere.17-abcd");
    Files.createDirectory(dead);
    Files.writeString(dead.resolve("half"), "x");
    Files.createDirectory(other);
    library().create(everything(), NOW);
    assertThat(dead).doesNotExist();
    assertThat(other).exists();
    Files.setLastModifiedTime(other, FileTime.fromMillis(System.currentTimeMillis() - 90_000_000));
    library().create(everything(), NOW);
    assertThat(other).doesNotExist();
  }

  // Finding ---------------------------------------------------------------------------------------

  @Test
  void filtersAndNearest() {
    SetUpLibrary library = library();
    Map<Field, String> a =
        Map.of(
            Field.MACHINE,
            "router",
            Field.HOLDER,
            "ER20",
            Field.TOOL,
            "6 mm four-flute",
            Field.DIAMETER,
            "6 mm",
            Field.STICKOUT,
            "22 mm",
            Field.FLUTES,
            "4");
    Map<Field, String> b = new EnumMap<>(a);
    b.put(Field.STICKOUT, "30 mm");
    Map<Field, String> c = new EnumMap<>(a);
    c.put(Field.MACHINE, "knee mill");
    String ida = library.create(a, List.of(kept("a")), NOW).id();
    String idb = library.create(b, NOW).id();
    String idc = library.create(c, NOW).id();
    List<LibraryEntry> all = library.list().entries();
    SetUpFilter router =
        new SetUpFilter(
            Map.of(Field.MACHINE, "ROUT", Field.DIAMETER, "0.2362 in"),
            "four er20",
            "",
            "",
            "",
            java.util.Optional.empty(),
            java.util.Optional.empty(),
            Double.NaN,
            Double.NaN,
            java.util.Optional.empty());
    assertThat(all.stream().filter(router::accepts).map(e -> e.setUp().id()))
        .containsExactlyInAnyOrder(ida, idb);
    SetUpFilter mode =
        new SetUpFilter(
            Map.of(),
            "",
            "x",
            "tip",
            "",
            java.util.Optional.of(NOW),
            java.util.Optional.of(NOW),
            700,
            1100,
            java.util.Optional.empty());
    assertThat(all.stream().filter(mode::accepts).map(e -> e.setUp().id())).containsExactly(ida);
    List<NearestSetUps.Near> near = NearestSetUps.of(a, all);
    assertThat(near.stream().map(n -> n.entry().setUp().id())).containsExactly(ida, idc, idb);
    assertThat(near.get(0).distance()).isZero();
    assertThat(near.get(2).differences()).containsExactly("stick-out 30 mm instead of 22 mm");
    assertThat(near.get(1).differences()).containsExactly("machine knee mill instead of router");
  }

  @Test
  void aMissingIdNamesTheClosest() {
    SetUpLibrary library = library();
    String id = library.create(Map.of(Field.NAME, "slot drill"), NOW).id();
    assertThatThrownBy(() -> library.read("slot-dril" + id.substring(10)))
        .hasMessageContaining("near: " + id);
    assertThatThrownBy(() -> library.read("slot")).hasMessageContaining("near: " + id);
    assertThatThrownBy(() -> library.read("zzzzzz")).hasMessageContaining("library list");
  }
}

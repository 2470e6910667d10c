package ringtrue.library;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.DirectoryIteratorException;
import java.nio.file.DirectoryNotEmptyException;
import java.nio.file.DirectoryStream;
import java.nio.file.FileAlreadyExistsException;
import java.nio.file.FileVisitResult;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.nio.file.SimpleFileVisitor;
import java.nio.file.attribute.BasicFileAttributes;
import java.time.Instant;
import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;
import ringtrue.dynamics.Progress;
import ringtrue.library.LibraryCache.Item;
import ringtrue.library.SetUpReader.Stamp;
import ringtrue.units.BadInputException;
import ringtrue.units.Names;

/**
 * Set-ups in a folder of plain files; {@code SetUpFolder} shows how they lie there.
 *
 * <p>Whatever a method has confirmed by returning is on the disk and outlasts a kill or a power
 * cut; what it had not finished is not seen. Two that write to one library at the same time do not
 * lose or mix anything: additions have names of their own, a change of a description that somebody
 * else changed meanwhile is kept as a copy beside it. Reading changes nothing but the cache.
 */
public final class SetUpLibrary {
  private static final DateTimeFormatter STAMP =
      DateTimeFormatter.ofPattern("yyyyMMdd-HHmmss", Locale.ROOT).withZone(ZoneOffset.UTC);
  private static final long ABANDONED_MS = TimeUnit.HOURS.toMillis(24);
  private static final char IN_BIN = SetUpFolder.INSIDE;

  private final Path root;
  private final Disk disk;
  private boolean swept;

  private SetUpLibrary(Path root, Disk disk) {
    this.root = root.toAbsolutePath().normalize();
    this.disk = disk;
  }

  /** The library in a folder, which need not be there until something is saved. */
  public static SetUpLibrary in(Path folder) {
    return new SetUpLibrary(folder, Disk.REAL);
  }

  static SetUpLibrary in(Path folder, Disk disk) {
    return new SetUpLibrary(folder, disk);
  }

  /** Its folder. */
  public Path root() {
    return root;
  }

  // Reading ---------------------------------------------------------------------------------------

  /**
   * A list of everything.
   *
   * @param entries set-ups by id
   * @param unreadable what could not be read, one sentence each
   */
  public record Listing(List<LibraryEntry> entries, List<String> unreadable) {
    public Listing {
      entries = List.copyOf(entries);
      unreadable = List.copyOf(unreadable);
    }
  }

  /** Ids of the set-ups, sorted; those that cannot be read included. */
  public List<String> ids() {
    return ids(new ArrayList<>());
  }

  /**
   * @param strays gets a sentence on each folder that holds a set-up under a name that is no id
   */
  private List<String> ids(List<String> strays) {
    List<String> ids = new ArrayList<>();
    if (!Files.isDirectory(root)) {
      if (Files.exists(root)) {
        throw new BadInputException(root + ": is a file; a library is a folder");
      }
      return ids;
    }
    try (DirectoryStream<Path> folders = Files.newDirectoryStream(root)) {
      for (Path folder : folders) {
        String name = folder.getFileName().toString();
        if (SetUpId.isOne(name)) {
          ids.add(name);
        } else if (!name.startsWith(".")
            && !name.equals(SetUpFolder.BIN)
            && !name.equals(SetUpFolder.DAMAGED)
            && Files.isRegularFile(folder.resolve(SetUpFile.NAME), LinkOption.NOFOLLOW_LINKS)) {
          strays.add(
              name
                  + ": holds a set-up, but its name is no id, so it is not read; perhaps a copy"
                  + " that a program made which keeps folders alike: compare it with the folder"
                  + " it comes from, then rename it (small letters, digits, hyphens) or move it"
                  + " away");
        }
      }
    } catch (IOException | DirectoryIteratorException e) {
      throw new BadInputException(root + ": cannot be listed: " + e.getMessage(), e);
    }
    ids.sort(Comparator.naturalOrder());
    return ids;
  }

  /**
   * All set-ups in short. Ten thousand take a fraction of a second once they were listed before.
   */
  public Listing list() {
    List<String> strays = new ArrayList<>();
    List<String> ids = ids(strays);
    strays.sort(Comparator.naturalOrder());
    LibraryCache kept = LibraryCache.read(root);
    record Read(Item item, String problem, boolean fresh) {}
    List<Read> all =
        ids.parallelStream()
            .map(
                id -> {
                  Path folder = root.resolve(id);
                  Item item = kept.item(id);
                  if (item != null && item.holds(folder)) {
                    return new Read(item, "", false);
                  }
                  try {
                    List<Stamp> stamps = new ArrayList<>();
                    SavedSetUp saved = SetUpReader.read(folder, id, stamps);
                    return new Read(new Item(LibraryEntry.of(saved), stamps), "", true);
                  } catch (BadInputException e) {
                    boolean folderless = !Files.isDirectory(folder, LinkOption.NOFOLLOW_LINKS);
                    boolean file = folderless && Files.isRegularFile(folder);
                    return new Read(null, file ? "" : e.getMessage(), false);
                  }
                })
            .toList();
    List<Item> items = all.stream().map(Read::item).filter(i -> i != null).toList();
    if (all.stream().anyMatch(Read::fresh)) {
      LibraryCache.write(root, items);
    }
    return new Listing(
        items.stream().map(Item::entry).toList(),
        Stream.concat(strays.stream(), all.stream().map(Read::problem).filter(p -> !p.isEmpty()))
            .toList());
  }

  /**
   * Looks into recordings, responses and cuts as well, which a list passes over.
   *
   * @param ids set-ups that can be read
   * @return what is damaged or missing in them, one sentence each
   */
  public List<String> look(List<String> ids, Progress progress) {
    List<String> problems = new ArrayList<>();
    for (int i = 0; i < ids.size(); i++) {
      progress.at((double) i / ids.size(), "looking into recordings");
      problems.addAll(SetUpCheck.problems(read(ids.get(i))));
    }
    progress.at(1, "done");
    return problems;
  }

  /**
   * A set-up with all that is kept of it.
   *
   * @throws BadInputException if there is none of that id, or it cannot be read
   */
  public SavedSetUp read(String id) {
    return SetUpReader.read(folder(id), id, new ArrayList<>());
  }

  /**
   * The folder of a set-up.
   *
   * @throws BadInputException if there is none of that id; names those that are near
   */
  public Path folder(String id) {
    if (SetUpId.isOne(id) && Files.exists(root.resolve(id), LinkOption.NOFOLLOW_LINKS)) {
      return root.resolve(id);
    }
    List<String> ids = ids();
    String shown = id.length() > 60 ? id.substring(0, 57) + "..." : id;
    String near = near(id, ids);
    throw new BadInputException(
        "no set-up \""
            + shown
            + "\" in "
            + root
            + (ids.isEmpty()
                ? ", which is empty"
                : near.isEmpty() ? "; library list shows all " + ids.size() : "; near: " + near));
  }

  /** The closest ids, the likeliest first; those that begin or go on alike count as well. */
  private static String near(String id, List<String> ids) {
    List<String> left = new ArrayList<>(ids);
    List<String> near = new ArrayList<>();
    String lower = id.toLowerCase(Locale.ROOT);
    for (int i = 0; i < 3; i++) {
      Optional<String> next =
          left.stream()
              .filter(k -> lower.length() > 1 && (k.startsWith(lower) || k.endsWith("-" + lower)))
              .findFirst()
              .or(() -> Names.closest(lower, left))
              .or(
                  () ->
                      left.stream()
                          .filter(k -> lower.length() > 2 && k.contains(lower))
                          .findFirst());
      if (next.isEmpty()) {
        break;
      }
      near.add(next.get());
      left.remove(next.get());
    }
    return String.join(", ", near);
  }

  // Adding ----------------------------------------------------------------------------------------

  /** Puts the files of something new into a folder that is there, empty and its own. */
  @FunctionalInterface
  public interface Filling {
    /**
     * @param folder where to
     * @param disk what writes them for good
     */
    void into(Path folder, Filer disk) throws IOException;
  }

  /** What may be done to a folder that is being filled. */
  public interface Filer {
    /** Writes text as UTF-8. */
    void write(Path file, String text) throws IOException;

    /** Copies a file. */
    void copy(Path from, Path to) throws IOException;

    /** Makes a folder in a folder. */
    Path folder(Path in, String name) throws IOException;
  }

  /** Saves a new set-up without measurements. */
  public SetUp create(Map<SetUp.Field, String> said, Instant now) {
    return create(said, List.of(), now);
  }

  /**
   * Saves a new set-up with its first measurements, all or nothing.
   *
   * @param said what is clamped where
   * @param measurements what was measured on it
   * @param now the present time
   * @return with its new id
   * @throws BadInputException if something said makes no sense, or the library cannot be written
   */
  public SetUp create(
      Map<SetUp.Field, String> said, List<MeasurementKeeper.Kept> measurements, Instant now) {
    Instant second = now.truncatedTo(ChronoUnit.SECONDS);
    SetUp draft = SetUp.of("draft", second, said);
    String text = draft.title();
    if (!draft.said().containsKey(SetUp.Field.NAME) && draft.said().containsKey(SetUp.Field.TOOL)) {
      text = draft.text(SetUp.Field.TOOL) + " " + draft.text(SetUp.Field.STICKOUT);
    }
    SetUp setUp = draft.withId(SetUpId.fresh(text, "set-up"));
    return doing(
        () -> {
          makeRoot();
          Path staged = stage();
          try {
            if (!measurements.isEmpty()) {
              disk.makeFolder(staged.resolve(SetUpFolder.MEASUREMENTS));
            }
            for (MeasurementKeeper.Kept each : measurements) {
              SavedMeasurement named = named(each.found());
              Path folder = staged.resolve(SetUpFolder.MEASUREMENTS).resolve(named.id());
              disk.makeFolder(folder);
              fill(folder, named, each.filling());
            }
            disk.write(staged.resolve(SetUpFile.NAME), bytes(SetUpFile.toText(setUp)));
            disk.sync(staged);
            disk.move(staged, root.resolve(setUp.id()));
          } finally {
            discard(staged);
          }
          return setUp;
        });
  }

  /**
   * Adds a measurement to a set-up's history.
   *
   * @param id the set-up
   * @param measurement what was found; its own id is replaced by a fresh one
   * @param filling copies recordings and response
   * @return with its id
   */
  public SavedMeasurement add(String id, SavedMeasurement measurement, Filling filling) {
    Path folder = folder(id);
    SetUpReader.requireFolder(folder, id);
    SavedMeasurement named = named(measurement);
    return doing(
        () -> {
          Path staged = stage();
          try {
            fill(staged, named, filling);
            place(staged, folder, SetUpFolder.MEASUREMENTS, named.id(), id);
          } finally {
            discard(staged);
          }
          return named;
        });
  }

  private static SavedMeasurement named(SavedMeasurement measurement) {
    String words = SetUpId.words(measurement.axis());
    return measurement.withId(
        (words.isEmpty() ? "" : words + "-")
            + STAMP.format(measurement.date())
            + "-"
            + SetUpId.ending(5));
  }

  private void fill(Path folder, SavedMeasurement measurement, Filling filling) throws IOException {
    filling.into(folder, new Filler());
    disk.write(
        folder.resolve(SavedMeasurementFile.NAME), bytes(SavedMeasurementFile.toText(measurement)));
    disk.sync(folder);
  }

  /**
   * Keeps what a cut did.
   *
   * @param id the set-up
   * @param cutName what the cut is called
   * @param cutText its file
   * @param beside copies what the cut's file names
   * @param outcome what it did; its own id and the cut's are replaced by fresh ones
   * @return with its ids
   */
  public Outcome add(String id, String cutName, String cutText, Filling beside, Outcome outcome) {
    Path folder = folder(id);
    SetUpReader.requireFolder(folder, id);
    String words = SetUpId.words(cutName);
    String cut = (words.isEmpty() ? "cut" : words) + "-" + Writer.digest(bytes(cutText), 8);
    Outcome named =
        new Outcome(
            STAMP.format(outcome.date()) + "-" + SetUpId.ending(5),
            outcome.date(),
            cut,
            outcome.result(),
            outcome.chatterFrequency(),
            outcome.note(),
            outcome.simulated());
    return doing(
        () -> {
          Path staged = stage();
          try {
            if (!Files.isDirectory(
                folder.resolve(SetUpFolder.CUTS).resolve(cut), LinkOption.NOFOLLOW_LINKS)) {
              Path cutFolder = Files.createDirectory(staged.resolve("cut"));
              beside.into(cutFolder, new Filler());
              disk.write(cutFolder.resolve(SetUpFolder.CUT), bytes(cutText));
              disk.sync(cutFolder);
              place(cutFolder, folder, SetUpFolder.CUTS, cut, id);
            }
            Path file = staged.resolve("outcome");
            disk.write(file, bytes(named.toText()));
            place(file, folder, SetUpFolder.OUTCOMES, named.id() + ".json", id);
          } finally {
            discard(staged);
          }
          return named;
        });
  }

  /**
   * Packs a set-up into one file.
   *
   * @param zip where to
   * @return names of files that stayed out because of their kind
   * @throws BadInputException if it cannot be read or the file not written
   */
  public List<String> pack(String id, Path zip, boolean overwrite, Progress progress) {
    Path folder = folder(id);
    SetUpReader.requireFolder(folder, id);
    return SetUpArchive.pack(folder, zip, overwrite, progress);
  }

  /**
   * Takes in a set-up from an archive.
   *
   * @param zip an archive of a set-up
   * @return id under which it is now; another one than it had if that is taken
   * @throws BadInputException if the archive is damaged, or anything in it cannot be read, is a
   *     link or names what is not in it; nothing is changed then
   */
  public String unpack(Path zip, Progress progress) {
    String name = String.valueOf(zip.getFileName());
    if (!Files.isRegularFile(zip)) {
      throw new BadInputException(name + ": there is no such file (" + zip + ")");
    }
    return doing(
        () -> {
          makeRoot();
          Path staged = stage();
          try {
            Path unpacked = SetUpArchive.unpack(zip, staged.resolve("unpacked"), progress);
            return adopt(unpacked, name);
          } finally {
            discard(staged);
          }
        });
  }

  /** Checks a folder that lies in a staging folder and gives it its place. */
  private String adopt(Path unpacked, String name) throws IOException {
    SetUp setUp;
    try {
      String place = SetUpFile.NAME;
      setUp = SetUpFile.ofText(place, SetUpReader.text(unpacked.resolve(place), place));
      SavedSetUp saved = SetUpReader.read(unpacked, setUp.id(), new ArrayList<>());
      for (String problem : saved.problems()) {
        if (!problem.contains(SetUpFolder.CONFLICT) && !problem.contains(SetUpReader.STRAY)) {
          throw new BadInputException(problem);
        }
      }
      NamesInside.requireAll(unpacked, "");
    } catch (BadInputException e) {
      throw e.at(name);
    }
    syncTree(unpacked);
    for (int tries = 0; tries < 100; tries++) {
      String id = tries == 0 ? setUp.id() : SetUpId.fresh(withoutEnding(setUp.id()), "set-up");
      Path to = root.resolve(id);
      if (Files.exists(to, LinkOption.NOFOLLOW_LINKS)) {
        continue;
      }
      if (!id.equals(setUp.id())) {
        Path file = unpacked.resolve(SetUpFile.NAME);
        disk.delete(file);
        disk.write(file, bytes(SetUpFile.toText(setUp.withId(id))));
        rename(unpacked.resolve(SetUpFolder.CUTS), setUp.id(), id);
        disk.sync(unpacked);
      }
      try {
        disk.move(unpacked, to);
        return id;
      } catch (FileAlreadyExistsException | DirectoryNotEmptyException e) {
        // somebody else was quicker
      }
    }
    throw new IOException("no id is free for \"" + setUp.id() + "\"");
  }

  /** Its cuts name it by the id that it has now. */
  private void rename(Path cuts, String id, String other) throws IOException {
    if (!Files.isDirectory(cuts, LinkOption.NOFOLLOW_LINKS)) {
      return;
    }
    try (DirectoryStream<Path> folders = Files.newDirectoryStream(cuts)) {
      for (Path folder : folders) {
        Path cut = folder.resolve(SetUpFolder.CUT);
        if (Files.isRegularFile(cut, LinkOption.NOFOLLOW_LINKS)) {
          Optional<String> renamed = CutCopy.renamed(cut, id, other);
          if (renamed.isPresent()) {
            Path written = root.resolve(writing());
            disk.write(written, bytes(renamed.get()));
            disk.move(written, cut);
          }
        }
      }
    }
  }

  private void syncTree(Path folder) throws IOException {
    try (DirectoryStream<Path> files = Files.newDirectoryStream(folder)) {
      for (Path file : files) {
        if (Files.isDirectory(file, LinkOption.NOFOLLOW_LINKS)) {
          syncTree(file);
        }
      }
    }
    disk.sync(folder);
  }

  private static String withoutEnding(String id) {
    int last = id.lastIndexOf('-');
    return last > 0 ? id.substring(0, last) : id;
  }

  // Changing --------------------------------------------------------------------------------------

  /**
   * How a change ended.
   *
   * @param setUp the description that holds now
   * @param conflict the file that keeps the change, where somebody else's came before it
   */
  public record Changed(SetUp setUp, Optional<Path> conflict) {}

  /**
   * Changes what is said of a set-up. The description as it was is kept in {@code earlier}.
   *
   * @param base the set-up as the caller read it
   * @param more fields that are said anew; blank text takes one back
   * @param now the present time
   */
  public Changed change(SetUp base, Map<SetUp.Field, String> more, Instant now) {
    Path folder = folder(base.id());
    SetUpReader.requireFolder(folder, base.id());
    SetUp next = base.with(more, now.truncatedTo(ChronoUnit.SECONDS));
    String place = base.id() + "/" + SetUpFile.NAME;
    Path file = folder.resolve(SetUpFile.NAME);
    return doing(
        () -> {
          Path staged = stage();
          try (LibraryLock lock = LibraryLock.of(root)) {
            String text = SetUpReader.text(file, place);
            SetUp present = SetUpFile.ofText(place, text).withId(base.id());
            Path written = staged.resolve("next");
            disk.write(written, bytes(SetUpFile.toText(next)));
            if (!present.equals(base)) {
              Path conflict = folder.resolve(SetUpFolder.CONFLICT + SetUpId.ending(5) + ".json");
              disk.move(written, conflict);
              return new Changed(present, Optional.of(conflict));
            }
            keepEarlier(staged, folder, text, present.revision());
            if (!lock.isHeld()) {
              throw new BadInputException(
                  root + ": another program took the library over meanwhile; try again");
            }
            disk.move(written, file);
            return new Changed(next, Optional.empty());
          } finally {
            discard(staged);
          }
        });
  }

  private void keepEarlier(Path staged, Path folder, String text, int revision) throws IOException {
    Path copy = staged.resolve("earlier");
    disk.write(copy, bytes(text));
    disk.makeFolder(folder.resolve(SetUpFolder.EARLIER));
    String name = "set-up-" + revision;
    Path to = folder.resolve(SetUpFolder.EARLIER).resolve(name + ".json");
    if (Files.exists(to, LinkOption.NOFOLLOW_LINKS)) {
      to = folder.resolve(SetUpFolder.EARLIER).resolve(name + "-" + SetUpId.ending(5) + ".json");
    }
    disk.move(copy, to);
  }

  // The bin ---------------------------------------------------------------------------------------

  /**
   * Something in the bin.
   *
   * @param name its name there
   * @param id the set-up that it is or belongs to
   * @param part what of the set-up it is, as a path in its folder; empty for the whole
   * @param removed when it was removed
   */
  public record Removed(String name, String id, String part, Instant removed) {}

  /** Moves a set-up to the bin. */
  public Removed remove(String id, Instant now) {
    return toBin(folder(id), id, "", now);
  }

  /**
   * Moves a measurement or an outcome to the bin.
   *
   * @param part id of the measurement or of the outcome
   */
  public Removed remove(String id, String part, Instant now) {
    Path folder = folder(id);
    SavedSetUp saved = read(id);
    List<String> known =
        Stream.concat(
                saved.measurements().stream().map(SavedMeasurement::id),
                saved.outcomes().stream().map(Outcome::id))
            .toList();
    if (saved.measurement(part).isPresent()) {
      return toBin(
          folder.resolve(SetUpFolder.MEASUREMENTS).resolve(part),
          id,
          SetUpFolder.MEASUREMENTS + "/" + part,
          now);
    }
    if (known.contains(part)) {
      return toBin(
          folder.resolve(SetUpFolder.OUTCOMES).resolve(part + ".json"),
          id,
          SetUpFolder.OUTCOMES + "/" + part + ".json",
          now);
    }
    throw new BadInputException(
        id
            + ": has no measurement or outcome \""
            + part
            + "\""
            + Names.closest(part, known).map(n -> "; did you mean " + n + "?").orElse(""));
  }

  private Removed toBin(Path what, String id, String part, Instant now) {
    Instant second = now.truncatedTo(ChronoUnit.SECONDS);
    String name =
        (id + (part.isEmpty() ? "" : "/" + part)).replace('/', IN_BIN)
            + IN_BIN
            + STAMP.format(second)
            + "-"
            + SetUpId.ending(5);
    return doing(
        () -> {
          sweep();
          Path bin = root.resolve(SetUpFolder.BIN);
          disk.makeFolder(bin);
          moveOr(what, bin.resolve(name), id + ": is not there any more; somebody else removed it");
          return new Removed(name, id, part, second);
        });
  }

  private void moveOr(Path from, Path to, String gone) throws IOException {
    try {
      disk.move(from, to);
    } catch (NoSuchFileException e) {
      throw new BadInputException(gone, e);
    }
  }

  /** What is in the bin, the latest first. */
  public List<Removed> bin() {
    Path bin = root.resolve(SetUpFolder.BIN);
    List<Removed> all = new ArrayList<>();
    if (!Files.isDirectory(bin, LinkOption.NOFOLLOW_LINKS)) {
      return all;
    }
    try (DirectoryStream<Path> files = Files.newDirectoryStream(bin)) {
      files.forEach(f -> removed(f.getFileName().toString()).ifPresent(all::add));
    } catch (IOException | DirectoryIteratorException e) {
      throw new BadInputException(bin + ": cannot be listed: " + e.getMessage(), e);
    }
    all.sort(Comparator.comparing(Removed::removed).reversed().thenComparing(Removed::name));
    return all;
  }

  private static Optional<Removed> removed(String name) {
    String[] parts = name.split(String.valueOf(IN_BIN), -1);
    String stamp = parts[parts.length - 1];
    boolean whole = parts.length == 2;
    boolean part =
        parts.length == 4
            && (parts[1].equals(SetUpFolder.MEASUREMENTS) && SetUpId.isOne(parts[2])
                || parts[1].equals(SetUpFolder.OUTCOMES)
                    && parts[2].endsWith(".json")
                    && SetUpId.isOne(parts[2].substring(0, parts[2].length() - 5)));
    if (!(whole || part)
        || !SetUpId.isOne(parts[0])
        || !stamp.matches("\\d{8}-\\d{6}-[a-z0-9]{5}")) {
      return Optional.empty();
    }
    try {
      Instant when = Instant.from(STAMP.parse(stamp.substring(0, 15)));
      return Optional.of(new Removed(name, parts[0], whole ? "" : parts[1] + "/" + parts[2], when));
    } catch (java.time.DateTimeException e) {
      return Optional.empty();
    }
  }

  /**
   * Takes something out of the bin again.
   *
   * @param name its name in the bin, or the id of what it is (then the latest)
   * @throws BadInputException if it is not in the bin, or its place is taken
   */
  public Removed restore(String name) {
    return restore(name, false);
  }

  /**
   * Takes something out of the bin again.
   *
   * @param name its name in the bin, or the id of what it is (then the latest)
   * @param otherId whether a whole set-up gets a fresh id, because its own is taken
   * @return with the id that it has now
   * @throws BadInputException if it is not in the bin, or its place is taken
   */
  public Removed restore(String name, boolean otherId) {
    List<Removed> all = bin();
    Removed found =
        all.stream()
            .filter(
                r ->
                    r.name().equals(name)
                        || r.part().isEmpty() && r.id().equals(name)
                        || !r.part().isEmpty()
                            && r.part().replaceAll("^.*/|\\.json$", "").equals(name))
            .findFirst()
            .orElseThrow(
                () ->
                    new BadInputException(
                        "\""
                            + name
                            + "\" is not in the bin"
                            + Names.closest(name, all.stream().map(Removed::id).toList())
                                .map(n -> "; did you mean " + n + "?")
                                .orElse("; library bin shows what is")));
    Path to = root.resolve(found.id());
    boolean whole = found.part().isEmpty();
    if (otherId && whole && Files.exists(to, LinkOption.NOFOLLOW_LINKS)) {
      return restoreBeside(found);
    }
    if (!whole) {
      if (!Files.exists(to, LinkOption.NOFOLLOW_LINKS)
          && all.stream().anyMatch(r -> r.part().isEmpty() && r.id().equals(found.id()))) {
        throw new BadInputException(
            name + ": belongs to " + found.id() + ", which is in the bin too; restore that first");
      }
      SetUpReader.requireFolder(folder(found.id()), found.id());
      to = to.resolve(found.part());
    }
    Path place = to;
    return doing(
        () -> {
          sweep();
          String taken =
              found.id()
                  + (found.part().isEmpty() ? "" : "/" + found.part())
                  + ": is there already; it stays, and so does what is in the bin"
                  + (whole ? " (--new-id brings it back beside it)" : "");
          if (Files.exists(place, LinkOption.NOFOLLOW_LINKS)) {
            throw new BadInputException(taken);
          }
          if (!found.part().isEmpty()) {
            disk.makeFolder(place.getParent());
          }
          try {
            moveOr(
                root.resolve(SetUpFolder.BIN).resolve(found.name()),
                place,
                "\"" + name + "\" is not in the bin any more");
          } catch (FileAlreadyExistsException | DirectoryNotEmptyException e) {
            throw new BadInputException(taken, e);
          }
          return found;
        });
  }

  private Removed restoreBeside(Removed found) {
    return doing(
        () -> {
          sweep();
          String id = SetUpId.fresh(withoutEnding(found.id()), "set-up");
          // what the description says of its id does not count; the folder's name does
          moveOr(
              root.resolve(SetUpFolder.BIN).resolve(found.name()),
              root.resolve(id),
              "\"" + found.name() + "\" is not in the bin any more");
          rename(root.resolve(id).resolve(SetUpFolder.CUTS), found.id(), id);
          return new Removed(found.name(), id, "", found.removed());
        });
  }

  /**
   * Deletes for good what is in the bin.
   *
   * @return how many things that were
   */
  public int emptyBin() {
    List<Removed> all = bin();
    return doing(
        () -> {
          int deleted = 0;
          for (Removed each : all) {
            Path doomed = root.resolve(writing());
            try {
              // out of the bin in one step: what is half deleted cannot be restored
              disk.move(root.resolve(SetUpFolder.BIN).resolve(each.name()), doomed);
              deleteTree(doomed);
              deleted++;
            } catch (NoSuchFileException e) {
              // somebody else was quicker
            }
          }
          return deleted;
        });
  }

  // Damage ----------------------------------------------------------------------------------------

  /**
   * Moves what cannot be read out of the way, so that it no longer shows: whole set-ups whose
   * description is damaged, single measurements and outcomes otherwise. What a newer program wrote
   * is not damaged and stays.
   *
   * @return sentences on what was moved where
   */
  public List<String> setDamagedAside(Instant now) {
    List<String> said = new ArrayList<>();
    for (String id : ids()) {
      Path folder = root.resolve(id);
      if (!Files.isDirectory(folder, LinkOption.NOFOLLOW_LINKS)) {
        continue;
      }
      try {
        for (String problem : SetUpReader.read(folder, id, new ArrayList<>()).problems()) {
          String[] parts = problem.split(":", 2)[0].split("/");
          boolean measurement = parts.length >= 3 && parts[1].equals(SetUpFolder.MEASUREMENTS);
          boolean outcome = parts.length == 3 && parts[1].equals(SetUpFolder.OUTCOMES);
          if ((measurement || outcome)
              && !isNewer(problem)
              && !problem.contains(SetUpReader.STRAY)) {
            said.add(aside(folder.resolve(parts[1]).resolve(parts[2]), problem, now));
          }
        }
      } catch (BadInputException e) {
        if (!isNewer(e.getMessage())) {
          said.add(aside(folder, e.getMessage(), now));
        }
      }
    }
    return said;
  }

  private static boolean isNewer(String problem) {
    return problem.contains("is newer than this program understands");
  }

  private String aside(Path what, String problem, Instant now) {
    String name = root.relativize(what).toString().replace('\\', '/').replace('/', IN_BIN);
    return doing(
        () -> {
          Path damaged = root.resolve(SetUpFolder.DAMAGED);
          disk.makeFolder(damaged);
          Path to = damaged.resolve(name + IN_BIN + STAMP.format(now) + "-" + SetUpId.ending(5));
          moveOr(what, to, root.relativize(what) + ": is not there any more");
          return problem + "; set aside as " + root.relativize(to);
        });
  }

  // Files -----------------------------------------------------------------------------------------

  private interface Work<T> {
    T run() throws IOException;
  }

  private <T> T doing(Work<T> work) {
    try {
      return work.run();
    } catch (IOException e) {
      throw new BadInputException(
          root + ": cannot be changed: " + SafeFile.reason(e) + "; nothing was changed", e);
    }
  }

  private final class Filler implements Filer {
    @Override
    public void write(Path file, String text) throws IOException {
      disk.write(file, bytes(text));
    }

    @Override
    public void copy(Path from, Path to) throws IOException {
      disk.copy(from, to);
    }

    @Override
    public Path folder(Path in, String name) throws IOException {
      Path made = in.resolve(name);
      disk.makeFolder(made);
      return made;
    }
  }

  private static byte[] bytes(String text) {
    return text.getBytes(StandardCharsets.UTF_8);
  }

  private void makeRoot() throws IOException {
    if (!Files.isDirectory(root)) {
      if (Files.exists(root)) {
        throw new BadInputException(root + ": is a file; a library is a folder");
      }
      Files.createDirectories(root);
      disk.sync(root.getParent());
    }
  }

  private String writing() {
    return SetUpFolder.WRITING + Writer.self().mark() + "-" + SetUpId.ending(8);
  }

  /** A folder of our own in the library, which nobody sees. */
  private Path stage() throws IOException {
    sweep();
    return Files.createDirectory(root.resolve(writing()));
  }

  /** Gives something its place in a set-up's folder, which may have gone to the bin meanwhile. */
  private void place(Path what, Path folder, String sub, String name, String id)
      throws IOException {
    try {
      disk.makeFolder(folder.resolve(sub));
      disk.move(what, folder.resolve(sub).resolve(name));
    } catch (NoSuchFileException e) {
      throw new BadInputException(
          id + ": was removed by somebody else meanwhile; nothing was saved", e);
    } catch (FileAlreadyExistsException | DirectoryNotEmptyException e) {
      if (!sub.equals(SetUpFolder.CUTS)) {
        throw e; // names are unique; only the same cut may be there already
      }
    }
  }

  /** Deletes what killed writers left, once for each library that is opened. */
  private synchronized void sweep() {
    if (swept) {
      return;
    }
    swept = true;
    try (DirectoryStream<Path> left = Files.newDirectoryStream(root, SetUpFolder.WRITING + "*")) {
      for (Path each : left) {
        String name = each.getFileName().toString();
        int hyphen = name.lastIndexOf('-');
        String mark =
            hyphen <= SetUpFolder.WRITING.length()
                ? ""
                : name.substring(SetUpFolder.WRITING.length(), hyphen);
        if (Writer.isDead(mark)
            || Files.getLastModifiedTime(each, LinkOption.NOFOLLOW_LINKS).toMillis()
                < System.currentTimeMillis() - ABANDONED_MS) {
          discard(each);
        }
      }
    } catch (IOException | DirectoryIteratorException e) {
      // what is left over does no harm
    }
  }

  private void discard(Path staged) {
    try {
      deleteTree(staged);
    } catch (IOException e) {
      // it is not seen, and will be swept
    }
  }

  private void deleteTree(Path what) throws IOException {
    if (!Files.exists(what, LinkOption.NOFOLLOW_LINKS)) {
      return;
    }
    Files.walkFileTree(
        what,
        new SimpleFileVisitor<>() {
          @Override
          public FileVisitResult visitFile(Path file, BasicFileAttributes attributes)
              throws IOException {
            disk.delete(file);
            return FileVisitResult.CONTINUE;
          }

          @Override
          public FileVisitResult postVisitDirectory(Path folder, IOException e) throws IOException {
            disk.delete(folder);
            return FileVisitResult.CONTINUE;
          }
        });
  }
}

package ringtrue.library;

import java.io.IOException;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Random;
import ringtrue.dynamics.Progress;
import ringtrue.dynamics.Residual;
import ringtrue.library.SavedMeasurement.SavedMode;

/**
 * A process that changes a library and says each change before it begins ({@code will}) and after
 * it was confirmed ({@code did}). Every item carries a token and content made from it, so that what
 * is lost, half or mixed up can be told.
 */
final class LibraryWriter {
  static final String CUT =
      """
      {"format": "ringtrue-cut/1", "name": "trial %s", "operation": "turning",
       "material": {"ktc": "2000 MPa", "krc": "900 MPa"}, "engagement": {"axial": "1 mm"},
       "speed": "900 rpm", "feed": "100 mm/min", "dynamics": {"tool": {"x": {"saved": "%s"}}}}
      """;

  private final SetUpLibrary library;
  private final Random random;
  private final String name;
  private int count;

  private LibraryWriter(Path root, long seed) {
    library = SetUpLibrary.in(root);
    random = new Random(seed);
    name = "w" + seed;
  }

  /**
   * @param args folder of the library, seed, number of changes, and a set-up that several share or
   *     an archive to import
   */
  public static void main(String[] args) throws IOException {
    LibraryWriter writer = new LibraryWriter(Path.of(args[0]), Long.parseLong(args[1]));
    int changes = Integer.parseInt(args[2]);
    if (args[3].endsWith(".zip")) {
      writer.own(changes, Path.of(args[3]));
    } else {
      writer.shared(changes, args[3]);
    }
  }

  private String token() {
    return name + "-" + count++;
  }

  private static void say(String format, Object... values) {
    System.out.println(String.format(format, values));
    System.out.flush();
  }

  static SavedMeasurement measurement(String token) {
    SavedMode mode = new SavedMode(900 + token.hashCode() % 100, 0.02, 2e6, 0.5, 0.001, 3e4, -90.5);
    return new SavedMeasurement(
        "new",
        Instant.parse("2026-03-01T09:30:00Z"),
        "x",
        "tool tip",
        token,
        "",
        true,
        true,
        5,
        100,
        4000,
        0.01,
        List.of(mode),
        Residual.NONE,
        List.of(),
        "test",
        token);
  }

  /** A few hundred kilobytes at most, made from the token. */
  static String content(String token) {
    Random made = new Random(token.hashCode());
    int lines = 1 + made.nextInt(4000);
    StringBuilder text = new StringBuilder(token).append('\n');
    for (int i = 0; i < lines; i++) {
      text.append(made.nextLong()).append('\n');
    }
    return text.toString();
  }

  static SetUpLibrary.Filling filling(String token) {
    return (folder, filer) -> filer.write(folder.resolve("notes.txt"), content(token));
  }

  // On its own ------------------------------------------------------------------------------------

  private void own(int changes, Path archive) {
    List<String> mine = new ArrayList<>();
    for (int i = 0; i < changes; i++) {
      int kind = mine.isEmpty() ? 0 : random.nextInt(8);
      String id = mine.isEmpty() ? "" : mine.get(random.nextInt(mine.size()));
      String token = token();
      switch (kind) {
        case 0 -> {
          say("will create %s", token);
          String made =
              library
                  .create(
                      Map.of(SetUp.Field.NAME, token),
                      List.of(
                          new MeasurementKeeper.Kept(
                              measurement(token), filling(token), List.of())),
                      Instant.now())
                  .id();
          say("did create %s %s", made, token);
          mine.add(made);
        }
        case 1, 2 -> {
          say("will add %s %s", id, token);
          say(
              "did add %s %s %s",
              id, library.add(id, measurement(token), filling(token)).id(), token);
        }
        case 3 -> {
          say("will outcome %s %s", id, token);
          say("did outcome %s %s %s", id, outcome(id, token).id(), token);
        }
        case 4 -> {
          say("will change %s %s", id, token);
          library.change(library.read(id).setUp(), Map.of(SetUp.Field.NOTES, token), Instant.now());
          say("did change %s %s", id, token);
        }
        case 5, 6 -> {
          say("will remove %s", id);
          library.remove(id, Instant.now());
          say("did remove %s", id);
          if (kind == 6) {
            say("will restore %s", id);
            library.restore(id);
            say("did restore %s", id);
          } else {
            mine.remove(id);
          }
        }
        default -> {
          say("will import %s", token);
          String made = library.unpack(archive, Progress.NONE);
          say("did import %s", made);
          mine.add(made);
        }
      }
    }
    say("end");
  }

  private Outcome outcome(String id, String token) {
    return library.add(
        id,
        token,
        CUT.formatted(token, id),
        (folder, filer) -> filer.write(folder.resolve("notes.txt"), content(token)),
        new Outcome(
            "new",
            Instant.parse("2026-03-02T10:00:00Z"),
            "new",
            Outcome.Result.CHATTERED,
            "612 Hz",
            token));
  }

  // Beside another one ----------------------------------------------------------------------------

  private void shared(int changes, String id) {
    for (int i = 0; i < changes; i++) {
      String token = token();
      switch (i % 4) {
        case 0 -> {
          library.add(id, measurement(token), filling(token));
          say("did add %s", token);
        }
        case 1 -> {
          outcome(id, token);
          say("did outcome %s", token);
        }
        case 2 -> {
          SetUpLibrary.Changed changed =
              library.change(
                  library.read(id).setUp(), Map.of(SetUp.Field.NOTES, token), Instant.now());
          say("did change %s %s", token, changed.conflict().isPresent() ? "aside" : "in");
        }
        default -> {
          library.create(Map.of(SetUp.Field.NAME, token), Instant.now());
          say("did create %s", token);
        }
      }
    }
    say("end");
  }
}

package ringtrue.ui.setups;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.stream.Stream;
import ringtrue.dynamics.Residual;
import ringtrue.library.MeasurementKeeper.Kept;
import ringtrue.library.SavedMeasurement;
import ringtrue.library.SavedMeasurement.SavedMode;
import ringtrue.library.SetUp.Field;
import ringtrue.library.SetUpFile;
import ringtrue.library.SetUpLibrary;

/** Invented set-ups for tests. */
final class Shelves {
  private static final int FEW = 12;
  static final Instant FIRST = Instant.parse("2026-03-02T08:30:00Z");
  private static final String[] MACHINES = {"router A", "mill B", "mill C"};

  private Shelves() {}

  /** Some set-ups with modes that were never measured; invented. */
  static void fill(SetUpLibrary library, int count) {
    Random random = new Random(7);
    for (int i = 0; i < count; i++) {
      int diameter = 3 + i % 10;
      Map<Field, String> said = new EnumMap<>(Field.class);
      said.put(Field.MACHINE, MACHINES[i % MACHINES.length]);
      said.put(Field.HOLDER, i % 2 == 0 ? "collet chuck" : "shrink holder");
      said.put(Field.TOOL, diameter + " mm end mill, number " + i);
      said.put(Field.DIAMETER, diameter + " mm");
      said.put(Field.FLUTES, String.valueOf(2 + i % 3));
      said.put(Field.STICKOUT, 3 * diameter + " mm");
      Instant when = FIRST.plus(Duration.ofHours(26L * i));
      double hz = 900 - 4.0 * (i % 50);
      library.create(
          said, List.of(kept("x", when, hz, random), kept("y", when, 1.1 * hz, random)), when);
    }
  }

  /** Many set-ups that differ in id and name only from a few; written as files, not saved. */
  static void copies(SetUpLibrary library, int count) throws IOException {
    fill(library, Math.min(count, FEW));
    List<Path> few = library.ids().stream().map(library::folder).toList();
    for (int i = few.size(); i < count; i++) {
      Path from = few.get(i % few.size());
      String id = "copy-" + i + "-of-a-set-up";
      Path to = from.resolveSibling(id);
      try (Stream<Path> all = Files.walk(from)) {
        for (Path each : all.toList()) {
          Path there = to.resolve(from.relativize(each).toString());
          if (Files.isDirectory(each)) {
            Files.createDirectory(there);
          } else if (each.getFileName().toString().equals(SetUpFile.NAME)) {
            Files.writeString(
                there,
                Files.readString(each)
                    .replace(from.getFileName().toString(), id)
                    .replace("end mill, number ", "end mill, copy " + i + " of "));
          } else {
            Files.createLink(there, each);
          }
        }
      }
    }
  }

  /** More measurements of a set-up, its frequency falling. */
  static void drift(SetUpLibrary library, String id, int count) {
    Random random = new Random(8);
    for (int i = 1; i <= count; i++) {
      Kept kept = kept("x", FIRST.plus(Duration.ofDays(7L * i)), 900 - 6 * i, random);
      library.add(id, kept.found(), kept.filling());
    }
  }

  private static Kept kept(String axis, Instant when, double hz, Random random) {
    double f = hz * (1 + 0.001 * random.nextGaussian());
    SavedMeasurement found =
        new SavedMeasurement(
            "new",
            when,
            axis,
            "tip",
            "invented",
            "",
            true,
            true,
            8,
            100,
            3000,
            0.01,
            List.of(
                new SavedMode(f, 0.03, 8e6, 0.001 * f, 0.001, 2e5, 0),
                new SavedMode(2.3 * f, 0.02, 2e7, 0.002 * f, 0.001, 6e5, 0)),
            Residual.NONE,
            List.of(),
            "invented",
            "");
    return new Kept(found, (folder, filer) -> {}, List.of());
  }
}

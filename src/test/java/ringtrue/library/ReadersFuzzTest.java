package ringtrue.library;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.io.StringReader;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.function.BiFunction;
import java.util.function.Function;
import java.util.stream.Stream;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;
import ringtrue.acquisition.MemoryRecording;
import ringtrue.acquisition.Recording;
import ringtrue.acquisition.TapLog;
import ringtrue.acquisition.TextRecording;
import ringtrue.acquisition.WavRecording;
import ringtrue.acquisition.WavWriter;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Progress;
import ringtrue.dynamics.Residual;
import ringtrue.dynamics.ResponseForm;
import ringtrue.units.BadInputException;
import ringtrue.units.Dimension;
import ringtrue.units.Quantity;

/**
 * Every reader of files, fed damaged ones: 2,000 each in every run, as many as {@code
 * -Dringtrue.fuzz=100000} says otherwise. Inputs that were found are kept in {@code fixtures/fuzz}
 * and tried first.
 */
class ReadersFuzzTest {
  private static final int INPUTS = Integer.getInteger("ringtrue.fuzz", 2000);
  private static final long SEED = Long.getLong("ringtrue.fuzz.seed", 1);
  private static final Path FOUND = Path.of("fixtures", "fuzz");

  private static final Catalogue CATALOGUE = Catalogue.bundled();

  private static Path folder;

  /** Readers, with good files and the classes they run through. */
  enum Readers {
    MEASUREMENT,
    CUT,
    INPUT_PROFILE,
    MATERIALS,
    MACHINE,
    QUANTITY,
    WAV,
    TEXT,
    TAP_LOG,
    RESPONSE,
    MODES_CSV,
    MODES_JSON,
    DATASET_58,
    SET_UP,
    OUTCOME,
    SAVED_MODES,
    ARCHIVE;

    String word() {
      return name().toLowerCase(Locale.ROOT).replace('_', '-');
    }
  }

  /** Some readers, or all, so many inputs each, outside of the tests. */
  public static void main(String[] args) throws Exception {
    place();
    for (Readers which : Readers.values()) {
      if (args.length == 1 || List.of(args).contains(which.word())) {
        Fuzzer.Outcome outcome =
            new Fuzzer(target(which), folder).run(Integer.parseInt(args[0]), SEED);
        System.out.println(outcome.words(which.word()));
        outcome.findings().forEach(f -> System.out.println("  " + f.what()));
        keep(which, outcome);
      }
    }
    tidy();
  }

  private static void keep(Readers which, Fuzzer.Outcome outcome) throws IOException {
    Path kept = Path.of("target", "fuzz-findings");
    for (int i = 0; i < outcome.findings().size(); i++) {
      Files.createDirectories(kept);
      Files.write(kept.resolve(which.word() + "-" + i), outcome.findings().get(i).input());
    }
  }

  @BeforeAll
  static void place() throws IOException {
    // in memory where the system has such a folder: a run writes as many files as it has inputs
    Path memory = Path.of("/dev/shm");
    folder =
        Files.isWritable(memory)
            ? Files.createTempDirectory(memory, "ringtrue-fuzz")
            : Files.createTempDirectory("ringtrue-fuzz");
    Files.copy(Path.of("demo-measurements/tool-10mm-x.wav"), folder.resolve("taps.wav"));
    Files.writeString(folder.resolve("taps.txt"), table(";", "."));
    Files.writeString(folder.resolve("tip-y.csv"), FrequencyResponseCsv.toText(response()));
    Files.writeString(
        folder.resolve("tip-y.unv"), Dataset58Text.of(response(), ResponseForm.ACCELERANCE));
    Files.writeString(folder.resolve("tip-x-modes.csv"), ModesCsv.toText(modes()));
  }

  @AfterAll
  static void tidy() throws IOException {
    delete(folder);
  }

  private static void delete(Path root) throws IOException {
    try (Stream<Path> all = Files.walk(root)) {
      for (Path each : all.sorted(java.util.Comparator.reverseOrder()).toList()) {
        Files.delete(each);
      }
    }
  }

  @ParameterizedTest
  @EnumSource(Readers.class)
  void damagedFilesAreReadOrRefused(Readers which) throws Exception {
    Fuzzer.Target target = target(which);
    Fuzzer.Outcome outcome = new Fuzzer(target, folder).run(INPUTS, SEED);
    if (INPUTS > 2000) {
      System.out.println(outcome.words(which.word()));
    }
    keep(which, outcome);
    assertThat(outcome.findings().stream().map(Fuzzer.Finding::what)).isEmpty();
    assertThat(outcome.refused()).as("most damage is refused").isGreaterThan(INPUTS / 10);
    if (outcome.probes() > 0) {
      assertThat(outcome.reached())
          .as("damage reaches the reader")
          .isGreaterThan(outcome.probes() / 5);
    }
  }

  private static Fuzzer.Target target(Readers which) throws IOException {
    List<byte[]> corpus = new ArrayList<>(good(which));
    try (Stream<Path> found = Files.exists(FOUND) ? Files.list(FOUND) : Stream.empty()) {
      for (Path each : found.sorted().toList()) {
        if (each.getFileName().toString().startsWith(which.word() + "-")) {
          corpus.add(Files.readAllBytes(each));
        }
      }
    }
    return switch (which) {
      case MEASUREMENT ->
          json(which, corpus, MeasurementFile::read, MeasurementFile.class, DecayMeasurement.class);
      case CUT ->
          json(
              which,
              corpus,
              f -> CutFile.read(f, CATALOGUE, Progress.NONE),
              CutFile.class,
              DynamicsFields.class,
              MachineFields.class);
      case MACHINE ->
          json(
              which,
              corpus,
              f -> MachineFields.ofText("input.json", Catalogue.text(f)),
              MachineFields.class);
      case QUANTITY ->
          new Fuzzer.Target(
              which.word(),
              "input.txt",
              corpus,
              Mutations::text,
              ReadersFuzzTest::quantities,
              classes(Quantity.class));
      case INPUT_PROFILE -> json(which, corpus, InputProfileFile::read, InputProfileFile.class);
      case MODES_JSON -> json(which, corpus, ModesFile::read, ModesFile.class);
      case SET_UP ->
          kept(which, corpus, SetUpFile::ofText, SetUpFile::toText, SetUpFile.class, SetUp.class);
      case OUTCOME ->
          kept(
              which,
              corpus,
              (name, text) -> Outcome.ofText("cut-1-quiet", name, text),
              Outcome::toText,
              Outcome.class);
      case SAVED_MODES ->
          kept(
              which,
              corpus,
              (name, text) -> SavedMeasurementFile.ofText("x-1", name, text),
              SavedMeasurementFile::toText,
              SavedMeasurementFile.class,
              SavedMeasurement.class);
      case MATERIALS ->
          new Fuzzer.Target(
              which.word(),
              "input.csv",
              corpus,
              Mutations::text,
              f -> new CatalogueTable(f.toString(), new StringReader(Catalogue.text(f))),
              classes(CatalogueTable.class));
      case WAV ->
          new Fuzzer.Target(
              which.word(),
              "input.wav",
              corpus,
              Mutations::bytes,
              f -> readAll(WavRecording.open(f)),
              classes(WavRecording.class));
      case TEXT ->
          new Fuzzer.Target(
              which.word(),
              "input.txt",
              corpus,
              Mutations::text,
              f -> {
                readAll(TextRecording.open(f, TextRecording.Layout.timeIn(1)));
              },
              classes(TextRecording.class));
      case TAP_LOG ->
          new Fuzzer.Target(
              which.word(),
              "input.taps.jsonl",
              corpus,
              Mutations::json,
              TapLog::read,
              classes(TapLog.class));
      case RESPONSE ->
          new Fuzzer.Target(
              which.word(),
              "input.csv",
              corpus,
              Mutations::text,
              ReadersFuzzTest::responseRoundTrip,
              classes(FrequencyResponseCsv.class, FrequencyResponse.class));
      case MODES_CSV ->
          new Fuzzer.Target(
              which.word(),
              "input.csv",
              corpus,
              Mutations::text,
              f -> {
                ModalModel read = ModesCsv.read(f);
                Files.writeString(f, ModesCsv.toText(read));
                if (!ModesCsv.read(f).equals(read) && !read.modes().isEmpty()) {
                  throw new IllegalStateException("read, written and read again differ");
                }
              },
              classes(ModesCsv.class, FortranFields.class));
      case DATASET_58 ->
          new Fuzzer.Target(
              which.word(),
              "input.unv",
              corpus,
              Mutations::text,
              ReadersFuzzTest::universalRoundTrip,
              classes(
                  Dataset58.class,
                  UniversalFile.class,
                  UniversalFunction.class,
                  UniversalLines.class,
                  FortranFields.class));
      case ARCHIVE ->
          new Fuzzer.Target(
              which.word(),
              "input.zip",
              corpus,
              ArchiveMutations::of,
              ReadersFuzzTest::unpack,
              classes(SetUpArchive.class, ArchiveNames.class, ZipDirectory.class));
    };
  }

  private static Fuzzer.Target json(
      Readers which, List<byte[]> corpus, Fuzzer.Reader reader, Class<?>... covered) {
    List<Class<?>> all = new ArrayList<>(classes(covered));
    all.addAll(classes(JsonFields.class));
    boolean namesOthers = which == Readers.MEASUREMENT || which == Readers.CUT;
    return new Fuzzer.Target(
        which.word(), "input.json", corpus, Mutations::json, reader, all, namesOthers);
  }

  /** A file of the library: what is read of it, written and read again, is the same. */
  private static <T> Fuzzer.Target kept(
      Readers which,
      List<byte[]> corpus,
      BiFunction<String, String, T> of,
      Function<T, String> toText,
      Class<?>... covered) {
    return json(
        which,
        corpus,
        f -> {
          T read = of.apply("input.json", SetUpReader.text(f, "input.json"));
          T again;
          try {
            again = of.apply("input.json", toText.apply(read));
          } catch (BadInputException e) {
            throw new IllegalStateException(
                "what was read and written cannot be read: " + e.getMessage(), e);
          }
          if (!again.equals(read)) {
            throw new IllegalStateException("read, written and read again differ");
          }
        },
        covered);
  }

  /** Classes with those inside them. */
  private static List<Class<?>> classes(Class<?>... outer) {
    List<Class<?>> all = new ArrayList<>();
    for (Class<?> each : outer) {
      all.add(each);
      all.addAll(List.of(each.getDeclaredClasses()));
    }
    return all.stream().filter(c -> !c.isInterface()).toList();
  }

  // What is read must hold together -------------------------------------------------------------

  private static void readAll(Recording recording) throws IOException {
    if (recording.channels() > 1000) {
      throw new IllegalStateException(recording.channels() + " channels");
    }
    double[][] samples = new double[recording.channels()][1024];
    try (Recording.Cursor cursor = recording.from(0)) {
      long sum = 0;
      int got;
      while ((got = cursor.read(samples, 0, 1024)) > 0) {
        sum += got;
      }
      if (sum != recording.frames()) {
        throw new IllegalStateException(sum + " frames of " + recording.frames());
      }
    }
  }

  /** One line as a quantity of every kind. */
  private static void quantities(Path file) throws IOException {
    String text = new String(Files.readAllBytes(file), StandardCharsets.UTF_8);
    int good = 0;
    for (Dimension dimension : Dimension.values()) {
      try {
        if (!Double.isFinite(Quantity.parse(text, dimension))) {
          throw new IllegalStateException("\"" + text + "\" is no finite " + dimension.words());
        }
        good++;
      } catch (BadInputException e) {
        // most are of one kind only
      }
    }
    if (good == 0) {
      throw new BadInputException("input: no quantity of any kind");
    }
  }

  private static void responseRoundTrip(Path file) throws IOException {
    FrequencyResponse read = FrequencyResponseCsv.read(file);
    String text = FrequencyResponseCsv.toText(read);
    Files.writeString(file, text);
    if (!FrequencyResponseCsv.toText(FrequencyResponseCsv.read(file)).equals(text)) {
      throw new IllegalStateException("read, written and read again differ");
    }
  }

  private static void universalRoundTrip(Path file) throws IOException {
    FrequencyResponse read = Dataset58.read(file, Dataset58.Wanted.ONLY);
    String text = Dataset58Text.of(read, ResponseForm.RECEPTANCE);
    Files.writeString(file, text);
    String again;
    try {
      again =
          Dataset58Text.of(Dataset58.read(file, Dataset58.Wanted.ONLY), ResponseForm.RECEPTANCE);
    } catch (BadInputException e) {
      throw new IllegalStateException(
          "what was read and written cannot be read: " + e.getMessage(), e);
    }
    // titles are ASCII in this format and may lose letters; numbers may not lose a digit
    if (!numbers(again).equals(numbers(text))) {
      throw new IllegalStateException("read, written and read again differ");
    }
  }

  private static List<String> numbers(String text) {
    return text.lines().filter(line -> line.matches("[-+ 0-9.E]+")).toList();
  }

  private static void unpack(Path file) throws IOException {
    Path into = folder.resolve("into");
    long outside = outside();
    try {
      SetUpArchive.unpack(file, into, Progress.NONE);
    } catch (BadInputException e) {
      if (Files.exists(into)) {
        try (Stream<Path> left = Files.list(into)) {
          if (left.findAny().isPresent()) {
            throw new IllegalStateException("something is left behind", e);
          }
        }
      }
      throw e;
    } finally {
      if (Files.exists(into)) {
        delete(into);
      }
      if (outside() != outside) {
        throw new IllegalStateException("something was written outside");
      }
    }
  }

  private static long outside() throws IOException {
    try (Stream<Path> all = Files.list(folder)) {
      return all.count();
    }
  }

  // Good files ------------------------------------------------------------------------------------

  private static ModalModel modes() {
    return new ModalModel(
        List.of(new Mode(310.5, 0.03, 9e6, 0.1, 1e-4, 1e4, -91), Mode.of(1240, 0.016, 2.1e6)),
        new Residual(1e-9, 0.2));
  }

  private static FrequencyResponse response() {
    int n = 24;
    double[][] c = new double[5][n];
    double[] value = new double[2];
    for (int i = 0; i < n; i++) {
      c[0][i] = 50.0 * (i + 1);
      modes().at(c[0][i], value);
      c[1][i] = value[0];
      c[2][i] = value[1];
      c[3][i] = 1 - 0.01 * i;
      c[4][i] = 0.01 * i;
    }
    return new FrequencyResponse(
        c[0],
        c[1],
        c[2],
        c[3],
        c[4],
        new FrequencyResponse.Origin(
            "y", "tool tip", 4, 0.02, 100, 1000, "a tool", List.of("One remark.")));
  }

  private static String table(String between, String mark) {
    StringBuilder table =
        new StringBuilder("# a logger\ntime" + between + "force" + between + "acc\n");
    for (int i = 0; i < 60; i++) {
      String row =
          String.format(
              Locale.ROOT, "%.6f\u0001%.3f\u0001%.2e%n", i / 8000.0, Math.sin(i), Math.cos(i));
      table.append(row.replace(".", mark).replace("\u0001", between));
    }
    return table.toString();
  }

  private static List<byte[]> good(Readers which) throws IOException {
    return switch (which) {
      case MEASUREMENT ->
          texts(
              """
              {"format": "ringtrue-measurement/1", "name": "spindle A", "axis": "x", "point": "tool tip",
               "recordings": ["taps.wav"],
               "force": {"channel": 1, "sensitivity": "2.25 mV/N", "fullScale": "1.0 V", "highPass": "8 Hz"},
               "response": {"channel": 2, "quantity": "acceleration", "sensitivity": "10.2 mV/g",
                            "fullScale": "1.0 V", "polarity": "+", "sensorMass": "0.6 g"},
               "calibration": {"factor": 0.97, "sigma": "0.9 %"}, "channelSkew": "12 us",
               "processing": {"blockLength": "0.5 s", "preTrigger": "5 ms", "triggerLevel": "5 %",
                 "forceWindow": {"length": "3 ms", "taper": "0.5 ms"}, "responseWindow": {"timeConstant": "20 ms"},
                 "estimator": "H1", "rejected": [1], "kept": [2], "blockStarts": ["0.2607 s", "0.5 s"],
                 "usableBand": {"coherence": "80 %", "forceDrop": "20 dB"}}, "notes": "n"}
              """,
              """
              {"format": "ringtrue-measurement/1", "recordings": ["taps.txt"],
               "columns": {"time": 1, "force": 2, "response": 3, "forceUnit": "N", "responseUnit": "m/s^2"},
               "addedMass": {"recordings": ["taps.txt"], "mass": "5 g", "massSigma": "0.05 g", "rejected": [1]},
               "processing": {"blockLength": "file", "forceWindow": "none", "responseWindow": {"endValue": "5 %"}}}
              """,
              """
              {"format": "ringtrue-measurement/1", "recordings": ["taps.wav"], "response": {"channel": 1, "quantity": "sound"}}
              """);
      case CUT ->
          texts(
              """
              {"format": "ringtrue-cut/1", "name": "slotting trial", "operation": "milling",
               "machine": {"name": "m", "minSpeed": "6000 rpm", "maxSpeed": "24000 rpm", "maxFeed": "5 m/min",
                           "power": [["6000 rpm", "0.5 kW"], ["24000 rpm", "2.2 kW"]]},
               "tool": {"diameter": "6 mm", "flutes": 4, "helix": "35 deg", "pitch": ["90 deg","90 deg","90 deg","90 deg"],
                        "stickout": "22 mm", "fluteLength": "16 mm", "runout": "5 um", "edgeRadius": "5 um"},
               "material": "mild steel", "engagement": {"direction": "down", "radial": "0.3 mm", "axial": "6 mm"},
               "speed": "18000 rpm", "feedPerTooth": "0.03 mm",
               "dynamics": {"speedShiftSigma": "2 %",
                 "tool": {"x": {"modes": "tip-x-modes.csv"}, "y": {"frf": "tip-y.csv"}},
                 "workpiece": {"x": {"modes": []}, "y": {"frf": "tip-y.unv", "function": 1}}}}
              """,
              """
              {"format": "ringtrue-cut/1", "operation": "milling", "machine": {"maxSpeed": "24000 rpm"},
               "tool": {"diameter": "8 mm", "flutes": 3, "helix": ["30 deg", "32 deg", "34 deg"]},
               "material": {"ktc": "800 MPa", "krc": "250 MPa", "kte": "18 N/mm", "kre": "22 N/mm", "range": "15 %"},
               "engagement": {"direction": {"entry": "10 deg", "exit": "90 deg"}, "radial": "3 mm", "axial": "2 mm"},
               "speed": "12000 rpm", "feed": "1.2 m/min", "processDamping": "2.5e5 N/m",
               "dynamics": {"tool": {
                 "x": {"bySpeed": [
                   {"speed": "0 rpm", "modes": [{"frequency": "900 Hz", "damping": "2 %", "stiffness": "5e6 N/m"}]},
                   {"speed": "12000 rpm", "modes": [{"frequency": "870 Hz", "damping": "3 %", "stiffness": "5e6 N/m"}]}]},
                 "y": {"modes": [{"frequency": "950 Hz", "damping": "2 %", "stiffness": "6e6 N/m", "frequencySigma": "1 %"}]},
                 "xy": {"modes": [{"frequency": "900 Hz", "damping": "2 %", "stiffness": "-4e7 N/m"}]}}}}
              """,
              """
              {"format": "ringtrue-cut/1", "operation": "turning", "material": "mild steel",
               "engagement": {"axial": "2 mm"}, "speed": "1200 rpm", "feedPerTooth": "0.1 mm",
               "dynamics": {"modeAngle": "20 deg", "tool": {"x": {"modes": [{"frequency": "250 Hz", "damping": "3 %", "stiffness": "2e7 N/m"}]}}}}
              """);
      case INPUT_PROFILE ->
          texts(
              """
              {"format": "ringtrue-input/1", "name": "bench box", "device": "Box", "sampleRate": "96 kHz",
               "bits": 24, "gain": "knobs at 2 o'clock",
               "force": {"channel": 1, "sensitivity": "2.25 mV/N", "fullScale": "0.95 V",
                         "fullScaleFrom": "measured", "fullScaleSigma": "0.6 %"},
               "response": {"channel": 2, "quantity": "acceleration", "sensitivity": "10.2 mV/g",
                            "fullScale": "1.0 V", "highPass": "8 Hz", "polarity": "-", "sensorMass": "0.6 g"},
               "channelSkew": "12 us"}
              """);
      case MODES_JSON ->
          texts(
              """
              {"modes": [{"frequencyHz": 1240.5, "frequencyHzSigma": 0.1, "dampingRatio": 0.016,
                "dampingRatioSigma": null, "stiffnessNPerM": 2.1e6, "stiffnessNPerMSigma": 1e4, "massKg": 0.03, "phaseDeg": -91.5}],
               "residual": {"upperMPerN": 1e-9, "lowerPerKg": 0.5}, "bandHz": [1, 2], "remarks": []}
              """);
      case MACHINE -> {
        List<byte[]> all = new ArrayList<>();
        try (Stream<Path> files = Files.list(Path.of("shared", "machines"))) {
          for (Path each : files.filter(f -> f.toString().endsWith(".json")).sorted().toList()) {
            all.add(Files.readAllBytes(each));
          }
        }
        yield all;
      }
      case QUANTITY ->
          texts(
              "6.35 mm",
              "0.25 in",
              "10.2 mV/g",
              "12000 rpm",
              "150 in/min",
              "1.1 %",
              "30 deg",
              "1900 MPa",
              "3 hp",
              "8 mV/(m/s^2)",
              "2 kg*m^2/s^3",
              "1 (mm/s)/(N*s^-1)",
              "5 \u00b5m",
              "0.6 g",
              "1.5e-3 lbf in");
      case MATERIALS -> {
        List<String> lines = Files.readAllLines(Path.of("shared", "materials.csv"));
        yield texts(String.join("\n", lines.subList(0, Math.min(6, lines.size()))) + "\n");
      }
      case WAV -> {
        List<byte[]> all = new ArrayList<>();
        try (Stream<Path> files = Files.walk(Path.of("fixtures", "wav"))) {
          for (Path each : files.filter(f -> f.toString().endsWith(".wav")).sorted().toList()) {
            if (Files.size(each) < 8192) {
              all.add(Files.readAllBytes(each));
            }
          }
        }
        for (WavWriter.SampleFormat format : WavWriter.SampleFormat.values()) {
          Path wav = folder.resolve("small.wav");
          WavWriter.write(
              new MemoryRecording("small", 48_000, new double[][] {{0, 0.5, -1}, {0.1, 0, 1}}),
              wav,
              format,
              true);
          all.add(Files.readAllBytes(wav));
          Files.delete(wav);
        }
        yield all;
      }
      case TEXT ->
          texts(
              table(";", "."), table(";", ","), table("\t", "."), table(",", "."), table(" ", "."));
      case TAP_LOG ->
          texts(
              """
              {"format":"ringtrue-taps/1","recording":"bench.WAV","sampleRateHz":48000.0}
              {"tap":1,"onsetFrame":100,"verdict":"kept","reason":""}
              """,
              tapLog());
      case RESPONSE ->
          List.of(FrequencyResponseCsv.toText(response()).getBytes(StandardCharsets.UTF_8));
      case MODES_CSV -> List.of(ModesCsv.toText(modes()).getBytes(StandardCharsets.UTF_8));
      case DATASET_58 -> {
        List<byte[]> all = new ArrayList<>();
        for (ResponseForm form : ResponseForm.values()) {
          all.add(Dataset58Text.of(response(), form).getBytes(StandardCharsets.UTF_8));
        }
        try (Stream<Path> files = Files.list(Path.of("fixtures", "exchange"))) {
          for (Path each : files.filter(f -> !f.toString().endsWith(".md")).sorted().toList()) {
            all.add(Files.readAllBytes(each));
          }
        }
        all.add(binary());
        yield all;
      }
      case SET_UP ->
          texts(
              """
              {"format": "ringtrue-setup/1", "id": "end-mill-6mm-k3f9w", "revision": 3,
               "created": "2026-03-01T09:30:00Z", "changed": "2026-03-02T09:30:00.125Z",
               FIELDS}
              """
                  .replace(
                      "FIELDS",
                      Stream.of(SetUp.Field.values())
                          .map(f -> '"' + f.json() + "\": " + example(f))
                          .collect(java.util.stream.Collectors.joining(", "))));
      case OUTCOME ->
          texts(
              """
              {"format": "ringtrue-outcome/1", "date": "2026-03-01T09:30:00Z", "cut": "slotting-trial-3fa9k",
               "result": "chattered", "chatterFrequency": "1320 Hz", "notes": "loud"}
              """,
              """
              {"format": "ringtrue-outcome/1", "date": "2026-03-01T09:30:00Z", "cut": "slotting", "result": "quiet"}
              """);
      case SAVED_MODES ->
          texts(
              """
              {"format": "ringtrue-saved-modes/1", "date": "2026-03-01T09:30:00Z", "axis": "x", "point": "tip",
               "name": "n", "inputProfile": "bench", "clamping": "again", "force": "measured", "averages": 6,
               "bandLowHz": 100, "bandHighHz": 4000.5, "fitErrorRelative": 0.02,
               "modes": [{"frequencyHz": 1240.5, "frequencyHzSigma": 0.1, "dampingRatio": 0.016, "dampingRatioSigma": 1e-4,
                          "stiffnessNPerM": 2.1e6, "stiffnessNPerMSigma": null, "phaseDeg": -91.5}],
               "residual": {"upperMPerN": 1e-9, "lowerPerKg": 0.5}, "remarks": ["r"], "program": "p", "notes": "n"}
              """,
              """
              {"format": "ringtrue-saved-modes/1", "date": "2026-03-01T09:30:00Z", "clamping": "same", "force": "none",
               "modes": [{"frequencyHz": 1240.5, "dampingRatio": 0.016}]}
              """);
      case ARCHIVE -> {
        Path setUp = Files.createDirectories(folder.resolve("a-set-up/measurements/x"));
        Files.writeString(setUp.resolve("response.csv"), FrequencyResponseCsv.toText(response()));
        Files.writeString(setUp.resolveSibling("notes.txt"), "x");
        Files.writeString(
            folder.resolve("a-set-up/set-up.json"), "{\"format\": \"ringtrue-setup/1\"}\n");
        Path zip = folder.resolve("good.zip");
        SetUpArchive.pack(folder.resolve("a-set-up"), zip, true, Progress.NONE);
        byte[] bytes = Files.readAllBytes(zip);
        Files.delete(zip);
        yield List.of(bytes);
      }
    };
  }

  private static String example(SetUp.Field field) {
    return switch (field.kind()) {
      case COUNT -> "3";
      case TEXT -> "\"word\"";
      default -> "\"30 mm\"";
    };
  }

  private static String tapLog() throws IOException {
    Path wav = folder.resolve("log.wav");
    Path log = folder.resolve("log.taps.jsonl");
    try (ringtrue.acquisition.StreamedWav stream =
            ringtrue.acquisition.StreamedWav.create(wav, 48_000, 1, 16, true);
        TapLog taps = TapLog.create(stream, 48_000, log, true)) {
      stream.write(new double[1000], 1000);
      taps.append(
          new TapLog.Entry(
              2, 500, 400, "double hit", "a second blow", java.util.Map.of("peakForceN", 50.0)));
    }
    String text = Files.readString(log);
    Files.deleteIfExists(wav);
    Files.deleteIfExists(log);
    return text;
  }

  /** One response in binary, little-endian, single precision. */
  private static byte[] binary() {
    String text = Dataset58Text.of(response(), ResponseForm.RECEPTANCE);
    int start = text.indexOf("    -1\n    58\n");
    List<String> lines = text.substring(start).lines().limit(13).toList();
    String head =
        String.join("\n", lines)
                .replaceFirst(
                    "    58\n",
                    "    58b     1     2          11         384     0     0           0           0\n")
            + "\n";
    java.nio.ByteBuffer values =
        java.nio.ByteBuffer.allocate(384).order(java.nio.ByteOrder.LITTLE_ENDIAN);
    for (int i = 0; i < 24; i++) {
      values.putDouble(1e-7 * i).putDouble(-1e-7);
    }
    byte[] h = head.getBytes(StandardCharsets.US_ASCII);
    byte[] all = Mutations.joined(h, h.length, values.array(), h.length);
    return Mutations.joined(
        all, all.length, "    -1\n".getBytes(StandardCharsets.US_ASCII), all.length);
  }

  private static List<byte[]> texts(String... texts) {
    return Stream.of(texts).map(t -> t.getBytes(StandardCharsets.UTF_8)).toList();
  }

  @ParameterizedTest
  @EnumSource(Readers.class)
  void theUndamagedFilesAreGood(Readers which) throws Exception {
    Fuzzer.Target target = target(which);
    Path file = folder.resolve(target.fileName());
    for (byte[] good : good(which)) {
      Files.write(file, good);
      target.reader().read(file);
    }
  }
}

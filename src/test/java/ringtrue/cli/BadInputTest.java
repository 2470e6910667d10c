package ringtrue.cli;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.Arguments;
import org.junit.jupiter.params.provider.MethodSource;

/** Whatever is wrong with the input, the user gets one line and exit code 2. */
class BadInputTest {
  @TempDir Path folder;
  private SmallJob job;

  @BeforeEach
  void goodFiles() throws IOException {
    job = SmallJob.in(folder);
  }

  private void refused(String why, String... args) {
    CommandRun run = CommandRun.of(args);
    assertThat(run.err()).as("standard error of %s", Arrays.toString(args)).contains(why);
    assertThat(run.code()).isEqualTo(2);
    assertThat(run.err().strip().lines()).as("one line").hasSize(1);
    assertThat(run.err()).startsWith("ringtrue: ").doesNotContain("Exception", "\tat ");
    assertThat(run.out()).isEmpty();
  }

  @Test
  void theGoodFilesAreGood() {
    for (String[] args :
        List.of(
            new String[] {"frf", job.measurement(), "--json"},
            new String[] {"modes", job.measurement(), "--json"},
            new String[] {"lobes", job.cut(), "--json", "--speeds", "6000:24000:2000"},
            new String[] {"plan", job.cut(), "--json"})) {
      CommandRun run = CommandRun.of(args);
      assertThat(run.code()).as("%s: %s", Arrays.toString(args), run.err()).isZero();
    }
  }

  static Stream<Arguments> cuts() {
    return Stream.of(
            "ringtrue-cut/1 | ringtrue-cut/9 | newer than this program",
            "\"milling\" | \"drilling\" | operation: \"drilling\" is not known",
            "\"operation\" | \"operatoin\" | did you mean \"operation\"?",
            "\"6 mm\", \"flutes\" | \"-6 mm\", \"flutes\" | tool.diameter: must be more than zero",
            "\"6 mm\", \"flutes\" | \"6\", \"flutes\" | tool.diameter: \"6\" has no unit",
            "\"6 mm\", \"flutes\" | \"6 m\", \"flutes\" | tool.diameter: \"6 m\" makes no sense here",
            "\"flutes\": 4 | \"flutes\": 0 | tool.flutes: must be a whole number from 1",
            "\"flutes\": 4 | \"flutes\": 3 | tool.pitch: has 4 angles for 3 flutes",
            "\"flutes\": 4, | | tool.flutes: missing",
            "\"35 deg\" | \"95 deg\" | tool.helix: must lie between",
            "\"35 deg\" | [\"35 deg\", \"36 deg\"] | tool.helix: has 2 angles for 4 flutes",
            "\"90 deg\", \"90 deg\"] | \"90 deg\", \"99 deg\"] | tool.pitch: the angles add up to 369.000 deg",
            "\"90 deg\", \"90 deg\"] | \"180 deg\", \"0 deg\"] | tool.pitch: every angle must be more than zero",
            "\"mild steel\" | \"mild stele\" | material: unknown material \"mild stele\"; closest known: \"mild steel\"",
            "\"mild steel\" | {\"ktc\": \"-5 MPa\", \"krc\": \"1 MPa\"} | material.ktc: must be more than zero",
            "\"mild steel\" | {\"ktc\": \"5 MPa\"} | material.krc: missing",
            "\"mild steel\" | {\"ktc\": \"5 MPa\", \"krc\": \"1 MPa\", \"kte\": \"1 N\"} | material.kte: \"1 N\" is not a force per length",
            "\"down\" | \"sideways\" | engagement.direction: \"sideways\" is not known",
            "\"down\" | {\"entry\": \"90 deg\", \"exit\": \"30 deg\"} | engagement.direction.exit: angles must satisfy",
            "\"0.3 mm\" | \"7 mm\" | engagement.radial: 7.000 mm is wider than the tool's diameter, 6.000 mm",
            "\"0.3 mm\" | \"0 mm\" | engagement.radial: must be more than zero",
            "\"radial\": \"0.3 mm\", | | engagement.radial: missing",
            "\"axial\": \"6 mm\" | \"axial\": \"-6 mm\" | engagement.axial: must be more than zero",
            "\"axial\": \"6 mm\" | \"axial\": \"1e300 mm\" | engagement.axial: \"1e300 mm\" makes no sense here",
            "\"1240 Hz\" | \"1e300 Hz\" | modes[0].frequency: \"1e300 Hz\" makes no sense here",
            "\"2.1e6 N/m\" | \"1e-300 N/m\" | modes[0].stiffness: \"1e-300 N/m\" makes no sense here",
            "\"18000 rpm\" | \"1e300 rpm\" | speed: \"1e300 rpm\" makes no sense here",
            "\"runout\": \"5 um\" | \"runout\": \"5 mm\" | tool.runout: \"5 mm\" makes no sense here",
            "\"axial\": \"6 mm\" | \"axial\": \"6 mm\", \"modeAngle\": \"20 deg\" | engagement.modeAngle: belongs to turning",
            "\"18000 rpm\" | \"0 rpm\" | speed: must be more than zero",
            "\"18000 rpm\" | \"18000 mm\" | speed: \"18000 mm\" is not a spindle speed",
            "\"speed\": \"18000 rpm\", | | speed: missing",
            "\"feedPerTooth\": \"0.03 mm\" | \"feedPerTooth\": \"0.03 mm\", \"feed\": \"1 m/min\" | feed: give either feed or feedPerTooth",
            "\"feedPerTooth\": \"0.03 mm\", | | feedPerTooth: missing",
            "\"2.1e6 N/m\" | \"-2.1e6 N/m\" | modes[0].stiffness: must be more than zero",
            "\"2.1e6 N/m\" | \"2.1e6 N\" | modes[0].stiffness: \"2.1e6 N\" is not a stiffness",
            "\"1.6 %\" | \"160 %\" | modes[0].damping: must be below 1",
            "\"1.6 %\" | \"-1 %\" | modes[0].damping: must be more than zero",
            "\"1240 Hz\" | \"0 Hz\" | modes[0].frequency: must be more than zero",
            "\"modes\": [{\"frequency\": \"1240 Hz\" | \"mode\": [{\"frequency\": \"1240 Hz\" | did you mean \"modes\"?",
            "{\"frf\": \"tip-y.csv\"} | {\"frf\": \"none.csv\"} | none.csv: there is no such file",
            "{\"frf\": \"tip-y.csv\"} | {\"frf\": \"m.json\"} | m.json: line 1: must be \"# format: ringtrue-frf/1\"",
            "{\"frf\": \"tip-y.csv\"} | {\"measurement\": \"none.json\"} | none.json: there is no such file",
            "{\"frf\": \"tip-y.csv\"} | {\"saved\": \"abc\"} | no set-up",
            "{\"frf\": \"tip-y.csv\"} | {} | dynamics.tool.y: give exactly one of",
            "{\"frf\": \"tip-y.csv\"}} | {\"frf\": \"tip-y.csv\"}, \"xyz\": {}} | dynamics.tool.xyz: unknown field; did you mean \"xy\"?",
            "{\"frf\": \"tip-y.csv\"}} | {\"frf\": \"tip-y.csv\"}, \"xy\": {\"mesurement\": \"m.json\"}} | dynamics.tool.xy.mesurement: unknown field; known here: modes, bySpeed, frf",
            "{\"frf\": \"tip-y.csv\"}} | {\"frf\": \"tip-y.csv\"}, \"xy\": {\"modes\": [{\"frequency\": \"900 Hz\", \"damping\": \"1 %\", \"stiffness\": \"0 N/m\"}]}} | dynamics.tool.xy.modes[0].stiffness: must be more than zero",
            "{\"frf\": \"tip-y.csv\"}} | {\"frf\": \"tip-y.csv\"}, \"xy\": {\"modes\": [{\"frequency\": \"900 Hz\", \"damping\": \"1 %\", \"stiffness\": \"-1e-300 N/m\"}]}} | dynamics.tool.xy.modes[0].stiffness: \"-1e-300 N/m\" makes no sense here",
            "{\"frf\": \"tip-y.csv\"} | {\"bySpeed\": []} | dynamics.tool.y.bySpeed: needs one speed or more",
            "{\"frf\": \"tip-y.csv\"} | {\"bySpeed\": [{\"modes\": []}]} | dynamics.tool.y.bySpeed[0].speed: missing",
            "{\"frf\": \"tip-y.csv\"} | {\"bySpeed\": [{\"speed\": \"-5 rpm\"}]} | dynamics.tool.y.bySpeed[0].speed: must not be negative",
            "{\"frf\": \"tip-y.csv\"} | {\"bySpeed\": [{\"speed\": \"0 rpm\"}]} | dynamics.tool.y.bySpeed[0].modes: missing",
            "{\"frf\": \"tip-y.csv\"} | {\"bySpeed\": [ROW, {\"speed\": \"9000 rpm\", \"modes\": [MODE, MODE]}]} | dynamics.tool.y.bySpeed[1].modes: has 2 modes, but the first row has 1",
            "{\"frf\": \"tip-y.csv\"} | {\"bySpeed\": [ROW, ROW]} | dynamics.tool.y.bySpeed[1].speed: speeds must rise from row to row, but 0 rpm follows 0 rpm",
            "\"feedPerTooth\": \"0.03 mm\" | \"feedPerTooth\": \"0.03 mm\", \"processDamping\": \"-2e5 N/m\" | processDamping: must not be negative",
            "\"feedPerTooth\": \"0.03 mm\" | \"feedPerTooth\": \"0.03 mm\", \"processDamping\": \"2e15 N/m\" | processDamping: \"2e15 N/m\" makes no sense here",
            "\"feedPerTooth\": \"0.03 mm\" | \"feedPerTooth\": \"0.03 mm\", \"procesDamping\": \"2e5 N/m\" | did you mean \"processDamping\"?",
            "\"dynamics\": { | \"dynamics\": {\"speedShiftSigma\": \"40 %\", | dynamics.speedShiftSigma: must lie between 0 % and 15 %, is 40 %",
            "\"mild steel\" | {\"ktc\": \"5 MPa\", \"krc\": \"1 MPa\", \"range\": \"150 %\"} | material.range: must lie between 0 % and 90 %, is 150 %",
            "\"dynamics\" | \"notes\" | dynamics: missing",
            "\"minSpeed\": \"6000 rpm\" | \"minSpeed\": \"60000 rpm\" | machine.minSpeed: 60000.0 rpm is above maxSpeed",
            "[\"6000 rpm\", \"0.5 kW\"] | [\"6000 rpm\"] | machine.power[0]: must be a pair",
            "[\"6000 rpm\", \"0.5 kW\"] | [\"60000 rpm\", \"0.5 kW\"] | machine.power[1]: speeds must rise")
        .map(line -> line.split("\\s*\\|\\s*", -1))
        .map(p -> Arguments.of(p[0].strip(), filled(p[1].strip()), p[2].strip()));
  }

  private static String filled(String text) {
    return text.replace("ROW", "{\"speed\": \"0 rpm\", \"modes\": [MODE]}")
        .replace(
            "MODE",
            "{\"frequency\": \"900 Hz\", \"damping\": \"1 %\", \"stiffness\": \"4e6 N/m\"}");
  }

  @ParameterizedTest
  @MethodSource("cuts")
  void badCutsAreNamedFieldByField(String from, String to, String why) throws IOException {
    String good = Files.readString(Path.of(job.cut()));
    assertThat(good).contains(from);
    Files.writeString(Path.of(job.cut()), good.replace(from, to));
    refused(why, "lobes", job.cut(), "--json");
    refused(why, "plan", job.cut(), "--json");
  }

  @Test
  void badOptionsAreNamed() {
    String cut = job.cut();
    refused("\"lobs\" is not a command; did you mean lobes?", "lobs", cut);
    refused("unknown option --jsn; did you mean --json?", "lobes", cut, "--jsn");
    refused("is one argument too many", "demo", cut);
    refused("Missing required parameter", "lobes");
    refused(
        "--samples: \"5\" must be a whole number from 20 to 20000", "lobes", cut, "--samples", "5");
    refused("--seed: belongs to --samples", "lobes", cut, "--seed", "3");
    refused("--max: no cut is wider", "lobes", cut, "--max", "1e30 m");
    refused("--method: \"zeroth-order\" is not known", "lobes", cut, "--method", "zeroth-order");
    refused("--over: \"speed\" must be depth or width", "lobes", cut, "--over", "speed");
    refused("--speeds: \"24000:6000:50\" must rise", "lobes", cut, "--speeds", "24000:6000:50");
    refused("--speeds: \"6000:24000\" must be LO:HI:STEP", "lobes", cut, "--speeds", "6000:24000");
    refused("--speeds: \"0\" must be more than zero", "lobes", cut, "--speeds", "0,6000");
    refused("--speeds: \"fast\" is not a spindle speed", "lobes", cut, "--speeds", "fast");
    refused("more than 100000 speeds", "lobes", cut, "--speeds", "1:24000:0.001");
    refused("--max: \"5\" has no unit", "lobes", cut, "--max", "5");
    refused("--max: \"-5 mm\" must be more than zero", "lobes", cut, "--max=-5 mm");
    refused("--at: \"12000\" must be a speed and a length", "lobes", cut, "--at", "12000");
    refused("--at: \"2\" has no unit", "lobes", cut, "--at", "12000,2");
    refused("--units: \"furlong\" must be mm or in", "plan", cut, "--units", "furlong");
    refused("none.csv", "plan", cut, "--catalogue", "none.csv");
    refused("--as: \"speed\" must be receptance", "frf", job.measurement(), "--as", "speed");
    refused("--band: \"200\" must be two frequencies", "modes", job.measurement(), "--band", "200");
    refused("--band: \"900:200\" must rise", "modes", job.measurement(), "--band", "900:200");
    refused("--count: must be a whole number from 1", "modes", job.measurement(), "--count", "-1");
    refused("--count", "modes", job.measurement(), "--count", "two");
    String m = job.measurement();
    refused("calibrate needs one of --mass", "calibrate", m);
    refused("--mass: \"0.75\" has no unit", "calibrate", m, "--mass", "0.75");
    refused("--mass: \"0 kg\" must be more than zero", "calibrate", m, "--mass", "0 kg");
    refused("--mass: \"1 N\" is not a mass", "calibrate", m, "--mass", "1 N");
  }

  @Test
  void filesThatAreThereAreKept() throws IOException {
    Path there = folder.resolve("there.csv");
    Files.writeString(there, "mine");
    refused(
        "is there already; add --overwrite", "frf", job.measurement(), "--out", there.toString());
    refused("is there already", "lobes", job.cut(), "--csv", there.toString());
    refused("must end in .png", "modes", job.measurement(), "--png", there.toString());
    assertThat(there).hasContent("mine");
    Path picture = folder.resolve("there.png");
    Files.writeString(picture, "mine");
    refused("is there already", "modes", job.measurement(), "--png", picture.toString());
    assertThat(picture).hasContent("mine");
    refused("is a folder", "frf", job.measurement(), "--out", folder.toString());
    refused(
        "there.csv: is a file; a folder is needed",
        "frf",
        job.measurement(),
        "--out",
        there + "/below.csv");
  }

  /** Even with leave to overwrite, nothing goes over what is read, nor under a false name. */
  @Test
  void whatIsReadIsNeverOverwritten() throws IOException {
    String m = job.measurement();
    String csv = job.response().toString();
    byte[] before = Files.readAllBytes(job.response());
    refused("is what is read", "modes", csv, "--csv", csv, "--overwrite");
    assertThat(job.response()).hasBinaryContent(before);
    refused("--csv: \"" + m, "modes", m, "--csv", m, "--overwrite");
    refused("must end in .png", "modes", m, "--png", job.wav().toString(), "--overwrite");
    refused("must end in .png", "modes", m, "--png", "-");
    String twice = folder.resolve("p.png").toString();
    refused("same file as --png", "modes", m, "--png", twice, "--check-png", twice);
    assertThat(Path.of(twice)).doesNotExist();
  }

  @Test
  void numbersThatNobodyMeasuresAreRefused() throws IOException {
    String good = Files.readString(Path.of(job.measurement()));
    Path file = Path.of(job.measurement());
    for (String full : List.of("1e300 V", "1e-300 V")) {
      Files.writeString(
          file, good.replace("\"fullScale\": \"1.0 V\"}", "\"fullScale\": \"" + full + "\"}"));
      refused("is what no sensor reads", "modes", job.measurement());
    }
    Files.writeString(file, good.replace("\"axis\": \"y\"", "\"axis\": \"xy\""));
    refused("\"xy\" is a cross response", "modes", job.measurement());
    refused("'x' is not a whole number", "modes", job.response().toString(), "--count", "x");
    refused("is no block to hang", "calibrate", job.measurement(), "--mass", "1e9 kg");
  }

  @Test
  void badRecordingsAreNamed() throws IOException {
    byte[] wav = Files.readAllBytes(job.wav());
    String m = job.measurement();
    Files.write(job.wav(), new byte[0]);
    refused("taps.wav", "frf", m);
    Files.write(job.wav(), Arrays.copyOf(wav, 20));
    refused("taps.wav", "frf", m);
    Files.write(job.wav(), Arrays.copyOf(wav, wav.length / 2));
    refused("taps.wav", "frf", m);
    byte[] other = wav.clone();
    other[0] = 'X';
    Files.write(job.wav(), other);
    refused("taps.wav", "frf", m);
    Files.delete(job.wav());
    refused("there is no file \"taps.wav\"", "frf", m);
  }

  static Stream<Arguments> measurements() {
    return Stream.of(
            "\"blockLength\": \"60 ms\" | \"blockLength\": \"0.01 ms\" | block",
            "\"blockLength\": \"60 ms\" | \"blockLength\": \"60 s\" | tap",
            "\"blockLength\": \"60 ms\" | \"blockLength\": \"60 ms\", \"blockStarts\": [\"900 s\"] | blockStarts: 900.000 s is not in taps.wav, which lasts 0.34",
            "\"blockLength\": \"60 ms\" | \"blockLength\": \"60 ms\", \"rejected\": [1, 2, 3] | tap",
            "\"blockLength\": \"60 ms\" | \"blockLength\": \"60 ms\", \"rejected\": [77] | 77",
            "\"blockLength\": \"60 ms\" | \"blockLength\": \"60 ms\", \"kept\": [78] | 78",
            "\"channel\": 1 | \"channel\": 3 | channel 3 is not in taps.wav",
            "\"channel\": 1 | \"channel\": 2 | cannot be the same channel",
            "\"2.25 mV/N\" | \"2.25 mV\" | force.sensitivity: \"2.25 mV\" is not a force sensitivity",
            "\"2.25 mV/N\" | \"-2.25 mV/N\" | force.sensitivity: must be more than zero",
            "\"acceleration\" | \"acelleration\" | did you mean \"acceleration\"?",
            "\"acceleration\" | \"velocity\" | response.sensitivity: \"10.2 mV/g\" is not a velocity sensitivity",
            "\"force\": | \"addedMass\": {\"mass\": \"5\", \"recordings\": []}, \"force\": | addedMass.mass: \"5\" has no unit",
            "\"sensitivity\": \"2.25 mV/N\", | | force.sensitivity: missing")
        .map(line -> line.split("\\s*\\|\\s*", -1))
        .map(p -> Arguments.of(p[0].strip(), p[1].strip(), p[2].strip()));
  }

  @ParameterizedTest
  @MethodSource("measurements")
  void badMeasurementsAreNamed(String from, String to, String why) throws IOException {
    String good = Files.readString(Path.of(job.measurement()));
    assertThat(good).contains(from);
    Files.writeString(Path.of(job.measurement()), good.replace(from, to));
    refused(why, "frf", job.measurement(), "--json");
  }

  @Test
  void withoutForceItIsSaidWhatCannotBeHad() throws IOException {
    String good = Files.readString(Path.of(job.measurement()));
    Files.writeString(Path.of(job.measurement()), good.replaceAll("\"force\": *\\{[^}]*\\},", ""));
    refused("force", "frf", job.measurement());
    CommandRun modes = CommandRun.of("modes", job.measurement());
    assertThat(modes.code()).isZero();
    assertThat(modes.out()).contains("1240", "unknown", "no force measured");
  }

  @Test
  void severalMeasurementsOneOfThemBad() {
    CommandRun run = CommandRun.of("frf", job.measurement(), "none.json");
    assertThat(run.code()).isEqualTo(2);
    assertThat(run.err().strip().lines()).hasSize(1);
    assertThat(run.err()).contains("none.json: there is no such file");
    assertThat(run.out()).contains("m.json");
  }
}

package ringtrue.cli;

import java.io.IOException;
import java.io.OutputStreamWriter;
import java.io.Writer;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import picocli.CommandLine;
import picocli.CommandLine.Option;
import ringtrue.dynamics.Progress;
import ringtrue.library.Cut;
import ringtrue.library.CutSoundFile;
import ringtrue.library.ModalWay;
import ringtrue.library.SafeFile;
import ringtrue.report.LengthUnit;
import ringtrue.report.Picture;
import ringtrue.report.SimulationPicture;
import ringtrue.stability.CutInTime;
import ringtrue.stability.CutSound;
import ringtrue.stability.CutTrace;
import ringtrue.stability.CuttingProcess;
import ringtrue.stability.SecondOpinion;
import ringtrue.stability.SimulatedCut;
import ringtrue.stability.SimulationSettings;
import ringtrue.stability.SimulationSettings.Sound;
import ringtrue.stability.SimulationSettings.StockEdge;
import ringtrue.units.BadInputException;
import ringtrue.units.Dimension;
import ringtrue.units.Names;

/** {@code simulate}: a cut in time. */
@CommandLine.Command(
    name = "simulate",
    sortOptions = false,
    description = "A cut in time: displacement, forces, chips, the surface left, and its sound.",
    footer = {
      "",
      "Example: ringtrue simulate cut.json --png cut.png",
      "         ringtrue simulate cut.json --wav cut.wav --seconds 5 --sound force",
      "With several cuts, the files of --csv, --wav and --png are folders."
    })
final class SimulateCommand extends CutCommand {
  private static final int MOST_KEPT = 1000;
  private static final double LONGEST_SOUND_S = 120;
  private static final double USUAL_SOUND_S = 3;
  private static final int USUAL_RATE_HZ = 48_000;

  @Option(
      names = "--turns",
      paramLabel = "N",
      description = "spindle turns to simulate (default: until the cut has settled)")
  private String turns;

  @Option(
      names = "--keep",
      paramLabel = "N",
      description =
          "turns at the end that are measured, drawn and written to the CSV (default: 20)")
  private String keep;

  @Option(
      names = "--csv",
      paramLabel = "FILE.csv",
      description = "write time, displacement, forces, torque and chips of the kept turns")
  private Path csv;

  @Option(
      names = "--wav",
      paramLabel = "FILE.wav",
      description = "write the sound of the settled cut")
  private Path wav;

  @Option(names = "--seconds", paramLabel = "S", description = "length of the sound (default: 3)")
  private String seconds;

  @Option(
      names = "--rate",
      paramLabel = "HZ",
      description = "samples per second of the sound (default: 48000)")
  private String rate;

  @Option(
      names = "--sound",
      paramLabel = "velocity|force",
      description =
          "what is heard: velocity of the tool against the workpiece (default) or the force")
  private String sound;

  @Option(
      names = "--png",
      paramLabel = "FILE.png",
      description = "draw forces, displacement, chips and surface")
  private Path png;

  @Option(
      names = "--scale",
      paramLabel = "N",
      description = "pixels of the picture for each usual one (2 for print)")
  private String scale = "1";

  /** A cut, what came of it, and what is to be known about it. */
  private record Made(Cut cut, SimulatedCut simulated, double fullScale, List<String> remarks) {}

  @Override
  public Integer call() {
    LengthUnit unit = unit();
    SimulationSettings settings = settings();
    double pixels = Options.number("--scale", scale, Dimension.RATIO, "");
    if (!(pixels >= 1 && pixels <= 8)) {
      throw new BadInputException("--scale: \"" + scale + "\" must be from 1 to 8");
    }
    if (files().size() > 1) {
      return many(settings, unit, pixels);
    }
    requireEnding("--csv", csv, ".csv", ".txt");
    requireEnding("--wav", wav, ".wav");
    requireEnding("--png", png, Picture.endings());
    requireOthers(file, csv, wav, png);
    mayWrite(csv, wav, png);
    Made made;
    try (TerminalProgress progress = new TerminalProgress(err())) {
      made = made(file, settings, progress);
    } catch (BadInputException e) {
      throw Places.named(file, e);
    }
    made = written(made, csv, wav, png, unit, pixels);
    if (json) {
      Made all = made;
      JsonOut.write(out(), o -> toJson(o, all));
    } else {
      SimulateText.of(made.simulated, made.cut, unit).forEach(out()::println);
    }
    remarks(made.remarks);
    return Ringtrue.DONE;
  }

  /** Each cut by itself; outputs go into folders. */
  private Integer many(SimulationSettings settings, LengthUnit unit, double pixels) {
    Batch.requireFolder("--csv", csv);
    Batch.requireFolder("--wav", wav);
    Batch.requireFolder("--png", png);
    List<Path> tables = Batch.outputs(csv, files(), "-simulated.csv");
    List<Path> sounds = Batch.outputs(wav, files(), "-simulated.wav");
    List<Path> pictures = Batch.outputs(png, files(), "-simulated.png");
    Batch<Made> batch =
        Batch.run(
            files(),
            err(),
            (each, number, progress) -> {
              Path table = tables.get(number);
              Path tone = sounds.get(number);
              Path picture = pictures.get(number);
              requireOthers(each, table, tone, picture);
              mayWrite(table, tone, picture);
              Made made = made(each, settings, progress);
              return written(made, table, tone, picture, unit, pixels);
            });
    if (json) {
      batch.json(out(), "cuts", SimulateCommand::toJson);
    } else {
      batch.summary(
          this, "cut", "verdict", m -> SimulationPicture.sentence(m.simulated), Made::remarks);
    }
    return batch.finish(err());
  }

  private Made made(Path from, SimulationSettings settings, Progress progress) {
    Cut cut = readCut(from, progress);
    List<String> remarks = new ArrayList<>(cut.remarks());
    CuttingProcess process = modal(cut.process(), remarks, progress);
    SimulatedCut simulated = CutInTime.run(process, settings, progress);
    remarks.addAll(simulated.remarks());
    SecondOpinion.on(process, settings, simulated, progress).ifPresent(remarks::add);
    return new Made(cut, simulated, Double.NaN, remarks);
  }

  private Made written(
      Made made, Path table, Path tone, Path picture, LengthUnit unit, double pixels) {
    List<String> remarks = new ArrayList<>(made.remarks);
    SimulatedCut simulated = made.simulated;
    double fullScale = writeSound(tone, simulated, remarks);
    if (table != null) {
      SafeFile.write(table, overwrite, o -> writeCsv(simulated.trace(), o));
      wrote(table);
    }
    draw(picture, () -> SimulationPicture.of(simulated, made.cut, unit).picture(), pixels);
    return new Made(made.cut, simulated, fullScale, remarks);
  }

  private SimulationSettings settings() {
    // as plan and lobes have it: an edge of the stock that is met elsewhere as the tool moves would
    // need teeth that turn with their path as well, or power and wall are off by as much
    SimulationSettings settings = SimulationSettings.USUAL.with(StockEdge.FIXED_ANGLES);
    if (turns != null) {
      settings =
          settings.withTurns(
              (int) Options.whole("--turns", turns, 1, SimulationSettings.MOST_TURNS));
    }
    if (keep != null) {
      settings = settings.withTracedTurns((int) Options.whole("--keep", keep, 1, MOST_KEPT));
    }
    if (wav == null) {
      for (String[] said :
          new String[][] {{"--seconds", seconds}, {"--rate", rate}, {"--sound", sound}}) {
        if (said[1] != null) {
          throw new BadInputException(said[0] + ": belongs to --wav; give that as well");
        }
      }
      return settings;
    }
    double length =
        seconds == null ? USUAL_SOUND_S : Options.number("--seconds", seconds, Dimension.TIME, "s");
    if (!(length >= 0.01 && length <= LONGEST_SOUND_S)) {
      throw new BadInputException(
          "--seconds: \"" + seconds + "\" must be from 0.01 to " + (int) LONGEST_SOUND_S);
    }
    int hz = rate == null ? USUAL_RATE_HZ : (int) Options.whole("--rate", rate, 8000, 192_000);
    return settings.withSound(quantity(), length, hz);
  }

  private Sound quantity() {
    if (sound == null) {
      return Sound.VELOCITY;
    }
    List<String> words = new ArrayList<>();
    for (Sound each : Sound.values()) {
      if (each.word().equals(sound)) {
        return each;
      }
      words.add(each.word());
    }
    throw new BadInputException(
        "--sound: \""
            + sound
            + "\" is not known; "
            + Names.closest(sound, words).map(n -> "did you mean " + n + "? ").orElse("")
            + "one of: "
            + String.join(", ", words));
  }

  /** The cut with modes where it was given as measured. */
  private static CuttingProcess modal(
      CuttingProcess process, List<String> remarks, Progress progress) {
    if (!ModalWay.measured(process)) {
      return process;
    }
    remarks.add("modes were fitted to the measured responses: a simulation in time needs modes");
    return ModalWay.modal(process, progress);
  }

  /** Writes the sound if asked for; gives its full scale, NaN for none. */
  private double writeSound(Path tone, SimulatedCut simulated, List<String> remarks) {
    if (tone == null) {
      return Double.NaN;
    }
    Optional<CutSound> heard = simulated.sound();
    if (heard.isEmpty() || heard.get().size() == 0) {
      remarks.add("no sound was written: the displacement became absurd before");
      return Double.NaN;
    }
    CutSound s = heard.get();
    double full = s.fullScale();
    CutSoundFile.write(tone, s, overwrite);
    wrote(tone);
    remarks.add(
        String.format(
            Locale.ROOT,
            "sound: %s along the direction in which it varies most, %.0f deg from +x; full scale (1.0) of"
                + " the WAV stands for %s %s, its peak is %.3g %s",
            s.quantity() == Sound.VELOCITY
                ? "velocity of the tool against the workpiece"
                : "cutting force less its mean",
            Math.toDegrees(s.directionRad()),
            trimmed(full),
            s.quantity().unit(),
            s.peak(),
            s.quantity().unit()));
    return full;
  }

  private static String trimmed(double value) {
    return new java.math.BigDecimal(String.format(Locale.ROOT, "%.3g", value))
        .stripTrailingZeros()
        .toPlainString();
  }

  private static void writeCsv(CutTrace trace, java.io.OutputStream out) throws IOException {
    Writer text = new OutputStreamWriter(out, StandardCharsets.UTF_8);
    StringBuilder row = new StringBuilder("time_s,x_m,y_m,fx_n,fy_n");
    for (int j = 1; j <= trace.flutes(); j++) {
      row.append(",chip_").append(j).append("_m");
    }
    row.append(",torque_nm,vx_m_per_s,vy_m_per_s\n");
    text.write(row.toString());
    for (int i = 0; i < trace.size(); i++) {
      row.setLength(0);
      row.append(cell(trace.timeS(i)))
          .append(',')
          .append(cell(trace.xM(i)))
          .append(',')
          .append(cell(trace.yM(i)))
          .append(',')
          .append(cell(trace.xN(i)))
          .append(',')
          .append(cell(trace.yN(i)));
      for (int j = 0; j < trace.flutes(); j++) {
        row.append(',').append((float) trace.chipM(j, i));
      }
      row.append(',')
          .append(cell(trace.torqueNm(i)))
          .append(',')
          .append(cell(trace.xMPerS(i)))
          .append(',')
          .append(cell(trace.yMPerS(i)))
          .append('\n');
      text.write(row.toString());
    }
    text.flush();
  }

  private static String cell(double value) {
    return Double.isNaN(value) ? "" : Double.toString(value);
  }

  private static void toJson(JsonOut o, Made made) {
    SimulatedCut cut = made.simulated;
    o.put("verdict", cut.verdict().word());
    o.put("turns", cut.turns());
    o.put("peakDisplacementM", cut.peakDisplacementM());
    o.put("peakForceN", cut.peakForceN());
    o.put("meanForceXN", cut.meanXN());
    o.put("meanForceYN", cut.meanYN());
    o.put("meanPowerW", cut.meanPowerW());
    o.put("peakTorqueNm", cut.peakTorqueNm());
    o.put("missedTeethFraction", cut.missedTeethFraction());
    o.put("surfaceErrorM", cut.surface().map(s -> s.meanM()).orElse(Double.NaN));
    o.put("oncePerToothSpreadM", cut.oncePerToothSpreadM());
    o.put("chatterHz", cut.chatterHz());
    o.put("growingHz", cut.growingHz());
    o.put("growth", cut.growth());
    o.put("growthPeriod", cut.growthPeriod());
    o.put("stopped", cut.stopped());
    o.put("stepS", cut.trace().stepS());
    o.put("stepsPerTurn", cut.trace().stepsPerTurn());
    o.put("axialSlices", cut.slices());
    o.put("tracedFromS", cut.trace().size() == 0 ? Double.NaN : cut.trace().timeS(0));
    cut.surface()
        .ifPresent(
            s ->
                o.object(
                    "surface",
                    f -> {
                      f.put("is", s.name());
                      f.put("meanLeftM", s.leftM());
                      f.put("roughnessM", s.roughnessM());
                      f.put("peakToValleyM", s.peakToValleyM());
                      f.numbers("heightM", s.heightM().size(), i -> s.heightM().get(i));
                      f.numbers("errorM", s.errorM().size(), i -> s.errorM().get(i));
                    }));
    cut.sound()
        .filter(s -> s.size() > 0)
        .ifPresent(
            s ->
                o.object(
                    "sound",
                    f -> {
                      f.put("is", s.quantity().word());
                      f.put("unit", s.quantity().unit());
                      f.put("fullScale", made.fullScale);
                      f.put("peak", s.peak());
                      f.put("directionDeg", Math.toDegrees(s.directionRad()));
                      f.put("sampleRateHz", s.rateHz());
                      f.put("seconds", (double) s.size() / s.rateHz());
                    }));
    o.texts("remarks", made.remarks);
  }
}

package ringtrue.library;

import java.util.ArrayList;
import java.util.List;
import java.util.stream.Stream;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Progress;
import ringtrue.dynamics.Receptance;
import ringtrue.planning.HeardChatter;
import ringtrue.planning.SoundAdvice;
import ringtrue.planning.SoundAdviser;
import ringtrue.signal.HeardCut;
import ringtrue.signal.HeardStructure;
import ringtrue.signal.SoundLine;
import ringtrue.signal.StatedCut;
import ringtrue.stability.CuttingProcess;
import ringtrue.stability.CuttingProcess.Operation;
import ringtrue.stability.Tool;
import ringtrue.units.BadInputException;

/** Brings the sound of a cut and what is known of the cut together. */
public final class HeardCuts {
  /** A second motion counts beside the strongest if it is not weaker by more. */
  private static final double BESIDE_DB = 8;

  private HeardCuts() {}

  /** What is stated of a cut, for those who listen to it. */
  public static StatedCut stated(CuttingProcess process) {
    double hz = process.speedRpm() / 60;
    if (process.operation() == Operation.TURNING) {
      return new StatedCut(hz, 0, 1);
    }
    Tool tool = process.tool().orElseThrow();
    return new StatedCut(hz, tool.flutes(), patterns(tool));
  }

  /** How many times the spacing of the teeth repeats in a turn. */
  private static int patterns(Tool tool) {
    int n = tool.flutes();
    for (int step = 1; step < n; step++) {
      if (n % step != 0) {
        continue;
      }
      boolean repeats = true;
      for (int j = 0; j < n; j++) {
        int next = (j + step) % n;
        repeats &=
            Math.abs(tool.pitchRad().get(j) - tool.pitchRad().get(next)) < 1e-6
                && Math.abs(tool.helixRad().get(j) - tool.helixRad().get(next)) < 1e-6;
      }
      if (repeats) {
        return n / step;
      }
    }
    return 1;
  }

  /**
   * The structure as far as its modes are known; measured responses are fitted on the way.
   *
   * @param remarks told if no modes can be had
   */
  public static HeardStructure structure(
      CuttingProcess process, List<String> remarks, Progress progress) {
    CuttingProcess now = process.resolvedAt(process.speedRpm());
    if (ModalWay.measured(now)) {
      try {
        now = ModalWay.modal(now, progress);
      } catch (BadInputException e) {
        remarks.add("no modes could be fitted to the measured responses: " + e.getMessage());
      }
    }
    List<Double> modes = new ArrayList<>();
    Stream.of(now.x(), now.y())
        .flatMap(List::stream)
        .forEach(
            r -> {
              if (r instanceof ModalModel model) {
                model.modes().forEach(m -> modes.add(m.frequencyHz()));
              } else if (r instanceof Mode mode) {
                modes.add(mode.frequencyHz());
              }
            });
    CuttingProcess lobes = now;
    return new HeardStructure(moving(now.x()), moving(now.y()), modes)
        .withFlips(
            hz ->
                SoundAdviser.mayFlip(
                    lobes, ModalWay.judge(lobes, Progress.NONE), 60 * hz, Progress.NONE));
  }

  /** What gives at all. */
  private static List<Receptance> moving(List<Receptance> direction) {
    return direction.stream()
        .filter(r -> !(r instanceof ModalModel model) || !model.modes().isEmpty())
        .toList();
  }

  /** Other lines away from the comb that are about as strong as the chatter. */
  private static List<Double> beside(HeardCut heard) {
    double most =
        heard.peaks().stream()
            .filter(p -> p.is() == SoundLine.Kind.CHATTER)
            .mapToDouble(SoundLine::levelDb)
            .max()
            .orElse(Double.POSITIVE_INFINITY);
    return heard.peaks().stream()
        .filter(p -> p.is() == SoundLine.Kind.OTHER && p.about().isEmpty())
        .filter(p -> p.levelDb() > most - BESIDE_DB)
        .map(SoundLine::frequencyHz)
        .toList();
  }

  /**
   * What the lobes have to say to what was heard; nothing where the sound decides nothing.
   *
   * @param cut the cut as it was made
   * @param heard its sound
   * @param inches whether lengths in sentences are in inches
   * @param progress told how far it is, may cancel
   */
  public static SoundAdvice advice(Cut cut, HeardCut heard, boolean inches, Progress progress) {
    boolean told =
        heard.verdict() != HeardCut.Verdict.CANNOT_TELL
            && heard.verdict() != HeardCut.Verdict.NOTHING_HEARD;
    if (!told) {
      return SoundAdvice.NONE;
    }
    CuttingProcess process = cut.process();
    if (ModalWay.measured(process)) {
      try {
        process = ModalWay.modal(process, progress);
      } catch (BadInputException e) {
        // the lobes of the responses as measured will do
      }
    }
    double rpm = Double.isNaN(heard.spindleHz()) ? process.speedRpm() : 60 * heard.spindleHz();
    return SoundAdviser.advise(
        process,
        cut.machine(),
        ModalWay.judge(process, progress),
        new HeardChatter(rpm, heard.chatterHz(), heard.flip(), beside(heard)),
        inches,
        progress);
  }
}

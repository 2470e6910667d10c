package ringtrue.report;

import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import ringtrue.library.Outcome;
import ringtrue.library.SavedOutcomes;
import ringtrue.planning.OutcomeCheck;
import ringtrue.stability.CuttingProcess;
import ringtrue.stability.StabilityMap;

/**
 * What cuts with the saved set-ups of a cut did, held against its map.
 *
 * @param saved the cuts
 * @param result what the map says of them
 */
public record CutOutcomes(SavedOutcomes saved, OutcomeCheck.Result result) {

  /** Those that are points of the map. */
  public List<OutcomeMark> marks(StabilityMap.Over over, CuttingProcess process) {
    return marks(saved, over, process);
  }

  /** Those of some cuts that are points of a cut's map. */
  public static List<OutcomeMark> marks(
      SavedOutcomes saved, StabilityMap.Over over, CuttingProcess process) {
    List<OutcomeMark> marks = new ArrayList<>();
    for (SavedOutcomes.Known k : saved.known()) {
      if (k.isOn(over, process)) {
        boolean depth = over == StabilityMap.Over.DEPTH;
        double length =
            depth ? k.process().engagement().axialM() : k.process().engagement().radialM();
        if (Double.isFinite(length)) {
          marks.add(new OutcomeMark(k.process().speedRpm(), length, chattered(k)));
        }
      }
    }
    return marks;
  }

  private static boolean chattered(SavedOutcomes.Known k) {
    return k.outcome().result() == Outcome.Result.CHATTERED;
  }

  /** What the map says of one of them; empty where it could not be held against it. */
  public Optional<OutcomeCheck.Judged> judged(SavedOutcomes.Known k) {
    return result.judged().stream()
        .filter(j -> j.trial().name().equals(k.outcome().id()))
        .findFirst();
  }

  /** What it comes to; cuts are named by day, speed and depth. */
  public List<String> sentences(LengthUnit unit) {
    return result.sentences().stream().map(s -> named(s, unit)).toList();
  }

  private String named(String sentence, LengthUnit unit) {
    for (SavedOutcomes.Known k : saved.known()) {
      if (sentence.startsWith(k.outcome().id() + " ")) {
        return String.format(
            Locale.ROOT,
            "the cut of %s at %.0f rpm, %s deep,%s",
            k.outcome().date().atZone(ZoneId.systemDefault()).toLocalDate(),
            k.process().speedRpm(),
            unit.length(k.process().engagement().axialM()),
            sentence.substring(k.outcome().id().length()));
      }
    }
    return sentence;
  }

  /** What a cut did, like "chattered at 1320 Hz". */
  public static String did(SavedOutcomes.Known k) {
    return k.outcome().result().word()
        + (Double.isNaN(k.outcome().chatterHz())
            ? ""
            : String.format(Locale.ROOT, " at %.0f Hz", k.outcome().chatterHz()));
  }

  /** What the map says of a cut, in a few words. */
  public String map(SavedOutcomes.Known k, LengthUnit unit) {
    return judged(k).map(j -> words(j, unit)).orElse("not counted");
  }

  private static String words(OutcomeCheck.Judged j, LengthUnit unit) {
    String limit = String.format(Locale.ROOT, "limit %.4f %s", unit.of(j.limitM()), unit.symbol());
    if (!j.agrees()) {
      return "DISAGREES: " + (j.predictedStable() ? "stable, " : "unstable, ") + limit;
    }
    return j.frequencyAgrees()
        ? "agrees, " + limit
        : String.format(Locale.ROOT, "agrees, but expects %.0f Hz", j.predictedHz());
  }

  /** A row for each: id, set-up, speed, depth, width, what it did, what the map says. */
  List<List<String>> rows(LengthUnit unit) {
    return saved.known().stream()
        .map(
            k -> {
              double width = k.process().engagement().radialM();
              return List.of(
                  k.outcome().id(),
                  k.setUp(),
                  String.format(Locale.ROOT, "%.0f", k.process().speedRpm()),
                  unit.length(k.process().engagement().axialM()),
                  Double.isNaN(width) ? "" : unit.length(width),
                  (chattered(k) ? "× " : "○ ") + did(k),
                  map(k, unit),
                  k.outcome().note());
            })
        .toList();
  }
}

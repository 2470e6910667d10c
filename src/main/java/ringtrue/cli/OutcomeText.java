package ringtrue.cli;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import ringtrue.library.Outcome;
import ringtrue.library.SavedOutcomes;
import ringtrue.planning.OutcomeCheck;
import ringtrue.report.LengthUnit;
import ringtrue.report.OutcomeMark;
import ringtrue.stability.CuttingProcess;
import ringtrue.stability.StabilityMap;

/**
 * What cuts did against the map, to read and as JSON.
 *
 * @param saved the cuts
 * @param result what the map says of them
 */
record OutcomeText(SavedOutcomes saved, OutcomeCheck.Result result) {

  /** Cuts that are points of a map. */
  List<OutcomeMark> marks(StabilityMap.Over over, CuttingProcess process) {
    List<OutcomeMark> marks = new ArrayList<>();
    for (SavedOutcomes.Known k : saved.known()) {
      if (k.isOn(over, process)) {
        boolean depth = over == StabilityMap.Over.DEPTH;
        double length =
            depth ? k.process().engagement().axialM() : k.process().engagement().radialM();
        if (Double.isFinite(length)) {
          marks.add(
              new OutcomeMark(
                  k.process().speedRpm(),
                  length,
                  k.outcome().result() == Outcome.Result.CHATTERED));
        }
      }
    }
    return marks;
  }

  private Optional<OutcomeCheck.Judged> judged(SavedOutcomes.Known k) {
    return result.judged().stream()
        .filter(j -> j.trial().name().equals(k.outcome().id()))
        .findFirst();
  }

  /** A table and what it comes to; empty where no cut was made. */
  List<String> lines(LengthUnit unit) {
    List<String> text = new ArrayList<>();
    if (saved.known().isEmpty()) {
      return text;
    }
    text.add("What cuts did (o quiet, x chattered)");
    text.add(
        String.format(
            Locale.ROOT,
            "%12s %9s %10s %10s  %-22s %s",
            "",
            "rpm",
            "depth " + unit.symbol(),
            "width " + unit.symbol(),
            "",
            "the map"));
    for (SavedOutcomes.Known k : saved.known()) {
      boolean chattered = k.outcome().result() == Outcome.Result.CHATTERED;
      double width = k.process().engagement().radialM();
      text.add(
          String.format(
                  Locale.ROOT,
                  "%12s %9.0f %10.4f %10s  %s %-20s %s",
                  LibraryPart.day(k.outcome().date()),
                  k.process().speedRpm(),
                  unit.of(k.process().engagement().axialM()),
                  Double.isNaN(width) ? "" : String.format(Locale.ROOT, "%.4f", unit.of(width)),
                  chattered ? "x" : "o",
                  k.outcome().result().word()
                      + (Double.isNaN(k.outcome().chatterHz())
                          ? ""
                          : String.format(Locale.ROOT, " at %.0f Hz", k.outcome().chatterHz())),
                  judged(k).map(j -> map(j, unit)).orElse("not counted"))
              .stripTrailing());
    }
    for (String sentence : result.sentences()) {
      text.add("  - " + sentence);
    }
    return text;
  }

  private static String map(OutcomeCheck.Judged j, LengthUnit unit) {
    String limit = String.format(Locale.ROOT, "limit %.4f %s", unit.of(j.limitM()), unit.symbol());
    if (!j.agrees()) {
      return "DISAGREES: " + (j.predictedStable() ? "stable, " : "unstable, ") + limit;
    }
    return j.frequencyAgrees()
        ? "agrees, " + limit
        : String.format(Locale.ROOT, "agrees, but expects %.0f Hz", j.predictedHz());
  }

  void json(JsonOut o) {
    o.objects(
        "outcomes",
        saved.known(),
        (x, k) -> {
          x.put("setUp", k.setUp());
          LibraryShow.outcome(x, k.outcome());
          x.put("speedRpm", k.process().speedRpm());
          x.put("axialM", k.process().engagement().axialM());
          x.put("radialM", k.process().engagement().radialM());
          judged(k)
              .ifPresent(
                  j ->
                      x.put("predictedStable", j.predictedStable())
                          .put("growth", j.growth())
                          .put("limitM", j.limitM())
                          .put("predictedHz", j.predictedHz())
                          .put("agrees", j.agrees())
                          .put("frequencyAgrees", j.frequencyAgrees()));
        });
    o.objects(
        "outcomeCauses",
        result.causes(),
        (x, c) ->
            x.put("cause", c.kind().word())
                .put("what", c.what())
                .put("frequencyHz", c.frequencyHz())
                .put("factor", c.factor())
                .put("farthestFactor", c.farthestFactor())
                .put("sigmas", c.sigmas())
                .put("share", c.share())
                .put("explained", c.explained())
                .put("left", c.left())
                .put("frequenciesLeft", c.frequenciesLeft())
                .put("because", c.sentence()));
    o.texts("outcomeSentences", result.sentences());
  }
}

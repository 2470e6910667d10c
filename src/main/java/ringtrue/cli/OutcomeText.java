package ringtrue.cli;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import ringtrue.library.Outcome;
import ringtrue.library.SavedOutcomes;
import ringtrue.planning.OutcomeCheck;
import ringtrue.report.CutOutcomes;
import ringtrue.report.LengthUnit;

/**
 * What cuts did against the map, to read and as JSON.
 *
 * @param saved the cuts
 * @param result what the map says of them
 */
record OutcomeText(SavedOutcomes saved, OutcomeCheck.Result result) {

  /** The same for pages and pictures. */
  CutOutcomes told() {
    return new CutOutcomes(saved, result);
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
                  CutOutcomes.did(k),
                  told().map(k, unit))
              .stripTrailing());
    }
    for (String sentence : told().sentences(unit)) {
      text.add("  - " + sentence);
    }
    return text;
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
          told()
              .judged(k)
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

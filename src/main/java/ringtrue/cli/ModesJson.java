package ringtrue.cli;

import java.util.List;
import java.util.Locale;
import ringtrue.dynamics.Mode;
import ringtrue.fitting.FittedModes;
import ringtrue.fitting.SetUpComparison;
import ringtrue.fitting.SetUpComparison.Change;
import ringtrue.fitting.SetUpComparison.Lone;
import ringtrue.fitting.SetUpComparison.Pair;
import ringtrue.fitting.StrengthTrend;
import ringtrue.library.MeasuredModes;

/** Modes and comparisons as JSON. Fields are added, never renamed. */
final class ModesJson {
  private ModesJson() {}

  static void modes(JsonOut o, FittedModes fitted, List<String> remarks) {
    o.objects("modes", fitted.model().modes(), ModesJson::mode);
    o.object(
        "residual",
        r ->
            r.put("upperMPerN", fitted.model().residual().upperMPerN())
                .put("lowerPerKg", fitted.model().residual().lowerPerKg()));
    o.numbers("bandHz", 2, i -> i == 0 ? fitted.bandLowHz() : fitted.bandHighHz());
    o.put("fitErrorRelative", fitted.fitErrorRelative());
    o.object(
        "convergence",
        c ->
            c.put("steps", fitted.convergence().steps())
                .put("lastChange", fitted.convergence().lastChange())
                .put("converged", fitted.convergence().converged())
                .put("reducedChiSquare", fitted.convergence().reducedChiSquare()));
    o.object(
        "stabilisation",
        s -> {
          s.objects(
              "poles",
              fitted.stabilisation().poles(),
              (p, pole) ->
                  p.put("order", pole.order())
                      .put("frequencyHz", pole.frequencyHz())
                      .put("dampingRatio", pole.dampingRatio())
                      .put("comesBack", pole.comesBack())
                      .put("group", pole.group()));
          s.objects(
              "groups",
              fitted.stabilisation().groups(),
              (g, group) ->
                  g.put("frequencyHz", group.frequencyHz())
                      .put("frequencySpreadHz", group.frequencySpreadHz())
                      .put("dampingRatio", group.dampingRatio())
                      .put("dampingSpread", group.dampingSpread())
                      .put("orders", group.orders())
                      .put("taken", group.taken()));
        });
    o.texts("remarks", remarks);
  }

  /** What the single taps tell besides their average. */
  static void taps(JsonOut o, MeasuredModes measured) {
    StrengthTrend trend = measured.trend();
    if (!trend.modes().isEmpty()) {
      o.object(
          "strengthTrend",
          t -> {
            t.put("lightestN", trend.lightestN()).put("hardestN", trend.hardestN());
            t.objects(
                "modes",
                trend.modes(),
                (x, m) ->
                    x.put("frequencyHz", m.averageHz())
                        .put("lightestHz", m.lightestHz())
                        .put("hardestHz", m.hardestHz())
                        .put("hertzPerDoubling", m.hertzPerDoubling())
                        .put("hertzPerDoublingSigma", m.hertzPerDoublingSigma())
                        .put("frequencyChance", m.frequencyChance())
                        .put("lightestDampingRatio", m.lightestDamping())
                        .put("hardestDampingRatio", m.hardestDamping())
                        .put("dampingChance", m.dampingChance()));
          });
    }
    measured
        .scatter()
        .ifPresent(
            s ->
                o.object(
                    "resampling",
                    r -> {
                      r.put("taps", s.taps()).put("draws", s.draws()).put("lost", s.lost());
                      r.objects(
                          "modes",
                          s.modes(),
                          (x, m) ->
                              x.put("frequencyHzSigma", m.frequencyHz())
                                  .put("dampingRatioSigma", m.dampingRatio())
                                  .put("stiffnessNPerMSigma", m.stiffnessNPerM())
                                  .put("frequencyOverFit", m.frequencyOverFit())
                                  .put("dampingOverFit", m.dampingOverFit())
                                  .put("stiffnessOverFit", m.stiffnessOverFit()));
                    }));
  }

  static void mode(JsonOut m, Mode mode) {
    m.put("frequencyHz", mode.frequencyHz())
        .put("frequencyHzSigma", mode.frequencyHzSigma())
        .put("dampingRatio", mode.dampingRatio())
        .put("dampingRatioSigma", mode.dampingRatioSigma())
        .put("stiffnessNPerM", mode.stiffnessNPerM())
        .put("stiffnessNPerMSigma", mode.stiffnessNPerMSigma())
        .put("massKg", mode.massKg())
        .put("phaseDeg", mode.phaseDeg());
  }

  static void comparison(JsonOut o, SetUpComparison c, String against) {
    o.object(
        "comparison",
        x -> {
          x.put("against", against);
          x.put("verdict", c.verdict().word());
          x.put("sentence", c.sentence());
          x.texts("meaning", c.meaning());
          x.numbers("bandHz", 2, i -> i == 0 ? c.bandLowHz() : c.bandHighHz());
          x.put("lines", c.lines());
          x.put("shapeAssurance", c.agreement().shape());
          x.put("shapeAssuranceByNoise", c.agreement().shapeByNoise());
          x.put("amplitudeAssurance", c.agreement().amplitude());
          x.put("scale", c.agreement().scale());
          x.put("differenceOverNoise", c.agreement().overNoise());
          x.put("valuesCompared", c.compared());
          x.put("chance", c.chance());
          x.objects("modes", c.pairs(), ModesJson::pair);
          x.objects("gone", c.gone(), ModesJson::lone);
          x.objects("added", c.added(), ModesJson::lone);
          x.texts("remarks", c.remarks());
        });
  }

  private static void pair(JsonOut o, Pair p) {
    o.put("beforeHz", p.before().frequencyHz());
    o.put("nowHz", p.now().frequencyHz());
    o.put("shiftHz", p.shiftHz());
    o.put("depthFactor", p.depthFactor());
    change(o, "frequency", p.frequency());
    change(o, "damping", p.damping());
    change(o, "stiffness", p.stiffness());
  }

  private static void change(JsonOut o, String name, Change c) {
    o.object(
        name,
        x ->
            x.put("relativeChange", c.relative())
                .put("relativeChangeSigma", c.sigma())
                .put("significance", c.significance())
                .put("chance", c.chance())
                .put("findableRelativeChange", c.findable())
                .put("changed", c.significant()));
  }

  private static void lone(JsonOut o, Lone l) {
    mode(o, l.mode());
    o.put("standing", l.standing().name().toLowerCase(Locale.ROOT).replace('_', ' '));
  }
}

package ringtrue.ui.cut;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import ringtrue.planning.CutPlan;
import ringtrue.report.LengthUnit;
import ringtrue.stability.CuttingProcess;
import ringtrue.stability.Tool;
import ringtrue.ui.job.CutDraft;
import ringtrue.ui.job.CutField;

/**
 * Another cut that can be taken. What stays as it is, is NaN or empty.
 *
 * @param kind what it is, in a word or two
 * @param speedRpm spindle speed, rpm
 * @param radialM radial width, m
 * @param axialM axial depth, m
 * @param feedPerToothM feed per tooth, m
 * @param helixRad helix, rad
 * @param direction up or down
 * @param removalM3PerS removal rate, m³/s; NaN where not known
 * @param closest the limit that it comes closest to, and how close; empty where not known
 * @param limitM depth up to which it is free of chatter, m; NaN where not known
 * @param because why
 * @param helps whether it does
 * @param teeth how many teeth feed at once
 * @param ownSpeedRpm speed of the cut as it is, rpm
 */
record Offer(
    String kind,
    double speedRpm,
    double radialM,
    double axialM,
    double feedPerToothM,
    double helixRad,
    String direction,
    double removalM3PerS,
    String closest,
    double limitM,
    String because,
    boolean helps,
    int teeth,
    double ownSpeedRpm) {

  private static final double SAME = 1e-6;

  /** What a plan offers: better cuts, then steps of speed and other changes, what helps first. */
  static List<Offer> of(CutPlan plan, CuttingProcess cut) {
    int teeth = cut.tool().map(Tool::flutes).orElse(1);
    List<Offer> all = new ArrayList<>();
    for (CutPlan.Suggestion s : plan.suggestions()) {
      all.add(
          new Offer(
              "better cut",
              s.speedRpm(),
              s.radialM(),
              s.axialM(),
              s.feedPerToothM(),
              Double.NaN,
              "",
              s.removalM3PerS(),
              s.limitedBy().isEmpty()
                  ? ""
                  : String.format(Locale.ROOT, "%s %.0f %%", s.limitedBy(), 100 * s.share()),
              Double.NaN,
              s.because(),
              true,
              teeth,
              cut.speedRpm()));
    }
    CutPlan.Gentlest gentle = plan.gentlest();
    gentle.slower().ifPresent(s -> all.add(step("slower", s, cut, teeth)));
    gentle.faster().ifPresent(s -> all.add(step("faster", s, cut, teeth)));
    gentle.changes().stream()
        .filter(CutPlan.Change::helps)
        .forEach(c -> all.add(change(c, cut, teeth)));
    gentle.changes().stream().filter(c -> !c.helps()).forEach(c -> all.add(change(c, cut, teeth)));
    return all;
  }

  private static Offer step(String kind, CutPlan.SpeedStep s, CuttingProcess cut, int teeth) {
    return new Offer(
        kind,
        s.speedRpm(),
        Double.NaN,
        Double.NaN,
        cut.feedPerToothM(),
        Double.NaN,
        "",
        Double.NaN,
        String.format(Locale.ROOT, "chatter %.0f %%", 100 / (1 + s.margin())),
        Double.NaN,
        s.because(),
        true,
        teeth,
        cut.speedRpm());
  }

  private static Offer change(CutPlan.Change c, CuttingProcess cut, int teeth) {
    return new Offer(
        c.change(),
        Double.NaN,
        c.change().equals("width") ? c.to() : Double.NaN,
        c.change().equals("depth") ? c.to() : Double.NaN,
        Double.NaN,
        c.change().equals("helix") ? c.to() : Double.NaN,
        c.change().equals("direction") ? c.direction() : "",
        Double.NaN,
        "",
        c.limitM(),
        c.because(),
        c.helps(),
        teeth,
        cut.speedRpm());
  }

  /** What it is, in a word or two. */
  String what(LengthUnit unit) {
    if (!direction.isEmpty()) {
      return direction + " milling";
    }
    if (!Double.isNaN(helixRad)) {
      return "helix " + CutValues.text(CutField.HELIX, helixRad, unit);
    }
    return kind;
  }

  /** Whether it is one of the plan's better cuts. */
  boolean best() {
    return kind.equals("better cut");
  }

  /** Feed rate, m/s; NaN where it stays. */
  double feedMPerS() {
    double rpm = Double.isNaN(speedRpm) ? ownSpeedRpm : speedRpm;
    return feedPerToothM * teeth * rpm / 60;
  }

  /** The draft with this cut in it, numbers in the user's unit. */
  CutDraft in(CutDraft draft, LengthUnit unit) {
    CutDraft changed = draft;
    changed = number(changed, CutField.SPEED, speedRpm, unit);
    changed = number(changed, CutField.AXIAL, axialM, unit);
    if (draft.has(CutField.RADIAL)) {
      changed = number(changed, CutField.RADIAL, radialM, unit);
    }
    changed = number(changed, CutField.HELIX, helixRad, unit);
    if (!direction.isEmpty()) {
      changed = changed.with(CutField.DIRECTION, direction);
    }
    return draft.has(CutField.FEED)
        ? number(changed, CutField.FEED, feedMPerS(), unit)
        : number(changed, CutField.FEED_PER_TOOTH, feedPerToothM, unit);
  }

  /** Says a number, unless it stays; what the user wrote for the same number stays too. */
  private static CutDraft number(CutDraft draft, CutField field, double si, LengthUnit unit) {
    if (Double.isNaN(si)) {
      return draft;
    }
    double own = CutValues.si(field, draft.text(field)).orElse(Double.NaN);
    return Math.abs(own - si) <= SAME * Math.abs(si)
        ? draft
        : draft.with(
            field,
            field == CutField.SPEED
                ? String.format(Locale.ROOT, "%.0f rpm", si)
                : CutValues.round(field, si, unit));
  }
}

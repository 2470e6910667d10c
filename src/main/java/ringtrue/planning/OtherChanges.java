package ringtrue.planning;

import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Collectors;
import ringtrue.stability.CuttingProcess;
import ringtrue.stability.Engagement;
import ringtrue.stability.Engagement.Direction;
import ringtrue.stability.Tool;

/**
 * What one other change does at the same speed: more or less width, the other direction, another
 * helix (on the same structure), a depth of whole helix pitches.
 */
final class OtherChanges {
  private static final double[] WIDTHS = {0.5, 0.7, 1.4, 2, 3};
  private static final double[] HELICES_DEG = {0, 20, 30, 38, 45, 55};
  private static final double NEAR_DEG = 4;

  /** The chatter limit has to rise by so much before a change is said to help. */
  private static final double WORTH = 1.1;

  private final CuttingProcess cut;

  private final CutLimits limits;
  private final StabilityJudge judge;
  private final Words words;
  private final double endM;
  private final double ownLimitM;
  private final Set<String> kept;
  private final List<Idea> ideas = new ArrayList<>();
  private final List<CutPlan.Change> found = new ArrayList<>();

  /**
   * @param endM how deep chatter limits are looked for, m
   * @param ownLimitM chatter limit of the cut as it is, m
   */
  OtherChanges(
      CuttingProcess cut,
      CutLimits limits,
      StabilityJudge judge,
      Words words,
      double endM,
      double ownLimitM) {
    this.cut = cut;
    this.limits = limits;
    this.judge = judge;
    this.words = words;
    this.endM = endM;
    this.ownLimitM = ownLimitM;
    this.kept =
        limits.checks(cut, CutLimits.forces(cut, 360)).stream()
            .filter(CutLimits.Check::ok)
            .map(CutLimits.Check::name)
            .collect(Collectors.toSet());
  }

  /** All of them; empty in turning. */
  List<CutPlan.Change> all() {
    if (cut.tool().isEmpty()) {
      return List.of();
    }
    Tool tool = cut.tool().get();
    Direction direction = cut.engagement().direction();
    if (direction == Direction.UP || direction == Direction.DOWN) {
      widths(tool);
      other(tool, direction == Direction.UP ? Direction.DOWN : Direction.UP);
    }
    if (tool.equalHelix()) {
      helices(tool);
    }
    found.addAll(ideas.parallelStream().map(this::judged).toList());
    if (tool.equalHelix()) {
      wholePitch(tool);
    }
    return found;
  }

  private double limitM(CuttingProcess other) {
    return judge.firstLimitsM(judge.searched(other), new double[] {cut.speedRpm()}, endM)[0];
  }

  /** A change that is thought of, before it is judged. */
  private record Idea(
      String change, double to, String direction, CuttingProcess other, String subject) {}

  /** The first limit kept by the cut as it is that another one breaks. */
  private Optional<String> broken(CuttingProcess other) {
    return limits.checks(other, CutLimits.forces(other, 360)).stream()
        .filter(c -> !c.ok() && !c.advice() && kept.contains(c.name()))
        .map(CutLimits.Check::name)
        .findFirst();
  }

  private void add(
      String change, double to, String direction, CuttingProcess other, String subject) {
    ideas.add(new Idea(change, to, direction, other, subject));
  }

  private CutPlan.Change judged(Idea idea) {
    CuttingProcess other = idea.other;
    double limit = limitM(other);
    double axial = other.engagement().axialM();
    boolean mends = axial <= limit && cut.engagement().axialM() > ownLimitM;
    boolean rises = limit >= WORTH * ownLimitM;
    Optional<String> broken = broken(other);
    boolean helps = (mends || rises) && broken.isEmpty();
    String because =
        idea.subject
            + " the chatter limit is "
            + (limit >= endM * (1 - 1e-9) ? "beyond " + words.length(endM) : words.length(limit))
            + " instead of "
            + (ownLimitM >= endM * (1 - 1e-9)
                ? "beyond " + words.length(endM)
                : words.length(ownLimitM))
            + (mends ? ", so this depth is stable" : "")
            + (limit < axial ? ", less than the depth still" : "")
            + broken.map(name -> "; but it breaks the limit of " + name).orElse("");
    return new CutPlan.Change(idea.change, idea.to, idea.direction, limit, helps, because);
  }

  private void widths(Tool tool) {
    double own = CutLimits.widthM(cut);
    TreeSet<Double> all = new TreeSet<>();
    for (double factor : WIDTHS) {
      all.add(Math.min(tool.diameterM(), Math.round(factor * own * 2e5) / 2e5));
    }
    for (double width : all) {
      if (width > 0 && Math.abs(width - own) > 0.05 * own) {
        add(
            "width",
            width,
            "",
            cut.with(cut.engagement().withRadial(width, tool.diameterM())),
            (width > own ? "wider, at " : "narrower, at ") + words.length(width) + ",");
      }
    }
  }

  private void other(Tool tool, Direction direction) {
    Engagement e = cut.engagement();
    add(
        "direction",
        Double.NaN,
        direction == Direction.UP ? "up" : "down",
        cut.with(Engagement.of(direction, CutLimits.widthM(cut), e.axialM(), tool.diameterM())),
        direction == Direction.UP ? "in up (conventional) milling" : "in down (climb) milling");
  }

  private void helices(Tool tool) {
    double own = Math.toDegrees(tool.helixRad().get(0));
    for (double deg : HELICES_DEG) {
      if (Math.abs(deg - Math.abs(own)) < NEAR_DEG) {
        continue;
      }
      double rad = Math.copySign(Math.toRadians(deg), own);
      add(
          "helix",
          rad,
          "",
          withHelix(cut, rad),
          String.format(Locale.ROOT, "with a helix of %.0f deg (same structure)", deg));
    }
  }

  /** The cut with all flutes at one helix angle, rad. */
  static CuttingProcess withHelix(CuttingProcess cut, double rad) {
    Tool t = cut.tool().orElseThrow();
    return Cutters.with(
        cut,
        new Tool(
            t.diameterM(),
            Collections.nCopies(t.flutes(), rad),
            t.pitchRad(),
            t.stickoutM(),
            t.fluteLengthM(),
            t.runoutM(),
            t.edgeRadiusM()));
  }

  /** The nearest depth of whole helix pitches, where the force does not vary. */
  private void wholePitch(Tool tool) {
    double pitch = CutLimits.helixPitchM(tool);
    double axial = cut.engagement().axialM();
    if (!tool.evenPitch() || !Double.isFinite(pitch)) {
      return;
    }
    double depth = pitch * Math.max(1, Math.rint(axial / pitch));
    boolean far = depth > endM || depth > 2 * axial || Math.abs(depth - axial) < 0.01 * axial;
    if (far) {
      return;
    }
    double limit = limitM(cut);
    CuttingProcess other = cut.with(cut.engagement().withAxial(depth));
    Optional<String> broken = broken(other);
    boolean helps = depth <= limit && broken.isEmpty();
    found.add(
        new CutPlan.Change(
            "depth",
            depth,
            "",
            limit,
            helps,
            "at a depth of "
                + words.length(depth)
                + ", whole steps between teeth along the axis, the force does not vary at all"
                + (depth <= limit ? "" : ", but that is above the chatter limit")
                + broken.map(name -> "; but it breaks the limit of " + name).orElse("")));
  }
}

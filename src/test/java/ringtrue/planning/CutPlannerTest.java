package ringtrue.planning;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;
import static ringtrue.planning.Cuts.MM;
import static ringtrue.planning.Cuts.coefficients;
import static ringtrue.planning.Cuts.milling;
import static ringtrue.planning.Cuts.tool;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.CancellationException;
import org.assertj.core.data.Percentage;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Progress;
import ringtrue.dynamics.Receptance;
import ringtrue.dynamics.Residual;
import ringtrue.planning.CutPlan.Limit;
import ringtrue.planning.CutPlan.Suggestion;
import ringtrue.planning.CutPlan.Verdict;
import ringtrue.stability.CuttingCoefficients;
import ringtrue.stability.CuttingProcess;
import ringtrue.stability.Engagement;
import ringtrue.stability.Engagement.Direction;
import ringtrue.stability.StabilityMap;
import ringtrue.stability.StabilityMap.Interval;
import ringtrue.stability.StabilityMap.Line;
import ringtrue.stability.StabilityMap.Loss;
import ringtrue.stability.Tool;

class CutPlannerTest {
  private static final CuttingCoefficients STEEL = coefficients(1900, 650, 18, 22);
  private static final Machine ROUTER =
      new Machine(
          "router",
          6000,
          24000,
          5.0 / 60,
          List.of(new Machine.PowerPoint(6000, 500), new Machine.PowerPoint(24000, 2200)));
  private static final List<Receptance> X = List.of(ModalModel.of(Mode.of(1240, 0.016, 2.1e6)));
  private static final List<Receptance> Y =
      List.of(ModalModel.of(Mode.of(1180, 0.018, 2.4e6)), ModalModel.of(Mode.of(310, 0.03, 9e6)));

  /**
   * One mode in one direction in closed form (Tlusty &amp; Poláček 1963): {@code b = −1/(2 K Re
   * G(f))}, {@code 60 f/(N n) = j + 1 − atan(Re/Im)/π}; the judge of the tests, independent of the
   * stability package.
   */
  private static StabilityJudge oneMode(double hz, double zeta, double stiffness, double force) {
    return (cut, speeds, maxM, progress) -> {
      List<Line> lines = new ArrayList<>();
      int teeth = cut.tool().map(Tool::flutes).orElse(1);
      for (double rpm : speeds) {
        double least = maxM;
        for (int j = 0; j < 40; j++) {
          // phase between waves falls from 2π to π as f rises above fn: one root on each lobe
          double low = hz;
          double high = 60 * hz;
          for (int i = 0; i < 60; i++) {
            double middle = (low + high) / 2;
            double r = middle / hz;
            double re = 1 - r * r;
            double im = -2 * zeta * r;
            double epsilon = 2 * Math.PI - 2 * Math.atan(Math.abs(re / im));
            double speed = 60 * middle / teeth / (j + epsilon / (2 * Math.PI));
            if (speed < rpm) {
              low = middle;
            } else {
              high = middle;
            }
          }
          double r = low / hz;
          double a = 1 - r * r;
          double b = 2 * zeta * r;
          double real = a / (stiffness * (a * a + b * b));
          if (real < 0) {
            least = Math.min(least, -1 / (2 * force * real));
          }
        }
        boolean none = least >= maxM;
        lines.add(
            new Line(
                rpm,
                least,
                List.of(new Interval(0, least)),
                none ? Loss.NONE : Loss.HOPF,
                none ? Double.NaN : 1.02 * hz,
                0));
      }
      return new StabilityMap(
          StabilityMap.Over.DEPTH, "closed form", lines, List.of(), "", maxM, List.of());
    };
  }

  private static StabilityJudge constant(double limitM) {
    return (cut, speeds, maxM, progress) ->
        new StabilityMap(
            StabilityMap.Over.DEPTH,
            "constant",
            speeds.stream().map(n -> new Line(n, limitM, List.of(), Loss.HOPF, 500.0, 0)).toList(),
            List.of(),
            "",
            maxM,
            List.of());
  }

  private static CuttingProcess lightCut() {
    return milling(
        tool(6, 4, 35, 5),
        Engagement.of(Direction.DOWN, 0.3 * MM, 6 * MM, 6 * MM),
        STEEL,
        X,
        Y,
        18000,
        0.03);
  }

  private static CutPlan plan(CuttingProcess cut, Machine machine, StabilityJudge judge) {
    return CutPlanner.plan(cut, machine, PlanSettings.DEFAULT, judge, Progress.NONE);
  }

  private static Limit limit(CutPlan plan, String name) {
    return plan.limits().stream().filter(l -> l.name().equals(name)).findFirst().orElseThrow();
  }

  // ---- the judge of the tests against the reference sheet ----------------------------------

  /** k = 8e6, ζ = 0.02, 500 Hz, K = 750 N/mm²: 0.43520 mm at the bottoms of the lobes. */
  @Test
  void judgeOfTheTestsHasTheClosedForm() {
    CuttingProcess one = milling(tool(20, 1, 0, 0), Direction.SLOT, 20, 0.1, STEEL, 9000, 0.1);
    StabilityMap map =
        oneMode(500, 0.02, 8e6, 750e6).limits(one, List.of(11112.5, 17451.2), 0.01, Progress.NONE);
    assertThat(map.lines().get(0).limitM()).isCloseTo(0.43520e-3, within(1e-8));
    assertThat(map.lines().get(1).limitM()).isCloseTo(0.43520e-3, within(1e-8));
  }

  // ---- each limit against a number worked out by hand ---------------------------------------

  @Test
  void everyLimitOfTheContractIsThereInOrder() {
    assertThat(plan(lightCut(), ROUTER, constant(10 * MM)).limits().stream().map(Limit::name))
        .containsExactly(
            "chatter",
            "power",
            "peak power",
            "torque",
            "peak torque",
            "feed rate",
            "chip thickness",
            "tool bending",
            "deflection",
            "surface location error",
            "engagement");
  }

  @Test
  void chatterComparesDepthAndLimit() {
    CutPlan stable = plan(lightCut(), ROUTER, constant(10 * MM));
    assertThat(limit(stable, "chatter").ok()).isTrue();
    assertThat(limit(stable, "chatter").value()).isEqualTo(6 * MM);
    assertThat(limit(stable, "chatter").limit()).isEqualTo(10 * MM);
    assertThat(limit(stable, "chatter").because()).contains("40 % below the limit of 10 mm");
    CutPlan close = plan(lightCut(), ROUTER, constant(6.5 * MM));
    assertThat(limit(close, "chatter").because()).contains("only 8 % below the limit: little room");
    CutPlan over = plan(lightCut(), ROUTER, constant(5 * MM));
    assertThat(limit(over, "chatter").ok()).isFalse();
    assertThat(limit(over, "chatter").because()).contains("expect a tone near 500 Hz");
    assertThat(over.verdict()).isEqualTo(Verdict.CHANGE);
  }

  @Test
  void anIslandAboveTheLimitIsNamedButNotTaken() {
    StabilityJudge island =
        (cut, speeds, maxM, progress) ->
            new StabilityMap(
                StabilityMap.Over.DEPTH,
                "island",
                speeds.stream()
                    .map(
                        n ->
                            new Line(
                                n,
                                4 * MM,
                                List.of(new Interval(0, 4 * MM), new Interval(5 * MM, 7 * MM)),
                                Loss.FLIP,
                                600,
                                0))
                    .toList(),
                List.of(),
                "",
                maxM,
                List.of());
    Limit chatter = limit(plan(lightCut(), ROUTER, island), "chatter");
    assertThat(chatter.ok()).isFalse();
    assertThat(chatter.because()).contains("stable stretch from 5 mm to 7 mm");
  }

  @Test
  void powerTorqueAndFeedAgainstTheMachine() {
    CutPlan plan = plan(lightCut(), ROUTER, constant(10 * MM));
    // 500 + (18000 − 6000)/(24000 − 6000) · 1700 W
    double available = 500 + 1700 * 12.0 / 18.0;
    double omega = 2 * Math.PI * 300;
    assertThat(limit(plan, "power").limit()).isCloseTo(available, within(1e-9));
    assertThat(limit(plan, "torque").limit()).isCloseTo(available / omega, within(1e-12));
    assertThat(limit(plan, "torque").value())
        .isCloseTo(limit(plan, "power").value() / omega, within(1e-12));
    assertThat(limit(plan, "feed rate").value()).isCloseTo(0.03 * MM * 4 * 300, within(1e-12));
    assertThat(limit(plan, "feed rate").limit()).isCloseTo(5.0 / 60, within(1e-12));
    // ktc times removal rate, and kte over the arc: P = Q ktc + kte ap v N arc/2π (up to run-out)
    double arc = Math.acos(1 - 2 * 0.05);
    double cutting = 1900e6 * 0.3 * MM * 6 * MM * 0.036;
    double rubbing = 18e3 * 6 * MM * Math.PI * 6 * MM * 300 * 4 * arc / (2 * Math.PI);
    assertThat(limit(plan, "power").value())
        .isBetween(cutting, (cutting + rubbing) * 1.0001)
        .isCloseTo(cutting + rubbing, Percentage.withPercentage(25));
  }

  @Test
  void powerWithoutRunoutIsExact() {
    CuttingProcess cut = milling(tool(6, 4, 35, 0), Direction.DOWN, 0.3, 6, STEEL, 18000, 0.03);
    double arc = Math.acos(1 - 2 * 0.05);
    double cutting = 1900e6 * 0.3 * MM * 6 * MM * 0.036;
    double rubbing = 18e3 * 6 * MM * Math.PI * 6 * MM * 300 * 4 * arc / (2 * Math.PI);
    assertThat(limit(plan(cut, ROUTER, constant(1)), "power").value())
        .isCloseTo(cutting + rubbing, Percentage.withPercentage(1e-6));
  }

  @Test
  void curveOfTheMachineBetweenAndOutsideItsPoints() {
    Machine m =
        new Machine(
            "",
            50,
            12000,
            1,
            List.of(new Machine.PowerPoint(1000, 3000), new Machine.PowerPoint(4000, 6000)));
    assertThat(m.powerAtW(500)).isCloseTo(1500, within(1e-9));
    assertThat(m.powerAtW(1000)).isCloseTo(3000, within(1e-9));
    assertThat(m.powerAtW(2500)).isCloseTo(4500, within(1e-9));
    assertThat(m.powerAtW(4000)).isCloseTo(6000, within(1e-9));
    assertThat(m.powerAtW(9000)).isCloseTo(6000, within(1e-9));
    assertThat(new Machine("", 1, 2, 1, List.of()).powerAtW(1)).isNaN();
  }

  @Test
  void aSpeedThatTheSpindleDoesNotReachBreaksPowerAndFeed() {
    CutPlan plan = plan(lightCut().atSpeed(30000), ROUTER, constant(10 * MM));
    assertThat(limit(plan, "power").ok()).isFalse();
    assertThat(limit(plan, "power").limit()).isZero();
    assertThat(limit(plan, "feed rate").ok()).isFalse();
    assertThat(limit(plan, "feed rate").because())
        .isEqualTo("the spindle does not turn at 30000 rpm; it goes from 6000 rpm to 24000 rpm");
    assertThat(plan.verdict()).isEqualTo(Verdict.CHANGE);
    assertThat(plan.suggestions()).allSatisfy(s -> assertThat(s.speedRpm()).isBetween(6e3, 24e3));
  }

  /** Stress at the holder and tip stiffness of cantilevers, computed from beam theory. */
  @ParameterizedTest
  @CsvSource({"6, 20, 50, 92", "3.175, 12, 20, 149", "12.7, 38.1, 200, 74"})
  void bendingStressOfACantilever(double d, double out, double force, double mpa) {
    Tool tool =
        new Tool(d * MM, List.of(0.5), List.of(2 * Math.PI), out * MM, Double.NaN, 0, Double.NaN);
    assertThat(CutLimits.bendingStressPa(force, tool) / 1e6).isCloseTo(mpa, within(0.5));
  }

  /** Short flutes on a long shank: the holder counts; closed form 32 F L/(π D³). */
  @Test
  void shankCountsWhereFlutesAreShort() {
    Tool tool =
        new Tool(10 * MM, List.of(0.5), List.of(2 * Math.PI), 50 * MM, 15 * MM, 0, Double.NaN);
    // 100 N at 50 mm on 10 mm: 51 MPa, computed beforehand from beam theory
    assertThat(CutLimits.bendingStressPa(100, tool) / 1e6).isCloseTo(51, within(0.5));
  }

  /**
   * Stiffness of fluted cantilevers of carbide with 600 GPa, computed beforehand from beam theory;
   * and a stepped one against ∫ x²/(E I) dx, summed in small steps.
   */
  @ParameterizedTest
  @CsvSource({"6, 20, 5.863", "3.175, 12, 2.128", "12.7, 38.1, 17.02"})
  void giveOfACantilever(double d, double out, double newtonPerUm) {
    Tool fluted =
        new Tool(d * MM, List.of(0.5), List.of(2 * Math.PI), out * MM, Double.NaN, 0, Double.NaN);
    assertThat(1e-6 / CutLimits.beamGiveMPerN(fluted, 600e9)).isCloseTo(newtonPerUm, within(5e-3));
    double flutes = 0.4 * out;
    Tool stepped =
        new Tool(d * MM, List.of(0.5), List.of(2 * Math.PI), out * MM, flutes * MM, 0, Double.NaN);
    double sum = 0;
    int n = 100_000;
    for (int i = 0; i < n; i++) {
      double x = out * (i + 0.5) / n;
      double thick = (x < flutes + 0.5 * d ? 0.8 : 1) * d * MM;
      sum += x * MM * x * MM * out * MM / n / (600e9 * Math.PI * Math.pow(thick, 4) / 64);
    }
    assertThat(CutLimits.beamGiveMPerN(stepped, 600e9))
        .isCloseTo(sum, Percentage.withPercentage(0.01));
  }

  @Test
  void bendingTakesTheLargestForceAtTheTip() {
    CutPlan plan = plan(lightCut(), ROUTER, constant(10 * MM));
    double force = CuttingForces.of(lightCut()).peakResultantN();
    double d = 0.8 * 6 * MM;
    assertThat(limit(plan, "tool bending").value())
        // flutes of 16 mm and half a diameter, of 22 mm that stand out
        .isCloseTo(32 * force * 19 * MM / (Math.PI * d * d * d), Percentage.withPercentage(1e-9));
    assertThat(limit(plan, "tool bending").because()).contains("where the flutes end, 19 mm");
    assertThat(limit(plan, "tool bending").limit()).isCloseTo(800e6 / 1.25, within(1.0));
    CutPlan hss =
        CutPlanner.plan(
            lightCut(),
            ROUTER,
            PlanSettings.DEFAULT.withToolMaterial(
                new ToolMaterial("HSS", 220e9, 8160, 3e9, 4e9, 600e6, 0.25, "")),
            constant(10 * MM),
            Progress.NONE);
    assertThat(limit(hss, "tool bending").limit()).isCloseTo(480e6, within(1.0));
    assertThat(hss.cautions()).noneMatch(c -> c.contains("Carbide"));
    assertThat(plan.cautions()).anyMatch(c -> c.contains("Carbide is brittle"));
  }

  @Test
  void noCutIsOfferedAboveTheCuttersSpeed() {
    double diameter = lightCut().tool().orElseThrow().diameterM();
    double own = Math.PI * diameter * lightCut().speedRpm() / 60;
    CutPlan free = plan(lightCut(), ROUTER, constant(4 * MM));
    assertThat(free.suggestions()).anyMatch(s -> s.speedRpm() > 1.1 * lightCut().speedRpm());
    CutPlan bounded =
        CutPlanner.plan(
            lightCut(),
            ROUTER,
            PlanSettings.DEFAULT.withCarbideSpeedMPerS(1.1 * own),
            constant(4 * MM),
            Progress.NONE);
    assertThat(bounded.suggestions())
        .isNotEmpty()
        .allMatch(s -> s.speedRpm() <= 1.1 * lightCut().speedRpm() + 1e-6);
    CutPlan tooFast =
        CutPlanner.plan(
            lightCut(),
            ROUTER,
            PlanSettings.DEFAULT.withCarbideSpeedMPerS(0.5 * own),
            constant(4 * MM),
            Progress.NONE);
    assertThat(tooFast.remarks()).anyMatch(r -> r.contains("soon wears out"));
  }

  @Test
  void deflectionIsPeakForceTimesStaticCompliance() {
    double force = CuttingForces.of(lightCut()).peakAcrossN();
    assertThat(limit(plan(lightCut(), ROUTER, constant(1)), "deflection").value())
        .isCloseTo(force * (1 / 2.4e6 + 1 / 9e6), Percentage.withPercentage(1e-9));
    ModalModel stiff = new ModalModel(List.of(Mode.of(900, 0.02, 4e6)), new Residual(5e-8, 3));
    assertThat(StaticCompliance.of(List.of(stiff)).metrePerNewton())
        .isCloseTo(1 / 4e6 + 5e-8, within(1e-15));
  }

  /** A measured response counts with its low end, here 20 to 25 Hz of a mode at 800 Hz. */
  @Test
  void measuredResponseGivesItsLowEnd() {
    Mode mode = Mode.of(800, 0.02, 3e6);
    int n = 2000;
    double[] hz = new double[n];
    double[] re = new double[n];
    double[] im = new double[n];
    double[] value = new double[2];
    for (int i = 0; i < n; i++) {
      hz[i] = i + 1;
      mode.at(hz[i], value);
      // below the band an accelerometer shows nonsense
      re[i] = hz[i] < 20 ? -1e-3 : value[0];
      im[i] = value[1];
    }
    FrequencyResponse measured =
        new FrequencyResponse(hz, re, im, null, null, FrequencyResponse.Origin.unknown(20, 2000));
    StaticCompliance give = StaticCompliance.of(List.of(measured));
    assertThat(give.metrePerNewton()).isCloseTo(1 / 3e6, Percentage.withPercentage(0.2));
    assertThat(give.measured()).isTrue();
    CuttingProcess cut =
        milling(
            tool(6, 4, 35, 5),
            Engagement.of(Direction.DOWN, 0.3 * MM, 6 * MM, 6 * MM),
            STEEL,
            List.of(),
            List.of(measured),
            18000,
            0.03);
    assertThat(plan(cut, ROUTER, constant(1)).remarks())
        .anyMatch(r -> r.contains("low end of the measured response"));
  }

  @Test
  void chipThicknessSaysWhichSideIsMissed() {
    Limit fine = limit(plan(lightCut(), ROUTER, constant(1)), "chip thickness");
    assertThat(fine.ok()).isTrue();
    assertThat(fine.limit()).isCloseTo(0.012 * 6 * MM, within(1e-12));
    Limit thick =
        limit(plan(lightCut().withFeedPerTooth(0.2 * MM), ROUTER, constant(1)), "chip thickness");
    assertThat(thick.ok()).isFalse();
    assertThat(thick.because()).startsWith("too thick");
    CuttingProcess noRunout =
        milling(tool(6, 4, 35, 0), Direction.DOWN, 0.3, 6, STEEL, 18000, 0.03);
    // factor 2 √(0.05·0.95) = 0.43589: 0.0045 mm give 1.96 µm, 0.4 of the 5 µm edge are 2 µm
    Limit rubs =
        limit(plan(noRunout.withFeedPerTooth(0.0045 * MM), ROUTER, constant(1)), "chip thickness");
    assertThat(rubs.ok()).isFalse();
    assertThat(rubs.value()).isCloseTo(0.0045 * MM * 0.435890, within(1e-11));
    assertThat(rubs.limit()).isCloseTo(2e-6, within(1e-15));
    assertThat(rubs.because()).startsWith("too thin").contains("rubs");
    Limit thin =
        limit(plan(noRunout.withFeedPerTooth(0.008 * MM), ROUTER, constant(1)), "chip thickness");
    assertThat(thin.ok()).isTrue();
    assertThat(thin.because()).contains("rubs more than it cuts");
  }

  @Test
  void engagementIsAdviceOnly() {
    CuttingProcess hammering =
        milling(tool(6, 2, 0, 0), Direction.DOWN, 0.3, 1, STEEL, 18000, 0.03);
    CutPlan plan = plan(hammering, ROUTER, constant(1));
    assertThat(limit(plan, "engagement").value()).isZero();
    assertThat(limit(plan, "engagement").ok()).isTrue();
    assertThat(limit(plan, "engagement").because()).contains("no tooth is in the cut");
    assertThat(plan.verdict()).isEqualTo(Verdict.GO);
  }

  // ---- common practice (no source) ----------------------------------------------------------

  /** Common practice: 24,000 rpm and four teeth are 1,600 teeth a second, 150 in/min 0.0016 in. */
  @Test
  void commonNumbersOfAFastSpindle() {
    double inch = 25.4;
    CuttingProcess cut =
        milling(
            tool(0.25 * inch, 4, 35, 0),
            Direction.DOWN,
            0.05 * inch,
            0.5 * inch,
            STEEL,
            24000,
            150 * inch / 24000 / 4);
    assertThat(cut.speedRpm() / 60 * 4).isEqualTo(1600);
    assertThat(CutLimits.feedRateMPerS(cut) * 60 / 0.0254).isCloseTo(150, within(1e-9));
    assertThat(cut.feedPerToothM() / 0.0254).isCloseTo(0.0016, within(5e-5));
    assertThat(CutLimits.widthM(cut) / 0.25 / 0.0254).isCloseTo(0.2, within(1e-12));
    // 0.05 · 0.5 · 150 = 3.75 in³/min
    double cubicInchPerMinute =
        new CutLimits(ROUTER, PlanSettings.DEFAULT).removalM3PerS(cut) * 60 / Math.pow(0.0254, 3);
    assertThat(cubicInchPerMinute).isCloseTo(3.75, within(1e-9));
  }

  // ---- judgement and search -----------------------------------------------------------------

  @Test
  void whatIsMissingIsLeftOutAndSaid() {
    Tool bare =
        new Tool(
            6 * MM,
            List.of(0.6, 0.6),
            List.of(Math.PI, Math.PI),
            Double.NaN,
            Double.NaN,
            0,
            Double.NaN);
    CuttingProcess cut = milling(bare, Direction.DOWN, 0.3, 2, STEEL, 18000, 0.03);
    Machine unknown = new Machine("", Double.NaN, Double.NaN, Double.NaN, List.of());
    CutPlan plan = plan(cut, unknown, constant(1));
    assertThat(plan.limits().stream().map(Limit::name))
        .containsExactly("chip thickness", "engagement");
    assertThat(plan.remarks())
        .anyMatch(r -> r.contains("chatter was not judged"))
        .anyMatch(r -> r.contains("\"power\""))
        .anyMatch(r -> r.contains("\"maxFeed\""))
        .anyMatch(r -> r.contains("\"stickout\""))
        .anyMatch(r -> r.contains("\"edgeRadius\""))
        .anyMatch(r -> r.contains("deflection was not judged"))
        .anyMatch(r -> r.contains("\"minSpeed\""));
    // nothing deeper or wider is offered where chatter is unknown
    assertThat(plan.suggestions())
        .allSatisfy(s -> assertThat(s.axialM()).isLessThanOrEqualTo(2 * MM))
        .allSatisfy(s -> assertThat(s.radialM()).isLessThanOrEqualTo(0.3 * MM))
        .allSatisfy(s -> assertThat(s.margin()).isNaN());
  }

  @Test
  void speedsMoveToTheNextLobeAndKeepTheReserve() {
    StabilityJudge judge = oneMode(1240, 0.03, 6e6, 400e6);
    CuttingProcess cut =
        milling(
            tool(6, 2, 35, 3),
            Engagement.of(Direction.DOWN, 0.6 * MM, 2.4 * MM, 6 * MM),
            coefficients(700, 200, 8, 8),
            X,
            Y,
            15000,
            0.03);
    CutPlan plan = plan(cut, ROUTER, judge);
    assertThat(limit(plan, "chatter").ok()).isFalse();
    assertThat(plan.verdict()).isEqualTo(Verdict.CHANGE);
    assertThat(plan.suggestions()).hasSizeBetween(3, 5);
    // 60·1240/(2·2) = 18600 rpm is the sweet spot above, 12400 the one below
    assertThat(plan.suggestions())
        .anySatisfy(
            s -> {
              assertThat(s.because()).startsWith("the same cut at the nearest faster speed");
              assertThat(s.speedRpm()).isBetween(17000.0, 18600.0);
              assertThat(s.axialM()).isEqualTo(2.4 * MM);
              assertThat(s.feedPerToothM()).isEqualTo(0.03 * MM);
            })
        .anySatisfy(
            s -> {
              assertThat(s.because()).startsWith("shallower at the same speed");
              assertThat(s.speedRpm()).isEqualTo(15000);
              assertThat(s.axialM()).isLessThan(2.4 * MM);
            });
    checkSuggestions(plan, cut, ROUTER, judge);
  }

  /** Every cut offered is judged again from outside, by a fresh plan. */
  private static void checkSuggestions(
      CutPlan plan, CuttingProcess cut, Machine machine, StabilityJudge judge) {
    double before = Double.POSITIVE_INFINITY;
    for (Suggestion s : plan.suggestions()) {
      assertThat(s.removalM3PerS()).isLessThanOrEqualTo(before);
      before = s.removalM3PerS();
      assertThat(s.speedRpm() % 10).isZero();
      assertThat(s.axialM() / 1e-5).isCloseTo(Math.rint(s.axialM() / 1e-5), within(1e-6));
      Tool tool = cut.tool().orElseThrow();
      Engagement arc =
          Engagement.of(cut.engagement().direction(), s.radialM(), s.axialM(), tool.diameterM());
      CuttingProcess offered =
          cut.with(arc).atSpeed(s.speedRpm()).withFeedPerTooth(s.feedPerToothM());
      CutPlan again = plan(offered, machine, judge);
      assertThat(again.verdict()).as(s.toString()).isEqualTo(Verdict.GO);
      Limit chatter = limit(again, "chatter");
      // the lobes solve for a limit to 1e-9 of it, from whatever side they come
      assertThat(s.margin()).isCloseTo(chatter.limit() / s.axialM() - 1, within(1e-6));
      assertThat(s.removalM3PerS())
          .isCloseTo(
              s.radialM() * s.axialM() * s.feedPerToothM() * tool.flutes() * s.speedRpm() / 60,
              Percentage.withPercentage(1e-9));
      double band = s.because().contains("narrow:") ? 0.015 : 0.03;
      for (double off : new double[] {-band, -band / 3, band / 3, band}) {
        double limit =
            judge
                .limits(offered, List.of(s.speedRpm() * (1 + off)), 0.02, Progress.NONE)
                .lines()
                .get(0)
                .limitM();
        // between the speeds that were judged a lobe may dip a little
        assertThat(s.axialM()).as(s.toString()).isLessThanOrEqualTo(0.9 * limit);
      }
    }
  }

  @Test
  void theSameWithTheProgramsOwnLobes() {
    StabilityJudge judge = StabilityJudge.lobes();
    CutPlan plan = plan(lightCut(), ROUTER, judge);
    CutPlan same = CutPlanner.plan(lightCut(), ROUTER, PlanSettings.DEFAULT, Progress.NONE);
    assertThat(same).isEqualTo(plan);
    assertThat(plan.suggestions()).isNotEmpty();
    checkSuggestions(plan, lightCut(), ROUTER, judge);
  }

  @Test
  void goWithRoomOffersFasterCutsOnly() {
    // its teeth pass near a mode: as a finishing cut it would be outside
    CutPlan plan =
        CutPlanner.plan(
            lightCut(),
            ROUTER,
            PlanSettings.DEFAULT.withWallToleranceM(0.5 * MM),
            constant(12 * MM),
            Progress.NONE);
    assertThat(plan.verdict()).isEqualTo(Verdict.GO);
    double now = 0.3 * MM * 6 * MM * 0.036;
    assertThat(plan.suggestions())
        .isNotEmpty()
        .allSatisfy(s -> assertThat(s.removalM3PerS()).isGreaterThan(1.05 * now));
  }

  /** A wall as high as the flutes: where no chatter is found down to there, it may be kept. */
  @Test
  void aDepthOfTheWholeFluteLengthCanBeKept() {
    CuttingProcess wall =
        milling(
            tool(6, 2, 35, 3),
            Engagement.of(Direction.DOWN, 0.1 * MM, 16 * MM, 6 * MM),
            coefficients(700, 200, 8, 8),
            List.of(ModalModel.of(Mode.of(1240, 0.03, 4e7))),
            List.of(ModalModel.of(Mode.of(1240, 0.03, 4e7))),
            15000,
            0.03);
    StabilityJudge judge = oneMode(1240, 0.03, 4e7, 280e6);
    CutPlan plan = plan(wall, ROUTER, (c, n, m, p) -> judge.limits(c, n, 16 * MM, p));
    assertThat(limit(plan, "chatter").ok()).isFalse();
    assertThat(plan.suggestions())
        .anySatisfy(
            s -> {
              assertThat(s.because()).startsWith("the same cut");
              assertThat(s.axialM()).isEqualTo(16 * MM);
              assertThat(s.margin()).isZero();
            });
  }

  @Test
  void stopWhereNothingHelps() {
    // a limit below the finest depth that a shop sets
    CutPlan plan = plan(lightCut(), ROUTER, constant(0.005 * MM));
    assertThat(plan.verdict()).isEqualTo(Verdict.STOP);
    assertThat(plan.suggestions()).isEmpty();
  }

  @Test
  void powerAloneCanCallForAChange() {
    CuttingProcess heavy =
        milling(
            tool(6, 4, 35, 0),
            Engagement.of(Direction.DOWN, 2 * MM, 6 * MM, 6 * MM),
            STEEL,
            X,
            List.of(ModalModel.of(Mode.of(1180, 0.05, 9e7))),
            24000,
            0.03);
    Machine weak =
        new Machine("", 6000, 24000, 5.0 / 60, List.of(new Machine.PowerPoint(24000, 900)));
    CutPlan plan = plan(heavy, weak, constant(20 * MM));
    assertThat(limit(plan, "chatter").ok()).isTrue();
    assertThat(limit(plan, "power").ok()).isFalse();
    assertThat(plan.verdict()).isEqualTo(Verdict.CHANGE);
    assertThat(plan.suggestions()).anyMatch(s -> s.because().contains("power"));
    checkSuggestions(plan, heavy, weak, constant(20 * MM));
  }

  @Test
  void slotsKeepTheirWidthAndAnglesTheirArc() {
    CuttingProcess slot =
        milling(
            tool(6, 4, 35, 0),
            Engagement.of(Direction.SLOT, 0, 2 * MM, 6 * MM),
            STEEL,
            X,
            Y,
            18000,
            0.02);
    assertThat(plan(slot, ROUTER, constant(1 * MM)).suggestions())
        .isNotEmpty()
        .allSatisfy(s -> assertThat(s.radialM()).isEqualTo(6 * MM));
    CuttingProcess angles =
        slot.with(
            new Engagement(
                Direction.ANGLES, Double.NaN, 2 * MM, Math.toRadians(30), Math.toRadians(150)));
    // width R (cos 30 − cos 150)
    assertThat(plan(angles, ROUTER, constant(1 * MM)).suggestions())
        .isNotEmpty()
        .allSatisfy(
            s -> assertThat(s.radialM()).isCloseTo(6 * MM * Math.cos(Math.PI / 6), within(1e-9)));
  }

  @Test
  void turningIsJudgedByPowerTorqueFeedAndChatter() {
    CuttingProcess turning = turning(1038, 0, 3, 0.5, 600);
    Machine lathe = new Machine("", 100, 3000, 0.01, List.of(new Machine.PowerPoint(100, 5000)));
    PlanSettings work = PlanSettings.DEFAULT.withTurnedDiameterM(50 * MM);
    CutPlan plan = CutPlanner.plan(turning, lathe, work, constant(2 * MM), Progress.NONE);
    assertThat(plan.limits().stream().map(Limit::name))
        .containsExactly(
            "chatter",
            "power",
            "peak power",
            "torque",
            "peak torque",
            "feed rate",
            "chip thickness",
            "deflection",
            "engagement");
    assertThat(plan.verdict()).isEqualTo(Verdict.CHANGE);
    assertThat(plan.suggestions())
        .isNotEmpty()
        .allSatisfy(s -> assertThat(s.axialM()).isLessThanOrEqualTo(0.8 * 2 * MM));
    assertThat(plan(turning, lathe, constant(2 * MM)).limits().stream().map(Limit::name))
        .containsExactly("chatter", "feed rate", "chip thickness", "deflection", "engagement");
  }

  /**
   * Groover, Fundamentals of Modern Manufacturing, power in turning (from memory): force 1557 N at
   * 100 m/min, chip 0.5 mm by 3 mm: 2595 W, specific energy 1.038 N m/mm³.
   */
  @Test
  void powerOfTurningAsInATextbook() {
    double diameter = 0.05;
    double rpm = 100 / (Math.PI * diameter);
    CuttingProcess turning = turning(1038, 0, 3, 0.5, rpm);
    Machine lathe = new Machine("", 100, 3000, 1, List.of(new Machine.PowerPoint(100, 5000)));
    CutPlan plan =
        CutPlanner.plan(
            turning,
            lathe,
            PlanSettings.DEFAULT.withTurnedDiameterM(diameter),
            constant(1),
            Progress.NONE);
    assertThat(limit(plan, "power").value()).isCloseTo(2595, within(2.0));
  }

  /**
   * Kalpakjian &amp; Schmid, Manufacturing Engineering and Technology, worked example of turning
   * (from memory): a rod of 304 from 0.500 to 0.480 in at 400 rpm, fed at 8 in/min: 0.123 in³/min;
   * with 1.47 hp min/in³ 0.181 hp, 28 to 29 lbf in of torque.
   */
  @Test
  void removalAndTorqueOfTurningAsInATextbook() {
    double inch = 0.0254;
    double hp = 745.7;
    double specific = 1.47 * hp * 60 / (inch * inch * inch);
    CuttingProcess turning = turning(specific * 1e-6, 0, 0.01 * 25.4, 0.02 * 25.4, 400);
    Machine lathe = new Machine("", 100, 3000, 1, List.of(new Machine.PowerPoint(100, 5000)));
    PlanSettings work = PlanSettings.DEFAULT.withTurnedDiameterM(0.490 * inch);
    double removal = new CutLimits(lathe, work).removalM3PerS(turning);
    assertThat(removal * 60 / (inch * inch * inch)).isCloseTo(0.123, within(5e-4));
    CutPlan plan = CutPlanner.plan(turning, lathe, work, constant(1), Progress.NONE);
    assertThat(limit(plan, "power").value() / hp).isCloseTo(0.181, within(5e-4));
    assertThat(limit(plan, "torque").value() / 0.112985).isBetween(28.0, 29.0);
  }

  private static CuttingProcess turning(
      double ktc, double kte, double bMm, double feedMm, double rpm) {
    return new CuttingProcess(
        CuttingProcess.Operation.TURNING,
        Optional.empty(),
        new Engagement(Direction.ANGLES, Double.NaN, bMm * MM, 0, 1),
        coefficients(ktc, ktc / 3, kte, kte),
        X,
        List.of(),
        rpm,
        feedMm * MM,
        0);
  }

  @Test
  void sentencesFollowTheUnitsOfTheUser() {
    CutPlan inches =
        CutPlanner.plan(
            lightCut(),
            ROUTER,
            PlanSettings.DEFAULT.withInches(true),
            constant(10 * MM),
            Progress.NONE);
    assertThat(limit(inches, "chatter").because()).contains("0.3937 in");
    assertThat(limit(inches, "feed rate").because()).contains("85.0 in/min");
    assertThat(inches.limits()).noneMatch(l -> l.because().contains(" mm"));
  }

  @Test
  void cautionsNeverCallACutSafe() {
    CutPlan plan = plan(lightCut(), ROUTER, constant(10 * MM));
    assertThat(plan.cautions())
        .anyMatch(c -> c.contains("stop the feed") && c.contains("qualified person"))
        .anyMatch(c -> c.contains("in air first"))
        .anyMatch(c -> c.contains("eye protection"))
        .anyMatch(c -> c.contains("estimates"))
        .anyMatch(c -> c.contains("local codes"))
        .noneMatch(c -> c.toLowerCase(java.util.Locale.ROOT).contains("is safe"));
  }

  @Test
  void progressRisesAndCanCancel() {
    List<Double> seen = new ArrayList<>();
    CutPlanner.plan(
        lightCut(),
        ROUTER,
        PlanSettings.DEFAULT,
        oneMode(1240, 0.03, 6e6, 400e6),
        (done, what) -> seen.add(done));
    assertThat(seen).isNotEmpty().isSorted().allMatch(d -> d >= 0 && d <= 1);
    assertThatThrownBy(
            () ->
                CutPlanner.plan(
                    lightCut(),
                    ROUTER,
                    PlanSettings.DEFAULT,
                    constant(1),
                    (done, what) -> {
                      throw new CancellationException();
                    }))
        .isInstanceOf(CancellationException.class);
  }
}

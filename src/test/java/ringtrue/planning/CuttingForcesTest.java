package ringtrue.planning;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;
import static ringtrue.planning.Cuts.MM;
import static ringtrue.planning.Cuts.coefficients;
import static ringtrue.planning.Cuts.list;
import static ringtrue.planning.Cuts.milling;
import static ringtrue.planning.Cuts.tool;

import java.util.List;
import java.util.Optional;
import org.assertj.core.data.Percentage;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import ringtrue.stability.CuttingCoefficients;
import ringtrue.stability.CuttingProcess;
import ringtrue.stability.Engagement;
import ringtrue.stability.Engagement.Direction;
import ringtrue.stability.Tool;

class CuttingForcesTest {
  private static final CuttingCoefficients STEEL = coefficients(1900, 650, 18, 22);
  private static final CuttingCoefficients NO_EDGE = coefficients(1900, 650, 0, 0);

  /**
   * Average forces per tooth period, Budak, Altintas &amp; Armarego 1996, J. Manuf. Sci. Eng. 118,
   * 216 (also Altintas, Manufacturing Automation, ch. 2), formulae from memory and re-derived.
   */
  @ParameterizedTest
  @CsvSource({
    "SLOT, 6, 4, 35",
    "SLOT, 6, 2, 0",
    "UP, 0.6, 4, 35",
    "DOWN, 0.3, 3, 45",
    "DOWN, 4.5, 4, 30",
    "UP, 3, 1, 0"
  })
  void averageForcesAgreeWithThePublishedFormulae(
      Direction direction, double ae, int n, double helix) {
    double ap = 6;
    double c = 0.03;
    Engagement arc = Engagement.of(direction, ae * MM, ap * MM, 6 * MM);
    CuttingForces forces =
        CuttingForces.of(milling(tool(6, n, helix, 0), direction, ae, ap, STEEL, 18000, c));
    double[] sums = new double[2];
    for (int end = 0; end < 2; end++) {
      double p = end == 0 ? arc.entryRad() : arc.exitRad();
      double sign = end == 0 ? -1 : 1;
      double c2 = Math.cos(2 * p);
      double s2 = Math.sin(2 * p);
      double cut = n * ap * c / (8 * Math.PI);
      double edge = n * ap / (2 * Math.PI);
      sums[0] +=
          sign
              * (cut * (1900 * c2 - 650 * (2 * p - s2))
                  + edge * (-18 * Math.sin(p) + 22 * Math.cos(p)));
      sums[1] +=
          sign
              * (cut * (1900 * (2 * p - s2) + 650 * c2)
                  - edge * (18 * Math.cos(p) + 22 * Math.sin(p)));
    }
    assertThat(forces.meanXN()).isCloseTo(sums[0], within(1e-9));
    assertThat(forces.meanYN()).isCloseTo(sums[1], within(1e-9));
    assertTraceHasTheAverages(forces, 3e-4);
  }

  /** Slot: Fx = −N a (c Krc/4 + Kre/π), Fy = N a (c Ktc/4 + Kte/π); Altintas, from memory. */
  @Test
  void slotAverages() {
    CuttingForces forces =
        CuttingForces.of(milling(tool(10, 4, 30, 0), Direction.SLOT, 10, 2, STEEL, 8000, 0.05));
    assertThat(forces.meanXN()).isCloseTo(-4 * 2 * (0.05 * 650 / 4 + 22 / Math.PI), within(1e-9));
    assertThat(forces.meanYN()).isCloseTo(4 * 2 * (0.05 * 1900 / 4 + 18 / Math.PI), within(1e-9));
  }

  /**
   * Without an edge term every cubic metre takes ktc joules, however the teeth stand and whatever
   * the run-out: no chip is cut twice or forgotten.
   */
  @ParameterizedTest
  @ValueSource(ints = {0, 1, 2, 3, 4, 5, 6})
  void powerIsRemovalRateTimesSpecificEnergy(int which) {
    Tool cutter =
        List.of(
                tool(6, 4, 35, 0),
                tool(6, 4, 35, 8),
                tool(6, 4, 35, 60),
                tool(6, 2, 0, 12),
                tool(6, list(35, 38, 35, 38), list(82, 98, 86, 94), 0),
                tool(6, list(35, 38, 35, 38), list(82, 98, 86, 94), 15),
                tool(6, list(30, 30, 30), list(110, 120, 130), 20))
            .get(which);
    int n = cutter.flutes();
    for (Direction direction : List.of(Direction.UP, Direction.DOWN, Direction.SLOT)) {
      double ae = direction == Direction.SLOT ? 6 : 1.1;
      CuttingForces forces =
          CuttingForces.of(milling(cutter, direction, ae, 5, NO_EDGE, 15000, 0.03));
      double removal = ae * MM * 5 * MM * 0.03 * MM * n * 15000 / 60;
      assertThat(forces.meanPowerW(15000))
          .as(direction + " " + which)
          .isCloseTo(1900e6 * removal, Percentage.withPercentage(1e-4));
      assertTraceHasTheAverages(forces, 1.5e-2);
    }
  }

  /**
   * With an axial depth of a whole number of helix pitches every flute position is in the cut at
   * once: the force stands still (closed form; b N tan(helix)/(πD) whole).
   */
  @Test
  void forceIsConstantWhenTheDepthIsAWholeHelixPitch() {
    double pitch = Math.PI * 6 / (4 * Math.tan(Math.toRadians(35)));
    CuttingForces forces =
        CuttingForces.of(milling(tool(6, 4, 35, 0), Direction.DOWN, 1.2, pitch, STEEL, 1e4, 0.03));
    for (int i = 0; i < forces.samples(); i++) {
      assertThat(forces.xN(i)).isCloseTo(forces.meanXN(), within(1e-9));
      assertThat(forces.yN(i)).isCloseTo(forces.meanYN(), within(1e-9));
      assertThat(forces.tangentialN(i)).isCloseTo(forces.meanTangentialN(), within(1e-9));
    }
    CuttingForces other =
        CuttingForces.of(
            milling(tool(6, 4, 35, 0), Direction.DOWN, 1.2, 0.6 * pitch, STEEL, 1e4, 0.03));
    assertThat(other.peakAcrossN()).isGreaterThan(1.1 * other.meanYN());
  }

  /** A sum over thin discs and all earlier passes, written from the definition. */
  @ParameterizedTest
  @ValueSource(ints = {0, 1, 2, 3})
  void forcesAgreeWithASumOverThinDiscs(int which) {
    Tool cutter =
        List.of(
                tool(6, 4, 35, 0),
                tool(6, 3, 40, 9),
                tool(6, list(35, 38, 35, 38), list(82, 98, 86, 94), 0),
                tool(6, list(30, -20), list(150, 210), 25))
            .get(which);
    CuttingProcess cut = milling(cutter, Direction.UP, 2.2, 7, STEEL, 15000, 0.03);
    CuttingForces forces = CuttingForces.of(cut);
    for (int i = 0; i < forces.samples(); i += 37) {
      double[] discs = discs(cut, forces.angleRad(i), 20000);
      assertThat(forces.xN(i)).as("x " + i).isCloseTo(discs[0], within(0.03));
      assertThat(forces.yN(i)).as("y " + i).isCloseTo(discs[1], within(0.03));
      assertThat(forces.tangentialN(i)).isCloseTo(discs[2], within(0.03));
    }
  }

  private static double[] discs(CuttingProcess cut, double theta, int discs) {
    Tool tool = cut.tool().orElseThrow();
    int n = tool.flutes();
    double[] sum = new double[3];
    double dz = cut.engagement().axialM() / discs;
    double[] at = new double[n];
    for (int d = 0; d < discs; d++) {
      double z = (d + 0.5) * dz;
      double behind = 0;
      for (int j = 0; j < n; j++) {
        at[j] = behind + 2 * z * Math.tan(tool.helixRad().get(j)) / tool.diameterM();
        behind += tool.pitchRad().get(j);
      }
      for (int j = 0; j < n; j++) {
        double phi = (theta - at[j]) % (2 * Math.PI);
        phi = phi < 0 ? phi + 2 * Math.PI : phi;
        if (phi < cut.engagement().entryRad() || phi > cut.engagement().exitRad()) {
          continue;
        }
        double h = Double.POSITIVE_INFINITY;
        for (int i = 0; i < n; i++) {
          for (int turns = -2; turns <= 3; turns++) {
            double ago = at[j] - at[i] + 2 * Math.PI * turns;
            if (ago > 1e-12) {
              double feed = cut.feedPerToothM() * n * ago / (2 * Math.PI) * Math.sin(phi);
              double out = tool.runoutM() * (Math.cos(at[j]) - Math.cos(at[i]));
              h = Math.min(h, feed + out);
            }
          }
        }
        if (h > 0) {
          double ft = (1900e6 * h + 18e3) * dz;
          double fr = (650e6 * h + 22e3) * dz;
          sum[0] += -ft * Math.cos(phi) - fr * Math.sin(phi);
          sum[1] += ft * Math.sin(phi) - fr * Math.cos(phi);
          sum[2] += ft;
        }
      }
    }
    return sum;
  }

  /** Run-out ρ on two straight flutes: chips f + 2ρ and f − 2ρ; above f/2 one flute takes all. */
  @Test
  void runoutLoadsOneFluteAndStarvesTheOther() {
    double fz = 0.03;
    assertThat(slotChip(2, 0)).isCloseTo(fz * MM, within(1e-12));
    assertThat(slotChip(2, 5)).isCloseTo((fz + 0.010) * MM, within(1e-12));
    assertThat(slotChip(2, 20)).isCloseTo(2 * fz * MM, within(1e-12));
    CuttingForces starved =
        CuttingForces.of(milling(tool(6, 2, 0, 20), Direction.SLOT, 6, 2, STEEL, 9000, fz));
    assertThat(starved.leastTeeth()).isZero();
    assertThat(starved.mostTeeth()).isEqualTo(1);
    assertThat(starved.meanTeeth()).isCloseTo(0.5, within(0.01));
  }

  private static double slotChip(int flutes, double runoutUm) {
    return CuttingForces.of(
            milling(tool(6, flutes, 0, runoutUm), Direction.SLOT, 6, 2, STEEL, 9000, 0.03))
        .largestChipM();
  }

  /** Uneven pitch: each chip is the feed times the pitch before it over the mean pitch. */
  @Test
  void unevenPitchChangesTheChipLoad() {
    CuttingForces forces =
        CuttingForces.of(
            milling(
                tool(6, list(30, 30, 30), list(100, 120, 140), 0),
                Direction.SLOT,
                6,
                2,
                STEEL,
                9000,
                0.03));
    assertThat(forces.largestChipM()).isCloseTo(0.03 * MM * 140 / 120, within(1e-12));
  }

  /** h = 2 fz √(ae/D − (ae/D)²), factors as in common chip-thinning tables (from memory). */
  @ParameterizedTest
  @CsvSource({
    "6, 0.6, 0.05, 0.0300, 1.667",
    "6.35, 0.3175, 0.0254, 0.011072, 2.294",
    "10, 5, 0.1, 0.1, 1",
    "10, 8, 0.1, 0.1, 1",
    "10, 2, 0.1, 0.08, 1.25"
  })
  void chipThinning(double d, double ae, double fz, double h, double factor) {
    for (Direction direction : List.of(Direction.UP, Direction.DOWN)) {
      double chip =
          CuttingForces.of(milling(tool(d, 4, 30, 0), direction, ae, 1, STEEL, 9000, fz))
              .largestChipM();
      assertThat(chip / MM).isCloseTo(h, within(1e-6));
      assertThat(fz * MM / chip).isCloseTo(factor, within(5e-4));
    }
  }

  /**
   * Worked examples of Kalpakjian &amp; Schmid, Manufacturing Engineering and Technology, chapter
   * on milling (from memory). Slab milling of mild steel: cutter of 50 mm, 20 straight teeth, 100
   * rpm, 0.25 mm per tooth, 3 mm deep, 100 mm wide, 3 W s/mm³: 150 000 mm³/min, 7.5 kW, 716 N m,
   * chip about 2 f √(d/D) = 0.122 mm. Face milling of aluminium: 150 mm, 10 teeth, 100 rpm, table
   * at 0.6 m/min, 60 mm wide, 3 mm deep, 1.1 W s/mm³: 0.6 mm per tooth, 1.98 kW.
   */
  @ParameterizedTest
  @CsvSource({
    // D, teeth, radial, axial, fz, rpm, N/mm2, W, N m
    "50, 20, 3, 100, 0.25, 100, 3000, 7500, 716.2",
    "150, 10, 60, 3, 0.6, 100, 1100, 1980, 189.1"
  })
  void powerAndTorqueOfTextbookCuts(
      double d,
      int teeth,
      double ae,
      double ap,
      double fz,
      double rpm,
      double specific,
      double watt,
      double nm) {
    CuttingForces forces =
        CuttingForces.of(
            milling(
                tool(d, teeth, 0, 0),
                Direction.UP,
                ae,
                ap,
                coefficients(specific, 0, 0, 0),
                rpm,
                fz));
    assertThat(forces.meanPowerW(rpm)).isCloseTo(watt, Percentage.withPercentage(0.2));
    assertThat(forces.meanTorqueNm()).isCloseTo(nm, Percentage.withPercentage(0.2));
    if (d == 50) {
      // the book leaves out √(1 − d/D)
      assertThat(forces.largestChipM() / MM)
          .isCloseTo(2 * 0.25 * Math.sqrt(0.06), Percentage.withPercentage(3.5));
    }
  }

  /**
   * Power from Kienzle's law at the mean chip, {@code P = ap ae vf kc / 60e6} kW: a constant
   * specific force kc without edge term must give the same. Numbers computed beforehand by hand
   * from the published groups of VDI 3323 (aluminium group 22, C45, 304, titanium group 37).
   */
  @ParameterizedTest
  @CsvSource({
    "2, 0.05, 3, 18000, 6, 1972, 1065",
    "0.6, 0.04, 4, 8000, 6, 3938, 302",
    "0.5, 0.03, 4, 5000, 3, 5574, 83.6",
    "0.5, 0.05, 4, 3200, 6, 5378, 172"
  })
  void powerOfKienzlesWorkedCuts(
      double ae, double fz, int n, double rpm, double ap, double kc, double watt) {
    CuttingForces forces =
        CuttingForces.of(
            milling(tool(6, n, 30, 0), Direction.DOWN, ae, ap, coefficients(kc, 0, 0, 0), rpm, fz));
    assertThat(forces.meanPowerW(rpm)).isCloseTo(watt, Percentage.withPercentage(0.3));
    assertThat(forces.meanTorqueNm()).isCloseTo(9.549 * watt / rpm, Percentage.withPercentage(0.3));
  }

  /**
   * One straight tooth, down milling at 5 % of the width, b = 1 mm, fz = 0.05 mm, ktc 600, krc 200
   * N/mm²: largest force across the feed 9.62 N (the cut of Bayly et al. 2003; force computed
   * separately for the reference sheet).
   */
  @Test
  void peakOfAStraightToothAtLowImmersion() {
    CuttingForces forces =
        CuttingForces.of(
            milling(
                tool(20, 2, 0, 0), Direction.DOWN, 1, 1, coefficients(600, 200, 0, 0), 5000, 0.05));
    assertThat(forces.peakAcrossN()).isCloseTo(9.62, within(0.005));
  }

  /**
   * Straight slotting with 2 flutes: peak of Fy at φ = 90° is b (ktc c + kte), one tooth in cut.
   */
  @Test
  void straightSlotPeaks() {
    CuttingForces forces =
        CuttingForces.of(milling(tool(6, 2, 0, 0), Direction.SLOT, 6, 2, NO_EDGE, 9000, 0.03));
    // F = b h (ktc, krc): Fy = b c sin φ (ktc sin φ − krc cos φ), largest at tan 2φ = −ktc/krc
    double peak = 2 * 0.03 / 2 * (1900 + Math.hypot(1900, 650));
    assertThat(forces.peakAcrossN()).isCloseTo(peak, Percentage.withPercentage(0.01));
    assertThat(forces.peakResultantN())
        .isCloseTo(2 * 0.03 * Math.hypot(1900, 650), Percentage.withPercentage(0.01));
    assertThat(forces.peakTorqueNm())
        .isCloseTo(2 * 0.03 * 1900 * 0.003, Percentage.withPercentage(0.01));
    assertThat(forces.leastTeeth()).isEqualTo(1);
    assertThat(forces.mostTeeth()).isEqualTo(1);
  }

  /** Teeth in the cut: the arc and the lag of the helix, in units of the pitch. */
  @ParameterizedTest
  @CsvSource({
    // arc 90 deg, straight: exactly one tooth of four; arc 36.87 deg: none for a while
    "3, 1, 0, 4, 1, 1, 1.0",
    "0.6, 1, 0, 4, 0, 1, 0.4097",
    "6, 1, 0, 3, 1, 2, 1.5",
    // lag 2*6*tan 35/6 = 80.24 deg on top of 36.87
    "0.6, 6, 35, 4, 1, 2, 1.3012",
  })
  void teethInTheCut(double ae, double ap, double helix, int n, int least, int most, double mean) {
    CuttingForces forces =
        CuttingForces.of(milling(tool(6, n, helix, 0), Direction.UP, ae, ap, STEEL, 9000, 0.03));
    assertThat(forces.leastTeeth()).isEqualTo(least);
    assertThat(forces.mostTeeth()).isEqualTo(most);
    assertThat(forces.meanTeeth()).isCloseTo(mean, within(2e-4));
  }

  @Test
  void anglesBeyondHalfATurnDoNotCut() {
    Engagement wide = new Engagement(Direction.ANGLES, Double.NaN, 2 * MM, 0, 1.9 * Math.PI);
    CuttingForces round =
        CuttingForces.of(milling(tool(6, 3, 30, 0), wide, STEEL, List.of(), List.of(), 9000, 0.03));
    CuttingForces slot =
        CuttingForces.of(milling(tool(6, 3, 30, 0), Direction.SLOT, 6, 2, STEEL, 9000, 0.03));
    assertThat(round.meanXN()).isCloseTo(slot.meanXN(), within(1e-9));
    assertThat(round.peakResultantN()).isCloseTo(slot.peakResultantN(), within(0.02));
    assertThat(round.mostTeeth()).isEqualTo(slot.mostTeeth());
  }

  /** Peaks between the sampled angles: 720 angles against 40 times as many. */
  @ParameterizedTest
  @CsvSource({"0.1, 0.5, 20, 20", "0.3, 6, 35, 5", "3, 12, 45, 0", "6, 2, 0, 5", "1, 6, 20, 20"})
  void peaksAreSampledFinely(double ae, double ap, double helix, double runoutUm) {
    CuttingProcess cut =
        milling(tool(6, 4, helix, runoutUm), Direction.DOWN, ae, ap, STEEL, 9000, 0.03);
    CuttingForces usual = CuttingForces.of(cut);
    CuttingForces fine = CuttingForces.of(cut, 28800);
    assertThat(usual.peakResultantN())
        .isCloseTo(fine.peakResultantN(), Percentage.withPercentage(0.1));
    assertThat(usual.peakAcrossN()).isCloseTo(fine.peakAcrossN(), Percentage.withPercentage(0.1));
  }

  @Test
  void turningIsRefused() {
    CuttingProcess turning =
        new CuttingProcess(
            CuttingProcess.Operation.TURNING,
            Optional.empty(),
            new Engagement(Direction.ANGLES, Double.NaN, 2 * MM, 0, 1),
            STEEL,
            List.of(),
            List.of(),
            900,
            0.1 * MM,
            0);
    assertThatThrownBy(() -> CuttingForces.of(turning))
        .isInstanceOf(IllegalArgumentException.class);
  }

  /** The sampled trace and the averages come from different integrals; they must agree. */
  private static void assertTraceHasTheAverages(CuttingForces forces, double relative) {
    double sum = 0;
    double width = 0;
    for (int i = 1; i < forces.samples(); i++) {
      double step = forces.angleRad(i) - forces.angleRad(i - 1);
      sum += step * (forces.tangentialN(i) + forces.tangentialN(i - 1)) / 2;
      width += step;
    }
    assertThat(sum / width)
        .isCloseTo(forces.meanTangentialN(), Percentage.withPercentage(100 * relative));
  }
}

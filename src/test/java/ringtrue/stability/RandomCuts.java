package ringtrue.stability;

import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.Receptance;
import ringtrue.dynamics.Residual;
import ringtrue.stability.Engagement.Direction;

/**
 * Cuts of the kind that small machines make, drawn from a seed: cutters of 3 to 12 mm with one to
 * eight flutes, straight or with a helix of up to 60°, one in five with uneven pitch, one in five
 * with unequal helices; up, down, slot or between free angles; one to three modes of 300 to 4000 Hz
 * in each direction on the tool, as many or none on a moving workpiece, sometimes one direction
 * rigid; 3000 to 30000 rpm. Stiffnesses are scaled so that the depth that is stable at all speeds
 * is a few tenths of a millimetre.
 */
final class RandomCuts {
  static final int COUNT = 100;
  private static final long SEED = 20_260_718;

  /**
   * One cut.
   *
   * @param number 0 to 99
   * @param process the cut
   * @param speedRpm its speed
   * @param maxM depth up to which it is searched
   */
  record RandomCut(int number, CuttingProcess process, double speedRpm, double maxM) {

    /** A short description. */
    @Override
    public String toString() {
      Tool tool = process.tool().orElseThrow();
      return "cut "
          + number
          + ", "
          + tool.flutes()
          + " flutes"
          + (tool.evenPitch() ? "" : " of uneven pitch")
          + (tool.equalHelix() ? "" : " of unequal helix")
          + ", "
          + process.engagement().direction();
    }
  }

  private RandomCuts() {}

  static RandomCut cut(int number) {
    Random random = new Random(SEED + 7919L * number);
    for (int i = 0; i < 20; i++) {
      random.nextDouble(); // seeds that follow each other begin alike
    }
    int flutes = 1 + random.nextInt(8);
    boolean uneven = flutes > 1 && random.nextDouble() < 0.23;
    boolean unequal = flutes > 1 && random.nextDouble() < 0.23;
    double diameter = uniform(random, 3e-3, 12e-3);
    double helix = random.nextDouble() < 0.2 ? 0 : Math.toRadians(uniform(random, 0, 60));
    List<Double> helices = new ArrayList<>();
    List<Double> pitches = new ArrayList<>();
    double sum = 0;
    for (int j = 0; j < flutes; j++) {
      double off = unequal ? Math.toRadians(uniform(random, -4, 4)) : 0;
      helices.add(Math.min(Math.max(helix + off, 0), Math.toRadians(60)));
      pitches.add(1 + (uneven ? uniform(random, -0.25, 0.25) : 0));
      sum += pitches.get(j);
    }
    for (int j = 0; j < flutes; j++) {
      pitches.set(j, 2 * Math.PI * pitches.get(j) / sum);
    }
    Tool tool = new Tool(diameter, helices, pitches, Double.NaN, Double.NaN, 0, Double.NaN);
    double ktc = uniform(random, 500e6, 2500e6);
    double krc = ktc * uniform(random, 0.1, 0.7);
    double rigid = random.nextDouble();
    List<Receptance> x = rigid < 0.1 ? List.of() : direction(random);
    List<Receptance> y = rigid > 0.9 ? List.of() : direction(random);
    CuttingProcess process =
        new CuttingProcess(
            CuttingProcess.Operation.MILLING,
            Optional.of(tool),
            engagement(random, diameter),
            new CuttingCoefficients(ktc, krc, 0, 0, Double.NaN),
            x,
            y,
            10_000,
            5e-5,
            0);
    double speed = uniform(random, 3000, 30_000);
    double certain = Math.exp(uniform(random, Math.log(1e-4), Math.log(1.2e-3)));
    double found = Lobes.certainDepthM(process, 1);
    if (Double.isFinite(found)) {
      process =
          process.withDynamics(stiffer(x, certain / found), stiffer(y, certain / found), List.of());
    }
    double max = Math.min(2 * diameter, 0.9 * Regeneration.deepest(tool));
    return new RandomCut(number, process, speed, max);
  }

  private static Engagement engagement(Random random, double diameter) {
    double kind = random.nextDouble();
    double part = 0.02 * Math.pow(50, random.nextDouble());
    double entry = uniform(random, 0, 0.8 * Math.PI);
    double exit = uniform(random, entry + 0.1 * Math.PI, Math.PI);
    if (kind < 0.35) {
      return Engagement.of(Direction.UP, part * diameter, 1e-3, diameter);
    } else if (kind < 0.7) {
      return Engagement.of(Direction.DOWN, part * diameter, 1e-3, diameter);
    } else if (kind < 0.85) {
      return Engagement.of(Direction.SLOT, diameter, 1e-3, diameter);
    }
    return new Engagement(Direction.ANGLES, Double.NaN, 1e-3, entry, exit);
  }

  /** Tool and, for two in three, workpiece in one direction. */
  private static List<Receptance> direction(Random random) {
    Receptance tool = modes(random, 1);
    Receptance workpiece = modes(random, 2.5);
    return random.nextDouble() < 0.33 ? List.of(tool) : List.of(tool, workpiece);
  }

  private static Receptance modes(Random random, double stiffer) {
    List<Mode> modes = new ArrayList<>();
    for (int i = random.nextInt(3); i >= 0; i--) {
      double hz = 300 * Math.pow(4000.0 / 300, random.nextDouble());
      double zeta = 0.005 * Math.pow(12, random.nextDouble());
      modes.add(Mode.of(hz, zeta, stiffer * 5e6 * Math.pow(6, random.nextDouble())));
    }
    return new ModalModel(modes, Residual.NONE);
  }

  private static List<Receptance> stiffer(List<Receptance> direction, double times) {
    List<Receptance> scaled = new ArrayList<>();
    for (Receptance part : direction) {
      List<Mode> modes = new ArrayList<>();
      for (Mode m : ((ModalModel) part).modes()) {
        modes.add(Mode.of(m.frequencyHz(), m.dampingRatio(), times * m.stiffnessNPerM()));
      }
      scaled.add(new ModalModel(modes, Residual.NONE));
    }
    return Collections.unmodifiableList(scaled);
  }

  private static double uniform(Random random, double from, double to) {
    return from + (to - from) * random.nextDouble();
  }
}

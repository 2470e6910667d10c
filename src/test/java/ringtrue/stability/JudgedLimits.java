package ringtrue.stability;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Random;
import java.util.stream.IntStream;
import org.apache.commons.math3.complex.Complex;
import ringtrue.stability.LinearCutInTime.Fineness;
import ringtrue.stability.LobesRequest.AtPoint;
import ringtrue.stability.RandomCuts.RandomCut;
import ringtrue.stability.StabilityMap.Loss;

/**
 * What the judge that marches through time says of the drawn cuts, kept in {@code
 * fixtures/lobes/judged_limits.csv}: the first loss of stability going up from zero in 48 steps
 * that grow with the depth, narrowed to a relative 1e-4, and the growth at one drawn point. The
 * periodic method has no part in it. To make the file anew, run {@link #main} from the project's
 * folder:
 *
 * <pre>mvn -q test-compile exec:java -Dexec.classpathScope=test \
 *   -Dexec.mainClass=ringtrue.stability.JudgedLimits</pre>
 */
final class JudgedLimits {
  static final Path FILE = Path.of("fixtures", "lobes", "judged_limits.csv");
  private static final String HEAD =
      "cut,speed_rpm,max_m,limit_m,loss,point_speed_rpm,point_depth_m,point_growth";
  private static final int STEPS = 48;
  private static final double RELATIVE = 1e-4;
  private static final Fineness FINE = new Fineness(80, 48);

  /**
   * One row.
   *
   * @param limitM first loss; the largest depth searched if there is none
   * @param point a point of the map
   * @param growth growth there
   */
  record Judged(
      int number,
      double speedRpm,
      double maxM,
      double limitM,
      Loss loss,
      AtPoint point,
      double growth) {}

  private JudgedLimits() {}

  public static void main(String[] args) throws IOException {
    List<String> rows = new ArrayList<>(List.of(HEAD));
    rows.addAll(
        IntStream.range(0, RandomCuts.COUNT)
            .parallel()
            .mapToObj(number -> row(judge(RandomCuts.cut(number))))
            .toList());
    Files.write(FILE, rows);
  }

  private static String row(Judged j) {
    return String.format(
        Locale.ROOT,
        "%d,%s,%s,%.6g,%s,%s,%s,%.7g",
        j.number(),
        j.speedRpm(),
        j.maxM(),
        j.limitM(),
        j.loss().word(),
        j.point().speedRpm(),
        j.point().lengthM(),
        j.growth());
  }

  static List<Judged> read() throws IOException {
    return Files.readAllLines(FILE).stream()
        .skip(1)
        .map(line -> line.split(","))
        .map(
            p ->
                new Judged(
                    Integer.parseInt(p[0]),
                    Double.parseDouble(p[1]),
                    Double.parseDouble(p[2]),
                    Double.parseDouble(p[3]),
                    Loss.valueOf(p[4].toUpperCase(Locale.ROOT)),
                    new AtPoint(Double.parseDouble(p[5]), Double.parseDouble(p[6])),
                    Double.parseDouble(p[7])))
        .toList();
  }

  private static Judged judge(RandomCut cut) {
    double stable = 0;
    double unstable = Double.NaN;
    for (int i = 1; i <= STEPS && Double.isNaN(unstable); i++) {
      double depth = cut.maxM() * i * i / (STEPS * STEPS);
      if (multiplier(cut, depth, Fineness.USUAL).abs() < 1) {
        stable = depth;
      } else {
        unstable = depth;
      }
    }
    Loss loss = Loss.NONE;
    double limit = cut.maxM();
    if (!Double.isNaN(unstable)) {
      while (unstable - stable > RELATIVE * unstable) {
        double middle = 0.5 * (stable + unstable);
        // Far from the border the usual steps do.
        boolean far = unstable - stable > 0.05 * unstable;
        if (multiplier(cut, middle, far ? Fineness.USUAL : FINE).abs() < 1) {
          stable = middle;
        } else {
          unstable = middle;
        }
      }
      limit = 0.5 * (stable + unstable);
      Complex mu = multiplier(cut, unstable, FINE);
      loss = mu.getImaginary() == 0 && mu.getReal() < 0 ? Loss.FLIP : Loss.HOPF;
    }
    Random random = new Random(31 + 1009L * cut.number());
    random.nextDouble();
    double depth = Math.min(limit * (0.2 + 1.8 * random.nextDouble()), cut.maxM());
    AtPoint point = new AtPoint(cut.speedRpm() * (0.9 + 0.2 * random.nextDouble()), depth);
    double growth =
        new LinearCutInTime(cut.process(), point.speedRpm(), point.lengthM(), FINE).growth();
    return new Judged(cut.number(), cut.speedRpm(), cut.maxM(), limit, loss, point, growth);
  }

  static Complex multiplier(RandomCut cut, double depthM, Fineness fineness) {
    return new LinearCutInTime(cut.process(), cut.speedRpm(), depthM, fineness).multiplier();
  }
}

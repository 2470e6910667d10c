package ringtrue.stability;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.concurrent.ConcurrentHashMap;
import java.util.function.Predicate;
import java.util.stream.IntStream;
import ringtrue.dynamics.Progress;
import ringtrue.stability.Engagement.Direction;
import ringtrue.stability.LobesRequest.AtPoint;
import ringtrue.stability.StabilityMap.Line;
import ringtrue.stability.StabilityMap.Loss;
import ringtrue.units.BadInputException;

/**
 * Milling with the full periodic equation in the frequency domain (Budak & Altintas 1998; Merdol &
 * Altintas 2004): works on modes and on measured responses alike, and knows flip lobes. Even and
 * uneven pitch, helix equal on all flutes.
 *
 * <p>With straight flutes every limiting depth of a speed is an eigenvalue, and the count of
 * multipliers outside the unit circle between them is checked against the argument principle. With
 * helix, and over radial width, the equation itself changes with the length: it is stepped through.
 * The number of harmonics grows until the limit stays within {@value #TOLERANCE} of itself.
 */
final class MultiFrequencyLobes implements LobesMethod {
  /** Largest relative change of a limit from one number of harmonics to the next. */
  static final double TOLERANCE = 2e-3;

  private static final int[] HARMONICS = {1, 2, 3, 4, 6, 8, 11, 15, 20, 27, 36, 48, 64, 90};
  private static final int MOST_TO_SEARCH = 36;
  private static final int SPEEDS_AT_ONCE = 16;

  @Override
  public StabilityMap compute(CuttingProcess process, LobesRequest request, Progress progress) {
    boolean width = request.over() == StabilityMap.Over.WIDTH;
    Tool tool = process.tool().orElseThrow();
    if (process.processDampingNPerM() > 0) {
      throw new BadInputException(
          "method: multi-frequency does not know process damping; use another method or leave it"
              + " out");
    }
    if (width && process.engagement().direction() == Direction.ANGLES) {
      throw new BadInputException(
          "engagement: a limit over radial width needs direction up or down, not entry and exit"
              + " angles");
    }
    double maxM = width ? Math.min(request.maxM(), tool.diameterM()) : request.maxM();
    if (width) {
      request.at().stream()
          .filter(p -> p.lengthM() > tool.diameterM())
          .findFirst()
          .ifPresent(
              p -> {
                throw new BadInputException(
                    String.format(
                        Locale.ROOT,
                        "at: radial width must not exceed the tool's diameter of %s, was %s",
                        Plain.mm(tool.diameterM()),
                        Plain.mm(p.lengthM())));
              });
    }
    Cut cut = new Cut(process, width, maxM);
    List<Solved> solved = new ArrayList<>();
    List<Double> speeds = request.speedsRpm();
    for (int from = 0; from < speeds.size(); from += SPEEDS_AT_ONCE) {
      progress.at((double) from / speeds.size(), "stability over speed");
      int first = from;
      int to = Math.min(speeds.size(), from + SPEEDS_AT_ONCE);
      solved.addAll(
          IntStream.range(first, to)
              .parallel()
              .mapToObj(i -> new HillSearch(cut, speeds.get(i)).line())
              .toList());
    }
    progress.at(1, "stability over speed");
    List<Line> lines = new ArrayList<>(solved.stream().map(Solved::line).toList());
    beyondHarmonics(process, request.upTo(maxM), solved, lines);
    List<StabilityMap.Point> points = new ArrayList<>();
    for (AtPoint point : request.at()) {
      progress.at(1, "single points");
      points.add(point(process, cut, request.upTo(maxM), point));
    }
    return new StabilityMap(
        request.over(),
        Method.MULTI_FREQUENCY.word(),
        lines,
        points,
        "",
        maxM,
        remarks(cut, request, solved, lines, !points.isEmpty()));
  }

  /** Speeds with too many harmonics get the averaged limit. */
  private static void beyondHarmonics(
      CuttingProcess process, LobesRequest request, List<Solved> solved, List<Line> lines) {
    List<Double> slow = new ArrayList<>();
    for (Solved one : solved) {
      if (one.beyond()) {
        slow.add(one.speedRpm());
      }
    }
    if (slow.isEmpty()) {
      return;
    }
    LobesRequest averaged =
        new LobesRequest(request.over(), request.method(), slow, request.maxM(), List.of());
    List<Line> instead = new ZeroOrderLobes().compute(process, averaged, Progress.NONE).lines();
    for (int i = 0, next = 0; i < lines.size(); i++) {
      if (solved.get(i).beyond()) {
        lines.set(i, instead.get(next++));
      }
    }
  }

  private static StabilityMap.Point point(
      CuttingProcess process, Cut cut, LobesRequest request, AtPoint point) {
    HillSearch search = new HillSearch(cut, point.speedRpm());
    if (search.beyond()) {
      LobesRequest averaged =
          new LobesRequest(
              request.over(), request.method(), List.of(), request.maxM(), List.of(point));
      return new ZeroOrderLobes().compute(process, averaged, Progress.NONE).at().get(0);
    }
    return new StabilityMap.Point(
        point.speedRpm(), point.lengthM(), search.stable(point.lengthM()), Double.NaN, Double.NaN);
  }

  private static List<String> remarks(
      Cut cut, LobesRequest request, List<Solved> solved, List<Line> lines, boolean points) {
    List<String> remarks = new ArrayList<>(cut.structure(1).remarks());
    if (cut.structure(1).measured()) {
      remarks.add(
          "outside their usable bands the measured responses were taken as at rest below and as"
              + " falling like a mass above");
    }
    if (request.maxM() > cut.maxM()) {
      remarks.add(
          String.format(
              Locale.ROOT,
              "searched to the tool's diameter of %s: no width is larger",
              Plain.mm(cut.maxM())));
    }
    if (cut.width() && cut.process().engagement().direction() == Direction.SLOT) {
      remarks.add("direction is slot: widths below the full one are taken as down milling");
    }
    if (cut.stepped()) {
      remarks.add(
          cut.width()
              ? String.format(
                  Locale.ROOT,
                  "radial widths were stepped through in %d parts of equal swept angle: a stable"
                      + " stretch narrower than a step can be missed",
                  HillSearch.WIDTH_STEPS)
              : String.format(
                  Locale.ROOT,
                  "with helix, depths were stepped through in steps of %.0f %%, longer ones where"
                      + " several vibrations are unstable at once: a stretch narrower than a step"
                      + " can be missed",
                  100 * (HillSearch.DEPTH_RATIO - 1)));
    }
    say(
        remarks,
        solved,
        Solved::beyond,
        "the vibration spans more than "
            + MOST_TO_SEARCH
            + " tooth passing frequencies: the limits there are those of averaged directional"
            + " factors");
    say(
        remarks,
        solved,
        Solved::unsettled,
        String.format(
            Locale.ROOT,
            "the limit still changed by more than %.1f %% with the most harmonics tried",
            100 * TOLERANCE));
    say(
        remarks,
        solved,
        Solved::uncounted,
        "limits could not all be told apart: depths were stepped through there, and a stable"
            + " stretch narrower than a step can be missed");
    say(
        remarks,
        solved,
        Solved::outside,
        "the limit depends on vibration outside the usable band of a measured response");
    for (AtPoint point : request.at()) {
      if (new HillSearch(cut, point.speedRpm()).beyond()) {
        remarks.add(
            String.format(
                Locale.ROOT,
                "the point at %s rpm was judged with averaged directional factors: too many tooth"
                    + " passing frequencies",
                Plain.number(point.speedRpm())));
      }
    }
    if (points) {
      remarks.add("growth is not given by the multi-frequency method");
    }
    return remarks;
  }

  private static void say(
      List<String> remarks, List<Solved> solved, Predicate<Solved> which, String what) {
    double[] rpm = solved.stream().filter(which).mapToDouble(Solved::speedRpm).sorted().toArray();
    if (rpm.length == 1) {
      remarks.add("at " + Plain.number(rpm[0]) + " rpm " + what);
    } else if (rpm.length > 1) {
      remarks.add(
          String.format(
              Locale.ROOT,
              "at %d of %d speeds between %s and %s rpm %s",
              rpm.length,
              solved.size(),
              Plain.number(rpm[0]),
              Plain.number(rpm[rpm.length - 1]),
              what));
    }
  }

  /**
   * A line with what has to be said about it.
   *
   * @param beyond too many harmonics: not solved
   * @param unsettled the limit still changes with the number of harmonics
   * @param uncounted limits could not all be told apart
   * @param outside the limit depends on frequencies outside a measured band
   */
  record Solved(
      double speedRpm,
      Line line,
      boolean beyond,
      boolean unsettled,
      boolean uncounted,
      boolean outside) {

    static Solved beyond(double speedRpm, double maxM) {
      return new Solved(
          speedRpm,
          new Line(speedRpm, maxM, List.of(), Loss.NONE, Double.NaN, -1),
          true,
          false,
          false,
          false);
    }
  }

  /** What is common to all speeds; couplings are kept, since they do not depend on the speed. */
  static final class Cut {
    private final CuttingProcess process;
    private final boolean width;
    private final double maxM;
    private final HarmonicStructure fixed;
    private final Map<Integer, HarmonicCoupling> couplings = new ConcurrentHashMap<>();

    Cut(CuttingProcess process, boolean width, double maxM) {
      this.process = process;
      this.width = width;
      this.maxM = maxM;
      this.fixed = new HarmonicStructure(process.resolvedAt(1));
    }

    CuttingProcess process() {
      return process;
    }

    boolean width() {
      return width;
    }

    double maxM() {
      return maxM;
    }

    /** What gives, at a speed. */
    HarmonicStructure structure(double speedRpm) {
      return process.changesWithSpeed()
          ? new HarmonicStructure(process.resolvedAt(speedRpm))
          : fixed;
    }

    /** Whether the equation changes with the length that is looked for. */
    boolean stepped() {
      return width || process.tool().orElseThrow().helixRad().get(0) != 0;
    }

    /** Axial depth that belongs to a length. */
    double depth(double lengthM) {
      return width ? process.engagement().axialM() : lengthM;
    }

    /**
     * @param lengthM the depth or width
     * @param narrow as in {@link HarmonicCoupling#of}
     */
    HarmonicCoupling coupling(int harmonics, double lengthM, double narrow) {
      if (!stepped()) {
        return couplings.computeIfAbsent(
            harmonics, h -> coupling(process.engagement(), h, HarmonicCoupling.RANK_TOLERANCE));
      }
      Engagement engagement =
          width
              ? process.engagement().withRadial(lengthM, process.tool().orElseThrow().diameterM())
              : process.engagement().withAxial(lengthM);
      return coupling(engagement, harmonics, narrow);
    }

    private HarmonicCoupling coupling(Engagement engagement, int harmonics, double narrow) {
      return HarmonicCoupling.of(
          process,
          engagement,
          fixed.gives(HarmonicStructure.XX) || fixed.gives(HarmonicStructure.XY),
          fixed.gives(HarmonicStructure.YY) || fixed.gives(HarmonicStructure.XY),
          harmonics,
          narrow);
    }

    /** Ω over the spindle's frequency. */
    int perTurn() {
      Tool tool = process.tool().orElseThrow();
      return tool.flutes() / HarmonicCoupling.repeatingFlutes(tool.pitchRad());
    }

    /** Number of harmonics that reaches past everything that gives; 0 if that takes too many. */
    int harmonics(HarmonicStructure structure, double speedRpm) {
      double wanted = 1.15 * structure.topHz() / (perTurn() * speedRpm / 60) + 1;
      for (int h : HARMONICS) {
        if (h >= wanted && h <= MOST_TO_SEARCH) {
          return h;
        }
      }
      return 0;
    }

    /** The next larger number of harmonics; 0 if there is none. */
    static int more(int harmonics) {
      for (int h : HARMONICS) {
        if (h > harmonics) {
          return h;
        }
      }
      return 0;
    }
  }
}

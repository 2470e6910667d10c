package ringtrue.ui.lobes;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.CancellationException;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.TimeoutException;
import java.util.concurrent.locks.ReentrantLock;
import java.util.function.Consumer;
import javax.swing.SwingUtilities;
import ringtrue.dynamics.Progress;
import ringtrue.library.Catalogue;
import ringtrue.library.Cut;
import ringtrue.library.CutFile;
import ringtrue.library.CutLobes;
import ringtrue.library.ModalWay;
import ringtrue.library.SavedOutcomes;
import ringtrue.library.SetUpLibrary;
import ringtrue.planning.PowerLimit;
import ringtrue.report.CutOutcomes;
import ringtrue.report.LengthUnit;
import ringtrue.report.LobesWords;
import ringtrue.report.OutcomeMark;
import ringtrue.stability.CuttingProcess;
import ringtrue.stability.GrowingLobes;
import ringtrue.stability.Lobes;
import ringtrue.stability.LobesRequest;
import ringtrue.stability.Method;
import ringtrue.stability.StabilityMap;
import ringtrue.ui.desk.Desk;
import ringtrue.ui.desk.Tasks;
import ringtrue.ui.job.CutDraft;
import ringtrue.ui.plot.PlotContent;
import ringtrue.units.BadInputException;

/**
 * Computes what the stage shows, away from the event thread. Two things go on beside each other:
 * the cut where it is now, which is quick and follows the hand; and the map, which begins coarse,
 * grows finer, and is dropped for a newer one as soon as its coarse answer was seen. Called on the
 * event thread, tells on the event thread.
 */
final class LobesWork {
  private static final int COARSE_SPEEDS = 25;
  private static final int LEAST_COARSE_SPEEDS = 12;

  /** The limits of a coarse map may take so long, ms: the rest of 100 goes to all else. */
  private static final double COARSE_MS = 35;

  /** How long the cut's own answer waits for the coarse map, ms. */
  private static final long PATIENCE_MS = 150;

  private static final int FIRST_SPEEDS = 50;
  private static final int FEWEST_SPEEDS = 25;

  /** After a move, a fine map should be there within so long, ms. */
  private static final double FINE_MS = 1000;

  /**
   * As many speeds of the whole map take about as long as the coarse answer, which knows first
   * limits only: as found on the demo cuts. Counts for the first map only.
   */
  private static final double WHOLE_SPEEDS = 10;

  private static final int COMPARED = 4;
  private static final String CHANCE = "chance of no chatter";

  /** What is told. */
  interface Listener {
    /** The cut as it is now, its dynamics those of the last reading. */
    void cut(Cut cut);

    /** What happens there. */
    void here(Here here);

    /**
     * A map, as far as it has come.
     *
     * @param unit that of the content
     */
    void map(MapMoment moment, PlotContent content, LengthUnit unit);

    /** What goes on beside the map has begun, has ended, or was stopped. */
    default void beside() {}

    /** Something that could not be done, in a sentence; empty when it can be done again. */
    void problem(String sentence);
  }

  /** What is to be computed beside the map, and how it is shown. */
  record Extras(boolean chance, boolean zeroOrder, LengthUnit unit, double topM) {

    /** Whether a map looks the same with it. */
    boolean looksAs(Extras other) {
      return unit == other.unit && Double.compare(topM, other.topM) == 0;
    }
  }

  /**
   * How many draws at which of the speeds: a coarse answer soon, then finer ones.
   *
   * @param first the first of the speeds
   * @param every every how-many-th of them from there on
   * @param draws sets of inputs
   */
  private record Drawing(int first, int every, int draws) {
    /** The last one draws the same sets as the one before, at the speeds between. */
    static final List<Drawing> ALL =
        List.of(new Drawing(0, 5, 80), new Drawing(0, 2, 120), new Drawing(1, 2, 120));

    /** What it costs, against others. */
    double work() {
      return (double) draws / every;
    }
  }

  /** What a map is of. */
  private record Key(CuttingProcess process, Wanted wanted, List<Double> speedsRpm) {}

  /** How far a map has come. */
  private enum Stand {
    COARSE,
    GROWS,
    COMPLETE;

    static Stand of(GrowingLobes lobes) {
      return lobes.complete() ? COMPLETE : GROWS;
    }
  }

  private record Asked(CutDraft draft, Cut base, Wanted wanted, Extras extras) {}

  private final Desk desk;
  private final Listener listener;

  /** One map at a time, so that the window keeps a core. */
  private final ReentrantLock one = new ReentrantLock();

  private Asked latest;
  private boolean looking;
  private Asked lookNext;

  private Key key;
  private MapMoment moment;
  private Cut cut;
  private Tasks.Task growing;
  private boolean coarseSeen;

  /** Whether the newest map's coarse answer is still awaited; of none at first. */
  private CountDownLatch coarseComes = new CountDownLatch(0);

  private boolean fine;
  private long growsSinceNanos;

  /** How long a speed of the last map took, ms; NaN before there was one. */
  private volatile double speedMs = Double.NaN;

  /** The same for the coarse map before. */
  private volatile double coarseSpeedMs = Double.NaN;

  private boolean growNext;
  private Tasks.Task extra;
  private String extraWhat = "";
  private int drawings;
  private boolean drawingStopped;

  /** How far up is drawn, m; the same for all drawings of a map. */
  private double drawingTopM = Double.NaN;

  /** How long the last drawing took for each unit of its work, s; NaN before there was one. */
  private double drawingS = Double.NaN;

  private final CloserLook closer;
  private Extras shownWith;
  private int pictures;
  private String outcomesOf = "";
  private List<OutcomeMark> outcomes = List.of();

  LobesWork(Desk desk, Listener listener) {
    this.desk = desk;
    this.listener = listener;
    closer = new CloserLook(desk.tasks(), listener::beside);
  }

  /** Forgets everything, as for another job. */
  void reset() {
    stopMap();
    latest = null;
    lookNext = null;
    key = null;
    moment = null;
    cut = null;
    shownWith = null;
    speedMs = Double.NaN;
    coarseSpeedMs = Double.NaN;
    outcomesOf = "";
    outcomes = List.of();
  }

  /** Ends the map while nobody sees it; it begins anew when it is asked for again. */
  void stopGrowing() {
    closer.stop();
    if (growing != null && !growing.cancelled() || growNext) {
      stopMap();
      key = null;
    } else {
      stop(extra);
      extra = null;
      extraWhat = "";
    }
    latest = null;
  }

  private void stopMap() {
    stop(growing);
    growing = null;
    growNext = false;
    stop(extra);
    extra = null;
    extraWhat = "";
    drawings = 0;
    drawingStopped = false;
    drawingTopM = Double.NaN;
    drawingS = Double.NaN;
    closer.stop();
  }

  private static void stop(Tasks.Task task) {
    if (task != null) {
      task.cancel();
    }
  }

  /** Shows the cut of a draft, its dynamics those of a cut that was read. */
  void show(CutDraft draft, Cut base, Wanted wanted, Extras extras) {
    Asked asked = new Asked(draft, base, wanted, extras);
    if (asked.equals(latest)) {
      return;
    }
    if (latest != null && latest.extras.chance != extras.chance) {
      drawingStopped = false;
    }
    latest = asked;
    if (moment != null && shownWith != null && !shownWith.looksAs(extras)) {
      redraw();
    }
    if (looking) {
      lookNext = asked;
      return;
    }
    look(asked);
  }

  // ---- the cut where it is now

  private void look(Asked asked) {
    looking = true;
    Path file = desk.folder().orElseThrow().file("cut.json");
    Catalogue catalogue = desk.catalogue();
    SetUpLibrary library = desk.library();
    desk.tasks()
        .start(
            "the cut where it is",
            progress -> {
              Cut now = now(asked, file, catalogue, library, progress);
              CompletableFuture<CountDownLatch> map = new CompletableFuture<>();
              SwingUtilities.invokeLater(
                  () -> {
                    cutKnown(asked, now);
                    map.complete(coarseComes);
                  });
              coarseFirst(map);
              boolean inches = asked.extras.unit == LengthUnit.INCH;
              return Here.look(now, asked.wanted, inches, progress);
            },
            here -> {
              listener.problem(here.problem());
              listener.here(here);
              looked();
            },
            complaint -> {
              listener.problem(complaint);
              looked();
            });
  }

  /** The coarse map has the cores to itself, for a moment: it takes longest to be painted. */
  private static void coarseFirst(CompletableFuture<CountDownLatch> map) {
    try {
      boolean there =
          map.get(PATIENCE_MS, TimeUnit.MILLISECONDS).await(PATIENCE_MS, TimeUnit.MILLISECONDS);
      if (!there) {
        return; // it takes too long to wait for
      }
    } catch (TimeoutException | ExecutionException e) {
      return; // the cut itself does not wait any longer
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw new CancellationException();
    }
  }

  private void looked() {
    looking = false;
    if (lookNext != null) {
      Asked next = lookNext;
      lookNext = null;
      look(next);
    }
  }

  /** All that the draft says, on the dynamics that were read last: no file has to be read. */
  private static Cut now(
      Asked asked, Path file, Catalogue catalogue, SetUpLibrary library, Progress progress) {
    Cut base = asked.base;
    Cut said = CutFile.ofText(file, asked.draft.fileWithoutModes(), catalogue, library, progress);
    if (said.process().operation() != base.process().operation()) {
      return base; // the other one's dynamics are being read
    }
    CuttingProcess process =
        said.process().withDynamics(base.process().x(), base.process().y(), base.process().xy());
    if (process.equals(base.process())) {
      return base;
    }
    return new Cut(
        said.name(),
        process,
        said.machine(),
        said.planSettings(),
        said.material(),
        said.materialSource(),
        base.dynamicsSource(),
        said.speedShiftSigma(),
        base.remarks());
  }

  private void cutKnown(Asked asked, Cut now) {
    if (latest == null) {
      return; // nobody looks any more
    }
    cut = now;
    listener.cut(now);
    if (!Here.gives(now.process())) {
      stopMap();
      key = null;
      moment = null;
      return;
    }
    Key wantedKey = key(now, asked.wanted);
    if (wantedKey.equals(key)) {
      if (moment != null && !moment.cut().equals(now)) {
        moment = moment.of(now);
      }
      outcomesSoon();
      extras();
      return;
    }
    boolean busy = growing != null && !growing.cancelled() && !coarseSeen;
    if (busy) {
      growNext = true;
      return;
    }
    grow(wantedKey);
  }

  private static Key key(Cut now, Wanted wanted) {
    return new Key(wanted.onlyWhatCounts(now.process()), wanted, wanted.speedsRpm(now, false));
  }

  // ---- the map

  private void grow(Key wantedKey) {
    stopMap();
    key = wantedKey;
    coarseSeen = false;
    CountDownLatch coarseThere = new CountDownLatch(1);
    coarseComes = coarseThere;
    fine = false;
    growsSinceNanos = System.nanoTime();
    Cut of = cut;
    Extras with = latest.extras;
    List<OutcomeMark> marks = outcomes;
    LobesRequest request =
        new LobesRequest(
            wantedKey.wanted.over(),
            wantedKey.wanted.method(),
            wantedKey.speedsRpm,
            wantedKey.wanted.maxM(),
            List.of());
    Tasks.Task[] self = new Tasks.Task[1];
    self[0] =
        desk.tasks()
            .start(
                "stability map",
                progress -> {
                  alone(
                      progress,
                      () -> {
                        CuttingProcess process =
                            CutLobes.process(of.process(), request.method(), progress);
                        int speeds = FIRST_SPEEDS;
                        if (!ModalWay.measured(process)) {
                          long begun = System.nanoTime();
                          LobesRequest some = coarse(request, coarseSpeeds(coarseSpeedMs));
                          StabilityMap coarse = Lobes.roughLimits(process, some, progress);
                          double ms = (System.nanoTime() - begun) / 1e6;
                          coarseSpeedMs = ms / coarse.lines().size();
                          speeds = firstSpeeds(ms, speedMs);
                          step(self, of, coarse, Stand.COARSE, with, marks);
                        }
                        coarseThere.countDown();
                        GrowingLobes lobes = GrowingLobes.of(process, request);
                        long begun = System.nanoTime();
                        StabilityMap map = lobes.first(speeds, progress);
                        speedMs = (System.nanoTime() - begun) / 1e6 / map.lines().size();
                        step(self, of, map, Stand.of(lobes), with, marks);
                        while (!lobes.complete()) {
                          map = lobes.finer(progress);
                          step(self, of, map, Stand.of(lobes), with, marks);
                        }
                      });
                  return true;
                },
                done -> {
                  growing = null;
                  outcomesSoon();
                  extras();
                  lookCloser();
                  nextMap();
                },
                complaint -> {
                  growing = null;
                  key = null;
                  listener.problem(complaint);
                  nextMap();
                });
    growing = self[0];
  }

  /**
   * At how many speeds the whole map begins: half of those that can be had in the time for a fine
   * one, so that there is one answer in between.
   *
   * @param coarseMs how long the coarse answer took, ms
   * @param speedMs how long a speed of the map before took, ms; NaN if there was none
   */
  static int firstSpeeds(double coarseMs, double speedMs) {
    double each = Double.isNaN(speedMs) ? coarseMs / WHOLE_SPEEDS : speedMs;
    double within = (FINE_MS - coarseMs) / each;
    return (int) Math.max(FEWEST_SPEEDS, Math.min(4 * FIRST_SPEEDS, within / 2));
  }

  /**
   * How many speeds of a coarse map can be had in its time.
   *
   * @param speedMs how long a speed of the coarse map before took, ms; NaN if there was none
   */
  static int coarseSpeeds(double speedMs) {
    return Double.isNaN(speedMs)
        ? COARSE_SPEEDS
        : (int) Math.max(LEAST_COARSE_SPEEDS, Math.min(COARSE_SPEEDS, COARSE_MS / speedMs));
  }

  /** A few of the speeds, for the limits without what is stable above them: much quicker. */
  private static LobesRequest coarse(LobesRequest request, int speeds) {
    List<Double> some = new ArrayList<>();
    int every = Math.max(1, request.speedsRpm().size() / speeds);
    for (int i = 0; i < request.speedsRpm().size(); i += every) {
      some.add(request.speedsRpm().get(i));
    }
    return new LobesRequest(request.over(), request.method(), some, request.maxM(), request.at());
  }

  private interface Work {
    void run();
  }

  private void alone(Progress progress, Work work) {
    while (!locked()) {
      progress.at(0, "waiting for the last one to end");
    }
    try {
      work.run();
    } finally {
      one.unlock();
    }
  }

  private boolean locked() {
    try {
      return one.tryLock(20, TimeUnit.MILLISECONDS);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw new CancellationException();
    }
  }

  /** A step of the map is there; away from the event thread. */
  private void step(
      Tasks.Task[] self,
      Cut of,
      StabilityMap map,
      Stand stand,
      Extras with,
      List<OutcomeMark> marks) {
    double[] power =
        PowerLimit.lengthsM(
            of.process(),
            of.machine(),
            of.planSettings(),
            map.over(),
            map.lines().stream().map(StabilityMap.Line::speedRpm).toList(),
            map.maxM());
    MapMoment made =
        new MapMoment(
            of, map, stand == Stand.COMPLETE, power, Optional.empty(), Optional.empty(), marks);
    PlotContent content = LobesContent.of(made, with.unit, with.topM);
    SwingUtilities.invokeLater(() -> stepMade(self[0], made, stand, content, with));
  }

  private void stepMade(
      Tasks.Task of, MapMoment made, Stand stand, PlotContent content, Extras with) {
    if (of != growing || of.cancelled()) {
      return;
    }
    moment = growNext ? made : made.of(cut);
    coarseSeen = true;
    // the next step has twice the speeds and takes about as long as all before
    fine = stand == Stand.COMPLETE || stand == Stand.GROWS && growsForMs() > FINE_MS / 2;
    picture(moment, content, with);
    if (!with.looksAs(latest.extras)) {
      redraw();
    }
    nextMap();
  }

  /** A newer map that waited for the coarse answer of the last one. */
  private void nextMap() {
    if (growNext && cut != null && latest != null) {
      growNext = false;
      Key wantedKey = key(cut, latest.wanted);
      if (!wantedKey.equals(key)) {
        grow(wantedKey);
      }
    }
  }

  /** Shows the map as it is once more, made away from the event thread. */
  void redraw() {
    if (moment == null || latest == null) {
      return;
    }
    MapMoment now = moment;
    Extras with = latest.extras;
    int number = ++pictures;
    desk.tasks()
        .start(
            "the plot",
            progress -> LobesContent.of(now, with.unit, with.topM),
            content -> {
              if (moment != null && moment.map() == now.map() && number == pictures) {
                picture(now, content, with);
              }
            },
            listener::problem);
  }

  private void picture(MapMoment of, PlotContent content, Extras with) {
    pictures++; // older ones on their way are not wanted any more
    shownWith = with;
    listener.map(of, content, with.unit);
  }

  private void changed(MapMoment other) {
    moment = other;
    redraw();
  }

  // ---- beside the map

  private void extras() {
    if (moment == null || !moment.complete() || latest == null || key == null) {
      return;
    }
    Extras wanted = latest.extras;
    if (!wanted.chance && moment.drawn().isPresent()) {
      changed(moment.withDrawn(Optional.empty()));
    }
    if (!wanted.zeroOrder && moment.zeroOrder().isPresent()) {
      changed(moment.withZeroOrder(Optional.empty()));
    }
    boolean zeroOrder =
        wanted.zeroOrder
            && moment.zeroOrder().isEmpty()
            && !moment.map().method().equals(Method.ZERO_ORDER.word())
            && moment.cut().process().tool().isPresent();
    if (!wanted.chance) {
      drawings = 0;
    }
    boolean chance = wanted.chance && !drawingStopped && drawings < Drawing.ALL.size();
    String what = zeroOrder ? "zero-order" : chance ? "chance" : "";
    if (what.equals(extraWhat)) {
      return;
    }
    stop(extra);
    extra = null;
    extraWhat = what;
    if (zeroOrder) {
      compare();
    } else if (chance) {
      draw();
    }
    listener.beside();
  }

  /** Ends the drawing; what was drawn so far stays. Whether anything was. */
  boolean stopDrawing() {
    stop(extra);
    extra = null;
    extraWhat = "";
    drawingStopped = true;
    listener.beside();
    return drawings > 0;
  }

  /** Whether chances are being drawn. */
  boolean drawing() {
    return extra != null && !extra.cancelled() && extraWhat.equals("chance");
  }

  /** How much longer the drawing takes that goes on now, s; NaN while that is not known. */
  double drawingLeftS() {
    if (!drawing()) {
      return Double.NaN;
    }
    double done = extra.done();
    if (done > 0.1) {
      return extra.seconds() * (1 - done) / done;
    }
    return drawingS * Drawing.ALL.get(drawings).work() - extra.seconds();
  }

  /** How far the drawing is that goes on now, 0 to 1. */
  double drawn() {
    return drawing() ? extra.done() : 1;
  }

  private void compare() {
    Key of = key;
    Cut now = moment.cut();
    List<Double> some = new ArrayList<>();
    for (int i = 0; i < of.speedsRpm.size(); i += COMPARED) {
      some.add(of.speedsRpm.get(i));
    }
    LobesRequest request =
        new LobesRequest(
            of.wanted.over(), Optional.of(Method.ZERO_ORDER), some, moment.map().maxM(), List.of());
    extra(
        "quick look",
        progress -> Lobes.compute(now.process(), request, progress),
        map -> changed(moment.withZeroOrder(Optional.of(map))),
        of);
  }

  private void draw() {
    Key of = key;
    Cut now = moment.cut();
    // no farther than is shown: the rows lie closer then
    if (drawings == 0 || Double.isNaN(drawingTopM)) {
      drawingTopM =
          Double.isNaN(of.wanted.maxM())
              ? LobesWords.topM(moment.map(), moment.lengthM(), moment.outcomes())
              : of.wanted.maxM();
    }
    Drawing drawing = Drawing.ALL.get(drawings);
    List<Double> all = of.wanted.speedsRpm(now, true);
    List<Double> some = new ArrayList<>();
    for (int i = drawing.first; i < all.size(); i += drawing.every) {
      some.add(all.get(i));
    }
    LobesRequest request =
        new LobesRequest(
            of.wanted.over(),
            of.wanted.method(),
            some,
            Math.min(moment.map().maxM(), drawingTopM),
            List.of());
    long begun = System.nanoTime();
    extra(
        CHANCE,
        progress ->
            CutLobes.of(now, request, Optional.of(new CutLobes.Draws(drawing.draws, 1)), progress)
                .map(),
        map -> {
          drawings++;
          drawingS = (System.nanoTime() - begun) / 1e9 / drawing.work();
          if (map.probability().isPresent()) {
            StabilityMap whole =
                drawing.first > 0 ? Drawn.joined(moment.drawn().orElse(map), map) : map;
            changed(moment.withDrawn(Optional.of(whole)));
          }
        },
        of);
  }

  private void extra(
      String name, Tasks.Work<StabilityMap> work, Consumer<StabilityMap> answer, Key of) {
    StabilityMap[] found = new StabilityMap[1];
    extra =
        desk.tasks()
            .start(
                name,
                progress -> {
                  alone(progress, () -> found[0] = run(work, progress));
                  return found[0];
                },
                map -> {
                  extra = null;
                  if (moment != null && of.equals(key)) {
                    answer.accept(map);
                    extraWhat = "";
                    extras();
                  }
                },
                complaint -> {
                  extra = null;
                  if (name.equals(CHANCE) && drawings + 1 < Drawing.ALL.size()) {
                    drawings++; // with many uncertain inputs only more draws do
                    extraWhat = "";
                    extras();
                  } else {
                    listener.problem(complaint);
                    listener.beside();
                  }
                });
  }

  /** Another part of the map is shown: more speeds there, if it is a small one. */
  void zoomed(double fromRpm, double toRpm) {
    closer.show(fromRpm, toRpm);
    lookCloser();
  }

  private void lookCloser() {
    if (moment == null || !moment.complete() || key == null || latest == null) {
      return;
    }
    Key of = key;
    closer.look(
        moment,
        of.wanted,
        (map, powerM) -> {
          if (moment != null && of.equals(key)) {
            changed(moment.withMap(map, powerM));
          }
        });
  }

  /** Whether more speeds are being computed where the user looks closer. */
  boolean looksCloser() {
    return closer.busy();
  }

  private static StabilityMap run(Tasks.Work<StabilityMap> work, Progress progress) {
    try {
      return work.run(progress);
    } catch (RuntimeException e) {
      throw e;
    } catch (Exception e) {
      throw new BadInputException(String.valueOf(e.getMessage()), e);
    }
  }

  private void outcomesSoon() {
    Optional<String> id = desk.job().savedId();
    if (id.isEmpty() || cut == null || moment == null) {
      return;
    }
    Wanted wanted = latest.wanted;
    String of = id.get() + cut.material() + cut.process().engagement() + wanted.over();
    if (of.equals(outcomesOf)) {
      return;
    }
    outcomesOf = of;
    Cut now = cut;
    Catalogue catalogue = desk.catalogue();
    SetUpLibrary library = desk.library();
    desk.tasks()
        .start(
            "cuts that were made",
            progress -> {
              SavedOutcomes known =
                  SavedOutcomes.of(Set.of(id.get()), now, library, catalogue, progress);
              return CutOutcomes.marks(known, wanted.over(), now.process());
            },
            marks -> {
              if (!Objects.equals(marks, outcomes)) {
                outcomes = marks;
                if (moment != null) {
                  changed(moment.withOutcomes(marks));
                }
              }
            },
            complaint -> {});
  }

  private double growsForMs() {
    return (System.nanoTime() - growsSinceNanos) / 1e6;
  }

  /** Whether the map is as fine as it gets within a second; it may go on silently after that. */
  boolean fine() {
    return fine;
  }

  /** Whether a fine map is on its way, within a second or little more: other work should wait. */
  boolean hurries() {
    return growing != null && !growing.cancelled() && !fine && growsForMs() < 1.5 * FINE_MS;
  }

  /** Whether the map is still growing or something beside it is being computed. */
  boolean busy() {
    return growing != null && !growing.cancelled() || extra != null && !extra.cancelled();
  }

  /** The map that is shown now. */
  Optional<MapMoment> moment() {
    return Optional.ofNullable(moment);
  }

  /** Whether the cut has responses as measured, for which there is the multi-frequency method. */
  boolean measured() {
    return cut != null && ModalWay.measured(cut.process());
  }
}

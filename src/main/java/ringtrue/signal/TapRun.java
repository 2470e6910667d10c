package ringtrue.signal;

import java.io.IOException;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Queue;
import java.util.Set;
import java.util.concurrent.ConcurrentLinkedQueue;
import java.util.function.BooleanSupplier;
import java.util.function.Consumer;
import ringtrue.acquisition.LiveInput;
import ringtrue.acquisition.TapKeeper;
import ringtrue.units.BadInputException;

/**
 * Runs a session: from the input to where frames and verdicts are kept, and then to whoever
 * listens. A verdict is kept before it is announced.
 */
public final class TapRun {
  private static final double PORTION_S = 0.01;

  private final LiveInput input;
  private final TapKeeper keeper;
  private final TapSession session;
  private final Queue<Request> requests = new ConcurrentLinkedQueue<>();
  private final Set<LiveInput.Gap> gapsSeen = new HashSet<>();

  /** Something that the user does while the session runs. */
  @FunctionalInterface
  public interface Request {
    List<TapEvent> on(TapSession session) throws IOException;
  }

  /**
   * @param input gives the frames; it is not closed here
   * @param keeper keeps frames and verdicts; it is not closed here
   * @param session judges; reads back from the keeper
   */
  public TapRun(LiveInput input, TapKeeper keeper, TapSession session) {
    this.input = input;
    this.keeper = keeper;
    this.session = session;
  }

  /** Has something done by the thread that runs the session; may be called from any thread. */
  public void request(Request request) {
    requests.add(request);
  }

  /**
   * Runs until the session is over, the input ends or is lost, or somebody stops it. Whatever came
   * until then is kept, judged and averaged.
   *
   * @param listener told of everything that happens, in order; and now and then of nothing (null),
   *     so that it can show the meters
   * @param stop asked often whether to stop
   * @return what went wrong with the input, in one sentence; empty if nothing
   * @throws IOException if frames or verdicts cannot be kept
   */
  public Optional<String> run(Consumer<TapEvent> listener, BooleanSupplier stop)
      throws IOException {
    int portion = (int) Math.max(16, Math.round(PORTION_S * input.sampleRateHz()));
    double[] frames = new double[portion * input.channels()];
    String problem = null;
    tell(session.take(frames, 0), listener);
    while (session.state() != TapSession.State.FINISHED && !stop.getAsBoolean()) {
      int n;
      try {
        n = input.read(frames, portion);
      } catch (IOException | BadInputException e) {
        problem = String.valueOf(e.getMessage());
        break;
      }
      if (n < 0) {
        break;
      }
      keeper.frames(frames, n);
      gaps();
      tell(session.take(frames, n), listener);
      for (Request next = requests.poll(); next != null; next = requests.poll()) {
        answer(next, listener);
      }
      listener.accept(null);
    }
    gaps();
    String end =
        problem != null
            ? "the input was lost"
            : stop.getAsBoolean() ? "as asked" : "the input has ended";
    tell(session.end(end), listener);
    tell(session.settle(), listener);
    for (SessionTap tap : session.taps()) {
      keep(tap);
    }
    return Optional.ofNullable(problem);
  }

  /** A gap may be noticed after a later one, or grow: each that is new in any way is told. */
  private void gaps() throws IOException {
    for (LiveInput.Gap gap : input.gaps()) {
      if (gapsSeen.add(gap)) {
        keeper.gap(gap);
        session.gap(gap);
      }
    }
  }

  private void answer(Request request, Consumer<TapEvent> listener) throws IOException {
    try {
      tell(request.on(session), listener);
    } catch (BadInputException e) {
      listener.accept(new TapEvent.Advice(e.getMessage()));
    }
  }

  private void tell(List<TapEvent> events, Consumer<TapEvent> listener) throws IOException {
    for (TapEvent event : events) {
      if (event instanceof TapEvent.Judged judged) {
        keep(judged.tap());
      } else if (event instanceof TapEvent.Changed changed) {
        keep(changed.tap());
      }
      listener.accept(event);
    }
  }

  private void keep(SessionTap tap) throws IOException {
    Map<String, Double> numbers = new LinkedHashMap<>();
    put(numbers, "onsetS", tap.tap().onsetS());
    put(numbers, "peakForceN", tap.tap().peakForceN());
    put(numbers, "contactS", tap.tap().contactS());
    put(numbers, "usableToHz", tap.tap().usableToHz());
    keeper.verdict(
        new TapKeeper.Verdict(
            tap.tap().number(),
            tap.firstFrame(),
            tap.frames(),
            tap.tap().verdict().word(),
            tap.tap().reason(),
            numbers));
  }

  private static void put(Map<String, Double> numbers, String name, double value) {
    if (Double.isFinite(value)) {
      numbers.put(name, value);
    }
  }
}

package ringtrue.ui.tapping;

import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.ConcurrentLinkedQueue;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.concurrent.atomic.AtomicReference;
import javax.swing.SwingUtilities;
import ringtrue.acquisition.LiveInput;
import ringtrue.acquisition.MemoryRecording;
import ringtrue.acquisition.SessionFiles;
import ringtrue.acquisition.TapRecording;
import ringtrue.acquisition.TapSounds;
import ringtrue.library.InputProfile;
import ringtrue.library.Measurement;
import ringtrue.library.MeasurementFile;
import ringtrue.library.MeasurementText;
import ringtrue.library.SafeFile;
import ringtrue.library.TapInputs;
import ringtrue.signal.ChannelMeter;
import ringtrue.signal.Processing;
import ringtrue.signal.SessionTap;
import ringtrue.signal.TapEvent;
import ringtrue.signal.TapRun;
import ringtrue.signal.TapSession;
import ringtrue.signal.TapSignals;
import ringtrue.ui.job.Direction;
import ringtrue.ui.job.JobFolder;
import ringtrue.units.BadInputException;

/**
 * A session of taps with a thread of its own: input, files, verdicts, sounds. The window is told on
 * the event thread; what it cannot show in time is left out, so that nothing piles up.
 *
 * <p>From the first blow on a measurement file names the recording, and the listener is told its
 * name, so that a kill loses nothing that was announced.
 */
final class LiveTaps {
  private static final long METER_NANOS = 110_000_000L;
  private static final long READ_PATIENCE_MS = 1500;

  /**
   * What is wanted.
   *
   * @param direction what is tapped
   * @param wish which input
   * @param given what is known of the sensors, as a measurement file's text
   * @param profile the input profile, where there is one
   * @param words where the taps come from, for people
   * @param goal when it is enough
   * @param sounds whether verdicts are heard
   */
  record Setup(
      Direction direction,
      TapInputs.Wish wish,
      Optional<String> given,
      Optional<InputProfile> profile,
      String words,
      TapSession.Goal goal,
      boolean sounds) {
    /** What a recording that is played again is called, in front of its name. */
    static final String AGAIN = "replay of ";

    /** Whether a recording is played again: nobody taps. */
    boolean again() {
      return words.startsWith(AGAIN);
    }
  }

  /** Told, on the event thread. */
  interface Listener {
    /** Something is to be shown. */
    void shows(LiveState state);

    /** The input is open; remarks on it, each a sentence. */
    void opened(List<String> remarks);

    /** The first blow came: from now on the job has this file. */
    void begun(String file);

    /**
     * It is over.
     *
     * @param file the measurement file; empty if nothing was recorded
     * @param problem why it broke off, one sentence; empty if it did not
     */
    void ended(Optional<String> file, Optional<String> problem);
  }

  private final Setup setup;
  private final JobFolder folder;
  private final Listener listener;
  private final AtomicBoolean stop = new AtomicBoolean();
  private final AtomicReference<LiveState> newest = new AtomicReference<>();
  private final AtomicReference<LiveInput> open = new AtomicReference<>();
  private final ConcurrentLinkedQueue<TapRun.Request> early = new ConcurrentLinkedQueue<>();
  private final CountDownLatch over = new CountDownLatch(1);
  private volatile TapRun run;
  private volatile Optional<String> file = Optional.empty();
  private volatile Optional<String> problem = Optional.empty();

  // of the session's thread
  private TapSession session;
  private volatile TapRecording about;
  private SessionFiles files;
  private Announcer announcer;
  private String text;
  private String name;
  private boolean named;
  private long shownAt;
  private long[] clippedBefore = {};
  private List<LiveState.Meter> held = List.of();
  private Optional<TapSignals> last = Optional.empty();
  private Optional<Averaged> averaged = Optional.empty();
  private List<SessionTap> taps = List.of();

  // of the event thread
  private Set<Integer> aside = Set.of();
  private Set<Integer> upheld = Set.of();
  private boolean told;

  LiveTaps(Setup setup, JobFolder folder, Listener listener) {
    this.setup = setup;
    this.folder = folder;
    this.listener = listener;
  }

  Setup setup() {
    return setup;
  }

  /** Begins. */
  void start() {
    Thread thread = new Thread(this::work, "taps");
    thread.setDaemon(true);
    thread.start();
  }

  /** Unit of the response, SI; empty while the input is not open. */
  String responseUnit() {
    TapRecording what = about;
    return what == null ? "" : what.quantity().siUnit();
  }

  /** Shows another tap's signals. */
  void look(int tap) {
    TapRun now = run;
    if (now != null) {
      now.request(
          s -> {
            s.taps().stream()
                .filter(t -> t.tap().number() == tap)
                .findFirst()
                .ifPresent(t -> last = signals(t));
            show();
            return List.of();
          });
    }
  }

  /** Asks it to end in order; returns at once. */
  void stop() {
    stop.set(true);
    Thread hurry =
        new Thread(
            () -> {
              try {
                if (!over.await(READ_PATIENCE_MS, TimeUnit.MILLISECONDS)) {
                  LiveInput input = open.get();
                  if (input != null) {
                    input.close(); // it waits for frames that do not come
                  }
                }
              } catch (InterruptedException e) {
                Thread.currentThread().interrupt();
              } catch (IOException e) {
                return; // gone already
              }
            },
            "taps end");
    hurry.setDaemon(true);
    hurry.start();
  }

  /**
   * Waits until it has ended.
   *
   * @return whether it has
   * @throws InterruptedException if nobody waits any more
   */
  boolean await(long millis) throws InterruptedException {
    return over.await(millis, TimeUnit.MILLISECONDS);
  }

  /** What it came to, once it has ended and if that was not told yet; on the event thread. */
  void tellEnd() {
    if (!told) {
      told = true;
      listener.ended(file, problem);
    }
  }

  /** Takes over what the user decided of its taps; on the event thread. */
  void decided(Set<Integer> asideNow, Set<Integer> heldNow) {
    Set<Integer> touched = new HashSet<>(asideNow);
    touched.addAll(heldNow);
    touched.addAll(aside);
    touched.addAll(upheld);
    for (int tap : touched) {
      if (asideNow.contains(tap) && !aside.contains(tap)) {
        request(s -> s.setAside(tap));
      } else if (heldNow.contains(tap) && !upheld.contains(tap)) {
        request(s -> s.takeBack(tap));
      } else if (!asideNow.contains(tap) && !heldNow.contains(tap)) {
        request(s -> s.leaveToData(tap));
      }
    }
    aside = Set.copyOf(asideNow);
    upheld = Set.copyOf(heldNow);
  }

  private void request(TapRun.Request what) {
    TapRun.Request noted =
        s -> {
          List<TapEvent> events = what.on(s);
          refresh();
          return events;
        };
    TapRun now = run;
    if (now == null) {
      early.add(noted);
    } else {
      now.request(noted);
    }
  }

  // ---- the session's thread

  private void work() {
    try (TapSounds sounds = new TapSounds(!setup.sounds)) {
      record(sounds);
    } catch (BadInputException e) {
      problem = Optional.of(String.valueOf(e.getMessage()));
    } catch (IOException e) {
      problem = Optional.of("the recording broke off: " + e.getMessage());
    } catch (OutOfMemoryError e) {
      problem = Optional.of("not enough memory to go on; what came before is kept");
    } catch (RuntimeException e) {
      problem = Optional.of("a fault of the program, not of your input: " + e);
    } finally {
      over.countDown();
      SwingUtilities.invokeLater(this::tellEnd);
    }
  }

  private void record(TapSounds sounds) throws IOException {
    TapInputs.Opened opened = TapInputs.open(setup.wish);
    try (LiveInput input = opened.input()) {
      open.set(input);
      text = description(opened);
      Measurement measurement =
          MeasurementFile.readSetUp(
              setup.direction.words(),
              text,
              new MemoryRecording(
                  input.name(), input.sampleRateHz(), new double[input.channels()][0]));
      about = measurement.recording();
      session =
          new TapSession(
              about,
              measurement.processing(),
              setup.goal,
              (frame, count, into) -> files.read(frame, count, into),
              opened.quietS());
      announcer = new Announcer(setup.goal.taps(), input.sampleRateHz());
      List<String> remarks =
          setup
              .profile
              .map(p -> p.warnings(input.name(), input.sampleRateHz(), input.bits()))
              .orElse(List.of());
      SwingUtilities.invokeLater(() -> listener.opened(remarks));
      name = folder.freeName(setup.direction.key(), ".json", ".wav", ".taps.jsonl");
      files = SessionFiles.create(folder.file(name + ".wav"), input, false);
      boolean keep = false;
      try (SessionFiles closing = files) {
        TapRun now = new TapRun(input, closing, session);
        run = now;
        early.forEach(now::request);
        problem = now.run(event -> take(event, sounds), stop::get);
        keep = named;
      } finally {
        if (!keep && !named) {
          files.discard();
        }
      }
      if (keep) {
        writeMeasurement(session.processing().map(this::leftToData));
      }
      show();
    }
  }

  private String description(TapInputs.Opened opened) {
    if (opened.about().isPresent()) {
      TapRecording its = opened.about().get();
      return MeasurementText.of(
          new TapRecording(
              setup.direction.words() + ", " + setup.words,
              setup.direction.axis(),
              Where.point(setup.direction),
              its.recordings(),
              its.force(),
              its.response(),
              its.quantity(),
              its.sensorMassKg(),
              its.skewS()));
    }
    return setup.given.orElseThrow(
        () -> new BadInputException("say first what the sensors are, or choose an input profile"));
  }

  /** Taps are judged again when the recording is read; what the user decided is in the job. */
  private Processing leftToData(Processing p) {
    return new Processing(
        p.blockLengthS(),
        p.preTriggerS(),
        p.triggerFraction(),
        p.forceWindow(),
        p.responseTimeConstantS(),
        p.responseEndValue(),
        p.estimator(),
        Set.of(),
        Set.of(),
        p.blockStartsS(),
        p.minCoherence(),
        p.forceDropDb());
  }

  private void writeMeasurement(Optional<Processing> processing) {
    Path json = folder.file(name + ".json");
    SafeFile.writeText(json, true, MeasurementText.withRecording(text, name + ".wav", processing));
    file = Optional.of(name + ".json");
  }

  private void take(TapEvent event, TapSounds sounds) {
    if (event == null) {
      if (System.nanoTime() - shownAt > METER_NANOS) {
        show();
      }
      return;
    }
    if (event instanceof TapEvent.Struck && !named) {
      named = true;
      writeMeasurement(Optional.empty());
      String its = name + ".json";
      SwingUtilities.invokeLater(() -> listener.begun(its));
    }
    if (event instanceof TapEvent.Judged) {
      // the next blow comes before it is told; what this tap showed is seen until then
      held = meters();
      for (ChannelMeter meter : session.meters()) {
        meter.releasePeak();
      }
      clippedBefore = session.meters().stream().mapToLong(ChannelMeter::clipped).toArray();
    } else if (event instanceof TapEvent.Struck) {
      held = List.of();
    }
    if (event instanceof TapEvent.Judged judged) {
      last = signals(judged.tap());
    }
    if (event instanceof TapEvent.Judged
        || event instanceof TapEvent.Changed
        || event instanceof TapEvent.BlockChosen
        || event instanceof TapEvent.Finished) {
      refresh();
    }
    TapSounds.Sound sound = announcer.take(event, session.bandCoherence());
    if (sound != null) {
      sounds.play(sound);
    }
    show();
  }

  private void refresh() {
    taps = session.taps();
    averaged = session.averaged().map(a -> Averaged.of(a.response()));
  }

  private Optional<TapSignals> signals(SessionTap tap) {
    double fs = about.sampleRateHz();
    long first = TapSignals.first(tap.onsetFrame(), fs);
    int count =
        (int) Math.min(TapSignals.frames(tap.frames(), fs), Math.max(0, files.frames() - first));
    double[] frames = new double[count * about.recordings().get(0).channels()];
    try {
      files.read(first, count, frames);
    } catch (IOException e) {
      return Optional.empty(); // the session itself will say what is wrong with the file
    }
    return Optional.of(
        TapSignals.of(tap.tap().number(), about, first, tap.onsetFrame(), frames, count));
  }

  private void show() {
    shownAt = System.nanoTime();
    LiveState state =
        new LiveState(
            announcer.banner(),
            LiveState.Meter.loudest(held, meters()),
            taps,
            session.kept(),
            last,
            averaged,
            session.frames() / about.sampleRateHz());
    if (newest.getAndSet(state) == null) {
      SwingUtilities.invokeLater(() -> listener.shows(newest.getAndSet(null)));
    }
  }

  private List<LiveState.Meter> meters() {
    List<LiveState.Meter> all = new ArrayList<>();
    about.force().ifPresent(f -> all.add(meter(LiveState.FORCE, f.number())));
    all.add(meter(about.quantity().word(), about.response().number()));
    return all;
  }

  private LiveState.Meter meter(String what, int channel) {
    ChannelMeter m = session.meters().get(channel - 1);
    long before = clippedBefore.length < channel ? 0 : clippedBefore[channel - 1];
    return new LiveState.Meter(what, m.level(), m.peak(), m.clipped() - before, m.silent());
  }
}

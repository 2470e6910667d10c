package ringtrue.ui.desk;

import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.EnumMap;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicReference;
import java.util.function.Consumer;
import java.util.function.UnaryOperator;
import javax.swing.SwingUtilities;
import ringtrue.library.Catalogue;
import ringtrue.library.SetUpLibrary;
import ringtrue.report.LengthUnit;
import ringtrue.ui.job.History;
import ringtrue.ui.job.Job;
import ringtrue.ui.job.JobFolder;
import ringtrue.units.BadInputException;

/**
 * What the parts of the window share. Everything here is called on the event thread, and listeners
 * are told on it.
 *
 * <p>Each change of the job goes to its folder at once, in the background, so that a kill at any
 * moment loses nothing that was seen.
 */
public final class Desk {
  private static final String JOBS = "jobs";
  private static final String LAST_FOLDER = "open-folder";

  private final Path home;
  private final Tasks tasks = new Tasks();
  private final SetUpLibrary library;
  private final Results results;
  private final History history = new History();
  private final Map<StageId, Stage> stages = new EnumMap<>(StageId.class);
  private final List<Act> acts = new ArrayList<>();
  private final Map<String, StageId> owners = new HashMap<>();
  private final List<FileTaker> takers = new ArrayList<>();
  private final List<Runnable> listeners = new ArrayList<>();
  private final List<Consumer<StageId>> goers = new ArrayList<>();
  private final List<Consumer<Settings>> settingsListeners = new ArrayList<>();
  private final List<Consumer<String>> sayers = new ArrayList<>();
  private final List<Consumer<Instant>> keptListeners = new ArrayList<>();
  private final List<Runnable> closers = new ArrayList<>();
  private final List<Runnable> settlers = new ArrayList<>();
  private final List<Ending> endings = new ArrayList<>();
  private final AtomicReference<Runnable> unwritten = new AtomicReference<>();
  private final ExecutorService writer =
      Executors.newSingleThreadExecutor(
          task -> {
            Thread thread = new Thread(task, "keeper");
            thread.setDaemon(true);
            return thread;
          });

  private Catalogue catalogue;
  private Settings settings;
  private Job job = Job.EMPTY;
  private JobFolder folder;
  private StageId stage = StageId.SET_UP;

  /** Something that goes on and has to end in order before the job is put aside. */
  public interface Ending {
    /** Asks it to end; on the event thread, returns at once. Whether there is anything to end. */
    boolean ask();

    /**
     * Waits until it has ended, within a bounded time; away from the event thread.
     *
     * @throws InterruptedException if nobody waits any more
     */
    void await() throws InterruptedException;

    /** Takes over what it came to; on the event thread, while the job is still open. */
    void take();
  }

  /**
   * @param home the user's folder
   * @param settings what is remembered
   * @param library where set-ups are saved
   * @param catalogue materials and machines
   */
  public Desk(Path home, Settings settings, SetUpLibrary library, Catalogue catalogue) {
    this.home = home;
    this.settings = settings;
    this.library = library;
    this.catalogue = catalogue;
    this.results = new Results(tasks, library, catalogue);
    this.stage = StageId.remembered(settings.text("stage", ""));
    results.unit(settings.unit());
    results.onChange(this::tell);
  }

  // ---- what there is

  public Path home() {
    return home;
  }

  /** Where jobs lie from their first moment on. */
  public Path jobs() {
    return home.resolve(JOBS);
  }

  public Tasks tasks() {
    return tasks;
  }

  public SetUpLibrary library() {
    return library;
  }

  public Catalogue catalogue() {
    return catalogue;
  }

  /** Other materials and machines, as after the user's own were changed. */
  public void catalogue(Catalogue other) {
    catalogue = other;
    results.catalogue(other);
    tell();
  }

  public Results results() {
    return results;
  }

  public Job job() {
    return job;
  }

  /** The job's folder; empty while none is open. */
  public Optional<JobFolder> folder() {
    return Optional.ofNullable(folder);
  }

  /** The folder where a file was opened or written last; empty at first. */
  public String lastFolder() {
    return settings.text(LAST_FOLDER, "");
  }

  /** Remembers the folder of a file that was opened or written. */
  public void usedFile(Path file) {
    Path folder = file.toAbsolutePath().getParent();
    if (folder != null && !folder.startsWith(jobs().toAbsolutePath())) {
      remember(LAST_FOLDER, folder);
    }
  }

  public LengthUnit unit() {
    return settings.unit();
  }

  // ---- changing the job

  /**
   * Changes the job; undo takes it back.
   *
   * @param what in words, as "set tap 3 aside"
   */
  public void change(String what, UnaryOperator<Job> by) {
    change(what, "", by);
  }

  /**
   * The same for one of many small steps.
   *
   * @param together steps in a row with the same mark are undone at once
   */
  public void change(String what, String together, UnaryOperator<Job> by) {
    Job before = job;
    Job after = by.apply(before);
    if (!after.equals(before)) {
      history.add(new History.Step(what, together, stage.name(), false, before, after));
      set(after);
    }
  }

  /**
   * Changes the job to something that cannot be right as it stands, as a length without a number.
   * Undo takes it back only while nothing was done after it: put right, it was never a step.
   *
   * @param what in words; the same when it is put right
   */
  public void attempt(String what, UnaryOperator<Job> by) {
    Job before = job;
    Job after = by.apply(before);
    if (!after.equals(before)) {
      history.add(new History.Step(what, "", stage.name(), true, before, after));
      set(after);
    }
  }

  /** Ends a row of small steps: the next one is undone by itself. */
  public void rest() {
    history.rest();
  }

  /** Changes the job in a way that undo does not take back, as when a recording has grown. */
  public void amend(UnaryOperator<Job> by) {
    Job after = by.apply(job);
    if (!after.equals(job)) {
      set(after);
    }
  }

  private void set(Job after) {
    job = after;
    keep();
    results.job(job);
    tell();
  }

  /** Takes the last change back, says what it was, and shows the stage where it was made. */
  public void undo() {
    settle();
    Optional<String> what = history.undoWords();
    history.undo().ifPresent(before -> showAgain(before, "undone: " + what.orElse("")));
  }

  /** Does again what was undone last, in the same way. */
  public void redo() {
    Optional<String> what = history.redoWords();
    history.redo().ifPresent(after -> showAgain(after, "redone: " + what.orElse("")));
  }

  private void showAgain(Job that, String words) {
    set(that);
    StageId where = StageId.remembered(history.place());
    if (!history.place().isEmpty() && where != stage) {
      go(where);
    }
    say(words);
  }

  /** Takes over what is being written, before anything else is done. */
  public void settle() {
    List.copyOf(settlers).forEach(Runnable::run);
  }

  /** Adds somebody who takes over what is being written. */
  public void onSettle(Runnable takeOver) {
    settlers.add(takeOver);
  }

  public Optional<String> undoWords() {
    return history.undoWords();
  }

  public Optional<String> redoWords() {
    return history.redoWords();
  }

  /** Writes the newest state of the job; states that were overtaken meanwhile are left out. */
  private void keep() {
    if (folder == null) {
      return;
    }
    JobFolder into = folder;
    Job newest = job;
    later(
        () -> {
          try {
            into.write(newest);
            SwingUtilities.invokeLater(() -> kept(Instant.now()));
          } catch (BadInputException e) {
            SwingUtilities.invokeLater(() -> say("not kept: " + e.getMessage()));
          }
        });
  }

  private void kept(Instant when) {
    List.copyOf(keptListeners).forEach(l -> l.accept(when));
  }

  /** Told when the job has been written, with the time. */
  public void onKept(Consumer<Instant> listener) {
    keptListeners.add(listener);
  }

  /** Runs something, on the event thread, when all that is to be written so far is written. */
  public void whenKept(Runnable then) {
    if (!writer.isShutdown()) { // where the window is closing nobody waits for it any more
      writer.execute(() -> SwingUtilities.invokeLater(then));
    }
  }

  private void later(Runnable write) {
    if (unwritten.getAndSet(write) == null) {
      writer.execute(() -> unwritten.getAndSet(null).run());
    }
  }

  // ---- jobs

  /**
   * Begins a new job in a folder of its own.
   *
   * @param begun what it is at first
   * @param then told when it is open
   */
  public void begin(Job begun, Runnable then) {
    tasks.start(
        "a new job",
        progress -> {
          JobFolder made = JobFolder.create(jobs());
          made.write(begun);
          return made;
        },
        made -> {
          open(made, begun);
          kept(Instant.now());
          then.run();
        },
        this::say);
  }

  /** Goes on with a job that lies in its folder. */
  public void resume(Path from, Runnable then) {
    record Opened(JobFolder folder, Job job) {}
    tasks.start(
        "opening",
        progress -> {
          JobFolder opened = JobFolder.open(from);
          try {
            return new Opened(opened, JobFolder.job(from));
          } catch (BadInputException e) {
            opened.close();
            throw e;
          }
        },
        opened -> {
          open(opened.folder, opened.job);
          then.run();
        },
        this::say);
  }

  private void open(JobFolder opened, Job its) {
    putAside();
    folder = opened;
    job = its;
    history.clear();
    results.reset(folder, job);
    tell();
  }

  /** Puts the job aside; it can be resumed. */
  public void leave() {
    settle();
    putAside();
    job = Job.EMPTY;
    history.clear();
    tell();
  }

  private void putAside() {
    if (folder == null) {
      return;
    }
    JobFolder old = folder;
    Job last = job;
    folder = null;
    writer.execute(
        () -> {
          try {
            if (last.isEmpty()) {
              old.close();
              JobFolder.remove(old.path());
            } else {
              old.write(last);
              old.close();
            }
          } catch (BadInputException e) {
            SwingUtilities.invokeLater(() -> say("not kept: " + e.getMessage()));
          }
        });
  }

  // ---- settings

  public Settings settings() {
    return settings;
  }

  /** Remembers something else. */
  public void settings(UnaryOperator<Settings> by) {
    Settings after = by.apply(settings);
    if (after.equals(settings)) {
      return;
    }
    settings = after;
    keepSettings();
    results.unit(after.unit());
    List.copyOf(settingsListeners).forEach(l -> l.accept(after));
    tell();
  }

  /** Remembers something that nobody has to be told of, as where the window stands. */
  public void remember(String name, Object value) {
    Settings after = settings.with(name, value);
    if (!after.equals(settings)) {
      settings = after;
      keepSettings();
    }
  }

  private void keepSettings() {
    Settings newest = settings;
    writer.execute(
        () -> {
          try {
            newest.write(home);
          } catch (BadInputException e) {
            SwingUtilities.invokeLater(() -> say("settings not kept: " + e.getMessage()));
          }
        });
  }

  public void onSettings(Consumer<Settings> listener) {
    settingsListeners.add(listener);
  }

  // ---- stages

  /** Adds a stage. Acts that it added before, when it was made, are its own. */
  public void add(Stage one) {
    stages.put(one.id(), one);
    acts.forEach(act -> owners.putIfAbsent(act.id(), one.id()));
  }

  public Stage stage(StageId id) {
    return stages.get(id);
  }

  /** The stage that is seen. */
  public StageId stage() {
    return stage;
  }

  /** Brings a stage to the front. */
  public void go(StageId to) {
    if (to != stage) {
      settle();
    }
    stage = to;
    List.copyOf(goers).forEach(g -> g.accept(to));
    tell();
  }

  public void onGo(Consumer<StageId> listener) {
    goers.add(listener);
  }

  /** Adds something that can be done from the menu or with keys. */
  public void add(Act act) {
    acts.add(act);
    if (stages.size() == StageId.values().length && act.group() == Act.Group.STAGE) {
      owners.put(act.id(), stage); // added when the stage was seen for the first time
    }
  }

  /** The stage that an act belongs to; empty for those of no stage. */
  public Optional<StageId> owner(Act act) {
    return Optional.ofNullable(owners.get(act.id()));
  }

  public List<Act> acts() {
    return List.copyOf(acts);
  }

  /** Adds somebody who opens files. */
  public void add(FileTaker taker) {
    takers.add(taker);
  }

  /** Those who open files, in the order in which they are asked: the stage that is seen first. */
  public List<FileTaker> takers() {
    List<FileTaker> inOrder = new ArrayList<>(takers);
    inOrder.sort(Comparator.comparing(t -> t.stage().filter(s -> s == stage).isPresent() ? 0 : 1));
    return inOrder;
  }

  // ---- telling

  /** Told whenever job, results, settings or stage changed. */
  public void onChange(Runnable listener) {
    listeners.add(listener);
  }

  /** Tells everybody to look again, as when a stage's own state changed. */
  public void tell() {
    List.copyOf(listeners).forEach(Runnable::run);
  }

  /** Says something in the line at the bottom, for what concerns no part of the screen. */
  public void say(String sentence) {
    List.copyOf(sayers).forEach(s -> s.accept(sentence));
  }

  public void onSay(Consumer<String> listener) {
    sayers.add(listener);
  }

  /** Run before the window closes, as to end a recording in order. */
  public void onClose(Runnable closer) {
    closers.add(closer);
  }

  /** The same for what takes its time to end. */
  public void onClose(Ending ending) {
    endings.add(ending);
  }

  /**
   * Ends everything in order, and waits for files to be written, 10 s at most, away from the event
   * thread; before that for whatever goes on.
   *
   * @param then run on the event thread when that is done
   */
  public void close(Runnable then) {
    settle();
    List.copyOf(closers).forEach(Runnable::run);
    List<Ending> going = endings.stream().filter(Ending::ask).toList();
    if (going.isEmpty()) {
      closeFiles(then);
      return;
    }
    Thread waiting =
        new Thread(
            () -> {
              try {
                for (Ending each : going) {
                  each.await();
                }
              } catch (InterruptedException e) {
                Thread.currentThread().interrupt();
              }
              SwingUtilities.invokeLater(
                  () -> {
                    going.forEach(Ending::take);
                    closeFiles(then);
                  });
            },
            "ending");
    waiting.start();
  }

  private void closeFiles(Runnable then) {
    putAside();
    tasks.close();
    writer.shutdown();
    Thread waiting =
        new Thread(
            () -> {
              try {
                writer.awaitTermination(10, TimeUnit.SECONDS);
              } catch (InterruptedException e) {
                Thread.currentThread().interrupt();
              }
              SwingUtilities.invokeLater(then);
            },
            "closing");
    waiting.start();
  }
}

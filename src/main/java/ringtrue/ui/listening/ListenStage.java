package ringtrue.ui.listening;

import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import javax.swing.JComponent;
import ringtrue.signal.HeardCut;
import ringtrue.ui.desk.Act;
import ringtrue.ui.desk.Desk;
import ringtrue.ui.desk.FileTaker;
import ringtrue.ui.desk.NextStep;
import ringtrue.ui.desk.Stage;
import ringtrue.ui.desk.StageId;
import ringtrue.ui.desk.StageState;

/** What the real cut sounds like: live, from a recording, or of the simulated cut. */
public final class ListenStage implements Stage {
  private final Desk desk;
  private final Listening listening;
  private StatedPart stated;
  private OutcomePart outcome;
  private ListenView view;

  /** Light; the view is made when it is shown. */
  public ListenStage(Desk desk) {
    this.desk = desk;
    this.listening = new Listening(desk);
    act("listen-start-stop", "Listen, or stop", "F7", () -> made().startOrStop());
    act(
        "listen-to-recording",
        "Read the recording of a cut\u2026",
        "ctrl shift J",
        () -> made().choose());
    act("listen-to-simulated", "Listen to the simulated cut", "ctrl shift K", this::simulated);
    act("listen-save-outcome", "Save what the cut did", "ctrl shift W", () -> made().save());
    desk.add(
        new FileTaker() {
          @Override
          public boolean takes(Path file, String format) {
            return format.equals(WAV) && desk.stage() == StageId.LISTEN;
          }

          @Override
          public void take(Path file) {
            listening.read(file);
          }

          @Override
          public Optional<StageId> stage() {
            return Optional.of(StageId.LISTEN);
          }
        });
  }

  private void act(String id, String words, String keys, Runnable deed) {
    desk.add(
        Act.of(
                id,
                Act.Group.STAGE,
                words,
                keys,
                () -> {
                  if (desk.stage() != StageId.LISTEN) {
                    desk.go(StageId.LISTEN);
                  }
                  deed.run();
                })
            .when(() -> desk.folder().isPresent() && listening.possible()));
  }

  private void simulated() {
    if (listening.possible() && !listening.running()) {
      listening.simulated();
    }
  }

  private ListenView made() {
    if (view == null) {
      view = new ListenView(listening, stated(), outcome());
    }
    return view;
  }

  private StatedPart stated() {
    if (stated == null) {
      stated = new StatedPart(listening);
    }
    return stated;
  }

  private OutcomePart outcome() {
    if (outcome == null) {
      outcome = new OutcomePart(listening);
    }
    return outcome;
  }

  @Override
  public List<Runnable> making() {
    return List.of(this::stated, this::outcome, this::made);
  }

  @Override
  public StageId id() {
    return StageId.LISTEN;
  }

  @Override
  public JComponent view() {
    return made();
  }

  @Override
  public void shown() {
    made().shown();
  }

  @Override
  public StageState state() {
    Optional<HeardCut> heard = listening.verdict();
    if (heard.isEmpty()) {
      return listening.running()
          ? new StageState(StageState.Kind.BEGUN, "listening")
          : listening.saved()
              ? new StageState(StageState.Kind.DONE, "saved")
              : new StageState(StageState.Kind.OPEN, "nothing heard yet");
    }
    String words =
        (listening.source() == Heard.Source.SIMULATED ? "simulated: " : "")
            + HeardWords.brief(heard.get());
    return new StageState(
        switch (heard.get().verdict()) {
          case CLEAN -> StageState.Kind.DONE;
          case CHATTER, FORCED -> StageState.Kind.ATTENTION;
          case CANNOT_TELL, NOTHING_HEARD -> StageState.Kind.BEGUN;
        },
        words);
  }

  @Override
  public Optional<NextStep> next() {
    if (desk.folder().isEmpty() || listening.saving()) {
      return Optional.empty();
    }
    if (!listening.possible() && listening.untapped()) {
      return Optional.of(
          new NextStep(
              "Tap the tool",
              "a sound is held against speed, teeth and modes",
              () -> desk.go(StageId.TAPS)));
    }
    if (!listening.possible()) {
      return Optional.of(
          new NextStep(
              "Describe the cut",
              "a sound is held against speed, teeth and modes",
              () -> desk.go(StageId.CUT)));
    }
    if (listening.live()) {
      return Optional.of(new NextStep("Stop listening", "and read all of it", listening::stop));
    }
    if (listening.running() || listening.saved()) {
      return Optional.empty();
    }
    if (listening.heard().isEmpty()) {
      return Optional.of(
          desk.job().simulated() || listening.deaf()
              ? new NextStep(
                  "Listen to the simulated cut", "no microphone is needed", this::simulated)
              : new NextStep(
                  "Listen", "then start the cut; Space freezes", () -> made().startOrStop()));
    }
    boolean decided = HeardWords.decided(listening.heard().get().sound());
    if (listening.source() == Heard.Source.SIMULATED && !desk.job().simulated()) {
      return Optional.empty();
    }
    if (listening.wantsSetUp()) {
      return Optional.of(
          new NextStep(
              "Save the set-up", "what a cut did is kept with it", () -> desk.go(StageId.SET_UP)));
    }
    return decided
        ? Optional.of(
            new NextStep(
                "Save what the cut did",
                listening.onlySimulated()
                    ? "marked as simulated: no cut was made"
                    : "it then stands in the lobes as a cut that was made",
                () -> made().save()))
        : Optional.empty();
  }
}

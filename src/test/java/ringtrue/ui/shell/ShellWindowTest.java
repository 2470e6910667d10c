package ringtrue.ui.shell;

import static org.assertj.core.api.Assertions.assertThat;

import java.awt.Component;
import java.awt.datatransfer.DataFlavor;
import java.awt.datatransfer.Transferable;
import java.awt.datatransfer.UnsupportedFlavorException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.concurrent.CancellationException;
import java.util.concurrent.atomic.AtomicReference;
import javax.swing.JDialog;
import javax.swing.JEditorPane;
import javax.swing.JFrame;
import javax.swing.JList;
import javax.swing.JRadioButton;
import javax.swing.text.JTextComponent;
import org.junit.jupiter.api.Test;
import ringtrue.library.SetUp;
import ringtrue.report.LengthUnit;
import ringtrue.ui.WindowHarness;
import ringtrue.ui.desk.Act;
import ringtrue.ui.desk.FileTaker;
import ringtrue.ui.desk.NextStep;
import ringtrue.ui.desk.Settings;
import ringtrue.ui.desk.Stage;
import ringtrue.ui.desk.StageId;
import ringtrue.ui.desk.StageState;
import ringtrue.ui.job.Job;
import ringtrue.ui.job.JobFolder;
import ringtrue.ui.kit.Field;
import ringtrue.ui.kit.Notice;
import ringtrue.ui.kit.Theme;

/** What the frame does everywhere: keys, preferences, help, files, work that is stopped. */
class ShellWindowTest extends WindowHarness {

  private void begin() throws Exception {
    onEvents(
        () -> {
          desk.begin(Job.EMPTY, () -> desk.go(StageId.SET_UP));
          return null;
        });
    waitUntil("a job is open", () -> desk.folder().isPresent());
  }

  private String said() {
    Component c = find("foot-said");
    return c == null ? "" : ((javax.swing.JLabel) c).getText();
  }

  // ---- preferences

  @Test
  void preferencesCountAtOnceAndAreRemembered() throws Exception {
    keys("ctrl COMMA");
    seen(JDialog.class, "preferences");
    shoot("prefs-light");
    press("prefs-dark");
    waitUntil("it is dark", Theme::dark);
    shoot("prefs-dark");
    press("prefs-inch");
    waitUntil("inches count", () -> desk.unit() == LengthUnit.INCH);
    onEvents(
        () -> {
          ((javax.swing.JComboBox<?>) find("prefs-size")).setSelectedIndex(4);
          return null;
        });
    waitUntil("it is twice as large", () -> find("prefs-close").getFont().getSize() >= 22);
    shoot("prefs-200");
    press("prefs-cautions");
    waitUntil("they are shown", () -> text().contains("locked out"));
    shoot("prefs-cautions");
    keys("ESCAPE");
    waitUntil("help is closed", () -> find("help") == null);
    press("prefs-close");
    waitUntil("it is closed", () -> find("preferences") == null);
    close();
    Settings kept = Settings.read(home);
    assertThat(kept.unit()).isEqualTo(LengthUnit.INCH);
    assertThat(kept.text("theme", "")).isEqualTo("dark");
    assertThat(kept.number("scale", 0)).isEqualTo(200);
    open();
    assertThat(Theme.dark()).isTrue();
    keys("ctrl COMMA");
    assertThat(seen(JRadioButton.class, "prefs-inch").isSelected()).isTrue();
  }

  // ---- help

  @Test
  void helpOpensAtTheStageAndFindsTerms() throws Exception {
    begin();
    keys("ctrl 2");
    waitUntil("the taps are seen", () -> desk.stage() == StageId.TAPS);
    keys("F1");
    seen(JFrame.class, "help");
    waitUntil("the page is there", () -> text().contains("Five good taps"));
    shoot("help-taps");
    type("help-search", "receptance");
    JList<?> list = seen(JList.class, "help-list");
    waitUntil("the term is found", () -> list.getModel().getSize() > 0);
    keys("ENTER");
    waitUntil("it is explained", () -> text().contains("Displacement per force"));
    shoot("help-term");
    keys("alt LEFT");
    waitUntil("the page of before is back", () -> text().contains("Five good taps"));
    keys("ESCAPE");
    waitUntil("it is closed", () -> find("help") == null);
  }

  @Test
  void allKeysAndAboutAreThere() throws Exception {
    keys("shift F1");
    seen(JFrame.class, "help");
    waitUntil("keys are there", () -> text().contains("Shift+F1"));
    assertThat(text()).contains("Ctrl+Z").contains("Suggested next step");
    shoot("keys");
    for (String page : List.of("about", "parts", "licence", "terms", "lobes")) {
      onEvents(
          () -> {
            frame.help().open(page);
            return null;
          });
      robot.waitForIdle();
      shoot("help-" + page);
    }
  }

  private String text() {
    JEditorPane pane = (JEditorPane) find("help-text");
    try {
      return pane == null
          ? ""
          : pane.getDocument().getText(0, pane.getDocument().getLength()).replaceAll("\\s+", " ");
    } catch (javax.swing.text.BadLocationException e) {
      throw new AssertionError(e);
    }
  }

  // ---- undo

  @Test
  void undoTakesBackLettersFirstAndThenWhatWasCommitted() throws Exception {
    begin();
    Field field = new Field("trial", "Trial", 12);
    field.onCommit(t -> desk.change("name", job -> job.with(SetUp.Field.NAME, t)));
    desk.onChange(() -> field.show(desk.job().setUp().getOrDefault(SetUp.Field.NAME, "")));
    onEvents(
        () -> {
          frame.getContentPane().add(field, java.awt.BorderLayout.EAST);
          frame.validate();
          return null;
        });
    type("trial", "first");
    keys("ENTER");
    waitUntil("it counts", () -> "first".equals(desk.job().setUp().get(SetUp.Field.NAME)));
    type("trial", "xy");
    keys("ctrl Z");
    assertThat(((JTextComponent) find("trial")).getText()).isNotEqualTo("xy");
    assertThat(desk.job().setUp()).containsEntry(SetUp.Field.NAME, "first");
    keys("ESCAPE");
    assertThat(((JTextComponent) find("trial")).getText()).isEqualTo("first");
    keys("ctrl Z");
    waitUntil("the job is as before", () -> desk.job().isEmpty());
    assertThat(((JTextComponent) find("trial")).getText()).isEmpty();
    keys("ctrl shift Z");
    waitUntil("it is done again", () -> !desk.job().isEmpty());
    keys("ctrl Z");
    waitUntil("and taken back", () -> desk.job().isEmpty());
    keys("ctrl Y");
    waitUntil("and done again", () -> !desk.job().isEmpty());
    onEvents(
        () -> {
          field.complain("name: must not be that");
          frame.validate();
          return null;
        });
    shoot("field");
  }

  @Test
  void keysOfTheStageThatIsSeenCountBeforeOthers() throws Exception {
    begin();
    StringBuilder done = new StringBuilder();
    onEvents(
        () -> {
          desk.add(
              Act.of("odd", Act.Group.STAGE, "Odd", "shift F1", () -> done.append("odd "))
                  .when(() -> desk.stage() == StageId.SET_UP));
          desk.tell();
          return null;
        });
    keys("shift F1");
    waitUntil("the stage's own is done", () -> done.toString().equals("odd "));
    assertThat(find("help")).isNull();
    keys("ctrl 2");
    waitUntil("another stage is seen", () -> desk.stage() == StageId.TAPS);
    keys("shift F1");
    seen(JFrame.class, "help");
    assertThat(done.toString()).isEqualTo("odd ");
  }

  // ---- files

  private record Dropped(List<java.io.File> files) implements Transferable {
    @Override
    public DataFlavor[] getTransferDataFlavors() {
      return new DataFlavor[] {DataFlavor.javaFileListFlavor};
    }

    @Override
    public boolean isDataFlavorSupported(DataFlavor flavor) {
      return flavor.equals(DataFlavor.javaFileListFlavor);
    }

    @Override
    public Object getTransferData(DataFlavor flavor) throws UnsupportedFlavorException {
      return files;
    }
  }

  @Test
  void aFileThatNobodyKnowsGetsOneSentence() throws Exception {
    Path odd = Files.writeString(home.resolve("odd.bin"), "nothing known");
    frame.openFiles(List.of(odd));
    waitUntil("it is said", () -> find("first-problem") != null);
    assertThat(((Notice) find("first-problem")).text())
        .startsWith("odd.bin: not one that can be opened")
        .contains(".wav");
    shoot("unknown-file");
  }

  @Test
  void aFileGoesToWhoTakesItAndAJobIsBegunForIt() throws Exception {
    Path wav = home.resolve("taps.dat");
    Files.write(wav, "RIFF....WAVEfmt ".getBytes(java.nio.charset.StandardCharsets.US_ASCII));
    AtomicReference<String> taken = new AtomicReference<>();
    onEvents(
        () -> {
          desk.add(
              new FileTaker() {
                @Override
                public boolean takes(Path file, String format) {
                  return format.equals("trial-only") || format.equals(FileTaker.WAV);
                }

                @Override
                public void take(Path file) {
                  taken.compareAndSet(null, file.getFileName() + " " + desk.folder().isPresent());
                }

                @Override
                public java.util.Optional<StageId> stage() {
                  return java.util.Optional.of(desk.stage());
                }
              });
          frame.openFiles(List.of(wav));
          return null;
        });
    waitUntil("it is taken", () -> taken.get() != null);
    assertThat(taken.get()).isEqualTo("taps.dat true");
    assertThat(desk.settings().text("recent", "")).contains("taps.dat");
  }

  @Test
  void theGlassShowsThatFilesMayBeDropped() throws Exception {
    onEvents(
        () -> {
          frame.getGlassPane().setVisible(true);
          return null;
        });
    robot.waitForIdle();
    shoot("drop");
    assertThat(frame.getDropTarget().isActive()).isTrue();
    Path odd = Files.writeString(home.resolve("odd.bin"), "nothing known");
    onEvents(
        () -> {
          frame.getGlassPane().setVisible(false);
          return ((DropZone) frame.getGlassPane()).take(new Dropped(List.of(odd.toFile())));
        });
    waitUntil("it was looked at", () -> find("first-problem") != null);
  }

  // ---- work and keeping

  @Test
  void longWorkShowsAndEscapeStopsIt() throws Exception {
    begin();
    AtomicReference<String> end = new AtomicReference<>("");
    onEvents(
        () ->
            desk.tasks()
                .start(
                    "something long",
                    progress -> {
                      for (int i = 0; i < 600; i++) {
                        try {
                          progress.at(i / 600.0, "step " + i);
                        } catch (CancellationException e) {
                          end.set("stopped");
                          throw e;
                        }
                        Thread.sleep(50);
                      }
                      return "";
                    },
                    done -> end.set("done"),
                    desk::say));
    waitUntil("it shows", () -> find("foot-stop") != null);
    shoot("working");
    keys("ESCAPE");
    waitUntil("it is stopped", () -> end.get().equals("stopped"));
    waitUntil("it does not show any more", () -> find("foot-stop") == null);
    assertThat(said()).isEqualTo("stopped: something long");
  }

  @Test
  void theNextStepIsSeenWholeInANarrowWindow() throws Exception {
    onEvents(
        () -> {
          desk.add(new Waiting());
          frame.setSize(1024, 700);
          return null;
        });
    begin();
    onEvents(
        () -> {
          desk.say(
              "a rather long sentence about something that has been done a moment ago, somewhere");
          return null;
        });
    Component next = seen(Component.class, "next-step");
    onEvents(
        () -> {
          frame.validate();
          return null;
        });
    shoot("narrow");
    assertThat(next.getWidth()).isGreaterThanOrEqualTo(next.getPreferredSize().width);
    assertThat(next.getX() + next.getWidth()).isLessThanOrEqualTo(next.getParent().getWidth());
    assertThat(find("next-why").getWidth()).isGreaterThan(100);
    keys("ctrl ENTER");
    waitUntil("it is taken", () -> said().equals("taken"));
    onEvents(
        () -> {
          frame.setSize(2048, 1300);
          desk.settings(s -> s.with("scale", 200));
          return null;
        });
    shoot("narrow-200");
    onEvents(
        () -> {
          desk.settings(s -> s.with("theme", "dark"));
          next.requestFocusInWindow();
          return null;
        });
    shoot("narrow-200-dark");
    assertThat(next.getBackground()).isEqualTo(new java.awt.Color(0x56, 0xb4, 0xe9));
    assertThat(next.getWidth()).isGreaterThanOrEqualTo(next.getPreferredSize().width);
  }

  /** A stage that waits for something to be pressed. */
  private final class Waiting implements Stage {
    @Override
    public StageId id() {
      return StageId.SET_UP;
    }

    @Override
    public javax.swing.JComponent view() {
      return new javax.swing.JPanel();
    }

    @Override
    public StageState state() {
      return new StageState(StageState.Kind.ATTENTION, "tool y missing, fixture not measured");
    }

    @Override
    public java.util.Optional<NextStep> next() {
      return java.util.Optional.of(
          new NextStep(
              "Tap the tool along y",
              "The cut needs both directions of the tool; y has not been measured yet",
              () -> desk.say("taken")));
    }
  }

  @Test
  void whatIsKeptSaysWhenAndTheWindowComesBackWhereItWas() throws Exception {
    begin();
    onEvents(
        () -> {
          desk.change("name", job -> job.with(SetUp.Field.NAME, "kept (invented)"));
          desk.go(StageId.MODES);
          frame.setBounds(60, 50, 1100, 720);
          return null;
        });
    waitUntil(
        "it is kept",
        () ->
            find("foot-kept") instanceof javax.swing.JLabel l
                && l.getText().matches("job kept automatically \\d\\d:\\d\\d"));
    close();
    assertThat(JobFolder.in(home.resolve("jobs"))).hasSize(1);
    assertThat(Settings.read(home).text("window", "")).isEqualTo("60 50 1100 720");
    open();
    waitUntil("the job is offered", () -> find("job-open-0") != null);
    assertThat(frame.getSize()).isEqualTo(new java.awt.Dimension(1100, 720));
    press("job-open-0");
    waitUntil("it is open at its stage", () -> desk.folder().isPresent());
    assertThat(desk.stage()).isEqualTo(StageId.MODES);
  }

  @Test
  void everythingReadsAtTwiceTheSizeInTheDark() throws Exception {
    onEvents(
        () -> {
          desk.settings(s -> s.with("scale", 200).with("theme", "dark"));
          frame.setSize(2560, 1440);
          return null;
        });
    robot.waitForIdle();
    shoot("first-200-dark");
    begin();
    shoot("stage-200-dark");
    keys("F1");
    waitUntil("the page is there", () -> text().contains("A set-up is one clamping"));
    shoot("help-200-dark");
  }
}

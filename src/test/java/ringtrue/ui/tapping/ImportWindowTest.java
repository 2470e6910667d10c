package ringtrue.ui.tapping;

import static org.assertj.core.api.Assertions.assertThat;

import java.awt.Component;
import java.awt.Point;
import java.awt.datatransfer.DataFlavor;
import java.awt.datatransfer.Transferable;
import java.awt.dnd.DnDConstants;
import java.awt.dnd.DropTargetDragEvent;
import java.awt.dnd.DropTargetDropEvent;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import javax.swing.JComboBox;
import javax.swing.JLabel;
import javax.swing.JTextField;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.ui.Jobs;
import ringtrue.ui.WindowHarness;
import ringtrue.ui.desk.StageId;
import ringtrue.ui.job.Direction;
import ringtrue.ui.job.Job;
import ringtrue.ui.job.Measured;
import ringtrue.ui.kit.Notice;

/** Files from elsewhere: chosen, dropped, several at once, and such that cannot be used. */
@Timeout(value = 120, threadMode = Timeout.ThreadMode.SEPARATE_THREAD)
class ImportWindowTest extends WindowHarness {
  private static final Path DEMO = Path.of("demo-measurements").toAbsolutePath();
  private static final String COLUMNS = "import-text-sensor-response-column-complaint";

  private void begin() throws Exception {
    onEvents(
        () -> {
          desk.begin(Job.EMPTY, () -> desk.go(StageId.TAPS));
          return null;
        });
    waitUntil("the stage is seen", () -> find("taps-view") != null);
  }

  private String text(String name) {
    Component c = find(name);
    return c instanceof Notice n ? n.text() : c instanceof JLabel l ? l.getText() : "";
  }

  private void opens(Path... files) throws Exception {
    onEvents(
        () -> {
          frame.openFiles(List.of(files));
          return null;
        });
  }

  private Path file(String name, byte[] bytes) throws Exception {
    return Files.write(home.resolve(name), bytes);
  }

  @Test
  void wrongFilesAreSaidWhereTheyAreAsked() throws Exception {
    byte[] wav = Files.readAllBytes(DEMO.resolve("tool-8mm-x.wav"));
    Path cut = file("cut.wav", Arrays.copyOf(wav, 30));
    Path empty = file("empty.wav", new byte[0]);
    Path none = file("none.csv", new byte[0]);
    Path png = file("p.png", new byte[] {(byte) 0x89, 'P', 'N', 'G', 13, 10, 26, 10});
    Path pngAsWav = file("q.wav", new byte[] {(byte) 0x89, 'P', 'N', 'G', 13, 10, 26, 10});
    Path halfJson = file("half.json", "{\"format\": \"ringtrue-meas".getBytes());
    Path lone = Files.copy(DEMO.resolve("tool-8mm-y.json"), home.resolve("lone.json"));
    Path words = file("words.txt", "this is a letter\nnothing else\n".getBytes());
    Path universal = file("u.unv", "    -1\n    151\nfoo\n    -1\n".getBytes());
    Path locked = file("locked.wav", wav);
    Files.setPosixFilePermissions(locked, PosixFilePermissions.fromString("---------"));
    Path folder = Files.createDirectory(home.resolve("folder.wav"));
    Path gone = home.resolve("gone.wav");
    begin();
    complains(cut, "import-complaint-all", "Its fmt chunk");
    complains(empty, "foot-said", "empty.wav: is empty");
    complains(none, "foot-said", "none.csv: is empty");
    complains(png, "foot-said", "p.png: not one that can be opened");
    complains(pngAsWav, "import-complaint-all", "Not a WAV file");
    complains(halfJson, "foot-said", "half.json: is not whole");
    complains(lone, "import-complaint-all", "Recordings: there is no file \"tool-8mm-y.wav\"");
    complains(universal, "import-complaint-all", "Holds no frequency response");
    complains(folder, "foot-said", "folder.wav: is a folder");
    complains(gone, "foot-said", "gone.wav: cannot be read");
    if (!Files.isReadable(locked)) { // the administrator may read everything
      complains(locked, "foot-said", "locked.wav: cannot be read");
    }
    opens(words);
    waitUntil("columns are asked for", () -> find("import-take") != null);
    press("import-take");
    waitUntil("it is said that there are none", () -> !text(COLUMNS).isEmpty());
    Files.delete(words);
    press("import-leave");

    Path fleeting = Files.copy(DEMO.resolve("tool-8mm-x.wav"), home.resolve("fleeting.wav"));
    opens(fleeting);
    waitUntil("it is asked about", () -> find("import-take") != null);
    Files.delete(fleeting);
    press("import-take");
    waitUntil("it is said that it went", () -> !text("import-complaint").isEmpty());
    assertThat(text("import-complaint")).contains("fleeting.wav").doesNotContain("Exception");
    shoot("fleeting");
    assertThat(desk.job().measured()).isEmpty();
  }

  private void complains(Path file, String where, String begins) throws Exception {
    opens(file);
    waitUntil(where + " says: " + begins, () -> text(where).startsWith(begins));
    if (find("import-leave") != null) {
      press("import-leave");
      waitUntil("it is left", () -> find("import-leave") == null);
    }
  }

  @Test
  void severalAtOnceAreAskedAboutOneAfterTheOther() throws Exception {
    Path a = Files.copy(DEMO.resolve("tool-8mm-x.wav"), home.resolve("first.wav"));
    Path b = Files.copy(DEMO.resolve("tool-8mm-y.wav"), home.resolve("second.wav"));
    opens(
        a,
        b,
        DEMO.resolve("tool-10mm-y.wav"),
        DEMO.resolve("tool-10mm-y.json"),
        home.resolve("gone.wav"));
    waitUntil("one is asked about", () -> find("import-take") != null);
    waitUntil("the others wait", () -> title().contains("2 more wait"));
    shoot("several");
    press("import-leave");
    waitUntil("the next", () -> title().startsWith("first.wav"));
    for (Map.Entry<String, String> each :
        Map.of(
                "force-full-scale", "0.2 V",
                "force-sensitivity", "2.25 mV/N",
                "response-full-scale", "1 V",
                "response-sensitivity", "10.2 mV/g")
            .entrySet()) {
      onEvents(
          () -> {
            ((JTextField) find("import-sensor-" + each.getKey())).setText(each.getValue());
            return null;
          });
    }
    press("import-take");
    waitUntil("the next", () -> title().startsWith("second.wav"));
    shoot("second");
    assertThat(((JComboBox<?>) find("import-direction")).getSelectedItem()).isEqualTo("tool y");
    onEvents(
        () -> {
          ((JComboBox<?>) find("import-direction")).setSelectedItem("tool x");
          return null;
        });
    waitUntil("it is said what is replaced", () -> !text("import-replaces").isEmpty());
    shoot("replaces");
    onEvents(
        () -> {
          ((JComboBox<?>) find("import-direction")).setSelectedItem("tool y");
          return null;
        });
    press("import-take");
    waitUntil("both are there", () -> desk.job().measured().size() == 2);
    waitUntil("nothing is asked any more", () -> find("import-take") == null);
    waitUntil(
        "both are read",
        () ->
            desk.results().of(Direction.TOOL_X).ready()
                && desk.results().of(Direction.TOOL_Y).ready());
  }

  private String title() {
    return text("import-title");
  }

  private record Dropped(DataFlavor flavor, Object what) implements Transferable {
    @Override
    public DataFlavor[] getTransferDataFlavors() {
      return new DataFlavor[] {flavor};
    }

    @Override
    public boolean isDataFlavorSupported(DataFlavor other) {
      return flavor.equals(other);
    }

    @Override
    public Object getTransferData(DataFlavor other) {
      return what;
    }
  }

  /** What the toolkit sends while something is dragged over the window and dropped. */
  private void drop(Transferable what) throws Exception {
    onEvents(
        () -> {
          var target = frame.getDropTarget();
          var enter =
              new DropTargetDragEvent(
                  target.getDropTargetContext(),
                  new Point(300, 300),
                  DnDConstants.ACTION_COPY,
                  DnDConstants.ACTION_COPY) {
                @Override
                public java.util.List<DataFlavor> getCurrentDataFlavorsAsList() {
                  return List.of(what.getTransferDataFlavors());
                }

                @Override
                public void acceptDrag(int action) {}

                @Override
                public void rejectDrag() {}
              };
          target.dragEnter(enter);
          assertThat(frame.getGlassPane().isVisible()).isTrue();
          target.drop(
              new DropTargetDropEvent(
                  target.getDropTargetContext(),
                  new Point(300, 300),
                  DnDConstants.ACTION_COPY,
                  DnDConstants.ACTION_COPY) {
                @Override
                public java.util.List<DataFlavor> getCurrentDataFlavorsAsList() {
                  return List.of(what.getTransferDataFlavors());
                }

                @Override
                public Transferable getTransferable() {
                  return what;
                }

                @Override
                public void acceptDrop(int action) {}

                @Override
                public void rejectDrop() {}

                @Override
                public void dropComplete(boolean success) {
                  assertThat(success).isTrue();
                }
              });
          assertThat(frame.getGlassPane().isVisible()).isFalse();
          return null;
        });
  }

  @Test
  void filesAreDropped() throws Exception {
    Path named = home.resolve("a name, with spaces 100%.wav");
    Files.copy(DEMO.resolve("tool-8mm-y.wav"), named);
    drop(new Dropped(DataFlavor.javaFileListFlavor, List.of(named.toFile())));
    waitUntil("it is asked about", () -> title().startsWith("a name, with spaces 100%.wav"));
    shoot("dropped");
    DataFlavor uris = new DataFlavor("text/uri-list;class=java.lang.String");
    drop(
        new Dropped(
            uris,
            "# a list\r\n"
                + DEMO.resolve("tool-10mm-x.json").toUri()
                + "\r\n"
                + named.toUri()
                + "\r\n"));
    waitUntil("two more wait", () -> title().endsWith("(2 more wait)"));
    press("import-leave");
    waitUntil("the next", () -> title().startsWith("tool-10mm-x.json"));
    keys("ENTER");
    waitUntil("it is taken", () -> desk.job().measured(Direction.TOOL_X).isPresent());
    waitUntil("the last", () -> title().equals("a name, with spaces 100%.wav"));
    keys("ESCAPE");
    waitUntil("all is asked", () -> find("import-leave") == null);
  }

  @Test
  void responsesAndColumns() throws Exception {
    Path demo = Jobs.demoJob(home);
    onEvents(
        () -> {
          desk.resume(demo, () -> desk.go(StageId.TAPS));
          return null;
        });
    waitUntil("x is read", () -> desk.results().of(Direction.TOOL_X).ready());
    FrequencyResponse response =
        desk.results().of(Direction.TOOL_X).value().get().response().orElseThrow();
    Path csv = home.resolve("from elsewhere.csv");
    Files.writeString(csv, ringtrue.library.FrequencyResponseCsv.toText(response));
    begin();
    opens(csv);
    waitUntil("it is asked about", () -> find("import-take") != null);
    shoot("response");
    press("import-take");
    waitUntil("it is there", () -> desk.results().of(Direction.TOOL_X).ready());
    assertThat(desk.job().measured(Direction.TOOL_X).map(Measured::kind))
        .isEqualTo(Optional.of(Measured.Kind.RESPONSE));
    shoot("response-taken");
    opens(DEMO.resolve("turning-bar.csv"));
    waitUntil("it is asked about", () -> title().startsWith("turning-bar.csv"));
    shoot("columns");
  }
}

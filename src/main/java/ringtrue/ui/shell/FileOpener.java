package ringtrue.ui.shell;

import java.nio.file.Path;
import java.util.ArrayDeque;
import java.util.Comparator;
import java.util.Deque;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.function.Consumer;
import javax.swing.JFileChooser;
import ringtrue.ui.desk.Desk;
import ringtrue.ui.desk.FileTaker;
import ringtrue.ui.job.Job;

/** Opens files of any kind that the program knows: finds out what each is, and who takes it. */
final class FileOpener {
  private final Desk desk;
  private final Consumer<String> complaint;

  /**
   * @param complaint told what cannot be opened and why
   */
  FileOpener(Desk desk, Consumer<String> complaint) {
    this.desk = desk;
    this.complaint = complaint;
  }

  /** Opens files, one after the other; descriptions before the recordings that they may name. */
  void open(List<Path> files) {
    desk.settle();
    next(
        new ArrayDeque<>(
            files.stream().sorted(Comparator.comparing(f -> !isDescription(f))).toList()));
  }

  private static boolean isDescription(Path file) {
    return String.valueOf(file.getFileName()).toLowerCase(Locale.ROOT).endsWith(".json");
  }

  private void next(Deque<Path> files) {
    if (files.isEmpty()) {
      return;
    }
    Path file = files.pop();
    desk.tasks()
        .start(
            "looking at " + file.getFileName(),
            progress -> FileKind.of(file),
            format -> give(file, format, () -> next(files)),
            sentence -> {
              complaint.accept(sentence);
              next(files);
            });
  }

  private void give(Path file, String format, Runnable then) {
    Optional<FileTaker> taker =
        desk.takers().stream().filter(t -> t.takes(file, format)).findFirst();
    if (taker.isEmpty()) {
      complaint.accept(file.getFileName() + ": not one that can be opened. " + FileKind.KNOWN);
      then.run();
      return;
    }
    RecentFiles.add(desk, file);
    desk.usedFile(file);
    Runnable take =
        () -> {
          taker.get().stage().ifPresent(desk::go);
          taker.get().take(file, format);
          then.run();
        };
    if (desk.folder().isPresent()) {
      take.run();
    } else {
      desk.begin(Job.EMPTY, take);
    }
  }

  /** Asks for a file, in the folder where one was opened last. */
  void choose(java.awt.Component over) {
    JFileChooser chooser = new JFileChooser(desk.lastFolder());
    chooser.setName("open-files");
    chooser.setDialogTitle("Open a recording, response, cut or set-up");
    chooser.setMultiSelectionEnabled(true);
    if (chooser.showOpenDialog(over) == JFileChooser.APPROVE_OPTION) {
      open(java.util.Arrays.stream(chooser.getSelectedFiles()).map(java.io.File::toPath).toList());
    }
  }
}

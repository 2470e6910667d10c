package ringtrue.ui.setups;

import java.io.File;
import java.nio.file.InvalidPathException;
import java.nio.file.Path;
import java.util.Optional;
import javax.swing.JButton;
import javax.swing.JFileChooser;
import javax.swing.JPanel;
import javax.swing.JTextField;
import ringtrue.ui.kit.MigLayout;

/** A file's path, written or chosen. */
final class PathRow extends JPanel {
  private final JTextField path = new JTextField(40);
  private final JButton choose = new JButton("Choose...");

  /**
   * @param name beginning of the names of its components
   * @param label for readers of the screen
   * @param save whether a file is to be written
   * @param entered run on Enter
   */
  PathRow(String name, String label, boolean save, Runnable entered) {
    super(new MigLayout("ins 0, fillx", "[grow,fill]6[]"));
    path.setName(name + "-path");
    path.getAccessibleContext().setAccessibleName(label);
    choose.setName(name + "-choose");
    path.addActionListener(e -> entered.run());
    choose.addActionListener(e -> choose(save));
    add(path, "wmin 120");
    add(choose);
  }

  private void choose(boolean save) {
    JFileChooser chooser = new JFileChooser();
    file().map(Path::toFile).ifPresent(chooser::setSelectedFile);
    int answer = save ? chooser.showSaveDialog(this) : chooser.showOpenDialog(this);
    if (answer == JFileChooser.APPROVE_OPTION) {
      File file = chooser.getSelectedFile();
      path.setText(file.getPath());
    }
  }

  void show(String text) {
    path.setText(text);
  }

  void focus() {
    path.requestFocusInWindow();
    path.selectAll();
  }

  /** What is written there, as a path; empty if it is none. */
  Optional<Path> file() {
    String text = path.getText().strip();
    if (text.startsWith("~/")) {
      text = System.getProperty("user.home") + text.substring(1);
    }
    try {
      return text.isEmpty() ? Optional.empty() : Optional.of(Path.of(text).toAbsolutePath());
    } catch (InvalidPathException e) {
      return Optional.empty();
    }
  }
}

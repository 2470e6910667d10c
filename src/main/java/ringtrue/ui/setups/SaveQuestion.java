package ringtrue.ui.setups;

import java.awt.event.ActionEvent;
import java.util.ArrayList;
import java.util.List;
import java.util.function.Consumer;
import javax.swing.AbstractAction;
import javax.swing.BorderFactory;
import javax.swing.ButtonGroup;
import javax.swing.JButton;
import javax.swing.JComponent;
import javax.swing.JLabel;
import javax.swing.JPanel;
import javax.swing.JRadioButton;
import javax.swing.KeyStroke;
import javax.swing.UIManager;
import ringtrue.library.SetUp;
import ringtrue.library.SetUp.Field;
import ringtrue.ui.job.Direction.Part;
import ringtrue.ui.job.Job;
import ringtrue.ui.kit.MigLayout;
import ringtrue.ui.kit.Wrapped;

/** What has to be known before more is saved of a saved set-up; asked in place, not in a dialog. */
final class SaveQuestion extends JPanel {
  private static final List<Field> TELLING =
      List.of(
          Field.MACHINE,
          Field.SPINDLE,
          Field.HOLDER,
          Field.TOOL,
          Field.DIAMETER,
          Field.STICKOUT,
          Field.WORKPIECE);

  private final JRadioButton again = new JRadioButton("Clamped again since");
  private final JRadioButton same = new JRadioButton("Not taken out since");
  private final JRadioButton more = new JRadioButton("Add to the saved one");
  private final JRadioButton anew = new JRadioButton("Save as a new set-up");
  private final JLabel clampedLabel =
      new JLabel("The same direction was saved before. Was it clamped again?");
  private final Wrapped differsLabel = new Wrapped("");
  private final JButton save = new JButton("Save (Enter)");
  private final JButton cancel = new JButton("Cancel (Esc)");

  /**
   * @param answered told what was answered
   */
  SaveQuestion(Consumer<Saver.Wish> answered) {
    super(new MigLayout("ins 8 10 8 10, hidemode 3", "[][]push[][]", "[]2[]"));
    setName("save-question");
    setBorder(BorderFactory.createLineBorder(UIManager.getColor("Component.focusColor")));
    group(again, same);
    group(more, anew);
    again.setName("save-clamped-again");
    same.setName("save-same-clamping");
    more.setName("save-add");
    anew.setName("save-new");
    save.setName("save-go");
    cancel.setName("save-cancel");
    clampedLabel.setLabelFor(again);
    add(differsLabel, "span, growx, wmin 0, wrap");
    add(more);
    add(anew, "wrap");
    add(clampedLabel, "span, wrap");
    add(again);
    add(same);
    add(save);
    add(cancel);
    anew.addActionListener(e -> refresh());
    more.addActionListener(e -> refresh());
    Runnable go =
        () -> {
          setVisible(false);
          answered.accept(
              new Saver.Wish(anew.isVisible() && anew.isSelected(), again.isSelected()));
        };
    save.addActionListener(e -> go.run());
    cancel.addActionListener(e -> setVisible(false));
    bind("ENTER", go);
    bind("ESCAPE", () -> setVisible(false));
    setVisible(false);
  }

  private static void group(JRadioButton first, JRadioButton second) {
    ButtonGroup group = new ButtonGroup();
    group.add(first);
    group.add(second);
    first.setSelected(true);
  }

  private void bind(String keys, Runnable action) {
    getInputMap(JComponent.WHEN_ANCESTOR_OF_FOCUSED_COMPONENT)
        .put(KeyStroke.getKeyStroke(keys), keys);
    getActionMap()
        .put(
            keys,
            new AbstractAction() {
              @Override
              public void actionPerformed(ActionEvent e) {
                action.run();
              }
            });
  }

  /**
   * Asks, if there is anything to ask.
   *
   * @return whether there is
   */
  boolean ask(Job job, SaveLog log) {
    boolean repeated = repeated(job, log);
    List<String> differing = differing(job, log);
    again.setVisible(repeated);
    same.setVisible(repeated);
    clampedLabel.setVisible(repeated);
    boolean differs = !differing.isEmpty();
    more.setVisible(differs);
    anew.setVisible(differs);
    differsLabel.setVisible(differs);
    differsLabel.setText(
        "It differs from the saved one in "
            + String.join(", ", differing)
            + ". A set-up that differs vibrates differently: saved as a new one, each keeps a"
            + " history of its own.");
    (differs ? anew : more).setSelected(true);
    again.setSelected(true);
    refresh();
    setVisible(repeated || differs);
    if (isVisible()) {
      (differs ? anew : again).requestFocusInWindow();
    }
    return isVisible();
  }

  private void refresh() {
    boolean needed = !(anew.isVisible() && anew.isSelected());
    again.setEnabled(needed);
    same.setEnabled(needed);
  }

  /** Whether a direction that is saved already was measured anew. */
  static boolean repeated(Job job, SaveLog log) {
    return log.unsaved(job).stream()
        .anyMatch(m -> log.entry(m.direction()).map(e -> !e.file().equals(m.file())).orElse(false));
  }

  /** What differs from the saved descriptions so much that it is another set-up, in words. */
  static List<String> differing(Job job, SaveLog log) {
    List<String> all = new ArrayList<>();
    for (Part part : Parts.of(job)) {
      SetUp saved = log.setUps().get(part);
      if (saved == null) {
        continue;
      }
      java.util.Map<Field, String> said = Parts.said(job, part);
      for (Field field : TELLING) {
        String before = saved.text(field);
        String now = said.getOrDefault(field, "");
        if (!before.isEmpty() && !before.equals(now)) {
          all.add(field.words());
        }
      }
    }
    return all.stream().distinct().toList();
  }
}

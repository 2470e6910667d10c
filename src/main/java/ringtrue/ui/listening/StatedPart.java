package ringtrue.ui.listening;

import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import javax.swing.JButton;
import javax.swing.JComboBox;
import javax.swing.JLabel;
import javax.swing.JPanel;
import ringtrue.ui.job.CutField;
import ringtrue.ui.kit.Field;
import ringtrue.ui.kit.MigLayout;
import ringtrue.ui.kit.Notice;
import ringtrue.ui.kit.Sign;

/** What was really run, where it differs from the plan. */
final class StatedPart extends JPanel {
  private static final List<CutField> FIELDS =
      List.of(CutField.SPEED, CutField.FLUTES, CutField.AXIAL, CutField.RADIAL);
  private static final List<String> SENSES = List.of("down", "up", "slot");

  private final Listening listening;
  private final Map<CutField, Field> fields = new EnumMap<>(CutField.class);
  private final JComboBox<String> sense = new JComboBox<>(SENSES.toArray(String[]::new));
  private final JLabel senseLabel = new JLabel("sense");
  private final JButton planned = new JButton("As planned");
  private final Notice notice = new Notice("listen-stated-complaint");
  private boolean showing;

  StatedPart(Listening listening) {
    super(new MigLayout("ins 0, fillx, hidemode 3, gap 6 4", "[][grow,fill]", "[]"));
    this.listening = listening;
    setOpaque(false);
    for (CutField field : FIELDS) {
      Field box =
          new Field("listen-" + field.name().toLowerCase(java.util.Locale.ROOT), field.words(), 9)
              .example(field.example())
              .onCommit(text -> listening.state(field, text));
      fields.put(field, box);
      add(box.label());
      add(box, "wrap, wmin 0");
    }
    sense.setName("listen-sense");
    sense.getAccessibleContext().setAccessibleName("sense of the cut that was run");
    senseLabel.setLabelFor(sense);
    sense.addActionListener(
        e -> {
          if (!showing) {
            listening.state(CutField.DIRECTION, String.valueOf(sense.getSelectedItem()));
          }
        });
    add(senseLabel);
    add(sense, "wrap");
    planned.setName("listen-as-planned");
    planned.setToolTipText("Take all of it from the cut as it is planned");
    planned.addActionListener(e -> listening.asPlanned());
    add(planned, "skip 1, wrap, growx 0");
    add(notice, "span 2, growx, wmin 0");
  }

  void refresh() {
    showing = true;
    var draft = listening.draft();
    Optional<CutField> about = CutField.of(listening.complaint());
    fields.forEach(
        (field, box) -> {
          box.show(draft.text(field));
          box.setEnabled(!listening.running());
          box.complain(
              about
                  .filter(f -> f == field)
                  .map(f -> CutField.withoutPlace(listening.complaint()))
                  .orElse(""));
        });
    boolean turning = draft.turning();
    fields.get(CutField.FLUTES).setVisible(!turning);
    fields.get(CutField.FLUTES).label().setVisible(!turning);
    fields.get(CutField.RADIAL).setVisible(!turning);
    fields.get(CutField.RADIAL).label().setVisible(!turning);
    String says = draft.text(CutField.DIRECTION);
    sense.setVisible(!turning && SENSES.contains(says));
    senseLabel.setVisible(sense.isVisible());
    sense.setSelectedItem(says);
    sense.setEnabled(!listening.running());
    planned.setVisible(listening.otherwise());
    planned.setEnabled(!listening.running());
    if (!listening.complaint().isEmpty() && about.filter(fields::containsKey).isEmpty()) {
      notice.clear();
    }
    if (listening.otherwise() && listening.complaint().isEmpty()) {
      notice.say(Sign.NOTE, "Differs from the plan; the plan itself is not changed.");
    } else {
      notice.clear();
    }
    showing = false;
  }

  /** Whether the complaint stands beside one of its fields. */
  boolean tells(String complaint) {
    return CutField.of(complaint).filter(fields::containsKey).isPresent();
  }
}

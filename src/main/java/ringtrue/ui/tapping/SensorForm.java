package ringtrue.ui.tapping;

import java.util.Arrays;
import java.util.EnumMap;
import java.util.Map;
import java.util.Optional;
import javax.swing.JComboBox;
import javax.swing.JLabel;
import javax.swing.JPanel;
import ringtrue.acquisition.ResponseQuantity;
import ringtrue.ui.kit.Field;
import ringtrue.ui.kit.MigLayout;
import ringtrue.ui.kit.Notice;
import ringtrue.ui.kit.Sign;

/** What hammer and sensor are: a field for each thing, its complaint below it. */
final class SensorForm extends JPanel {
  private final String prefix;
  private final Map<SensorField, Field> fields = new EnumMap<>(SensorField.class);
  private final Map<SensorField, JComboBox<String>> choices = new EnumMap<>(SensorField.class);
  private final Notice general;
  private final boolean textFile;

  /**
   * @param prefix what names of components begin with
   * @param textFile whether it is about columns instead of channels
   */
  SensorForm(String prefix, boolean textFile) {
    super(new MigLayout("ins 0, wrap 2, fillx, hidemode 3, gapy 3", "[]8[grow,fill]", "[top]"));
    this.prefix = prefix;
    this.textFile = textFile;
    setOpaque(false);
    general = new Notice(prefix + "-complaint");
    for (SensorField field : SensorField.values()) {
      if (field.isOf(textFile)) {
        row(field);
      }
    }
    add(general, "span 2, growx, wmin 0");
  }

  private void row(SensorField field) {
    String name = prefix + "-" + field.key();
    switch (field) {
      case FORCE_POLARITY, RESPONSE_POLARITY -> choice(field, name, new String[] {"+", "-"});
      case QUANTITY ->
          choice(
              field,
              name,
              Arrays.stream(ResponseQuantity.values())
                  .map(ResponseQuantity::word)
                  .toArray(String[]::new));
      default -> {
        Field one = new Field(name, field.words(), 8).example("like " + field.example());
        fields.put(field, one);
        add(one.label(), "gaptop 4");
        add(one, "growx, wmin 60");
      }
    }
  }

  private void choice(SensorField field, String name, String[] of) {
    JComboBox<String> box = new JComboBox<>(of);
    box.setName(name);
    box.getAccessibleContext().setAccessibleName(field.words());
    if (field != SensorField.QUANTITY) {
      box.setToolTipText(
          "\"+\": its arrow points the way the hammer goes; \"-\": against the hammer");
    }
    JLabel label = new JLabel(field.words());
    label.setLabelFor(box);
    choices.put(field, box);
    add(label, "gaptop 4");
    add(box, "growx, wmin 60");
  }

  void show(SensorDraft draft) {
    fields.forEach((field, one) -> one.show(draft.text(field)));
    choices.forEach(
        (field, box) ->
            box.setSelectedItem(
                draft.text(field).isEmpty() ? box.getItemAt(0) : draft.text(field)));
  }

  /** What stands in it now, on top of what it does not show. */
  SensorDraft draft(SensorDraft before) {
    SensorDraft now = before;
    for (Map.Entry<SensorField, Field> each : fields.entrySet()) {
      now = now.with(each.getKey(), each.getValue().text());
    }
    for (Map.Entry<SensorField, JComboBox<String>> each : choices.entrySet()) {
      now = now.with(each.getKey(), String.valueOf(each.getValue().getSelectedItem()));
    }
    return now;
  }

  /** Shows a complaint beside the field that it is about; no text takes all complaints back. */
  void complain(String complaint) {
    fields.values().forEach(f -> f.complain(""));
    general.clear();
    if (complaint.isEmpty()) {
      return;
    }
    Optional<Field> field = SensorField.of(complaint).map(fields::get);
    String plain = SensorField.plain(complaint);
    if (field.isPresent()) {
      field.get().complain(plain);
      field.get().requestFocusInWindow();
    } else {
      general.say(Sign.BAD, plain);
    }
    revalidate();
  }

  boolean isOfText() {
    return textFile;
  }

  @Override
  public void setEnabled(boolean enabled) {
    super.setEnabled(enabled);
    fields.values().forEach(f -> f.setEnabled(enabled));
    choices.values().forEach(b -> b.setEnabled(enabled));
  }
}

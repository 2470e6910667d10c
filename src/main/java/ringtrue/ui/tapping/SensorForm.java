package ringtrue.ui.tapping;

import java.util.Arrays;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import javax.swing.JComboBox;
import javax.swing.JLabel;
import javax.swing.JPanel;
import javax.swing.event.DocumentEvent;
import javax.swing.event.DocumentListener;
import ringtrue.acquisition.ResponseQuantity;
import ringtrue.ui.kit.Field;
import ringtrue.ui.kit.MigLayout;
import ringtrue.ui.kit.Notice;
import ringtrue.ui.kit.Sign;

/**
 * What hammer and sensor are: a field for each thing. Its complaint stands below it or, where there
 * is room, beside it, so that nothing moves under the pointer.
 */
final class SensorForm extends JPanel {
  private final String prefix;
  private final Map<SensorField, Field> fields = new EnumMap<>(SensorField.class);
  private final Map<SensorField, JComboBox<String>> choices = new EnumMap<>(SensorField.class);
  private final Map<SensorField, JLabel> labels = new EnumMap<>(SensorField.class);
  private final Map<SensorField, Notice> beside = new EnumMap<>(SensorField.class);
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
    labels.put(field, label);
    add(label, "gaptop 4");
    add(box, "growx, wmin 60");
  }

  /**
   * Puts complaints beside the fields, with room for two lines; Enter in a field takes the form.
   */
  void asPage(Runnable enter) {
    removeAll();
    setLayout(
        new MigLayout(
            "ins 0, fillx, hidemode 3, gapy 0", "[]8[fill,190lp:190lp]10[grow,fill]", "[center]"));
    int row = 0;
    for (SensorField field : SensorField.values()) {
      if (!field.isOf(textFile)) {
        continue;
      }
      Field one = fields.get(field);
      add(one == null ? labels.get(field) : one.label(), "cell 0 " + row + ", hmin 38lp");
      add(one == null ? choices.get(field) : one, "cell 1 " + row + ", growx, wmin 60");
      if (one != null) {
        Notice notice = new Notice(prefix + "-" + field.key() + "-complaint");
        beside.put(field, notice);
        add(notice, "cell 2 " + row + ", growx, wmin 0");
        one.input().addActionListener(e -> enter.run());
        one.input().getDocument().addDocumentListener(forgetting(field, one));
      }
      row++;
    }
    add(general, "cell 0 " + row + " 3 1, growx, wmin 0");
  }

  /** A complaint was about what stood there before. */
  private DocumentListener forgetting(SensorField field, Field one) {
    return new DocumentListener() {
      @Override
      public void insertUpdate(DocumentEvent e) {
        say(field, one, "");
      }

      @Override
      public void removeUpdate(DocumentEvent e) {
        say(field, one, "");
      }

      @Override
      public void changedUpdate(DocumentEvent e) {
        // only the look of the text
      }
    };
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

  /** Shows a complaint at the field that it is about; no text takes all complaints back. */
  void complain(String complaint) {
    complain(complaint.isEmpty() ? List.of() : List.of(complaint));
  }

  /** Shows each complaint at the field that it is about; none takes all back. */
  void complain(List<String> complaints) {
    fields.forEach((field, one) -> say(field, one, ""));
    general.clear();
    Field first = null;
    for (String complaint : complaints) {
      Optional<SensorField> about = SensorField.of(complaint).filter(fields::containsKey);
      String plain = SensorField.plain(complaint);
      if (about.isEmpty()) {
        general.say(Sign.BAD, plain);
        continue;
      }
      say(about.get(), fields.get(about.get()), plain);
      first = first == null ? fields.get(about.get()) : first;
    }
    if (first != null) {
      first.requestFocusInWindow();
    }
    revalidate();
  }

  private void say(SensorField field, Field one, String sentence) {
    Notice notice = beside.get(field);
    if (notice == null) {
      one.complain(sentence);
      return;
    }
    if (sentence.isEmpty()) {
      notice.clear();
    } else {
      notice.say(Sign.BAD, sentence);
    }
    one.input().putClientProperty("JComponent.outline", sentence.isEmpty() ? null : "error");
    one.input().getAccessibleContext().setAccessibleDescription(sentence);
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

package ringtrue.ui.setups;

import java.awt.Rectangle;
import java.awt.event.FocusAdapter;
import java.awt.event.FocusEvent;
import java.time.Instant;
import java.util.EnumMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.stream.Collectors;
import javax.swing.JButton;
import javax.swing.JLabel;
import javax.swing.JScrollPane;
import javax.swing.JTextArea;
import javax.swing.KeyStroke;
import ringtrue.library.SetUp;
import ringtrue.ui.desk.Desk;
import ringtrue.ui.desk.StageState;
import ringtrue.ui.job.TappedWith;
import ringtrue.ui.kit.Field;
import ringtrue.ui.kit.Letters;
import ringtrue.ui.kit.MigLayout;
import ringtrue.ui.kit.Notice;
import ringtrue.ui.kit.Scrolled;
import ringtrue.ui.kit.Sign;
import ringtrue.ui.kit.Typing;

/** The set-up at hand: what is clamped where, what was measured, and whether it is saved. */
final class HereCard extends Scrolled {
  private static final Map<SetUp.Field, String> EXAMPLES =
      Map.of(
          SetUp.Field.NAME, "what you call it",
          SetUp.Field.MACHINE, "like router",
          SetUp.Field.HOLDER, "like collet chuck",
          SetUp.Field.COLLET, "like ER20, 6 mm",
          SetUp.Field.TIGHTENING, "like 40 N m",
          SetUp.Field.TOOL, "like 6 mm end mill",
          SetUp.Field.DIAMETER, "like 6 mm",
          SetUp.Field.FLUTES, "like 4",
          SetUp.Field.STICKOUT, "like 22 mm",
          SetUp.Field.FLUTE_LENGTH, "like 16 mm");

  private final Desk desk;
  private final SetUpStage stage;
  private final Map<SetUp.Field, Field> fields = new EnumMap<>(SetUp.Field.class);
  private final JTextArea notes = new JTextArea(2, 20);
  private final DirectionsPanel directions;
  private final JLabel state = new JLabel();
  private final JButton save = new JButton("Save (Ctrl+S)");
  private final SaveQuestion question;
  private final Notice notice = new Notice("save-notice");
  private final Notice tapped = new Notice("setup-tapped-with");
  private final Notice hints = new Notice("save-remarks");

  HereCard(Desk desk, SetUpStage stage, DirectionsPanel directions, SaveQuestion question) {
    super(
        new MigLayout(
            "ins 10 14 12 14, fillx, hidemode 3, gapy 5",
            "[][grow,fill]14[][grow,fill]14[][grow,fill]"));
    this.desk = desk;
    this.stage = stage;
    this.directions = directions;
    this.question = question;
    heading("What is clamped where", "span, wrap");
    row(SetUp.Field.NAME);
    row(SetUp.Field.MACHINE, SetUp.Field.SPINDLE);
    row(SetUp.Field.HOLDER, SetUp.Field.COLLET, SetUp.Field.TIGHTENING);
    row(SetUp.Field.TOOL, SetUp.Field.DIAMETER, SetUp.Field.FLUTES);
    row(SetUp.Field.STICKOUT, SetUp.Field.FLUTE_LENGTH);
    row(SetUp.Field.WORKPIECE, SetUp.Field.FIXTURE);
    notes();
    heading("Directions", "span, gaptop 8, wrap");
    add(tapped, "span, growx, wmin 0, wrap");
    add(directions, "span, growx, wmin 0, wrap");
    heading("In the library", "span, gaptop 8, wrap");
    state.setName("save-state");
    save.setName("save");
    save.setToolTipText("Saves the description and what was measured into the library (Ctrl+S)");
    save.addActionListener(e -> stage.askAndSave());
    add(state, "span, split 2, growx, wmin 0");
    add(save, "wrap");
    add(question, "span, growx, wrap");
    add(notice, "span, growx, wmin 0, wrap");
    add(hints, "span, growx, wmin 0, wrap");
  }

  private void heading(String words, String where) {
    add(Letters.bold(new JLabel(words), 1.1), where);
  }

  private void row(SetUp.Field... row) {
    for (int i = 0; i < row.length; i++) {
      SetUp.Field field = row[i];
      String words = field.words();
      String label =
          field == SetUp.Field.DIAMETER
              ? "Diameter"
              : words.substring(0, 1).toUpperCase(Locale.ROOT) + words.substring(1);
      Field box = new Field("setup-" + kebab(field), label, 12);
      box.example(EXAMPLES.getOrDefault(field, ""));
      box.onCommit(text -> said(field, text));
      fields.put(field, box);
      add(box.label(), "aligny top, gaptop 4");
      boolean alone = row.length == 1;
      add(
          box,
          "wmin 60, aligny top"
              + (alone ? ", span, growx" : "")
              + (i == row.length - 1 ? ", wrap" : ""));
    }
  }

  private static String kebab(SetUp.Field field) {
    return field.name().toLowerCase(Locale.ROOT).replace('_', '-');
  }

  private void notes() {
    JLabel label = new JLabel("Notes");
    label.setLabelFor(notes);
    notes.setName("setup-notes");
    notes.getAccessibleContext().setAccessibleName("Notes");
    notes.setLineWrap(true);
    notes.setWrapStyleWord(true);
    notes.setFocusTraversalKeys(java.awt.KeyboardFocusManager.FORWARD_TRAVERSAL_KEYS, null);
    notes.getInputMap().put(KeyStroke.getKeyStroke("TAB"), "leave-forward");
    notes.getInputMap().put(KeyStroke.getKeyStroke("shift TAB"), "leave-back");
    notes.getActionMap().put("leave-forward", action(notes::transferFocus));
    notes.getActionMap().put("leave-back", action(notes::transferFocusBackward));
    notes.addFocusListener(
        new FocusAdapter() {
          @Override
          public void focusLost(FocusEvent e) {
            said(SetUp.Field.NOTES, notes.getText());
          }
        });
    Typing.counts(notes, () -> said(SetUp.Field.NOTES, notes.getText()));
    add(label, "aligny top, gaptop 4");
    add(new JScrollPane(notes), "span, growx, hmin pref, wrap");
  }

  static javax.swing.Action action(Runnable what) {
    return new javax.swing.AbstractAction() {
      @Override
      public void actionPerformed(java.awt.event.ActionEvent e) {
        what.run();
      }
    };
  }

  private void said(SetUp.Field field, String text) {
    String said = SetUpWords.read(field, text, desk.unit());
    if (!said.equals(desk.job().setUp().getOrDefault(field, ""))) {
      String what = "change of " + field.words();
      if (SetUpWords.complaint(field, said).isEmpty()) {
        desk.change(what, job -> SetUpWords.with(job, field, said));
      } else {
        desk.attempt(what, job -> SetUpWords.with(job, field, said));
      }
    } else if (fields.containsKey(field)) {
      fields.get(field).show(said);
    }
  }

  void refresh() {
    fields.forEach(
        (field, box) -> {
          String text = desk.job().setUp().getOrDefault(field, "");
          box.show(text);
          box.complain(SetUpWords.complaint(field, text));
        });
    String said = desk.job().setUp().getOrDefault(SetUp.Field.NOTES, "");
    if (!notes.isFocusOwner() && !notes.getText().equals(said)) {
      notes.setText(said);
    }
    TappedWith.mismatch(desk.job())
        .ifPresentOrElse(
            other ->
                tapped.say(
                    Sign.CAUTION,
                    Character.toUpperCase(other.charAt(0)) + other.substring(1) + "."),
            tapped::clear);
    directions.refresh(stage.log());
    SaveState now = SaveState.of(desk.job(), stage.log(), Instant.now());
    state.setIcon(
        now.kind() == StageState.Kind.DONE
            ? Sign.DONE
            : now.kind() == StageState.Kind.OPEN ? Sign.OPEN : Sign.BEGUN);
    state.setText(stage.saving() ? "Saving..." : now.sentence());
    save.setEnabled(stage.canSave());
  }

  /** Asks what has to be known; whether there is anything. */
  boolean ask() {
    notice.clear();
    hints.clear();
    boolean asked = question.ask(desk.job(), stage.log());
    if (asked) {
      revalidate();
      javax.swing.SwingUtilities.invokeLater(
          () -> question.scrollRectToVisible(new Rectangle(question.getSize())));
    }
    return asked;
  }

  void savedAs(String sentence, List<String> remarks) {
    notice.say(Sign.DONE, sentence + ".");
    String all = remarks.stream().collect(Collectors.joining(" "));
    if (all.isEmpty()) {
      hints.clear();
    } else {
      hints.say(Sign.NOTE, all);
    }
  }

  void complain(String sentence) {
    notice.say(Sign.BAD, sentence);
    hints.clear();
  }

  void clearNotices() {
    notice.clear();
    hints.clear();
    question.setVisible(false);
  }
}

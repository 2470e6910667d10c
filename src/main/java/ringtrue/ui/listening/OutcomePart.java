package ringtrue.ui.listening;

import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Locale;
import java.util.stream.Collectors;
import javax.swing.ButtonGroup;
import javax.swing.JButton;
import javax.swing.JPanel;
import javax.swing.JRadioButton;
import ringtrue.library.Outcome;
import ringtrue.signal.HeardCut;
import ringtrue.ui.desk.StageId;
import ringtrue.ui.kit.Field;
import ringtrue.ui.kit.MigLayout;
import ringtrue.ui.kit.Notice;
import ringtrue.ui.kit.Sign;
import ringtrue.ui.kit.Wrapped;

/** What the cut did, to be kept with the saved set-up. */
final class OutcomePart extends JPanel {
  private static final DateTimeFormatter DAY =
      DateTimeFormatter.ofPattern("yyyy-MM-dd HH:mm", Locale.ROOT).withZone(ZoneId.systemDefault());
  private static final int MOST_LISTED = 8;

  private final Listening listening;
  private final JRadioButton quiet = new JRadioButton("quiet");
  private final JRadioButton chattered = new JRadioButton("chattered");
  private final ButtonGroup group = new ButtonGroup();
  private final Field at =
      new Field("listen-at", "at", 8).example("if known, like 612 Hz").onCommit(text -> {});
  private final Field note = new Field("listen-note", "note", 8).onCommit(text -> {});
  private final JButton save = new JButton("Save what the cut did");
  private final JButton setUp = new JButton("Go to the set-up");
  private final Notice notice = new Notice("listen-save-notice");
  private final Wrapped list = new Wrapped("");
  private Heard filledFrom;

  OutcomePart(Listening listening) {
    super(new MigLayout("ins 0, fillx, hidemode 3, gap 6 4", "[][grow,fill]", "[]"));
    this.listening = listening;
    setOpaque(false);
    quiet.setName("listen-did-quiet");
    chattered.setName("listen-did-chattered");
    group.add(quiet);
    group.add(chattered);
    quiet.addActionListener(e -> refresh());
    chattered.addActionListener(e -> refresh());
    save.setName("listen-save");
    save.addActionListener(e -> save());
    setUp.setName("listen-go-setup");
    setUp.addActionListener(e -> listening.desk().go(StageId.SET_UP));
    list.setName("listen-outcomes");
    list.setFocusable(true);
    add(quiet, "span 2, split 2");
    add(chattered, "wrap");
    add(at.label());
    add(at, "wmin 0, wrap");
    add(note.label());
    add(note, "wmin 0, wrap");
    add(save, "span 2, growx 0, wrap");
    add(notice, "span 2, growx, wmin 0, wrap");
    add(setUp, "span 2, growx 0, wrap");
    add(list, "span 2, growx, wmin 0, gaptop 4");
  }

  /** Keeps it, if it can be kept. */
  void save() {
    if (save.isEnabled()) {
      boolean chatter = chattered.isSelected();
      listening.save(
          chatter ? Outcome.Result.CHATTERED : Outcome.Result.QUIET,
          chatter ? at.text() : "",
          note.text());
    }
  }

  void refresh() {
    listening.heard().filter(h -> h != filledFrom).ifPresent(this::fill);
    if (listening.heard().isEmpty() && filledFrom != null && listening.running()) {
      filledFrom = null;
      group.clearSelection();
    }
    boolean chosen = quiet.isSelected() || chattered.isSelected();
    String why = listening.whyNotSaved();
    boolean open = !listening.running() && !listening.saving();
    quiet.setEnabled(open);
    chattered.setEnabled(open);
    at.setVisible(chattered.isSelected());
    at.label().setVisible(chattered.isSelected());
    save.setEnabled(open && chosen && why.isEmpty() && !listening.saved());
    save.setText(listening.onlySimulated() ? "Save it as simulated" : "Save what the cut did");
    save.setToolTipText(
        (listening.onlySimulated()
                ? "Keep it with the saved set-up, marked as simulated"
                : "Keep it with the saved set-up: it then stands in the lobes")
            + " (Ctrl+Shift+W)");
    boolean asks = listening.wantsSetUp() && !why.isEmpty();
    setUp.setVisible(asks);
    if (!listening.saveComplaint().isEmpty()) {
      notice.say(Sign.BAD, listening.saveComplaint());
    } else if (listening.saved()) {
      notice.say(
          Sign.DONE,
          listening.onlySimulated()
              ? "Saved with the set-up as simulated: it does not count as a cut that was made."
              : "Saved with the set-up; it stands in the lobes now.");
    } else if (!why.isEmpty()) {
      notice.say(Sign.NOTE, sentence(why));
    } else if (!chosen) {
      notice.say(
          Sign.NOTE,
          listening.heard().isPresent()
              ? "The sound does not decide it. Say what it did only if you know."
              : "Listen first, or say what the cut did.");
    } else {
      notice.clear();
    }
    list.setText(listed(listening.outcomes()));
    list.setVisible(!listening.outcomes().isEmpty());
  }

  private static String sentence(String words) {
    return Character.toUpperCase(words.charAt(0)) + words.substring(1) + ".";
  }

  private void fill(Heard heard) {
    filledFrom = heard;
    HeardCut sound = heard.sound();
    group.clearSelection();
    if (HeardWords.decided(sound)) {
      boolean chatter = sound.verdict() == HeardCut.Verdict.CHATTER;
      (chatter ? chattered : quiet).setSelected(true);
      at.show(chatter ? String.format(Locale.ROOT, "%.0f Hz", sound.chatterHz()) : "");
    }
    note.show("");
  }

  static String listed(List<Outcome> outcomes) {
    List<Outcome> newest = new ArrayList<>(outcomes);
    Collections.reverse(newest);
    String lines =
        newest.stream()
            .limit(MOST_LISTED)
            .map(
                o ->
                    (o.simulated()
                            ? "  simulated: "
                            : o.result() == Outcome.Result.QUIET ? "o " : "\u00d7 ")
                        + DAY.format(o.date())
                        + "  "
                        + o.result().word()
                        + (o.chatterFrequency().isEmpty() ? "" : " at " + o.chatterFrequency())
                        + (o.note().isEmpty() ? "" : ", " + o.note()))
            .collect(Collectors.joining("\n"));
    return lines.isEmpty() ? "" : "Cuts with this set-up:\n" + lines;
  }
}

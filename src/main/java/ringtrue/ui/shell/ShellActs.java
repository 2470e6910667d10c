package ringtrue.ui.shell;

import java.util.Locale;
import javax.swing.KeyStroke;
import ringtrue.report.LengthUnit;
import ringtrue.ui.desk.Act;
import ringtrue.ui.desk.Act.Group;
import ringtrue.ui.desk.Desk;
import ringtrue.ui.desk.StageId;
import ringtrue.ui.help.HelpWindow;
import ringtrue.ui.kit.Theme;

/** What can be done everywhere. */
final class ShellActs {
  private static final int[] SIZES = {100, 125, 150, 175, 200, 225, 250};

  private ShellActs() {}

  static void add(Desk desk, MainFrame frame, FootLine foot, HelpWindow help) {
    desk.add(
        Act.of("first-page", Group.JOB, "First page", "ctrl N", desk::leave)
            .when(() -> desk.folder().isPresent()));
    desk.add(Act.of("open-file", Group.JOB, "Open a file\u2026", "ctrl O", frame::chooseFile));
    desk.add(
        Act.of("preferences", Group.EDIT, "Preferences", "ctrl COMMA", frame::openPreferences));
    desk.add(
        Act.of("undo", Group.EDIT, "Undo", "ctrl Z", desk::undo)
            .when(() -> desk.undoWords().isPresent()));
    desk.add(
        Act.of("redo", Group.EDIT, "Redo", "ctrl Y", desk::redo)
            .when(() -> desk.redoWords().isPresent()));
    desk.add(
        new Act(
            "next-step",
            Group.GO,
            "Suggested next step",
            KeyStroke.getKeyStroke("ctrl ENTER"),
            foot::hasNextStep,
            foot::takeNextStep));
    for (StageId id : StageId.values()) {
      desk.add(
          Act.of(
                  "go-" + id.name().toLowerCase(Locale.ROOT),
                  Group.GO,
                  id.title(),
                  "ctrl " + (id.ordinal() + 1),
                  () -> desk.go(id))
              .when(() -> desk.folder().isPresent()));
    }
    view(desk);
    desk.add(Act.of("help", Group.HELP, "Help on what is seen", "F1", () -> help.open(page(desk))));
    desk.add(Act.of("terms", Group.HELP, "Terms", "", () -> help.open("terms")));
    desk.add(Act.of("all-keys", Group.HELP, "All keys", "shift F1", () -> help.open("keys")));
    desk.add(Act.of("about", Group.HELP, "About Ringtrue", "", () -> help.open("about")));
    desk.add(Act.of("quit", Group.JOB, "Quit", "ctrl Q", frame::end));
  }

  private static String page(Desk desk) {
    return desk.folder().isEmpty()
        ? "start"
        : desk.stage().name().toLowerCase(Locale.ROOT).replace('_', '-');
  }

  private static void view(Desk desk) {
    desk.add(
        Act.of(
            "units",
            Group.VIEW,
            "Millimetres or inches",
            "ctrl U",
            () ->
                desk.settings(
                    s ->
                        s.withUnit(
                            s.unit() == LengthUnit.INCH
                                ? LengthUnit.MILLIMETRE
                                : LengthUnit.INCH))));
    desk.add(
        Act.of(
            "theme",
            Group.VIEW,
            "Dark or light",
            "ctrl shift D",
            () -> desk.settings(s -> s.with("theme", Theme.dark() ? "light" : "dark"))));
    desk.add(Act.of("larger", Group.VIEW, "Larger", "ctrl EQUALS", () -> size(desk, 1)));
    desk.add(Act.of("smaller", Group.VIEW, "Smaller", "ctrl MINUS", () -> size(desk, -1)));
  }

  private static void size(Desk desk, int step) {
    int now = (int) desk.settings().number("scale", 100);
    int at = 0;
    while (at < SIZES.length - 1 && SIZES[at] < now) {
      at++;
    }
    int to = SIZES[Math.max(0, Math.min(SIZES.length - 1, at + step))];
    desk.settings(s -> s.with("scale", to));
  }
}

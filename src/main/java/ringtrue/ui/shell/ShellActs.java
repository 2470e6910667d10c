package ringtrue.ui.shell;

import ringtrue.report.LengthUnit;
import ringtrue.ui.desk.Act;
import ringtrue.ui.desk.Act.Group;
import ringtrue.ui.desk.Desk;
import ringtrue.ui.desk.StageId;
import ringtrue.ui.kit.Theme;

/** What can be done everywhere. */
final class ShellActs {
  private ShellActs() {}

  static void add(Desk desk, MainFrame frame, String version) {
    desk.add(
        Act.of("first-page", Group.JOB, "First page", "ctrl N", desk::leave)
            .when(() -> desk.folder().isPresent()));
    desk.add(Act.of("quit", Group.JOB, "Quit", "ctrl Q", frame::end));
    desk.add(
        Act.of("undo", Group.EDIT, "Undo", "ctrl Z", desk::undo)
            .when(() -> desk.undoWords().isPresent()));
    desk.add(
        Act.of("redo", Group.EDIT, "Redo", "ctrl Y", desk::redo)
            .when(() -> desk.redoWords().isPresent()));
    for (StageId id : StageId.values()) {
      desk.add(
          Act.of(
                  "go-" + id.name().toLowerCase(java.util.Locale.ROOT),
                  Group.GO,
                  id.title(),
                  "ctrl " + (id.ordinal() + 1),
                  () -> desk.go(id))
              .when(() -> desk.folder().isPresent()));
    }
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
            () -> {
              Theme.apply(!Theme.dark());
              desk.settings(s -> s.with("theme", Theme.dark() ? "dark" : "light"));
            }));
  }
}

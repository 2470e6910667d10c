package ringtrue.ui.setups;

import ringtrue.library.LibraryEntry;
import ringtrue.library.SetUp;

/**
 * A saved set-up as the table shows it; every text is ready.
 *
 * @param entry the saved one
 * @param differs what differs from the set-up at hand; empty where that was not asked
 */
record SavedRow(
    LibraryEntry entry,
    String title,
    String machine,
    String tool,
    String workpiece,
    String directions,
    String date,
    String outcomes,
    String differs) {

  static SavedRow of(LibraryEntry entry, String differs) {
    SetUp s = entry.setUp();
    String tool = s.text(SetUp.Field.TOOL);
    if (tool.isEmpty()) {
      tool = s.text(SetUp.Field.DIAMETER);
    }
    String out = s.text(SetUp.Field.STICKOUT);
    return new SavedRow(
        entry,
        line(s.title()),
        line(s.text(SetUp.Field.MACHINE)),
        line(tool + (out.isEmpty() || tool.isEmpty() ? "" : ", " + out + " out")),
        line(s.text(SetUp.Field.WORKPIECE)),
        entry.directions().isEmpty() ? "none" : entry.directions(),
        Dates.day(entry.lastDate()),
        outcomes(entry),
        differs);
  }

  private static String outcomes(LibraryEntry entry) {
    if (entry.quiet() + entry.chattered() == 0) {
      return "";
    }
    return entry.quiet() + " quiet, " + entry.chattered() + " chattered";
  }

  private static String line(String text) {
    return text.indexOf('\n') < 0 ? text : text.replaceAll("\\s+", " ");
  }

  String id() {
    return entry.setUp().id();
  }
}

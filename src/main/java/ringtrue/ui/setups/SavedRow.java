package ringtrue.ui.setups;

import java.util.ArrayList;
import java.util.List;
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
    boolean named = s.said().containsKey(SetUp.Field.NAME);
    String tool = s.text(SetUp.Field.TOOL);
    String workpiece = s.text(SetUp.Field.WORKPIECE);
    String title = named ? s.title() : tool.isEmpty() ? workpiece : tool;
    List<String> facts = new ArrayList<>();
    facts.add(named ? tool : "");
    facts.add(s.text(SetUp.Field.DIAMETER));
    String flutes = s.text(SetUp.Field.FLUTES);
    facts.add(flutes.isEmpty() ? "" : flutes + (flutes.equals("1") ? " flute" : " flutes"));
    String out = s.text(SetUp.Field.STICKOUT);
    facts.add(out.isEmpty() ? "" : out + " out");
    facts.removeIf(String::isEmpty);
    return new SavedRow(
        entry,
        line(title),
        line(s.text(SetUp.Field.MACHINE)),
        line(String.join(", ", facts)),
        line(workpiece),
        entry.directions().isEmpty() ? "none" : entry.directions(),
        Dates.day(entry.lastDate()),
        outcomes(entry),
        differs);
  }

  /** What tells it from others. */
  List<String> words() {
    return List.of(title, machine, tool, workpiece, date);
  }

  /** The same with the time of day. */
  SavedRow withTime() {
    return new SavedRow(
        entry,
        title,
        machine,
        tool,
        workpiece,
        directions,
        Dates.minute(entry.lastDate()),
        outcomes,
        differs);
  }

  /** The same with a number behind its name; the first goes without. */
  SavedRow numbered(int number) {
    return number == 1
        ? this
        : new SavedRow(
            entry,
            title + " (" + number + ")",
            machine,
            tool,
            workpiece,
            directions,
            date,
            outcomes,
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

package ringtrue.cli;

import java.util.EnumMap;
import java.util.Map;
import picocli.CommandLine.Option;
import ringtrue.library.SetUp.Field;

/** What is clamped where, as options. */
final class SetUpOptions {
  private final Map<Field, String> said = new EnumMap<>(Field.class);

  Map<Field, String> said() {
    return said;
  }

  private void say(Field field, String text) {
    said.put(field, text);
  }

  @Option(names = "--name", paramLabel = "TEXT", description = "what the set-up is called")
  void name(String text) {
    say(Field.NAME, text);
  }

  @Option(names = "--machine", paramLabel = "TEXT", description = "the machine")
  void machine(String text) {
    say(Field.MACHINE, text);
  }

  @Option(names = "--spindle", paramLabel = "TEXT", description = "the spindle")
  void spindle(String text) {
    say(Field.SPINDLE, text);
  }

  @Option(names = "--holder", paramLabel = "TEXT", description = "the tool holder")
  void holder(String text) {
    say(Field.HOLDER, text);
  }

  @Option(names = "--collet", paramLabel = "TEXT", description = "the collet")
  void collet(String text) {
    say(Field.COLLET, text);
  }

  @Option(
      names = "--tightening",
      paramLabel = "TEXT",
      description = "how it was tightened, like \"40 N m, wrench 2\"")
  void tightening(String text) {
    say(Field.TIGHTENING, text);
  }

  @Option(names = "--tool", paramLabel = "TEXT", description = "the tool")
  void tool(String text) {
    say(Field.TOOL, text);
  }

  @Option(names = "--diameter", paramLabel = "LENGTH", description = "the tool's diameter")
  void diameter(String text) {
    say(Field.DIAMETER, text);
  }

  @Option(names = "--flutes", paramLabel = "N", description = "how many flutes it has")
  void flutes(String text) {
    say(Field.FLUTES, text);
  }

  @Option(
      names = "--stick-out",
      paramLabel = "LENGTH",
      description = "how far it stands out of the holder, like \"22 mm\"")
  void stickout(String text) {
    say(Field.STICKOUT, text);
  }

  @Option(names = "--flute-length", paramLabel = "LENGTH", description = "how long its flutes are")
  void fluteLength(String text) {
    say(Field.FLUTE_LENGTH, text);
  }

  @Option(names = "--workpiece", paramLabel = "TEXT", description = "the workpiece")
  void workpiece(String text) {
    say(Field.WORKPIECE, text);
  }

  @Option(names = "--fixture", paramLabel = "TEXT", description = "what holds the workpiece")
  void fixture(String text) {
    say(Field.FIXTURE, text);
  }

  @Option(names = "--notes", paramLabel = "TEXT", description = "notes on the set-up")
  void notes(String text) {
    say(Field.NOTES, text);
  }
}

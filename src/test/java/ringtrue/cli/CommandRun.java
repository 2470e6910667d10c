package ringtrue.cli;

import java.io.PrintWriter;
import java.io.StringWriter;

/** One run of the program inside the test's own process. */
record CommandRun(int code, String out, String err) {
  static CommandRun of(String... args) {
    StringWriter out = new StringWriter();
    StringWriter err = new StringWriter();
    int code = Ringtrue.run(new PrintWriter(out), new PrintWriter(err), args);
    return new CommandRun(code, out.toString(), err.toString());
  }
}

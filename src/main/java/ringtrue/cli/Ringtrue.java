package ringtrue.cli;

import java.io.PrintWriter;
import java.nio.charset.StandardCharsets;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.concurrent.Callable;
import java.util.concurrent.CancellationException;
import java.util.function.Supplier;
import picocli.CommandLine;
import picocli.CommandLine.Model.CommandSpec;
import ringtrue.ui.shell.RingtrueWindow;
import ringtrue.units.BadInputException;
import ringtrue.units.Names;

/**
 * The program: finds the command, runs it, and turns whatever goes wrong into one line and an exit
 * code: 0 done, 2 bad usage or bad input, 1 a fault of the program itself.
 *
 * <p>Only the command that is asked for is built with all its options, so that help stays quick.
 */
public final class Ringtrue {
  static final int DONE = 0;
  static final int FAULT = 1;
  static final int BAD_INPUT = 2;

  private record Entry(String words, Supplier<Callable<Integer>> command) {}

  private static final Map<String, Entry> COMMANDS = new LinkedHashMap<>();

  static {
    add("demo", "run the whole job on the bundled demo measurements", DemoCommand::new);
    add("inputs", "sound inputs with their rates, channels and depths", InputsCommand::new);
    add("tap", "record taps at the machine and judge each as it comes", TapCommand::new);
    add("frf", "averaged frequency response with coherence and error", FrfCommand::new);
    add("modes", "natural frequencies, damping and stiffness with uncertainty", ModesCommand::new);
    add(
        "calibrate",
        "hammer and sensor by a hanging mass; full scale and skew of an input",
        CalibrateCommand::new);
    add("lobes", "stability lobes of a cut", LobesCommand::new);
    add("simulate", "a cut in time: motion, forces, surface and sound", SimulateCommand::new);
    add("listen", "read the sound of a real cut: speed, tooth lines, chatter", ListenCommand::new);
    add("plan", "every limit that a cut meets, and better cuts", PlanCommand::new);
    add("library", "saved set-ups, their history and what cuts did", LibraryCommand::new);
    add("report", "a page to keep with the job, as HTML and PDF", ReportCommand::new);
  }

  private static void add(String name, String words, Supplier<Callable<Integer>> command) {
    COMMANDS.put(name, new Entry(words, command));
  }

  private Ringtrue() {}

  /**
   * Opens the window where there is no command and a display; otherwise runs the command and ends
   * the process with its exit code.
   */
  public static void main(String[] args) {
    if (args.length == 0 && RingtrueWindow.possible()) {
      RingtrueWindow.open(List.of(), version());
      return;
    }
    System.setProperty("java.awt.headless", System.getProperty("java.awt.headless", "true"));
    PrintWriter out = new PrintWriter(System.out, false, StandardCharsets.UTF_8);
    PrintWriter err = new PrintWriter(System.err, true, StandardCharsets.UTF_8);
    int code = run(out, err, args);
    out.flush();
    err.flush();
    if (out.checkError() && code == DONE) {
      code = FAULT;
    }
    System.exit(code);
  }

  /**
   * Runs one command.
   *
   * @param out where results go
   * @param err where remarks, progress and complaints go
   * @param args command and options
   * @return exit code
   */
  public static int run(PrintWriter out, PrintWriter err, String... args) {
    CommandLine line = commandLine(args);
    line.setOut(out);
    line.setErr(err);
    line.setParameterExceptionHandler((e, given) -> complain(err, usage(e)));
    line.setExecutionExceptionHandler((e, used, parsed) -> failed(err, e));
    int code;
    try {
      code = line.execute(args);
    } catch (OutOfMemoryError e) {
      err.println(
          "ringtrue: not enough memory for this; give Java more with -Xmx4g, or use a shorter"
              + " recording or block");
      code = FAULT;
    } catch (StackOverflowError | AssertionError | LinkageError e) {
      code = fault(err, e);
    }
    out.flush();
    err.flush();
    return code;
  }

  private static CommandLine commandLine(String[] args) {
    CommandSpec top = CommandSpec.create().name("ringtrue");
    top.mixinStandardHelpOptions(true);
    top.versionProvider(() -> new String[] {"ringtrue " + version()});
    top.usageMessage()
        .description(
            "From hammer taps on a machine tool to frequency response, modes, stability lobes and a"
                + " cut plan.")
        .footer(
            "",
            "Cautions: tap only with the spindle stopped and locked out, edges covered, eyes protected.",
            "Results are estimates; local codes and licensed practice come first.",
            "",
            "ringtrue COMMAND --help tells more about a command.");
    String wanted = Arrays.stream(args).filter(a -> !a.startsWith("-")).findFirst().orElse("");
    COMMANDS.forEach(
        (name, entry) -> {
          if (name.equals(wanted)) {
            top.addSubcommand(name, new CommandLine(entry.command.get()));
          } else {
            CommandSpec brief = CommandSpec.create();
            brief.usageMessage().description(entry.words);
            top.addSubcommand(name, brief);
          }
        });
    CommandLine line = new CommandLine(top);
    line.setExecutionStrategy(
        parsed -> {
          Integer help = CommandLine.executeHelpRequest(parsed);
          if (help != null) {
            return help;
          }
          if (!parsed.hasSubcommand()) {
            line.usage(line.getOut());
            return DONE;
          }
          return new CommandLine.RunLast().execute(parsed);
        });
    return line;
  }

  static String version() {
    String version = Ringtrue.class.getPackage().getImplementationVersion();
    return version == null ? "(not packaged)" : version;
  }

  private static String usage(CommandLine.ParameterException e) {
    if (e instanceof CommandLine.UnmatchedArgumentException unmatched
        && !unmatched.getUnmatched().isEmpty()) {
      String word = unmatched.getUnmatched().get(0);
      CommandSpec spec = e.getCommandLine().getCommandSpec();
      if (spec.parent() == null && !word.startsWith("-")) {
        return "\""
            + word
            + "\" is not a command; "
            + Names.closest(word, COMMANDS.keySet()).map(n -> "did you mean " + n + "? ").orElse("")
            + "Commands: "
            + String.join(", ", COMMANDS.keySet());
      }
      return word.startsWith("-")
          ? "unknown option "
              + word
              + Names.closest(word, spec.optionsMap().keySet())
                  .map(n -> "; did you mean " + n + "?")
                  .orElse("; see --help")
          : "\"" + word + "\" is one argument too many; see --help";
    }
    return e.getMessage()
        .replace("is not an int", "is not a whole number")
        .replace("is not a double", "is not a number");
  }

  private static int failed(PrintWriter err, Exception e) {
    Throwable cause = e;
    while (cause != null && !(cause instanceof BadInputException)) {
      cause = cause.getCause();
    }
    if (cause != null) {
      return complain(err, cause.getMessage());
    }
    if (e instanceof CancellationException) {
      return complain(err, "stopped");
    }
    return fault(err, e);
  }

  private static int fault(PrintWriter err, Throwable e) {
    err.println(
        "ringtrue: a fault of the program, not of your input: "
            + e.getClass().getSimpleName()
            + (e.getMessage() == null ? "" : ": " + e.getMessage().replaceAll("\\s+", " ")));
    if (System.getenv("RINGTRUE_TRACE") != null) {
      e.printStackTrace(err);
    }
    return FAULT;
  }

  private static int complain(PrintWriter err, String message) {
    err.println("ringtrue: " + message.replaceAll("\\s*[\\r\\n]+\\s*", " "));
    return BAD_INPUT;
  }
}

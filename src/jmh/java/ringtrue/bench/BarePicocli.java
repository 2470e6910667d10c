package ringtrue.bench;

import java.util.concurrent.Callable;
import picocli.CommandLine;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** The smallest useful picocli program: what {@code --help} of any such program costs. */
@Command(name = "bare", mixinStandardHelpOptions = true, version = "1", description = "does nothing")
public final class BarePicocli implements Callable<Integer> {
  @Parameters(arity = "0..1", description = "a file")
  private String file;

  @Option(names = "--json", description = "print JSON")
  private boolean json;

  private BarePicocli() {}

  @Override
  public Integer call() {
    return file == null && !json ? 0 : 1;
  }

  public static void main(String[] args) {
    System.exit(new CommandLine(new BarePicocli()).execute(args));
  }
}

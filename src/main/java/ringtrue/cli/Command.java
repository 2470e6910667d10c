package ringtrue.cli;

import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Locale;
import java.util.concurrent.Callable;
import java.util.function.Supplier;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Spec;
import ringtrue.library.SafeFile;
import ringtrue.report.LengthUnit;
import ringtrue.report.Picture;
import ringtrue.units.BadInputException;

/** What the commands have in common. */
abstract class Command implements Callable<Integer> {
  @Spec CommandSpec spec;

  @Option(
      names = {"-h", "--help"},
      usageHelp = true,
      description = "show this help")
  boolean help;

  @Option(names = "--json", description = "print one JSON object (SI units) and nothing else")
  boolean json;

  @Option(names = "--overwrite", description = "replace files that are there already")
  boolean overwrite;

  PrintWriter out() {
    return spec.commandLine().getOut();
  }

  PrintWriter err() {
    return spec.commandLine().getErr();
  }

  void say(String format, Object... values) {
    out().printf(Locale.ROOT, format + "%n", values);
  }

  /** Remarks belong to the reading of a result; beside JSON they go to standard error as well. */
  void remarks(List<String> remarks) {
    if (remarks.isEmpty()) {
      return;
    }
    PrintWriter to = json ? err() : out();
    if (!json) {
      to.println();
      to.println("Remarks");
    }
    for (String remark : remarks) {
      to.println((json ? "remark: " : "  - ") + remark);
    }
  }

  /** Refuses early what could not be written late. */
  void mayWrite(Path... files) {
    for (Path file : files) {
      if (file != null) {
        SafeFile.refuseExisting(file, overwrite);
        SafeFile.requireWritable(file);
      }
    }
  }

  /** Refuses an output whose name says something else than what will be in it. */
  static void requireEnding(String option, Path file, String... endings) {
    if (file == null || Files.isDirectory(file)) {
      return; // that a folder cannot be written to is said better later
    }
    String name = file.toString().toLowerCase(Locale.ROOT);
    for (String ending : endings) {
      if (name.endsWith(ending)) {
        return;
      }
    }
    throw new BadInputException(
        option + ": \"" + file + "\" must end in " + String.join(" or ", endings));
  }

  /** Refuses to write over what is read, whatever was said of overwriting. */
  static void requireOthers(Path input, Path... outputs) {
    for (Path output : outputs) {
      try {
        if (output != null && Files.exists(output) && Files.isSameFile(input, output)) {
          throw new BadInputException(output + ": is what is read; choose another name");
        }
      } catch (IOException e) {
        // what cannot be compared will be complained of when it is read
      }
    }
  }

  /**
   * Draws into a file, as vector graphics where its name ends in .svg or .pdf.
   *
   * @param file where to; null for nowhere
   * @param scale pixels for each one of the usual picture
   */
  void draw(Path file, Supplier<Picture> picture, double scale) {
    if (file != null) {
      SafeFile.write(file, overwrite, out -> picture.get().write(file, scale, out));
      wrote(file);
    }
  }

  void wrote(Path file) {
    if (!json) {
      say("wrote %s", file);
    }
  }

  static LengthUnit lengthUnit(String said) {
    return switch (said.trim().toLowerCase(Locale.ROOT)) {
      case "mm", "metric" -> LengthUnit.MILLIMETRE;
      case "in", "inch", "inches" -> LengthUnit.INCH;
      default -> throw new BadInputException("--units: \"" + said + "\" must be mm or in");
    };
  }
}

package ringtrue.library;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.ResponseForm;
import ringtrue.units.BadInputException;
import ringtrue.units.Dimension;
import ringtrue.units.Quantity;

/**
 * Reads frequency responses from universal files, dataset 58 as text or binary (58b): motion over
 * force, complex, over frequency. Displacement, velocity or acceleration becomes a receptance in
 * m/N; a response or force that points the other way (−x) turns the sign.
 *
 * <p>Units come from the labels of the axes where they are units, else from dataset 164, else they
 * are taken as SI; what was done is said in the response's remarks. A coherence (function type 6)
 * of the same places and lines is taken along.
 */
public final class Dataset58 {
  private static final double MOST_HZ = 1e7;
  private static final double MOST_M_PER_N = 1e3;
  private static final int DISPLACEMENT = 8;
  private static final int VELOCITY = 11;
  private static final int ACCELERATION = 12;
  private static final int FREQUENCY = 18;
  private static final int LISTED = 6;

  /** What the writer of this program says in title 4. */
  private static final Pattern OWN =
      Pattern.compile(
          "averages (\\d{1,7}), window (none|[-+.0-9eE]{1,30} s), usable ([-+.0-9eE]{1,30}) to"
              + " ([-+.0-9eE]{1,30}) Hz");

  private Dataset58() {}

  /** Whether a file's name is that of a universal file: .unv, .uff or .uf58. */
  public static boolean isNameOf(Path file) {
    return file.toString().toLowerCase(Locale.ROOT).matches("(?s).*\\.(unv|uff|uf58|u58)");
  }

  /**
   * Which response of a file is wanted.
   *
   * @param function its number among all functions of the file, from 1
   * @param axis direction: {@code "x"}, {@code "y"}, {@code "z"}, or two for a cross response
   */
  public record Wanted(Optional<Integer> function, Optional<String> axis) {
    /** The only one there is. */
    public static final Wanted ONLY = new Wanted(Optional.empty(), Optional.empty());

    /** One along an axis. */
    public static Wanted along(String axis) {
      return new Wanted(Optional.empty(), Optional.of(axis));
    }

    /** One by its number. */
    public static Wanted number(int function) {
      return new Wanted(Optional.of(function), Optional.empty());
    }
  }

  /**
   * Reads a response.
   *
   * @throws BadInputException if the file holds none that fits, or several; names what is in it
   */
  public static FrequencyResponse read(Path path, Wanted wanted) {
    UniversalFile file = UniversalFile.open(path);
    Map<Integer, String> reasons = new TreeMap<>();
    List<UniversalFunction> usable = new ArrayList<>();
    for (UniversalFunction f : file.functions()) {
      Optional<String> why = unusable(f);
      if (why.isPresent()) {
        reasons.put(f.number(), why.get());
      } else {
        usable.add(f);
      }
    }
    UniversalFunction chosen = choose(file, usable, reasons, wanted);
    return new Conversion(file, chosen, usable.size()).response(wanted.axis());
  }

  private static Optional<String> unusable(UniversalFunction f) {
    if (f.kind() != UniversalFunction.FREQUENCY_RESPONSE) {
      return Optional.of("is a " + f.kindWords() + ", no frequency response");
    }
    if (!f.complex()) {
      return Optional.of("holds real values only; a response needs real and imaginary part");
    }
    if (f.response().rotation() || f.loadCase() == 0 && f.reference().rotation()) {
      return Optional.of("is of a rotation or a moment");
    }
    if (f.abscissa().type() > 1 && f.abscissa().type() != FREQUENCY) {
      return Optional.of("is not over frequency");
    }
    int type = f.denominator().type();
    if (type > 1 && type != 9 && type != 13) {
      return Optional.of("is not per force");
    }
    return f.values() < 2 ? Optional.of("has one value only") : Optional.empty();
  }

  private static UniversalFunction choose(
      UniversalFile file,
      List<UniversalFunction> usable,
      Map<Integer, String> reasons,
      Wanted wanted) {
    String name = file.name();
    if (wanted.function().isPresent()) {
      int number = wanted.function().get();
      for (UniversalFunction f : usable) {
        if (f.number() == number) {
          return f;
        }
      }
      throw new BadInputException(
          name
              + ": function "
              + number
              + " "
              + reasons.getOrDefault(number, "is not in the file")
              + "; "
              + usableWords(usable));
    }
    if (usable.isEmpty()) {
      throw new BadInputException(name + ": " + contents(file, reasons));
    }
    if (usable.size() == 1) {
      return usable.get(0);
    }
    List<UniversalFunction> fitting = usable;
    if (wanted.axis().isPresent()) {
      String axis = wanted.axis().get();
      fitting = usable.stream().filter(f -> fits(f, axis)).toList();
      if (fitting.isEmpty()) {
        throw new BadInputException(
            name
                + ": holds "
                + usable.size()
                + " frequency responses, none along "
                + axis
                + ": "
                + list(usable)
                + "; say which with its number as \"function\"");
      }
      if (fitting.size() > 1) {
        List<UniversalFunction> driving =
            fitting.stream().filter(f -> f.response().node() == f.reference().node()).toList();
        fitting = driving.size() == 1 ? driving : fitting;
      }
    }
    if (fitting.size() == 1) {
      return fitting.get(0);
    }
    throw new BadInputException(
        name
            + ": holds "
            + fitting.size()
            + " frequency responses"
            + wanted.axis().map(a -> " along " + a).orElse("")
            + ": "
            + list(fitting)
            + "; say which with its number as \"function\"");
  }

  private static String usableWords(List<UniversalFunction> usable) {
    return usable.isEmpty()
        ? "no function of the file can be used"
        : "responses that can be used: " + list(usable);
  }

  private static String list(List<UniversalFunction> functions) {
    List<String> shown =
        functions.stream().limit(LISTED).map(UniversalFunction::description).toList();
    int more = functions.size() - shown.size();
    return String.join(", ", shown) + (more > 0 ? " and " + more + " more" : "");
  }

  private static String contents(UniversalFile file, Map<Integer, String> reasons) {
    List<String> all = new ArrayList<>();
    int listed = 0;
    for (Map.Entry<Integer, String> reason : reasons.entrySet()) {
      if (listed++ == LISTED) {
        all.add("and " + (reasons.size() - LISTED) + " more");
        break;
      }
      all.add("function " + reason.getKey() + " " + reason.getValue());
    }
    int listedOthers = 0;
    for (Map.Entry<String, Integer> other : file.others().entrySet()) {
      if (listedOthers++ < LISTED) {
        all.add(
            counted(other.getValue(), "dataset " + other.getKey(), "datasets " + other.getKey()));
      }
    }
    return "holds no frequency response that can be used"
        + (all.isEmpty() ? "; it holds no functions" : ": " + String.join(", ", all));
  }

  private static String counted(int count, String one, String several) {
    return count + " " + (count == 1 ? one : several);
  }

  private static boolean fits(UniversalFunction f, String axis) {
    String own = axis(f);
    String swapped = new StringBuilder(own).reverse().toString();
    return own.equals(axis) || swapped.equals(axis);
  }

  /** One letter along, two across, none if nothing is said. */
  private static String axis(UniversalFunction f) {
    String response = f.response().axis();
    String reference = f.loadCase() == 0 ? f.reference().axis() : "";
    return reference.isEmpty() || reference.equals(response) ? response : response + reference;
  }

  /** One function on its way to a receptance in SI. */
  private static final class Conversion {
    private final UniversalFile file;
    private final UniversalFunction f;
    private final int usable;
    private final List<String> remarks = new ArrayList<>();
    private ResponseForm form = ResponseForm.RECEPTANCE;
    private double factor;

    Conversion(UniversalFile file, UniversalFunction f, int usable) {
      this.file = file;
      this.f = f;
      this.usable = usable;
    }

    private BadInputException bad(String what) {
      return new BadInputException(
          file.name() + ": line " + f.line() + ", function " + f.number() + ": " + what);
    }

    FrequencyResponse response(Optional<String> wanted) {
      if (usable > 1) {
        remarks.add(
            "Function "
                + f.number()
                + " of "
                + file.name()
                + ", which holds "
                + usable
                + " responses.");
      }
      units();
      boolean turned =
          f.response().direction() < 0 ^ (f.loadCase() == 0 && f.reference().direction() < 0);
      factor = turned ? -factor : factor;
      String axis = axis(f);
      if (wanted.isPresent() && !axis.isEmpty() && !fits(f, wanted.get())) {
        remarks.add(
            "Used along "
                + wanted.get()
                + ", but the file says that it was measured along "
                + axis
                + ".");
      }
      if (f.loadCase() == 0
          && f.reference().node() != 0
          && f.response().node() != f.reference().node()) {
        remarks.add(
            "Response at node "
                + f.response().node()
                + ", force at node "
                + f.reference().node()
                + ": stiffness is that of the tip only if both are there.");
      }
      Matcher own = OWN.matcher(f.titles().get(3));
      boolean ours = own.matches();
      double timeConstant = ours ? timeConstant(own.group(2)) : Double.POSITIVE_INFINITY;
      double[][] columns = columns(timeConstant);
      double[] coherence = coherence(columns[0], columns[3]);
      int averages = ours ? Math.max(1, Integer.parseInt(own.group(1))) : 1;
      double low = columns[0][0];
      double high = columns[0][columns[0].length - 1];
      if (ours) {
        double said = FortranFields.number(own.group(3));
        double saidHigh = FortranFields.number(own.group(4));
        if (said >= 0 && saidHigh >= said) {
          low = said;
          high = saidHigh;
        }
      }
      String title = f.titles().get(4);
      String point = f.titles().get(1);
      return new FrequencyResponse(
          columns[0],
          columns[1],
          columns[2],
          coherence,
          errors(coherence, averages),
          new FrequencyResponse.Origin(
              axis.isEmpty() && ours && title.startsWith("axis ") ? title.substring(5) : axis,
              ours || f.response().node() == 0
                  ? (ours ? point : "")
                  : "node " + f.response().node(),
              averages,
              timeConstant,
              low,
              high,
              f.titles().get(0).isEmpty() ? file.name() : f.titles().get(0),
              remarks));
    }

    private double timeConstant(String text) {
      double tau =
          text.equals("none")
              ? Double.POSITIVE_INFINITY
              : FortranFields.number(text.substring(0, text.length() - 2));
      if (!(tau > 1e-9)) {
        throw bad("window: \"" + text + "\" must be \"none\" or like \"0.02 s\"");
      }
      return tau;
    }

    /** Random error of the magnitude after Bendat and Piersol (2010), eq. 9.71. */
    private static double[] errors(double[] coherence, int averages) {
      if (coherence == null || averages < 2) {
        return null;
      }
      double[] errors = new double[coherence.length];
      for (int i = 0; i < errors.length; i++) {
        double c = coherence[i];
        errors[i] =
            c > 0 ? Math.sqrt(Math.max(0, 1 - c)) / Math.sqrt(c * 2.0 * averages) : Double.NaN;
        errors[i] = errors[i] < 1e9 ? errors[i] : Double.NaN;
      }
      return errors;
    }

    // Units ---------------------------------------------------------------------------------------

    /** Finds the form and the factor that makes SI of it. */
    private void units() {
      String top = f.numerator().unit();
      String bottom = f.denominator().unit();
      ResponseForm typed =
          switch (f.numerator().type()) {
            case DISPLACEMENT -> ResponseForm.RECEPTANCE;
            case VELOCITY -> ResponseForm.MOBILITY;
            case ACCELERATION -> ResponseForm.ACCELERANCE;
            default -> null;
          };
      Map<ResponseForm, Double> labelled = labelled(top, bottom);
      if (typed == null && labelled.size() != 1) {
        throw bad(
            "does not say whether the response is a displacement, a velocity or an acceleration");
      }
      form = typed == null ? labelled.keySet().iterator().next() : typed;
      double bySystem = bySystem();
      Double byLabel = labelled.get(form);
      if (byLabel == null) {
        if (!top.isEmpty() || !bottom.isEmpty()) {
          remarks.add(
              "The unit \""
                  + top
                  + (bottom.isEmpty() ? "" : "/" + bottom)
                  + "\" was not understood; values were taken in "
                  + systemWords()
                  + ".");
        } else if (!f.units().said()) {
          remarks.add("The file names no units; values were taken in SI units.");
        }
        factor = bySystem;
        return;
      }
      factor = byLabel;
      if (f.units().said() && Math.abs(byLabel / bySystem - 1) > 1e-3) {
        remarks.add(
            "The unit of the values is taken from their label, \""
                + top
                + (bottom.isEmpty() ? "" : "/" + bottom)
                + "\"; dataset 164 of the file says otherwise: check the stiffness.");
      }
    }

    private String systemWords() {
      return f.units().said() ? "the units of dataset 164 (" + f.units().name() + ")" : "SI units";
    }

    private double bySystem() {
      return power(f.numerator(), f.response(), 1, 0) / power(f.denominator(), f.reference(), 0, 1);
    }

    /** What one unit of an axis is in SI; exponents that are given count for a scalar. */
    private double power(
        UniversalFunction.Axis axis, UniversalFunction.Place place, int length, int force) {
      boolean given = place.direction() == 0 && (axis.lengthPower() != 0 || axis.forcePower() != 0);
      return Math.pow(f.units().lengthM(), given ? axis.lengthPower() : length)
          * Math.pow(f.units().forceN(), given ? axis.forcePower() : force);
    }

    /** What the labels can mean: motion over force, or both in one. */
    private static Map<ResponseForm, Double> labelled(String top, String bottom) {
      Map<ResponseForm, Double> all = new LinkedHashMap<>();
      Dimension[] motions = {Dimension.LENGTH, Dimension.VELOCITY, Dimension.ACCELERATION};
      Dimension[] ratios = {Dimension.RECEPTANCE, Dimension.MOBILITY, Dimension.ACCELERANCE};
      for (ResponseForm form : ResponseForm.values()) {
        Optional<Double> ratio = unit(top, ratios[form.ordinal()]);
        Optional<Double> motion = unit(top, motions[form.ordinal()]);
        Optional<Double> force = unit(bottom, Dimension.FORCE);
        if (ratio.isPresent()) {
          all.put(form, ratio.get());
        } else if (motion.isPresent() && force.isPresent()) {
          all.put(form, motion.get() / force.get());
        }
      }
      return all;
    }

    private static Optional<Double> unit(String text, Dimension dimension) {
      try {
        String plain = text.replace("**", "^").replace("sec", "s");
        return plain.isEmpty()
            ? Optional.empty()
            : Optional.of(Quantity.parseUnit(plain, dimension));
      } catch (BadInputException e) {
        return Optional.empty(); // a label may be anything
      }
    }

    // Values --------------------------------------------------------------------------------------

    /** Frequency, real part, imaginary part, and which value of the file each line is. */
    private double[][] columns(double timeConstantS) {
      double[] numbers = file.numbers(f);
      int width = f.width();
      int n = f.values();
      double perHz = abscissaPerHz();
      double[][] columns = new double[4][n];
      int lines = 0;
      double[] value = new double[2];
      for (int i = 0; i < n; i++) {
        double hz = (f.even() ? f.first() + i * f.step() : numbers[i * width]) / perHz;
        if (lines == 0 && hz == 0) {
          continue; // no motion can be told from a force at 0 Hz
        }
        double before = lines == 0 ? 0 : columns[0][lines - 1];
        if (!(hz > before && hz <= MOST_HZ)) {
          throw bad(
              "frequencies must be positive and rise, value " + (i + 1) + " is at " + hz + " Hz");
        }
        value[0] = factor * numbers[i * width + width - 2];
        value[1] = factor * numbers[i * width + width - 1];
        form.toReceptance(hz, timeConstantS, value);
        if (!(Math.abs(value[0]) <= MOST_M_PER_N && Math.abs(value[1]) <= MOST_M_PER_N)) {
          throw bad(
              "value "
                  + (i + 1)
                  + " is a receptance of more than "
                  + MOST_M_PER_N
                  + " m/N, which no machine has; check the units");
        }
        columns[0][lines] = hz;
        columns[1][lines] = value[0];
        columns[2][lines] = value[1];
        columns[3][lines] = i;
        lines++;
      }
      if (lines < 2) {
        throw bad("has fewer than two values above 0 Hz");
      }
      for (int c = 0; c < columns.length; c++) {
        columns[c] = Arrays.copyOf(columns[c], lines);
      }
      return columns;
    }

    private double abscissaPerHz() {
      String unit = f.abscissa().unit();
      if (unit.isEmpty()) {
        return 1;
      }
      if (unit.replace(" ", "").matches("rad/s(ec)?")) {
        return 2 * Math.PI;
      }
      return unit(unit, Dimension.FREQUENCY).map(hz -> 1 / hz).orElse(1.0);
    }

    private double[] coherence(double[] hz, double[] index) {
      for (UniversalFunction c : file.functions()) {
        if (c.kind() == UniversalFunction.COHERENCE
            && !c.complex()
            && c.values() == f.values()
            && samePlaces(c)) {
          double[] numbers = file.numbers(c);
          double[] coherence = new double[hz.length];
          double perHz = abscissaPerHz();
          for (int i = 0; i < hz.length; i++) {
            int at = (int) index[i];
            double x = (c.even() ? c.first() + at * c.step() : numbers[2 * at]) / perHz;
            double value = numbers[at * c.width() + c.width() - 1];
            if (Math.abs(x - hz[i]) > 1e-5 * hz[i] || !(value >= -1e-5 && value <= 1 + 1e-4)) {
              remarks.add("A coherence in the file does not fit and was left out.");
              return null;
            }
            coherence[i] = Math.min(1, Math.max(0, value));
          }
          return coherence;
        }
      }
      return null;
    }

    private boolean samePlaces(UniversalFunction c) {
      return same(c.response(), f.response()) && same(c.reference(), f.reference())
          || same(c.response(), f.reference()) && same(c.reference(), f.response());
    }

    private static boolean same(UniversalFunction.Place a, UniversalFunction.Place b) {
      return a.node() == b.node() && Math.abs(a.direction()) == Math.abs(b.direction());
    }
  }
}

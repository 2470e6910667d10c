package ringtrue.stability;

import java.util.ArrayList;
import java.util.Iterator;
import java.util.List;
import java.util.Locale;
import java.util.function.DoubleUnaryOperator;
import org.apache.commons.math3.distribution.NormalDistribution;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Mode;
import ringtrue.dynamics.ModeTable;
import ringtrue.dynamics.OppositeMode;
import ringtrue.dynamics.Receptance;
import ringtrue.stability.InputSpread.ModeSigmas;
import ringtrue.units.BadInputException;

/**
 * The uncertain inputs of a cut, one column of a sample for each, and the cut that a row of the
 * sample stands for. Columns hold standardised values: mean 0, standard deviation 1.
 */
final class UncertainInputs {
  private static final double MOST_DAMPING = 0.99;
  private static final NormalDistribution NORMAL = new NormalDistribution(null, 0, 1);

  /** How a standardised column is spread. */
  enum Shape {
    UNIFORM,
    NORMAL
  }

  /**
   * One column.
   *
   * @param words what it is
   * @param shape how it is spread
   */
  record Input(String words, Shape shape) {

    /** From a probability to the standardised value that is not exceeded with it. */
    double standardised(double probability) {
      return shape == Shape.UNIFORM
          ? Math.sqrt(3) * (2 * probability - 1)
          : NORMAL.inverseCumulativeProbability(probability);
    }
  }

  /**
   * Columns of one mode; −1 where it is exact.
   *
   * @param frequencyHz natural frequency as given, by which a cross receptance finds its mode
   * @param dampingRatio damping ratio as given
   */
  private record Columns(
      double frequencyHz, double dampingRatio, int frequency, int damping, int stiffness) {}

  private final InputSpread spread;
  private final List<Input> inputs = new ArrayList<>();
  private final List<String> remarks = new ArrayList<>();
  private final List<Columns> x;
  private final List<Columns> y;
  private final List<Columns> xy;
  private final int coefficients;
  private final int shift;
  private boolean measured;
  private int modes;
  private int exactModes;

  UncertainInputs(CuttingProcess process, InputSpread spread) {
    this.spread = spread;
    this.coefficients =
        spread.coefficientRange() > 0 ? column("cutting coefficients", Shape.UNIFORM) : -1;
    this.x = columns("x", process.x(), List.of());
    this.y = columns("y", process.y(), List.of());
    List<Columns> direct = new ArrayList<>(x);
    direct.addAll(y);
    this.xy = columns("xy", process.xy(), direct);
    this.shift =
        spread.shiftSigma() > 0
            ? column("shift of the natural frequencies with speed", Shape.NORMAL)
            : -1;
    say(process);
  }

  private int column(String words, Shape shape) {
    inputs.add(new Input(words, shape));
    return inputs.size() - 1;
  }

  // What is uncertain ----------------------------------------------------------------------------

  private List<Columns> columns(String axis, List<Receptance> direction, List<Columns> known) {
    List<Columns> all = new ArrayList<>();
    for (Receptance one : direction) {
      if (one instanceof FrequencyResponse) {
        measured = true;
      }
      List<List<Mode>> rows = rows(one); // the same modes, at each speed of a table
      for (int i = 0; i < rows.get(0).size(); i++) {
        int number = i;
        List<Mode> mode = rows.stream().map(row -> row.get(number)).toList();
        all.add(columns(axis, all.size() + 1, mode, known));
      }
    }
    return all;
  }

  private static List<List<Mode>> rows(Receptance one) {
    if (one instanceof Mode mode) {
      return List.of(List.of(mode));
    } else if (one instanceof OppositeMode opposite) {
      return List.of(List.of(opposite.mode()));
    } else if (one instanceof ModalModel model) {
      return List.of(model.modes());
    } else if (one instanceof ModeTable table) {
      return table.rows().stream().map(row -> row.model().modes()).toList();
    }
    return List.of(List.of());
  }

  /** A mode of a cross receptance is the mode of x or y with its frequency and damping. */
  private Columns columns(String axis, int number, List<Mode> mode, List<Columns> known) {
    Mode first = mode.get(0);
    for (Columns other : known) {
      if (near(other.frequencyHz, first.frequencyHz())
          && near(other.dampingRatio, first.dampingRatio())) {
        return other;
      }
    }
    modes++;
    double rounded = Math.rint(10 * first.frequencyHz()) / 10;
    String which = " of mode " + number + " in " + axis + " (" + Plain.number(rounded) + " Hz)";
    boolean frequency = false;
    boolean damping = false;
    boolean stiffness = false;
    for (Mode row : mode) {
      double sigma = frequencySigma(row);
      if (!(sigma < InputSpread.MOST_FREQUENCY_SIGMA * row.frequencyHz())) {
        throw new BadInputException(
            String.format(
                Locale.ROOT,
                "sigma of the natural frequency%s must be below a fifth of it, was %s Hz",
                which,
                Plain.number(sigma)));
      }
      frequency |= sigma > 0;
      damping |= dampingSigma(row) > 0;
      stiffness |= stiffnessSigma(row) > 0;
    }
    if (!frequency && !damping && !stiffness) {
      exactModes++;
    }
    return new Columns(
        first.frequencyHz(),
        first.dampingRatio(),
        frequency ? column("frequency" + which, Shape.NORMAL) : -1,
        damping ? column("damping" + which, Shape.NORMAL) : -1,
        stiffness ? column("stiffness" + which, Shape.NORMAL) : -1);
  }

  private static boolean near(double a, double b) {
    return Math.abs(a - b) <= 1e-9 * Math.abs(b);
  }

  private double frequencySigma(Mode m) {
    return sigma(m.frequencyHzSigma(), spread.otherwise().frequency(), m.frequencyHz());
  }

  private double dampingSigma(Mode m) {
    return sigma(m.dampingRatioSigma(), spread.otherwise().damping(), m.dampingRatio());
  }

  private double stiffnessSigma(Mode m) {
    return sigma(m.stiffnessNPerMSigma(), spread.otherwise().stiffness(), m.stiffnessNPerM());
  }

  private double sigma(double own, double otherwise, double value) {
    if (!spread.modes()) {
      return 0;
    }
    return Double.isNaN(own) ? otherwise * value : own;
  }

  private void say(CuttingProcess process) {
    if (inputs.isEmpty()) {
      remarks.add(
          "nothing is given as uncertain: the probabilities are those of the map itself, 0 or 1");
    } else {
      String range =
          coefficients < 0
              ? "cutting coefficients as exact"
              : "cutting coefficients within "
                  + Plain.few(100 * spread.coefficientRange())
                  + " % either way, evenly";
      String ofModes =
          modes == 0
              ? ""
              : exactModes == 0
                  ? ", all modes by their sigmas" + assumed()
                  : exactModes == modes
                      ? ", modes as exact"
                      : ", "
                          + (modes - exactModes)
                          + " of "
                          + modes
                          + " modes by their sigmas"
                          + assumed()
                          + ", the others as exact";
      String ofShift =
          shift < 0
              ? ""
              : ", natural frequencies shifting with the speed by a sigma of "
                  + Plain.few(100 * spread.shiftSigma())
                  + " % at "
                  + Plain.number(spread.maxSpeedRpm())
                  + " rpm";
      remarks.add(
          "the probabilities show only what is given as uncertain: " + range + ofModes + ofShift);
    }
    if (process.processDampingNPerM() > 0 && !inputs.isEmpty()) {
      remarks.add("process damping counts as exact in the probabilities");
    }
    if (measured) {
      remarks.add(
          "measured responses count as exact in the probabilities: their random error is not drawn");
    }
  }

  private String assumed() {
    return spread.otherwise().equals(ModeSigmas.NONE) ? "" : " (assumed where a mode has none)";
  }

  /** The columns. */
  List<Input> inputs() {
    return inputs;
  }

  /** What a reader of the probabilities should know about their inputs. */
  List<String> remarks() {
    return remarks;
  }

  // What a row stands for ------------------------------------------------------------------------

  /**
   * The cut that a row stands for, without the shift with speed.
   *
   * @param process the cut as given, at one speed if it has tables of modes
   * @param row standardised values, one for each input
   */
  CuttingProcess drawn(CuttingProcess process, double[] row) {
    CuttingProcess drawn =
        process.withDynamics(
            drawn(process.x(), x, row), drawn(process.y(), y, row), drawn(process.xy(), xy, row));
    if (coefficients < 0) {
      return drawn;
    }
    double factor = 1 + spread.coefficientRange() * row[coefficients] / Math.sqrt(3);
    CuttingCoefficients c = process.coefficients();
    return drawn.with(
        new CuttingCoefficients(
            factor * c.ktcPa(),
            factor * c.krcPa(),
            factor * c.kteNPerM(),
            factor * c.kreNPerM(),
            c.relativeRange()));
  }

  /**
   * The speed at which the unshifted structure chatters as the shifted one does at a speed. With
   * all natural frequencies times c, stiffnesses and damping ratios kept, G(f) becomes G(f/c):
   * everything happens c times as fast, and the cut at n is the unshifted cut at n/c in another
   * unit of time. (Cutting forces, and process damping by v/V, know no time of their own.)
   */
  double unshiftedRpm(double rpm, double[] row) {
    return shift < 0
        ? rpm
        : rpm / (1 + spread.shiftSigma() * row[shift] * Math.min(1, rpm / spread.maxSpeedRpm()));
  }

  private List<Receptance> drawn(List<Receptance> direction, List<Columns> columns, double[] row) {
    Iterator<Columns> next = columns.iterator();
    return direction.stream().map(one -> drawn(one, next, row)).toList();
  }

  private Receptance drawn(Receptance one, Iterator<Columns> next, double[] row) {
    if (one instanceof Mode mode) {
      return drawn(mode, next.next(), row);
    } else if (one instanceof OppositeMode opposite) {
      return new OppositeMode(drawn(opposite.mode(), next.next(), row));
    } else if (one instanceof ModalModel model) {
      return new ModalModel(
          model.modes().stream().map(mode -> drawn(mode, next.next(), row)).toList(),
          model.residual());
    } else if (one instanceof ModeTable) {
      throw new IllegalArgumentException("tables of modes must be read at a speed first");
    }
    return one;
  }

  private Mode drawn(Mode m, Columns columns, double[] row) {
    DoubleUnaryOperator at = column -> column < 0 ? 0 : row[(int) column];
    return Mode.of(
        m.frequencyHz() + frequencySigma(m) * at.applyAsDouble(columns.frequency),
        Math.min(
            MOST_DAMPING,
            lognormal(m.dampingRatio(), dampingSigma(m), at.applyAsDouble(columns.damping))),
        lognormal(m.stiffnessNPerM(), stiffnessSigma(m), at.applyAsDouble(columns.stiffness)));
  }

  /** A lognormal value with this median and standard deviation. */
  private static double lognormal(double median, double sigma, double standardised) {
    return median * Math.exp(logSigma(sigma / median) * standardised);
  }

  /**
   * Sigma s of the logarithm of a lognormal value whose standard deviation is a given part of its
   * median: {@code e^(s²) (e^(s²) − 1) = part²}.
   */
  static double logSigma(double part) {
    return Math.sqrt(Math.log1p(0.5 * (Math.sqrt(1 + 4 * part * part) - 1)));
  }
}

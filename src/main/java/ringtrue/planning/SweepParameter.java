package ringtrue.planning;

import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.function.ToDoubleFunction;
import ringtrue.stability.CuttingCoefficients;
import ringtrue.stability.CuttingProcess;
import ringtrue.stability.Engagement.Direction;
import ringtrue.stability.Tool;
import ringtrue.units.BadInputException;
import ringtrue.units.Dimension;
import ringtrue.units.Names;

/**
 * What of a cut can be varied on paper. What changes the structure (stick-out, diameter, flutes,
 * modes) is not here: it needs a new tap.
 */
public enum SweepParameter {
  SPEED("speed", Dimension.SPINDLE_SPEED, false, true, CuttingProcess::speedRpm) {
    @Override
    CuttingProcess in(CuttingProcess cut, double value) {
      return cut.atSpeed(value);
    }
  },
  AXIAL("axial", Dimension.LENGTH, false, false, c -> c.engagement().axialM()) {
    @Override
    CuttingProcess in(CuttingProcess cut, double value) {
      return cut.with(cut.engagement().withAxial(value));
    }
  },
  RADIAL("radial", Dimension.LENGTH, true, true, CutLimits::widthM) {
    @Override
    CuttingProcess in(CuttingProcess cut, double value) {
      Direction direction = cut.engagement().direction();
      if (direction != Direction.UP && direction != Direction.DOWN) {
        throw new BadInputException(
            "radial: this cut has no width to vary; give it the direction \"up\" or \"down\"");
      }
      double diameter = cut.tool().orElseThrow().diameterM();
      if (value > diameter * (1 + 1e-9)) {
        throw new BadInputException(
            "radial: no cut is wider than the tool, " + 1e3 * diameter + " mm");
      }
      return cut.with(cut.engagement().withRadial(Math.min(value, diameter), diameter));
    }
  },
  FEED_PER_TOOTH("feedPerTooth", Dimension.LENGTH, false, false, CuttingProcess::feedPerToothM) {
    @Override
    CuttingProcess in(CuttingProcess cut, double value) {
      return cut.withFeedPerTooth(value);
    }
  },
  HELIX(
      "helix",
      Dimension.ANGLE,
      true,
      true,
      c -> c.tool().map(t -> t.helixRad().get(0)).orElse(Double.NaN)) {
    @Override
    CuttingProcess in(CuttingProcess cut, double value) {
      if (!(Math.abs(value) <= Math.toRadians(80))) {
        throw new BadInputException("helix: must lie between -80 deg and 80 deg");
      }
      return OtherChanges.withHelix(cut, value);
    }
  },
  RUNOUT("runout", Dimension.LENGTH, true, false, c -> tool(c).runoutM()) {
    @Override
    CuttingProcess in(CuttingProcess cut, double value) {
      Tool t = tool(cut);
      if (value > t.diameterM() / 10) {
        throw new BadInputException("runout: no more than a tenth of the diameter makes sense");
      }
      return Cutters.with(
          cut,
          new Tool(
              t.diameterM(),
              t.helixRad(),
              t.pitchRad(),
              t.stickoutM(),
              t.fluteLengthM(),
              value,
              t.edgeRadiusM()));
    }
  },
  EDGE_RADIUS("edgeRadius", Dimension.LENGTH, true, false, c -> tool(c).edgeRadiusM()) {
    @Override
    CuttingProcess in(CuttingProcess cut, double value) {
      Tool t = tool(cut);
      return Cutters.with(
          cut,
          new Tool(
              t.diameterM(),
              t.helixRad(),
              t.pitchRad(),
              t.stickoutM(),
              t.fluteLengthM(),
              t.runoutM(),
              value));
    }
  },
  KTC("ktc", Dimension.PRESSURE, false, true, c -> c.coefficients().ktcPa()) {
    @Override
    CuttingProcess in(CuttingProcess cut, double value) {
      CuttingCoefficients c = cut.coefficients();
      return with(cut, value, c.krcPa(), c.kteNPerM(), c.kreNPerM());
    }
  },
  KRC("krc", Dimension.PRESSURE, false, true, c -> c.coefficients().krcPa()) {
    @Override
    CuttingProcess in(CuttingProcess cut, double value) {
      CuttingCoefficients c = cut.coefficients();
      return with(cut, c.ktcPa(), value, c.kteNPerM(), c.kreNPerM());
    }
  },
  KTE("kte", Dimension.FORCE_PER_LENGTH, false, false, c -> c.coefficients().kteNPerM()) {
    @Override
    CuttingProcess in(CuttingProcess cut, double value) {
      CuttingCoefficients c = cut.coefficients();
      return with(cut, c.ktcPa(), c.krcPa(), value, c.kreNPerM());
    }
  },
  KRE("kre", Dimension.FORCE_PER_LENGTH, false, false, c -> c.coefficients().kreNPerM()) {
    @Override
    CuttingProcess in(CuttingProcess cut, double value) {
      CuttingCoefficients c = cut.coefficients();
      return with(cut, c.ktcPa(), c.krcPa(), c.kteNPerM(), value);
    }
  },
  /** All four coefficients times the same factor: a harder batch, a dull edge. */
  FORCES("forces", Dimension.RATIO, false, true, c -> 1) {
    @Override
    CuttingProcess in(CuttingProcess cut, double value) {
      CuttingCoefficients c = cut.coefficients();
      return with(
          cut, value * c.ktcPa(), value * c.krcPa(), value * c.kteNPerM(), value * c.kreNPerM());
    }
  };

  private static final List<String> STRUCTURE =
      List.of("stickout", "diameter", "flutes", "pitch", "dynamics", "modes");

  private final String word;
  private final Dimension dimension;
  private final boolean millingOnly;
  private final boolean movesChatter;
  private final ToDoubleFunction<CuttingProcess> own;

  SweepParameter(
      String word,
      Dimension dimension,
      boolean millingOnly,
      boolean movesChatter,
      ToDoubleFunction<CuttingProcess> own) {
    this.word = word;
    this.dimension = dimension;
    this.millingOnly = millingOnly;
    this.movesChatter = movesChatter;
    this.own = own;
  }

  /** The name as users write it, that of the cut file. */
  public String word() {
    return word;
  }

  /** What its values are. */
  public Dimension dimension() {
    return dimension;
  }

  /** Whether the limiting depth depends on it. */
  boolean movesChatter() {
    return movesChatter;
  }

  /** Whether zero is a value of it. */
  public boolean zeroAllowed() {
    return this == RUNOUT || this == HELIX || this == KTE || this == KRE || this == KRC;
  }

  /** What the cut has, in SI (speed in rpm); NaN where not known. */
  public double of(CuttingProcess cut) {
    return own.applyAsDouble(cut);
  }

  /** The cut with this value in place of its own. */
  abstract CuttingProcess in(CuttingProcess cut, double value);

  /**
   * The parameter of a name.
   *
   * @throws BadInputException if there is none, or if it takes a new tap
   */
  public static SweepParameter of(String name) {
    Optional<SweepParameter> found =
        Arrays.stream(values()).filter(p -> p.word.equals(name)).findFirst();
    if (found.isPresent()) {
      return found.get();
    }
    List<String> words = Arrays.stream(values()).map(p -> p.word).toList();
    if (STRUCTURE.contains(name)) {
      throw new BadInputException(
          "\""
              + name
              + "\" changes how the structure vibrates: it needs a new tap with the tool as it will"
              + " be, not a sweep; one of: "
              + String.join(", ", words));
    }
    throw new BadInputException(
        "\""
            + name
            + "\" is not known; "
            + Names.closest(name, words).map(n -> "did you mean " + n + "? ").orElse("")
            + "one of: "
            + String.join(", ", words));
  }

  /** Refuses a parameter that a cut does not have. */
  void requireIn(CuttingProcess cut) {
    if (millingOnly && cut.tool().isEmpty()) {
      throw new BadInputException(word + ": belongs to milling, not to turning");
    }
    if (this == HELIX && !tool(cut).equalHelix()) {
      throw new BadInputException(
          "helix: the flutes have different helices; they do not vary as one");
    }
  }

  private static Tool tool(CuttingProcess cut) {
    return cut.tool().orElseThrow();
  }

  private static CuttingProcess with(
      CuttingProcess cut, double ktc, double krc, double kte, double kre) {
    return cut.with(
        new CuttingCoefficients(ktc, krc, kte, kre, cut.coefficients().relativeRange()));
  }
}

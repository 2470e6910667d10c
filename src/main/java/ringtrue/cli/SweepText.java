package ringtrue.cli;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import ringtrue.dynamics.Progress;
import ringtrue.library.Cut;
import ringtrue.library.ModalWay;
import ringtrue.planning.CutPlan;
import ringtrue.planning.PlanSettings;
import ringtrue.planning.Sweep;
import ringtrue.planning.SweepParameter;
import ringtrue.report.LengthUnit;
import ringtrue.report.SweepWords;
import ringtrue.units.BadInputException;
import ringtrue.units.Dimension;

/** What is asked for with {@code --sweep}, and how its result reads. */
final class SweepText {
  private SweepText() {}

  /** A parameter and its values, in SI (speed in rpm). */
  record Asked(SweepParameter parameter, List<Double> values) {

    Sweep of(Cut cut, PlanSettings settings, Progress progress) {
      try {
        return Sweep.of(
            cut.process(),
            cut.machine(),
            settings,
            ModalWay.judge(cut.process(), progress),
            parameter,
            values,
            progress);
      } catch (BadInputException e) {
        throw e.at("--sweep");
      }
    }
  }

  /** Reads {@code NAME=LO:HI:STEP}; a unit after the last number serves all three. */
  static Asked asked(String text) {
    int equals = text.indexOf('=');
    String[] parts = equals < 0 ? new String[0] : text.substring(equals + 1).split(":", -1);
    if (parts.length != 3) {
      throw new BadInputException(
          "--sweep: \""
              + text
              + "\" must be NAME=LO:HI:STEP, like \"speed=8000:24000:250\" or"
              + " \"axial=1:6:0.25 mm\"");
    }
    SweepParameter parameter;
    try {
      parameter = SweepParameter.of(text.substring(0, equals).trim());
    } catch (BadInputException e) {
      throw e.at("--sweep");
    }
    String unit = parts[2].trim().replaceFirst("^[-+0-9.eE]+", "").trim();
    double low = value(parts[0], unit, parameter.dimension());
    double high = value(parts[1], unit, parameter.dimension());
    double step = value(parts[2], unit, parameter.dimension());
    if (!(step > 0)) {
      throw new BadInputException("--sweep: \"" + text + "\" needs a step above zero");
    }
    if (high < low) {
      throw new BadInputException("--sweep: \"" + text + "\" must rise from LO to HI");
    }
    long steps = (long) Math.floor((high - low) / step * (1 + 1e-12) + 1e-9);
    if (steps >= Sweep.MOST_VALUES) {
      throw new BadInputException(
          "--sweep: \""
              + text
              + "\" is more than "
              + Sweep.MOST_VALUES
              + " values; take a larger step");
    }
    List<Double> values = new ArrayList<>();
    for (long i = 0; i <= steps; i++) {
      double value = low + i * step;
      // zero as such, not what rounding leaves of it
      values.add(Math.abs(value) < 1e-9 * step ? 0 : value);
    }
    return new Asked(parameter, values);
  }

  private static double value(String part, String unit, Dimension dimension) {
    String said = part.trim();
    boolean bare = said.matches("[-+0-9.eE]+");
    boolean plain = dimension == Dimension.SPINDLE_SPEED || dimension == Dimension.RATIO;
    if (bare && unit.isEmpty() && !plain) {
      throw new BadInputException(
          "--sweep: \""
              + said
              + "\" needs its unit, like \""
              + dimension.example()
              + "\"; one after the step will do for all three");
    }
    String otherwise = dimension == Dimension.SPINDLE_SPEED ? "rpm" : unit;
    if (bare && unit.isEmpty() && dimension == Dimension.RATIO) {
      return Options.number("--sweep", said, dimension, "");
    }
    return Options.number("--sweep", said, dimension, unit.isEmpty() ? otherwise : unit);
  }

  /** The table. */
  static List<String> lines(Sweep sweep, LengthUnit unit) {
    List<String> names = sweep.limitNames();
    Dimension dimension = sweep.parameter().dimension();
    List<String> all = new ArrayList<>();
    StringBuilder head =
        new StringBuilder(String.format(Locale.ROOT, "%16s", heading(sweep, unit)));
    names.forEach(n -> head.append(String.format(Locale.ROOT, "  %14s", brief(n))));
    all.add(head.append("  all").toString());
    for (Sweep.Row row : sweep.rows()) {
      StringBuilder line =
          new StringBuilder(
              String.format(Locale.ROOT, "%16s", SweepWords.number(row.value(), dimension, unit)));
      for (String name : names) {
        line.append(
            String.format(
                Locale.ROOT,
                "  %14s",
                row.limit(name)
                    .map(
                        l ->
                            String.format(
                                Locale.ROOT, "%.0f %%%s", 100 * l.share(), l.ok() ? " " : "!"))
                    .orElse("")));
      }
      all.add(line.append(row.inside() ? "  ok" : "  NO").toString());
    }
    all.add("");
    all.add(SweepWords.summary(sweep, unit));
    return all;
  }

  private static String brief(String name) {
    return name.equals("surface location error") ? "wall error" : name;
  }

  private static String heading(Sweep sweep, LengthUnit unit) {
    String symbol = SweepWords.unit(sweep.parameter().dimension(), unit);
    return sweep.parameter().word() + (symbol.isEmpty() ? "" : "," + symbol);
  }

  /** One row for each value; SI, units in the names of the columns. */
  static String toCsv(Sweep sweep) {
    List<String> names = sweep.limitNames();
    StringBuilder text = new StringBuilder(column(sweep.parameter()));
    for (String name : names) {
      String unit =
          sweep.rows().stream()
              .flatMap(r -> r.limit(name).stream())
              .findFirst()
              .map(CutPlan.Limit::unit)
              .orElse("");
      String plain = name.replace(' ', '_');
      String suffix = suffix(unit);
      text.append(',').append(plain).append(suffix);
      text.append(',').append(plain).append("_limit").append(suffix);
      text.append(',').append(plain).append("_share");
    }
    text.append(",inside\n");
    for (Sweep.Row row : sweep.rows()) {
      text.append(row.value());
      for (String name : names) {
        text.append(
            row.limit(name)
                .map(l -> "," + cell(l.value()) + "," + cell(l.limit()) + "," + cell(l.share()))
                .orElse(",,,"));
      }
      text.append(',').append(row.inside()).append('\n');
    }
    return text.toString();
  }

  private static String column(SweepParameter parameter) {
    String plain = parameter.word().replaceAll("([A-Z])", "_$1").toLowerCase(Locale.ROOT);
    return plain
        + switch (parameter.dimension()) {
          case SPINDLE_SPEED -> "_rpm";
          case LENGTH -> "_m";
          case ANGLE -> "_rad";
          case PRESSURE -> "_pa";
          case FORCE_PER_LENGTH -> "_n_per_m";
          default -> "_factor";
        };
  }

  /** A unit as the end of a column's name. */
  static String suffix(String unit) {
    return switch (unit) {
      case "W" -> "_w";
      case "N m" -> "_n_m";
      case "m/s" -> "_m_per_s";
      case "Pa" -> "_pa";
      case "N" -> "_n";
      case "m" -> "_m";
      default -> "";
    };
  }

  static String cell(double value) {
    return Double.isFinite(value) ? Double.toString(value) : "";
  }

  static void toJson(JsonOut o, Sweep sweep) {
    List<Sweep.Row> rows = sweep.rows();
    o.put("name", sweep.parameter().word());
    o.put("unit", sweep.parameter().dimension().siUnit());
    o.put("ownValue", sweep.ownValue());
    o.numbers("value", rows.size(), i -> rows.get(i).value());
    o.objects(
        "limits",
        sweep.limitNames(),
        (l, name) -> {
          l.put("name", name);
          l.put(
              "unit",
              rows.stream()
                  .flatMap(r -> r.limit(name).stream())
                  .findFirst()
                  .map(CutPlan.Limit::unit)
                  .orElse(""));
          l.numbers("value", rows.size(), i -> of(rows.get(i), name, 0));
          l.numbers("limit", rows.size(), i -> of(rows.get(i), name, 1));
          l.numbers("share", rows.size(), i -> of(rows.get(i), name, 2));
        });
    o.texts("inside", rows.stream().map(r -> r.inside() ? "yes" : "no").toList());
    o.pairLists(
        "insideFromTo",
        List.of(sweep),
        s -> s.inside().stream().map(r -> new double[] {r.from(), r.to()}).toList());
  }

  private static double of(Sweep.Row row, String name, int which) {
    return row.limit(name)
        .map(l -> which == 0 ? l.value() : which == 1 ? l.limit() : l.share())
        .orElse(Double.NaN);
  }
}

package ringtrue.ui.lobes;

import java.util.List;
import java.util.Locale;
import ringtrue.report.LengthUnit;
import ringtrue.stability.StabilityMap;
import ringtrue.stability.StabilityMap.Line;
import ringtrue.stability.StabilityMap.Loss;
import ringtrue.ui.plot.PlotContent.PointWords;

/** What a map says of a point in it: the limit at its speed, and whether the point is quiet. */
final class LobesPoint implements PointWords {
  private final StabilityMap map;
  private final List<Line> lines;
  private final LengthUnit unit;

  /**
   * @param lines those of the map, speeds rising
   */
  LobesPoint(StabilityMap map, List<Line> lines, LengthUnit unit) {
    this.map = map;
    this.lines = lines;
    this.unit = unit;
  }

  @Override
  public List<String> at(double rpm, double length) {
    int after = 0;
    while (after < lines.size() && lines.get(after).speedRpm() < rpm) {
      after++;
    }
    if (after == lines.size() || after == 0 && lines.get(0).speedRpm() > rpm) {
      return List.of("no limits are known at this speed");
    }
    Line right = lines.get(after);
    Line left = lines.get(Math.max(0, after - 1));
    double part =
        right.speedRpm() > left.speedRpm()
            ? (rpm - left.speedRpm()) / (right.speedRpm() - left.speedRpm())
            : 0;
    Line near = part < 0.5 ? left : right;
    boolean both = left.loss() != Loss.NONE && right.loss() != Loss.NONE;
    double limit = both ? left.limitM() + part * (right.limitM() - left.limitM()) : near.limitM();
    double metres = length / unit.of(1);
    if (!both && near.loss() == Loss.NONE) {
      return List.of(
          metres <= map.maxM() ? "quiet here" : "not looked so far up",
          "no limit found up to " + words(map.maxM()));
    }
    String said = "limit at this speed: " + words(limit);
    if (metres <= limit) {
      return List.of("quiet here", said);
    }
    if (metres > map.maxM()) {
      return List.of("not looked so far up", said);
    }
    boolean island =
        near.stable().stream()
            .anyMatch(s -> s.fromM() > 0 && s.fromM() <= metres && metres <= s.toM());
    if (island) {
      return List.of("quiet here, on an island", said);
    }
    String tone =
        near.chatterHz() > 0 ? String.format(Locale.ROOT, ", near %.0f Hz", near.chatterHz()) : "";
    return List.of("chatters here" + tone, said);
  }

  private String words(double metres) {
    double step = unit == LengthUnit.INCH ? 0.0005 : 0.01;
    return Readable.number(unit.of(metres), step) + " " + unit.symbol();
  }
}

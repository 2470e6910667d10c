package ringtrue.ui.plot;

import java.util.List;
import java.util.OptionalDouble;
import java.util.Set;

/** A plot in words, for people who hear it. */
record Words(Scene scene, Frame frame, Set<String> hidden, double cursor) {

  String description() {
    PlotContent content = scene.content;
    if (content.isEmpty()) {
      return content.hint();
    }
    StringBuilder words = new StringBuilder();
    if (!content.title().isBlank()) {
      words.append(content.title()).append(". ");
    }
    axis(words, content.x(), frame.x());
    axis(words, content.y(), frame.y());
    List<String> shown = scene.legend().keySet().stream().filter(n -> !hidden.contains(n)).toList();
    if (!shown.isEmpty()) {
      words.append("Shown: ").append(String.join(", ", shown)).append(". ");
    }
    for (Layer.Handle handle : content.handles()) {
      words
          .append(handle.label().isBlank() ? handle.id() : handle.label())
          .append(" can be moved. ");
    }
    if (!Double.isNaN(cursor)) {
      words.append("Cursor at ").append(content.x().read(cursor)).append(": ");
      for (Layer.Curve curve : scene.curves(hidden)) {
        OptionalDouble value = scene.at(curve, cursor);
        if (value.isPresent()) {
          words
              .append(curve.name)
              .append(' ')
              .append(content.y().read(value.getAsDouble()))
              .append(", ");
        }
      }
    }
    return words.toString().strip().replaceAll("[,:]$", ".");
  }

  private static void axis(StringBuilder words, Axis axis, AxisMap map) {
    words
        .append(axis.label())
        .append(" from ")
        .append(axis.read(map.scale().back(map.u0())))
        .append(" to ")
        .append(axis.read(map.scale().back(map.u1())))
        .append(". ");
  }
}

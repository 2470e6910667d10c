package ringtrue.ui.tapping;

import java.util.Locale;
import ringtrue.acquisition.DemoShop;
import ringtrue.library.TapInputs;
import ringtrue.ui.job.Direction;
import ringtrue.ui.job.Direction.Part;

/** Where to tap and where the sensor goes, for each direction. */
final class Where {
  private Where() {}

  /** The point, as it is written into the measurement. */
  static String point(Direction direction) {
    return direction.part() == Part.TOOL ? "tool tip" : "workpiece near the cut";
  }

  /** In words, short. */
  static String words(Direction direction, boolean turning) {
    String axis = "machine " + direction.axis().toUpperCase(Locale.ROOT);
    if (direction.part() == Part.WORKPIECE) {
      return "Sensor and blow near the cut, both along "
          + axis
          + ", the blow beside the sensor. Leave it out if the workpiece is rigid.";
    }
    if (turning) {
      return "Sensor at the tip of the turning tool, blow beside it, both along " + axis + ".";
    }
    return "Sensor at the tip, on a land between two flutes, along "
        + axis
        + ". Blow exactly opposite, or beside it, in the same direction. Light taps, never on an"
        + " edge.";
  }

  /** The simulated machine that stands for a direction. */
  static String rig(Direction direction) {
    String wanted =
        direction.part() == Part.WORKPIECE
            ? "bracket-y"
            : direction.axis().equals("x") ? "tool-8mm-x" : "tool-8mm-y";
    boolean there = DemoShop.series().stream().anyMatch(s -> s.file().equals(wanted + ".wav"));
    return TapInputs.RIG + (there ? wanted : "tool-8mm-x");
  }
}

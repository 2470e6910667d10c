package ringtrue.stability;

import java.util.*;
import org.junit.jupiter.api.Test;
import ringtrue.dynamics.*;
import ringtrue.stability.Engagement.Direction;

class ScratchTest {
  @Test
  void w7() {
    double k = 0.03993 * Math.pow(2 * Math.PI * 922, 2);
    Tool tool = Cuts.tool(2, 0.01);
    for (Object[] o :
        new Object[][] {
          {Direction.SLOT, 1.0},
          {Direction.UP, .5},
          {Direction.UP, .1},
          {Direction.UP, .05},
          {Direction.DOWN, .5},
          {Direction.DOWN, .1},
          {Direction.DOWN, .05}
        }) {
      CuttingProcess c =
          Cuts.milling(
              tool,
              (Direction) o[0],
              (Double) o[1],
              1e-3,
              600e6,
              200e6,
              List.of(Mode.of(922, 0.011, k)),
              List.of());
      StabilityMap m =
          Lobes.compute(
              c,
              new LobesRequest(
                  StabilityMap.Over.DEPTH,
                  Optional.of(Method.PERIODIC),
                  List.of(5000., 10000., 12500., 15000., 20000.),
                  0.015,
                  List.of()),
              Progress.NONE);
      StringBuilder s = new StringBuilder();
      for (var l : m.lines())
        s.append(
            String.format(
                "%.4f%s(%.0fHz,%d) ",
                1e3 * l.limitM(), l.loss(), l.chatterHz(), l.stable().size()));
      System.out.println(o[0] + " " + o[1] + " " + s + m.remarks());
    }
  }
}

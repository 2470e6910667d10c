package ringtrue.stability;

import java.util.List;
import org.junit.jupiter.api.Test;
import ringtrue.dynamics.Mode;
import ringtrue.stability.Engagement.Direction;

class JudgesTest {
  @Test
  void w6() {
    for (double mm : new double[] {0.2, 0.5, 0.7, 1.0}) {
      CuttingProcess p =
          Cuts.milling(
              Cuts.tool(2, 0.01),
              Direction.SLOT,
              1,
              1e-3,
              600e6,
              200e6,
              List.of(Mode.of(922, 0.011, 0.03993 * Math.pow(2 * Math.PI * 922, 2))),
              List.of());
      System.out.println(
          mm
              + " "
              + new SemiDiscretisation(p, 5000, mm * 1e-3, 160, 1).growth()
              + " "
              + new SemiDiscretisation(p, 5000, mm * 1e-3, 300, 1).growth()
              + " "
              + new LinearCutInTime(p, 5000, mm * 1e-3, new LinearCutInTime.Fineness(20, 1))
                  .growth()
              + " "
              + new LinearCutInTime(p, 5000, mm * 1e-3, LinearCutInTime.Fineness.USUAL).growth()
              + " "
              + new LinearCutInTime(p, 5000, mm * 1e-3, new LinearCutInTime.Fineness(80, 1))
                  .growth());
    }
  }
}

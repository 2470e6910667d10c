package ringtrue.ui.simulation;

import javax.swing.JPanel;
import ringtrue.ui.desk.Desk;

/** The cut in time: motion, forces and surface, to be watched and heard. */
public final class SimulationView extends JPanel {

  public SimulationView(Desk desk) {
    setName("simulation");
  }
}

package ringtrue.ui.shell;

import javax.swing.JButton;
import javax.swing.JLabel;
import javax.swing.JPanel;
import net.miginfocom.swing.MigLayout;
import ringtrue.ui.desk.Desk;
import ringtrue.ui.desk.StageId;
import ringtrue.ui.job.Job;

/** The page without a job: three ways in, and what was worked on before. */
final class FirstPage extends JPanel {

  FirstPage(Desk desk) {
    super(new MigLayout("wrap 1, ins 40", "[grow,center]", "[]20[]"));
    setName("first-page");
    add(new JLabel("Tap, and know which cut stays quiet."));
    JButton simulated = new JButton("Try it on the simulated machine");
    simulated.setName("begin-simulated");
    simulated.addActionListener(
        e ->
            desk.begin(
                new Job(
                    Job.EMPTY.setUp(),
                    java.util.Optional.empty(),
                    java.util.List.of(),
                    Job.EMPTY.cut(),
                    true),
                () -> desk.go(StageId.TAPS)));
    add(simulated);
  }
}

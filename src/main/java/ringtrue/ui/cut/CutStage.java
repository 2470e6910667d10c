package ringtrue.ui.cut;

import java.util.Optional;
import javax.swing.JComponent;
import javax.swing.JPanel;
import ringtrue.ui.desk.Desk;
import ringtrue.ui.desk.NextStep;
import ringtrue.ui.desk.Stage;
import ringtrue.ui.desk.StageId;
import ringtrue.ui.desk.StageState;

/** Shell of a stage. */
public final class CutStage implements Stage {
  private final Desk desk;
  private JPanel view;

  /** Light; the view is made when it is shown. */
  public CutStage(Desk desk) {
    this.desk = desk;
  }

  @Override
  public StageId id() {
    return StageId.CUT;
  }

  @Override
  public JComponent view() {
    if (view == null) {
      view = new JPanel();
    }
    return view;
  }

  @Override
  public StageState state() {
    return new StageState(desk.job().isEmpty() ? StageState.Kind.OPEN : StageState.Kind.BEGUN, "");
  }

  @Override
  public Optional<NextStep> next() {
    return Optional.empty();
  }
}

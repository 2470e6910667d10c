package ringtrue.ui.tapping;

import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.function.Consumer;
import javax.swing.ButtonGroup;
import javax.swing.JPanel;
import javax.swing.JToggleButton;
import javax.swing.SwingConstants;
import ringtrue.ui.job.Direction;
import ringtrue.ui.kit.MigLayout;
import ringtrue.ui.kit.Sign;

/** The directions of the cut, each with how far it has come; one is chosen. */
final class DirectionList extends JPanel {
  private final Map<Direction, JToggleButton> buttons = new LinkedHashMap<>();

  /**
   * How far a direction has come.
   *
   * @param sign as a shape
   * @param words in a few words
   */
  record Status(Sign sign, String words) {}

  DirectionList(Consumer<Direction> choose) {
    super(new MigLayout("ins 0, wrap 1, fillx, gapy 2, hidemode 3", "[grow,fill]", "[center]"));
    setOpaque(false);
    ButtonGroup group = new ButtonGroup();
    for (Direction each :
        List.of(Direction.TOOL_X, Direction.TOOL_Y, Direction.WORK_X, Direction.WORK_Y)) {
      JToggleButton button = new JToggleButton();
      button.setName("direction-" + each.key());
      button.setHorizontalAlignment(SwingConstants.LEADING);
      button.setIconTextGap(8);
      button.setRequestFocusEnabled(false);
      button.addActionListener(e -> choose.accept(each));
      group.add(button);
      buttons.put(each, button);
      add(button, "growx, wmin 0");
    }
  }

  void show(List<Direction> seen, Direction chosen, boolean free, Map<Direction, Status> states) {
    buttons.forEach(
        (direction, button) -> {
          button.setVisible(seen.contains(direction));
          if (!seen.contains(direction)) {
            return;
          }
          Status status = states.get(direction);
          button.setIcon(status.sign());
          button.setText(Announcer.capital(direction.words()) + ": " + status.words());
          button.setSelected(direction.equals(chosen));
          button.setEnabled(free || direction.equals(chosen));
          button.setToolTipText(status.words());
          button
              .getAccessibleContext()
              .setAccessibleName(
                  direction.words() + ", " + status.sign().words() + ", " + status.words());
        });
  }
}

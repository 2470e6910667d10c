package ringtrue.ui.response;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import javax.swing.ButtonGroup;
import javax.swing.JPanel;
import javax.swing.JToggleButton;
import ringtrue.ui.desk.Desk;
import ringtrue.ui.job.Direction;
import ringtrue.ui.job.Measured;
import ringtrue.ui.kit.MigLayout;

/**
 * Buttons for the directions that were measured. Which one is looked at is shared by all stages and
 * remembered.
 */
public final class DirectionPicker extends JPanel {
  private static final String SETTING = "direction";

  private final Desk desk;
  private final String prefix;
  private List<Direction> shown = List.of();

  /**
   * @param prefix of the names of its buttons
   */
  public DirectionPicker(Desk desk, String prefix) {
    super(new MigLayout("ins 0, gap 0"));
    setOpaque(false);
    this.desk = desk;
    this.prefix = prefix;
    getAccessibleContext().setAccessibleName("Direction");
  }

  /** The direction looked at; the first one measured where none was chosen. */
  public static Optional<Direction> direction(Desk desk) {
    List<Direction> all = directions(desk);
    String said = desk.settings().text(SETTING, "");
    return all.stream().filter(d -> d.key().equals(said)).findFirst().or(() -> first(all));
  }

  private static Optional<Direction> first(List<Direction> all) {
    return all.isEmpty() ? Optional.empty() : Optional.of(all.get(0));
  }

  private static List<Direction> directions(Desk desk) {
    return desk.job().measured().stream().map(Measured::direction).toList();
  }

  /** Looks at another direction. */
  public static void choose(Desk desk, Direction direction) {
    desk.settings(s -> s.with(SETTING, direction.key()));
  }

  /** Looks at the next direction. */
  public static void next(Desk desk) {
    List<Direction> all = new ArrayList<>(directions(desk));
    direction(desk).ifPresent(d -> choose(desk, all.get((all.indexOf(d) + 1) % all.size())));
  }

  /** Shows what the job holds. */
  public void refresh() {
    List<Direction> all = directions(desk);
    if (!all.equals(shown)) {
      shown = all;
      removeAll();
      ButtonGroup group = new ButtonGroup();
      for (Direction direction : all) {
        JToggleButton button = new JToggleButton(direction.words());
        button.setName(prefix + "-" + direction.key());
        button.setToolTipText(
            "Look at " + direction.words() + " (Ctrl+Shift+E: the next direction)");
        button.addActionListener(e -> choose(desk, direction));
        group.add(button);
        add(button);
      }
      revalidate();
      repaint();
    }
    Optional<Direction> now = direction(desk);
    for (int i = 0; i < getComponentCount(); i++) {
      ((JToggleButton) getComponent(i)).setSelected(now.equals(Optional.of(shown.get(i))));
    }
  }
}

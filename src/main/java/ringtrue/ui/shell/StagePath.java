package ringtrue.ui.shell;

import java.util.EnumMap;
import java.util.Locale;
import java.util.Map;
import javax.swing.BorderFactory;
import javax.swing.ButtonGroup;
import javax.swing.JPanel;
import javax.swing.UIManager;
import ringtrue.ui.desk.Desk;
import ringtrue.ui.desk.StageId;
import ringtrue.ui.desk.StageState;
import ringtrue.ui.kit.MigLayout;
import ringtrue.ui.kit.Sign;
import ringtrue.ui.kit.Tile;

/** The path of stages at the left: where one is, what is done, and what wants attention. */
final class StagePath extends JPanel {
  private final Desk desk;
  private final Map<StageId, Tile> tiles = new EnumMap<>(StageId.class);
  private final Map<StageId, StageState> shown = new EnumMap<>(StageId.class);
  private StageId seen;

  StagePath(Desk desk) {
    super(new MigLayout("ins 6 8 6 8, wrap 1, fillx, gapy 2", "[176lp!,fill]"));
    this.desk = desk;
    setName("stage-path");
    getAccessibleContext().setAccessibleName("Stages");
    ButtonGroup group = new ButtonGroup();
    for (StageId id : StageId.values()) {
      Tile tile =
          Tile.toggle("stage-" + id.name().toLowerCase(Locale.ROOT).replace('_', '-'), id.title());
      tile.button().setToolTipText(id.about() + " (Ctrl+" + (id.ordinal() + 1) + ")");
      tile.button().addActionListener(e -> desk.go(id));
      group.add(tile.button());
      tiles.put(id, tile);
      add(tile.button(), "hmin 44lp, wmin 0");
    }
    desk.onChange(this::refresh);
    updateUI();
    refresh();
  }

  private void refresh() {
    boolean open = desk.folder().isPresent();
    if (isVisible() != open) {
      setVisible(open);
    }
    if (!open) {
      return;
    }
    boolean moved = seen != desk.stage();
    seen = desk.stage();
    tiles.forEach(
        (id, tile) -> {
          StageState state = desk.stage(id).state();
          if (moved) {
            tile.bold(id == seen);
            tile.button().setSelected(id == seen);
          }
          if (!state.equals(shown.put(id, state))) {
            tile.sign(sign(state.kind()));
            tile.say(state.words());
            tile.button()
                .getAccessibleContext()
                .setAccessibleName(
                    id.title() + ", " + sign(state.kind()).words() + ", " + state.words());
          }
        });
  }

  private static Sign sign(StageState.Kind kind) {
    return switch (kind) {
      case OPEN -> Sign.OPEN;
      case BEGUN -> Sign.BEGUN;
      case DONE -> Sign.DONE;
      case ATTENTION -> Sign.CAUTION;
    };
  }

  @Override
  public void updateUI() {
    super.updateUI();
    setBorder(
        BorderFactory.createMatteBorder(0, 0, 0, 1, UIManager.getColor("Separator.foreground")));
  }
}

package ringtrue.ui.shell;

import com.formdev.flatlaf.util.UIScale;
import java.awt.Component;
import java.awt.Window;
import java.awt.event.HierarchyBoundsAdapter;
import java.awt.event.HierarchyEvent;
import java.util.EnumMap;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import javax.swing.BorderFactory;
import javax.swing.ButtonGroup;
import javax.swing.JPanel;
import javax.swing.JScrollPane;
import javax.swing.ScrollPaneConstants;
import javax.swing.SwingUtilities;
import javax.swing.UIManager;
import ringtrue.ui.desk.Desk;
import ringtrue.ui.desk.StageId;
import ringtrue.ui.desk.StageState;
import ringtrue.ui.kit.MigLayout;
import ringtrue.ui.kit.Sign;
import ringtrue.ui.kit.Tile;

/** The path of stages at the left: where one is, what is done, and what wants attention. */
final class StagePath extends JPanel {
  private static final String WIDE = "[176lp!,fill]";
  private static final String NARROW = "[122lp!,fill]";

  /** Below this width of the window, at letters of 100 %, only names are shown. */
  private static final int NARROW_BELOW = 1000;

  private final Desk desk;
  private final Map<StageId, Tile> tiles = new EnumMap<>(StageId.class);
  private final Map<StageId, StageState> shown = new EnumMap<>(StageId.class);
  private final JScrollPane pane;
  private StageId seen;
  private boolean narrow;

  StagePath(Desk desk) {
    super(new MigLayout("ins 6 8 6 8, wrap 1, fillx, gapy 2", WIDE));
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
      add(tile.button(), "hmin 40lp, wmin 0");
    }
    pane =
        new JScrollPane(
            this,
            ScrollPaneConstants.VERTICAL_SCROLLBAR_AS_NEEDED,
            ScrollPaneConstants.HORIZONTAL_SCROLLBAR_NEVER);
    pane.setBorder(BorderFactory.createEmptyBorder());
    pane.getVerticalScrollBar().setUnitIncrement(24);
    pane.setFocusable(false);
    addHierarchyBoundsListener(
        new HierarchyBoundsAdapter() {
          @Override
          public void ancestorResized(HierarchyEvent e) {
            fit();
          }
        });
    UIScale.addPropertyChangeListener(e -> SwingUtilities.invokeLater(this::fit));
    desk.onChange(this::refresh);
    updateUI();
    refresh();
  }

  /** It in a pane that scrolls where the window is low. */
  JScrollPane pane() {
    return pane;
  }

  /** The stage that is seen; pressing it changes nothing. */
  Optional<Component> here() {
    return desk.folder().isPresent()
        ? Optional.of(tiles.get(desk.stage()).button())
        : Optional.empty();
  }

  /** In a narrow window the names only. */
  private void fit() {
    Window window = SwingUtilities.getWindowAncestor(this);
    boolean now = window != null && window.getWidth() < UIScale.scale(NARROW_BELOW);
    if (now != narrow) {
      narrow = now;
      ((MigLayout) getLayout()).setColumnConstraints(narrow ? NARROW : WIDE);
      shown.forEach(this::say);
      revalidate();
    }
  }

  private void say(StageId id, StageState state) {
    tiles.get(id).say(narrow ? "" : state.words());
    String about = id.about() + " (Ctrl+" + (id.ordinal() + 1) + ")";
    tiles
        .get(id)
        .button()
        .setToolTipText(narrow && !state.words().isEmpty() ? state.words() + "; " + about : about);
  }

  private void refresh() {
    boolean open = desk.folder().isPresent();
    if (pane.isVisible() != open) {
      pane.setVisible(open);
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
            say(id, state);
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

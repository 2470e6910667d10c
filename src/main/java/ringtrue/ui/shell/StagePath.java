package ringtrue.ui.shell;

import java.awt.Font;
import java.util.EnumMap;
import java.util.Map;
import javax.swing.BorderFactory;
import javax.swing.ButtonGroup;
import javax.swing.JPanel;
import javax.swing.JToggleButton;
import javax.swing.SwingConstants;
import javax.swing.UIManager;
import net.miginfocom.swing.MigLayout;
import ringtrue.ui.desk.Desk;
import ringtrue.ui.desk.StageId;
import ringtrue.ui.desk.StageState;
import ringtrue.ui.kit.Sign;

/** The path of stages at the left: where one is, what is done, and what wants attention. */
final class StagePath extends JPanel {
  private final Desk desk;
  private final Map<StageId, JToggleButton> buttons = new EnumMap<>(StageId.class);

  StagePath(Desk desk) {
    super(new MigLayout("ins 6 8 6 8, wrap 1, fillx, gapy 2", "[180lp!,fill]"));
    this.desk = desk;
    setName("stage-path");
    ButtonGroup group = new ButtonGroup();
    for (StageId id : StageId.values()) {
      JToggleButton button = new JToggleButton(id.title());
      button.setName("stage-" + id.name().toLowerCase(java.util.Locale.ROOT).replace('_', '-'));
      button.setHorizontalAlignment(SwingConstants.LEADING);
      button.setIconTextGap(10);
      button.setToolTipText(id.about() + " (Ctrl+" + (id.ordinal() + 1) + ")");
      button.putClientProperty("JButton.buttonType", "toolBarButton");
      button.addActionListener(e -> desk.go(id));
      group.add(button);
      buttons.put(id, button);
      add(button, "h 44lp!");
    }
    setBorder(
        BorderFactory.createMatteBorder(0, 0, 0, 1, UIManager.getColor("Separator.foreground")));
    desk.onChange(this::refresh);
    refresh();
  }

  private void refresh() {
    boolean open = desk.folder().isPresent();
    setVisible(open);
    if (!open) {
      return;
    }
    buttons.forEach(
        (id, button) -> {
          StageState state = desk.stage(id).state();
          button.setIcon(sign(state.kind()));
          button.setText(
              "<html>"
                  + id.title()
                  + (state.words().isEmpty()
                      ? ""
                      : "<br><small>" + escaped(state.words()) + "</small>")
                  + "</html>");
          button.setSelected(desk.stage() == id);
          button.setFont(button.getFont().deriveFont(desk.stage() == id ? Font.BOLD : Font.PLAIN));
          button
              .getAccessibleContext()
              .setAccessibleName(
                  id.title() + ", " + sign(state.kind()).words() + ", " + state.words());
        });
  }

  private static String escaped(String text) {
    return text.replace("&", "&amp;").replace("<", "&lt;");
  }

  private static Sign sign(StageState.Kind kind) {
    return switch (kind) {
      case OPEN -> Sign.OPEN;
      case BEGUN -> Sign.BEGUN;
      case DONE -> Sign.DONE;
      case ATTENTION -> Sign.CAUTION;
    };
  }
}

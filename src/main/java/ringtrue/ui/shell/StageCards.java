package ringtrue.ui.shell;

import java.awt.BorderLayout;
import java.awt.CardLayout;
import java.awt.Component;
import java.awt.Container;
import java.awt.Dimension;
import java.awt.Graphics2D;
import java.awt.image.BufferedImage;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import javax.swing.JCheckBox;
import javax.swing.JComboBox;
import javax.swing.JComponent;
import javax.swing.JPanel;
import javax.swing.JScrollPane;
import javax.swing.JSlider;
import javax.swing.JSpinner;
import javax.swing.JTabbedPane;
import javax.swing.JTable;
import ringtrue.ui.desk.Desk;
import ringtrue.ui.desk.StageId;
import ringtrue.ui.kit.Field;
import ringtrue.ui.kit.MigLayout;
import ringtrue.ui.kit.Page;
import ringtrue.ui.kit.Tile;
import ringtrue.ui.plot.Plot;

/**
 * The views of the stages and the first page, one of which is seen. A view is made in pieces, each
 * short enough that the window answers meanwhile, and laid out and painted once where nobody sees
 * it, so that it is quick when it is shown. What is not seen costs nothing when the window changes.
 */
final class StageCards extends JPanel {
  private static final String FIRST_PAGE = "first-page";

  /** How many parts of a view have their sizes worked out one by one. */
  private static final int PARTS = 3;

  private final transient Desk desk;
  private final CardLayout cards = new CardLayout();
  private final Map<StageId, Card> made = new EnumMap<>(StageId.class);

  /** What holds a view; it is laid out only where it is seen, or when that is asked for. */
  private static final class Card extends JPanel {
    private boolean ahead;

    Card(JComponent view) {
      super(new BorderLayout());
      add(new Page(view));
    }

    @Override
    protected void validateTree() {
      if (isVisible() || ahead) {
        super.validateTree();
      }
    }

    void layOutAhead(Dimension size) {
      ahead = true;
      setSize(size);
      validate();
      ahead = false;
    }

    void paintAhead() {
      int wide = Math.max(1, getWidth());
      int high = Math.max(1, getHeight());
      BufferedImage nowhere = new BufferedImage(wide, high, BufferedImage.TYPE_INT_RGB);
      Graphics2D g = nowhere.createGraphics();
      paint(g);
      g.dispose();
    }
  }

  StageCards(Desk desk, JComponent firstPage) {
    this.desk = desk;
    setLayout(cards);
    add(firstPage, FIRST_PAGE);
  }

  /** Shows the first page. */
  void showFirstPage() {
    cards.show(this, FIRST_PAGE);
  }

  /** Shows a stage. */
  void show(StageId id) {
    card(id);
    cards.show(this, id.name());
  }

  private Card card(StageId id) {
    return made.computeIfAbsent(
        id,
        i -> {
          Card card = new Card(desk.stage(i).view());
          card.setVisible(false);
          add(card, i.name());
          return card;
        });
  }

  /**
   * Makes and lays out one of each kind of component that is thrown away: the first of a kind takes
   * far longer than others, and a view would have to make many first ones at once.
   */
  static List<Runnable> kinds() {
    JPanel few = new JPanel(new MigLayout("ins 0, wrap 2, hidemode 3", "[]8[grow,fill]", "[top]"));
    return List.of(
        () -> few.add(new Field("", "-", 8).example("-"), "growx, wmin 0"),
        few::getPreferredSize,
        () -> few.add(new JComboBox<>(new String[] {"-"}), "growx"),
        () -> few.add(new JScrollPane(new JTable(1, 1))),
        () -> few.add(Tile.toggle("", "-").button()),
        () -> few.add(new JCheckBox("-")),
        () -> few.add(new Plot("-")),
        () -> few.add(new JSpinner()),
        () -> few.add(new JSlider()),
        () -> few.add(new JTabbedPane()),
        few::getPreferredSize);
  }

  /** What makes a stage's view, in pieces. */
  List<Runnable> making(StageId id) {
    List<Runnable> pieces = new ArrayList<>(desk.stage(id).making());
    pieces.add(() -> card(id));
    for (int i = 0; i < PARTS; i++) {
      int part = i;
      pieces.add(() -> unseen(id, card -> sizePart(card, part)));
    }
    pieces.add(() -> unseen(id, Card::getPreferredSize)); // much of the layout is that
    pieces.add(() -> unseen(id, card -> card.layOutAhead(getSize())));
    return pieces;
  }

  /** Works out the size of what is in one of the panes that scroll. */
  private static void sizePart(Card card, int number) {
    List<JScrollPane> panes = new ArrayList<>();
    gather(card, panes);
    if (number < panes.size() && panes.get(number).getViewport().getView() != null) {
      panes.get(number).getViewport().getView().getPreferredSize();
    }
  }

  private static void gather(Container in, List<JScrollPane> panes) {
    for (Component each : in.getComponents()) {
      if (each instanceof JScrollPane pane) {
        panes.add(pane);
      } else if (each instanceof Container container) {
        gather(container, panes);
      }
    }
  }

  /** Paints a stage where nobody sees it. */
  void tryToPaint(StageId id) {
    unseen(id, Card::paintAhead);
  }

  private void unseen(StageId id, java.util.function.Consumer<Card> what) {
    Card card = made.get(id);
    if (card != null && !card.isVisible()) {
      what.accept(card);
    }
  }
}

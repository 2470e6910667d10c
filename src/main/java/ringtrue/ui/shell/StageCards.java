package ringtrue.ui.shell;

import java.awt.BorderLayout;
import java.awt.CardLayout;
import java.awt.Dimension;
import java.awt.Graphics2D;
import java.awt.image.BufferedImage;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import javax.swing.JComponent;
import javax.swing.JPanel;
import ringtrue.ui.desk.Desk;
import ringtrue.ui.desk.StageId;

/**
 * The views of the stages and the first page, one of which is seen. A view is made in pieces, each
 * short enough that the window answers meanwhile, and laid out and painted once where nobody sees
 * it, so that it is quick when it is shown. What is not seen costs nothing when the window changes.
 */
final class StageCards extends JPanel {
  private static final String FIRST_PAGE = "first-page";

  private final transient Desk desk;
  private final CardLayout cards = new CardLayout();
  private final Map<StageId, Card> made = new EnumMap<>(StageId.class);

  /** What holds a view; it is laid out only where it is seen, or when that is asked for. */
  private static final class Card extends JPanel {
    private boolean ahead;

    Card(JComponent view) {
      super(new BorderLayout());
      add(view);
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
      print(g);
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

  /** What makes a stage's view, in pieces. */
  List<Runnable> making(StageId id) {
    List<Runnable> pieces = new ArrayList<>(desk.stage(id).making());
    pieces.add(() -> card(id));
    pieces.add(() -> unseen(id, Card::getPreferredSize)); // much of the layout is that
    pieces.add(() -> unseen(id, card -> card.layOutAhead(getSize())));
    return pieces;
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

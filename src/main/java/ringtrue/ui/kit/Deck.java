package ringtrue.ui.kit;

import java.awt.CardLayout;
import javax.swing.JPanel;

/**
 * Pages of which one is seen. Another one is laid out when the deck is on the screen, not at once
 * where nobody sees it.
 */
public final class Deck extends JPanel {
  private final CardLayout cards;

  /** Empty; add pages with their names. */
  public Deck() {
    this(new CardLayout());
  }

  private Deck(CardLayout cards) {
    super(cards);
    this.cards = cards;
    setOpaque(false);
  }

  /** Shows a page by its name. */
  public void show(String name) {
    cards.show(this, name);
  }

  @Override
  public void validate() {
    if (isShowing()) {
      super.validate();
    }
  }
}

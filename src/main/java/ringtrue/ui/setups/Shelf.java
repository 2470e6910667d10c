package ringtrue.ui.setups;

import ringtrue.ui.desk.Desk;
import ringtrue.ui.kit.Sign;

/** What the panes below the list of saved set-ups need of it. */
interface Shelf {

  Desk desk();

  /** Says something beside the list. */
  void say(Sign sign, String sentence);

  /** Reads the list anew. */
  void reload();

  /** Back to the list and what is kept of the chosen set-up. */
  void back();
}

package ringtrue.ui.desk;

import java.util.function.BooleanSupplier;
import javax.swing.KeyStroke;

/**
 * Something that can be done from the menu or with keys.
 *
 * @param id unique name, kebab-case
 * @param group where it is found
 * @param words in the menu
 * @param keys shortcut; null for none
 * @param enabled whether it can be done now
 * @param action what it does
 */
public record Act(
    String id,
    Group group,
    String words,
    KeyStroke keys,
    BooleanSupplier enabled,
    Runnable action) {

  /** Menus. */
  public enum Group {
    JOB("Job"),
    EDIT("Edit"),
    GO("Go"),
    STAGE("Stage"),
    VIEW("View"),
    HELP("Help");

    private final String title;

    Group(String title) {
      this.title = title;
    }

    public String title() {
      return title;
    }
  }

  /** One that can always be done. */
  public static Act of(String id, Group group, String words, String keys, Runnable action) {
    return new Act(
        id, group, words, keys.isEmpty() ? null : KeyStroke.getKeyStroke(keys), () -> true, action);
  }

  /** The same that can be done only sometimes. */
  public Act when(BooleanSupplier possible) {
    return new Act(id, group, words, keys, possible, action);
  }
}

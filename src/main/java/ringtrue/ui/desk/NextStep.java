package ringtrue.ui.desk;

/**
 * What the window suggests to press next.
 *
 * @param words on the button, like "Tap along y"
 * @param why in half a line, beside it
 * @param action what it does
 */
public record NextStep(String words, String why, Runnable action) {}

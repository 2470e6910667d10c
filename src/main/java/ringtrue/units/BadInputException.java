package ringtrue.units;

/**
 * Something that the user gave cannot be used: a file, a field, an option.
 *
 * <p>The message is one plain line that says what is wrong, where (file, line or field) and what
 * would be right. It is shown to the user as it stands, without a stack trace, and the program ends
 * with exit code 2.
 */
public final class BadInputException extends RuntimeException {
  private static final int LONGEST = 1000;
  private static final int KEPT_AT_END = 300;

  /**
   * @param message one line for the user; line breaks in it are turned into spaces, and of a very
   *     long one the middle is left out
   */
  public BadInputException(String message) {
    super(oneLine(message));
  }

  /**
   * @param message one line for the user
   * @param cause what was noticed underneath, for a debugger only
   */
  public BadInputException(String message, Throwable cause) {
    super(oneLine(message), cause);
  }

  /**
   * The same complaint with the place put in front, as in {@code "cut.json: speed: …"}.
   *
   * @param place a file name or a field path
   */
  public BadInputException at(String place) {
    return new BadInputException(place + ": " + getMessage(), this);
  }

  private static String oneLine(String message) {
    StringBuilder text = new StringBuilder(message.length());
    for (int i = 0; i < message.length(); i++) {
      char c = message.charAt(i);
      text.append(Character.isISOControl(c) ? ' ' : c);
    }
    if (text.length() > LONGEST) {
      // what a file gives as a name may be as long as the file
      text.replace(LONGEST - KEPT_AT_END, text.length() - KEPT_AT_END, " ... ");
    }
    return text.toString().trim();
  }
}

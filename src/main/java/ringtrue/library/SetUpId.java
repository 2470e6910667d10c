package ringtrue.library;

import java.security.SecureRandom;
import java.text.Normalizer;
import java.util.Locale;
import ringtrue.units.BadInputException;

/**
 * Names of folders and files in a library: small letters, digits and hyphens, which every file
 * system keeps as they are and which cannot lead out of a folder.
 */
public final class SetUpId {
  private static final int LONGEST = 80;
  private static final int LONGEST_WORDS = 48;

  /** Without letters that are taken for others. */
  private static final String LETTERS = "abcdefghjkmnpqrstuvwxyz23456789";

  private static final SecureRandom RANDOM = new SecureRandom();

  private SetUpId() {}

  /** Whether a text can be the name of a set-up, a measurement, a cut or an outcome. */
  public static boolean isOne(String text) {
    int length = text.length();
    if (length == 0 || length > LONGEST) {
      return false;
    }
    // by hand: this is asked of every name of a large library
    for (int i = 0; i < length; i++) {
      char c = text.charAt(i);
      boolean hyphen = c == '-' && i > 0 && i < length - 1;
      if (!(c >= 'a' && c <= 'z' || c >= '0' && c <= '9' || hyphen)) {
        return false;
      }
    }
    return length > 4 || !isDevice(text);
  }

  /** Names that one widespread system keeps for devices. */
  private static boolean isDevice(String text) {
    return text.matches("con|prn|aux|nul|com\\d|lpt\\d");
  }

  /**
   * @throws BadInputException if a text cannot be an id
   */
  public static String require(String text) {
    if (!isOne(text)) {
      String shown = text.length() > 60 ? text.substring(0, 57) + "..." : text;
      throw new BadInputException(
          "\"" + shown + "\" is no id; ids are small letters, digits and hyphens");
    }
    return text;
  }

  /** Readable words of a text, fit for an id; may be empty. */
  static String words(String text) {
    String plain =
        Normalizer.normalize(text, Normalizer.Form.NFD)
            .replaceAll("\\p{M}+", "")
            .toLowerCase(Locale.ROOT)
            .replaceAll("[^a-z0-9]+", "-");
    if (plain.length() > LONGEST_WORDS) {
      plain = plain.substring(0, LONGEST_WORDS);
    }
    return plain.replaceAll("^-+|-+$", "");
  }

  /**
   * A fresh id.
   *
   * @param text what it is about
   * @param otherwise word that stands for a text without plain letters
   */
  static String fresh(String text, String otherwise) {
    String words = words(text);
    return (words.isEmpty() ? otherwise : words) + "-" + ending(5);
  }

  /** Random letters: 28 million of five, so that two of one name will not meet. */
  static String ending(int letters) {
    StringBuilder text = new StringBuilder();
    for (int i = 0; i < letters; i++) {
      text.append(LETTERS.charAt(RANDOM.nextInt(LETTERS.length())));
    }
    return text.toString();
  }
}

package ringtrue.ui.listening;

import java.util.Locale;
import ringtrue.signal.HeardCut;
import ringtrue.ui.kit.Sign;

/** What was heard, in a few words. */
final class HeardWords {
  private HeardWords() {}

  /** The verdict, to be read from afar. */
  static String verdict(HeardCut heard) {
    return switch (heard.verdict()) {
      case CLEAN -> "Quiet";
      case FORCED -> "No chatter";
      case CHATTER -> String.format(Locale.ROOT, "Chatters near %.0f Hz", heard.chatterHz());
      case CANNOT_TELL -> "Cannot tell";
      case NOTHING_HEARD -> "No cut heard";
    };
  }

  /** What belongs to the verdict and may be read from nearer; often empty. */
  static String more(HeardCut heard) {
    return switch (heard.verdict()) {
      case FORCED -> "but strong forced vibration";
      case CHATTER -> heard.flip() ? "at half the tooth passing: every second tooth alike" : "";
      case CLEAN, CANNOT_TELL, NOTHING_HEARD -> "";
    };
  }

  /** Why the verdict is what it is. */
  static String because(HeardCut heard) {
    return heard
        .because()
        .replace(
            "on the comb of tooth passing and turns", "on multiples of tooth passing and turns")
        .replace("away from the comb", "away from multiples of tooth passing and turns");
  }

  static Sign sign(HeardCut heard) {
    return switch (heard.verdict()) {
      case CLEAN -> Sign.DONE;
      case FORCED -> Sign.CAUTION;
      case CHATTER -> Sign.BAD;
      case CANNOT_TELL, NOTHING_HEARD -> Sign.OPEN;
    };
  }

  /** The speed that was heard; empty if it was not. */
  static String speed(HeardCut heard) {
    if (Double.isNaN(heard.spindleHz())) {
      return "";
    }
    return String.format(Locale.ROOT, "%.0f rpm", 60 * heard.spindleHz())
        + (Double.isNaN(heard.toothPassHz())
            ? ""
            : String.format(Locale.ROOT, ", tooth passing %.0f Hz", heard.toothPassHz()));
  }

  /** For the path of stages. */
  static String brief(HeardCut heard) {
    String speed =
        Double.isNaN(heard.spindleHz())
            ? ""
            : String.format(Locale.ROOT, " at %.0f rpm", 60 * heard.spindleHz());
    return switch (heard.verdict()) {
      case CLEAN -> "quiet" + speed;
      case FORCED -> "no chatter" + speed;
      case CHATTER -> String.format(Locale.ROOT, "chatters near %.0f Hz", heard.chatterHz());
      case CANNOT_TELL -> "cannot tell";
      case NOTHING_HEARD -> "no cut heard";
    };
  }

  /** Whether the sound decides whether the cut chattered. */
  static boolean decided(HeardCut heard) {
    return switch (heard.verdict()) {
      case CLEAN, FORCED, CHATTER -> true;
      case CANNOT_TELL, NOTHING_HEARD -> false;
    };
  }
}

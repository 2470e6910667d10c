package ringtrue.ui.tapping;

import java.util.Locale;
import ringtrue.acquisition.TapSounds;
import ringtrue.signal.SessionTap;
import ringtrue.signal.TapEvent;
import ringtrue.ui.kit.Sign;

/** Turns what happens in a session into what is seen and heard. */
final class Announcer {
  private final int wanted;
  private final double sampleRateHz;
  private Banner banner = new Banner(Sign.BEGUN, "WAIT", "Listening. Keep still for a moment.");

  /**
   * @param wanted taps to keep; 0 for no end
   */
  Announcer(int wanted, double sampleRateHz) {
    this.wanted = wanted;
    this.sampleRateHz = sampleRateHz;
  }

  /** What is to be read now. */
  Banner banner() {
    return banner;
  }

  /**
   * Takes what happened.
   *
   * @param coherence that nine tenths of the band's lines have; NaN while unknown
   * @return what is to be heard; null for nothing
   */
  TapSounds.Sound take(TapEvent event, double coherence) {
    if (event instanceof TapEvent.Listening listening) {
      banner =
          new Banner(
              Sign.BEGUN,
              "WAIT",
              listening.again()
                  ? "Something knocked. Keep still for a moment."
                  : "Listening. Keep still for a moment.");
    } else if (event instanceof TapEvent.Ready ready) {
      banner =
          new Banner(
              Sign.NOTE,
              "TAP NOW",
              ready.wasQuiet()
                  ? "One light blow, then let it ring."
                  : "It never got quiet; the quieter moments have to do.");
      return TapSounds.Sound.READY;
    } else if (event instanceof TapEvent.Struck) {
      banner = new Banner(Sign.BEGUN, "WAIT", "It rings. Hands off until it is judged.");
    } else if (event instanceof TapEvent.Judged judged) {
      return judged(judged, coherence);
    } else if (event instanceof TapEvent.Changed changed) {
      changed(changed);
    } else if (event instanceof TapEvent.FramesLost lost) {
      banner =
          new Banner(
              Sign.CAUTION,
              banner.words(),
              String.format(
                  Locale.ROOT,
                  "A gap of %.3g ms in the input: %s",
                  1e3 * lost.gap().missingFrames() / sampleRateHz,
                  lost.gap().why()));
    } else if (event instanceof TapEvent.Advice advice) {
      banner = new Banner(banner.sign(), banner.words(), capital(advice.sentence()));
    } else if (event instanceof TapEvent.Finished finished) {
      banner =
          new Banner(
              finished.reached() ? Sign.DONE : Sign.NOTE,
              finished.reached() ? "DONE" : "STOPPED",
              capital(finished.sentence()) + ".");
      return finished.reached() ? TapSounds.Sound.DONE : null;
    }
    return null;
  }

  private TapSounds.Sound judged(TapEvent.Judged judged, double coherence) {
    SessionTap tap = judged.tap();
    String reason = capital(tap.tap().reason());
    if (tap.isKept()) {
      banner =
          new Banner(
              Sign.DONE,
              "KEPT " + count(judged.kept()),
              (Double.isNaN(coherence)
                      ? reason
                      : reason + String.format(Locale.ROOT, "; coherence %.3f", coherence))
                  + more(judged.kept()));
      return TapSounds.Sound.KEPT;
    }
    banner =
        new Banner(
            Sign.BAD, "SET ASIDE: " + tap.tap().verdict().word(), reason + more(judged.kept()));
    return TapSounds.Sound.SET_ASIDE;
  }

  private String more(int kept) {
    return wanted == 0 || kept < wanted ? ". Tap again." : ".";
  }

  private void changed(TapEvent.Changed changed) {
    SessionTap tap = changed.tap();
    String which = "Tap " + tap.tap().number();
    banner =
        tap.isKept()
            ? new Banner(
                Sign.DONE,
                "KEPT " + count(changed.kept()),
                which + " is kept after all: " + tap.tap().reason() + ".")
            : new Banner(
                Sign.BAD,
                "SET ASIDE: tap " + tap.tap().number(),
                capital(tap.tap().verdict().word())
                    + ": "
                    + tap.tap().reason()
                    + ". "
                    + count(changed.kept())
                    + " kept.");
  }

  private String count(int kept) {
    return wanted == 0 ? String.valueOf(kept) : kept + " of " + wanted;
  }

  static String capital(String sentence) {
    if (sentence.matches("(?s)[^:]*[.][A-Za-z0-9]{2,5}: .*")) {
      return sentence; // the name of a file stands in front
    }
    return sentence.isEmpty()
        ? sentence
        : Character.toUpperCase(sentence.charAt(0)) + sentence.substring(1);
  }
}

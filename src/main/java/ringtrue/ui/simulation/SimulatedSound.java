package ringtrue.ui.simulation;

import java.math.BigDecimal;
import java.math.MathContext;
import java.nio.file.Path;
import java.util.Locale;
import ringtrue.library.CutSoundFile;
import ringtrue.stability.CutSound;
import ringtrue.stability.SimulationSettings.Sound;

/** The simulated sound as a file that says what its numbers stand for. */
final class SimulatedSound {
  private SimulatedSound() {}

  /**
   * Writes it; away from the event thread.
   *
   * @param replace whether a file of that name may be replaced
   * @return what was written, and its scale, in a sentence
   */
  static String write(CutSound sound, Path file, boolean replace) {
    CutSoundFile.write(file, sound, replace);
    return "Sound saved: " + file + ". " + scale(sound);
  }

  /** What the numbers of the file stand for. */
  static String scale(CutSound sound) {
    return String.format(
        Locale.ROOT,
        "Full scale of the file stands for %s %s (%s); the loudest is %.3g %s.",
        new BigDecimal(sound.fullScale())
            .round(new MathContext(3))
            .stripTrailingZeros()
            .toPlainString(),
        sound.quantity().unit(),
        sound.quantity() == Sound.VELOCITY
            ? "velocity of the tool against the workpiece"
            : "cutting force less its mean",
        sound.peak(),
        sound.quantity().unit());
  }
}

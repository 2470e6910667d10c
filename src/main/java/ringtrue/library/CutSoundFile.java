package ringtrue.library;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import ringtrue.acquisition.WavWriter;
import ringtrue.stability.CutSound;
import ringtrue.units.BadInputException;

/** The sound of a simulated cut as a WAV file of 24 bits. */
public final class CutSoundFile {
  private CutSoundFile() {}

  /**
   * Writes it.
   *
   * @param file where to; its folder is made
   * @param sound what is heard, with {@link CutSound#fullScale} as the full scale of the file
   * @param overwrite whether a file of that name may be replaced
   * @throws BadInputException if it cannot be written
   */
  public static void write(Path file, CutSound sound, boolean overwrite) {
    SafeFile.refuseExisting(file, overwrite);
    double[] all = sound.samples();
    double full = sound.fullScale();
    for (int i = 0; i < all.length; i++) {
      all[i] /= full;
    }
    try {
      Files.createDirectories(file.toAbsolutePath().getParent());
      try (WavWriter writer =
          WavWriter.create(file, WavWriter.SampleFormat.INT24, 1, sound.rateHz(), overwrite)) {
        writer.write(new double[][] {all}, 0, all.length);
        writer.commit();
      }
    } catch (IOException e) {
      throw new BadInputException(
          file + ": cannot be written: " + (e.getMessage() == null ? e : e.getMessage()), e);
    }
  }
}

package ringtrue.ui.tapping;

import java.io.BufferedReader;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Locale;
import java.util.Optional;
import ringtrue.ui.desk.FileTaker;
import ringtrue.ui.desk.StageId;

/** Opens measurements, recordings and frequency responses. */
final class TapFiles implements FileTaker {
  private static final String MEASUREMENT = "ringtrue-measurement/";

  private final TapsStage stage;

  TapFiles(TapsStage stage) {
    this.stage = stage;
  }

  @Override
  public boolean takes(Path file, String format) {
    return format.startsWith(MEASUREMENT)
        || format.equals(WAV)
        || format.equals(TEXT)
        || format.equals(RESPONSE)
        || format.equals(UNIVERSAL);
  }

  @Override
  public void take(Path file) {
    stage.bring(file, TapFiles::what);
  }

  @Override
  public void take(Path file, String format) {
    TapImport.What what =
        switch (format) {
          case WAV -> TapImport.What.WAV;
          case TEXT -> TapImport.What.TEXT;
          case RESPONSE, UNIVERSAL -> TapImport.What.RESPONSE;
          default -> TapImport.What.MEASUREMENT;
        };
    stage.bring(file, f -> what);
  }

  @Override
  public Optional<StageId> stage() {
    return Optional.of(StageId.TAPS);
  }

  /** What a file is, by its name and beginning; away from the event thread. */
  static TapImport.What what(Path file) {
    String name = String.valueOf(file.getFileName()).toLowerCase(Locale.ROOT);
    if (name.endsWith(".json")) {
      return TapImport.What.MEASUREMENT;
    }
    if (name.endsWith(".wav")) {
      return TapImport.What.WAV;
    }
    if (name.endsWith(".unv") || name.endsWith(".uff") || name.endsWith(".uf")) {
      return TapImport.What.RESPONSE;
    }
    return holdsFrequencies(file) ? TapImport.What.RESPONSE : TapImport.What.TEXT;
  }

  /** A table of a response says so in its first lines; a recording in columns does not. */
  private static boolean holdsFrequencies(Path file) {
    try (BufferedReader in = Files.newBufferedReader(file, StandardCharsets.ISO_8859_1)) {
      for (int i = 0; i < 30; i++) {
        String line = in.readLine();
        if (line == null) {
          return false;
        }
        String low = line.toLowerCase(Locale.ROOT);
        if (low.contains("frequency") || low.contains("freq") || low.contains("receptance")) {
          return true;
        }
      }
      return false;
    } catch (IOException e) {
      return false; // whoever reads it says what is wrong
    }
  }
}

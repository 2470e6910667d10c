package ringtrue.signal;

import java.io.IOException;
import java.util.List;
import java.util.Locale;
import ringtrue.acquisition.TapRecording;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.dynamics.Progress;
import ringtrue.units.BadInputException;

/**
 * An averaged response together with the way back to the taps that it was made of, for those who
 * want to average them again. The recordings are read once more when the taps' spectra are asked
 * for.
 */
public final class AveragedTaps {

  /** Most numbers held for the taps' spectra: 128 MB. */
  private static final long MOST_NUMBERS = 1 << 24;

  private static final int PER_LINE = 4;

  /** A line belongs to a band that ends at it, however its frequency was rounded. */
  private static final double ROUNDING = 1e-9;

  private final AveragedResponse averaged;
  private final TapRecording recording;
  private final Planner.Plan plan;
  private final TapWalk walk;
  private final List<JudgedTap> kept;

  AveragedTaps(
      AveragedResponse averaged,
      TapRecording recording,
      Planner.Plan plan,
      TapWalk walk,
      List<JudgedTap> kept) {
    this.averaged = averaged;
    this.recording = recording;
    this.plan = plan;
    this.walk = walk;
    this.kept = List.copyOf(kept);
  }

  /** The average over all kept taps. */
  public AveragedResponse averaged() {
    return averaged;
  }

  /**
   * Whether the taps' spectra between two frequencies are few enough to be held in memory.
   *
   * @param lowHz lower end, Hz
   * @param highHz upper end, Hz
   */
  public boolean canBeHeld(double lowHz, double highHz) {
    int first = first(lowHz);
    return numbers(end(first, highHz) - first) <= MOST_NUMBERS;
  }

  /**
   * Reads the recordings again and keeps the spectra of every kept tap.
   *
   * @param lowHz lower end of the band of interest, Hz
   * @param highHz upper end, Hz
   * @param progress told from 0 to 1
   * @throws BadInputException if the band holds fewer than two lines, if the spectra are too many
   *     to be held, or if a recording cannot be read
   */
  public TapSpectra spectra(double lowHz, double highHz, Progress progress) {
    return spectra(lowHz, highHz, MOST_NUMBERS, progress);
  }

  TapSpectra spectra(double lowHz, double highHz, long most, Progress progress) {
    int first = first(lowHz);
    int lines = end(first, highHz) - first;
    FrequencyResponse all = averaged.response();
    if (lines < 2) {
      throw new BadInputException(
          String.format(
              Locale.ROOT,
              "band: %.5g to %.5g Hz holds fewer than two of the lines, which are %.4g Hz apart",
              lowHz,
              highHz,
              all.resolutionHz()));
    }
    if (numbers(lines) > most) {
      throw new BadInputException(
          String.format(
              Locale.ROOT,
              "the spectra of %d taps with %d lines each are too many to be held one by one (%.3g MB,"
                  + " at most %.3g MB); choose a narrower band, shorter blocks or fewer taps",
              kept.size(),
              lines,
              8e-6 * numbers(lines),
              8e-6 * most));
    }
    try {
      return new TapSpectra(
          averaged, recording, plan, kept, walk.each(kept, first, lines, progress));
    } catch (IOException e) {
      throw new BadInputException(
          recording.recordings().get(0).name() + ": cannot be read: " + e.getMessage(), e);
    }
  }

  private int first(double lowHz) {
    return averaged.response().firstLineAtOrAbove(lowHz * (1 - ROUNDING));
  }

  private int end(int first, double highHz) {
    return Math.max(first, averaged.response().firstLineAtOrAbove(highHz * (1 + ROUNDING)));
  }

  private long numbers(int lines) {
    return (long) PER_LINE * lines * kept.size();
  }
}

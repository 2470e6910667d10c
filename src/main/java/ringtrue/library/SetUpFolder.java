package ringtrue.library;

/**
 * How a set-up lies on the disk. A library is a folder with one folder for each set-up; all that
 * belongs to a set-up is inside its folder, and every name in its files is relative to the file it
 * stands in, so that the folder can be copied, packed and kept under version control as it is.
 *
 * <pre>
 * LIBRARY/
 *   end-mill-6-mm-22-mm-out-k3f9w/       the id: readable words, a short unique ending
 *     set-up.json                        what is clamped where (ringtrue-setup/1)
 *     measurements/
 *       x-20260301-093000-a7c2/          one measurement, never changed once it is there
 *         modes.json                     date, direction, point, modes (ringtrue-saved-modes/1)
 *         response.csv                   averaged response (ringtrue-frf/1)
 *         measurement.json, *.wav, ...   as recorded (ringtrue-measurement/1), names beside it
 *     cuts/
 *       slotting-trial-3fa9k/cut.json    a cut file as given, what it names beside it
 *     outcomes/
 *       20260302-101500-b8d1.json        what that cut did (ringtrue-outcome/1)
 *     earlier/
 *       set-up-1.json                    descriptions as they were
 *     set-up.conflict-ENDING.json        a change that met another one
 *   _bin/                                what was removed, until the bin is emptied
 *   _damaged/                            what could not be read and was set aside
 *   .cache/  .lock  .writing-*           may be deleted when nobody writes
 * </pre>
 *
 * <p>Measurements, cuts and outcomes are added as files and folders of their own with unique names:
 * two that add at the same time cannot get into each other's way, on whatever file system. Only a
 * change of {@code set-up.json} needs the lock.
 */
final class SetUpFolder {
  static final String MEASUREMENTS = "measurements";
  static final String CUTS = "cuts";
  static final String OUTCOMES = "outcomes";
  static final String EARLIER = "earlier";
  static final String CUT = "cut.json";
  static final String CONFLICT = "set-up.conflict-";
  static final String BIN = "_bin";
  static final String DAMAGED = "_damaged";
  static final String CACHE = ".cache";
  static final String WRITING = ".writing-";

  /** Stands between the parts of a place in the names of what was removed or set aside. */
  static final char INSIDE = '~';

  private SetUpFolder() {}
}

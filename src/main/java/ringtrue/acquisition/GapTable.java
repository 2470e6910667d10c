package ringtrue.acquisition;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.concurrent.atomic.AtomicLongArray;

/**
 * Gaps as the recording thread notes them, without allocating. Beyond {@value #MOST} the last one
 * takes the rest.
 */
final class GapTable {
  static final int MOST = 1000;

  static final int OVERRUN = 0;
  static final int BY_CLOCK = 1;

  private static final int FIELDS = 3;

  private final AtomicLongArray table = new AtomicLongArray(FIELDS * MOST);
  private final AtomicInteger count = new AtomicInteger();

  /** Notes a gap, or adds to the last one if it is of the same kind and place. Writer only. */
  void note(int kind, long atFrame, long missing) {
    int n = count.getPlain();
    int last = FIELDS * (n - 1);
    boolean same = n > 0 && table.get(last) == kind && table.get(last + 1) == atFrame;
    if (same || n == MOST) {
      table.set(last + 2, table.get(last + 2) + missing);
      return;
    }
    int at = FIELDS * n;
    table.set(at, kind);
    table.set(at + 1, atFrame);
    table.set(at + 2, missing);
    count.set(n + 1);
  }

  /** Gaps up to a frame, in order. */
  List<LiveInput.Gap> upTo(long frame) {
    List<LiveInput.Gap> gaps = new ArrayList<>();
    int n = count.get();
    for (int i = 0; i < n; i++) {
      long at = table.get(FIELDS * i + 1);
      if (at <= frame) {
        gaps.add(new LiveInput.Gap(at, table.get(FIELDS * i + 2), why(table.get(FIELDS * i))));
      }
    }
    gaps.sort(Comparator.comparingLong(LiveInput.Gap::atFrame));
    return List.copyOf(gaps);
  }

  private static String why(long kind) {
    return kind == OVERRUN
        ? "this program was too slow to take the frames (counted)"
        : "the sound system dropped frames (estimated from the clock)";
  }
}

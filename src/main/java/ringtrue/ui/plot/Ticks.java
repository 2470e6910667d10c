package ringtrue.ui.plot;

import java.math.BigDecimal;
import java.math.MathContext;
import java.util.ArrayList;
import java.util.List;
import java.util.function.ToDoubleFunction;

/** Chooses where the ticks of an axis are: steps of 1, 2 or 5, labels never over each other. */
final class Ticks {
  private static final int[][] IN_A_DECADE = {{1, 2, 3, 4, 5, 6, 7, 8, 9}, {1, 2, 5}, {1}};

  /** Below so many powers of ten, steps are even in the value. */
  private static final double SHORT = 0.9;

  private Ticks() {}

  /**
   * A tick.
   *
   * @param place where, along the axis's scale
   * @param text what it says; empty if it is a minor one
   */
  record Tick(double place, String text) {
    boolean isMajor() {
      return !text.isEmpty();
    }
  }

  /**
   * Sizes that decide how many there can be, in pixels.
   *
   * @param length length of the axis
   * @param sizes what a label takes along the axis
   * @param gap least gap between labels
   * @param spacing a good distance of ticks
   */
  record Room(double length, ToDoubleFunction<String> sizes, double gap, double spacing) {}

  /**
   * @param from place on the axis's scale where it begins
   * @param to where it ends, greater
   */
  static List<Tick> choose(Axis axis, double from, double to, Room room) {
    if (!(to > from) || room.length < 8) {
      return List.of();
    }
    if (axis.scale() == Scale.LOG && to - from >= SHORT) {
      return decades(axis, from, to, room);
    }
    boolean log = axis.scale() == Scale.LOG;
    double low = log ? Math.pow(10, from) : from;
    double high = log ? Math.pow(10, to) : to;
    double step = nice((high - low) * Math.min(1, room.spacing / room.length));
    for (int tries = 0; tries < 30; tries++) {
      List<Tick> majors = even(axis, low, high, step, log);
      if (fit(majors, from, to, room)) {
        return withMinors(majors, low, high, step, from, to, room, log);
      }
      step = nice(step * 1.5);
    }
    return List.of();
  }

  /** The nearest of 1, 2, 5 times a power of ten that is not below a step. */
  static double nice(double step) {
    double power = Math.pow(10, Math.floor(Math.log10(step)));
    double part = step / power;
    double chosen = part <= 1 + 1e-9 ? 1 : part <= 2 + 1e-9 ? 2 : part <= 5 + 1e-9 ? 5 : 10;
    return chosen * power;
  }

  private static List<Tick> even(Axis axis, double low, double high, double step, boolean log) {
    List<Tick> ticks = new ArrayList<>();
    String before = null;
    double slack = 1e-9 * (high - low);
    for (double k = Math.ceil((low - slack) / step); k * step <= high + slack; k++) {
      if (ticks.size() > 500) {
        return ticks;
      }
      double value = rounded(k, step);
      String text = axis.tick(value, step);
      if (!text.equals(before) && !text.isBlank()) {
        ticks.add(new Tick(log ? Math.log10(value) : value, text));
      }
      before = text;
    }
    return ticks;
  }

  /** k steps, without the dust that a step such as 0.2 leaves. */
  private static double rounded(double k, double step) {
    return new BigDecimal(k * step).round(new MathContext(13)).doubleValue();
  }

  private static List<Tick> decades(Axis axis, double from, double to, Room room) {
    for (int[] digits : IN_A_DECADE) {
      List<Tick> majors = inDecades(axis, from, to, digits, 1);
      if (fit(majors, from, to, room)) {
        return withDecadeMinors(majors, from, to, room);
      }
    }
    for (int every = 2; every < 400; every++) {
      List<Tick> majors = inDecades(axis, from, to, IN_A_DECADE[2], every);
      if (fit(majors, from, to, room)) {
        return withDecadeMinors(majors, from, to, room);
      }
    }
    return List.of();
  }

  private static List<Tick> inDecades(Axis axis, double from, double to, int[] digits, int every) {
    List<Tick> ticks = new ArrayList<>();
    String before = null;
    for (int power = (int) Math.floor(from); power <= Math.ceil(to); power++) {
      if (Math.floorMod(power, every) != 0) {
        continue;
      }
      double ten = Math.pow(10, power);
      for (int digit : digits) {
        double place = power + Math.log10(digit);
        if (place < from - 1e-9 || place > to + 1e-9) {
          continue;
        }
        String text = axis.tick(digit * ten, ten);
        if (!text.equals(before) && !text.isBlank()) {
          ticks.add(new Tick(place, text));
        }
        before = text;
      }
    }
    return ticks;
  }

  private static boolean fit(List<Tick> ticks, double from, double to, Room room) {
    double perPlace = room.length / (to - from);
    for (int i = 1; i < ticks.size(); i++) {
      Tick a = ticks.get(i - 1);
      Tick b = ticks.get(i);
      double apart = (b.place - a.place) * perPlace;
      double need =
          (room.sizes.applyAsDouble(a.text) + room.sizes.applyAsDouble(b.text)) / 2 + room.gap;
      if (apart < need) {
        return false;
      }
    }
    return true;
  }

  private static List<Tick> withMinors(
      List<Tick> majors,
      double low,
      double high,
      double step,
      double from,
      double to,
      Room room,
      boolean log) {
    List<Tick> all = new ArrayList<>(majors);
    double power = Math.pow(10, Math.floor(Math.log10(step) + 1e-9));
    double fine = Math.round(step / power) == 2 ? step / 4 : step / 5;
    if (fine / (high - low) * room.length < 4) {
      return all;
    }
    for (double k = Math.ceil(low / fine - 1e-9); k * fine <= high * (1 + 1e-12); k++) {
      double place = log ? Math.log10(k * fine) : k * fine;
      addMinor(all, majors, place, (to - from) * 1e-6);
    }
    return all;
  }

  private static List<Tick> withDecadeMinors(List<Tick> majors, double from, double to, Room room) {
    List<Tick> all = new ArrayList<>(majors);
    double decade = room.length / (to - from);
    if (decade < 10) {
      return all;
    }
    for (int power = (int) Math.floor(from); power <= Math.ceil(to); power++) {
      for (int digit = 1; digit < (decade < 40 ? 2 : 10); digit++) {
        double place = power + Math.log10(digit);
        if (place >= from && place <= to) {
          addMinor(all, majors, place, 1e-6);
        }
      }
    }
    return all;
  }

  private static void addMinor(List<Tick> all, List<Tick> majors, double place, double same) {
    for (Tick major : majors) {
      if (Math.abs(major.place - place) < same) {
        return;
      }
    }
    all.add(new Tick(place, ""));
  }
}

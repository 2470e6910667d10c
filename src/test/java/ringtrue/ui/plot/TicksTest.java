package ringtrue.ui.plot;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;

class TicksTest {
  /** Labels of 7 pixels a letter, apart by at least 6. */
  private static Ticks.Room room(double length) {
    return new Ticks.Room(length, t -> 7.0 * t.length(), 6, 50);
  }

  private static List<String> labels(Axis axis, double from, double to, double length) {
    List<String> labels = new ArrayList<>();
    for (Ticks.Tick tick :
        Ticks.choose(axis, axis.scale().forward(from), axis.scale().forward(to), room(length))) {
      if (tick.isMajor()) {
        labels.add(tick.text());
      }
    }
    return labels;
  }

  @Test
  void linearStepsAreOneTwoOrFive() {
    Axis axis = Axis.linear("x", 0, 1);
    assertThat(labels(axis, 0, 10, 600))
        .containsExactly("0", "1", "2", "3", "4", "5", "6", "7", "8", "9", "10");
    assertThat(labels(axis, 0, 10, 300)).containsExactly("0", "2", "4", "6", "8", "10");
    assertThat(labels(axis, 0, 10, 120)).containsExactly("0", "5", "10");
    assertThat(labels(axis, -0.3, 0.3, 350))
        .containsExactly("-0.3", "-0.2", "-0.1", "0", "0.1", "0.2", "0.3");
  }

  @Test
  void smallAndLargeNumbersStayShort() {
    Axis axis = Axis.linear("x", 0, 1);
    assertThat(labels(axis, 0, 4e-7, 300)).containsExactly("0", "1e-7", "2e-7", "3e-7", "4e-7");
    assertThat(labels(axis, 0, 4e7, 300)).containsExactly("0", "1e7", "2e7", "3e7", "4e7");
    assertThat(labels(axis, 12000.1, 12000.6, 400))
        .containsExactly("12000.1", "12000.2", "12000.3", "12000.4", "12000.5", "12000.6");
  }

  @Test
  void decadesWhereThereAreSome() {
    Axis axis = Axis.log("x", 1, 10);
    assertThat(labels(axis, 1, 1000, 320))
        .containsExactly("1", "2", "5", "10", "20", "50", "100", "200", "500", "1000");
    assertThat(labels(axis, 1, 1000, 120)).containsExactly("1", "10", "100", "1000");
    assertThat(labels(axis, 1e-12, 1e12, 200)).hasSizeBetween(3, 8);
  }

  @Test
  void evenStepsWithinADecade() {
    assertThat(labels(Axis.log("x", 1, 10), 30, 70, 300)).contains("40", "50", "60");
  }

  @Test
  void minorTicksOfADecadeAreItsDigits() {
    Axis axis = Axis.log("x", 1, 10);
    List<Ticks.Tick> ticks = Ticks.choose(axis, 0, 3, room(150));
    assertThat(ticks.stream().filter(t -> !t.isMajor()).mapToDouble(Ticks.Tick::place))
        .anyMatch(p -> Math.abs(p - Math.log10(30)) < 1e-9)
        .hasSize(24);
  }

  @Test
  void decibelsAreWrittenAsDecibels() {
    assertThat(labels(Axis.decibel("dB", 1, 10), 0.001, 1, 200))
        .containsExactly("-60", "-40", "-20", "0");
  }

  @Test
  void ticksThatWouldSayTheSameAreLeftOut() {
    Axis axis = Axis.linear("x", 0, 1).withFormat(v -> String.format("%.0f", v));
    assertThat(labels(axis, 0, 2, 400)).doesNotHaveDuplicates();
  }

  @Test
  void labelsNeverOverlapAtAnySizeAndZoom() {
    Random random = new Random(1);
    for (int i = 0; i < 3000; i++) {
      Scale scale = Scale.values()[i % 3];
      Axis axis = new Axis("x", scale, 1, 2, Axis.PLAIN);
      double from = (random.nextDouble() - 0.5) * Math.pow(10, random.nextInt(8) - 3);
      double to = from + Math.pow(10, random.nextDouble() * 12 - 8) * (1 + Math.abs(from));
      if (scale == Scale.LOG) {
        from = Math.max(-12, Math.min(12, from));
        to = Math.min(from + 20, to);
      }
      double length = 5 + random.nextInt(900);
      Ticks.Room room = room(length);
      List<Ticks.Tick> ticks =
          Ticks.choose(axis, from, to, room).stream().filter(Ticks.Tick::isMajor).toList();
      for (int k = 1; k < ticks.size(); k++) {
        double apart = (ticks.get(k).place() - ticks.get(k - 1).place()) / (to - from) * length;
        double half = 3.5 * (ticks.get(k).text().length() + ticks.get(k - 1).text().length());
        assertThat(apart).isGreaterThanOrEqualTo(half + 6 - 1e-6);
      }
    }
  }

  @Test
  void nothingForNonsense() {
    Axis axis = Axis.linear("x", 0, 1);
    assertThat(Ticks.choose(axis, 1, 1, room(100))).isEmpty();
    assertThat(Ticks.choose(axis, Double.NaN, 1, room(100))).isEmpty();
    assertThat(Ticks.choose(axis, 0, 1, room(2))).isEmpty();
  }
}

package ringtrue.ui.job;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;
import ringtrue.library.SetUp;

/** Undo and redo. */
class HistoryTest {
  private static Job named(String name) {
    return Job.EMPTY.with(SetUp.Field.NAME, name);
  }

  @Test
  void takesBackAndDoesAgain() {
    History history = new History();
    assertThat(history.undo()).isEmpty();
    assertThat(history.redo()).isEmpty();
    history.add("a", "", Job.EMPTY, named("a"));
    history.add("b", "", named("a"), named("b"));
    assertThat(history.undoWords()).contains("b");
    assertThat(history.undo()).contains(named("a"));
    assertThat(history.redoWords()).contains("b");
    assertThat(history.undo()).contains(Job.EMPTY);
    assertThat(history.undo()).isEmpty();
    assertThat(history.redo()).contains(named("a"));
    history.add("c", "", named("a"), named("c"));
    assertThat(history.redo()).as("what was undone is gone after another change").isEmpty();
    assertThat(history.undo()).contains(named("a"));
  }

  @Test
  void stepsThatBelongTogetherAreTakenBackAtOnceUntilARest() {
    History history = new History();
    history.add("width", "slider", named("0"), named("1"));
    history.add("width", "slider", named("1"), named("2"));
    history.rest();
    history.add("width", "slider", named("2"), named("3"));
    assertThat(history.undo()).contains(named("2"));
    assertThat(history.undo()).contains(named("0"));
    assertThat(history.redo()).contains(named("2"));
  }

  @Test
  void anyRowOfChangesCanBeTakenBackAndDoneAgain() {
    for (int seed = 0; seed < 40; seed++) {
      Random random = new Random(seed);
      History history = new History();
      List<Job> states = new ArrayList<>(List.of(Job.EMPTY));
      for (int i = 0; i < 30; i++) {
        Job next = named(String.valueOf(random.nextInt(1000)) + i);
        history.add("step", "", states.get(states.size() - 1), next);
        states.add(next);
      }
      for (int i = states.size() - 2; i >= 0; i--) {
        assertThat(history.undo()).contains(states.get(i));
      }
      for (int i = 1; i < states.size(); i++) {
        assertThat(history.redo()).contains(states.get(i));
      }
    }
  }

  @Test
  void keepsTheLastTwoHundred() {
    History history = new History();
    for (int i = 0; i < 250; i++) {
      history.add("step", "", named("n" + i), named("n" + (i + 1)));
    }
    int steps = 0;
    while (history.undo().isPresent()) {
      steps++;
    }
    assertThat(steps).isEqualTo(200);
    history.clear();
    assertThat(history.redo()).isEmpty();
  }

  private static History.Step step(String what, boolean doubtful, String from, String to) {
    return new History.Step(what, "", "CUT", doubtful, named(from), named(to));
  }

  @Test
  void whatWasNeverRightIsNoStep() {
    History history = new History();
    history.add(step("set flutes", true, "3", "abc"));
    history.add(step("set flutes", true, "abc", "abcd"));
    history.add(step("set flutes", false, "abcd", "4"));
    assertThat(history.undo()).contains(named("3"));
    assertThat(history.place()).isEqualTo("CUT");
    assertThat(history.redo()).contains(named("4"));
    history.add(step("set depth", true, "4", "x"));
    history.add(step("set width", false, "x", "y"));
    assertThat(history.undo()).as("over what was wrong").contains(named("4"));
    assertThat(history.redo()).contains(named("y"));
    history.add(step("set depth", true, "y", "z"));
    assertThat(history.undo()).as("while it is the last").contains(named("y"));
    assertThat(history.redo()).as("a mistake is not made again").isEmpty();
    history.add(step("set depth", true, "y", "z"));
    history.add(step("set depth", false, "z", "y"));
    assertThat(history.undoWords()).as("as before: nothing was done").contains("set width");
  }
}

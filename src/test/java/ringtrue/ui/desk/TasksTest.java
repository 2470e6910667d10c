package ringtrue.ui.desk;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.FutureTask;
import java.util.concurrent.TimeUnit;
import javax.swing.SwingUtilities;
import org.junit.jupiter.api.Test;

class TasksTest {
  private static void onEvents(Runnable what) throws Exception {
    FutureTask<Void> task = new FutureTask<>(what, null);
    SwingUtilities.invokeLater(task);
    task.get(10, TimeUnit.SECONDS);
  }

  @Test
  void nothingIsStartedAfterTheEnd() throws Exception {
    Tasks tasks = new Tasks();
    List<String> told = new ArrayList<>();
    onEvents(
        () -> {
          tasks.close();
          tasks.onChange(() -> told.add("change"));
          Tasks.Task late =
              tasks.start("late", p -> told.add("work"), a -> told.add("answer"), told::add);
          assertThat(late.cancelled()).isTrue();
          assertThat(tasks.running()).isEmpty();
        });
    Thread.sleep(100);
    onEvents(() -> assertThat(told).isEmpty());
  }
}

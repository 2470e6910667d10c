package ringtrue.ui.setups;

import java.awt.Component;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import javax.swing.JTable;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import ringtrue.library.SetUpLibrary;
import ringtrue.ui.WindowHarness;
import ringtrue.ui.desk.StageId;
import ringtrue.ui.job.Job;

/** A library of many set-ups: what the event thread does for it, in its processor's time. */
@Timeout(value = 200, threadMode = Timeout.ThreadMode.SEPARATE_THREAD)
class ManySetUpsTest extends WindowHarness {

  private JTable table() {
    return (JTable) find("saved-table");
  }

  @Test
  void searchingScrollingAndComparingHoldNothingUp() throws Exception {
    int many = Integer.getInteger("ringtrue.manySetUps", 200);
    Shelves.fill(SetUpLibrary.in(home.resolve("library")), many);
    onEvents(
        () -> {
          desk.begin(Job.EMPTY, () -> desk.go(StageId.SET_UP));
          return null;
        });
    seen(Component.class, "setup-tool");
    long from = System.nanoTime();
    keys("ctrl shift L");
    waitUntil("all are listed", () -> table() != null && table().getRowCount() == many);
    double first = (System.nanoTime() - from) / 1e9;
    shoot("listed");
    use();
    Files.writeString(Path.of("target", "many-set-ups.txt"), many + ": first " + first + " s\n");
  }

  private void use() {
    int all = table().getRowCount();
    type("saved-search", "router");
    waitUntil("few are left", () -> table().getRowCount() < all);
    for (int i = 0; i < 6; i++) {
      keys("BACK_SPACE");
    }
    waitUntil("all are back", () -> table().getRowCount() == all);
    keys("DOWN");
    for (String each : List.of("END", "PAGE_UP", "PAGE_UP", "HOME", "PAGE_DOWN")) {
      keys(each);
    }
    keys("shift DOWN");
    keys("C");
    waitUntil("they are compared", () -> find("compare-modes") != null);
    shoot("compared");
    keys("ctrl HOME");
    keys("ctrl shift H");
    waitUntil("the set-up is seen", () -> find("setup-tool") != null);
    keys("ctrl shift L");
    waitUntil("the list is seen again", () -> table() != null && table().getRowCount() == all);
  }
}

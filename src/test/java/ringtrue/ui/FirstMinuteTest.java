package ringtrue.ui;

import org.junit.jupiter.api.Test;

/** The way from the first page on. */
class FirstMinuteTest extends WindowHarness {

  @Test
  void theSimulatedMachineIsOneOfTheWaysIn() {
    press("begin-simulated");
    waitUntil("a job is open", () -> desk.folder().isPresent());
    seen(java.awt.Component.class, "stage-path");
    shoot("begun");
  }
}

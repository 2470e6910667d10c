package ringtrue.cli;

import java.io.IOException;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicBoolean;
import ringtrue.acquisition.LiveInput;

/** Ctrl-C while something is recorded: lets it end in order before the program does. */
final class OrderlyStop implements AutoCloseable {
  private static final long STOPPING_MS = 500;

  private final AtomicBoolean stop;
  private final LiveInput input;
  private final long finishingS;
  private final CountDownLatch finished = new CountDownLatch(1);
  private final Thread hook = new Thread(this::stopAndWait, "stop");

  /**
   * Watches until it is closed.
   *
   * @param stop set when the recording is to end
   * @param input closed if it does not end soon, since it may wait for frames that do not come
   * @param finishingS how long what comes after the recording may take, s
   */
  OrderlyStop(AtomicBoolean stop, LiveInput input, long finishingS) {
    this.stop = stop;
    this.input = input;
    this.finishingS = finishingS;
    Runtime.getRuntime().addShutdownHook(hook);
  }

  private void stopAndWait() {
    stop.set(true);
    try {
      if (!finished.await(STOPPING_MS, TimeUnit.MILLISECONDS)) {
        input.close();
        finished.await(finishingS, TimeUnit.SECONDS);
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    } catch (IOException e) {
      // what was recorded is kept all the same
    }
  }

  @Override
  public void close() {
    finished.countDown();
    try {
      Runtime.getRuntime().removeShutdownHook(hook);
    } catch (IllegalStateException e) {
      // the program is ending already, by way of this very hook
    }
  }
}

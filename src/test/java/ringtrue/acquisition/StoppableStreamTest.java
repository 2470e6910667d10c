package ringtrue.acquisition;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatIOException;

import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.PipedInputStream;
import java.io.PipedOutputStream;
import java.util.Random;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Test;

class StoppableStreamTest {
  @Test
  void givesTheSameBytes() throws IOException {
    byte[] bytes = new byte[10_000_019];
    new Random(3).nextBytes(bytes);
    try (StoppableStream stream = new StoppableStream(new ByteArrayInputStream(bytes))) {
      assertThat(stream.readAllBytes()).isEqualTo(bytes);
      assertThat(stream.read()).isEqualTo(-1);
    }
  }

  @Test
  void whoWaitsGetsTheEndWhenItIsClosed() throws Exception {
    try (PipedOutputStream never = new PipedOutputStream();
        PipedInputStream source = new PipedInputStream(never)) {
      StoppableStream stream = new StoppableStream(source);
      never.write(new byte[] {5, 6});
      never.flush();
      assertThat(stream.readNBytes(2)).containsExactly(5, 6);
      CompletableFuture<Integer> waiting =
          CompletableFuture.supplyAsync(
              () -> {
                try {
                  return stream.read();
                } catch (IOException e) {
                  return -2;
                }
              });
      Thread.sleep(100);
      assertThat(waiting).isNotDone();
      stream.close();
      assertThat(waiting.get(20, TimeUnit.SECONDS)).isEqualTo(-1);
    }
  }

  @Test
  void aSourceThatFailsIsNoEnd() throws IOException {
    InputStream failing =
        new InputStream() {
          @Override
          public int read() throws IOException {
            throw new IOException("the pipe broke");
          }
        };
    try (StoppableStream stream = new StoppableStream(failing)) {
      assertThatIOException().isThrownBy(stream::read).withMessage("the pipe broke");
    }
  }
}

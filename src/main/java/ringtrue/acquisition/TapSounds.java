package ringtrue.acquisition;

import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import javax.sound.sampled.AudioFormat;
import javax.sound.sampled.AudioSystem;
import javax.sound.sampled.Clip;
import javax.sound.sampled.LineUnavailableException;

/**
 * Sounds by which a person with a hammer in hand knows what became of a tap: two rising tones for
 * kept, a low double buzz for set aside, three rising tones for the end. Without a sound output it
 * stays silent.
 */
public final class TapSounds implements AutoCloseable {
  private static final float RATE = 44100;

  /** What there is to hear. */
  public enum Sound {
    KEPT(new double[] {880, 1320}, 0.07),
    SET_ASIDE(new double[] {196, 0, 165}, 0.13),
    READY(new double[] {660}, 0.1),
    DONE(new double[] {880, 1110, 1480}, 0.12);

    private final double[] tonesHz;
    private final double toneS;

    Sound(double[] tonesHz, double toneS) {
      this.tonesHz = tonesHz;
      this.toneS = toneS;
    }

    /** 16 bits, one channel, little end first; each tone comes and goes softly. */
    byte[] samples() {
      int tone = (int) (toneS * RATE);
      byte[] bytes = new byte[2 * tone * tonesHz.length];
      for (int t = 0; t < tonesHz.length; t++) {
        for (int i = 0; i < tone; i++) {
          double swell = Math.min(1, 8 * Math.min(i, tone - i) / (double) tone);
          double phase = 2 * Math.PI * tonesHz[t] * i / RATE;
          double v = 0.5 * swell * (Math.sin(phase) + 0.3 * Math.sin(3 * phase));
          int number = (int) Math.round(v * 32767);
          int at = 2 * (t * tone + i);
          bytes[at] = (byte) number;
          bytes[at + 1] = (byte) (number >> 8);
        }
      }
      return bytes;
    }
  }

  private final ExecutorService player;
  private volatile boolean works = true;

  /**
   * @param quiet whether nothing shall be heard
   */
  public TapSounds(boolean quiet) {
    player =
        quiet
            ? null
            : Executors.newSingleThreadExecutor(
                task -> {
                  Thread thread = new Thread(task, "sounds");
                  thread.setDaemon(true);
                  return thread;
                });
  }

  /** Begins to play and returns at once. */
  public void play(Sound sound) {
    if (player != null && works) {
      player.execute(() -> sounding(sound));
    }
  }

  private void sounding(Sound sound) {
    if (!works) {
      return;
    }
    byte[] samples = sound.samples();
    try (Clip clip = AudioSystem.getClip()) {
      clip.open(new AudioFormat(RATE, 16, 1, true, false), samples, 0, samples.length);
      clip.start();
      Thread.sleep((long) (1000.0 * samples.length / 2 / RATE) + 60);
    } catch (LineUnavailableException
        | IllegalArgumentException
        | IllegalStateException
        | SecurityException
        | LinkageError e) {
      works = false; // no output, or another program has it: the screen has to do
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }

  @Override
  public void close() {
    if (player != null) {
      player.shutdown();
      try {
        player.awaitTermination(1, java.util.concurrent.TimeUnit.SECONDS);
      } catch (InterruptedException e) {
        Thread.currentThread().interrupt();
      }
      player.shutdownNow();
    }
  }
}

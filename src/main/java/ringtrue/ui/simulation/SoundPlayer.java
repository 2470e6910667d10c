package ringtrue.ui.simulation;

import java.util.function.Consumer;
import javax.sound.sampled.AudioFormat;
import javax.sound.sampled.AudioSystem;
import javax.sound.sampled.LineUnavailableException;
import javax.sound.sampled.SourceDataLine;
import javax.swing.SwingUtilities;

/** Plays a sound in the background, never louder than a quarter of full scale. */
final class SoundPlayer {
  /** Largest part of full scale that is ever played: ears are not to be surprised. */
  static final double LOUDEST = 0.25;

  private static final double FADE_S = 0.03;
  private static final int BLOCK = 2048;

  private volatile Thread playing;
  private volatile double volume = 0.5;

  /**
   * Plays once; a sound that is being played ends.
   *
   * @param samples of any size
   * @param rateHz samples per second
   * @param ended told on the event thread: one sentence if it could not be played, or nothing
   */
  void play(double[] samples, int rateHz, Consumer<String> ended) {
    stop();
    Thread thread = new Thread(() -> run(samples, rateHz, ended), "sound of the simulated cut");
    thread.setDaemon(true);
    playing = thread;
    thread.start();
  }

  boolean playing() {
    return playing != null;
  }

  /** From 0 to 1, while it plays as well. */
  void volume(double part) {
    volume = Math.max(0, Math.min(1, part));
  }

  void stop() {
    playing = null;
  }

  private void run(double[] samples, int rateHz, Consumer<String> ended) {
    String problem = "";
    AudioFormat format = new AudioFormat(rateHz, 16, 1, true, false);
    try (SourceDataLine line = AudioSystem.getSourceDataLine(format)) {
      line.open(format, 4 * BLOCK);
      line.start();
      byte[] bytes = new byte[2 * BLOCK];
      double peak = peak(samples);
      for (int at = 0; at < samples.length && mine(); at += BLOCK) {
        int n = Math.min(BLOCK, samples.length - at);
        pcm(samples, at, n, peak, LOUDEST * volume, rateHz, bytes);
        line.write(bytes, 0, 2 * n);
      }
      if (mine()) {
        line.drain();
      }
    } catch (LineUnavailableException | IllegalArgumentException | SecurityException e) {
      problem = "no sound output can be opened here; the picture tells the same";
    }
    String words = problem;
    SwingUtilities.invokeLater(
        () -> {
          if (playing == null || !playing.isAlive()) {
            playing = null;
          }
          ended.accept(words);
        });
    if (mine()) {
      playing = null;
    }
  }

  private boolean mine() {
    return playing == Thread.currentThread();
  }

  private static double peak(double[] samples) {
    double peak = 0;
    for (double s : samples) {
      peak = Math.max(peak, Math.abs(s));
    }
    return peak > 0 ? peak : 1;
  }

  /** Samples of 16 bits, faded in and out at the ends of the whole. */
  static void pcm(
      double[] samples, int at, int n, double peak, double loud, int rateHz, byte[] into) {
    double fade = FADE_S * rateHz;
    for (int i = 0; i < n; i++) {
      double edge = Math.min(1, Math.min(at + i, samples.length - 1 - at - i) / fade);
      int value = (int) Math.round(32767 * loud * edge * samples[at + i] / peak);
      into[2 * i] = (byte) value;
      into[2 * i + 1] = (byte) (value >> 8);
    }
  }
}

package ringtrue.acquisition;

import java.io.IOException;
import java.nio.file.Path;
import ringtrue.units.BadInputException;

/**
 * Records from a sound input in a process of its own, whose environment leads the sound system to
 * what a test wants. Arguments: input, rate, channels, bits, frames, WAV file. Says what it does in
 * lines on standard output.
 */
final class CaptureChild {
  private CaptureChild() {}

  public static void main(String[] args) throws IOException {
    int rate = Integer.parseInt(args[1]);
    int channels = Integer.parseInt(args[2]);
    int bits = Integer.parseInt(args[3]);
    long wanted = Long.parseLong(args[4]);
    try (SoundInput input = SoundInputs.ofThisComputer().open(args[0], rate, channels, bits)) {
      System.out.println("opened " + input.name() + " " + input.format());
      try (StreamedWav wav = StreamedWav.create(Path.of(args[5]), rate, channels, bits, true)) {
        record(input, wav, wanted);
      }
      for (LiveInput.Gap gap : input.gaps()) {
        System.out.println("gap " + gap.atFrame() + " " + gap.missingFrames() + " " + gap.why());
      }
    } catch (BadInputException e) {
      System.out.println("refused " + e.getMessage());
    }
  }

  private static void record(LiveInput input, StreamedWav wav, long wanted) throws IOException {
    double[] frames = new double[4096 * input.channels()];
    try {
      while (wav.frames() < wanted) {
        boolean first = wav.frames() == 0;
        int got = input.read(frames, (int) Math.min(4096, wanted - wav.frames()));
        if (got < 0) {
          break;
        }
        wav.write(frames, got);
        if (first) {
          System.out.println("recording");
        }
      }
    } catch (IOException e) {
      System.out.println("lost " + e.getMessage());
    }
  }
}

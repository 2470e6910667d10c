package ringtrue.acquisition;

import java.util.List;

/** A recording of the virtual rig, computed while it is read; any length needs the same memory. */
final class SimulatedRecording implements Recording {
  private final String name;
  private final double sampleRateHz;
  private final long frames;
  private final List<SimulatedChannel> channels;

  SimulatedRecording(
      String name, double sampleRateHz, long frames, List<SimulatedChannel> channels) {
    this.name = name;
    this.sampleRateHz = sampleRateHz;
    this.frames = frames;
    this.channels = List.copyOf(channels);
  }

  @Override
  public String name() {
    return name;
  }

  @Override
  public double sampleRateHz() {
    return sampleRateHz;
  }

  @Override
  public int channels() {
    return channels.size();
  }

  @Override
  public long frames() {
    return frames;
  }

  @Override
  public Cursor from(long frame) {
    if (frame < 0 || frame > frames) {
      throw new IllegalArgumentException("frame " + frame + " is outside 0.." + frames);
    }
    return new Cursor() {
      private final double[][] blocks = new double[channels.size()][SimulatedChannel.BLOCK];
      private final long[] held = heldNothing();
      private long next = frame;

      @Override
      public int read(double[][] into, int offset, int wanted) {
        if (into.length != channels.size()) {
          throw new IllegalArgumentException(
              "needs one array or null for each of " + channels.size() + " channels");
        }
        int total = (int) Math.min(wanted, frames - next);
        int done = 0;
        while (done < total) {
          long index = next / SimulatedChannel.BLOCK;
          int start = (int) (next % SimulatedChannel.BLOCK);
          int now = Math.min(total - done, SimulatedChannel.BLOCK - start);
          for (int c = 0; c < into.length; c++) {
            if (into[c] != null) {
              if (held[c] != index) {
                channels.get(c).block(index, blocks[c]);
                held[c] = index;
              }
              System.arraycopy(blocks[c], start, into[c], offset + done, now);
            }
          }
          next += now;
          done += now;
        }
        return total;
      }

      @Override
      public void close() {
        // nothing is held open
      }
    };
  }

  private long[] heldNothing() {
    long[] none = new long[channels.size()];
    java.util.Arrays.fill(none, -1);
    return none;
  }
}

package ringtrue.signal;

import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import ringtrue.acquisition.MemoryRecording;
import ringtrue.acquisition.Recording;
import ringtrue.acquisition.TapRecording;

/** A session fed from a recording in portions, as an input would feed it. */
final class Replayed {
  final TapRecording about;
  final MemoryRecording recording;
  final TapSession session;
  final List<TapEvent> events = new ArrayList<>();
  private final double[] interleaved;
  private final int channels;
  private long at;

  Replayed(TapRecording about, Processing wanted, TapSession.Goal goal) throws IOException {
    this.about = about;
    Recording only = about.recordings().get(0);
    this.recording = only instanceof MemoryRecording memory ? memory : MemoryRecording.copyOf(only);
    this.channels = recording.channels();
    int frames = (int) recording.frames();
    interleaved = new double[frames * channels];
    for (int c = 0; c < channels; c++) {
      double[] channel = recording.channel(c + 1);
      for (int i = 0; i < frames; i++) {
        interleaved[i * channels + c] = channel[i];
      }
    }
    session =
        new TapSession(
            about,
            wanted,
            goal,
            (frame, count, into) ->
                System.arraycopy(interleaved, (int) frame * channels, into, 0, count * channels));
  }

  /** Feeds until the session is over or the recording ends, in portions of this many frames. */
  Replayed run(int portion) throws IOException {
    run(portion, recording.frames());
    events.addAll(session.end("the recording has ended"));
    return this;
  }

  /** The same up to a frame, and goes on later. */
  void run(int portion, double until) throws IOException {
    double[] some = new double[portion * channels];
    while (at < Math.min(until, recording.frames())
        && session.state() != TapSession.State.FINISHED) {
      int n = (int) Math.min(portion, recording.frames() - at);
      System.arraycopy(interleaved, (int) at * channels, some, 0, n * channels);
      at += n;
      events.addAll(session.take(some, n));
    }
  }

  long frames() {
    return at;
  }

  <T extends TapEvent> List<T> events(Class<T> kind) {
    return events.stream().filter(kind::isInstance).map(kind::cast).toList();
  }

  List<Tap.Verdict> verdicts() {
    return session.taps().stream().map(t -> t.tap().verdict()).toList();
  }
}

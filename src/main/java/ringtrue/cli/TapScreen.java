package ringtrue.cli;

import java.io.PrintWriter;
import java.util.Locale;
import java.util.function.Consumer;
import ringtrue.acquisition.LiveInput;
import ringtrue.acquisition.TapSounds;
import ringtrue.signal.ChannelMeter;
import ringtrue.signal.SessionTap;
import ringtrue.signal.Tap;
import ringtrue.signal.TapEvent;
import ringtrue.signal.TapSession;

/** Shows a session: large plain words, a line of meters on a terminal, sounds, or JSON lines. */
final class TapScreen implements Consumer<TapEvent> {
  private static final long METER_NANOS = 200_000_000L;
  private static final int BAR = 20;

  private final PrintWriter out;
  private final TapSession session;
  private final TapSounds sounds;
  private final boolean json;
  private final boolean terminal;
  private final int wanted;
  private final double sampleRateHz;
  private long lastMeters = System.nanoTime();
  private boolean metersShown;

  /**
   * @param wanted taps to keep; 0 for no number
   * @param terminal whether a line can be written over
   */
  TapScreen(
      PrintWriter out,
      TapSession session,
      TapSounds sounds,
      boolean json,
      boolean terminal,
      int wanted,
      double sampleRateHz) {
    this.out = out;
    this.session = session;
    this.sounds = sounds;
    this.json = json;
    this.terminal = terminal;
    this.wanted = wanted;
    this.sampleRateHz = sampleRateHz;
  }

  @Override
  public void accept(TapEvent event) {
    if (event == null) {
      meters();
      return;
    }
    hear(event);
    if (json) {
      JsonOut.write(out, o -> toJson(o, event));
    } else {
      clear();
      say(event);
    }
    out.flush();
  }

  private void hear(TapEvent event) {
    if (event instanceof TapEvent.Ready) {
      sounds.play(TapSounds.Sound.READY);
    } else if (event instanceof TapEvent.Judged judged) {
      sounds.play(judged.tap().isKept() ? TapSounds.Sound.KEPT : TapSounds.Sound.SET_ASIDE);
    } else if (event instanceof TapEvent.Finished finished && finished.reached()) {
      sounds.play(TapSounds.Sound.DONE);
    }
  }

  // ---- words

  private void say(TapEvent event) {
    if (event instanceof TapEvent.Listening listening) {
      line(
          listening.again()
              ? "LISTENING again: something knocked. Keep still for a moment."
              : "LISTENING. Keep still for a moment.");
    } else if (event instanceof TapEvent.Ready ready) {
      ready(ready);
    } else if (event instanceof TapEvent.BlockChosen block) {
      line("  blocks of %.4g s", block.blockLengthS());
    } else if (event instanceof TapEvent.Judged judged) {
      judged(judged.tap(), judged.kept());
    } else if (event instanceof TapEvent.Changed changed) {
      changed(changed);
    } else if (event instanceof TapEvent.FramesLost lost) {
      lost(lost.gap());
    } else if (event instanceof TapEvent.Advice advice) {
      line("  >> %s", advice.sentence());
    } else if (event instanceof TapEvent.Finished finished) {
      line("%s: %s.", finished.reached() ? "DONE" : "STOPPED", finished.sentence());
    }
  }

  private void ready(TapEvent.Ready ready) {
    if (!ready.wasQuiet()) {
      line("  it never got quiet; the quieter moments have to do");
    }
    line(
        Double.isNaN(ready.forceNoise())
            ? String.format(
                Locale.ROOT,
                "TAP NOW   (no force channel: triggers on the response at %.3g)",
                ready.triggerLevel())
            : String.format(
                Locale.ROOT,
                "TAP NOW   (noise of the force %.2g N, triggers at %.3g N)",
                ready.forceNoise(),
                ready.triggerLevel()));
  }

  private void lost(LiveInput.Gap gap) {
    line(
        "! GAP: %d frames (%.3g ms) are missing at %.3f s: %s",
        gap.missingFrames(),
        1e3 * gap.missingFrames() / sampleRateHz,
        gap.atFrame() / sampleRateHz,
        gap.why());
  }

  private void judged(SessionTap tap, int kept) {
    Tap t = tap.tap();
    String of = wanted > 0 ? " of " + wanted : "";
    if (tap.isKept()) {
      double coherence = session.bandCoherence();
      line(
          "KEPT %d%s   tap %d: %s%s",
          kept,
          of,
          t.number(),
          t.reason(),
          Double.isNaN(coherence) ? "" : String.format(Locale.ROOT, ", coherence %.3f", coherence));
    } else {
      line("SET ASIDE: %s   tap %d: %s", t.verdict().word(), t.number(), t.reason());
    }
    if (wanted == 0 || kept < wanted) {
      line("TAP NOW");
    }
  }

  private void changed(TapEvent.Changed changed) {
    Tap t = changed.tap().tap();
    if (changed.tap().isKept()) {
      line("  tap %d is kept after all: %s (%d kept)", t.number(), t.reason(), changed.kept());
    } else {
      line(
          "  tap %d is set aside now: %s: %s (%d kept)",
          t.number(), t.verdict().word(), t.reason(), changed.kept());
    }
  }

  private void line(String format, Object... values) {
    out.printf(Locale.ROOT, format + "%n", values);
  }

  // ---- meters

  private void meters() {
    if (!terminal || json || System.nanoTime() - lastMeters < METER_NANOS) {
      return;
    }
    lastMeters = System.nanoTime();
    StringBuilder text = new StringBuilder("\r");
    for (int c = 0; c < session.meters().size() && c < 2; c++) {
      ChannelMeter meter = session.meters().get(c);
      text.append(
          String.format(
              Locale.ROOT,
              "%d [%s] %4.0f dB%s  ",
              c + 1,
              bar(meter),
              decibel(meter.peak()),
              meter.clipped() > 0 ? " CLIPPED" : meter.silent() ? " silent" : ""));
    }
    out.print(text);
    out.flush();
    metersShown = true;
  }

  /** From −80 dB to full scale; the peak that is held is a bar of its own. */
  private static String bar(ChannelMeter meter) {
    StringBuilder bar = new StringBuilder();
    long level = Math.round(BAR * (1 + decibel(meter.level()) / 80));
    long peak = Math.round(BAR * (1 + decibel(meter.peak()) / 80));
    for (int i = 1; i <= BAR; i++) {
      bar.append(i <= level ? '#' : i == peak ? '|' : '.');
    }
    return bar.toString();
  }

  private static double decibel(double part) {
    return Math.max(-99, 20 * Math.log10(Math.max(part, 1e-6)));
  }

  private void clear() {
    if (metersShown) {
      out.printf("\r%76s\r", "");
      metersShown = false;
    }
  }

  // ---- JSON

  private void toJson(JsonOut o, TapEvent event) {
    if (event instanceof TapEvent.Listening listening) {
      o.put("event", "listening").put("again", listening.again());
    } else if (event instanceof TapEvent.Ready ready) {
      o.put("event", "ready")
          .put("forceNoiseN", ready.forceNoise())
          .put("responseNoise", ready.responseNoise())
          .put("triggerLevel", ready.triggerLevel())
          .put("wasQuiet", ready.wasQuiet());
    } else if (event instanceof TapEvent.Struck struck) {
      o.put("event", "struck").put("onsetFrame", struck.onsetFrame());
    } else if (event instanceof TapEvent.BlockChosen block) {
      o.put("event", "block").put("blockLengthS", block.blockLengthS());
      o.texts("remarks", block.remarks());
    } else if (event instanceof TapEvent.Judged judged) {
      o.put("event", "tap").put("kept", judged.kept());
      tap(o, judged.tap());
      o.put("coherence", session.bandCoherence());
    } else if (event instanceof TapEvent.Changed changed) {
      o.put("event", "changed").put("kept", changed.kept());
      o.put("before", changed.before().word());
      tap(o, changed.tap());
    } else if (event instanceof TapEvent.FramesLost lost) {
      o.put("event", "gap")
          .put("atFrame", lost.gap().atFrame())
          .put("missingFrames", lost.gap().missingFrames())
          .put("why", lost.gap().why());
    } else if (event instanceof TapEvent.Advice advice) {
      o.put("event", "advice").put("sentence", advice.sentence());
    } else if (event instanceof TapEvent.Finished finished) {
      o.put("event", "finished").put("reached", finished.reached());
      o.put("sentence", finished.sentence());
    }
  }

  static void tap(JsonOut o, SessionTap tap) {
    Tap t = tap.tap();
    o.put("number", t.number())
        .put("onsetS", t.onsetS())
        .put("firstFrame", tap.firstFrame())
        .put("frames", tap.frames())
        .put("peakForceN", t.peakForceN())
        .put("contactS", t.contactS())
        .put("usableToHz", t.usableToHz())
        .put("verdict", t.verdict().word())
        .put("reason", t.reason());
  }
}

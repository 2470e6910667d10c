package ringtrue.cli;

import java.util.List;
import ringtrue.planning.SoundAdvice;
import ringtrue.signal.HeardCut;

/** What the sound of a cut tells, as JSON. */
final class ListenJson {
  private ListenJson() {}

  static void write(
      JsonOut o, HeardCut heard, SoundAdvice advice, double statedHz, List<String> remarks) {
    o.put("toothPassHz", heard.toothPassHz());
    o.put("spindleHz", heard.spindleHz());
    o.put("verdict", heard.verdict().word());
    o.objects(
        "peaks",
        heard.peaks(),
        (p, line) ->
            p.put("frequencyHz", line.frequencyHz())
                .put("level", line.levelDb())
                .put("is", line.is().word())
                .put("harmonic", line.harmonic())
                .put("aboveNoiseDb", line.aboveNoiseDb())
                .put("about", line.about()));
    o.put("chatterHz", heard.chatterHz());
    List<SoundAdvice.TrySpeed> speeds = advice.speeds();
    o.numbers("trySpeedsRpm", speeds.size(), i -> speeds.get(i).speedRpm());
    o.put("because", heard.because());
    o.put("flip", heard.flip());
    o.put("fromS", heard.fromS());
    o.put("toS", heard.toS());
    o.put("statedSpindleHz", statedHz);
    o.put("spindleLowHz", heard.spindleLowHz());
    o.put("spindleHighHz", heard.spindleHighHz());
    o.put("amplification", heard.amplification());
    o.put("amplifiedHz", heard.amplifiedHz());
    o.put("noCutHeard", heard.verdict() == HeardCut.Verdict.NOTHING_HEARD);
    advice
        .mode()
        .ifPresent(
            m ->
                o.object(
                    "mode",
                    f ->
                        f.put("axis", m.axis())
                            .put("frequencyHz", m.frequencyHz())
                            .put("chatterOver", m.chatterOver())));
    advice
        .lobes()
        .ifPresent(
            a ->
                o.object(
                    "lobes",
                    f ->
                        f.put("limitDepthM", a.limitDepthM())
                            .put("stable", a.stable())
                            .put("chatterHz", a.chatterHz())
                            .put("agree", a.agree())
                            .put("frequencyShift", a.frequencyShift())
                            .put("plausible", a.plausible())
                            .put("coefficientFactor", a.coefficientFactor())));
    o.objects(
        "speeds",
        speeds,
        (f, s) ->
            f.put("speedRpm", s.speedRpm())
                .put("wavesPerTooth", s.wavesPerTooth())
                .put("limitDepthM", s.limitDepthM())
                .put("stable", s.stable()));
    o.texts("advice", advice.sentences());
    o.objects("parts", heard.parts(), ListenJson::part);
    o.texts("cautions", ListenText.CAUTIONS);
    o.texts("remarks", remarks);
  }

  static void part(JsonOut o, HeardCut.Part p) {
    o.put("fromS", p.fromS())
        .put("toS", p.toS())
        .put("verdict", p.verdict().word())
        .put("spindleHz", p.spindleHz())
        .put("chatterHz", p.chatterHz());
  }
}

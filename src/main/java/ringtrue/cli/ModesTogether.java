package ringtrue.cli;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.stream.IntStream;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.fitting.GlobalModes;
import ringtrue.fitting.GlobalModes.OneResponse;
import ringtrue.fitting.GlobalModes.Share;
import ringtrue.fitting.GlobalModes.SharedMode;

/** Modes that several responses share, as text and JSON. */
record ModesTogether(List<Path> files, List<FrequencyResponse> responses, GlobalModes global) {

  void print(Command command) {
    if (!global.isShared()) {
      command.say("The responses do not share their modes; each was fitted by itself.");
      for (int i = 0; i < files.size(); i++) {
        command.say("");
        command.say("%s", files.get(i));
        new ModesText(command).modes(global.responses().get(i).fitted());
      }
      return;
    }
    command.say("Shared by %d responses", files.size());
    command.say("%4s %20s %20s", "mode", "frequency Hz", "damping %");
    int number = 1;
    for (SharedMode m : global.modes()) {
      command.say(
          "%4d %20s %20s",
          number++,
          ModesText.plusMinus(m.frequencyHz(), m.frequencyHzSigma(), 2),
          ModesText.plusMinus(m.dampingRatio() * 100, m.dampingRatioSigma() * 100, 4));
    }
    for (int i = 0; i < files.size(); i++) {
      OneResponse one = global.responses().get(i);
      command.say("");
      command.say(
          "%s%s: stiffness N/um",
          files.get(i), one.isDrivingPoint() ? "" : " (blow and sensor in different directions)");
      for (int j = 0; j < global.modes().size(); j++) {
        command.say(
            "%4d %10.1f Hz %22s",
            j + 1,
            global.modes().get(j).frequencyHz(),
            one.shares().get(j).map(ModesTogether::stiffness).orElse("not seen"));
      }
    }
  }

  private static String stiffness(Share share) {
    double k = 1 / share.complianceMPerN();
    double sigma = Math.abs(k * share.complianceMPerNSigma() / share.complianceMPerN());
    return ModesText.plusMinus(k / 1e6, sigma / 1e6, 4);
  }

  void json(JsonOut o) {
    o.put("shared", global.isShared());
    o.objects(
        "modes",
        global.modes(),
        (m, mode) ->
            m.put("frequencyHz", mode.frequencyHz())
                .put("frequencyHzSigma", mode.frequencyHzSigma())
                .put("dampingRatio", mode.dampingRatio())
                .put("dampingRatioSigma", mode.dampingRatioSigma()));
    o.objects("measurements", IntStream.range(0, files.size()).boxed().toList(), this::measurement);
    o.texts("remarks", remarks());
  }

  private void measurement(JsonOut o, int index) {
    OneResponse one = global.responses().get(index);
    o.put("file", files.get(index).toString());
    o.put("drivingPoint", one.isDrivingPoint());
    o.objects(
        "shares",
        one.shares(),
        (s, share) ->
            s.put("complianceMPerN", share.map(Share::complianceMPerN).orElse(Double.NaN))
                .put(
                    "complianceMPerNSigma",
                    share.map(Share::complianceMPerNSigma).orElse(Double.NaN)));
    ModesJson.modes(o, one.fitted(), one.fitted().remarks());
  }

  List<String> remarks() {
    List<String> all = new ArrayList<>(global.remarks());
    for (int i = 0; i < files.size(); i++) {
      Path file = files.get(i);
      Optional<Path> name = Optional.ofNullable(file.getFileName());
      String where = String.format(Locale.ROOT, "%s: ", name.orElse(file));
      responses.get(i).origin().remarks().forEach(r -> all.add(where + r));
      global.responses().get(i).fitted().remarks().forEach(r -> all.add(where + r));
    }
    return all;
  }
}

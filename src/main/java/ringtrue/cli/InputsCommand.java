package ringtrue.cli;

import java.util.LinkedHashSet;
import java.util.List;
import java.util.Set;
import picocli.CommandLine;
import ringtrue.acquisition.SoundInputs;

/** {@code inputs}: what sound inputs there are. */
@CommandLine.Command(
    name = "inputs",
    sortOptions = false,
    description = {
      "Lists the sound inputs with the rates, channels and depths at which they could be opened."
    },
    footer = {"", "Example: ringtrue inputs --json"})
final class InputsCommand extends Command {
  private static final String MAY_CONVERT =
      "an input marked * claims any rate, so that the system may convert: rates and bits are those"
          + " at which it opens, not necessarily those of the device";

  private final SoundInputs inputs;

  InputsCommand() {
    this(SoundInputs.ofThisComputer());
  }

  InputsCommand(SoundInputs inputs) {
    this.inputs = inputs;
  }

  @Override
  public Integer call() {
    List<SoundInputs.Device> devices = inputs.list();
    List<String> remarks = List.of();
    if (devices.isEmpty()) {
      remarks = List.of(SoundInputs.noneFound());
    } else if (devices.stream().anyMatch(SoundInputs.Device::anyRateSaid)) {
      remarks = List.of(MAY_CONVERT);
    }
    List<String> said = remarks;
    if (json) {
      JsonOut.write(
          out(), o -> o.objects("inputs", devices, InputsCommand::toJson).texts("remarks", said));
      remarks(said);
    } else if (devices.isEmpty()) {
      say("%s", SoundInputs.noneFound());
    } else {
      devices.forEach(this::print);
      remarks(said);
    }
    return Ringtrue.DONE;
  }

  private void print(SoundInputs.Device device) {
    say(
        "%d  %s%s%s",
        device.number(),
        device.name(),
        device.anyRateSaid() ? " *" : "",
        device.description().isEmpty() ? "" : "  (" + device.description() + ")");
    // the same in three and in four bytes is one thing to the reader
    Set<String> lines = new LinkedHashSet<>();
    for (SoundInputs.Offer offer : device.offers()) {
      lines.add(
          String.format(
              "     %2d channel%s  %d bits  %s kHz",
              offer.channels(),
              offer.channels() == 1 ? " " : "s",
              offer.bits(),
              String.join(", ", offer.ratesHz().stream().map(r -> kilo(r)).toList())));
    }
    lines.forEach(line -> say("%s", line));
    if (!device.remark().isEmpty()) {
      say("     %s", device.remark());
    }
  }

  private static String kilo(int hz) {
    return hz % 1000 == 0 ? String.valueOf(hz / 1000) : String.valueOf(hz / 1000.0);
  }

  private static void toJson(JsonOut o, SoundInputs.Device device) {
    o.put("number", device.number())
        .put("name", device.name())
        .put("description", device.description())
        .put("anyRateSaid", device.anyRateSaid())
        .objects(
            "offers",
            device.offers(),
            (p, offer) ->
                p.put("bits", offer.bits())
                    .put("bytesPerSample", offer.bytesPerSample())
                    .put("channels", offer.channels())
                    .numbers("ratesHz", offer.ratesHz().size(), i -> offer.ratesHz().get(i)))
        .put("remark", device.remark());
  }
}

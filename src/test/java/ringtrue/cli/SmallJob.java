package ringtrue.cli;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import ringtrue.acquisition.BlowPlan;
import ringtrue.acquisition.RigChannel;
import ringtrue.acquisition.VirtualRig;
import ringtrue.acquisition.WavWriter;
import ringtrue.acquisition.WavWriter.SampleFormat;
import ringtrue.dynamics.Mode;

/**
 * A small good job in a folder: three taps on a simulated tool (1240 Hz, 1.6 %, 2.1 N/um) as WAV, a
 * measurement file, a frequency response, and a cut that uses it.
 */
record SmallJob(Path folder) {
  static SmallJob in(Path folder) throws IOException {
    VirtualRig rig =
        VirtualRig.of(Mode.of(1240, 0.016, 2.1e6))
            .withInputs(
                RigChannel.of(0.00225, 1).withNoise(3e-5),
                RigChannel.of(0.00104, 1).withNoise(3e-5));
    WavWriter.write(
        rig.record("taps", 12_000, 0.34, BlowPlan.of(3, 0.08, 20, 0.0004).blows(7), 7),
        folder.resolve("taps.wav"),
        SampleFormat.INT24,
        false);
    Files.writeString(
        folder.resolve("m.json"),
        """
        {
          "format": "ringtrue-measurement/1",
          "name": "small job", "axis": "y", "point": "tool tip",
          "recordings": ["taps.wav"],
          "force": {"channel": 1, "sensitivity": "2.25 mV/N", "fullScale": "1.0 V"},
          "response": {"channel": 2, "quantity": "acceleration", "sensitivity": "10.2 mV/g", "fullScale": "1.0 V"},
          "processing": {"blockLength": "60 ms", "preTrigger": "5 ms"}
        }
        """);
    CommandRun run =
        CommandRun.of(
            "frf",
            folder.resolve("m.json").toString(),
            "--out",
            folder.resolve("tip-y.csv").toString());
    if (run.code() != 0) {
      throw new IllegalStateException(run.err());
    }
    Files.writeString(
        folder.resolve("cut.json"),
        """
        {
          "format": "ringtrue-cut/1",
          "name": "slotting trial",
          "operation": "milling",
          "machine": {"name": "trial mill", "minSpeed": "6000 rpm", "maxSpeed": "24000 rpm", "maxFeed": "5 m/min",
                      "power": [["6000 rpm", "0.5 kW"], ["24000 rpm", "2.2 kW"]]},
          "tool": {"diameter": "6 mm", "flutes": 4, "helix": "35 deg", "pitch": ["90 deg", "90 deg", "90 deg", "90 deg"],
                   "stickout": "22 mm", "fluteLength": "16 mm", "runout": "5 um", "edgeRadius": "5 um"},
          "material": "mild steel",
          "engagement": {"direction": "down", "radial": "0.3 mm", "axial": "6 mm"},
          "speed": "18000 rpm", "feedPerTooth": "0.03 mm",
          "dynamics": {
            "tool":      {"x": {"modes": [{"frequency": "1240 Hz", "damping": "1.6 %", "stiffness": "2.1e6 N/m"}]}, "y": {"frf": "tip-y.csv"}},
            "workpiece": {"x": {"modes": []}, "y": {"modes": [{"frequency": "310 Hz", "damping": "3 %", "stiffness": "9e6 N/m"}]}}
          }
        }
        """);
    return new SmallJob(folder);
  }

  Path wav() {
    return folder.resolve("taps.wav");
  }

  String measurement() {
    return folder.resolve("m.json").toString();
  }

  Path response() {
    return folder.resolve("tip-y.csv");
  }

  String cut() {
    return folder.resolve("cut.json").toString();
  }
}

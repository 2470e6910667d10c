package ringtrue.acquisition;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.HashMap;
import java.util.List;
import java.util.Map;

/** A PulseAudio daemon that nobody else sees, with one sink that nobody hears. */
public record SoundServer(Child daemon, Map<String, String> environment) implements AutoCloseable {
  static final Path SYSTEM_CONF = Path.of("/usr/share/alsa/alsa.conf");

  /**
   * Starts it.
   *
   * @param folder where its files lie
   * @param rate of what its sink plays, Hz
   */
  public static SoundServer start(Path folder, int rate) throws IOException, InterruptedException {
    // the path of a socket may have 107 bytes only
    Path home = folder.toString().length() < 90 ? folder : Files.createTempDirectory("rt");
    Path socket = home.resolve("socket");
    Path script =
        Files.writeString(
            folder.resolve("server.pa"),
            "load-module module-native-protocol-unix auth-anonymous=1 socket="
                + socket
                + "\nload-module module-null-sink sink_name=taps format=s16le channels=2 rate="
                + rate
                + "\nset-default-sink taps\nset-default-source taps.monitor\n");
    Path conf =
        Files.writeString(
            folder.resolve("alsa.conf"),
            "pcm.!default { type pulse }\nctl.!default { type pulse }\n");
    Map<String, String> environment = new HashMap<>();
    for (String name :
        List.of("HOME", "XDG_RUNTIME_DIR", "PULSE_RUNTIME_PATH", "PULSE_STATE_PATH")) {
      environment.put(name, home.toString());
    }
    environment.put("PULSE_SERVER", "unix:" + socket);
    environment.put("ALSA_CONFIG_PATH", SYSTEM_CONF + ":" + conf);
    Child daemon =
        Child.start(
            environment,
            "pulseaudio",
            "-n",
            "-F",
            script.toString(),
            "--daemonize=no",
            "--exit-idle-time=-1",
            "--use-pid-file=no",
            "--log-target=stderr");
    SoundServer server = new SoundServer(daemon, environment);
    for (int tries = 0; tries < 100; tries++) {
      try (Child asks = Child.start(environment, "pactl", "list", "short", "sources")) {
        if (asks.ends(10) == 0 && asks.lines().toString().contains("taps.monitor")) {
          return server;
        }
      }
      Thread.sleep(100);
    }
    daemon.close();
    throw new AssertionError("the sound server does not answer: " + daemon.lines());
  }

  Child recorder(int rate, int bits, long frames, Path wav) throws IOException {
    return Child.java(
        environment,
        CaptureChild.class,
        "default",
        "" + rate,
        "2",
        "" + bits,
        "" + frames,
        wav.toString());
  }

  /** Plays a recording into its sink. */
  public Child player(Path wav) throws IOException {
    return Child.start(environment, "paplay", "--device=taps", wav.toString());
  }

  /** As when a device is pulled out. */
  public void dies() {
    daemon.process.destroyForcibly();
  }

  @Override
  public void close() {
    daemon.close();
  }
}

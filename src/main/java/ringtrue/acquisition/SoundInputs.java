package ringtrue.acquisition;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.TreeSet;
import java.util.function.Supplier;
import javax.sound.sampled.AudioFormat;
import javax.sound.sampled.AudioSystem;
import javax.sound.sampled.DataLine;
import javax.sound.sampled.Line;
import javax.sound.sampled.LineUnavailableException;
import javax.sound.sampled.Mixer;
import javax.sound.sampled.TargetDataLine;
import ringtrue.units.BadInputException;
import ringtrue.units.Names;

/**
 * The sound inputs of this computer. What an input offers is found by opening it: many a mixer
 * claims any rate and any number of channels, and only opening tells.
 */
public final class SoundInputs {
  /** Rates that are tried, Hz. */
  static final int[] RATES_HZ = {44_100, 48_000, 88_200, 96_000, 176_400, 192_000};

  /** The sound system's own buffer. */
  private static final double LINE_BUFFER_S = 0.5;

  private static final String NONE =
      "no sound input was found: this computer has none, or no sound system is running";

  private final Supplier<List<Mixer>> mixers;

  SoundInputs(Supplier<List<Mixer>> mixers) {
    this.mixers = mixers;
  }

  /** Those of this computer. */
  public static SoundInputs ofThisComputer() {
    return new SoundInputs(SoundInputs::systemMixers);
  }

  private static List<Mixer> systemMixers() {
    List<Mixer> all = new ArrayList<>();
    try {
      for (Mixer.Info info : AudioSystem.getMixerInfo()) {
        try {
          all.add(AudioSystem.getMixer(info));
        } catch (IllegalArgumentException | SecurityException e) {
          // gone since it was listed
        }
      }
    } catch (LinkageError e) {
      // a Java without its sound library has no inputs
    }
    return all;
  }

  /**
   * What an input gives in one layout of samples.
   *
   * @param bits bits of a sample
   * @param bytesPerSample bytes that a sample takes
   * @param channels channels in a frame
   * @param ratesHz rates at which it could be opened, rising
   */
  public record Offer(int bits, int bytesPerSample, int channels, List<Integer> ratesHz) {
    public Offer {
      ratesHz = List.copyOf(ratesHz);
    }
  }

  /**
   * An input.
   *
   * @param number place in the list, counted from 1; may stand for the name when it is chosen
   * @param name its name
   * @param description what the system says of it; may be empty
   * @param offers what it gives, best first; empty if it could not be opened at all
   * @param anyRateSaid whether the mixer claims any rate, so that it may convert between what the
   *     device does and what is asked for
   * @param remark why nothing is offered; empty otherwise
   */
  public record Device(
      int number,
      String name,
      String description,
      List<Offer> offers,
      boolean anyRateSaid,
      String remark) {
    public Device {
      offers = List.copyOf(offers);
    }
  }

  /** All inputs with what they offer; empty where there are none. Opens and closes each. */
  public List<Device> list() {
    List<Device> devices = new ArrayList<>();
    for (Mixer mixer : inputs()) {
      devices.add(device(devices.size() + 1, mixer));
    }
    return devices;
  }

  /** What to say if there is no input. */
  public static String noneFound() {
    return NONE;
  }

  private List<Mixer> inputs() {
    return mixers.get().stream().filter(m -> !infos(m).isEmpty()).toList();
  }

  private static List<DataLine.Info> infos(Mixer mixer) {
    List<DataLine.Info> infos = new ArrayList<>();
    for (Line.Info info : mixer.getTargetLineInfo()) {
      if (info instanceof DataLine.Info data
          && TargetDataLine.class.isAssignableFrom(data.getLineClass())) {
        infos.add(data);
      }
    }
    return infos;
  }

  private static String name(Mixer mixer) {
    return mixer.getMixerInfo().getName().trim();
  }

  /** One layout that a mixer claims to give; rate and channels may be left open. */
  private record Claim(int bits, int bytesPerSample, boolean bigEndian) {

    AudioFormat format(int rateHz, int channels) {
      return new AudioFormat(
          AudioFormat.Encoding.PCM_SIGNED,
          rateHz,
          bits,
          channels,
          bytesPerSample * channels,
          rateHz,
          bigEndian);
    }
  }

  /** Claimed layouts with the channel counts that are worth trying, best first. */
  private static Map<Claim, TreeSet<Integer>> claims(Mixer mixer) {
    Map<Claim, TreeSet<Integer>> claims = new LinkedHashMap<>();
    List<AudioFormat> formats = new ArrayList<>();
    for (DataLine.Info info : infos(mixer)) {
      formats.addAll(Arrays.asList(info.getFormats()));
    }
    formats.sort(
        Comparator.comparingInt(AudioFormat::getSampleSizeInBits)
            .reversed()
            .thenComparing(AudioFormat::isBigEndian));
    for (AudioFormat f : formats) {
      int bits = f.getSampleSizeInBits();
      if (f.getEncoding() != AudioFormat.Encoding.PCM_SIGNED
          || bits != 16 && bits != 24 && bits != 32) {
        continue;
      }
      int channels = f.getChannels();
      boolean open = channels == AudioSystem.NOT_SPECIFIED;
      int bytes =
          open || f.getFrameSize() == AudioSystem.NOT_SPECIFIED
              ? bits / 8
              : f.getFrameSize() / channels;
      if (bytes != bits / 8 && !(bits == 24 && bytes == 4)) {
        continue;
      }
      if (claims.containsKey(new Claim(bits, bytes, false)) && f.isBigEndian()) {
        continue;
      }
      TreeSet<Integer> counts =
          claims.computeIfAbsent(new Claim(bits, bytes, f.isBigEndian()), c -> new TreeSet<>());
      counts.addAll(open ? List.of(1, 2) : List.of(channels));
      counts.removeIf(n -> n < 1 || n > WavRecording.MAX_CHANNELS);
    }
    claims.values().removeIf(TreeSet::isEmpty);
    return claims;
  }

  private static boolean anyRate(Mixer mixer) {
    for (DataLine.Info info : infos(mixer)) {
      for (AudioFormat f : info.getFormats()) {
        if (f.getSampleRate() == AudioSystem.NOT_SPECIFIED) {
          return true;
        }
      }
    }
    return false;
  }

  private static Device device(int number, Mixer mixer) {
    List<Offer> offers = new ArrayList<>();
    boolean opened = false;
    for (Map.Entry<Claim, TreeSet<Integer>> claim : claims(mixer).entrySet()) {
      for (int channels : worthListing(claim.getValue())) {
        List<Integer> rates = new ArrayList<>();
        for (int rate : RATES_HZ) {
          if (opens(mixer, claim.getKey().format(rate, channels))) {
            rates.add(rate);
          }
        }
        opened |= !rates.isEmpty();
        if (!rates.isEmpty()) {
          Claim c = claim.getKey();
          offers.add(new Offer(c.bits, c.bytesPerSample, channels, rates));
        }
      }
    }
    return new Device(
        number,
        name(mixer),
        mixer.getMixerInfo().getDescription().trim(),
        offers,
        anyRate(mixer),
        opened ? "" : cannotBeOpened(mixer));
  }

  /** One, two and the most channels stand for what lies between. */
  private static List<Integer> worthListing(TreeSet<Integer> channels) {
    TreeSet<Integer> few = new TreeSet<>(channels);
    few.removeIf(n -> n > 2 && n < channels.last());
    return List.copyOf(few.descendingSet());
  }

  private static String cannotBeOpened(Mixer mixer) {
    return claims(mixer).isEmpty()
        ? "offers no 16, 24 or 32-bit integer samples"
        : "could not be opened: taken by another program, unplugged, or not allowed for this user";
  }

  private static boolean opens(Mixer mixer, AudioFormat format) {
    DataLine.Info info = new DataLine.Info(TargetDataLine.class, format);
    if (!mixer.isLineSupported(info)) {
      return false;
    }
    try (TargetDataLine line = (TargetDataLine) mixer.getLine(info)) {
      line.open(format);
      return line.getFormat().matches(format);
    } catch (LineUnavailableException | IllegalArgumentException | SecurityException e) {
      return false;
    }
  }

  /**
   * Opens an input in the best way that it offers: with as many bits as possible at the wanted
   * rate, or else at the highest rate that it has with those bits.
   *
   * @param device its name, a part of the name that fits no other, or its number in the list; empty
   *     for the first one that can be opened
   * @param rateHz wanted rate; 0 for the highest that is offered
   * @param channels how many channels are needed; the next larger number that is offered is opened
   * @param bits wanted bits; 0 for the most that are offered
   * @throws BadInputException if there is no such input or it does not offer this; one line that
   *     says what there is
   */
  public SoundInput open(String device, int rateHz, int channels, int bits) {
    List<Mixer> inputs = inputs();
    if (inputs.isEmpty()) {
      throw new BadInputException(NONE);
    }
    List<Mixer> candidates = device.isBlank() ? inputs : List.of(chosen(inputs, device));
    for (Mixer mixer : candidates) {
      SoundInput input = open(mixer, rateHz, channels, bits);
      if (input != null) {
        return input;
      }
    }
    throw refusal(inputs, candidates, rateHz, channels, bits);
  }

  private static SoundInput open(Mixer mixer, int rateHz, int channels, int bits) {
    int[] rates = rateHz > 0 ? new int[] {rateHz} : RATES_HZ;
    for (Map.Entry<Claim, TreeSet<Integer>> claim : claims(mixer).entrySet()) {
      Claim c = claim.getKey();
      Integer count = claim.getValue().ceiling(channels);
      if (count == null || bits > 0 && c.bits != bits) {
        continue;
      }
      for (int r = rates.length - 1; r >= 0; r--) {
        PcmFormat format = new PcmFormat(rates[r], count, c.bits, c.bytesPerSample, c.bigEndian);
        SoundInput input = started(mixer, c.format(rates[r], count), format);
        if (input != null) {
          return input;
        }
      }
    }
    return null;
  }

  private static SoundInput started(Mixer mixer, AudioFormat asked, PcmFormat format) {
    DataLine.Info info = new DataLine.Info(TargetDataLine.class, asked);
    if (!mixer.isLineSupported(info)) {
      return null;
    }
    TargetDataLine line = null;
    try {
      line = (TargetDataLine) mixer.getLine(info);
      int bufferFrames = (int) (LINE_BUFFER_S * format.sampleRateHz());
      line.open(asked, bufferFrames * format.frameBytes());
      if (!line.getFormat().matches(asked)) {
        line.close();
        return null;
      }
      line.start();
      double bufferS = (double) line.getBufferSize() / format.frameBytes() / format.sampleRateHz();
      return new SoundInput(
          name(mixer), format, new LineSource(line), bufferS / 2, 0, System::nanoTime);
    } catch (LineUnavailableException | IllegalArgumentException | SecurityException e) {
      if (line != null) {
        line.close();
      }
      return null;
    }
  }

  /** Frames of a line. */
  private record LineSource(TargetDataLine line) implements SoundInput.Source {
    @Override
    public int read(byte[] into, int bytes) {
      return line.read(into, 0, bytes);
    }

    @Override
    public void close() {
      line.stop();
      line.close();
    }
  }

  private static Mixer chosen(List<Mixer> inputs, String device) {
    String said = device.trim();
    for (Mixer mixer : inputs) {
      if (name(mixer).equalsIgnoreCase(said)) {
        return mixer;
      }
    }
    if (said.matches("\\d{1,4}")
        && Integer.parseInt(said) >= 1
        && Integer.parseInt(said) <= inputs.size()) {
      return inputs.get(Integer.parseInt(said) - 1);
    }
    String part = said.toLowerCase(Locale.ROOT);
    List<Mixer> fitting =
        inputs.stream()
            .filter(
                m ->
                    name(m).toLowerCase(Locale.ROOT).contains(part)
                        || m.getMixerInfo()
                            .getDescription()
                            .toLowerCase(Locale.ROOT)
                            .contains(part))
            .toList();
    if (fitting.size() == 1) {
      return fitting.get(0);
    }
    List<String> names = inputs.stream().map(SoundInputs::name).toList();
    if (fitting.size() > 1) {
      throw new BadInputException(
          "input \""
              + said
              + "\" fits several: "
              + String.join(", ", fitting.stream().map(SoundInputs::name).toList())
              + "; say more of the name, or its number");
    }
    throw new BadInputException(
        "there is no input \""
            + said
            + "\"; "
            + Names.closest(said, names).map(n -> "did you mean \"" + n + "\"? ").orElse("")
            + "there are: "
            + String.join(", ", names));
  }

  private static BadInputException refusal(
      List<Mixer> inputs, List<Mixer> tried, int rateHz, int channels, int bits) {
    String wanted =
        channels
            + (channels == 1 ? " channel" : " channels")
            + (bits > 0 ? " of " + bits + " bits" : "")
            + (rateHz > 0 ? " at " + rateHz + " Hz" : "");
    if (tried.size() > 1) {
      return new BadInputException("no sound input could be opened with " + wanted);
    }
    Device device = device(inputs.indexOf(tried.get(0)) + 1, tried.get(0));
    if (device.offers.isEmpty()) {
      return new BadInputException("input \"" + device.name + "\" " + device.remark);
    }
    List<String> there = new ArrayList<>();
    for (Offer offer : device.offers) {
      there.add(
          offer.channels
              + " x "
              + offer.bits
              + " bits at "
              + String.join("/", offer.ratesHz.stream().map(String::valueOf).toList())
              + " Hz");
    }
    return new BadInputException(
        "input \""
            + device.name
            + "\" does not give "
            + wanted
            + "; it gives "
            + String.join(", ", there));
  }
}

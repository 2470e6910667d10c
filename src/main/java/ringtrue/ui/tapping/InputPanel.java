package ringtrue.ui.tapping;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalInt;
import javax.swing.DefaultComboBoxModel;
import javax.swing.JButton;
import javax.swing.JComboBox;
import javax.swing.JFileChooser;
import javax.swing.JLabel;
import javax.swing.JPanel;
import ringtrue.acquisition.Pace;
import ringtrue.acquisition.SoundInputs;
import ringtrue.library.InputProfile;
import ringtrue.library.InputProfileFile;
import ringtrue.library.MeasurementFile;
import ringtrue.library.MeasurementText;
import ringtrue.library.TapInputs;
import ringtrue.library.UserFolder;
import ringtrue.signal.TapSession;
import ringtrue.ui.desk.Desk;
import ringtrue.ui.job.Direction;
import ringtrue.ui.kit.Field;
import ringtrue.ui.kit.MigLayout;
import ringtrue.ui.kit.Notice;
import ringtrue.ui.kit.Sign;
import ringtrue.units.BadInputException;
import ringtrue.units.Dimension;
import ringtrue.units.Quantity;

/** Where taps come from, what the sensors are, and how many taps are wanted. */
final class InputPanel extends JPanel {
  private static final String SOURCE = "taps-source";
  private static final String SENSORS = "taps-sensors";
  private static final String OWN = "own";
  private static final String AWAY = "away ";
  private static final int[] BITS = {24, 16, 32};

  /** One that can be chosen. */
  private record Choice(
      String key,
      String words,
      Optional<SoundInputs.Device> device,
      Optional<InputProfile> profile) {
    @Override
    public String toString() {
      return words;
    }
  }

  private record Found(
      List<SoundInputs.Device> devices, List<InputProfile> profiles, List<String> problems) {}

  private static final String LOOK = "Connect one, then press Look again.";
  private static final String MISSING =
      "It is not there now. Connect it and press Look again, or choose another one.";

  private static final Choice SIMULATED =
      new Choice("simulated", "Simulated machine", Optional.empty(), Optional.empty());
  private static final Choice REPLAY =
      new Choice("replay", "A recording, played again", Optional.empty(), Optional.empty());

  private final Desk desk;
  private final Runnable changed;
  private final JComboBox<Choice> sources = new JComboBox<>();
  private final JButton refresh = new JButton("Look again");
  private final Notice about = new Notice("taps-source-about");
  private final JComboBox<String> rate = new JComboBox<>();
  private final JComboBox<String> bits = new JComboBox<>();
  private final JPanel layout =
      new JPanel(new MigLayout("ins 0, fillx", "[]6[grow,fill]10[]6[grow,fill]", "[center]"));
  private final Field file = new Field("taps-replay-file", "File", 10).example("like taps.json");
  private final JButton choose = new JButton("Choose...");
  private final JPanel replay =
      new JPanel(new MigLayout("ins 0, fillx", "[]6[grow,fill]6[]", "[top]"));
  private final SensorForm sensors;
  private final Field profileName =
      new Field("taps-profile-name", "Name", 8).example("like bench box");
  private final JButton keepProfile = new JButton("Keep as profile");
  private final JPanel keep =
      new JPanel(new MigLayout("ins 0, fillx", "[]6[grow,fill]6[]", "[top]"));
  private final Field taps = new Field("taps-wanted", "Taps to keep", 4).example("5");
  private final Field band =
      new Field("taps-band", "Band to reach", 8).example("like 50 to 3000 Hz");
  private final Field coherence =
      new Field("taps-coherence", "Coherence goal", 6).example("like 0.95");
  private Found found = new Found(List.of(), List.of(), List.of());
  private boolean looked;
  private boolean looking;
  private boolean filling;

  InputPanel(Desk desk, SensorForm sensors, Runnable changed) {
    super(new MigLayout("ins 0, wrap 1, fillx, hidemode 3, gapy 5", "[grow,fill]", "[top]"));
    this.desk = desk;
    this.sensors = sensors;
    this.changed = changed;
    setOpaque(false);
    sources.setName("taps-source");
    sources.getAccessibleContext().setAccessibleName("Where taps come from");
    refresh.setName("taps-source-refresh");
    refresh.setToolTipText("List the sound inputs and input profiles again");
    refresh.addActionListener(e -> look());
    rate.setName("taps-rate");
    rate.getAccessibleContext().setAccessibleName("Sample rate in Hz");
    bits.setName("taps-bits");
    bits.getAccessibleContext().setAccessibleName("Bits of a sample");
    choose.setName("taps-replay-choose");
    choose.addActionListener(e -> chooseFile());
    keepProfile.setName("taps-profile-keep");
    keepProfile.setToolTipText("Keep these sensors as an input profile, to be chosen above");
    keepProfile.addActionListener(e -> keepProfile());
    JPanel first = plain(new JPanel(new MigLayout("ins 0, fillx", "[grow,fill]6[]", "[center]")));
    JLabel from = new JLabel("Taps come from");
    from.setLabelFor(sources);
    first.add(from);
    first.add(refresh);
    add(first, "gaptop 4");
    add(sources, "growx, wmin 60");
    add(about, "wmin 0");
    plain(layout).add(new JLabel("Rate"));
    layout.add(rate, "wmin 50");
    layout.add(new JLabel("Bits"));
    layout.add(bits, "wmin 40");
    add(layout, "wmin 0");
    plain(replay).add(file.label());
    replay.add(file, "wmin 60");
    replay.add(choose, "aligny top");
    add(replay, "wmin 0");
    add(sensors, "wmin 0");
    plain(keep).add(profileName.label(), "gaptop 4");
    keep.add(profileName, "wmin 60");
    keep.add(keepProfile);
    add(keep, "wmin 0");
    JPanel goal =
        plain(
            new JPanel(
                new MigLayout("ins 4 0 0 0, wrap 2, fillx, gapy 3", "[]8[grow,fill]", "[top]")));
    for (Field each : List.of(taps, band, coherence)) {
      goal.add(each.label(), "gaptop 4");
      goal.add(each, "wmin 60");
    }
    add(goal, "wmin 0");
    taps.show(desk.settings().text("taps-wanted", "5"));
    band.show(desk.settings().text("taps-band", ""));
    coherence.show(desk.settings().text("taps-coherence", ""));
    taps.setToolTipText("0 for no end");
    band.setToolTipText("A blow that does not reach the upper end is set aside; empty for any");
    coherence.setToolTipText(
        "End as soon as nine tenths of the band have it, with 3 taps or more; empty for none");
    taps.onCommit(t -> remember("taps-wanted", t));
    band.onCommit(t -> remember("taps-band", t));
    coherence.onCommit(t -> remember("taps-coherence", t));
    file.show(desk.settings().text("taps-replay-file", ""));
    file.onCommit(
        t -> {
          remember("taps-replay-file", t);
          refreshParts();
        });
    sensors.show(SensorDraft.ofRemembered(desk.settings().text(SENSORS, "")));
    sources.addActionListener(
        e -> {
          if (!filling && !chosen().key.startsWith(AWAY)) {
            remember(SOURCE, chosen().key);
            refreshParts();
          }
        });
    fill();
  }

  private static JPanel plain(JPanel panel) {
    panel.setOpaque(false);
    return panel;
  }

  private void remember(String name, String value) {
    desk.settings(s -> s.with(name, value));
    changed.run();
  }

  /** Lists what there is, once, when it is seen first. */
  void lookOnce() {
    if (!looked && !desk.job().simulated()) {
      look();
    }
  }

  private void look() {
    looked = true;
    looking = true;
    refresh.setEnabled(false);
    Path folder = profiles();
    desk.tasks()
        .start(
            "sound inputs",
            progress -> {
              List<SoundInputs.Device> devices = SoundInputs.ofThisComputer().list();
              List<InputProfile> all = new ArrayList<>();
              List<String> problems = new ArrayList<>();
              for (Path each :
                  Files.isDirectory(folder) ? UserFolder.filesIn(folder) : List.<Path>of()) {
                try {
                  all.add(InputProfileFile.read(each));
                } catch (BadInputException e) {
                  problems.add(e.getMessage());
                }
              }
              return new Found(devices, all, problems);
            },
            f -> {
              refresh.setEnabled(true);
              looking = false;
              found = f;
              fill();
            },
            complaint -> {
              refresh.setEnabled(true);
              looking = false;
              about.say(Sign.BAD, complaint);
            });
  }

  private Path profiles() {
    return desk.home().resolve(String.valueOf(UserFolder.inputProfiles().getFileName()));
  }

  private void fill() {
    filling = true;
    DefaultComboBoxModel<Choice> model = new DefaultComboBoxModel<>();
    model.addElement(SIMULATED);
    for (InputProfile each : found.profiles) {
      model.addElement(
          new Choice(
              "profile " + each.name(),
              each.name() + " (profile)",
              Optional.empty(),
              Optional.of(each)));
    }
    for (SoundInputs.Device each : found.devices) {
      model.addElement(
          new Choice(
              "sound " + each.name(),
              each.name() + " (sound input)",
              Optional.of(each),
              Optional.empty()));
    }
    model.addElement(REPLAY);
    sources.setModel(model);
    String wanted = desk.job().simulated() ? SIMULATED.key : desk.settings().text(SOURCE, usual());
    if (!has(model, wanted)) {
      String name = wanted.substring(wanted.indexOf(' ') + 1);
      model.insertElementAt(
          new Choice(
              AWAY + wanted,
              name + (sought() ? " (being looked for)" : " (not there)"),
              Optional.empty(),
              Optional.empty()),
          0);
      wanted = AWAY + wanted;
    }
    for (int i = 0; i < model.getSize(); i++) {
      if (model.getElementAt(i).key.equals(wanted)) {
        sources.setSelectedIndex(i);
      }
    }
    filling = false;
    refreshParts();
  }

  /** Where nothing was chosen ever: a real input before a simulated machine. */
  private String usual() {
    return found.devices.stream()
        .filter(d -> !d.offers().isEmpty())
        .findFirst()
        .map(d -> "sound " + d.name())
        .orElse(SIMULATED.key);
  }

  private boolean sought() {
    return looking || !looked;
  }

  private static boolean has(DefaultComboBoxModel<Choice> model, String key) {
    for (int i = 0; i < model.getSize(); i++) {
      if (model.getElementAt(i).key.equals(key)) {
        return true;
      }
    }
    return false;
  }

  private Choice chosen() {
    Choice one = (Choice) sources.getSelectedItem();
    return one == null ? SIMULATED : one;
  }

  boolean simulated() {
    return chosen().key.equals(SIMULATED.key);
  }

  /** Chooses the simulated machine, as for a job that is said to be simulated. */
  void chooseSimulated() {
    if (!simulated()) {
      filling = true;
      sources.setSelectedItem(SIMULATED);
      filling = false;
      refreshParts();
    }
  }

  private boolean asksForSensors() {
    Choice one = chosen();
    return one.device.isPresent()
        || one.key.equals(REPLAY.key)
            && !file.text().strip().toLowerCase(Locale.ROOT).endsWith(".json");
  }

  private void refreshParts() {
    Choice one = chosen();
    layout.setVisible(one.device.isPresent());
    replay.setVisible(one.key.equals(REPLAY.key));
    sensors.setVisible(asksForSensors());
    keep.setVisible(one.device.isPresent());
    one.device.ifPresent(this::offers);
    say(one);
    changed.run();
    revalidate();
    repaint();
  }

  private void say(Choice one) {
    boolean none = looked && !looking && found.devices.isEmpty() && !desk.job().simulated();
    if (one.key.startsWith(AWAY)) {
      if (sought()) {
        about.clear();
      } else {
        about.say(Sign.CAUTION, MISSING);
      }
    } else if (!found.problems.isEmpty()) {
      about.say(
          Sign.CAUTION,
          "An input profile cannot be used: " + found.problems.get(0) + more(found.problems));
    } else if (simulated()) {
      about.say(
          Sign.NOTE,
          "Simulated: a computed tool is struck by itself, no machine moves."
              + (none ? " " + Announcer.capital(SoundInputs.noneFound()) + ". " + LOOK : ""));
    } else if (one.device.isPresent() && one.device.get().offers().isEmpty()) {
      about.say(Sign.CAUTION, one.device.get().remark());
    } else if (one.profile.isPresent() && !one.profile.get().gain().isBlank()) {
      about.say(Sign.NOTE, "Check that the gain stands at: " + one.profile.get().gain());
    } else if (none) {
      about.say(Sign.NOTE, Announcer.capital(SoundInputs.noneFound()) + ". " + LOOK);
    } else {
      about.clear();
    }
  }

  private static String more(List<String> problems) {
    return problems.size() == 1 ? "" : " (" + (problems.size() - 1) + " more cannot)";
  }

  private void offers(SoundInputs.Device device) {
    Object rateBefore = rate.getSelectedItem();
    Object bitsBefore = bits.getSelectedItem();
    rate.removeAllItems();
    bits.removeAllItems();
    rate.addItem("best");
    bits.addItem("best");
    device.offers().stream()
        .flatMap(o -> o.ratesHz().stream())
        .distinct()
        .sorted()
        .forEach(r -> rate.addItem(String.valueOf(r)));
    for (int b : BITS) {
      if (device.offers().stream().anyMatch(o -> o.bits() == b)) {
        bits.addItem(String.valueOf(b));
      }
    }
    rate.setSelectedItem(rateBefore == null ? "best" : rateBefore);
    bits.setSelectedItem(bitsBefore == null ? "best" : bitsBefore);
  }

  private void chooseFile() {
    JFileChooser chooser = new JFileChooser(desk.lastFolder());
    if (chooser.showOpenDialog(this) == JFileChooser.APPROVE_OPTION) {
      desk.usedFile(chooser.getSelectedFile().toPath());
      String name = chooser.getSelectedFile().toString();
      file.show(name);
      remember("taps-replay-file", name);
      refreshParts();
    }
  }

  private void keepProfile() {
    sensors.complain("");
    profileName.complain("");
    SensorDraft draft = sensors.draft(SensorDraft.FIRST);
    Choice one = chosen();
    int hertz = number(rate).orElse(48_000);
    int depth = number(bits).orElse(0);
    InputProfile profile;
    try {
      profile =
          draft.profile(
              profileName.text(),
              one.device.map(SoundInputs.Device::name).orElse(""),
              hertz,
              depth);
    } catch (BadInputException e) {
      complain(e.getMessage());
      return;
    }
    Path into = profiles();
    desk.tasks()
        .start(
            "keeping the profile",
            progress -> {
              try {
                Files.createDirectories(into);
              } catch (IOException e) {
                throw new BadInputException(into + ": this folder cannot be made", e);
              }
              String name = profile.name().replaceAll("[^\\p{L}\\p{N} _-]", "_");
              InputProfileFile.write(into.resolve(name + ".json"), false, profile);
              return profile;
            },
            p -> {
              desk.settings(s -> s.with(SOURCE, "profile " + p.name()));
              desk.say("input profile \"" + p.name() + "\" kept");
              look();
            },
            profileName::complain);
  }

  private static OptionalInt number(JComboBox<String> box) {
    String text = String.valueOf(box.getSelectedItem());
    return text.matches("\\d+") ? OptionalInt.of(Integer.parseInt(text)) : OptionalInt.empty();
  }

  /**
   * What is wanted for a session.
   *
   * @throws BadInputException if something written here cannot be used; {@link #complain} shows it
   */
  LiveTaps.Setup setup(Direction direction) {
    complain("");
    Choice one = chosen();
    TapSession.Goal goal = goal();
    boolean sounds = desk.settings().on("sounds", true);
    double times = desk.settings().number("simulated-pace", 1);
    Pace pace = new Pace(times > 0 ? times : 1);
    if (simulated()) {
      String rig = Where.rig(direction);
      return new LiveTaps.Setup(
          direction,
          new TapInputs.Wish(
              rig, OptionalInt.empty(), OptionalInt.empty(), OptionalInt.empty(), 2, pace),
          Optional.empty(),
          Optional.empty(),
          "simulated " + rig.substring(TapInputs.RIG.length()),
          goal,
          sounds);
    }
    if (one.key.startsWith(AWAY)) {
      throw new BadInputException(
          sought() ? "Inputs are still being looked for; start again in a moment." : MISSING);
    }
    if (one.profile.isPresent()) {
      InputProfile profile = one.profile.get();
      String text = MeasurementText.withProfile(SensorDraft.named(direction), profile);
      return new LiveTaps.Setup(
          direction,
          new TapInputs.Wish(
              profile.device(),
              OptionalInt.of(profile.sampleRateHz()),
              OptionalInt.empty(),
              profile.bits() > 0 ? OptionalInt.of(profile.bits()) : OptionalInt.empty(),
              profile.channels(),
              Pace.REAL_TIME),
          Optional.of(text),
          Optional.of(profile),
          profile.name(),
          goal,
          sounds);
    }
    return withSensors(direction, one, goal, sounds);
  }

  private LiveTaps.Setup withSensors(
      Direction direction, Choice one, TapSession.Goal goal, boolean sounds) {
    boolean again = one.key.equals(REPLAY.key);
    if (again && file.text().isBlank()) {
      throw new BadInputException("input: say which recording");
    }
    Optional<String> text = Optional.empty();
    int needed = 1;
    if (asksForSensors()) {
      SensorDraft draft = sensors.draft(SensorDraft.FIRST);
      desk.settings(s -> s.with(SENSORS, draft.remembered()));
      text = Optional.of(draft.measurement(direction, false));
      needed = MeasurementFile.channelsNeeded(direction.words(), text.get());
    }
    return new LiveTaps.Setup(
        direction,
        new TapInputs.Wish(
            again ? file.text().strip() : one.device.orElseThrow().name(),
            again ? OptionalInt.empty() : number(rate),
            OptionalInt.empty(),
            again ? OptionalInt.empty() : number(bits),
            needed,
            Pace.REAL_TIME),
        text,
        Optional.empty(),
        again ? "replay of " + Path.of(file.text().strip()).getFileName() : one.device.get().name(),
        goal,
        sounds);
  }

  private TapSession.Goal goal() {
    String count = taps.text().strip();
    if (!count.matches("\\d{1,4}")) {
      throw new BadInputException(OWN + " taps: must be a whole number, like 5; 0 for no end");
    }
    double low = Double.NaN;
    double high = Double.NaN;
    String said = band.text().strip();
    if (!said.isEmpty()) {
      String[] ends = said.split("\\s+to\\s+|:", -1);
      if (ends.length != 2) {
        throw new BadInputException(OWN + " band: write it like 50 to 3000 Hz");
      }
      low = hertz(ends[0]);
      high = hertz(ends[1]);
      if (!(low >= 0 && high > low)) {
        throw new BadInputException(OWN + " band: must rise, like 50 to 3000 Hz");
      }
    }
    double wanted = Double.NaN;
    String part = coherence.text().strip();
    if (!part.isEmpty()) {
      try {
        wanted = Quantity.parse(part, Dimension.RATIO);
      } catch (BadInputException e) {
        throw new BadInputException(OWN + " coherence: " + e.getMessage(), e);
      }
      if (!(wanted > 0 && wanted < 1)) {
        throw new BadInputException(OWN + " coherence: must lie between 0 and 1, like 0.95");
      }
    }
    return new TapSession.Goal(
        Integer.parseInt(count), wanted, low, high, Double.NaN, Double.POSITIVE_INFINITY);
  }

  private static double hertz(String text) {
    String said = text.strip();
    try {
      return Quantity.parse(said.matches("[0-9.,]+") ? said + " Hz" : said, Dimension.FREQUENCY);
    } catch (BadInputException e) {
      throw new BadInputException(OWN + " band: " + e.getMessage(), e);
    }
  }

  /** Shows a complaint beside what it is about; no text takes all back. */
  void complain(String complaint) {
    sensors.complain("");
    for (Field each : List.of(taps, band, coherence, file, profileName)) {
      each.complain("");
    }
    if (complaint.isEmpty()) {
      return;
    }
    String plain = Announcer.capital(complaint.replaceFirst("^[a-z]+( [a-z]+)?: ", ""));
    if (complaint.startsWith(OWN + " taps")) {
      taps.complain(plain);
    } else if (complaint.startsWith(OWN + " band") || complaint.startsWith("band:")) {
      band.complain(plain);
    } else if (complaint.startsWith(OWN + " coherence")) {
      coherence.complain(plain);
    } else if (complaint.startsWith("name: ")) {
      profileName.complain(plain);
    } else if (replay.isVisible() && complaint.startsWith("input: ")) {
      file.complain(plain);
    } else if (sensors.isVisible()) {
      sensors.complain(complaint);
    } else {
      about.say(Sign.BAD, plain);
    }
  }

  @Override
  public void setEnabled(boolean enabled) {
    super.setEnabled(enabled);
    sources.setEnabled(enabled);
    refresh.setEnabled(enabled);
    rate.setEnabled(enabled);
    bits.setEnabled(enabled);
    choose.setEnabled(enabled);
    keepProfile.setEnabled(enabled);
    sensors.setEnabled(enabled);
    for (Field each : List.of(taps, band, coherence, file, profileName)) {
      each.setEnabled(enabled);
    }
  }
}

package ringtrue.ui.cut;

import java.awt.event.ActionListener;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.function.UnaryOperator;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import javax.swing.DefaultComboBoxModel;
import javax.swing.JButton;
import javax.swing.JComboBox;
import javax.swing.JComponent;
import javax.swing.JLabel;
import javax.swing.JPanel;
import javax.swing.JScrollPane;
import javax.swing.UIManager;
import ringtrue.library.Catalogue;
import ringtrue.library.CatalogueMaterial;
import ringtrue.library.SetUp;
import ringtrue.planning.Machine;
import ringtrue.planning.ToolMaterial;
import ringtrue.report.LengthUnit;
import ringtrue.ui.desk.Desk;
import ringtrue.ui.job.CutDraft;
import ringtrue.ui.job.CutField;
import ringtrue.ui.job.Measured;
import ringtrue.ui.job.ToolWords;
import ringtrue.ui.kit.Field;
import ringtrue.ui.kit.MigLayout;
import ringtrue.ui.kit.Notice;
import ringtrue.ui.kit.Scrolled;
import ringtrue.ui.kit.Sign;
import ringtrue.ui.kit.Wrapped;
import ringtrue.units.BadInputException;
import ringtrue.units.Dimension;

/** Everything that can be said of a cut, in groups; what is rarely used is folded. */
final class CutForm {
  private static final String OWN = "own numbers…";
  private static final String CHOOSE = "choose…";
  private static final String NOT_SAID = "not said";
  private static final String AS_CARBIDE = "not said: as solid carbide";
  private static final List<String> SENSES = List.of("down", "up", "slot", "angles");
  private static final List<String> SENSE_WORDS =
      List.of("down (climb)", "up (conventional)", "slot", "between two angles");

  private static final Pattern RANGE =
      Pattern.compile("from ([-+.e\\d]+) to ([-+.e\\d]+) m\\b(?!/)");

  private final Desk desk;
  private final Scrolled all =
      new Scrolled(new MigLayout("ins 8 10 8 10, fillx, hidemode 3, gapy 6", "[grow,fill]", ""));
  private final JScrollPane pane;
  private final Map<CutField, Field> fields = new EnumMap<>(CutField.class);
  private final Map<CutField, Fold> folds = new EnumMap<>(CutField.class);
  private final JComboBox<String> operation = combo("cut-operation", "operation");
  private final JComboBox<String> material = combo("cut-material", "work material");
  private final JComboBox<String> machine = combo("cut-machine", "machine");
  private final JComboBox<String> cutter = combo("cut-cutter-material", "cutter material");
  private final JComboBox<String> sense = combo("cut-sense", "sense");
  private final JComboBox<String> pitch = combo("cut-pitch-kind", "pitch");
  private final JLabel senseLabel = label("sense", sense);
  private final JLabel pitchLabel = label("pitch", pitch);
  private final Wrapped materialSource = new Wrapped("");
  private final Wrapped machineSays = new Wrapped("");
  private final Notice other = new Notice("cut-complaint");
  private final Notice comboComplaint = new Notice("cut-material-complaint");
  private final Notice machineComplaint = new Notice("cut-machine-complaint");
  private final Notice setUpSays = new Notice("cut-set-up-says");
  private final Notice responses = new Notice("cut-responses-say");
  private final JButton otherWay = new JButton();
  private final JButton fromSetUp = new JButton("Use what the set-up says");
  private final Field cuttingSpeed = new Field("cut-cutting-speed", "cutting speed", 8);
  private final Map<CutField, String> tips = new EnumMap<>(CutField.class);
  private final Map<CutField, Typed> typed = new EnumMap<>(CutField.class);
  private final List<Runnable> parts =
      List.of(
          this::buildTop,
          this::buildMaterial,
          this::buildTool,
          this::buildEngagement,
          this::buildSpeed,
          this::buildMachine,
          this::buildRest);
  private int built;
  private Catalogue listed;
  private boolean showing;
  private Shown shown;

  /** What was typed here, and what it became in the draft. */
  private record Typed(String written, String became) {}

  /** What the form shows; while it is the same there is nothing to do. */
  private record Shown(
      CutDraft draft,
      Map<SetUp.Field, String> setUp,
      List<Measured> measured,
      LengthUnit unit,
      Catalogue catalogue,
      String problem) {}

  CutForm(Desk desk) {
    this.desk = desk;
    material.setName("cut-material");
    pane = all.pane("cut-form");
    pane.getAccessibleContext().setAccessibleName("the cut");
  }

  JComponent view() {
    while (built < parts.size()) {
      buildNext();
    }
    return pane;
  }

  /** Builds its next part, if any is left. */
  void buildNext() {
    if (built < parts.size()) {
      parts.get(built++).run();
    }
  }

  private static JComboBox<String> combo(String name, String words) {
    JComboBox<String> box = new JComboBox<>();
    box.setName(name);
    box.getAccessibleContext().setAccessibleName(words);
    box.setMaximumRowCount(18);
    return box;
  }

  private static JLabel label(String words, JComponent of) {
    JLabel label = new JLabel(words);
    label.setLabelFor(of);
    return label;
  }

  // ---- building

  private void buildTop() {
    operation.setModel(new DefaultComboBoxModel<>(new String[] {"milling", "turning"}));
    sense.setModel(new DefaultComboBoxModel<>(SENSE_WORDS.toArray(new String[0])));
    pitch.setModel(new DefaultComboBoxModel<>(new String[] {"even", "uneven"}));
    fromSetUp.setName("cut-from-set-up");
    fromSetUp.addActionListener(e -> useSetUp());
    JPanel top = group();
    line(top, label("operation", operation), operation);
    top.add(setUpSays, "span 2, growx, wmin 0, wrap");
    top.add(fromSetUp, "span 2, growx 0, alignx right, wrap");
    top.add(responses, "span 2, growx, wmin 0, wrap");
    top.add(otherWay, "span 2, growx 0, alignx right, wrap");
    otherWay.setName("cut-count-responses");
    otherWay.addActionListener(e -> countOtherWay());
    top.add(other, "span 2, growx, wmin 0, wrap");
    all.add(top, "wrap");
  }

  private void buildRest() {
    JPanel rest = group();
    line(rest, CutField.PROCESS_DAMPING);
    line(rest, CutField.SPEED_SHIFT);
    line(rest, CutField.NAME);
    line(rest, CutField.NOTES);
    fold("cut-group-more", "More: damping, names, notes", false, rest);
    fields
        .get(CutField.PROCESS_DAMPING)
        .setToolTipText("damping of the edge on the wave below it, per depth; 0 if not known");
    fields
        .get(CutField.SPEED_SHIFT)
        .setToolTipText("by how much natural frequencies may be off at the highest speed");
    listen();
  }

  private void buildMaterial() {
    JPanel g = group();
    line(g, label("material", material), material);
    g.add(materialSource, "span 2, growx, wmin 0, wrap");
    g.add(comboComplaint, "span 2, growx, wmin 0, wrap");
    line(g, CutField.KTC);
    line(g, CutField.KRC);
    line(g, CutField.KTE);
    line(g, CutField.KRE);
    fold("cut-group-material", "Work material", true, g);
  }

  private void buildTool() {
    JPanel g = group();
    line(g, CutField.DIAMETER);
    line(g, CutField.FLUTES);
    line(g, CutField.HELIX);
    line(g, CutField.STICKOUT);
    line(g, CutField.FLUTE_LENGTH);
    line(g, label("made of", cutter), cutter);
    fold("cut-group-tool", "Tool", true, g);
    JPanel more = group();
    line(more, pitchLabel, pitch);
    line(more, CutField.PITCH);
    line(more, CutField.RUNOUT);
    line(more, CutField.EDGE_RADIUS);
    line(more, CutField.MAX_CHIP);
    line(more, CutField.SAFETY);
    fold("cut-group-tool-more", "More of the tool", false, more);
    fields
        .get(CutField.HELIX)
        .setToolTipText("one angle, or one for each flute with commas between");
    fields.get(CutField.PITCH).setToolTipText("one angle for each flute, 360 deg together");
    fields
        .get(CutField.SAFETY)
        .setToolTipText("divides the bending stress that the cutter's material may see");
  }

  private void buildEngagement() {
    JPanel g = group();
    line(g, senseLabel, sense);
    line(g, CutField.RADIAL);
    line(g, CutField.ENTRY);
    line(g, CutField.EXIT);
    line(g, CutField.AXIAL);
    line(g, CutField.WORK_DIAMETER);
    line(g, CutField.MODE_ANGLE);
    fold("cut-group-engagement", "Engagement", true, g);
    JPanel more = group();
    line(more, CutField.WALL_TOLERANCE);
    line(more, CutField.HOLDING_FORCE);
    line(more, CutField.LENGTH);
    fold("cut-group-engagement-more", "More: wall and clamping", false, more);
    fields
        .get(CutField.HOLDING_FORCE)
        .setToolTipText("the sideways force that vise or clamps hold");
    fields.get(CutField.RADIAL).setToolTipText("a length, or a share of the diameter like 25 %");
  }

  private void buildSpeed() {
    JPanel g = group();
    line(g, CutField.SPEED);
    cuttingSpeed.setToolTipText("counts as spindle speed: it follows from the diameter");
    line(g, cuttingSpeed.label(), cuttingSpeed);
    line(g, CutField.FEED_PER_TOOTH);
    line(g, CutField.FEED);
    fold("cut-group-speed", "Speed and feed", true, g);
    fields.get(CutField.SPEED).setToolTipText("rpm, or a cutting speed like 400 sfm or 120 m/min");
  }

  private void buildMachine() {
    JPanel g = group();
    line(g, label("machine", machine), machine);
    g.add(machineSays, "span 2, growx, wmin 0, wrap");
    g.add(machineComplaint, "span 2, growx, wmin 0, wrap");
    line(g, CutField.MIN_SPEED);
    line(g, CutField.MAX_SPEED);
    line(g, CutField.MAX_FEED);
    line(g, CutField.POWER);
    line(g, CutField.EFFICIENCY);
    line(g, CutField.INERTIA);
    line(g, CutField.ACCELERATION);
    fields.get(CutField.POWER).setToolTipText("speed and power, points with ; between");
    fold("cut-group-machine", "Machine", true, g);
  }

  private static String like(CutField field) {
    return field.example().isEmpty() ? "" : "like " + field.example();
  }

  private static JPanel group() {
    int letter = new JLabel().getFontMetrics(UIManager.getFont("Label.font")).charWidth('n');
    JPanel g =
        new JPanel(
            new MigLayout(
                "ins 0 12 4 0, fillx, hidemode 3, gap 8 3",
                "[right," + 13 * letter + "px::]8[grow,fill]",
                ""));
    g.setOpaque(false);
    return g;
  }

  private void fold(String name, String title, boolean open, JPanel content) {
    Fold fold = new Fold(desk, name, title, open, content);
    fields.forEach(
        (field, f) -> {
          if (f.getParent() == content) {
            folds.put(field, fold);
          }
        });
    all.add(fold, "growx, wmin 0, wrap");
  }

  private static void line(JPanel into, JLabel label, JComponent what) {
    into.add(label, "aligny top, gaptop 4");
    into.add(what, "growx, wmin 0, wrap");
  }

  /** Units of more letters would leave no room for what is written. */
  private static final int SHORT_UNIT = 3;

  /** Labels of more letters than this stand above their field. */
  private static final int LONG_LABEL = 20;

  private static boolean above(CutField field) {
    return field.words().length() > LONG_LABEL || field == CutField.POWER;
  }

  private void line(JPanel into, CutField field) {
    String name = "cut-" + field.name().toLowerCase(Locale.ROOT).replace('_', '-');
    Field line = new Field(name, field.words(), 8);
    line.example(like(field));
    line.onCommit(written -> written(field, written));
    fields.put(field, line);
    if (above(field)) {
      into.add(line.label(), "span 2, alignx left, gaptop 4, wrap");
      into.add(line, "span 2, growx, wmin 0, wrap");
    } else {
      line(into, line.label(), line);
    }
  }

  // ---- what the user does

  private void change(String what, UnaryOperator<CutDraft> by) {
    desk.change(what, job -> ToolWords.with(job, by.apply(job.cut())));
  }

  private void written(CutField field, String text) {
    CutDraft now = desk.job().cut();
    CutDraft after = CutEdits.set(now, field, text, desk.unit());
    boolean completed = CutValues.complete(field, text, desk.unit()).equals(after.text(field));
    typed.put(field, new Typed(completed ? after.text(field) : text.strip(), after.text(field)));
    String words = CutEdits.words(field, now);
    String what = text.isBlank() ? "leave out " + words : "set " + words;
    if (CutValues.complaint(field, after.text(field)).isEmpty()) {
      change(what, draft -> after);
    } else {
      desk.attempt(what, job -> job.with(after));
    }
    again();
  }

  private void choose(JComboBox<String> box, ActionListener what) {
    box.addActionListener(
        e -> {
          if (!showing && box.getSelectedItem() != null) {
            what.actionPerformed(e);
            again();
          }
        });
  }

  private void listen() {
    choose(
        operation,
        e ->
            change(
                "make it a cut in " + operation.getSelectedItem(),
                d -> CutEdits.operation(d, operation.getSelectedIndex() == 1)));
    choose(material, e -> material(String.valueOf(material.getSelectedItem())));
    choose(machine, e -> machine(String.valueOf(machine.getSelectedItem())));
    choose(
        cutter,
        e -> {
          String name = String.valueOf(cutter.getSelectedItem());
          change(
              "choose the cutter's material",
              d -> d.with(CutField.CUTTER_MATERIAL, name.equals(AS_CARBIDE) ? "" : name));
        });
    choose(
        sense,
        e ->
            change(
                "choose the sense", d -> CutEdits.sense(d, SENSES.get(sense.getSelectedIndex()))));
    choose(pitch, e -> pitch(pitch.getSelectedIndex() == 1));
    cuttingSpeed.onCommit(this::cuttingSpeed);
  }

  private void material(String name) {
    if (name.equals(OWN)) {
      if (!CutEdits.ownMaterial(desk.job().cut())) {
        change("take own coefficients", d -> CutEdits.ownMaterial(d, desk.catalogue()));
      }
    } else if (!name.equals(CHOOSE)) {
      change("choose " + name, d -> d.with(CutField.MATERIAL, name));
    }
  }

  private void machine(String name) {
    if (name.equals(OWN)) {
      if (!CutEdits.ownMachine(desk.job().cut())) {
        change(
            "take own numbers of the machine",
            d -> CutEdits.ownMachine(d, desk.catalogue(), desk.unit()));
      }
    } else {
      change("choose the machine", d -> CutEdits.machine(d, name.equals(NOT_SAID) ? "" : name));
    }
  }

  private void pitch(boolean uneven) {
    CutDraft draft = desk.job().cut();
    if (!uneven) {
      change("make the pitch even", d -> d.with(CutField.PITCH, ""));
    } else if (!draft.has(CutField.PITCH)) {
      String flutes = draft.text(CutField.FLUTES);
      int count = flutes.matches("\\d{1,2}") ? Math.max(2, Integer.parseInt(flutes)) : 4;
      change("make the pitch uneven", d -> d.with(CutField.PITCH, CutEdits.unevenPitch(count)));
    }
  }

  private void cuttingSpeed(String written) {
    CutDraft draft = desk.job().cut();
    String text = CutValues.bare(written.strip(), CutValues.cuttingSpeedUnit(desk.unit()));
    if (text.isEmpty()) {
      again();
      return;
    }
    if (CutEdits.turningDiameterM(draft).isEmpty()) {
      cuttingSpeed.complain("say the diameter first");
      return;
    }
    OptionalDouble v = CutValues.si(Dimension.VELOCITY, text);
    if (v.isEmpty() || v.getAsDouble() <= 0) {
      cuttingSpeed.complain(
          "write a cutting speed like "
              + (desk.unit() == LengthUnit.INCH ? "400 sfm" : "120 m/min"));
      return;
    }
    change("set the cutting speed", d -> d.with(CutField.SPEED, CutEdits.rpmOf(d, text)));
    cuttingSpeed.complain("");
    again();
  }

  /** Takes over what the set-up says. */
  void useSetUp() {
    Map<CutField, String> said = setUpSays();
    if (!said.isEmpty()) {
      change("use what the set-up says", d -> CutEdits.with(d, said, desk.unit()));
      refresh();
    }
  }

  /** What the set-up says that the cut does not. */
  Map<CutField, String> setUpSays() {
    return CutEdits.fromSetUp(desk.job().cut(), desk.job().setUp(), desk.catalogue());
  }

  /** Brings the cursor to a field. */
  void goTo(CutField field) {
    if (field == CutField.MATERIAL) {
      material.requestFocusInWindow();
      return;
    }
    Optional.ofNullable(folds.get(field)).ifPresent(Fold::open);
    Field line = fields.get(field);
    if (line != null) {
      line.requestFocusInWindow();
      line.scrollRectToVisible(new java.awt.Rectangle(0, 0, line.getWidth(), line.getHeight()));
    }
  }

  // ---- showing

  /** Shows it all anew, as after something was written that is now said otherwise. */
  private void again() {
    shown = null;
    refresh();
  }

  /** Shows what the job says now. */
  void refresh() {
    Shown now =
        new Shown(
            desk.job().cut(),
            desk.job().setUp(),
            desk.job().measured(),
            desk.unit(),
            desk.catalogue(),
            desk.results().cut().problem());
    if (now.equals(shown)) {
      return;
    }
    shown = now;
    showing = true;
    try {
      CutDraft draft = desk.job().cut();
      list(desk.catalogue());
      combos(draft);
      visible(draft);
      fields.forEach(
          (field, line) -> {
            if (line.isVisible()) {
              show(field, line, draft);
            }
          });
      speeds(draft);
      complaints(draft);
      Map<CutField, String> said = setUpSays();
      if (said.isEmpty()) {
        setUpSays.clear();
      } else {
        List<String> words = new ArrayList<>();
        said.forEach((field, text) -> words.add(field.words() + " " + text));
        setUpSays.say(Sign.NOTE, "The set-up says: " + String.join(", ", words) + ".");
      }
      fromSetUp.setVisible(!said.isEmpty());
      responses(draft);
    } finally {
      showing = false;
    }
  }

  private List<Measured> measuredResponses() {
    return desk.job().measured().stream()
        .filter(m -> m.kind() == Measured.Kind.RESPONSE)
        .filter(m -> desk.job().cut().directions().contains(m.direction()))
        .toList();
  }

  /** Says in which way measured responses count, and offers the other. */
  private void responses(CutDraft draft) {
    List<Measured> all = measuredResponses();
    boolean asMeasured = all.stream().anyMatch(draft::countsAsMeasured);
    String names = String.join(", ", all.stream().map(m -> m.direction().words()).toList());
    if (all.isEmpty()) {
      responses.clear();
    } else if (asMeasured) {
      responses.say(
          Sign.NOTE,
          names
              + ": the response counts as it was measured. Modes are fitted to look at, and where a"
              + " simulation needs them.");
    } else {
      responses.say(
          Sign.NOTE, names + ": the modes count that were fitted to the measured response.");
    }
    otherWay.setVisible(!all.isEmpty());
    otherWay.setText(asMeasured ? "Count the fitted modes" : "Count the response as measured");
    otherWay.setToolTipText(
        asMeasured
            ? "Limits from modes: quick, and without the noise of the measurement"
            : "Limits by the multi-frequency method from the response itself");
  }

  private void countOtherWay() {
    boolean asMeasured = measuredResponses().stream().noneMatch(desk.job().cut()::countsAsMeasured);
    change(
        asMeasured ? "count the response as measured" : "count the fitted modes",
        draft -> {
          CutDraft changed = draft;
          for (Measured each : measuredResponses()) {
            changed = changed.counting(each, asMeasured);
          }
          return changed;
        });
    refresh();
  }

  private void list(Catalogue catalogue) {
    if (catalogue == listed) {
      return;
    }
    listed = catalogue;
    List<String> names = new ArrayList<>(List.of(CHOOSE));
    names.addAll(catalogue.materials().stream().map(CatalogueMaterial::name).toList());
    names.add(OWN);
    material.setModel(new DefaultComboBoxModel<>(names.toArray(new String[0])));
    List<String> machines = new ArrayList<>(List.of(NOT_SAID));
    machines.addAll(catalogue.machines().stream().map(Machine::name).toList());
    machines.add(OWN);
    machine.setModel(new DefaultComboBoxModel<>(machines.toArray(new String[0])));
    List<String> cutters = new ArrayList<>(List.of(AS_CARBIDE));
    cutters.addAll(catalogue.toolMaterials().stream().map(ToolMaterial::name).toList());
    cutter.setModel(new DefaultComboBoxModel<>(cutters.toArray(new String[0])));
  }

  private void combos(CutDraft draft) {
    operation.setSelectedIndex(draft.turning() ? 1 : 0);
    String name = draft.text(CutField.MATERIAL);
    select(
        material,
        CutEdits.ownMaterial(draft)
            ? OWN
            : name.isEmpty() ? CHOOSE : known(() -> listed.material(name).name(), name));
    String its = draft.text(CutField.MACHINE);
    select(
        machine,
        CutEdits.ownMachine(draft)
            ? OWN
            : its.isEmpty() ? NOT_SAID : known(() -> listed.machine(its).name(), its));
    String made = draft.text(CutField.CUTTER_MATERIAL);
    select(
        cutter, made.isEmpty() ? AS_CARBIDE : known(() -> listed.toolMaterial(made).name(), made));
    int index = SENSES.indexOf(CutEdits.sense(draft));
    sense.setSelectedIndex(index);
    pitch.setSelectedIndex(draft.has(CutField.PITCH) ? 1 : 0);
    materialSource.setText(materialSays(draft));
    material.setToolTipText(CutEdits.ownMaterial(draft) ? null : materialSource(draft));
    materialSource.setToolTipText(material.getToolTipText());
    machineSays.setText(machineSays(draft));
  }

  private interface Name {
    String find();
  }

  private static String known(Name name, String otherwise) {
    try {
      return name.find();
    } catch (BadInputException e) {
      return otherwise; // shown as written; the complaint stands below
    }
  }

  /** Selects an item; one that is not listed is added, so that it is seen. */
  private static void select(JComboBox<String> box, String item) {
    DefaultComboBoxModel<String> model = (DefaultComboBoxModel<String>) box.getModel();
    if (model.getIndexOf(item) < 0) {
      model.addElement(item);
    }
    box.setSelectedItem(item);
  }

  private String materialSays(CutDraft draft) {
    String name = draft.text(CutField.MATERIAL);
    if (CutEdits.ownMaterial(draft)) {
      return "Force per area and per length of edge, tangential (t) and radial (r).";
    }
    if (name.isEmpty()) {
      return "";
    }
    try {
      CatalogueMaterial row = listed.material(name);
      double fast = row.highestCuttingSpeedMPerS();
      return Double.isNaN(fast)
          ? ""
          : "Carbide up to about " + CutValues.cuttingSpeed(fast, desk.unit()) + ".";
    } catch (BadInputException e) {
      return "";
    }
  }

  /** Where the numbers of a material come from. */
  private String materialSource(CutDraft draft) {
    try {
      CatalogueMaterial row = listed.material(draft.text(CutField.MATERIAL));
      return "cutting force per chip area "
          + CutValues.text(CutField.KTC, row.coefficients().ktcPa(), desk.unit())
          + " (ktc); from: "
          + row.source();
    } catch (BadInputException e) {
      return null;
    }
  }

  private String machineSays(CutDraft draft) {
    String name = draft.text(CutField.MACHINE);
    if (name.isEmpty() && !CutEdits.ownMachine(draft)) {
      return "Without a machine neither power, torque, speed nor feed rate can be judged.";
    }
    if (CutEdits.ownMachine(draft)) {
      return name;
    }
    try {
      Machine m = listed.machine(name);
      List<String> words = new ArrayList<>();
      if (!Double.isNaN(m.maxSpeedRpm())) {
        words.add(
            CutValues.number(m.minSpeedRpm(), 5)
                + " to "
                + CutValues.text(CutField.MAX_SPEED, m.maxSpeedRpm(), desk.unit()));
      }
      if (!Double.isNaN(m.maxFeedMPerS())) {
        words.add("feed up to " + desk.unit().feed(m.maxFeedMPerS()));
      }
      if (!m.power().isEmpty()) {
        words.add(
            "up to "
                + CutValues.text(
                    Dimension.POWER, m.power().get(m.power().size() - 1).powerW(), desk.unit()));
      }
      return String.join(", ", words);
    } catch (BadInputException e) {
      return "";
    }
  }

  private void visible(CutDraft draft) {
    boolean turning = draft.turning();
    String how = CutEdits.sense(draft);
    boolean ownMaterial = CutEdits.ownMaterial(draft);
    boolean ownMachine = CutEdits.ownMachine(draft);
    for (CutField field : fields.keySet()) {
      boolean seen =
          switch (field) {
            case KTC, KRC, KTE, KRE -> ownMaterial;
            case FLUTES, HELIX, FLUTE_LENGTH, RUNOUT, MAX_CHIP -> !turning;
            case PITCH -> !turning && draft.has(CutField.PITCH);
            case RADIAL -> !turning && (how.equals("up") || how.equals("down") || how.isEmpty());
            case ENTRY, EXIT -> !turning && how.equals("angles");
            case WORK_DIAMETER, MODE_ANGLE -> turning;
            default -> !CutEdits.OWN_MACHINE.contains(field) || ownMachine;
          };
      fields.get(field).setVisible(seen);
      fields.get(field).label().setVisible(seen);
    }
    sense.setVisible(!turning);
    senseLabel.setVisible(!turning);
    pitch.setVisible(!turning);
    pitchLabel.setVisible(!turning);
    materialSource.setVisible(!materialSource.getText().isEmpty());
    machineSays.setVisible(!machineSays.getText().isEmpty());
  }

  private void show(CutField field, Field line, CutDraft draft) {
    String text = draft.text(field);
    line.label().setText(CutEdits.words(field, draft));
    Typed here = typed.get(field);
    boolean own = here != null && here.became.equals(text);
    String seen = own ? here.written : CutValues.shown(field, text, desk.unit());
    line.show(seen);
    String unit = CutValues.unit(field, desk.unit());
    OptionalDouble si = CutValues.si(field, text);
    List<String> also = new ArrayList<>();
    if (si.isPresent() && CutValues.dimension(field).orElseThrow() != Dimension.RATIO) {
      String said = CutValues.brief(field, si.getAsDouble(), desk.unit());
      if (!seen.equals(said) && !seen.endsWith(" " + unit)) {
        also.add("= " + said);
      }
    }
    if (field == CutField.RADIAL && si.isPresent() && !seen.contains("%")) {
      OptionalDouble d = CutValues.si(CutField.DIAMETER, draft.text(CutField.DIAMETER));
      if (d.isPresent() && d.getAsDouble() > 0) {
        also.add(CutValues.number(100 * si.getAsDouble() / d.getAsDouble(), 3) + " % of D");
      }
    }
    boolean shown = seen.isEmpty() && unit.length() <= SHORT_UNIT && field.example().isEmpty();
    line.suffix(shown ? unit : "");
    line.below(String.join(", ", also));
    tip(field, line, seen, text, unit);
  }

  /** The whole text where it may be cut off, what it was opened as, and what bare numbers are. */
  private void tip(CutField field, Field line, String seen, String text, String unit) {
    String usual = tips.computeIfAbsent(field, f -> String.valueOf(line.input().getToolTipText()));
    List<String> words = new ArrayList<>();
    if (!seen.equals(text) && !text.isEmpty()) {
      words.add("kept as " + text);
    } else if (seen.length() > LONG_LABEL) {
      words.add(seen);
    }
    if (!usual.equals("null")) {
      words.add(usual);
    }
    if (!unit.isEmpty()) {
      words.add("a number alone counts as " + unit);
    }
    line.setToolTipText(words.isEmpty() ? null : String.join("; ", words));
  }

  private void speeds(CutDraft draft) {
    OptionalDouble v = CutEdits.cuttingSpeedMPerS(draft);
    cuttingSpeed.show(v.isPresent() ? CutValues.cuttingSpeed(v.getAsDouble(), desk.unit()) : "");
    cuttingSpeed.example(desk.unit() == LengthUnit.INCH ? "like 400 sfm" : "like 120 m/min");
    if (v.isPresent()) {
      cuttingSpeed.complain("");
    }
    feeds(draft);
  }

  /** In the empty one of the two fields, what the other comes to. */
  private void feeds(CutDraft draft) {
    Field each = fields.get(CutField.FEED_PER_TOOTH);
    Field rate = fields.get(CutField.FEED);
    each.example(like(CutField.FEED_PER_TOOTH));
    rate.example(like(CutField.FEED));
    OptionalDouble rpm = CutValues.si(CutField.SPEED, draft.text(CutField.SPEED));
    String flutes = draft.turning() ? "1" : draft.text(CutField.FLUTES);
    if (rpm.isEmpty() || rpm.getAsDouble() <= 0 || !flutes.matches("[1-9]\\d?")) {
      return;
    }
    double perSecond = rpm.getAsDouble() * Integer.parseInt(flutes) / 60;
    CutValues.si(CutField.FEED_PER_TOOTH, draft.text(CutField.FEED_PER_TOOTH))
        .ifPresent(m -> rate.example("= " + desk.unit().feed(m * perSecond)));
    CutValues.si(CutField.FEED, draft.text(CutField.FEED))
        .ifPresent(m -> each.example("= " + desk.unit().length(m / perSecond)));
  }

  private void complaints(CutDraft draft) {
    String problem = desk.results().cut().problem();
    Optional<CutField> about = CutField.of(problem);
    boolean missing = problem.contains("missing");
    fields.forEach(
        (field, line) -> {
          String own = CutValues.complaint(field, draft.text(field));
          boolean its = about.equals(Optional.of(field)) && !missing;
          line.complain(inUnit(own.isEmpty() && its ? CutField.withoutPlace(problem) : own));
        });
    combo(comboComplaint, CutField.MATERIAL, about, problem, missing);
    combo(machineComplaint, CutField.MACHINE, about, problem, missing);
    boolean elsewhere =
        !problem.isEmpty()
            && !missing
            && about.filter(f -> fields.containsKey(f) && fields.get(f).isVisible()).isEmpty()
            && !about.equals(Optional.of(CutField.MATERIAL))
            && !about.equals(Optional.of(CutField.MACHINE))
            && CutEdits.missing(draft).isEmpty();
    if (elsewhere) {
      other.say(Sign.BAD, problem);
    } else {
      other.clear();
    }
  }

  /** A range of lengths in the unit that is set. */
  String inUnit(String sentence) {
    Matcher range = RANGE.matcher(sentence);
    return range.replaceAll(
        found -> {
          String from = CutValues.near(desk.unit().of(Double.parseDouble(found.group(1))));
          String to = CutValues.near(desk.unit().of(Double.parseDouble(found.group(2))));
          return "from " + from + " to " + to + " " + desk.unit().symbol();
        });
  }

  private static void combo(
      Notice notice, CutField field, Optional<CutField> about, String problem, boolean missing) {
    if (about.equals(Optional.of(field)) && !missing) {
      notice.say(Sign.BAD, CutField.withoutPlace(problem));
    } else {
      notice.clear();
    }
  }
}

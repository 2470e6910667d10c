package ringtrue.ui.cut;

import java.util.ArrayList;
import java.util.Collections;
import java.util.EnumSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.OptionalDouble;
import java.util.Set;
import ringtrue.library.Catalogue;
import ringtrue.library.CatalogueMaterial;
import ringtrue.library.SetUp;
import ringtrue.planning.Machine;
import ringtrue.report.LengthUnit;
import ringtrue.stability.CuttingProcess;
import ringtrue.ui.job.CutDraft;
import ringtrue.ui.job.CutField;
import ringtrue.units.BadInputException;
import ringtrue.units.Dimension;

/** Changes of a draft that touch more than one field, or need more than the field's own text. */
final class CutEdits {
  /** Numbers that describe a machine by itself. */
  static final Set<CutField> OWN_MACHINE =
      EnumSet.of(
          CutField.MIN_SPEED,
          CutField.MAX_SPEED,
          CutField.MAX_FEED,
          CutField.POWER,
          CutField.EFFICIENCY,
          CutField.INERTIA,
          CutField.ACCELERATION);

  private static final Set<CutField> OWN_MATERIAL =
      EnumSet.of(CutField.KTC, CutField.KRC, CutField.KTE, CutField.KRE);

  /** How far uneven flutes stand from even ones, deg. */
  private static final double UNEVEN_DEG = 2;

  private CutEdits() {}

  /** A field said anew, bare numbers in the unit that is set. */
  static CutDraft set(CutDraft draft, CutField field, String written, LengthUnit unit) {
    String text = CutValues.complete(field, written, unit);
    switch (field) {
      case SPEED:
        return draft.with(
            field,
            CutValues.si(Dimension.SPINDLE_SPEED, text).isPresent() ? text : rpmOf(draft, text));
      case RADIAL:
        return draft.with(field, share(draft, text, unit));
      case FEED:
        return (text.isEmpty() ? draft : draft.with(CutField.FEED_PER_TOOTH, "")).with(field, text);
      case FEED_PER_TOOTH:
        return (text.isEmpty() ? draft : draft.with(CutField.FEED, "")).with(field, text);
      default:
        return draft.with(field, text);
    }
  }

  /** Diameter of what turns, m: the tool's, or the work's in turning. */
  static OptionalDouble turningDiameterM(CutDraft draft) {
    CutField field = draft.turning() ? CutField.WORK_DIAMETER : CutField.DIAMETER;
    OptionalDouble d = CutValues.si(field, draft.text(field));
    return d.isPresent() && d.getAsDouble() > 0 ? d : OptionalDouble.empty();
  }

  /** A cutting speed as spindle speed; other text, or with no diameter, as it is. */
  static String rpmOf(CutDraft draft, String text) {
    OptionalDouble v = CutValues.si(Dimension.VELOCITY, text);
    OptionalDouble d = turningDiameterM(draft);
    return v.isPresent() && d.isPresent()
        ? CutValues.text(
            CutField.SPEED,
            CuttingProcess.speedRpm(d.getAsDouble(), v.getAsDouble()),
            LengthUnit.MILLIMETRE)
        : text;
  }

  /** A width given as a share of the diameter becomes a length. */
  private static String share(CutDraft draft, String text, LengthUnit unit) {
    if (!text.endsWith("%")) {
      return text;
    }
    OptionalDouble share = CutValues.si(Dimension.RATIO, text);
    OptionalDouble d = CutValues.si(CutField.DIAMETER, draft.text(CutField.DIAMETER));
    return share.isPresent() && d.isPresent()
        ? CutValues.text(CutField.RADIAL, share.getAsDouble() * d.getAsDouble(), unit)
        : text;
  }

  /** The speed at which the tool, or the turned work, cuts, m/s; empty where not known. */
  static OptionalDouble cuttingSpeedMPerS(CutDraft draft) {
    OptionalDouble rpm = CutValues.si(CutField.SPEED, draft.text(CutField.SPEED));
    OptionalDouble d = turningDiameterM(draft);
    return rpm.isPresent() && d.isPresent()
        ? OptionalDouble.of(CuttingProcess.cuttingSpeedMPerS(d.getAsDouble(), rpm.getAsDouble()))
        : OptionalDouble.empty();
  }

  /** Milling or turning; what belongs only to the other goes. */
  static CutDraft operation(CutDraft draft, boolean turning) {
    if (turning) {
      return draft
          .with(CutField.OPERATION, "turning")
          .with(CutField.MAX_CHIP, "")
          .with(CutField.DIRECTION, "")
          .with(CutField.RADIAL, "");
    }
    CutDraft milling =
        draft
            .with(CutField.OPERATION, "milling")
            .with(CutField.WORK_DIAMETER, "")
            .with(CutField.MODE_ANGLE, "");
    return milling.has(CutField.DIRECTION) || milling.has(CutField.ENTRY)
        ? milling
        : milling.with(CutField.DIRECTION, "down");
  }

  /** Up, down, slot, or between two angles. */
  static CutDraft sense(CutDraft draft, String word) {
    return switch (word) {
      case "angles" ->
          draft
              .with(CutField.RADIAL, "")
              .with(CutField.ENTRY, "0 deg")
              .with(CutField.EXIT, "90 deg");
      case "slot" -> draft.with(CutField.DIRECTION, word).with(CutField.RADIAL, "");
      default -> draft.with(CutField.DIRECTION, word);
    };
  }

  /** How the cut is engaged: up, down, slot or angles; empty in turning. */
  static String sense(CutDraft draft) {
    if (draft.has(CutField.ENTRY) || draft.has(CutField.EXIT)) {
      return "angles";
    }
    return draft.text(CutField.DIRECTION).strip().toLowerCase(Locale.ROOT);
  }

  /** A machine of the catalogue. */
  static CutDraft machine(CutDraft draft, String name) {
    CutDraft changed = draft;
    for (CutField field : OWN_MACHINE) {
      changed = changed.with(field, "");
    }
    return changed.with(CutField.MACHINE, name);
  }

  /** Whether the machine is described by numbers of its own. */
  static boolean ownMachine(CutDraft draft) {
    return OWN_MACHINE.stream().anyMatch(draft::has);
  }

  /** Numbers of its own, at first those of the machine that was chosen. */
  static CutDraft ownMachine(CutDraft draft, Catalogue catalogue, LengthUnit unit) {
    String name = draft.text(CutField.MACHINE);
    CutDraft changed =
        draft.with(CutField.MACHINE, name.isEmpty() ? "own machine" : name + ", own numbers");
    try {
      Machine m = catalogue.machine(name);
      changed = number(changed, CutField.MIN_SPEED, m.minSpeedRpm(), unit);
      changed = number(changed, CutField.MAX_SPEED, m.maxSpeedRpm(), unit);
      changed = number(changed, CutField.MAX_FEED, m.maxFeedMPerS(), unit);
      List<String> points = new ArrayList<>();
      for (Machine.PowerPoint p : m.power()) {
        points.add(
            CutValues.text(Dimension.SPINDLE_SPEED, p.speedRpm(), unit)
                + " "
                + CutValues.text(Dimension.POWER, p.powerW(), unit));
      }
      changed = changed.with(CutField.POWER, String.join("; ", points));
      changed = changed.with(CutField.EFFICIENCY, CutValues.number(100 * m.efficiency(), 4) + " %");
      changed = number(changed, CutField.INERTIA, m.inertiaKgM2(), unit);
      return number(changed, CutField.ACCELERATION, m.accelerationMPerS2(), unit);
    } catch (BadInputException e) {
      return changed // none was chosen: something to begin with
          .with(CutField.MIN_SPEED, CutField.MIN_SPEED.example())
          .with(CutField.MAX_SPEED, CutField.MAX_SPEED.example());
    }
  }

  private static CutDraft number(CutDraft draft, CutField field, double si, LengthUnit unit) {
    return Double.isFinite(si) ? draft.with(field, CutValues.text(field, si, unit)) : draft;
  }

  /** Whether the work material is described by coefficients. */
  static boolean ownMaterial(CutDraft draft) {
    return OWN_MATERIAL.stream().anyMatch(draft::has);
  }

  /** Coefficients of its own, at first those of the material that was chosen. */
  static CutDraft ownMaterial(CutDraft draft, Catalogue catalogue) {
    CutDraft changed = draft;
    try {
      CatalogueMaterial row = catalogue.material(draft.text(CutField.MATERIAL));
      LengthUnit mm = LengthUnit.MILLIMETRE;
      changed = number(changed, CutField.KTC, row.coefficients().ktcPa(), mm);
      changed = number(changed, CutField.KRC, row.coefficients().krcPa(), mm);
      changed = number(changed, CutField.KTE, row.coefficients().kteNPerM(), mm);
      return number(changed, CutField.KRE, row.coefficients().kreNPerM(), mm);
    } catch (BadInputException e) {
      return changed
          .with(CutField.KTC, CutField.KTC.example())
          .with(CutField.KRC, CutField.KRC.example());
    }
  }

  /** Flutes at uneven pitch, 2 deg off by turns; as many as there are flutes. */
  static String unevenPitch(int flutes) {
    List<Double> angles = new ArrayList<>(Collections.nCopies(flutes, 360.0 / flutes));
    for (int i = 0; i + 1 < flutes; i += 2) {
      angles.set(i, angles.get(i) - UNEVEN_DEG);
      angles.set(i + 1, angles.get(i + 1) + UNEVEN_DEG);
    }
    return String.join(", ", angles.stream().map(a -> CutValues.number(a, 6) + " deg").toList());
  }

  /** What the set-up says that the draft does not, by the field that it would fill. */
  static Map<CutField, String> fromSetUp(
      CutDraft draft, Map<SetUp.Field, String> setUp, Catalogue catalogue) {
    Map<CutField, String> all = new LinkedHashMap<>();
    String machine = setUp.getOrDefault(SetUp.Field.MACHINE, "");
    if (!machine.isEmpty() && !ownMachine(draft)) {
      try {
        String name = catalogue.machine(machine).name();
        if (!draft.has(CutField.MACHINE)) {
          all.put(CutField.MACHINE, name);
        }
      } catch (BadInputException e) {
        all.clear(); // no machine of the catalogue is called so
      }
    }
    offer(draft, setUp, all, CutField.DIAMETER, SetUp.Field.DIAMETER);
    offer(draft, setUp, all, CutField.FLUTES, SetUp.Field.FLUTES);
    offer(draft, setUp, all, CutField.STICKOUT, SetUp.Field.STICKOUT);
    offer(draft, setUp, all, CutField.FLUTE_LENGTH, SetUp.Field.FLUTE_LENGTH);
    if (draft.turning()) {
      all.remove(CutField.FLUTES);
      all.remove(CutField.FLUTE_LENGTH);
    }
    return all;
  }

  private static void offer(
      CutDraft draft,
      Map<SetUp.Field, String> setUp,
      Map<CutField, String> all,
      CutField field,
      SetUp.Field from) {
    if (setUp.containsKey(from) && !draft.has(field)) {
      all.put(field, setUp.get(from));
    }
  }

  /** Several fields said at once. */
  static CutDraft with(CutDraft draft, Map<CutField, String> said, LengthUnit unit) {
    CutDraft changed = draft;
    for (Map.Entry<CutField, String> each : said.entrySet()) {
      changed = set(changed, each.getKey(), each.getValue(), unit);
    }
    return changed;
  }

  /** Fields without which nothing can be judged, in the order of the form. */
  static List<CutField> missing(CutDraft draft) {
    List<CutField> all = new ArrayList<>();
    if (!draft.has(CutField.MATERIAL) && !ownMaterial(draft)) {
      all.add(CutField.MATERIAL);
    }
    if (!draft.turning()) {
      need(draft, all, CutField.DIAMETER);
      need(draft, all, CutField.FLUTES);
      String sense = sense(draft);
      if (sense.equals("angles")) {
        need(draft, all, CutField.ENTRY);
        need(draft, all, CutField.EXIT);
      } else if (!sense.equals("slot")) {
        need(draft, all, CutField.RADIAL);
      }
    }
    need(draft, all, CutField.AXIAL);
    need(draft, all, CutField.SPEED);
    if (!draft.has(CutField.FEED)) {
      need(draft, all, CutField.FEED_PER_TOOTH);
    }
    return all;
  }

  private static void need(CutDraft draft, List<CutField> all, CutField field) {
    if (!draft.has(field)) {
      all.add(field);
    }
  }

  /** The draft with an invented example for all that is missing; what is said stays. */
  static CutDraft example(CutDraft draft, Catalogue catalogue) {
    CutDraft changed = draft;
    for (CutField field : missing(draft)) {
      changed = changed.with(field, field.example());
    }
    boolean machine = changed.has(CutField.MACHINE) || ownMachine(changed);
    return machine || catalogue.machines().isEmpty()
        ? changed
        : changed.with(CutField.MACHINE, catalogue.machines().get(0).name());
  }

  /** The fields that differ, each with what was said and what is said now. */
  static List<String> differences(CutDraft from, CutDraft to, LengthUnit unit) {
    List<String> all = new ArrayList<>();
    for (CutField field : CutField.values()) {
      String was = from.text(field);
      String is = to.text(field);
      if (!was.equals(is)) {
        all.add(
            words(field, to)
                + ": "
                + (was.isEmpty() ? "-" : CutValues.shown(field, was, unit))
                + " → "
                + (is.isEmpty() ? "-" : CutValues.shown(field, is, unit)));
      }
    }
    return all;
  }

  /** What a field is called in a cut. */
  static String words(CutField field, CutDraft draft) {
    return draft.turning() && field == CutField.AXIAL
        ? "chip width"
        : draft.turning() && field == CutField.FEED_PER_TOOTH ? "feed per turn" : field.words();
  }
}

package ringtrue.signal;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import org.apache.commons.math3.distribution.BinomialDistribution;
import ringtrue.signal.HeardCut.Verdict;

/** Tells what the lines of a cut's sound belong to, and from that what the cut is like. */
final class CutSoundJudge {
  /** A line away from the comb while it is being judged. */
  static final class Candidate {
    final SoundLine line;
    final double power;

    /** What it is if it is not of the cut; empty while not known. */
    String fixed = "";

    /** Something like it sounds in air, but not quite at its place. */
    boolean like;

    Candidate(SoundLine line, double power) {
      this.line = line;
      this.power = power;
    }

    double hz() {
      return line.frequencyHz();
    }

    boolean open() {
      return fixed.isEmpty();
    }
  }

  /**
   * A line of the comb.
   *
   * @param order multiple of the turns
   * @param hz its mean frequency
   * @param power its mean power
   * @param floor noise around it
   * @param standsOut whether it does
   */
  record CombLine(int order, double hz, double power, double floor, boolean standsOut) {}

  /**
   * What is to be judged.
   *
   * @param fromS start of the cut, s
   * @param toS its end, s
   * @param spindleHz turns per second, Hz: mean, least and largest; NaN where not found
   * @param binHz Hz between lines
   * @param frameSize samples of a frame
   * @param comb lines of the comb
   * @param others lines away from it, strongest first
   * @param totalPower of everything heard, as a sine would have it
   * @param air what sounds in air
   * @param clipped whether tops are cut off
   * @param drifts how much the turns move within a frame, relative
   */
  record Evidence(
      double fromS,
      double toS,
      double[] spindleHz,
      double binHz,
      int frameSize,
      List<CombLine> comb,
      List<Candidate> others,
      double totalPower,
      List<AirSound> air,
      boolean clipped,
      double drifts) {}

  private static final double COMES_WITH_CUT_DB = 8;
  private static final double NEAR_BELOW = 0.88;
  private static final double NEAR_ABOVE = 1.2;
  private static final double MAINS_TOP_HZ = 1200;

  /** Mains are kept within a few tenths of a hertz. */
  private static final double MAINS_WANDER = 0.008;

  private static final double LIKE = 0.03;
  private static final double FAMILY_CHANCE = 0.01;
  private static final double HALF_ORDER_DB = 6;

  /** How much weaker than other chatter a flip between the lines of the turns may be. */
  private static final double FAINT_FLIP_DB = 6;

  private static final double AMONG_DB = 45;

  private final StatedCut cut;
  private final HeardStructure structure;
  private final Evidence seen;
  private final List<String> remarks;
  private final double turnHz;
  private final double patternHz;

  CutSoundJudge(StatedCut cut, HeardStructure structure, Evidence seen, List<String> remarks) {
    this.cut = cut;
    this.structure = structure;
    this.seen = seen;
    this.remarks = remarks;
    this.turnHz = Double.isNaN(seen.spindleHz[0]) ? cut.spindleHz() : seen.spindleHz[0];
    this.patternHz = turnHz * cut.period();
  }

  /** What a group of lines turned out to be. */
  private enum Finding {
    CHATTER,
    UNEXPLAINED,
    ANOTHER
  }

  /**
   * Lines that are one motion seen through the passing of the teeth.
   *
   * @param lines the strongest first
   * @param flip at half the pattern's frequency
   * @param finding what they are
   * @param why the reason
   */
  private record Family(List<Candidate> lines, boolean flip, Finding finding, String why) {
    Candidate strongest() {
      return lines.get(0);
    }
  }

  /** The verdict. */
  HeardCut result(Optional<SoundSpectrum> spectrum, Optional<Spectrogram> spectrogram) {
    markMains();
    markAir();
    double reference = reference();
    double beside = seen.clipped ? CutSoundReader.CLIPPED_CHATTER_DB : CutSoundReader.CHATTER_DB;
    List<Family> families = families(loudest() * Math.pow(10, -beside / 10));
    Optional<Family> chatter =
        families.stream().filter(f -> f.finding == Finding.CHATTER).findFirst();
    Optional<Family> open =
        families.stream().filter(f -> f.finding == Finding.UNEXPLAINED).findFirst();
    Optional<CombLine> halfTeeth = halfTeeth(reference);
    double[] amplified = amplified();
    droop();

    Verdict verdict;
    String because;
    double chatterHz = Double.NaN;
    boolean flip = false;
    boolean ownFrequency =
        chatter.isPresent()
            && halfTeeth
                .filter(h -> !trapped(h) && h.power() > chatter.get().strongest().power)
                .isEmpty();
    if (ownFrequency) {
      Family f = chatter.get();
      verdict = Verdict.CHATTER;
      chatterHz = f.strongest().hz();
      flip = f.flip;
      because = f.why;
    } else if (halfTeeth.isPresent() && !trapped(halfTeeth.get())) {
      CombLine h = halfTeeth.get();
      verdict = Verdict.CHATTER;
      chatterHz = h.hz();
      flip = true;
      because =
          String.format(
              Locale.ROOT,
              "The line at %.5g Hz, an odd multiple of half the tooth passing, is %.0f dB above what"
                  + " run-out gives beside it: every second tooth cuts alike (flip).",
              h.hz(),
              10 * Math.log10(h.power() / besideHalf(h)));
    } else if (halfTeeth.isPresent()) {
      CombLine h = halfTeeth.get();
      verdict = Verdict.CANNOT_TELL;
      because =
          String.format(
              Locale.ROOT,
              "There is a strong line at %.5g Hz, %d times the turns and an odd multiple of half the"
                  + " tooth passing: with %d teeth run-out has a line there, and so has chatter with"
                  + " every second tooth alike (flip). One sound cannot tell them apart. Change the"
                  + " speed by 3 to 5 %% and listen again: the lines of run-out move along and stay"
                  + " about as strong; a flip weakens much or goes."
                  + (h.power() > reference ? "" : " The lobes say that this cut may flip."),
              h.hz(),
              h.order(),
              cut.flutes());
    } else if (open.isPresent()) {
      verdict = Verdict.CANNOT_TELL;
      because = open.get().why;
    } else if (amplified[0] >= CutSoundReader.FORCED) {
      verdict = Verdict.FORCED;
      because =
          String.format(
              Locale.ROOT,
              "All that is strong lies on the comb of tooth passing and turns. The line at %.5g Hz"
                  + " is near a mode of the structure: by the measured modes the vibration is about"
                  + " %.2g times what the same forces would bend at rest (forced from %.2g times on).",
              amplified[1],
              amplified[0],
              CutSoundReader.FORCED);
    } else {
      verdict = Verdict.CLEAN;
      because =
          "All that is strong lies on the comb of tooth passing and turns"
              + (Double.isNaN(amplified[0])
                  ? "."
                  : String.format(
                      Locale.ROOT,
                      ", and by the measured modes the vibration is about %.2g times what the same"
                          + " forces would bend at rest (forced from %.2g times on).",
                      amplified[0],
                      CutSoundReader.FORCED));
    }
    Optional<CombLine> half =
        verdict == Verdict.CHATTER && !ownFrequency ? halfTeeth : Optional.empty();
    unheard(families, reference);
    return new HeardCut(
        seen.fromS,
        seen.toS,
        verdict,
        because,
        seen.spindleHz[0],
        seen.spindleHz[1],
        seen.spindleHz[2],
        cut.milling() ? cut.flutes() * seen.spindleHz[0] : Double.NaN,
        lines(chatter, half, reference),
        chatterHz,
        flip,
        amplified[0],
        amplified[1],
        spectrum,
        spectrogram,
        List.of(),
        remarks);
  }

  /** The strongest line of tooth passing; in turning, all that is heard. */
  private double reference() {
    return cut.milling()
        ? seen.comb.stream()
            .filter(c -> c.standsOut && c.order % cut.period() == 0)
            .mapToDouble(CombLine::power)
            .max()
            .orElse(seen.totalPower)
        : seen.totalPower;
  }

  /** The strongest line of the comb; in turning, all that is heard. */
  private double loudest() {
    return cut.milling()
        ? Math.max(
            reference(),
            seen.comb.stream()
                .filter(CombLine::standsOut)
                .mapToDouble(CombLine::power)
                .max()
                .orElse(0))
        : reference();
  }

  // ---- what does not come from the cut

  /**
   * Hum has its base among its lines, at what the mains have just now, and no multiple is louder
   * than that by much: the chatter of a cutter that happens to sing near 500 Hz is no hum.
   */
  private void markMains() {
    for (double nominal : new double[] {50, 60}) {
      Candidate strongest = null;
      double base = nominal;
      for (Candidate c : seen.others) {
        long k = Math.round(c.hz() / nominal);
        boolean low = k >= 1 && k <= 4 && Math.abs(c.hz() / k - nominal) < MAINS_WANDER * nominal;
        if (low && (strongest == null || c.power > strongest.power)) {
          strongest = c;
          base = c.hz() / k;
        }
      }
      for (Candidate c : seen.others) {
        long k = Math.round(c.hz() / base);
        if (strongest != null
            && k >= 1
            && c.hz() < MAINS_TOP_HZ
            && c.power <= 4 * strongest.power
            && Math.abs(c.hz() - k * base) < 0.4 * seen.binHz + 0.0002 * c.hz()) {
          c.fixed = String.format(Locale.ROOT, "%d times %.0f Hz, mains hum", k, nominal);
        }
      }
    }
  }

  private void markAir() {
    double keeps = Math.pow(10, -COMES_WITH_CUT_DB / 10);
    for (Candidate c : seen.others) {
      for (AirSound air : seen.air) {
        double within = Math.max(2 * seen.binHz, 0.001 * c.hz());
        if (air.powerNear(c.hz(), within, seen.frameSize) > keeps * c.power) {
          c.fixed = "sounds in air as well";
        } else if (air.powerNear(c.hz(), LIKE * c.hz(), seen.frameSize) > keeps * c.power) {
          c.like = true;
        }
      }
    }
  }

  // ---- chatter

  private List<Family> families(double least) {
    List<Family> all = new ArrayList<>();
    List<Candidate> left = new ArrayList<>(seen.others);
    left.removeIf(c -> !c.open());
    int others = left.size();
    double leastFlip = least * Math.pow(10, -FAINT_FLIP_DB / 10);
    while (true) {
      Candidate first =
          left.stream()
              .filter(c -> c.power >= (flips(c) ? leastFlip : least))
              .findFirst()
              .orElse(null);
      if (first == null) {
        break;
      }
      List<Candidate> members = new ArrayList<>(List.of(first));
      for (Candidate c : left) {
        if (c != first && related(first, c)) {
          members.add(c);
        }
      }
      left.removeAll(members);
      all.add(judged(members, others));
    }
    return all;
  }

  /** Whether two lines differ, or add up, to a multiple of the pattern's frequency. */
  private boolean related(Candidate a, Candidate b) {
    return Math.min(fold(a.hz() - b.hz()), fold(a.hz() + b.hz())) < tolerance(a.hz() - b.hz());
  }

  private double fold(double hz) {
    return Math.abs(hz - patternHz * Math.rint(hz / patternHz));
  }

  private double tolerance(double apartHz) {
    return 0.8 * seen.binHz + seen.drifts * Math.abs(apartHz);
  }

  /** At an odd multiple of half the pattern: the place is exact, so that a weaker line counts. */
  private boolean flips(Candidate c) {
    return cut.milling() && Math.abs(fold(c.hz()) - 0.5 * patternHz) < tolerance(c.hz());
  }

  private Family judged(List<Candidate> members, int others) {
    Candidate first = members.get(0);
    boolean flip = flips(first);
    String at = String.format(Locale.ROOT, "%.5g Hz", first.hz());
    // chance that so many of the others lie at the side bands' places without belonging there
    double share = Math.min(1, 4 * tolerance(2 * patternHz) / patternHz);
    int beside = members.size() - 1;
    double chance =
        beside == 0
            ? 1
            : 1
                - new BinomialDistribution(null, Math.max(beside, others - 1), share)
                    .cumulativeProbability(beside - 1);
    boolean bands = cut.milling() && beside > 0 && chance < FAMILY_CHANCE;
    boolean known = !seen.air.isEmpty();
    boolean near = nearMode(members);
    String modes = structure.modesHz().isEmpty() || near ? "" : ", though no known mode is near";
    if (flip && (bands || known && !first.like || near)) {
      return new Family(
          members,
          true,
          Finding.CHATTER,
          "The line at "
              + at
              + " lies at an odd multiple of half the tooth passing, where neither teeth nor run-out"
              + " have one: every second tooth cuts alike (flip)"
              + modes
              + ".");
    }
    if (bands) {
      return new Family(
          members,
          false,
          Finding.CHATTER,
          "The line at "
              + at
              + " lies away from the comb and has side bands at tooth passing ("
              + beside
              + (beside == 1 ? " line" : " lines")
              + "), as chatter has and fans or pumps have not"
              + modes
              + ".");
    }
    if (known && !first.like && (near || structure.modesHz().isEmpty())) {
      return new Family(
          members,
          false,
          Finding.CHATTER,
          "The line at "
              + at
              + " lies away from the comb and is not there in air: it comes with the cut"
              + (near ? ", and a mode of the structure is near." : "."));
    }
    if (!near && !structure.modesHz().isEmpty()) {
      return new Family(
          members,
          false,
          Finding.ANOTHER,
          "a line at "
              + at
              + " is strong, but no known mode is near and it has no side bands at tooth"
              + " passing; it may be another machine, or something that was not measured");
    }
    return new Family(
        members,
        false,
        Finding.UNEXPLAINED,
        first.like
            ? "The line at "
                + at
                + " lies away from the comb, but something near it sounds in air too; it may be"
                + " spindle whine that moves with the speed, or chatter. Record the air cut and the"
                + " cut at the same speed, one right after the other."
            : "The line at "
                + at
                + " lies away from the comb; it may be chatter, but a fan, a pump or the spindle"
                + " could sound like that as well. Give a recording in air too, or let the"
                + " recording begin before the tool enters.");
  }

  private boolean nearMode(List<Candidate> members) {
    for (Candidate c : members.subList(0, Math.min(2, members.size()))) {
      for (double mode : structure.modesHz()) {
        if (c.hz() > NEAR_BELOW * mode && c.hz() < NEAR_ABOVE * mode) {
          return true;
        }
      }
    }
    return false;
  }

  // ---- flip where run-out has lines too

  /** The strongest line at an odd multiple of half the pattern, where turns have one, if strong. */
  private Optional<CombLine> halfTeeth(double reference) {
    if (!cut.flipOnRunout()) {
      return Optional.empty();
    }
    double least = reference * Math.pow(10, -CutSoundReader.CHATTER_DB / 10);
    return seen.comb.stream()
        .filter(c -> c.standsOut && isHalf(c.order))
        .max(Comparator.comparingDouble(CombLine::power))
        .filter(c -> c.power > least)
        .filter(
            c ->
                runoutElsewhere()
                    ? c.power > besideHalf(c) * Math.pow(10, HALF_ORDER_DB / 10)
                    : c.power > reference || structure.flips().test(turnHz));
  }

  private boolean isHalf(int order) {
    return order % cut.period() == cut.period() / 2;
  }

  /** Whether run-out shows at orders that a flip does not have, so that the two can be compared. */
  private boolean runoutElsewhere() {
    return cut.evenPitch() && cut.period() >= 4;
  }

  private boolean trapped(CombLine half) {
    return !runoutElsewhere();
  }

  /** The stronger of the lines of run-out to both sides of a line at half the teeth. */
  private double besideHalf(CombLine half) {
    double most = half.floor();
    for (CombLine c : seen.comb) {
      if (c.order != half.order && Math.abs(c.order - half.order) < cut.period() / 2) {
        most = Math.max(most, c.power());
      }
    }
    return most;
  }

  // ---- forced vibration

  /**
   * How much larger the vibration is than the same forces would bend the structure at rest, and the
   * line with the largest share. Sound is taken to go with velocity: line a(f) gives displacement
   * a/f, force a/(f |G(f)|), and from that the deflection at rest a |G(0)|/(f |G(f)|).
   */
  private double[] amplified() {
    if (!structure.known() || structure.modesHz().isEmpty()) {
      return new double[] {Double.NaN, Double.NaN};
    }
    double highest =
        Math.max(patternHz, structure.modesHz().stream().mapToDouble(f -> f).max().orElse(0));
    double atRest = structure.staticCompliance2();
    double moving = 0;
    double still = 0;
    double most = 0;
    double mostHz = Double.NaN;
    for (CombLine c : seen.comb) {
      boolean unbalance = c.order == 1 && cut.period() > 1 && inAir(c);
      if (c.standsOut && !unbalance && c.hz < 1.5 * highest) {
        double displacement2 = c.power / (c.hz * c.hz);
        moving += displacement2;
        still += displacement2 * atRest / structure.compliance2(c.hz);
        if (displacement2 > most) {
          most = displacement2;
          mostHz = c.hz;
        }
      }
    }
    return still > 0
        ? new double[] {Math.sqrt(moving / still), mostHz}
        : new double[] {Double.NaN, Double.NaN};
  }

  /** Whether a line of the comb sounds without the cut as well. */
  private boolean inAir(CombLine c) {
    double keeps = c.power * Math.pow(10, -COMES_WITH_CUT_DB / 10);
    return seen.air.stream().anyMatch(a -> a.powerNear(c.hz, LIKE * c.hz, seen.frameSize) > keeps);
  }

  // ---- words and lines

  private void droop() {
    double off = seen.spindleHz[0] / cut.spindleHz() - 1;
    if (Math.abs(off) > 0.02) {
      remarks.add(
          String.format(
              Locale.ROOT,
              "the spindle turns %.1f %% %s than stated (%.0f rpm): %s",
              100 * Math.abs(off),
              off < 0 ? "slower" : "faster",
              60 * seen.spindleHz[0],
              off < 0
                  ? "under load, or the speed shown is not the true one"
                  : "the speed shown is not the true one"));
    }
    if (seen.spindleHz[2] - seen.spindleHz[1] > 0.01 * seen.spindleHz[0]) {
      remarks.add(
          String.format(
              Locale.ROOT,
              "the speed changes in the cut, from %.0f to %.0f rpm",
              60 * seen.spindleHz[1],
              60 * seen.spindleHz[2]));
    }
  }

  private void unheard(List<Family> families, double reference) {
    for (Family f : families) {
      if (f.finding == Finding.ANOTHER) {
        remarks.add(f.why);
      }
    }
    double least = reference * Math.pow(10, -CutSoundReader.CHATTER_DB / 10);
    seen.others.stream()
        .filter(c -> !c.open() && c.power > least)
        .limit(3)
        .forEach(
            c ->
                remarks.add(
                    String.format(
                        Locale.ROOT,
                        "the line at %.5g Hz is not of the cut: %s",
                        c.hz(),
                        c.fixed)));
  }

  private List<SoundLine> lines(
      Optional<Family> chatter, Optional<CombLine> half, double reference) {
    double least = reference * Math.pow(10, -AMONG_DB / 10);
    List<SoundLine> all = new ArrayList<>();
    for (CombLine c : seen.comb) {
      if (c.standsOut && c.power > least) {
        boolean flip = half.isPresent() && isHalf(c.order);
        boolean tooth = cut.milling() && c.order % cut.flutes() == 0;
        all.add(
            new SoundLine(
                c.hz,
                SoundSpectrum.decibels(c.power),
                10 * Math.log10(c.power / c.floor),
                flip
                    ? SoundLine.Kind.CHATTER
                    : tooth ? SoundLine.Kind.TOOTH_PASSING : SoundLine.Kind.RUNOUT,
                tooth ? c.order / cut.flutes() : c.order,
                flip ? "flip" : ""));
      }
    }
    List<Candidate> family = chatter.map(Family::lines).orElse(List.of());
    for (Candidate c : seen.others) {
      if (family.contains(c)) {
        all.add(
            c.line.as(
                SoundLine.Kind.CHATTER,
                side(family.get(0), c),
                c == family.get(0) ? "" : "side band"));
      } else if (c.power > least) {
        all.add(c.line.as(SoundLine.Kind.OTHER, 0, c.fixed));
      }
    }
    all.sort(Comparator.comparingDouble((SoundLine l) -> -l.levelDb()));
    return all;
  }

  /**
   * How many patterns a line lies above the strongest; one that is folded at zero lies below it.
   */
  private int side(Candidate first, Candidate c) {
    double apart = c.hz() - first.hz();
    boolean direct = // of a flip each line is both
        fold(apart) < tolerance(apart) || fold(apart) <= fold(c.hz() + first.hz());
    return (int) Math.rint(((direct ? c.hz() : -c.hz()) - first.hz()) / patternHz);
  }
}

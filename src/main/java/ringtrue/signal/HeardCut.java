package ringtrue.signal;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;

/**
 * What the sound of a cut tells.
 *
 * @param fromS start of the part in which it is cut, s from the start of the recording
 * @param toS its end, s
 * @param verdict what it is
 * @param because the reasons, in plain sentences
 * @param spindleHz turns of the spindle per second in the cut; NaN where its lines were not found
 * @param spindleLowHz slowest in the cut, Hz; NaN where not found
 * @param spindleHighHz fastest in the cut, Hz; NaN where not found
 * @param toothPassHz teeth passing per second; NaN in turning or where not found
 * @param peaks lines that stand out, by falling level, those of the comb and others
 * @param chatterHz strongest line of the chatter, Hz; NaN if there is none
 * @param flip whether the chatter is at half the tooth passing
 * @param amplification how many times larger the vibration is than the same forces would bend the
 *     standing structure; NaN where the structure or the comb is not known
 * @param amplifiedHz line of the comb with the largest share of the vibration, Hz; NaN likewise
 * @param spectrum mean spectrum of the cut; empty if there is none
 * @param spectrogram of the whole stretch; empty if it is too short
 * @param parts the windows in which it was judged, in order; this is about the one that matters
 *     most
 * @param remarks what else should be known
 */
public record HeardCut(
    double fromS,
    double toS,
    Verdict verdict,
    String because,
    double spindleHz,
    double spindleLowHz,
    double spindleHighHz,
    double toothPassHz,
    List<SoundLine> peaks,
    double chatterHz,
    boolean flip,
    double amplification,
    double amplifiedHz,
    Optional<SoundSpectrum> spectrum,
    Optional<Spectrogram> spectrogram,
    List<Part> parts,
    List<String> remarks) {

  /**
   * A part of the cut.
   *
   * @param fromS start, s from the start of the recording
   * @param toS end, s
   * @param verdict what it is like
   * @param spindleHz turns per second, Hz; NaN where not found
   * @param chatterHz strongest line of the chatter, Hz; NaN if there is none
   */
  public record Part(
      double fromS, double toS, Verdict verdict, double spindleHz, double chatterHz) {}

  /** What a cut sounds like. */
  public enum Verdict {
    CLEAN("clean", 1),
    FORCED("forced vibration", 2),
    CHATTER("chatter", 4),
    CANNOT_TELL("cannot tell", 3),
    /** Cannot tell, because no cut is heard at all. */
    NOTHING_HEARD("cannot tell", 0);

    private final String word;
    private final int weight;

    Verdict(String word, int weight) {
      this.word = word;
      this.weight = weight;
    }

    public String word() {
      return word;
    }

    /** Larger for what matters more where a recording holds several. */
    public int weight() {
      return weight;
    }
  }

  public HeardCut {
    peaks = List.copyOf(peaks);
    parts = List.copyOf(parts);
    remarks = List.copyOf(remarks);
  }

  /** The same as a part. */
  Part asPart() {
    return new Part(fromS, toS, verdict, spindleHz, chatterHz);
  }

  /**
   * Several windows of one cut: the first of those that matter most, with the others as its parts.
   *
   * @param windows one or more, in order
   */
  static HeardCut together(List<HeardCut> windows) {
    HeardCut worst = windows.get(0);
    List<Part> all = new ArrayList<>();
    for (HeardCut w : windows) {
      all.addAll(w.parts.isEmpty() ? List.of(w.asPart()) : w.parts);
      boolean clearer =
          w.verdict == worst.verdict
              && w.verdict == Verdict.CHATTER
              && w.strength() > worst.strength();
      worst = w.verdict.weight > worst.verdict.weight || clearer ? w : worst;
    }
    return worst.withParts(all);
  }

  /** Level of the chatter. */
  double strength() {
    return peaks.stream()
        .filter(p -> p.is() == SoundLine.Kind.CHATTER)
        .mapToDouble(SoundLine::levelDb)
        .max()
        .orElse(Double.NEGATIVE_INFINITY);
  }

  private HeardCut with(double startS, double endS, String why, List<Part> all, List<String> said) {
    return new HeardCut(
        startS,
        endS,
        verdict,
        why,
        spindleHz,
        spindleLowHz,
        spindleHighHz,
        toothPassHz,
        peaks,
        chatterHz,
        flip,
        amplification,
        amplifiedHz,
        spectrum,
        spectrogram,
        all,
        said);
  }

  private HeardCut withParts(List<Part> all) {
    return with(fromS, toS, because, all, remarks);
  }

  /**
   * This chatter as a part of a cut in which none is heard otherwise; spectrum and lines stay those
   * of the part.
   *
   * @param whole what is heard of all of it
   * @param startS where the chatter begins, s
   * @param endS where it ends, s
   */
  HeardCut asPartOf(HeardCut whole, double startS, double endS) {
    List<Part> all = new ArrayList<>();
    double first = whole.parts.isEmpty() ? whole.fromS : whole.parts.get(0).fromS();
    double last = whole.parts.isEmpty() ? whole.toS : whole.parts.get(whole.parts.size() - 1).toS();
    if (startS > first) {
      all.add(new Part(first, startS, whole.verdict, whole.spindleHz, Double.NaN));
    }
    all.add(new Part(startS, endS, verdict, spindleHz, chatterHz));
    if (endS < last) {
      all.add(new Part(endS, last, whole.verdict, whole.spindleHz, Double.NaN));
    }
    String where =
        String.format(
            Locale.ROOT,
            " It is there from %.1f s to %.1f s only, not all through the cut.",
            startS,
            endS);
    return with(startS, endS, because + where, all, remarks).withRemarks(whole.remarks);
  }

  /** The same with more remarks. */
  HeardCut withRemarks(List<String> more) {
    List<String> both = new ArrayList<>(remarks);
    more.stream().filter(r -> !both.contains(r)).forEach(both::add);
    return with(fromS, toS, because, parts, both);
  }
}

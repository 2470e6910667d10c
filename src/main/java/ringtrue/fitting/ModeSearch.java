package ringtrue.fitting;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import ringtrue.fitting.ModalParameters.Term;

/**
 * Looks in what a model leaves over for the shape of one more mode: a matched filter over natural
 * frequency and damping ratio (Turin 1960, IRE Trans. Inf. Theory 6, 311-329), in the neighbourhood
 * of each frequency.
 */
final class ModeSearch {
  private static final double[] ZETAS = {
    0.0005, 0.001, 0.002, 0.004, 0.008, 0.016, 0.03, 0.06, 0.1, 0.16
  };

  /** Half the neighbourhood in half-power bandwidths. */
  private static final double REACH = 4;

  /** Lines that are left in a bandwidth where neighbours are taken together. */
  private static final double IN_BANDWIDTH = 8;

  private final FitLines lines;

  /**
   * A candidate.
   *
   * @param term the mode
   * @param gain by how much it alone would lower chi-square in its neighbourhood
   */
  record Candidate(Term term, double gain) {}

  ModeSearch(FitLines lines) {
    this.lines = lines;
  }

  /**
   * @param lowOmega lowest natural frequency to look at, rad/s
   * @param highOmega highest, rad/s
   * @param most how many to return at most
   * @return best candidates of different frequency, best first, all with positive stiffness
   */
  List<Candidate> candidates(ModalParameters model, double lowOmega, double highOmega, int most) {
    double[] re = new double[lines.size()];
    double[] im = new double[lines.size()];
    model.misfit(lines, re, im);
    List<Level> levels = levels(re, im);
    List<Candidate> all = new ArrayList<>();
    for (double zeta : ZETAS) {
      scan(zeta, lowOmega, highOmega, levels, all);
    }
    all.sort(Comparator.comparingDouble(Candidate::gain).reversed());
    List<Candidate> best = new ArrayList<>();
    for (Candidate candidate : all) {
      if (best.size() == most) {
        break;
      }
      boolean isNew =
          best.stream()
              .noneMatch(
                  b ->
                      Math.abs(b.term.omega() - candidate.term.omega())
                          < 2 * b.term.seenBandwidth(lines.shift));
      if (isNew) {
        best.add(candidate);
      }
    }
    return best;
  }

  /**
   * Lines taken together by ones, twos, fours and so on: middle, sums of weighted misfit and of
   * weights. A broad mode needs no fine lines.
   */
  private record Level(double[] omega, double[] re, double[] im, double[] weight) {

    Level halved() {
      int n = (omega.length + 1) / 2;
      Level half = new Level(new double[n], new double[n], new double[n], new double[n]);
      for (int i = 0; i < n; i++) {
        int other = Math.min(2 * i + 1, omega.length - 1);
        half.omega[i] = (omega[2 * i] + omega[other]) / 2;
        for (int j = 2 * i; j <= other; j++) {
          half.re[i] += re[j];
          half.im[i] += im[j];
          half.weight[i] += weight[j];
        }
      }
      return half;
    }
  }

  private List<Level> levels(double[] re, double[] im) {
    int n = lines.size();
    Level level = new Level(lines.omega, re, im, new double[n]);
    for (int i = 0; i < n; i++) {
      level.weight[i] = 1 / (lines.sigma[i] * lines.sigma[i]);
      re[i] *= level.weight[i];
      im[i] *= level.weight[i];
    }
    List<Level> levels = new ArrayList<>();
    levels.add(level);
    while (level.omega.length > 16) {
      level = level.halved();
      levels.add(level);
    }
    return levels;
  }

  private void scan(
      double zeta, double lowOmega, double highOmega, List<Level> levels, List<Candidate> all) {
    double[] unit = new double[2];
    double omega = lowOmega;
    Candidate before = null;
    boolean rising = true;
    while (omega <= highOmega) {
      Term trial = new Term(omega, zeta, 1, 0);
      double bandwidth = trial.seenBandwidth(lines.shift);
      if (bandwidth < 0.3 * lines.spacing) {
        // as narrow as this, a larger damping ratio looks the same
        omega += 0.5 * lines.spacing;
        continue;
      }
      int coarse = Math.max(0, Math.getExponent(bandwidth / lines.spacing / IN_BANDWIDTH));
      Level level = levels.get(Math.min(coarse, levels.size() - 1));
      double reach = Math.max(REACH * bandwidth, 3 * lines.spacing);
      int from = Arrays.binarySearch(level.omega, omega - reach);
      double match = 0;
      double energy = 0;
      for (int i = from < 0 ? -from - 1 : from;
          i < level.omega.length && level.omega[i] <= omega + reach;
          i++) {
        trial.unit(lines.shift, level.omega[i], unit);
        match += unit[0] * level.re[i] + unit[1] * level.im[i];
        energy += level.weight[i] * (unit[0] * unit[0] + unit[1] * unit[1]);
      }
      double gain = match > 0 ? match * match / energy : 0;
      Candidate now = new Candidate(new Term(omega, zeta, match / energy, 0), gain);
      if (before != null) {
        if (rising && gain < before.gain) {
          all.add(before);
        }
        rising = gain >= before.gain;
      }
      before = now;
      omega += Math.max(0.5 * bandwidth, 0.5 * lines.spacing);
    }
    if (before != null && rising && before.gain > 0) {
      all.add(before);
    }
  }
}

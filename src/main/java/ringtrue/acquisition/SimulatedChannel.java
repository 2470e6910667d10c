package ringtrue.acquisition;

import java.util.ArrayList;
import java.util.List;
import org.apache.commons.math3.complex.Complex;
import org.apache.commons.math3.random.RandomGenerator;
import org.apache.commons.math3.util.FastMath;

/**
 * What one input of the virtual rig records of a series of blows. A blow is a sum of exponentials Σ
 * A e<sup>μt</sup>, a pole p with residue r answers it with {@code Σ A r (e^{μt} − e^{pt})/(μ − p)}
 * while it lasts and rings with e<sup>pt</sup> from there on. Ringing is carried from sample to
 * sample by one complex multiplication and computed anew at the start of each block, so that
 * rounding has no time to grow; blocks do not depend on each other.
 */
final class SimulatedChannel {
  static final int BLOCK = 1024;

  /** Ringing below e⁻⁸⁰ ≈ 2e−35 of its start is silence. */
  private static final double SILENCE = 80;

  private final RigChannel input;
  private final double sampleRateHz;
  private final long seed;
  private final int number;
  private final double direct;
  private final Complex[] poles;
  private final Complex[] residues;
  private final Complex[] steps;
  private final double[] humPhases;
  private final List<Struck> blows = new ArrayList<>();
  private final double memoryS;

  /** A blow as this channel sees it, with times counted from the sample nearest its onset. */
  private final class Struck {
    final Blow blow;
    final double amplitude;
    final long nearest;
    final double shiftS;

    /** First sample at or after the onset, and first one at or after the end. */
    final long first;

    final long after;

    /** Ringing of each pole when the blow ends; SI. */
    final Complex[] ringing;

    Struck(Blow blow, double amplitude) {
      this.blow = blow;
      this.amplitude = amplitude;
      this.nearest = (long) Math.rint(blow.onsetS() * sampleRateHz);
      this.shiftS =
          Math.fma(-blow.onsetS(), sampleRateHz, (double) nearest) / sampleRateHz + input.skewS();
      this.first = firstAtOrAfter(0);
      this.after = firstAtOrAfter(blow.contactS());
      this.ringing = new Complex[poles.length];
      for (int i = 0; i < poles.length; i++) {
        ringing[i] = during(i, blow.contactS());
      }
    }

    double elapsed(long sample) {
      return (sample - nearest) / sampleRateHz + shiftS;
    }

    private long firstAtOrAfter(double timeS) {
      long n = nearest + (long) Math.floor((timeS - shiftS) * sampleRateHz) - 1;
      while (elapsed(n) < timeS) {
        n++;
      }
      return n;
    }

    /** Part of pole i in the answer while the blow lasts. */
    private Complex during(int i, double elapsedS) {
      Complex p = poles[i];
      Complex decay = p.multiply(elapsedS).exp();
      Complex sum = Complex.ZERO;
      for (Complex[] term : blow.shape().exponentials(blow.contactS())) {
        Complex mu = term[1];
        Complex difference = mu.multiply(elapsedS).exp().subtract(decay);
        sum = sum.add(term[0].multiply(difference).divide(mu.subtract(p)));
      }
      return sum.multiply(residues[i]).multiply(amplitude);
    }

    double whileItLasts(long sample) {
      double elapsedS = elapsed(sample);
      double sum = direct * amplitude * blow.shape().at(elapsedS / blow.contactS());
      for (int i = 0; i < poles.length; i++) {
        sum += weight(poles[i]) * during(i, elapsedS).getReal();
      }
      return sum;
    }

    /** Ringing of pole i at a sample after the blow. */
    Complex ringingAt(int i, long sample) {
      double elapsedS = elapsed(sample) - blow.contactS();
      return poles[i].multiply(elapsedS).exp().multiply(ringing[i]);
    }
  }

  /**
   * @param askew whether a blow's gain counts in this channel
   */
  SimulatedChannel(
      RigChannel input,
      TransferFunction answer,
      List<Blow> all,
      boolean askew,
      double sampleRateHz,
      long seed,
      int number) {
    this.input = input;
    this.sampleRateHz = sampleRateHz;
    this.seed = seed;
    this.number = number;
    TransferFunction recorded = answer.highPassed(input.highPassHz());
    this.direct = recorded.direct();
    this.poles = recorded.poles().toArray(new Complex[0]);
    this.residues = recorded.residues().toArray(new Complex[0]);
    this.steps = new Complex[poles.length];
    double slowest = Double.POSITIVE_INFINITY;
    for (int i = 0; i < poles.length; i++) {
      steps[i] = poles[i].divide(sampleRateHz).exp();
      slowest = Math.min(slowest, -poles[i].getReal());
    }
    double longest = 0;
    for (Blow blow : all) {
      blows.add(new Struck(blow, blow.peakForceN() * (askew ? blow.gain() : 1)));
      longest = Math.max(longest, blow.contactS());
    }
    this.memoryS = longest + SILENCE / slowest + 2 * BLOCK / sampleRateHz;
    RandomGenerator random = Seeds.generator(seed, number, -1);
    this.humPhases = new double[input.humV().size()];
    for (int h = 0; h < humPhases.length; h++) {
      humPhases[h] = 2 * Math.PI * random.nextDouble();
    }
  }

  private static double weight(Complex pole) {
    return pole.getImaginary() > 0 ? 2 : 1;
  }

  /** Recorded numbers of a block of {@link #BLOCK} samples, beginning at a multiple of that. */
  void block(long index, double[] into) {
    java.util.Arrays.fill(into, 0);
    long from = index * BLOCK;
    answer(from, into);
    double volts = input.polarity() * input.sensitivityVPerUnit();
    for (int i = 0; i < BLOCK; i++) {
      into[i] = into[i] * volts + input.offsetV();
    }
    for (int h = 0; h < humPhases.length; h++) {
      double cyclesPerSample = (h + 1) * input.humHz() / sampleRateHz;
      double atStart = humPhases[h] + 2 * Math.PI * input.humHz() * (h + 1) * input.skewS();
      for (int i = 0; i < BLOCK; i++) {
        double cycles = cyclesPerSample * (from + i);
        into[i] +=
            input.humV().get(h)
                * FastMath.sin(2 * Math.PI * (cycles - Math.floor(cycles)) + atStart);
      }
    }
    if (input.noiseRmsV() > 0) {
      RandomGenerator random = Seeds.generator(seed, number, index);
      for (int i = 0; i < BLOCK; i++) {
        into[i] += input.noiseRmsV() * random.nextGaussian();
      }
    }
    for (int i = 0; i < BLOCK; i++) {
      into[i] = converted(into[i] / input.fullScaleV());
    }
  }

  private double converted(double part) {
    if (input.bits() == 0) {
      return part;
    }
    double top = Math.scalb(1.0, input.bits() - 1);
    return Math.max(-top, Math.min(top - 1, Math.rint(part * top))) / top;
  }

  /** Adds the sensor's signal, SI. */
  private void answer(long from, double[] into) {
    long to = from + BLOCK;
    List<Struck> near = new ArrayList<>();
    for (Struck struck : blows) {
      if (struck.first < to && struck.elapsed(from) < memoryS) {
        near.add(struck);
      }
    }
    for (Struck struck : near) {
      long end = Math.min(to, struck.after);
      for (long n = Math.max(from, struck.first); n < end; n++) {
        into[(int) (n - from)] += struck.whileItLasts(n);
      }
    }
    near.removeIf(struck -> struck.after >= to);
    // ringing of all blows so far is one phasor; each later blow joins it where it ends
    near.sort((a, b) -> Long.compare(a.after, b.after));
    for (int i = 0; i < poles.length; i++) {
      double weight = weight(poles[i]);
      double stepRe = steps[i].getReal();
      double stepIm = steps[i].getImaginary();
      double re = 0;
      double im = 0;
      int joined = 0;
      int n = 0;
      while (n < BLOCK) {
        while (joined < near.size() && near.get(joined).after <= from + n) {
          Complex ringing = near.get(joined).ringingAt(i, from + n);
          re += weight * ringing.getReal();
          im += weight * ringing.getImaginary();
          joined++;
        }
        int until =
            joined < near.size() ? (int) Math.min(BLOCK, near.get(joined).after - from) : BLOCK;
        for (; n < until; n++) {
          into[n] += re;
          double next = re * stepRe - im * stepIm;
          im = re * stepIm + im * stepRe;
          re = next;
        }
      }
    }
  }
}

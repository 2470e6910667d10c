package ringtrue.stability;

import java.util.function.DoubleUnaryOperator;
import org.apache.commons.math3.optim.MaxEval;
import org.apache.commons.math3.optim.nonlinear.scalar.GoalType;
import org.apache.commons.math3.optim.univariate.BrentOptimizer;
import org.apache.commons.math3.optim.univariate.SearchInterval;
import org.apache.commons.math3.optim.univariate.UnivariateObjectiveFunction;

/** Where a smooth function has its highest value between two points. */
final class Extremum {
  private Extremum() {}

  static double highest(DoubleUnaryOperator f, double low, double start, double high) {
    return new BrentOptimizer(1e-10, 1e-12)
        .optimize(
            new MaxEval(500),
            new UnivariateObjectiveFunction(f::applyAsDouble),
            GoalType.MAXIMIZE,
            new SearchInterval(low, high, start))
        .getPoint();
  }
}

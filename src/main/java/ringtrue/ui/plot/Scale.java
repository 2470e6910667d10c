package ringtrue.ui.plot;

/** How an axis spreads its values: even steps of what. */
public enum Scale {
  /** Even steps of the value. */
  LINEAR {
    @Override
    double forward(double value) {
      return value;
    }

    @Override
    double back(double place) {
      return place;
    }
  },
  /** Even steps of log10 of the value; zero and below have no place. */
  LOG {
    @Override
    double forward(double value) {
      return value > 0 ? Math.log10(value) : Double.NaN;
    }

    @Override
    double back(double place) {
      return Math.pow(10, place);
    }
  },
  /**
   * Even steps of 20 log10 of the value, written in decibels against 1 of the axis's unit; zero and
   * below have no place. What writes its values is given decibels.
   */
  DECIBEL {
    @Override
    double forward(double value) {
      return value > 0 ? 20 * Math.log10(value) : Double.NaN;
    }

    @Override
    double back(double place) {
      return Math.pow(10, place / 20);
    }
  };

  /** Place of a value along the axis; NaN where it has none. */
  abstract double forward(double value);

  /** Value at a place along the axis. */
  abstract double back(double place);
}

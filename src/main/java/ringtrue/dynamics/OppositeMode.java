package ringtrue.dynamics;

/**
 * A mode in a cross receptance whose shape points the opposite way in the two directions: it
 * contributes with a minus sign.
 *
 * @param mode the mode, its stiffness counted positive
 */
public record OppositeMode(Mode mode) implements Receptance {

  @Override
  public void at(double frequencyHz, double[] into) {
    mode.at(frequencyHz, into);
    into[0] = -into[0];
    into[1] = -into[1];
  }
}

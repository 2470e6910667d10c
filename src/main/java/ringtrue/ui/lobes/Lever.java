package ringtrue.ui.lobes;

import java.util.function.BiConsumer;
import java.util.function.DoubleFunction;
import javax.swing.JLabel;
import javax.swing.JSlider;
import ringtrue.report.LengthUnit;
import ringtrue.ui.job.CutField;
import ringtrue.ui.kit.Field;
import ringtrue.units.Dimension;

/** A slider with a field beside it, for one thing that is said of the cut. */
final class Lever {
  private static final int STEPS = 200;

  private final CutField of;
  private static final String NONE = "none";

  private final Dimension dimension;
  private final Field field;
  private final JSlider slider = new JSlider(0, STEPS, 0);
  private DoubleFunction<String> text = String::valueOf;
  private double most = 1;
  private boolean showing;
  private LengthUnit unit = LengthUnit.MILLIMETRE;

  /** Told what was said, as text, and whether more of the same may follow at once. */
  private final BiConsumer<String, Boolean> says;

  private final Runnable rests;

  /**
   * @param name of the field; the slider's ends with {@code -slider}
   * @param label a short one
   * @param says told a text and whether the hand is still on the slider
   * @param rests told when the hand is off
   */
  Lever(
      String name,
      String label,
      CutField of,
      Dimension dimension,
      BiConsumer<String, Boolean> says,
      Runnable rests) {
    this.of = of;
    this.dimension = dimension;
    this.says = says;
    this.rests = rests;
    field = new Field(name, label, 7).example(of.example());
    field.input().getAccessibleContext().setAccessibleName(of.words());
    field.onCommit(t -> says.accept(meant(t), false));
    slider.setName(name + "-slider");
    slider.getAccessibleContext().setAccessibleName(of.words());
    slider.setToolTipText(of.words() + "; arrow keys in small steps, Page Up and Down in large");
    slider.putClientProperty("JSlider.isFilled", Boolean.TRUE);
    slider.addChangeListener(e -> moved());
  }

  CutField of() {
    return of;
  }

  JLabel label() {
    return field.label();
  }

  Field field() {
    return field;
  }

  JSlider slider() {
    return slider;
  }

  /** What a person means who leaves out a unit, or says that there is none of it. */
  private String meant(String written) {
    if (dimension == Dimension.STIFFNESS && written.strip().equalsIgnoreCase(NONE)) {
      return "";
    }
    return Readable.complete(
        written,
        switch (dimension) {
          case SPINDLE_SPEED -> "rpm";
          case ANGLE -> "deg";
          case STIFFNESS -> "N/m";
          default -> unit.symbol();
        });
  }

  private void moved() {
    if (showing) {
      return;
    }
    says.accept(text.apply(most * slider.getValue() / STEPS), true);
    if (!slider.getValueIsAdjusting()) {
      rests.run();
    }
  }

  /**
   * Shows what is said.
   *
   * @param said text of the draft
   * @param largest value at the slider's end, SI units
   * @param in the unit of lengths that the user reads
   * @param words writes a value, SI units, as text
   */
  void show(String said, double largest, LengthUnit in, DoubleFunction<String> words) {
    showing = true;
    text = words;
    most = largest;
    unit = in;
    double value = Readable.value(said, dimension);
    boolean none = dimension == Dimension.STIFFNESS && (said.isBlank() || value == 0);
    field.show(none ? NONE : dimension == Dimension.LENGTH ? Readable.inUnit(said, unit) : said);
    if (none) {
      slider.setValue(0);
    } else if (!slider.getValueIsAdjusting() && !Double.isNaN(value)) {
      slider.setValue((int) Math.round(STEPS * Math.min(1, Math.max(0, value / most))));
    }
    showing = false;
  }

  /** Calls it otherwise. */
  void call(String label, String words) {
    field.label().setText(label);
    field.input().getAccessibleContext().setAccessibleName(words);
    slider.getAccessibleContext().setAccessibleName(words);
    slider.setToolTipText(words + "; arrow keys in small steps, Page Up and Down in large");
  }

  /** Whether it can be used; if not, why. */
  void usable(boolean usable, String why) {
    field.setEnabled(usable);
    slider.setEnabled(usable);
    field.setToolTipText(usable ? null : why);
  }

  void visible(boolean seen) {
    field.setVisible(seen);
    field.label().setVisible(seen);
    slider.setVisible(seen);
  }
}

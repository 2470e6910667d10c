package ringtrue.planning;

import java.util.Objects;

/**
 * What a cutter is made of.
 *
 * @param name name of the material
 * @param youngsModulusPa Young's modulus, Pa
 * @param densityKgPerM3 density, kg/m³; NaN where unknown
 * @param ruptureLowPa lower end of the transverse rupture strength, static, Pa; NaN where unknown
 * @param ruptureHighPa upper end of it, Pa; NaN where unknown
 * @param allowedCyclicPa bending stress that a ground flute may see at every turn, Pa
 * @param speedFactor part of a carbide cutter's cutting speed that it stands, by common practice
 *     without a source
 * @param source where the numbers come from
 */
public record ToolMaterial(
    String name,
    double youngsModulusPa,
    double densityKgPerM3,
    double ruptureLowPa,
    double ruptureHighPa,
    double allowedCyclicPa,
    double speedFactor,
    String source) {

  /**
   * Solid carbide as most small end mills are made of, the same numbers as the catalogue's row:
   * from memory, allowed stress about a quarter of the lower transverse rupture strength.
   */
  public static final ToolMaterial SUBMICRON_CARBIDE =
      new ToolMaterial(
          "carbide, submicron 10 % Co",
          580e9,
          14450,
          3500e6,
          4200e6,
          800e6,
          1,
          "from memory, typical of grade tables after ISO 3327 and ISO 3312");

  public ToolMaterial {
    Objects.requireNonNull(name, "name");
    Objects.requireNonNull(source, "source");
    if (!(youngsModulusPa > 0) || !(allowedCyclicPa > 0) || !(speedFactor > 0)) {
      throw new IllegalArgumentException(
          "Young's modulus, allowed stress and speed factor must be positive, were "
              + youngsModulusPa
              + " Pa, "
              + allowedCyclicPa
              + " Pa and "
              + speedFactor);
    }
  }
}

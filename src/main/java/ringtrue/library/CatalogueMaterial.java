package ringtrue.library;

import java.util.List;
import java.util.Objects;
import ringtrue.stability.CuttingCoefficients;

/**
 * What the catalogue knows about a work material.
 *
 * @param name its name
 * @param aliases other names for it
 * @param isoGroup work material group after ISO 513 (P, M, K, N, S, H) or "other"; may be empty
 * @param coefficients the linear force model; its relative range is the larger of the two sides
 * @param ktcLowPa how low the tangential coefficient may be, Pa; NaN where unknown
 * @param ktcHighPa how high it may be, Pa; NaN where unknown
 * @param highestCuttingSpeedMPerS cutting speed above which a coated carbide cutter soon wears out,
 *     m/s, by common practice without a source; NaN where unknown
 * @param basis what the numbers hold for
 * @param source where they come from
 */
public record CatalogueMaterial(
    String name,
    List<String> aliases,
    String isoGroup,
    CuttingCoefficients coefficients,
    double ktcLowPa,
    double ktcHighPa,
    double highestCuttingSpeedMPerS,
    String basis,
    String source) {

  public CatalogueMaterial {
    Objects.requireNonNull(name, "name");
    Objects.requireNonNull(coefficients, "coefficients");
    aliases = List.copyOf(aliases);
  }
}

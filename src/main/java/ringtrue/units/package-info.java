/**
 * Quantities as people write them, {@code "0.25 in"} or {@code "10.2 mV/g"}, turned into SI numbers
 * and back. Text with units lives only at the edge of the program; everything inside is SI with the
 * unit in the name.
 */
package ringtrue.units;

/**
 * From a frequency response to modes: how many there are, their natural frequency, damping ratio
 * and stiffness, each with its uncertainty.
 */
package ringtrue.fitting;

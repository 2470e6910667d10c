/**
 * From recordings to an averaged frequency response: blocks, windows, spectra, coherence, error,
 * and a verdict for each tap.
 */
package ringtrue.signal;

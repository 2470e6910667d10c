/**
 * Files of measurements, responses and cuts, read strictly and written whole; the catalogue of
 * materials and machines.
 */
package ringtrue.library;

/** Stability over speed, with the cut as a marker in it. */
package ringtrue.ui.lobes;

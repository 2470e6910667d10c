/** Tapping: inputs, live taps with verdicts, the list of taps. */
package ringtrue.ui.tapping;

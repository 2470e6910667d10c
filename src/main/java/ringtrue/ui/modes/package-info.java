/** Modes: which poles are stable, the fit, its numbers and what is to be said of them. */
package ringtrue.ui.modes;

/** The cut in time, watched and heard. */
package ringtrue.ui.simulation;

/**
 * The interactive chart of the window: it shows finished numbers, lets people zoom, read, pick and
 * drag, and knows nothing of what they mean.
 */
package ringtrue.ui.plot;

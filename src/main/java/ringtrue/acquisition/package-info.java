/**
 * Recordings and the taps in them: WAV and text files read as streams, the virtual rig that answers
 * simulated blows, and the trigger that finds taps in a long recording.
 */
package ringtrue.acquisition;

/**
 * Which cuts chatter: the cutting process and its stability lobes.
 *
 * <p>{@link ringtrue.stability.Lobes} is the way in. The loop without its delay is one curve of
 * eigenvalues over frequency; crossings of it with the delays of a speed are the depths at which
 * stability is lost or comes back, and counting them gives every stable stretch. That is the
 * averaged cut; {@link ringtrue.stability.Method#MULTI_FREQUENCY} keeps the harmonics of the
 * turning cutter (a truncated Hill determinant), on responses as measured as well as on modes, and
 * {@link ringtrue.stability.MeasuredAgainstModes} says where the two kinds of response disagree.
 */
package ringtrue.stability;

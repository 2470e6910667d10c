/**
 * Which cuts chatter: the cutting process and its stability lobes.
 *
 * <p>{@link ringtrue.stability.Lobes} is the way in. The loop without its delay is one curve of
 * eigenvalues over frequency; crossings of it with the delays of a speed are the depths at which
 * stability is lost or comes back, and counting them gives every stable stretch. {@link
 * ringtrue.stability.ProbabilityLobes} asks the same of many drawn cuts and says how likely each
 * point of the map is stable.
 */
package ringtrue.stability;

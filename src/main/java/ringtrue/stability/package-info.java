/**
 * Which cuts chatter: the cutting process and its stability lobes.
 *
 * <p>{@link ringtrue.stability.Lobes} is the way in. The loop without its delay is one curve of
 * eigenvalues over frequency; crossings of it with the delays of a speed are the depths at which
 * stability is lost or comes back, and counting them gives every stable stretch. That is the
 * averaged cut, and turning exactly.
 *
 * <p>{@link ringtrue.stability.Method#PERIODIC} keeps the whole turning cutter: collocation of the
 * engaged arcs ({@code PeriodOperator}), the largest multiplier of a period ({@code Multipliers}),
 * and a search along each speed ({@code PeriodicSection}); {@link ringtrue.stability.GrowingLobes}
 * gives the same in ever finer steps. {@link ringtrue.stability.Method#MULTI_FREQUENCY} keeps the
 * harmonics (a truncated Hill determinant), on responses as measured as well as on modes, and
 * {@link ringtrue.stability.MeasuredAgainstModes} says where the two kinds of response disagree.
 * {@link ringtrue.stability.ProbabilityLobes} asks the same of many drawn cuts and says how likely
 * each point of the map is stable.
 */
package ringtrue.stability;

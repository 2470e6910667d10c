package ringtrue.stability;

/**
 * A depth at which a pair of characteristic roots lies on the imaginary axis.
 *
 * @param frequencyHz their frequency, Hz
 * @param depthM the depth, m
 * @param destabilising whether they move to the unstable side as the depth grows
 * @param lobe whole waves between one cut and the next; −1 where flutes have different delays
 */
record Crossing(double frequencyHz, double depthM, boolean destabilising, int lobe) {}

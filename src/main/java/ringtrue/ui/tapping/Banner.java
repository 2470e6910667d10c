package ringtrue.ui.tapping;

import ringtrue.ui.kit.Sign;

/**
 * What is to be read from two metres.
 *
 * @param sign its shape
 * @param words the state, very large
 * @param reason why, or what to do, large
 */
record Banner(Sign sign, String words, String reason) {}

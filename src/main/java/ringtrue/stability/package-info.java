/** Which cuts chatter: the cutting process and its stability lobes. */
package ringtrue.stability;

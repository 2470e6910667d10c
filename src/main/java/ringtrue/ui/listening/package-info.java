/** What the real cut sounds like, live or from a file. */
package ringtrue.ui.listening;

/** The frequency response in all its views. */
package ringtrue.ui.response;

/**
 * What is being worked on, as immutable values, and the folder in which it is kept from the first
 * moment on, so that nothing has to be saved by hand and a kill loses nothing.
 */
package ringtrue.ui.job;

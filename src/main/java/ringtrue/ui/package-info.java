/**
 * The window. It shows what the other packages find and delegates to the same classes as the
 * commands: {@code job} is what is being worked on, {@code desk} what the parts of the window
 * share, {@code shell} the frame around them, {@code plot} the charts, and each stage from the
 * set-up to listening has a package of its own.
 */
package ringtrue.ui;

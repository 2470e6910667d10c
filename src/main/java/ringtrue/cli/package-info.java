/**
 * The commands: they read files, call the other packages and show what came back. No physics here.
 */
package ringtrue.cli;

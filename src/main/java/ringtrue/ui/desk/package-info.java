/** What the parts of the window share: the job, its results, work in the background, settings. */
package ringtrue.ui.desk;

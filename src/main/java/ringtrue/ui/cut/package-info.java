/** The cut with every limit, better ones, and what would happen if. */
package ringtrue.ui.cut;

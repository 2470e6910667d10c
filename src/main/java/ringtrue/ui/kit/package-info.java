/** Small parts that every stage uses: look, signs, notices, wrapped text. */
package ringtrue.ui.kit;

/** Help that needs no network: a page for each stage, terms, keys, licences; and its window. */
package ringtrue.ui.help;

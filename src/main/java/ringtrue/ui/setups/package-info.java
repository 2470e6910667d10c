/** The set-up at a glance, and the library of saved ones. */
package ringtrue.ui.setups;

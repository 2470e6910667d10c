/**
 * What a cut meets besides chatter: power, torque, feed rate, chip thickness, bending, deflection;
 * and better cuts inside all of it.
 */
package ringtrue.planning;

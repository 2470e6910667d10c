/**
 * The words that every other part speaks: a measured frequency response, a mode of vibration, a
 * modal model. Receptance G = X/F in m/N throughout, time factor e<sup>+iωt</sup>.
 */
package ringtrue.dynamics;

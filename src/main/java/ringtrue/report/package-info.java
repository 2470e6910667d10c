/** Pictures and pages made from finished results. */
package ringtrue.report;

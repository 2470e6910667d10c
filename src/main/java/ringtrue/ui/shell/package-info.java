/** The frame around the stages: menu, path of stages, next step, messages, first page. */
package ringtrue.ui.shell;

package ringtrue.ui.plot;

import java.awt.event.ActionEvent;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.function.BooleanSupplier;
import javax.swing.AbstractAction;
import javax.swing.JComponent;
import javax.swing.KeyStroke;
import javax.swing.Timer;

/** What the keyboard does to a plot that has the focus. */
final class PlotKeys {
  static final List<String> HELP =
      List.of(
          "Wheel: zoom around the pointer, Shift and Ctrl each in one direction only (over frequency: "
              + "sideways, with Shift upwards)",
          "Drag: zoom into a rectangle; Shift or middle button and drag: pan; double click: show all",
          "Left, Right, Page Up, Page Down, Home, End: move the cursor; Escape: no cursor",
          "+ and -: zoom; Ctrl and arrows: pan; 0: show all; Backspace: zoom of before",
          "H: arrows move the next handle, and then the cursor again; with Shift in big steps",
          "M, Shift+M: next, previous mark; Enter: pick it; 1 to 9: switch an entry of the legend",
          "Shift+F10: menu; Ctrl+C: copy the picture");

  private static final int RELEASE_MS = 350;
  private static final int BIG = 10;

  private final Plot plot;
  private final PlotMouse mouse;
  private final Timer release;
  private Runnable onRelease = () -> {};
  private int mark = -1;

  private PlotKeys(Plot plot, PlotMouse mouse) {
    this.plot = plot;
    this.mouse = mouse;
    release = new Timer(RELEASE_MS, e -> onRelease.run());
    release.setRepeats(false);
  }

  static void bind(Plot plot, PlotMouse mouse) {
    PlotKeys keys = new PlotKeys(plot, mouse);
    for (String shift : new String[] {"", "shift "}) {
      int steps = shift.isEmpty() ? 1 : BIG;
      keys.on(shift + "LEFT", () -> keys.arrow(-steps, 0));
      keys.on(shift + "RIGHT", () -> keys.arrow(steps, 0));
      keys.on(shift + "UP", () -> keys.arrow(0, steps));
      keys.on(shift + "DOWN", () -> keys.arrow(0, -steps));
    }
    keys.on("PAGE_UP", () -> keys.cursorBy(-0.1));
    keys.on("PAGE_DOWN", () -> keys.cursorBy(0.1));
    keys.on("HOME", () -> keys.cursorTo(plot.frame().x().u0()));
    keys.on("END", () -> keys.cursorTo(plot.frame().x().u1()));
    keys.on("ctrl LEFT", () -> keys.pan(-0.1, 0));
    keys.on("ctrl RIGHT", () -> keys.pan(0.1, 0));
    keys.on("ctrl UP", () -> keys.pan(0, 0.1));
    keys.on("ctrl DOWN", () -> keys.pan(0, -0.1));
    for (String plus : new String[] {"typed +", "typed ="}) {
      keys.on(plus, () -> keys.zoom(1 / 1.4));
    }
    keys.on("typed -", () -> keys.zoom(1.4));
    keys.on("typed 0", plot::resetView);
    keys.on("BACK_SPACE", plot::back);
    keys.on("ESCAPE", keys::escape, () -> mouse.isDragging() || plot.isBusy());
    keys.on("H", keys::nextHandle, () -> !plot.content().handles().isEmpty());
    keys.on("M", () -> keys.nextMark(1));
    keys.on("shift M", () -> keys.nextMark(-1));
    keys.on("ENTER", keys::pick, () -> keys.mark >= 0 && keys.mark < keys.stops().size());
    keys.on("ctrl C", plot::copyPicture);
    keys.on("shift F10", keys::menu);
    keys.on("CONTEXT_MENU", keys::menu);
    for (int i = 1; i <= 9; i++) {
      int number = i;
      keys.on("typed " + i, () -> keys.legend(number - 1));
    }
  }

  private void on(String keys, Runnable deed) {
    on(keys, deed, () -> true);
  }

  /** Keys that have nothing to do here go on to the window. */
  private void on(String keys, Runnable deed, BooleanSupplier wanted) {
    plot.getInputMap(JComponent.WHEN_FOCUSED).put(KeyStroke.getKeyStroke(keys), keys);
    plot.getActionMap()
        .put(
            keys,
            new AbstractAction() {
              private static final long serialVersionUID = 1;

              @Override
              public boolean isEnabled() {
                return !plot.content().isEmpty() && wanted.getAsBoolean();
              }

              @Override
              public void actionPerformed(ActionEvent e) {
                if (isEnabled()) {
                  deed.run();
                }
              }
            });
  }

  private void arrow(int right, int up) {
    Optional<Layer.Handle> handle = plot.handleOf(plot.target());
    if (handle.isPresent()) {
      nudge(handle.get(), right, up);
    } else if (right != 0) {
      cursorBy(right / 200.0);
    }
  }

  private void nudge(Layer.Handle handle, int right, int up) {
    Frame frame = plot.frame();
    double[] at = plot.placeOf(handle);
    PlotContent content = plot.content();
    double x = stepped(at[0], right, content.stepX(), frame.x());
    double y = stepped(at[1], up, content.stepY(), frame.y());
    plot.hold(handle.id());
    plot.move(handle, x, y, false);
    onRelease =
        () ->
            plot.handleOf(handle.id())
                .ifPresent(
                    h -> {
                      double[] end = plot.placeOf(h);
                      plot.move(h, end[0], end[1], true);
                    });
    release.restart();
  }

  /** Some steps on, within what is shown. */
  private static double stepped(double value, int steps, double step, AxisMap map) {
    if (steps == 0) {
      return value;
    }
    double place = map.scale().forward(value);
    double there =
        step > 0
            ? map.scale().forward(value + steps * step)
            : place + steps * (map.u1() - map.u0()) / 100;
    if (Double.isNaN(there)) {
      return value;
    }
    return map.scale().back(Math.max(map.u0(), Math.min(map.u1(), there)));
  }

  private void cursorBy(double part) {
    AxisMap x = plot.frame().x();
    double place = x.scale().forward(plot.cursorX());
    if (Double.isNaN(place) || place < x.u0() || place > x.u1()) {
      place = (x.u0() + x.u1()) / 2;
    } else {
      place += part * (x.u1() - x.u0());
    }
    cursorTo(place);
  }

  private void cursorTo(double place) {
    AxisMap x = plot.frame().x();
    double inside = Math.max(x.u0(), Math.min(x.u1(), place));
    plot.cursor(x.scale().back(inside), Double.NaN);
  }

  private void pan(double right, double up) {
    plot.remember();
    plot.look(plot.frame().view().moved(right, up));
  }

  /** Around the cursor if there is one, otherwise around the middle. */
  private void zoom(double by) {
    Frame frame = plot.frame();
    View view = frame.view();
    double at = frame.x().scale().forward(plot.cursorX());
    boolean seen = at >= view.x0() && at <= view.x1();
    plot.remember();
    plot.look(
        view.zoomed(seen ? at : (view.x0() + view.x1()) / 2, (view.y0() + view.y1()) / 2, by, by));
  }

  private void escape() {
    if (!mouse.cancel()) {
      plot.note("", false);
      plot.cursor(Double.NaN, Double.NaN);
      plot.target("");
    }
  }

  private void nextHandle() {
    List<Layer.Handle> handles = plot.content().handles();
    int at = -1;
    for (int i = 0; i < handles.size(); i++) {
      at = handles.get(i).id().equals(plot.target()) ? i : at;
    }
    String next = at + 1 < handles.size() ? handles.get(at + 1).id() : "";
    plot.target(next);
    if (!handles.isEmpty()) {
      String words =
          plot.handleOf(next)
              .map(h -> h.label().isBlank() ? h.id() : h.label())
              .orElse("the cursor");
      plot.say("arrow keys move " + words);
    }
  }

  private record Stop(String id, String label, double x, double y) {}

  private List<Stop> stops() {
    Frame frame = plot.frame();
    List<Stop> stops = new ArrayList<>();
    for (Layer layer : plot.content().layers()) {
      if (layer instanceof Layer.Marks marks && plot.isShown(layer.name())) {
        for (int i = 0; i < marks.x.length; i++) {
          if (frame.plot().contains(frame.x().pixel(marks.x[i]), frame.y().pixel(marks.y[i]))) {
            String label = marks.labels.get(i);
            stops.add(
                new Stop(
                    marks.ids.get(i),
                    label.isEmpty() ? marks.ids.get(i) : label,
                    marks.x[i],
                    marks.y[i]));
          }
        }
      }
    }
    stops.sort(java.util.Comparator.comparingDouble(Stop::x).thenComparingDouble(Stop::y));
    return stops;
  }

  private void nextMark(int by) {
    List<Stop> stops = stops();
    if (stops.isEmpty()) {
      return;
    }
    mark = Math.floorMod(mark < 0 && by < 0 ? -1 : mark + by, stops.size());
    Stop stop = stops.get(mark);
    PlotContent content = plot.content();
    plot.cursor(stop.x, plot.frame().y().pixel(stop.y));
    plot.say(
        stop.label
            + ": "
            + content.x().read(stop.x)
            + ", "
            + content.y().read(stop.y)
            + " (Enter picks it)");
    plot.ring(stop.x, stop.y);
  }

  private void pick() {
    List<Stop> stops = stops();
    if (mark >= 0 && mark < stops.size()) {
      Stop stop = stops.get(mark);
      plot.pick(stop.x, stop.y, Optional.of(stop.id));
    }
  }

  private void legend(int number) {
    List<String> names = List.copyOf(plot.scene().legend().keySet());
    if (number < names.size()) {
      String name = names.get(number);
      plot.setShown(name, !plot.isShown(name));
    }
  }

  private void menu() {
    PlotMenu.of(plot).show(plot, plot.getWidth() / 3, plot.getHeight() / 3);
  }
}

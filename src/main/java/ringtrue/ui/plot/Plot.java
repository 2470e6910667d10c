package ringtrue.ui.plot;

import java.awt.Dimension;
import java.awt.Font;
import java.awt.Graphics;
import java.awt.Graphics2D;
import java.awt.Point;
import java.awt.event.FocusEvent;
import java.awt.event.FocusListener;
import java.awt.event.MouseEvent;
import java.awt.geom.AffineTransform;
import java.awt.geom.Rectangle2D;
import java.awt.image.BufferedImage;
import java.nio.file.Path;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.function.Consumer;
import javax.accessibility.AccessibleContext;
import javax.accessibility.AccessibleRole;
import javax.swing.JButton;
import javax.swing.JComponent;
import javax.swing.KeyStroke;
import javax.swing.SwingUtilities;
import javax.swing.Timer;
import javax.swing.ToolTipManager;
import javax.swing.UIManager;

/**
 * An interactive chart. It shows a {@link PlotContent} and lets people zoom, pan, read values, pick
 * marks, drag handles, switch layers off, and save what they see.
 *
 * <p>Mouse: the wheel zooms around the pointer (with Shift only x, with Ctrl only y); dragging
 * draws a rectangle to zoom into; dragging with the middle button, or with Shift, pans; a double
 * click shows everything. Keys are listed by {@link #help()}. Event thread only.
 */
public final class Plot extends JComponent {
  private static final int NOTE_MS = 8000;
  private static final int VIEWS_KEPT = 60;
  private static final String HELP_ENDS = "\nEscape or a click puts this away";

  private final String accessibleName;
  private final JButton more = new JButton("…");
  private final Set<String> hidden = new HashSet<>();
  private final Deque<View> history = new ArrayDeque<>();
  private final Map<String, double[]> moved = new HashMap<>();
  private final List<HandleListener> handleListeners = new ArrayList<>();
  private final List<PickListener> pickListeners = new ArrayList<>();
  private final List<Consumer<OptionalDouble>> cursorListeners = new ArrayList<>();
  private final List<Runnable> viewListeners = new ArrayList<>();
  private final Timer noteTimer = new Timer(NOTE_MS, e -> note("", false));

  private Scene scene = new Scene(PlotContent.empty(""));
  private View view;
  private XLink link;
  private double cursor = Double.NaN;
  private double pointerY = Double.NaN;
  private String held = "";
  private Rectangle2D rubber;
  private double ringX = Double.NaN;
  private double ringY = Double.NaN;
  private String note = "";
  private boolean noteIsWrong;
  private boolean alongX;
  private String target = "";

  private Frame frame;

  /** Room left of the frame; it only grows while a content is zoomed, so that nothing jumps. */
  private double ownGutter;

  private BufferedImage image;
  private double imageScale;
  private boolean dirty = true;

  /**
   * @param accessibleName what the plot is called for people who hear it
   */
  public Plot(String accessibleName) {
    this.accessibleName = Objects.requireNonNull(accessibleName, "accessibleName");
    noteTimer.setRepeats(false);
    setOpaque(true);
    setFocusable(true);
    setLayout(null);
    more.setToolTipText("Copy or save this plot, show all, mouse and keys (Shift+F10)");
    more.getAccessibleContext().setAccessibleName("Menu of plot " + accessibleName);
    more.putClientProperty("JButton.buttonType", "toolBarButton");
    more.addActionListener(e -> PlotMenu.of(this).show(more, 0, more.getHeight()));
    more.setVisible(false);
    add(more);
    PlotMouse mouse = new PlotMouse(this);
    addMouseListener(mouse);
    addMouseMotionListener(mouse);
    addMouseWheelListener(mouse);
    PlotKeys.bind(this, mouse);
    addFocusListener(
        new FocusListener() {
          @Override
          public void focusGained(FocusEvent e) {
            repaint();
          }

          @Override
          public void focusLost(FocusEvent e) {
            hideHelp();
            repaint();
          }
        });
    ToolTipManager.sharedInstance().registerComponent(this);
    updateUI();
  }

  /** Mouse and keys, a line for each. */
  public static List<String> help() {
    return PlotKeys.HELP;
  }

  /**
   * Shows other content. The zoom stays unless the content's view key is another one; a handle that
   * is being dragged stays under the hand.
   */
  public void show(PlotContent content) {
    boolean another = !content.viewKey().equals(scene.content.viewKey());
    boolean scales =
        content.x().scale() != scene.content.x().scale()
            || content.y().scale() != scene.content.y().scale();
    String dragged = held;
    View before = view();
    double[] place = moved.get(dragged);
    scene = new Scene(content);
    moved.clear();
    ringX = Double.NaN;
    if (place != null && handleOf(dragged).isPresent()) {
      moved.put(dragged, place);
    } else {
      held = "";
    }
    if (handleOf(target).isEmpty()) {
      target = content.handles().size() == 1 ? content.handles().get(0).id() : "";
    }
    if (another || scales) {
      ownGutter = 0;
      view = null;
      history.clear();
      if (link != null && link.zoomed()) {
        linkedRange();
      }
    }
    more.setVisible(!content.isEmpty());
    if (view().equals(before)) {
      stale();
    } else {
      viewChanged();
    }
  }

  /** What is shown now. */
  public PlotContent content() {
    return scene.content;
  }

  /** Zooms, pans and reads together with all plots that share a link, in x. */
  public void linkX(XLink shared) {
    if (link != null) {
      link.remove(this);
    }
    link = Objects.requireNonNull(shared, "link");
    link.add(this);
    if (link.zoomed()) {
      linkedRange();
    }
    cursor = link.cursor();
    stale();
  }

  /** Tells of handles that are moved by hand. */
  public void onHandle(HandleListener listener) {
    handleListeners.add(Objects.requireNonNull(listener));
  }

  /** Tells of clicks. */
  public void onPick(PickListener listener) {
    pickListeners.add(Objects.requireNonNull(listener));
  }

  /** Tells where the cursor is in x, in this plot or in one that is linked; nothing without one. */
  public void onCursor(Consumer<OptionalDouble> listener) {
    cursorListeners.add(Objects.requireNonNull(listener));
  }

  /** Tells when another part is shown, by hand, through a link or by new content. */
  public void onView(Runnable listener) {
    viewListeners.add(Objects.requireNonNull(listener));
  }

  /**
   * Leaves keys to the window, such as those of a foot pedal.
   *
   * @param keys as for {@link KeyStroke#getKeyStroke(String)}, such as {@code PAGE_DOWN}
   */
  public void leaveKeys(String... keys) {
    for (String key : keys) {
      getInputMap(WHEN_FOCUSED).remove(KeyStroke.getKeyStroke(key));
    }
  }

  /** The wheel zooms along x only, with Shift along y only. */
  public void wheelAlongX() {
    alongX = true;
  }

  boolean wheelsAlongX() {
    return alongX;
  }

  /** Shows everything again. */
  public void resetView() {
    remember();
    view = null;
    ownGutter = 0;
    if (link != null) {
      link.range(Double.NaN, Double.NaN, this);
    }
    viewChanged();
  }

  /** Where the cursor is in x, in values of the axis; NaN without one. */
  public double cursorX() {
    return cursor;
  }

  /**
   * Moves a handle without new content and without telling listeners; quick. A handle that is not
   * there is ignored.
   */
  public void handle(String id, double x, double y) {
    if (handleOf(id).isPresent()) {
      moved.put(id, new double[] {x, y});
      repaint();
    }
  }

  /** Where a handle is, in values of the axes: x, y; empty if there is none of that name. */
  public Optional<double[]> handlePlace(String id) {
    return handleOf(id).map(h -> placeOf(h).clone());
  }

  /** Where a value lies in this component, for tests that press it. */
  public Point toScreen(double x, double y) {
    Frame f = frame();
    return new Point((int) Math.round(f.x().pixel(x)), (int) Math.round(f.y().pixel(y)));
  }

  /** Whether layers of a name are shown. */
  public boolean isShown(String layerName) {
    return !hidden.contains(layerName);
  }

  /** Switches the layers of a name on or off. */
  public void setShown(String layerName, boolean shown) {
    if (shown ? hidden.remove(layerName) : hidden.add(layerName)) {
      stale();
    }
  }

  /** Puts the cursor somewhere, here and in linked plots; NaN takes it away. */
  public void setCursorX(double x) {
    cursor(x, Double.NaN);
  }

  /** Shows a range of x, in values, here and in linked plots; nonsense is ignored. */
  public void setShownX(double from, double to) {
    Scale scale = scene.content.x().scale();
    double u0 = scale.forward(from);
    double u1 = scale.forward(to);
    if (u1 > u0) {
      remember();
      look(view().withX(u0, u1));
    }
  }

  /** The range of x that is shown, in values: from, to. */
  public double[] shownX() {
    AxisMap x = frame().x();
    return new double[] {x.scale().back(x.u0()), x.scale().back(x.u1())};
  }

  /** The range of y that is shown, in values: from, to. */
  public double[] shownY() {
    AxisMap y = frame().y();
    return new double[] {y.scale().back(y.u0()), y.scale().back(y.u1())};
  }

  /** A short message inside the plot, for some seconds. */
  public void say(String words) {
    note(words, false);
  }

  @Override
  public void setName(String name) {
    super.setName(name);
    more.setName(name == null ? null : name + "-more");
  }

  @Override
  public void updateUI() {
    Font label = UIManager.getFont("Label.font");
    setFont(label != null ? label : new Font(Font.SANS_SERIF, Font.PLAIN, 12));
    stale();
  }

  @Override
  public void setFont(Font font) {
    super.setFont(font);
    ownGutter = 0;
    stale();
  }

  @Override
  public Dimension getPreferredSize() {
    if (isPreferredSizeSet()) {
      return super.getPreferredSize();
    }
    double em = getFont().getSize2D();
    return new Dimension((int) (40 * em), (int) (20 * em));
  }

  @Override
  public Dimension getMinimumSize() {
    if (isMinimumSizeSet()) {
      return super.getMinimumSize();
    }
    double em = getFont().getSize2D();
    return new Dimension((int) (14 * em), (int) (9 * em));
  }

  @Override
  public void doLayout() {
    int side = corner();
    more.setBounds(getWidth() - side - 1, 1, side, side);
  }

  private int corner() {
    return (int) Math.ceil(1.9 * getFont().getSize2D());
  }

  @Override
  public String getToolTipText(MouseEvent event) {
    int number = 1;
    for (Frame.Spot spot : frame().legend()) {
      if (spot.box().contains(event.getPoint())) {
        if (spot.name().isEmpty()) {
          return "more layers to show and hide";
        }
        String cutShort = spot.text().startsWith(spot.name()) ? "" : spot.name() + ": ";
        String key = number <= 9 ? ", or press " + number : "";
        return cutShort + "click to " + (isShown(spot.name()) ? "hide" : "show") + key;
      }
      number++;
    }
    return null;
  }

  // painting

  @Override
  protected void paintComponent(Graphics graphics) {
    if (getWidth() <= 0 || getHeight() <= 0) {
      return;
    }
    Graphics2D g = (Graphics2D) graphics.create();
    Frame f = frame();
    double scale = Math.max(0.1, g.getTransform().getScaleX());
    Painter painter = new Painter(scene, f, Colours.now(), habit(), scale);
    if (isPaintingForPrint()) {
      painter.paint(g, hidden, true);
    } else {
      base(g, painter, scale);
    }
    if (!scene.content.isEmpty()) {
      Painter.smooth(g);
      overlay(g, painter);
    }
    g.dispose();
  }

  private void base(Graphics2D g, Painter painter, double scale) {
    AffineTransform to = g.getTransform();
    int width = (int) Math.ceil(getWidth() * scale);
    int height = (int) Math.ceil(getHeight() * scale);
    boolean fits =
        image != null
            && image.getWidth() == width
            && image.getHeight() == height
            && imageScale == scale;
    if (!fits) {
      image = new BufferedImage(width, height, BufferedImage.TYPE_INT_RGB);
      imageScale = scale;
      dirty = true;
    }
    if (dirty && Turn.isTaken()) {
      if (!fits) {
        image = null;
        g.setColor(Colours.now().around());
        g.fillRect(0, 0, getWidth(), getHeight());
        SwingUtilities.invokeLater(this::repaint);
        return;
      }
      SwingUtilities.invokeLater(this::repaint);
    } else if (dirty) {
      long from = System.nanoTime();
      Graphics2D inside = image.createGraphics();
      inside.scale(scale, scale);
      painter.paint(inside, hidden, false);
      inside.dispose();
      dirty = false;
      Turn.take(System.nanoTime() - from);
    }
    Graphics2D exact = (Graphics2D) g.create();
    exact.setTransform(
        AffineTransform.getTranslateInstance(
            Math.round(to.getTranslateX()), Math.round(to.getTranslateY())));
    exact.drawImage(image, 0, 0, null);
    exact.dispose();
  }

  private void overlay(Graphics2D g, Painter painter) {
    for (Layer.Handle handle : scene.content.handles()) {
      double[] at = placeOf(handle);
      boolean active = handle.id().equals(held) || isFocusOwner() && handle.id().equals(target);
      painter.handle(g, handle, at[0], at[1], active);
    }
    if (!Double.isNaN(cursor)) {
      painter.cursor(g, cursor, pointerY, hidden);
    }
    if (isFocusOwner() && !Double.isNaN(ringX)) {
      painter.ring(g, ringX, ringY);
    }
    if (rubber != null) {
      painter.rubber(g, rubber);
    }
    if (!note.isEmpty()) {
      painter.note(g, note, noteIsWrong);
    }
    if (isFocusOwner()) {
      painter.focus(g);
    }
  }

  Frame.Habit habit() {
    return new Frame.Habit(
        getFont(), link == null ? ownGutter : Math.max(ownGutter, link.gutter()), corner());
  }

  /** Where everything lies now. */
  Frame frame() {
    int width = Math.max(1, getWidth());
    int height = Math.max(1, getHeight());
    if (frame == null || frame.width() != width || frame.height() != height) {
      frame = Frame.of(scene, view(), width, height, habit());
      double gutter = scene.content.isEmpty() ? 0 : Math.max(ownGutter, frame.gutter());
      if (gutter != ownGutter) {
        ownGutter = gutter;
        if (link != null) {
          frame = Frame.of(scene, view(), width, height, habit());
          link.gutterChanged(this);
        }
      }
      dirty = true;
    }
    return frame;
  }

  double ownGutter() {
    return ownGutter;
  }

  /** Everything is worked out again at the next painting. */
  void stale() {
    frame = null;
    dirty = true;
    repaint();
  }

  // zoom

  Scene scene() {
    return scene;
  }

  Set<String> hidden() {
    return hidden;
  }

  private View view() {
    return view == null ? scene.whole() : view;
  }

  /** Keeps the view that is left, for going back. */
  void remember() {
    remember(view());
  }

  void remember(View left) {
    if (history.isEmpty() || !history.peek().equals(left)) {
      history.push(left);
      if (history.size() > VIEWS_KEPT) {
        history.removeLast();
      }
    }
  }

  void look(View wanted) {
    if (!wanted.isSensible(scene.whole())) {
      return;
    }
    boolean sideways = wanted.x0() != view().x0() || wanted.x1() != view().x1();
    view = wanted;
    if (link != null && sideways) {
      Scale scale = scene.content.x().scale();
      link.range(scale.back(wanted.x0()), scale.back(wanted.x1()), this);
    }
    viewChanged();
  }

  private void viewChanged() {
    stale();
    for (Runnable listener : List.copyOf(viewListeners)) {
      listener.run();
    }
  }

  void back() {
    if (!history.isEmpty()) {
      look(history.pop());
    }
  }

  void linkedRange() {
    View whole = scene.whole();
    if (link.zoomed()) {
      Scale scale = scene.content.x().scale();
      double from = scale.forward(link.from());
      double to = scale.forward(link.to());
      if (to > from) {
        view = view().withX(from, to);
      } else if (Double.isNaN(from) && to > whole.x0()) { // zero has no place on this scale
        view = view().withX(whole.x0(), to);
      }
    } else if (view != null) {
      view = view.withX(whole.x0(), whole.x1());
    }
    viewChanged();
  }

  // cursor

  void cursor(double x, double yOfPointer) {
    pointerY = yOfPointer;
    if (x == cursor || Double.isNaN(x) && Double.isNaN(cursor)) {
      repaint();
      return;
    }
    linkedCursor(x);
    pointerY = yOfPointer;
    if (link != null) {
      link.cursor(x, this);
    }
  }

  void linkedCursor(double x) {
    cursor = x;
    pointerY = Double.NaN;
    OptionalDouble told = Double.isNaN(x) ? OptionalDouble.empty() : OptionalDouble.of(x);
    for (Consumer<OptionalDouble> listener : List.copyOf(cursorListeners)) {
      listener.accept(told);
    }
    repaint();
  }

  // handles and picks

  Optional<Layer.Handle> handleOf(String id) {
    return scene.content.handles().stream().filter(h -> h.id().equals(id)).findFirst();
  }

  double[] placeOf(Layer.Handle handle) {
    double[] own = moved.get(handle.id());
    return own != null ? own : new double[] {handle.x(), handle.y()};
  }

  /** The handle that the arrow keys move; empty if they move the cursor. */
  String target() {
    return target;
  }

  void target(String id) {
    target = id;
    repaint();
  }

  void hold(String id) {
    held = id;
    repaint();
  }

  String held() {
    return held;
  }

  void move(Layer.Handle handle, double x, double y, boolean finished) {
    double[] before = placeOf(handle);
    double newX = handle.freeX() && Double.isFinite(x) ? x : before[0];
    double newY = handle.freeY() && Double.isFinite(y) ? y : before[1];
    moved.put(handle.id(), new double[] {newX, newY});
    if (finished) {
      held = "";
    }
    for (HandleListener listener : List.copyOf(handleListeners)) {
      listener.moved(handle.id(), newX, newY, finished);
    }
    repaint();
  }

  void pick(double x, double y, Optional<String> mark) {
    for (PickListener listener : List.copyOf(pickListeners)) {
      listener.picked(x, y, mark);
    }
  }

  Optional<String> markAt(Point p, double reach) {
    return scene.markAt(p.x, p.y, reach, frame().x(), frame().y(), hidden);
  }

  /** Shows which mark the keyboard is at. */
  void ring(double x, double y) {
    ringX = x;
    ringY = y;
    repaint();
  }

  void rubber(Rectangle2D area) {
    rubber = area;
    repaint();
  }

  /** Whether Escape has something to put away. */
  boolean isBusy() {
    return !note.isEmpty() || !Double.isNaN(cursor) || !target.isEmpty();
  }

  /** The message that is shown; empty if there is none. */
  String noteShown() {
    return note;
  }

  void note(String words, boolean wrong) {
    note = words;
    noteIsWrong = wrong;
    noteTimer.stop();
    if (!words.isEmpty()) {
      noteTimer.restart();
    }
    repaint();
  }

  /** Mouse and keys: until a click, the wheel, Escape, or the focus goes elsewhere. */
  void showHelp() {
    requestFocusInWindow();
    note(String.join("\n", help()) + HELP_ENDS, false);
    noteTimer.stop();
  }

  /** Puts away mouse and keys, if they are shown. */
  void hideHelp() {
    if (note.endsWith(HELP_ENDS)) {
      note("", false);
    }
  }

  // saving

  /** What is seen now, for a file; the picture is made elsewhere than on the event thread. */
  Export export() {
    List<Layer.Handle> handles = new ArrayList<>();
    for (Layer.Handle h : scene.content.handles()) {
      double[] at = placeOf(h);
      handles.add(new Layer.Handle(h.id(), at[0], at[1], h.ink(), h.label(), h.freeX(), h.freeY()));
    }
    return new Export(
        scene,
        view(),
        Set.copyOf(hidden),
        handles,
        accessibleName,
        Math.max(getWidth(), 480),
        Math.max(getHeight(), 300),
        getFont());
  }

  void save(String ending) {
    Export export = export();
    Optional<Path> file = PlotFiles.ask(this, export.suggestedName() + ending, ending);
    if (file.isPresent()) {
      Path to = file.get();
      PlotFiles.inBackground(
          () -> export.write(to, ending),
          () -> note("saved " + to.toAbsolutePath(), false),
          problem -> note(problem, true));
    }
  }

  void copyPicture() {
    Export export = export();
    PlotFiles.copy(export, () -> note("picture copied", false), problem -> note(problem, true));
  }

  @Override
  public AccessibleContext getAccessibleContext() {
    if (accessibleContext == null) {
      accessibleContext = new Heard();
    }
    return accessibleContext;
  }

  /** What the plot says to people who hear it. */
  private final class Heard extends AccessibleJComponent {
    private static final long serialVersionUID = 1;

    @Override
    public AccessibleRole getAccessibleRole() {
      return AccessibleRole.CANVAS;
    }

    @Override
    public String getAccessibleName() {
      return accessibleName;
    }

    @Override
    public String getAccessibleDescription() {
      return new Words(scene, frame(), hidden, cursor).description();
    }
  }
}

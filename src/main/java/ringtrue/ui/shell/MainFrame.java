package ringtrue.ui.shell;

import java.awt.BorderLayout;
import java.awt.Component;
import java.awt.Dimension;
import java.awt.Graphics;
import java.awt.GraphicsDevice;
import java.awt.GraphicsEnvironment;
import java.awt.KeyEventDispatcher;
import java.awt.KeyboardFocusManager;
import java.awt.Rectangle;
import java.awt.event.ActionEvent;
import java.awt.event.ComponentAdapter;
import java.awt.event.ComponentEvent;
import java.awt.event.KeyEvent;
import java.awt.event.WindowAdapter;
import java.awt.event.WindowEvent;
import java.beans.PropertyChangeListener;
import java.nio.file.Path;
import java.util.List;
import javax.swing.AbstractAction;
import javax.swing.JComponent;
import javax.swing.JFrame;
import javax.swing.JMenuBar;
import javax.swing.JPanel;
import javax.swing.KeyStroke;
import javax.swing.MenuSelectionManager;
import javax.swing.SwingUtilities;
import javax.swing.Timer;
import javax.swing.WindowConstants;
import javax.swing.text.JTextComponent;
import ringtrue.ui.desk.Desk;
import ringtrue.ui.desk.Settings;
import ringtrue.ui.desk.StageId;
import ringtrue.ui.help.HelpWindow;
import ringtrue.ui.kit.AppIcon;
import ringtrue.ui.kit.Page;
import ringtrue.ui.kit.TextUndo;
import ringtrue.ui.kit.Theme;
import ringtrue.ui.kit.Typing;

/** The frame: path of stages at the left, the stage beside it, next step and messages below. */
public final class MainFrame extends JFrame {
  private static final String PLACE = "window";
  private static final String MAXIMISED = "window-maximised";
  private static final int PLACE_MS = 700;
  private static final int PREPARE_MS = 400;
  private static final Dimension USUAL = new Dimension(1280, 800);
  private static final Dimension LEAST = new Dimension(900, 600);

  private final Desk desk;
  private final FirstPage firstPage;
  private final StageCards cards;
  private final transient Ahead ahead;
  private final FocusWay way;
  private final FileOpener opener;
  private final HelpWindow help;
  private final Runnable ending;
  private final Timer placing = new Timer(PLACE_MS, e -> rememberPlace());
  private final transient PropertyChangeListener focus =
      e -> {
        if (e.getNewValue() instanceof JTextComponent text && text.isEditable()) {
          TextUndo.install(text);
        }
        if (e.getNewValue() instanceof Component c && SwingUtilities.getRoot(c) == this) {
          Page.reveal(c);
        }
      };
  private final transient KeyEventDispatcher keys =
      e -> {
        boolean own = SwingUtilities.getRoot(e.getComponent()) == this;
        if (own && Typing.acts(e)) {
          Typing.takeOver();
        }
        return own && closesMenu(e);
      };
  private PreferencesWindow preferences;
  private StageId seen;
  private transient Runnable firstPaint = () -> {};
  private boolean first;
  private boolean ended;
  private boolean prepared;

  /**
   * @param desk with all stages
   * @param version of the program
   * @param ending run after everything was closed
   */
  public MainFrame(Desk desk, String version, Runnable ending) {
    super("Ringtrue");
    this.desk = desk;
    this.ending = ending;
    setName("main-window");
    setIconImages(AppIcon.images());
    setDefaultCloseOperation(WindowConstants.DO_NOTHING_ON_CLOSE);
    addWindowListener(
        new WindowAdapter() {
          @Override
          public void windowClosing(WindowEvent e) {
            end();
          }
        });
    opener = new FileOpener(desk, this::complain);
    firstPage = new FirstPage(desk, this::chooseFile, opener::open);
    cards = new StageCards(desk, firstPage);
    ahead = new Ahead(cards);
    FootLine foot = new FootLine(desk);
    JPanel all = new JPanel(new BorderLayout());
    all.add(new HeadLine(desk), BorderLayout.NORTH);
    StagePath path = new StagePath(desk);
    all.add(path.pane(), BorderLayout.WEST);
    all.add(cards, BorderLayout.CENTER);
    all.add(foot, BorderLayout.SOUTH);
    setContentPane(all);
    help = new HelpWindow(desk, this, version);
    ShellActs.add(desk, this, foot, help);
    way = new FocusWay(cards, () -> path.here().orElseGet(firstPage::likely));
    setFocusTraversalPolicy(way);
    desk.onSettle(Typing::takeOver);
    MenuLine menu = new MenuLine(desk);
    setJMenuBar(menu);
    key("ESCAPE", "stop-work", foot::working, foot::stopWork);
    key("ctrl shift Z", "redo-too", () -> desk.redoWords().isPresent(), desk::redo);
    KeyboardFocusManager.getCurrentKeyboardFocusManager()
        .addPropertyChangeListener("permanentFocusOwner", focus);
    KeyboardFocusManager.getCurrentKeyboardFocusManager().addKeyEventDispatcher(keys);
    DropZone.install(this, opener::open);
    desk.onGo(this::show);
    desk.onChange(this::refresh);
    desk.onSettings(this::look);
    setMinimumSize(LEAST);
    place();
    addComponentListener(
        new ComponentAdapter() {
          @Override
          public void componentMoved(ComponentEvent e) {
            placing.restart();
          }

          @Override
          public void componentResized(ComponentEvent e) {
            placing.restart();
          }
        });
    placing.setRepeats(false);
  }

  /** A menu that is open closes at Escape, wherever the focus is. */
  private static boolean closesMenu(KeyEvent e) {
    MenuSelectionManager menus = MenuSelectionManager.defaultManager();
    boolean closes =
        e.getID() == KeyEvent.KEY_PRESSED
            && e.getKeyCode() == KeyEvent.VK_ESCAPE
            && menus.getSelectedPath().length > 0
            && menus.getSelectedPath()[0] instanceof JMenuBar;
    if (closes) {
      menus.clearSelectedPath();
      e.consume();
    }
    return closes;
  }

  /** Has something run once, after the window was painted first. */
  void onFirstPaint(Runnable once) {
    firstPaint = once;
  }

  @Override
  public void paint(Graphics g) {
    super.paint(g);
    Runnable once = firstPaint;
    firstPaint = () -> {};
    once.run();
    prepare();
  }

  /** Prepares what may be seen next. */
  private void prepare() {
    if (!prepared) {
      prepared = true;
      Warmth.begin(() -> SwingUtilities.invokeLater(ahead::begin));
    }
  }

  private void key(
      String keys, String id, java.util.function.BooleanSupplier possible, Runnable run) {
    JComponent root = getRootPane();
    root.getInputMap(JComponent.WHEN_IN_FOCUSED_WINDOW).put(KeyStroke.getKeyStroke(keys), id);
    root.getActionMap()
        .put(
            id,
            new AbstractAction() {
              @Override
              public boolean isEnabled() {
                return possible.getAsBoolean();
              }

              @Override
              public void actionPerformed(ActionEvent e) {
                run.run();
              }
            });
  }

  // ---- where it stands

  private void place() {
    Rectangle at = WindowPlace.of(desk.settings().text(PLACE, ""), screens(), LEAST);
    if (at == null) {
      setSize(USUAL);
      setLocationByPlatform(true);
    } else {
      setBounds(at);
    }
    if (desk.settings().on(MAXIMISED, false)) {
      setExtendedState(MAXIMIZED_BOTH);
    }
  }

  private static List<Rectangle> screens() {
    return java.util.Arrays.stream(
            GraphicsEnvironment.getLocalGraphicsEnvironment().getScreenDevices())
        .map(GraphicsDevice::getDefaultConfiguration)
        .map(java.awt.GraphicsConfiguration::getBounds)
        .toList();
  }

  private void rememberPlace() {
    if (!isShowing()) {
      return;
    }
    boolean whole = (getExtendedState() & MAXIMIZED_BOTH) == MAXIMIZED_BOTH;
    desk.remember(MAXIMISED, whole);
    if (!whole) {
      desk.remember(PLACE, WindowPlace.text(getBounds()));
    }
  }

  // ---- what is seen

  /** Shows it. */
  public void open() {
    refresh();
    setVisible(true);
    Timer latest = new Timer(PREPARE_MS, e -> prepare()); // where another way of painting is used
    latest.setRepeats(false);
    latest.start();
  }

  /** Opens files, as when they are dropped on the window. */
  public void openFiles(List<Path> files) {
    opener.open(files);
  }

  HelpWindow help() {
    return help;
  }

  void chooseFile() {
    opener.choose(this);
  }

  void openPreferences() {
    if (preferences == null) {
      preferences = new PreferencesWindow(desk, this, help);
    }
    preferences.open();
  }

  private void complain(String sentence) {
    if (desk.folder().isEmpty()) {
      firstPage.complain(sentence);
    } else {
      desk.say(sentence);
    }
  }

  private void look(Settings settings) {
    Theme.change(
        Theme.wanted(settings),
        (int) settings.number("scale", 100),
        () -> {
          if (preferences != null) {
            preferences.fit();
          }
        });
  }

  private void show(StageId id) {
    desk.remember("stage", id.name());
    if (desk.folder().isEmpty()) {
      return;
    }
    if (ahead.has(id)) {
      ahead.forget();
      bring(id);
    } else {
      ahead.now(
          id,
          () -> {
            bring(id);
            desk.tell(); // what follows may be known only now
          });
    }
  }

  private void bring(StageId id) {
    if (ended || desk.folder().isEmpty() || desk.stage() != id) {
      return;
    }
    if (seen != null && seen != id) {
      desk.stage(seen).hidden();
    }
    cards.show(id);
    seen = id;
    first = false;
    desk.stage(id).shown();
    Component owner = KeyboardFocusManager.getCurrentKeyboardFocusManager().getFocusOwner();
    if (owner == null || !owner.isShowing()) {
      Component front = way.firstOn(cards);
      if (front != null) {
        front.requestFocusInWindow();
      }
    }
  }

  private void refresh() {
    boolean open = desk.folder().isPresent();
    String title = open ? desk.job().title() + " - Ringtrue" : "Ringtrue";
    if (!title.equals(getTitle())) {
      setTitle(title);
    }
    if (!open && seen != null) {
      desk.stage(seen).hidden();
      seen = null;
    }
    if (!open && !first) {
      first = true;
      cards.showFirstPage();
      firstPage.look();
    } else if (open && seen == null) {
      show(desk.stage());
    }
  }

  /** Ends the program in order: the window goes at once, what is being written is waited for. */
  public void end() {
    if (ended) {
      return;
    }
    ended = true;
    placing.stop();
    ahead.end();
    rememberPlace();
    setVisible(false);
    help.close();
    if (preferences != null) {
      preferences.dispose();
    }
    KeyboardFocusManager.getCurrentKeyboardFocusManager()
        .removePropertyChangeListener("permanentFocusOwner", focus);
    KeyboardFocusManager.getCurrentKeyboardFocusManager().removeKeyEventDispatcher(keys);
    desk.close(
        () -> {
          dispose();
          ending.run();
        });
  }
}

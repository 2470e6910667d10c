package ringtrue.ui.shell;

import java.awt.BorderLayout;
import java.awt.CardLayout;
import java.awt.Dimension;
import java.awt.Graphics;
import java.awt.event.WindowAdapter;
import java.awt.event.WindowEvent;
import java.nio.file.Path;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import javax.swing.JFrame;
import javax.swing.JPanel;
import javax.swing.WindowConstants;
import ringtrue.ui.desk.Desk;
import ringtrue.ui.desk.StageId;

/** The frame: path of stages at the left, the stage beside it, next step and messages below. */
public final class MainFrame extends JFrame {
  private static final String FIRST_PAGE = "first-page";

  private final Desk desk;
  private final CardLayout cards = new CardLayout();
  private final JPanel middle = new JPanel(cards);
  private final Set<StageId> made = new HashSet<>();
  private final FirstPage firstPage;
  private final Runnable ending;
  private StageId seen;
  private transient Runnable firstPaint = () -> {};

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
    setDefaultCloseOperation(WindowConstants.DO_NOTHING_ON_CLOSE);
    addWindowListener(
        new WindowAdapter() {
          @Override
          public void windowClosing(WindowEvent e) {
            end();
          }
        });
    firstPage = new FirstPage(desk);
    middle.add(firstPage, FIRST_PAGE);
    JPanel all = new JPanel(new BorderLayout());
    all.add(new HeadLine(desk), BorderLayout.NORTH);
    all.add(new StagePath(desk), BorderLayout.WEST);
    all.add(middle, BorderLayout.CENTER);
    all.add(new FootLine(desk), BorderLayout.SOUTH);
    setContentPane(all);
    ShellActs.add(desk, this, version);
    setJMenuBar(new MenuLine(desk));
    desk.onGo(this::show);
    desk.onChange(this::refresh);
    setMinimumSize(new Dimension(900, 600));
    setSize(1280, 800);
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
  }

  /** Shows it. */
  public void open() {
    setLocationByPlatform(true);
    setVisible(true);
    refresh();
  }

  /** Opens files, as when they are dropped on the window. */
  public void openFiles(List<Path> files) {
    FileOpener.open(desk, files);
  }

  private void show(StageId id) {
    if (desk.folder().isEmpty()) {
      return;
    }
    if (seen != null && seen != id) {
      desk.stage(seen).hidden();
    }
    if (made.add(id)) {
      middle.add(desk.stage(id).view(), id.name());
    }
    cards.show(middle, id.name());
    seen = id;
    desk.stage(id).shown();
  }

  private void refresh() {
    boolean open = desk.folder().isPresent();
    setTitle(open ? desk.job().title() + " - Ringtrue" : "Ringtrue");
    if (!open && seen != null) {
      desk.stage(seen).hidden();
      seen = null;
    }
    if (!open) {
      cards.show(middle, FIRST_PAGE);
    } else if (seen == null) {
      show(desk.stage());
    }
  }

  /** Ends the program in order. */
  public void end() {
    setVisible(false);
    desk.close();
    dispose();
    ending.run();
  }
}

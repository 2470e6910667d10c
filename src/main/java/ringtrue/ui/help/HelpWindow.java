package ringtrue.ui.help;

import java.awt.BorderLayout;
import java.awt.Color;
import java.awt.Component;
import java.awt.Dimension;
import java.awt.Font;
import java.awt.Graphics2D;
import java.awt.Rectangle;
import java.awt.event.ActionEvent;
import java.awt.event.KeyAdapter;
import java.awt.event.KeyEvent;
import java.awt.image.BufferedImage;
import java.io.IOException;
import java.io.StringReader;
import java.util.ArrayDeque;
import java.util.Deque;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import javax.swing.AbstractAction;
import javax.swing.BorderFactory;
import javax.swing.DefaultListCellRenderer;
import javax.swing.DefaultListModel;
import javax.swing.JComponent;
import javax.swing.JEditorPane;
import javax.swing.JFrame;
import javax.swing.JLabel;
import javax.swing.JList;
import javax.swing.JPanel;
import javax.swing.JScrollPane;
import javax.swing.JSplitPane;
import javax.swing.JTextField;
import javax.swing.KeyStroke;
import javax.swing.ListSelectionModel;
import javax.swing.UIManager;
import javax.swing.event.DocumentEvent;
import javax.swing.event.DocumentListener;
import javax.swing.event.HyperlinkEvent;
import javax.swing.plaf.basic.BasicHTML;
import javax.swing.text.BadLocationException;
import javax.swing.text.View;
import javax.swing.text.html.HTMLDocument;
import javax.swing.text.html.HTMLEditorKit;
import javax.swing.text.html.StyleSheet;
import ringtrue.ui.desk.Act;
import ringtrue.ui.desk.Desk;
import ringtrue.ui.desk.Tasks;
import ringtrue.ui.kit.AppIcon;
import ringtrue.ui.kit.MigLayout;

/** Help in a window of its own: what is looked for at the left, the page at the right. */
public final class HelpWindow {
  private static final int WIDE = 700;
  private static final int HIGH = 600;

  private final Desk desk;
  private final JFrame owner;
  private final String version;
  private final Deque<HelpBook.Part> before = new ArrayDeque<>();
  private Tasks.Task reading;
  private HelpBook book;
  private JFrame frame;
  private JTextField search;
  private DefaultListModel<HelpBook.Part> model;
  private JList<HelpBook.Part> list;
  private JEditorPane text;
  private HelpBook.Part shown;
  private boolean listing;
  private boolean finding;

  /** Light; pages are read when it is opened for the first time. */
  public HelpWindow(Desk desk, JFrame owner, String version) {
    this.desk = desk;
    this.owner = owner;
    this.version = version;
  }

  /**
   * Opens it at a page.
   *
   * @param page name of a page, as {@code "taps"}, {@code "terms"}, {@code "keys"} or {@code
   *     "about"}; a place in it behind a {@code #}
   */
  public void open(String page) {
    if (frame == null) {
      make();
    }
    if (!frame.isVisible()) {
      frame.setLocationRelativeTo(owner);
    }
    frame.setVisible(true);
    frame.toFront();
    if (book == null) {
      desk.tasks().start("help", progress -> read(), read -> begin(read, page), desk::say);
    } else {
      book.add("keys", keys());
      search.setText("");
      follow(page);
    }
  }

  private String keys() {
    return HelpPages.keys(
        desk.acts(),
        act ->
            act.group() == Act.Group.STAGE
                ? desk.owner(act).map(s -> " (" + s.title() + ")").orElse("")
                : "");
  }

  private HelpBook read() {
    HelpBook read = HelpBook.read();
    read.add("about", HelpPages.about(version));
    read.add(
        "parts",
        HelpPages.text("Licences of the parts", HelpBook.resource("/META-INF/THIRD-PARTY.txt")));
    read.add("licence", HelpPages.text("Licence", HelpBook.resource("/META-INF/LICENSE")));
    return read;
  }

  private void begin(HelpBook read, String page) {
    book = read;
    book.add("keys", keys());
    list(book.titles());
    follow(page);
  }

  /**
   * Lays pages out and paints them where nobody sees it, so that the first one that is seen does
   * not take longer than others. Touches no component that is seen; for any thread.
   */
  public static void rehearse() {
    HelpBook book = HelpBook.read();
    book.add(
        "keys", "<h1>Keys</h1>" + "<table><tr><td>F1</td><td>Help</td></tr></table>".repeat(9));
    BufferedImage nowhere = new BufferedImage(WIDE, HIGH, BufferedImage.TYPE_INT_RGB);
    Graphics2D g = nowhere.createGraphics();
    g.setClip(0, 0, WIDE, HIGH);
    for (String page :
        new LinkedHashSet<>(book.parts().stream().map(HelpBook.Part::page).toList())) {
      String words = "<html><body>" + book.page(page) + "</body></html>";
      View view = BasicHTML.createHTMLView(new JLabel(), words);
      view.setSize(WIDE, HIGH);
      view.paint(g, new Rectangle(0, 0, WIDE, HIGH));
    }
    g.dispose();
  }

  /** Closes it for good. */
  public void close() {
    if (frame != null) {
      frame.dispose();
    }
  }

  // ---- its parts

  private void make() {
    frame = new JFrame("Ringtrue help");
    frame.setName("help");
    frame.setIconImages(AppIcon.images());
    search = new JTextField(18);
    search.setName("help-search");
    search.putClientProperty("JTextField.placeholderText", "Search in help");
    search.putClientProperty("JTextField.showClearButton", true);
    search.getAccessibleContext().setAccessibleName("Search in help");
    model = new DefaultListModel<>();
    list = new JList<>(model);
    list.setName("help-list");
    list.getAccessibleContext().setAccessibleName("What was found");
    list.setSelectionMode(ListSelectionModel.SINGLE_SELECTION);
    list.setCellRenderer(new Row());
    list.addListSelectionListener(
        e -> {
          if (!e.getValueIsAdjusting() && !listing && list.getSelectedValue() != null) {
            show(list.getSelectedValue(), true);
          }
        });
    text =
        new JEditorPane() {
          @Override
          public void updateUI() {
            super.updateUI();
            if (shown != null) {
              render(shown);
            }
          }
        };
    text.setName("help-text");
    text.setEditable(false);
    text.getAccessibleContext().setAccessibleName("Help text");
    text.addHyperlinkListener(
        e -> {
          if (e.getEventType() == HyperlinkEvent.EventType.ACTIVATED) {
            follow(e.getDescription());
          }
        });
    searching();
    JPanel left =
        new JPanel(new MigLayout("ins 10, fill, wrap 1", "[grow,fill]", "[][grow,fill][]"));
    left.add(search);
    left.add(new JScrollPane(list));
    left.add(new JLabel("Back: Alt+Left   Close: Esc"), "wmin 0");
    JScrollPane right = new JScrollPane(text);
    right.setBorder(BorderFactory.createEmptyBorder());
    right.getVerticalScrollBar().setUnitIncrement(24);
    JSplitPane both = new JSplitPane(JSplitPane.HORIZONTAL_SPLIT, left, right);
    both.setBorder(BorderFactory.createEmptyBorder());
    frame.add(both, BorderLayout.CENTER);
    key("ESCAPE", "close", () -> frame.setVisible(false));
    key("alt LEFT", "back", this::back);
    key("ctrl F", "search", search::requestFocusInWindow);
    int unit = UIManager.getFont("Label.font").getSize();
    frame.setSize(new Dimension(66 * unit, 50 * unit));
    left.setPreferredSize(new Dimension(20 * unit, 10));
  }

  private void key(String keys, String id, Runnable run) {
    JComponent root = frame.getRootPane();
    root.getInputMap(JComponent.WHEN_ANCESTOR_OF_FOCUSED_COMPONENT)
        .put(KeyStroke.getKeyStroke(keys), id);
    root.getActionMap()
        .put(
            id,
            new AbstractAction() {
              @Override
              public void actionPerformed(ActionEvent e) {
                run.run();
              }
            });
  }

  private void searching() {
    search
        .getDocument()
        .addDocumentListener(
            new DocumentListener() {
              @Override
              public void insertUpdate(DocumentEvent e) {
                find();
              }

              @Override
              public void removeUpdate(DocumentEvent e) {
                find();
              }

              @Override
              public void changedUpdate(DocumentEvent e) {
                find();
              }
            });
    search.addActionListener(
        e -> {
          if (!model.isEmpty()) {
            list.setSelectedIndex(0);
          }
        });
    search.addKeyListener(
        new KeyAdapter() {
          @Override
          public void keyPressed(KeyEvent e) {
            if (e.getKeyCode() == KeyEvent.VK_DOWN && !model.isEmpty()) {
              list.setSelectedIndex(Math.max(0, list.getSelectedIndex()));
              list.requestFocusInWindow();
            }
          }
        });
  }

  /** The title, and behind it the page that it stands in. */
  private static final class Row extends DefaultListCellRenderer {
    @Override
    public Component getListCellRendererComponent(
        JList<?> of, Object value, int index, boolean selected, boolean focused) {
      HelpBook.Part part = (HelpBook.Part) value;
      String words =
          part.anchor().isEmpty() || part.page().equals("terms")
              ? part.title()
              : part.title() + "  (" + part.page() + ")";
      return super.getListCellRendererComponent(of, words, index, selected, focused);
    }
  }

  // ---- finding and showing

  private void find() {
    if (book != null) {
      List<HelpBook.Part> parts = book.search(search.getText());
      list(parts);
      boolean looks = !search.getText().isBlank();
      if (looks && !parts.isEmpty()) {
        show(parts.get(0), !finding); // back leads to what was read before the search
      }
      finding = looks && (finding || !parts.isEmpty());
    }
  }

  private void list(List<HelpBook.Part> parts) {
    listing = true;
    model.clear();
    model.addAll(parts);
    if (shown != null) {
      list.setSelectedValue(shown, true);
    }
    listing = false;
  }

  private void follow(String link) {
    String[] both = link.split("#", 2);
    go(both[0], both.length > 1 ? both[1] : "");
  }

  private void go(String page, String anchor) {
    book.parts().stream()
        .filter(p -> p.page().equals(page) && p.anchor().equals(anchor))
        .findFirst()
        .ifPresent(p -> show(p, true));
  }

  private void back() {
    if (!before.isEmpty()) {
      show(before.pop(), false);
    }
  }

  private void show(HelpBook.Part part, boolean remember) {
    if (part.equals(shown)) {
      return;
    }
    if (remember && shown != null) {
      before.push(shown);
    }
    shown = part;
    render(part);
    listing = true;
    list.setSelectedValue(part, true);
    listing = false;
  }

  /** A term by itself; of all terms the list; of the other pages all, at the part's place. */
  private void render(HelpBook.Part part) {
    boolean terms = part.page().equals("terms");
    String html = book.page(part.page());
    if (terms && !part.anchor().isEmpty()) {
      html = part.html() + "<p><a href=\"terms\">All terms</a></p>";
    } else if (terms) {
      StringBuilder all = new StringBuilder("<h1>Terms</h1>\n<p>");
      for (HelpBook.Part each : book.parts()) {
        if (each.page().equals("terms") && !each.anchor().isEmpty()) {
          all.append("<a href=\"terms#").append(each.anchor()).append("\">").append(each.title());
          all.append("</a><br>\n");
        }
      }
      html = all.append("</p>").toString();
    }
    String page = "<html><body>" + html + "</body></html>";
    List<String> rules = rules();
    if (reading != null) {
      reading.cancel();
    }
    reading =
        desk.tasks()
            .start(
                "page of help",
                progress -> document(page, rules),
                document -> show(document, part),
                desk::say);
  }

  /** A page with its style; away from the event thread. */
  private static HTMLDocument document(String page, List<String> rules) {
    HTMLEditorKit kit = new HTMLEditorKit();
    StyleSheet style = new StyleSheet();
    style.addStyleSheet(kit.getStyleSheet());
    rules.forEach(style::addRule);
    HTMLDocument document = new HTMLDocument(style);
    document.setPreservesUnknownTags(false);
    try {
      kit.read(new StringReader(page), document, 0);
    } catch (IOException | BadLocationException e) {
      throw new IllegalStateException(e); // text in memory
    }
    return document;
  }

  private void show(HTMLDocument document, HelpBook.Part part) {
    text.setEditorKit(new HTMLEditorKit());
    text.setDocument(document);
    text.setBackground(UIManager.getColor("TextArea.background"));
    text.setCaretPosition(0);
    if (!part.page().equals("terms") && !part.anchor().isEmpty()) {
      javax.swing.SwingUtilities.invokeLater(() -> text.scrollToReference(part.anchor()));
    }
  }

  private static List<String> rules() {
    Font font = UIManager.getFont("Label.font");
    int size = font.getSize();
    String ink = hex(UIManager.getColor("Label.foreground"));
    String link = hex(UIManager.getColor("Component.accentColor"));
    String rules =
        """
        body { font-family: "%s"; font-size: %dpt; color: %s; margin: %dpx %dpx }
        h1 { font-size: %dpt; margin-top: 0px; margin-bottom: %dpx }
        h2 { font-size: %dpt; margin-top: %dpx; margin-bottom: %dpx }
        p { margin-top: 0px; margin-bottom: %dpx }
        li { margin-bottom: %dpx }
        ul { margin-left: %dpx; margin-top: 0px }
        pre, code { font-family: monospaced; font-size: %dpt }
        td { font-size: %dpt }
        a { color: %s }
        """;
    return List.of(
        String.format(
            Locale.ROOT,
            rules,
            font.getFamily(),
            size,
            ink,
            size,
            3 * size / 2,
            8 * size / 5,
            size * 2 / 3,
            6 * size / 5,
            size,
            size / 3,
            size * 2 / 3,
            size / 3,
            2 * size,
            size,
            size,
            link),
        "h2 a { color: " + ink + "; text-decoration: none }");
  }

  private static String hex(Color color) {
    return String.format(Locale.ROOT, "#%06x", color.getRGB() & 0xffffff);
  }
}

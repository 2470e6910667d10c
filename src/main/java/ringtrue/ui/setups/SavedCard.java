package ringtrue.ui.setups;

import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import javax.swing.BorderFactory;
import javax.swing.JButton;
import javax.swing.JComboBox;
import javax.swing.JComponent;
import javax.swing.JLabel;
import javax.swing.JPanel;
import javax.swing.JScrollPane;
import javax.swing.JSplitPane;
import javax.swing.JTable;
import javax.swing.JTextField;
import javax.swing.KeyStroke;
import javax.swing.ListSelectionModel;
import javax.swing.event.DocumentEvent;
import javax.swing.event.DocumentListener;
import ringtrue.library.LibraryEntry;
import ringtrue.library.SetUp;
import ringtrue.library.SetUpLibrary;
import ringtrue.report.LengthUnit;
import ringtrue.ui.desk.Desk;
import ringtrue.ui.desk.Tasks;
import ringtrue.ui.kit.Deck;
import ringtrue.ui.kit.MigLayout;
import ringtrue.ui.kit.Notice;
import ringtrue.ui.kit.Sign;

/** The saved set-ups: sought, opened, compared, moved to the bin and back. */
final class SavedCard extends JPanel implements Shelf {
  private static final String DETAILS = "details";
  private static final String HISTORY = "history";
  private static final String COMPARE = "compare";
  private static final String EXPORT = "export";
  private static final String IMPORT = "import";
  private static final String BIN = "bin";
  private static final String CHECK = "check";

  private final Desk desk;
  private final SetUpStage stage;
  private final JTextField text = new JTextField(16);
  private final JTextField diameter = new JTextField(5);
  private final JTextField flutes = new JTextField(3);
  private final JTextField machine = new JTextField(8);
  private final JComboBox<SavedList.Order> order = new JComboBox<>(SavedList.Order.values());
  private final JLabel count = new JLabel();
  private final Notice notice = new Notice("saved-notice");
  private final Notice problems = new Notice("saved-problems");
  private final JButton undo = new JButton("Bring back (Ctrl+B)");
  private final SavedModel model = new SavedModel();
  private final JTable table = new JTable(model);
  private final List<JButton> forOne = new ArrayList<>();
  private final Deck below = new Deck();
  private final DetailPane details = new DetailPane(this);
  private HistoryPane history;
  private ComparePane compare;
  private ExportPane export;
  private ImportPane take;
  private BinPane bin;
  private CheckPane check;
  private List<LibraryEntry> all = List.of();
  private List<SetUpLibrary.Removed> removed = List.of();
  private Tasks.Task reading;
  private Tasks.Task seeking;
  private String card = DETAILS;
  private String wanted = "";
  private boolean read;

  SavedCard(Desk desk, SetUpStage stage) {
    super(new MigLayout("ins 8 14 10 14, fill, hidemode 3", "[grow,fill]"));
    this.desk = desk;
    this.stage = stage;
    add(searchLine(), "growx, pushx, wmin 0, wrap");
    JPanel said = new JPanel(new MigLayout("ins 0, fillx, hidemode 3", "[grow,fill][]"));
    said.add(notice, "growx, wmin 0");
    said.add(undo);
    undo.setName("saved-undo");
    undo.setVisible(false);
    undo.addActionListener(e -> bringBack());
    add(said, "growx, wmin 0, wrap");
    add(problems, "growx, wmin 0, wrap");
    JPanel lower = new JPanel(new MigLayout("ins 6 0 0 0, fill", "[grow,fill]", "[]0[grow,fill]"));
    lower.add(buttons(), "growx, wmin 0, wrap");
    below.add(details, DETAILS);
    lower.add(below, "grow, wmin 0, hmin 0");
    JSplitPane split = new JSplitPane(JSplitPane.VERTICAL_SPLIT, listing(), lower);
    split.setBorder(BorderFactory.createEmptyBorder());
    split.setResizeWeight(0.5);
    split.setDividerLocation(0.48);
    add(split, "grow, push, wmin 0, hmin 0");
    bind(this, "ctrl F", text::requestFocusInWindow);
    bind(this, "ctrl B", this::bringBack);
    bind(below, "ESCAPE", this::back);
  }

  private JPanel searchLine() {
    JPanel line = new JPanel(new MigLayout("ins 0, fillx", "[][grow,fill][][][][][][][][]"));
    named(text, "saved-search", "Words to seek (Ctrl+F)");
    named(diameter, "saved-diameter", "Tool diameter");
    named(flutes, "saved-flutes", "Flutes");
    named(machine, "saved-machine", "Machine");
    order.setName("saved-order");
    order.getAccessibleContext().setAccessibleName("Order");
    text.putClientProperty("JTextField.placeholderText", "any words of the description");
    count.setName("saved-count");
    line.add(label("Find (Ctrl+F)", text));
    line.add(text, "wmin 80");
    line.add(label("diameter", diameter));
    line.add(diameter, "wmin 40");
    line.add(label("flutes", flutes));
    line.add(flutes, "wmin 30");
    line.add(label("machine", machine));
    line.add(machine, "wmin 60");
    line.add(order);
    line.add(count, "gapleft 8");
    for (JTextField each : List.of(text, diameter, flutes, machine)) {
      each.getDocument().addDocumentListener(listener());
      each.addActionListener(e -> table.requestFocusInWindow());
      each.getInputMap().put(KeyStroke.getKeyStroke("DOWN"), "to-list");
      each.getActionMap().put("to-list", HereCard.action(table::requestFocusInWindow));
    }
    order.addActionListener(e -> seek());
    return line;
  }

  private static void named(JTextField field, String name, String words) {
    field.setName(name);
    field.getAccessibleContext().setAccessibleName(words);
  }

  private static JLabel label(String words, JComponent of) {
    JLabel label = new JLabel(words);
    label.setLabelFor(of);
    return label;
  }

  private DocumentListener listener() {
    return new DocumentListener() {
      @Override
      public void insertUpdate(DocumentEvent e) {
        seek();
      }

      @Override
      public void removeUpdate(DocumentEvent e) {
        seek();
      }

      @Override
      public void changedUpdate(DocumentEvent e) {
        // only the look of the text
      }
    };
  }

  private JScrollPane listing() {
    table.setName("saved-table");
    table.getAccessibleContext().setAccessibleName("Saved set-ups");
    table.setSelectionMode(ListSelectionModel.MULTIPLE_INTERVAL_SELECTION);
    table.setAutoResizeMode(JTable.AUTO_RESIZE_SUBSEQUENT_COLUMNS);
    table.setShowVerticalLines(false);
    table.getTableHeader().setReorderingAllowed(false);
    table.getSelectionModel().addListSelectionListener(e -> chosen(e.getValueIsAdjusting()));
    table.addMouseListener(
        new java.awt.event.MouseAdapter() {
          @Override
          public void mouseClicked(java.awt.event.MouseEvent e) {
            if (e.getClickCount() == 2) {
              openChosen();
            }
          }
        });
    widths();
    return new JScrollPane(table);
  }

  private void widths() {
    for (int i = 0; i < table.getColumnCount(); i++) {
      table.getColumnModel().getColumn(i).setPreferredWidth(model.width(i));
    }
  }

  private JPanel buttons() {
    JPanel line = new JPanel(new MigLayout("ins 0, gapx 5"));
    one(line, "saved-open", "Open (Enter)", "ENTER", this::openChosen);
    one(line, "saved-history", "History (H)", "H", this::showHistory);
    one(line, "saved-compare", "Compare (C)", "C", this::showCompare);
    one(line, "saved-export", "Export (E)", "E", this::showExport);
    one(line, "saved-bin-it", "To the bin (Del)", "DELETE", this::toBin);
    forOne
        .get(2)
        .setToolTipText("Two chosen: one against the other. One chosen: its last two measurements");
    button(line, "saved-import", "Import (I)", "I", this::showImport);
    button(line, "saved-bin", "Bin (B)", "B", this::showBin);
    button(line, "saved-check", "Check (K)", "K", this::showCheck);
    return line;
  }

  private void one(JPanel line, String name, String words, String keys, Runnable action) {
    forOne.add(button(line, name, words, keys, action));
  }

  private JButton button(JPanel line, String name, String words, String keys, Runnable action) {
    JButton button = new JButton(words);
    button.setName(name);
    button.addActionListener(e -> action.run());
    table
        .getInputMap(JComponent.WHEN_ANCESTOR_OF_FOCUSED_COMPONENT)
        .put(KeyStroke.getKeyStroke(keys), name);
    table.getActionMap().put(name, HereCard.action(action));
    line.add(button);
    return button;
  }

  private static void bind(JComponent in, String keys, Runnable action) {
    in.getInputMap(JComponent.WHEN_ANCESTOR_OF_FOCUSED_COMPONENT)
        .put(KeyStroke.getKeyStroke(keys), keys);
    in.getActionMap().put(keys, HereCard.action(action));
  }

  // ---- panes, each made when it is asked for: together they would hold up the first opening

  private HistoryPane history() {
    if (history == null) {
      history = new HistoryPane(this);
    }
    return history;
  }

  private ComparePane compare() {
    if (compare == null) {
      compare = new ComparePane(this);
    }
    return compare;
  }

  private ExportPane export() {
    if (export == null) {
      export = new ExportPane(this);
    }
    return export;
  }

  private ImportPane take() {
    if (take == null) {
      take = new ImportPane(this, this::taken);
    }
    return take;
  }

  private BinPane bin() {
    if (bin == null) {
      bin = new BinPane(this);
    }
    return bin;
  }

  private CheckPane check() {
    if (check == null) {
      check = new CheckPane(this);
    }
    return check;
  }

  // ---- reading and seeking

  @Override
  public Desk desk() {
    return desk;
  }

  @Override
  public void say(Sign sign, String sentence) {
    undo.setVisible(false);
    notice.say(sign, sentence);
  }

  /** It came to the front. */
  void shown() {
    reload();
    table.requestFocusInWindow();
  }

  /** The library has changed. */
  void outdated() {
    if (isShowing()) {
      reload();
    }
  }

  @Override
  public void reload() {
    if (reading != null) {
      reading.cancel();
    }
    if (!read) {
      count.setText("being read");
    }
    reading =
        desk.tasks()
            .start(
                "saved set-ups",
                progress -> desk.library().list(),
                this::listed,
                problem -> {
                  count.setText(read ? count.getText() : "");
                  say(Sign.BAD, problem);
                });
  }

  private void listed(SetUpLibrary.Listing listing) {
    read = true;
    all = listing.entries();
    List<String> wrong = new ArrayList<>(listing.unreadable());
    for (LibraryEntry e : all) {
      wrong.addAll(e.problems());
    }
    if (wrong.isEmpty()) {
      problems.clear();
    } else {
      problems.say(
          Sign.CAUTION,
          wrong.get(0)
              + (wrong.size() > 1 ? " And " + (wrong.size() - 1) + " more: Check (K)." : ""));
    }
    seek();
  }

  private void seek() {
    if (!read) {
      return;
    }
    if (seeking != null) {
      seeking.cancel();
    }
    SavedList.Sought sought =
        new SavedList.Sought(
            text.getText(),
            diameter.getText(),
            flutes.getText(),
            machine.getText(),
            (SavedList.Order) order.getSelectedItem());
    List<LibraryEntry> entries = all;
    Map<SetUp.Field, String> here = desk.job().setUp();
    LengthUnit unit = desk.unit();
    diameter.putClientProperty("JComponent.outline", null);
    seeking =
        desk.tasks()
            .start(
                "seeking",
                progress -> SavedList.of(entries, sought, here, unit),
                rows -> found(rows, sought),
                problem -> {
                  diameter.putClientProperty("JComponent.outline", "error");
                  count.setText(problem.length() > 60 ? "no such diameter" : problem);
                });
  }

  private void found(List<SavedRow> rows, SavedList.Sought sought) {
    String before = wanted.isEmpty() ? chosenId().orElse("") : wanted;
    boolean focused = table.isFocusOwner();
    if (model.show(rows, sought.order() == SavedList.Order.NEAREST)) {
      widths();
    }
    count.setText(
        rows.size() == all.size()
            ? String.valueOf(rows.size())
            : rows.size() + " of " + all.size());
    int at = before.isEmpty() ? -1 : model.indexOf(before);
    if (at < 0 && !rows.isEmpty()) {
      at = 0;
    }
    if (at >= 0) {
      table.setRowSelectionInterval(at, at);
      table.scrollRectToVisible(table.getCellRect(at, 0, true));
      wanted = "";
    }
    if (focused) {
      table.requestFocusInWindow();
    }
    chosen(false);
  }

  // ---- what is chosen

  private Optional<SavedRow> chosen() {
    int row = table.getSelectedRow();
    return row < 0 || row >= model.getRowCount() ? Optional.empty() : Optional.of(model.row(row));
  }

  private Optional<String> chosenId() {
    return chosen().map(SavedRow::id);
  }

  private void chosen(boolean adjusting) {
    if (adjusting) {
      return;
    }
    forOne.forEach(b -> b.setEnabled(chosen().isPresent()));
    if (chosen().isEmpty()) {
      details.clear(
          !read
              ? ""
              : all.isEmpty()
                  ? "No set-up is saved yet. Ctrl+S saves the one at hand; Import (I) takes one in."
                  : "None of the " + all.size() + " saved set-ups has all of that.");
      return;
    }
    String id = chosenId().get();
    switch (card) {
      case DETAILS -> details.show(id);
      case HISTORY -> history().show(id);
      case EXPORT -> export().show(chosen().get().entry());
      default -> {
        // the others are not about the chosen one alone
      }
    }
  }

  private void pane(String which, JComponent pane) {
    if (pane.getParent() != below) {
      below.add(pane, which);
    }
    card = which;
    below.show(which);
  }

  @Override
  public void back() {
    pane(DETAILS, details);
    table.requestFocusInWindow();
    chosen(false);
  }

  // ---- doing

  private void openChosen() {
    chosenId()
        .ifPresent(
            id -> {
              say(Sign.BEGUN, "Opening.");
              desk.tasks()
                  .start(
                      "opening a saved set-up",
                      progress -> SavedOpener.open(desk.library(), id, desk.jobs()),
                      folder -> {
                        notice.clear();
                        desk.resume(folder, stage::showHere);
                      },
                      problem -> say(Sign.BAD, problem));
            });
  }

  private void showHistory() {
    chosenId()
        .ifPresent(
            id -> {
              pane(HISTORY, history());
              history().show(id);
            });
  }

  private void showCompare() {
    int[] rows = table.getSelectedRows();
    if (rows.length == 0) {
      return;
    }
    pane(COMPARE, compare());
    SavedRow first = model.row(rows[0]);
    SavedRow second = model.row(rows[Math.min(1, rows.length - 1)]);
    boolean later = !first.entry().lastDate().isBefore(second.entry().lastDate());
    compare().show(later ? second.id() : first.id(), later ? first.id() : second.id());
  }

  private void showExport() {
    chosen()
        .ifPresent(
            row -> {
              pane(EXPORT, export());
              export().show(row.entry());
              export().focus();
            });
  }

  private void showImport() {
    pane(IMPORT, take());
    take().focus();
  }

  /** Takes in an archive that was dropped or opened. */
  void take(Path file) {
    pane(IMPORT, take());
    take().take(file);
  }

  private void taken(String id) {
    wanted = id;
    reload();
  }

  private void showBin() {
    pane(BIN, bin());
    bin().open();
  }

  private void showCheck() {
    pane(CHECK, check());
    check().look(false);
  }

  private void toBin() {
    int[] rows = table.getSelectedRows();
    if (rows.length == 0) {
      return;
    }
    List<String> ids = new ArrayList<>();
    for (int row : rows) {
      ids.add(model.row(row).id());
    }
    String title = model.row(rows[0]).title();
    desk.tasks()
        .start(
            "moving to the bin",
            progress -> {
              List<SetUpLibrary.Removed> gone = new ArrayList<>();
              for (String id : ids) {
                gone.add(desk.library().remove(id, Instant.now()));
              }
              return gone;
            },
            gone -> {
              removed = gone;
              say(
                  Sign.NOTE,
                  "Moved "
                      + (gone.size() == 1 ? "\"" + title + "\"" : gone.size() + " set-ups")
                      + " to the bin.");
              undo.setVisible(true);
              reload();
            },
            problem -> {
              say(Sign.BAD, problem);
              reload();
            });
  }

  private void bringBack() {
    List<SetUpLibrary.Removed> back = removed;
    if (back.isEmpty()) {
      return;
    }
    removed = List.of();
    desk.tasks()
        .start(
            "bringing back",
            progress -> {
              for (SetUpLibrary.Removed each : back) {
                desk.library().restore(each.name());
              }
              return back.get(0).id();
            },
            id -> {
              wanted = id;
              say(Sign.DONE, "Brought back.");
              reload();
            },
            problem -> say(Sign.BAD, problem));
  }
}

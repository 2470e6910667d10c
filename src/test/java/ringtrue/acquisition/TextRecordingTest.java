package ringtrue.acquisition;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.charset.Charset;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Locale;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import ringtrue.acquisition.TextRecording.Layout;
import ringtrue.units.BadInputException;

class TextRecordingTest {
  @TempDir Path folder;

  @ParameterizedTest
  @ValueSource(
      strings = {
        "t,F,x\n0,1.5,-2\n0.5,3e2,.25\n1,-0.125,4\n",
        "0;1.5;-2\r\n0.5;300;0.25\r\n1;-0.125;4\r\n\r\n\r\n",
        "Zeit;Kraft;Weg\ns;N;m\n0;1,5;-2\n0,5;300;0,25\n1;-0,125;4",
        "0\t1,5\t-2\n0,5\t3E+02\t0,25\n1\t-1,25e-1\t4\n",
        "# logger\n% more\n  0   1.5  -2  \n  0.5 300   0.25\n# between\n  1  -0.125 4\n\n",
        "0 1,5 -2\r0,5 300 0,25\r1 -0,125 4\r",
        "\"t\",\"F\",\"x\"\n\"0\",\"1.5\",\"-2\"\n\"0.5\",\"300\",\"0.25\"\n\"1\",\"-0.125\",\"4\"\n",
        "\"0\";\"1,5\";\"-2\"\n\"0,5\";\"+300\";\"0,25\"\n\"1\";\"-0,125\";\"4\"\n",
        "48000\nt, F, x\n0, 1.5, -2,\n0.5, 300., 0.25,\n1, -0.125, 4,\n",
        "Rate: 2 Hz\nNaN,,\nt,F,x\n0,1.5,-2\n0.5,300.00000000000000000,0.25\n1,-0.125,4\n",
      })
  void readsAllDialects(String text) throws IOException {
    for (Charset charset :
        new Charset[] {
          StandardCharsets.UTF_8, StandardCharsets.UTF_16LE, StandardCharsets.UTF_16BE
        }) {
      String mark = "\uFEFF";
      Path file = Files.writeString(folder.resolve("a.csv"), mark + text, charset);
      check(file);
    }
    check(Files.writeString(folder.resolve("a.csv"), text));
  }

  private static void check(Path file) throws IOException {
    TextRecording read = TextRecording.open(file, Layout.timeIn(1));
    assertThat(read.sampleRateHz()).isEqualTo(2);
    MemoryRecording all = MemoryRecording.copyOf(read);
    assertThat(all.channels()).isEqualTo(3);
    assertThat(all.channel(1)).containsExactly(0, 0.5, 1);
    assertThat(all.channel(2)).containsExactly(1.5, 300, -0.125);
    assertThat(all.channel(3)).containsExactly(-2, 0.25, 4);
  }

  /** Every way of printing a double comes back exactly as the Java platform reads it. */
  @Test
  void readsNumbersExactly() throws IOException {
    Random random = new Random(5);
    StringBuilder text = new StringBuilder();
    double[] expected = new double[20_000];
    String[] shapes = {"%.3f", "%.12g", "%.17e", "%.9f", "%.0f", "%s", "%.15g", "%.1e"};
    for (int i = 0; i < expected.length; i++) {
      double size = Math.pow(10, 60 * random.nextDouble() - 30);
      double value = (random.nextDouble() - 0.5) * (i % 3 == 0 ? 1 : size);
      String printed = String.format(Locale.ROOT, shapes[i % shapes.length], value);
      expected[i] = Double.parseDouble(printed);
      text.append(i).append(';').append(printed).append('\n');
    }
    Path file = Files.writeString(folder.resolve("exact.csv"), text);
    TextRecording read = TextRecording.open(file, Layout.atRate(1000));
    assertThat(MemoryRecording.copyOf(read).channel(2)).containsExactly(expected);
  }

  @Test
  void startsAtAnyRow() throws IOException {
    int rows = 30_000;
    StringBuilder text = new StringBuilder("time,value\n");
    for (int i = 0; i < rows; i++) {
      text.append(String.format(Locale.ROOT, "%.6f,%d%n", i / 48_000.0, i));
      if (i % 700 == 3) {
        text.append("# remark in between\n\n");
      }
    }
    for (Charset charset : new Charset[] {StandardCharsets.UTF_8, StandardCharsets.UTF_16LE}) {
      Path file = Files.writeString(folder.resolve("rows.csv"), "\uFEFF" + text, charset);
      TextRecording read = TextRecording.open(file, Layout.timeIn(1));
      assertThat(read.frames()).isEqualTo(rows);
      assertThat(read.sampleRateHz()).isEqualTo(48_000);
      for (int from : new int[] {0, 1, 8191, 8192, 8193, 20_000, 29_999, 30_000}) {
        try (Recording.Cursor cursor = read.from(from)) {
          double[] values = new double[10];
          int got = cursor.read(new double[][] {null, values}, 0, 10);
          assertThat(got).isEqualTo(Math.min(10, rows - from));
          for (int i = 0; i < got; i++) {
            assertThat(values[i]).isEqualTo(from + i);
          }
          assertThat(cursor.read(new double[][] {null, values}, 0, 0)).isZero();
        }
      }
    }
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "t;x/0;1/1;NaN/2;3/ | line 3: column 2 is \"NaN\", a finite number is needed",
        "t;x/0;NaN/1;2/2;3/ | line 2: column 2 is \"NaN\", a finite number is needed",
        "t;x/0;/1;2/2;3/ | line 2: column 2 is empty, a number is needed",
        "t,x/0,1/1,/2,3/ | line 3: column 2 is empty, a number is needed",
        "t;x;y/0;1;2/1;;2/2;3;4/ | line 3: column 2 is empty, a number is needed",
        "0;1/1;abc/2;3/ | line 2: column 2 is \"abc\", a number is needed",
        "0;1/1;1e999/2;3/ | line 2: column 2 is \"1e999\", a finite number is needed",
        "0;1,5/1;2.5/ | line 2: column 2 is \"2.5\", a number is needed (the decimal mark of this"
            + " file is \",\")",
        "0,1/1,2,3/2,3/ | line 2 has 3 columns, 2 are in the lines before",
        "0,1/1/2,3/ | line 2 has 1 column, 2 are in the lines before",
        "0,1/1,2/End of data/ | line 3: column 1 is \"End of data\", a number is needed",
        "0,1/1,2/1,3/ | line 3, column 1: time must rise, but 1.0 follows 1.0; print it with more"
            + " digits, or leave it out and give the sample rate",
        "0,1/1,2/0.5,3/ | line 3, column 1: time must rise, but 0.5 follows 1.0",
        "0,1/1,2/2,3/4,3/5,3/6,3/ | line 4, column 1: time is not even: the step to this row is 2,"
            + " the mean step 1.2; rows are missing",
        "hello/world/ | no row of numbers found in 2 lines",
        "5/ | one row is not enough to tell the sample rate",
      })
  void saysInOneLineWhatIsWrong(String text, String message) throws IOException {
    Path file = Files.writeString(folder.resolve("bad.csv"), text.replace('/', '\n'));
    assertThatThrownBy(() -> TextRecording.open(file, Layout.timeIn(1)))
        .isInstanceOf(BadInputException.class)
        .hasMessage("bad.csv: " + message);
  }

  @Test
  void refusesABlankLineThatTimeCannotExplain() throws IOException {
    Path file = Files.writeString(folder.resolve("two.csv"), "1,2\n3,4\n\n5,6\n");
    assertThatThrownBy(() -> TextRecording.open(file, Layout.atRate(1000)))
        .hasMessageContaining("two.csv: line 3 is blank");
  }

  @Test
  void refusesWrongFilesAndColumns() throws IOException {
    Path empty = Files.writeString(folder.resolve("empty.csv"), "");
    assertThatThrownBy(() -> TextRecording.open(empty, Layout.atRate(1)))
        .hasMessage("empty.csv: the file is empty");
    Path two = Files.writeString(folder.resolve("two.csv"), "1,2\n3,4\n");
    assertThatThrownBy(() -> TextRecording.open(two, Layout.timeIn(3)))
        .hasMessage("two.csv: line 1: the time is said to be in column 3, but there are 2 columns");
    Path binary = Files.write(folder.resolve("binary.csv"), new byte[3_000_000]);
    assertThatThrownBy(() -> TextRecording.open(binary, Layout.atRate(1)))
        .isInstanceOf(BadInputException.class)
        .hasMessageContaining("no table of numbers");
  }

  /** Whatever the characters are, the answer is a recording or one line. */
  @Test
  void neverStumblesOverDamagedText() throws IOException {
    Random random = new Random(23);
    String signs = "0123456789.,;\t \n\r\"-+eE#%xN\u00e9\u0000";
    Path file = folder.resolve("damaged.csv");
    Charset[] charsets = {
      StandardCharsets.UTF_8, StandardCharsets.UTF_16, StandardCharsets.ISO_8859_1
    };
    int opened = 0;
    for (int round = 0; round < 3000; round++) {
      StringBuilder text = new StringBuilder("t;F;x\n0;1,5;2\n0,1;2,5;3\n0,2;3,5;4\n0,3;1;1\n");
      for (int k = random.nextInt(4); k > 0; k--) {
        char sign = signs.charAt(random.nextInt(signs.length()));
        text.setCharAt(random.nextInt(text.length()), sign);
      }
      Files.writeString(
          file,
          text.substring(0, random.nextInt(text.length() + 1)),
          charsets[random.nextInt(charsets.length)]);
      Layout layout = random.nextBoolean() ? Layout.timeIn(1) : Layout.atRate(10);
      try {
        TextRecording read = TextRecording.open(file, layout);
        assertThat(MemoryRecording.copyOf(read).frames()).isEqualTo(read.frames());
        opened++;
      } catch (BadInputException e) {
        assertThat(e.getMessage()).startsWith("damaged.csv: ");
      }
    }
    assertThat(opened).isBetween(300, 2900);
  }

  /** Digits that are printed too coarsely to show the even steps are no unevenness. */
  @ParameterizedTest
  @CsvSource({
    "48000, %.6f, 0, 1",
    "48000, %.5f, 0, 1",
    "44100, %.6g, 0.02, 1",
    "51200, %.7g, 3.9, 1",
    "2000, %.4f, 0, 1",
    "25600, %.4f, 0, 0.001",
    "192000, %.9e, 100, 1",
  })
  void takesPrintedDigitsForWhatTheyAre(double rate, String shape, double start, double unit)
      throws IOException {
    StringBuilder text = new StringBuilder();
    int rows = 20_000;
    for (int i = 0; i < rows; i++) {
      double time = (start + i / rate) / unit;
      text.append(String.format(Locale.ROOT, shape, time)).append(" 1\n");
    }
    Path file = Files.writeString(folder.resolve("time.txt"), text);
    Layout layout = Layout.timeIn(1).withTimeUnit(unit);
    assertThat(TextRecording.open(file, layout).sampleRateHz()).isEqualTo(rate);

    String[] lines = text.toString().split("\n");
    lines[12_345] = null;
    String gap = String.join("\n", lines).replace("null\n", "");
    Path broken = Files.writeString(folder.resolve("gap.txt"), gap);
    assertThatThrownBy(() -> TextRecording.open(broken, layout))
        .isInstanceOf(BadInputException.class)
        .hasMessageContaining("gap.txt: line 12346, column 1: time is not even")
        .hasMessageContaining("rows are missing");
  }

  @Test
  void keepsARateThatIsNoWholeNumber() throws IOException {
    StringBuilder text = new StringBuilder();
    for (int i = 0; i < 1000; i++) {
      text.append(String.format(Locale.ROOT, "%.12f;0\n", i / 4166.66));
    }
    Path file = Files.writeString(folder.resolve("time.txt"), text);
    assertThat(TextRecording.open(file, Layout.timeIn(1)).sampleRateHz())
        .isCloseTo(4166.66, org.assertj.core.data.Offset.offset(1e-6));
  }
}

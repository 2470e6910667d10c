package ringtrue.library;

import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Random;

/** Ways to damage an input that know a little of what inputs look like. */
final class Mutations {
  /** Changes a file's bytes; may use another file of the same kind. */
  @FunctionalInterface
  interface Way {
    byte[] of(byte[] input, byte[] other, Random random);
  }

  private static final String[] NASTY = {
    "0",
    "-0",
    "-1",
    "1e308",
    "-1e308",
    "1e-320",
    "1e999999999",
    "1e-999999999",
    "0x1p3",
    "1d",
    "1.7976931348623157e308",
    "NaN",
    "Infinity",
    "null",
    "true",
    "[]",
    "{}",
    "\"\"",
    "\"1 mm\"",
    "\"-5 rpm\"",
    "\"1e300 Hz\"",
    "\"1e-300 N/m\"",
    "\"g g g g g g g g g g g g g g g g g g g g\"",
    "\"1 ((((((((((((((((((((((((((((((((((((\"",
    "2147483647",
    "2147483648",
    "-2147483648",
    "4294967295",
    "9223372036854775807",
    "99999999999999999999",
    "0.1",
    "1,5",
    "1.5",
    "1.0D+05",
    "1.0+100",
    "\u0000",
    "\uFEFF",
    "\u2028",
    "\u202e",
    "\ud83d\ude00",
    ",",
    ";",
    "\n",
    "\r",
    "\r\n",
    "\t",
    "#",
    "\"",
    "\\",
    "\\u0000",
    "\"\\ud800\"",
    "\"../../x\"",
    "\"/dev/zero\"",
    "\"/dev/stdin\"",
    "\"a\\u0000b\"",
    "\"0 s\"",
    "\"1e9 s\"",
    "\"100 %\"",
    "    -1\n",
    "\n    -1\n    58\n",
    "    58b     1     2          11        4096     0     0           0           0",
    "NONE",
    "-1",
    "58",
    "164"
  };

  private static final int[] INTEGERS = {
    0,
    1,
    -1,
    2,
    3,
    4,
    7,
    8,
    16,
    24,
    32,
    64,
    127,
    128,
    255,
    256,
    0x7FFF,
    0x8000,
    0xFFFF,
    0x10000,
    Integer.MAX_VALUE,
    Integer.MIN_VALUE,
    -2,
    0x7FFFFFFE,
    44,
    48_000,
    1 << 20,
    1 << 30
  };

  private static final int LARGEST = 1 << 16;

  private Mutations() {}

  /** Any bytes. */
  static byte[] bytes(byte[] input, byte[] other, Random random) {
    byte[] bytes = input;
    int at = place(bytes, random);
    int length = 1 + random.nextInt(Math.max(1, Math.min(200, bytes.length - at)));
    int end = Math.min(bytes.length, at + length);
    switch (random.nextInt(8)) {
      case 0 -> {
        if (bytes.length > 0) {
          bytes = bytes.clone();
          bytes[at] ^= (byte) (1 << random.nextInt(8));
        }
      }
      case 1 -> {
        if (bytes.length > 0) {
          bytes = bytes.clone();
          bytes[at] = (byte) random.nextInt(256);
        }
      }
      case 2 -> bytes = Arrays.copyOf(bytes, at);
      case 3 -> bytes = joined(bytes, at, new byte[0], end);
      case 4 -> bytes = joined(bytes, at, Arrays.copyOfRange(bytes, at, end), at);
      case 5 -> {
        int from = place(other, random);
        int to = Math.min(other.length, from + 1 + random.nextInt(200));
        bytes = joined(bytes, at, Arrays.copyOfRange(other, from, to), at);
      }
      case 6 ->
          bytes = joined(bytes, at, nasty(random), Math.min(bytes.length, at + random.nextInt(8)));
      default -> bytes = integer(bytes, random);
    }
    return bytes.length > LARGEST ? Arrays.copyOf(bytes, LARGEST) : bytes;
  }

  /** Lines and words of a text. */
  static byte[] text(byte[] input, byte[] other, Random random) {
    if (random.nextInt(4) == 0) {
      return bytes(input, other, random);
    }
    String text = new String(input, StandardCharsets.ISO_8859_1);
    if (random.nextInt(3) == 0) {
      List<String> lines = new ArrayList<>(Arrays.asList(text.split("(?<=\n)", -1)));
      int at = random.nextInt(lines.size());
      switch (random.nextInt(5)) {
        case 0 -> lines.remove(at);
        case 1 -> lines.add(at, lines.get(random.nextInt(lines.size())));
        case 2 -> java.util.Collections.swap(lines, at, random.nextInt(lines.size()));
        case 3 -> {
          String[] foreign = new String(other, StandardCharsets.ISO_8859_1).split("(?<=\n)", -1);
          lines.add(at, foreign[random.nextInt(foreign.length)]);
        }
        default -> {
          String line = lines.get(at);
          for (int i = random.nextInt(40); i >= 0; i--) {
            lines.add(at, line);
          }
        }
      }
      return cut(String.join("", lines));
    }
    // a word is a run of letters and digits, or one sign
    int at = place(input, random);
    int start = at;
    int end = at;
    while (start > 0 && word(text.charAt(start - 1))) {
      start--;
    }
    while (end < text.length() && word(text.charAt(end))) {
      end++;
    }
    String with = new String(nasty(random), StandardCharsets.ISO_8859_1);
    String old = text.substring(start, end);
    if (random.nextInt(4) == 0 && with.length() < old.length()) {
      with = " ".repeat(old.length() - with.length()) + with; // columns keep their width
    }
    return cut(
        switch (random.nextInt(5)) {
          case 0 -> text.substring(0, start) + text.substring(end);
          case 1 -> text.substring(0, end) + old + text.substring(end);
          case 2 ->
              text.substring(0, start) + old.repeat(1 + random.nextInt(300)) + text.substring(end);
          default -> text.substring(0, start) + with + text.substring(end);
        });
  }

  /** Values and fields of JSON. */
  static byte[] json(byte[] input, byte[] other, Random random) {
    if (random.nextInt(3) > 0) {
      return text(input, other, random);
    }
    String text = new String(input, StandardCharsets.UTF_8);
    int[] value = value(text, random);
    int[] second = value(text, random);
    String foreign = new String(other, StandardCharsets.UTF_8);
    int[] theirs = value(foreign, random);
    String nasty = new String(nasty(random), StandardCharsets.UTF_8);
    String with =
        switch (random.nextInt(6)) {
          case 0 -> text.substring(second[0], second[1]);
          case 1 -> foreign.substring(theirs[0], theirs[1]);
          case 2 -> "[".repeat(1 + random.nextInt(random.nextInt(50) == 0 ? 20_000 : 100));
          case 3 -> "[" + text.substring(value[0], value[1]) + "]";
          case 4 -> "\"" + nasty.replace("\"", "") + "\"";
          default -> nasty;
        };
    byte[] bytes =
        (text.substring(0, value[0]) + with + text.substring(value[1]))
            .getBytes(StandardCharsets.UTF_8);
    return bytes.length > LARGEST ? Arrays.copyOf(bytes, LARGEST) : bytes;
  }

  /** Where a value after a colon or a comma begins and ends, braces kept in pairs. */
  private static int[] value(String text, Random random) {
    int at = text.isEmpty() ? 0 : random.nextInt(text.length());
    while (at < text.length() && ":,[".indexOf(text.charAt(at)) < 0) {
      at++;
    }
    int start = Math.min(text.length(), at + 1);
    int depth = 0;
    int end = start;
    while (end < text.length()) {
      char c = text.charAt(end);
      depth += c == '{' || c == '[' ? 1 : c == '}' || c == ']' ? -1 : 0;
      if (depth < 0 || depth == 0 && c == ',') {
        break;
      }
      end++;
    }
    return new int[] {start, end};
  }

  private static boolean word(char c) {
    return c > ' ' && ",;:\"[]{}#|".indexOf(c) < 0;
  }

  private static byte[] cut(String text) {
    byte[] bytes = text.getBytes(StandardCharsets.ISO_8859_1);
    return bytes.length > LARGEST ? Arrays.copyOf(bytes, LARGEST) : bytes;
  }

  /** Most damage near the start, where headers are. */
  private static int place(byte[] bytes, Random random) {
    return (int) (bytes.length * Math.pow(random.nextDouble(), 1 + random.nextInt(3)));
  }

  static byte[] nasty(Random random) {
    return NASTY[random.nextInt(NASTY.length)].getBytes(StandardCharsets.UTF_8);
  }

  /** A field of two, four or eight bytes, little-endian. */
  static byte[] integer(byte[] input, Random random) {
    int width = new int[] {1, 2, 2, 4, 4, 4, 8}[random.nextInt(7)];
    if (input.length < width) {
      return input;
    }
    byte[] bytes = input.clone();
    int at = Math.min(bytes.length - width, place(bytes, random));
    long value =
        random.nextInt(3) == 0
            ? bytes[at] + random.nextInt(9) - 4
            : random.nextInt(10) == 0
                ? random.nextLong()
                : INTEGERS[random.nextInt(INTEGERS.length)];
    for (int i = 0; i < width; i++) {
      bytes[at + i] = (byte) (value >> 8 * i);
    }
    return bytes;
  }

  static byte[] joined(byte[] bytes, int head, byte[] middle, int tailFrom) {
    byte[] all = Arrays.copyOf(bytes, head + middle.length + bytes.length - tailFrom);
    System.arraycopy(middle, 0, all, head, middle.length);
    System.arraycopy(bytes, tailFrom, all, head + middle.length, bytes.length - tailFrom);
    return all;
  }
}

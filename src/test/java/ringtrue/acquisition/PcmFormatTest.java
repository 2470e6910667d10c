package ringtrue.acquisition;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import ringtrue.units.BadInputException;

class PcmFormatTest {
  /** Bytes as they lie in the stream, and the integer that they mean over 2^(bits-1). */
  @ParameterizedTest
  @CsvSource({
    "16, 2, false, 01 80 FF 7F, -32767, 32767",
    "16, 2, true, 80 01 7F FF, -32767, 32767",
    "24, 3, false, 01 00 80 FE FF FF, -8388607, -2",
    "24, 3, true, 80 00 01 FF FF FE, -8388607, -2",
    "24, 4, false, 01 00 80 00 FE FF FF FF, -8388607, -2",
    "24, 4, false, 01 00 80 5A FF FF 7F 99, -8388607, 8388607",
    "24, 4, true, 00 80 00 01 FF FF FF FE, -8388607, -2",
    "32, 4, false, 01 00 00 80 FF FF FF 7F, -2147483647, 2147483647",
    "32, 4, true, 80 00 00 01 00 00 00 03, -2147483647, 3",
  })
  void readsEveryLayoutExactly(
      int bits, int bytes, boolean big, String hex, long first, long second) {
    double[] into = new double[2];
    String[] pairs = hex.split(" ");
    byte[] raw = new byte[pairs.length];
    for (int i = 0; i < raw.length; i++) {
      raw[i] = (byte) Integer.parseInt(pairs[i], 16);
    }
    new PcmFormat(48_000, 2, bits, bytes, big).decode(raw, 1, into);
    assertThat(into)
        .containsExactly(
            Math.scalb((double) first, 1 - bits), Math.scalb((double) second, 1 - bits));
  }

  @Test
  void refusesWhatIsNone() {
    assertThatThrownBy(() -> PcmFormat.packed(48_000, 2, 20))
        .isInstanceOf(BadInputException.class)
        .hasMessageContaining("16, 24 or 32 bits can");
    assertThatThrownBy(() -> PcmFormat.packed(48_000, 0, 16)).hasMessageContaining("1 to 16 can");
    assertThatThrownBy(() -> PcmFormat.packed(0, 2, 16)).hasMessageContaining("1 to 384000 Hz");
    assertThatThrownBy(() -> new PcmFormat(48_000, 2, 16, 4, false))
        .hasMessageContaining("16 bits in 4 bytes");
  }
}

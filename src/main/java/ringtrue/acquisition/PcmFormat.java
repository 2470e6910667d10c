package ringtrue.acquisition;

import ringtrue.units.BadInputException;

/**
 * How a raw stream of samples is laid out: signed integers, channel by channel within each frame.
 *
 * @param sampleRateHz frames per second, 1 to 384000
 * @param channels channels in a frame, 1 to 16
 * @param bits bits that count: 16, 24 or 32
 * @param bytesPerSample bytes that a sample takes; 24 bits take 3, or 4 with the sample in the
 *     lower three (the fourth is not looked at)
 * @param bigEndian whether the most significant byte comes first
 */
public record PcmFormat(
    int sampleRateHz, int channels, int bits, int bytesPerSample, boolean bigEndian) {

  public PcmFormat {
    if (sampleRateHz < 1 || sampleRateHz > WavRecording.MAX_RATE_HZ) {
      throw new BadInputException(
          "a rate of " + sampleRateHz + " Hz cannot be recorded; 1 to 384000 Hz can");
    }
    if (channels < 1 || channels > WavRecording.MAX_CHANNELS) {
      throw new BadInputException(channels + " channels cannot be recorded; 1 to 16 can");
    }
    if (bits != 16 && bits != 24 && bits != 32) {
      throw new BadInputException(bits + "-bit samples cannot be recorded; 16, 24 or 32 bits can");
    }
    if (bytesPerSample != bits / 8 && !(bits == 24 && bytesPerSample == 4)) {
      throw new BadInputException(
          bits + " bits in " + bytesPerSample + " bytes is no layout that is known");
    }
  }

  /** Samples without spare bytes, least significant byte first. */
  public static PcmFormat packed(int sampleRateHz, int channels, int bits) {
    return new PcmFormat(sampleRateHz, channels, bits, bits / 8, false);
  }

  /** Bytes of a frame. */
  public int frameBytes() {
    return channels * bytesPerSample;
  }

  /**
   * Turns bytes into fractions of full scale, exactly.
   *
   * @param bytes begins with a whole frame
   * @param frames how many frames to turn
   * @param into takes them, frame by frame
   */
  void decode(byte[] bytes, int frames, double[] into) {
    int samples = frames * channels;
    int step = bytesPerSample;
    // the sample's bits, least significant first, go to the top of an int
    int first = bigEndian ? step - 1 : 0;
    int next = bigEndian ? -1 : 1;
    int count = bits / 8;
    for (int i = 0, at = first; i < samples; i++, at += step) {
      int number = 0;
      int place = at;
      for (int b = 0; b < count; b++, place += next) {
        number |= (bytes[place] & 0xFF) << (32 - bits + 8 * b);
      }
      into[i] = number * 0x1p-31;
    }
  }
}

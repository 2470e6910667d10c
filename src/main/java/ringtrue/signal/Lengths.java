package ringtrue.signal;

/** Block lengths that transform quickly: 2^a 3^b 5^c, even. */
final class Lengths {

  private Lengths() {}

  /** Smallest quick length of at least n. */
  static int atLeast(int n) {
    int m = Math.max(16, n + (n & 1));
    while (!quick(m)) {
      m += 2;
    }
    return m;
  }

  /** Largest quick length of at most n, n ≥ 16. */
  static int atMost(int n) {
    int m = n - (n & 1);
    while (!quick(m)) {
      m -= 2;
    }
    return m;
  }

  private static boolean quick(int n) {
    int rest = n;
    for (int p : new int[] {2, 3, 5}) {
      while (rest % p == 0) {
        rest /= p;
      }
    }
    return rest == 1;
  }
}

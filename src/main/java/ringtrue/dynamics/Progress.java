package ringtrue.dynamics;

/** How a long computation reports where it is, and learns that nobody wants its answer any more. */
public interface Progress {

  /** Nobody watches, nobody cancels. */
  Progress NONE = (done, what) -> {};

  /**
   * @param done part that is done, 0 to 1
   * @param what a few words on what is going on
   * @throws java.util.concurrent.CancellationException if the answer is no longer wanted
   */
  void at(double done, String what);
}

package ringtrue.ui;

import ringtrue.ui.job.CutDraft;
import ringtrue.ui.job.CutField;

/** An invented cut with the 8 mm demo tool, for tests. */
public final class DemoCut {
  /** Depth at which it stays quiet. */
  public static final String QUIET = "0.8 mm";

  /** Depth at which it chatters. */
  public static final String CHATTERS = "5 mm";

  private DemoCut() {}

  /** The cut at a depth. */
  public static CutDraft at(String depth) {
    return CutDraft.NEW
        .with(CutField.NAME, "pocket, invented")
        .with(CutField.DIAMETER, "8 mm")
        .with(CutField.FLUTES, "3")
        .with(CutField.HELIX, "38 deg")
        .with(CutField.STICKOUT, "30 mm")
        .with(CutField.FLUTE_LENGTH, "20 mm")
        .with(CutField.RUNOUT, "6 um")
        .with(CutField.MATERIAL, "aluminium 6082-T6")
        .with(CutField.DIRECTION, "down")
        .with(CutField.RADIAL, "3.2 mm")
        .with(CutField.AXIAL, depth)
        .with(CutField.SPEED, "13000 rpm")
        .with(CutField.FEED_PER_TOOTH, "0.05 mm");
  }
}

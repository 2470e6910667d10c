package ringtrue.ui.setups;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import ringtrue.library.SetUp;
import ringtrue.ui.desk.StageState;
import ringtrue.ui.job.Direction.Part;
import ringtrue.ui.job.Job;

/**
 * Whether a job is in the library.
 *
 * @param kind as a sign
 * @param brief in a few words
 * @param sentence in one
 */
record SaveState(StageState.Kind kind, String brief, String sentence) {

  static SaveState of(Job job, SaveLog log, Instant now) {
    if (job.setUp().isEmpty() && job.measured().isEmpty()) {
      return new SaveState(
          StageState.Kind.OPEN, "", "Nothing to save yet: say what is clamped, or tap first.");
    }
    List<Part> parts = Parts.of(job);
    if (log.setUps().isEmpty()) {
      return new SaveState(
          StageState.Kind.BEGUN,
          "set-up not saved",
          parts.size() > 1
              ? "Not in the library yet. Saving makes two set-ups, one of the tool and one of the"
                  + " workpiece; opening either brings both."
              : "Not in the library yet. The job itself is kept automatically.");
    }
    SetUp main = log.setUps().getOrDefault(parts.get(0), log.setUps().values().iterator().next());
    String as = "Saved as " + main.id() + ", revision " + main.revision();
    for (Part part : parts) {
      SetUp other = log.setUps().get(part);
      if (other != null && other != main) {
        as += ", and the " + part.word() + " as " + other.id();
      }
    }
    String when = log.at().map(t -> "set-up saved " + Dates.brief(t, now)).orElse("set-up saved");
    List<String> missing = new ArrayList<>();
    int directions = log.unsaved(job).size();
    if (directions > 0) {
      missing.add(DirectionWords.counted(directions, "direction"));
    }
    if (log.saidOtherwise(job)) {
      missing.add("the description");
    }
    if (missing.isEmpty()) {
      return new SaveState(
          StageState.Kind.DONE,
          when,
          as + log.at().map(t -> ", " + Dates.minute(t)).orElse("") + ".");
    }
    String left = String.join(" and ", missing);
    return new SaveState(
        StageState.Kind.BEGUN,
        directions > 0
            ? DirectionWords.counted(directions, "direction") + " not saved"
            : "set-up: changes not saved",
        as + ". Not saved yet: " + left + ".");
  }
}

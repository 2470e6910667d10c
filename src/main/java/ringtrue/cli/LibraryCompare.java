package ringtrue.cli;

import java.util.ArrayList;
import java.util.List;
import picocli.CommandLine;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import ringtrue.fitting.SetUpComparison;
import ringtrue.library.SavedComparison;
import ringtrue.library.SavedMeasurement;
import ringtrue.library.SavedSetUp;
import ringtrue.library.SetUpLibrary;
import ringtrue.units.BadInputException;
import ringtrue.units.Names;

/** {@code library compare}: the same as last time, or two set-ups beside each other. */
@CommandLine.Command(
    name = "compare",
    sortOptions = false,
    description = {
      "Is a set-up the same as last time, or what differs between two?",
      "Its latest measurement in each direction is held against the one before, or, with a second",
      "id, against that set-up's latest."
    })
final class LibraryCompare extends LibraryPart {
  @Parameters(index = "0", paramLabel = "ID", description = "the set-up's id")
  private String id;

  @Parameters(
      index = "1",
      arity = "0..1",
      paramLabel = "OTHER",
      description = "another set-up, held against the first")
  private String other;

  @Option(names = "--axis", paramLabel = "AXIS", description = "this direction only")
  private String axis;

  @Option(
      names = "--measurement",
      paramLabel = "MEASUREMENT",
      description = "id of the later measurement (default: the latest)")
  private String measurement;

  @Option(
      names = "--against",
      paramLabel = "MEASUREMENT",
      description = "id of the earlier measurement (default: the one before)")
  private String against;

  private record One(
      String axis, SavedMeasurement before, SavedMeasurement now, SetUpComparison comparison) {}

  @Override
  public Integer call() {
    SetUpLibrary library = library();
    SavedSetUp now = library.read(id);
    SavedSetUp before = other == null ? now : library.read(other);
    if (other != null && other.equals(id)) {
      throw new BadInputException("compare: both ids are the same; leave the second one out");
    }
    List<String> remarks = new ArrayList<>();
    List<One> all = new ArrayList<>();
    try (TerminalProgress progress = new TerminalProgress(err())) {
      for (String each : axes(before, now)) {
        one(before, now, each, remarks, progress).forEach(all::add);
      }
    }
    if (all.isEmpty() && other == null) {
      throw new BadInputException(
          id
              + ": has no two measurements in one direction to compare"
              + (remarks.isEmpty() ? "" : "; " + remarks.get(0)));
    }
    List<String> differences =
        other == null ? List.of() : SavedComparison.differences(before.setUp(), now.setUp());
    if (json) {
      JsonOut.write(
          out(),
          o -> {
            o.put("id", id).put("other", other == null ? id : other);
            o.texts("differences", differences);
            o.objects(
                "axes",
                all,
                (x, c) -> {
                  x.put("axis", c.axis).put("before", c.before.id()).put("now", c.now.id());
                  ModesJson.comparison(x, c.comparison, c.before.id());
                });
            o.texts("remarks", remarks);
          });
    } else {
      print(before, now, differences, all);
    }
    if (!json) {
      // in JSON they stand beside their comparison
      all.forEach(
          one ->
              one.comparison.remarks().stream()
                  .map(r -> one.axis + ": " + r)
                  .forEach(remarks::add));
    }
    remarks(remarks);
    return Ringtrue.DONE;
  }

  private List<String> axes(SavedSetUp before, SavedSetUp now) {
    List<String> axes =
        now.measurements().stream()
            .map(SavedMeasurement::axis)
            .distinct()
            .sorted()
            .filter(a -> !before.along(a).isEmpty())
            .filter(a -> axis == null || a.equals(axis))
            .toList();
    if (axis != null && axes.isEmpty()) {
      throw new BadInputException(id + ": was not measured in " + axis);
    }
    return axes;
  }

  private List<One> one(
      SavedSetUp before,
      SavedSetUp now,
      String each,
      List<String> remarks,
      TerminalProgress progress) {
    List<SavedMeasurement> along = now.along(each);
    SavedMeasurement later;
    SavedMeasurement earlier;
    if (measurement != null || against != null) {
      later = measurement == null ? along.get(along.size() - 1) : named(now, measurement);
      if (!later.axis().equals(each)) {
        return List.of();
      }
      if (against != null) {
        earlier = named(before, against);
      } else if (other != null) {
        earlier = before.along(each).get(before.along(each).size() - 1);
      } else {
        int at = along.indexOf(later);
        if (at < 1) {
          throw new BadInputException(
              "--measurement: " + later.id() + " is the first in " + each + "; add --against");
        }
        earlier = along.get(at - 1);
      }
    } else if (other != null) {
      later = along.get(along.size() - 1);
      earlier = before.along(each).get(before.along(each).size() - 1);
    } else {
      if (along.size() < 2) {
        remarks.add(each + " was measured once: there is nothing to compare it with");
        return List.of();
      }
      later = along.get(along.size() - 1);
      earlier = along.get(along.size() - 2);
    }
    if (before.folder().equals(now.folder()) && later.equals(earlier)) {
      throw new BadInputException("--against: is the same measurement, " + later.id());
    }
    SavedComparison compared = SavedComparison.of(before, earlier, now, later, progress);
    remarks.addAll(compared.remarks());
    return List.of(new One(each, earlier, later, compared.comparison()));
  }

  private static SavedMeasurement named(SavedSetUp saved, String id) {
    List<String> ids = saved.measurements().stream().map(SavedMeasurement::id).toList();
    return saved
        .measurement(id)
        .orElseThrow(
            () ->
                new BadInputException(
                    saved.setUp().id()
                        + ": has no measurement \""
                        + id
                        + "\""
                        + Names.closest(id, ids).map(n -> "; did you mean " + n + "?").orElse("")));
  }

  private void print(SavedSetUp before, SavedSetUp now, List<String> differences, List<One> all) {
    say("%s", now.setUp().title());
    if (other != null) {
      say("against %s", before.setUp().title());
      say("");
      if (differences.isEmpty()) {
        say("nothing that is said of them differs");
      }
      differences.forEach(d -> say("  %s", d));
      if (all.isEmpty()) {
        say("they were measured in no direction in common");
      }
    }
    ModesText text = new ModesText(this);
    for (One one : all) {
      say("");
      say("%s, measured %s: %s", one.axis, minute(one.now.date()), one.comparison.verdict().word());
      text.comparison(one.comparison, one.before.id() + " of " + minute(one.before.date()));
    }
  }
}

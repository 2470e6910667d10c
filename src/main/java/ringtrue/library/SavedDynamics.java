package ringtrue.library;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.stream.Collectors;
import ringtrue.dynamics.ModalModel;
import ringtrue.dynamics.Mode;
import ringtrue.fitting.ClampingSpread;
import ringtrue.units.BadInputException;
import ringtrue.units.Names;

/**
 * A direction of a saved set-up as a cut uses it. With one measurement it is that measurement; with
 * several clampings it is their mean, and the sigmas say where the next clamping may lie.
 *
 * @param model the modes
 * @param source what they are, for captions
 * @param remarks what a reader should know
 */
public record SavedDynamics(ModalModel model, String source, List<String> remarks) {

  public SavedDynamics {
    remarks = List.copyOf(remarks);
  }

  /**
   * @param saved the set-up
   * @param axis the direction
   * @param measurement id of one measurement to use as it is; empty for all
   * @param since nothing older counts; empty for no bound
   * @throws BadInputException if there is nothing in that direction that a limit can be had of
   */
  public static SavedDynamics of(
      SavedSetUp saved, String axis, Optional<String> measurement, Optional<Instant> since) {
    String id = saved.setUp().id();
    List<SavedMeasurement> along = saved.along(axis);
    if (measurement.isPresent()) {
      List<String> known = along.stream().map(SavedMeasurement::id).toList();
      SavedMeasurement one =
          along.stream()
              .filter(m -> m.id().equals(measurement.get()))
              .findFirst()
              .orElseThrow(
                  () ->
                      new BadInputException(
                          "set-up \""
                              + id
                              + "\" has no measurement \""
                              + measurement.get()
                              + "\" in "
                              + axis
                              + Names.closest(measurement.get(), known)
                                  .map(n -> "; did you mean \"" + n + "\"?")
                                  .orElse(
                                      known.isEmpty() ? "" : "; it has " + String.join(", ", known))
                              + damaged(saved, axis)));
      return alone(saved, one);
    }
    if (along.isEmpty()) {
      List<String> damaged = saved.damagedAlong(axis);
      throw new BadInputException(
          damaged.isEmpty()
              ? "set-up \"" + id + "\" has no measurement in " + axis + has(saved)
              : "what was measured of set-up \""
                  + id
                  + "\" in "
                  + axis
                  + " is damaged: "
                  + String.join("; ", damaged)
                  + "; "
                  + mend(id));
    }
    List<SavedMeasurement> counted =
        along.stream().filter(m -> since.isEmpty() || !m.date().isBefore(since.get())).toList();
    if (counted.isEmpty()) {
      throw new BadInputException(
          "set-up \""
              + id
              + "\" was not measured in "
              + axis
              + " since "
              + since.orElseThrow()
              + "; last on "
              + along.get(along.size() - 1).date());
    }
    List<SavedMeasurement> withModes = counted.stream().filter(m -> m.model().isPresent()).toList();
    List<SavedMeasurement> usable = once(withModes);
    if (usable.isEmpty()) {
      return alone(saved, counted.get(counted.size() - 1)); // says why not
    }
    SavedMeasurement latest = usable.get(usable.size() - 1);
    List<List<SavedMeasurement>> clampings = clampings(usable);
    List<String> remarks = new ArrayList<>();
    saved
        .damagedAlong(axis)
        .forEach(p -> remarks.add("a measurement cannot be read and does not count: " + p));
    if (usable.size() < withModes.size()) {
      remarks.add(
          String.format(
              Locale.ROOT,
              "%s: %d of %d measurements in %s repeat another one to the last digit, so they are"
                  + " the same taps, and count once",
              id,
              withModes.size() - usable.size(),
              counted.size(),
              axis));
    }
    if (withModes.size() < counted.size()) {
      remarks.add(
          String.format(
              Locale.ROOT,
              "%s: %d of %d measurements in %s know no stiffness and were left aside",
              id,
              counted.size() - withModes.size(),
              counted.size(),
              axis));
    }
    boolean drifts =
        usable.size() > 2
            && SetUpHistory.drifts(usable).stream().anyMatch(d -> d.frequency().isTrend());
    if (drifts && clampings.size() == 1) {
      SavedDynamics last = alone(saved, latest);
      remarks.addAll(last.remarks);
      remarks.add(
          id
              + ", "
              + axis
              + ": it drifts steadily from measurement to measurement, so the"
              + " latest is used as it is, not their mean");
      return new SavedDynamics(last.model, last.source, remarks);
    }
    if (drifts) {
      remarks.add(
          id
              + ", "
              + axis
              + ": it drifts steadily from clamping to clamping: the mean lags"
              + " behind; \"since\" leaves older measurements out");
    }
    if (usable.size() == 1) {
      SavedDynamics one = alone(saved, latest);
      remarks.addAll(0, one.remarks);
      return new SavedDynamics(one.model, one.source, remarks);
    }
    latest.remarks().forEach(r -> remarks.add(id + ": " + r));
    ClampingSpread.Result spread =
        ClampingSpread.of(
            clampings.stream()
                .map(c -> ClampingSpread.together(c.stream().map(SavedDynamics::modes).toList()))
                .toList());
    spread.remarks().forEach(r -> remarks.add(id + ", " + axis + ": " + r));
    ModalModel model = new ModalModel(spread.modes(), latest.model().orElseThrow().residual());
    String what =
        clampings.size() == 1
            ? usable.size() + " measurements of one clamping"
            : "mean of " + clampings.size() + " clampings";
    if (clampings.size() > 1) {
      remarks.add(
          String.format(
              Locale.ROOT,
              "%s, %s: %s; their scatter is in the sigmas%s",
              id,
              axis,
              what,
              clampings.size() < 5
                  ? String.format(
                      Locale.ROOT,
                      ", %.1f times as wide as it looks because %d clampings tell little",
                      ClampingSpread.factor(clampings.size()),
                      clampings.size())
                  : ""));
    }
    return new SavedDynamics(
        model,
        model.modes().size() + modeWord(model) + " of saved set-up " + id + ", " + what,
        remarks);
  }

  /** Without those that have the same modes as an earlier one, sigmas and all. */
  static List<SavedMeasurement> once(List<SavedMeasurement> measurements) {
    List<SavedMeasurement> all = new ArrayList<>();
    for (SavedMeasurement m : measurements) {
      boolean again =
          all.stream()
              .anyMatch(o -> o.modes().equals(m.modes()) && o.residual().equals(m.residual()));
      boolean certain = m.modes().stream().noneMatch(mode -> mode.frequencyHzSigma() > 0);
      if (!again || certain) {
        all.add(m);
      }
    }
    return all;
  }

  /** Measurements by clamping, the oldest first. */
  static List<List<SavedMeasurement>> clampings(List<SavedMeasurement> measurements) {
    List<List<SavedMeasurement>> all = new ArrayList<>();
    for (SavedMeasurement m : measurements) {
      if (all.isEmpty() || m.clampedAgain()) {
        all.add(new ArrayList<>());
      }
      all.get(all.size() - 1).add(m);
    }
    return all;
  }

  static List<Mode> modes(SavedMeasurement m) {
    return m.model().map(ModalModel::modes).orElse(List.of());
  }

  private static SavedDynamics alone(SavedSetUp saved, SavedMeasurement m) {
    String id = saved.setUp().id();
    ModalModel model =
        m.model()
            .orElseThrow(
                () ->
                    new BadInputException(
                        "measurement \""
                            + m.id()
                            + "\" of set-up \""
                            + id
                            + "\" has no "
                            + (m.modes().isEmpty()
                                ? "modes"
                                : "stiffness, since no force was measured: there are no limits of"
                                    + " depth or width")));
    return new SavedDynamics(
        model,
        model.modes().size() + modeWord(model) + " of saved set-up " + id + ", " + m.id(),
        m.remarks().stream().map(r -> id + ": " + r).toList());
  }

  private static String modeWord(ModalModel model) {
    return model.modes().size() == 1 ? " mode" : " modes";
  }

  private static String damaged(SavedSetUp saved, String axis) {
    List<String> damaged = saved.damagedAlong(axis);
    return damaged.isEmpty()
        ? ""
        : "; damaged: " + String.join("; ", damaged) + "; " + mend(saved.setUp().id());
  }

  private static String mend(String id) {
    return "measure again and save it with "
        + id
        + ", or bring the file back from a backup; rigid would be a guess";
  }

  private static String has(SavedSetUp saved) {
    String axes =
        saved.measurements().stream()
            .map(SavedMeasurement::axis)
            .distinct()
            .sorted()
            .collect(Collectors.joining(", "));
    return axes.isEmpty() ? "; nothing was measured yet" : "; it has " + axes;
  }
}

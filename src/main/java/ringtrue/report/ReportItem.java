package ringtrue.report;

import java.util.List;
import java.util.Optional;
import ringtrue.acquisition.TapRecording;
import ringtrue.dynamics.FrequencyResponse;
import ringtrue.fitting.FittedModes;
import ringtrue.library.Cut;
import ringtrue.library.DecayMeasurement;
import ringtrue.library.InputFiles;
import ringtrue.planning.CutPlan;
import ringtrue.signal.AveragedResponse;
import ringtrue.stability.StabilityMap;

/** One thing that a report tells about, with the files that it rests on. */
public sealed interface ReportItem {

  /** Files that were read for it, the one that was named first. */
  List<InputFiles.Source> sources();

  /**
   * A result, or why there is none.
   *
   * @param result what was found
   * @param problem a sentence where nothing was; empty otherwise
   */
  record Found<T>(Optional<T> result, String problem) {
    public static <T> Found<T> of(T result) {
      return new Found<>(Optional.of(result), "");
    }

    public static <T> Found<T> none(String problem) {
      return new Found<>(Optional.empty(), problem);
    }
  }

  /**
   * Taps with a measured force.
   *
   * @param calibrationFactor what the response was divided by; 1 where nothing was
   * @param modes modes, or why they could not be fitted
   * @param remarks what the reader should know, of the response and of the modes
   */
  record Taps(
      List<InputFiles.Source> sources,
      TapRecording recording,
      double calibrationFactor,
      AveragedResponse averaged,
      Found<FittedModes> modes,
      List<String> remarks)
      implements ReportItem {
    public Taps {
      sources = List.copyOf(sources);
      remarks = List.copyOf(remarks);
    }
  }

  /** A frequency response that was read from a file. */
  record Response(
      List<InputFiles.Source> sources,
      FrequencyResponse response,
      Found<FittedModes> modes,
      List<String> remarks)
      implements ReportItem {
    public Response {
      sources = List.copyOf(sources);
      remarks = List.copyOf(remarks);
    }
  }

  /** Taps without a measured force. */
  record Decays(List<InputFiles.Source> sources, TapRecording recording, DecayMeasurement measured)
      implements ReportItem {
    public Decays {
      sources = List.copyOf(sources);
    }
  }

  /**
   * A cut.
   *
   * @param map lobes, or why they could not be computed
   * @param plan limits and better cuts, or why they could not be judged
   * @param outcomes what cuts with its saved set-ups did; empty where it names none
   * @param remarks what the reader should know, of cut, lobes and plan
   */
  record Planned(
      List<InputFiles.Source> sources,
      Cut cut,
      Found<StabilityMap> map,
      Found<CutPlan> plan,
      Optional<CutOutcomes> outcomes,
      List<String> remarks)
      implements ReportItem {
    public Planned {
      sources = List.copyOf(sources);
      remarks = List.copyOf(remarks);
    }

    /** The same where what was measured may not belong to the cut: sentences why. */
    public Planned doubted(List<String> why) {
      return new Planned(
          sources,
          cut,
          map,
          new Found<>(plan.result().map(p -> p.doubted(why)), plan.problem()),
          outcomes,
          remarks);
    }
  }
}

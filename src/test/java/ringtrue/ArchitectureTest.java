package ringtrue;

import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.noClasses;
import static com.tngtech.archunit.library.Architectures.layeredArchitecture;
import static com.tngtech.archunit.library.dependencies.SlicesRuleDefinition.slices;

import com.tngtech.archunit.core.importer.ImportOption;
import com.tngtech.archunit.junit.AnalyzeClasses;
import com.tngtech.archunit.junit.ArchTest;
import com.tngtech.archunit.lang.ArchRule;

/** The package arrows of the design, and a few habits. */
@AnalyzeClasses(packages = "ringtrue", importOptions = ImportOption.DoNotIncludeTests.class)
class ArchitectureTest {

  @ArchTest
  static final ArchRule ARROWS =
      layeredArchitecture()
          .consideringOnlyDependenciesInLayers()
          .withOptionalLayers(true)
          .layer("units")
          .definedBy("ringtrue.units..")
          .layer("dynamics")
          .definedBy("ringtrue.dynamics..")
          .layer("acquisition")
          .definedBy("ringtrue.acquisition..")
          .layer("fitting")
          .definedBy("ringtrue.fitting..")
          .layer("stability")
          .definedBy("ringtrue.stability..")
          .layer("signal")
          .definedBy("ringtrue.signal..")
          .layer("planning")
          .definedBy("ringtrue.planning..")
          .layer("library")
          .definedBy("ringtrue.library..")
          .layer("report")
          .definedBy("ringtrue.report..")
          .layer("cli")
          .definedBy("ringtrue.cli..")
          .layer("ui")
          .definedBy("ringtrue.ui..")
          .whereLayer("cli")
          .mayNotBeAccessedByAnyLayer()
          .whereLayer("ui")
          .mayOnlyBeAccessedByLayers("cli")
          .whereLayer("report")
          .mayOnlyBeAccessedByLayers("cli", "ui")
          .whereLayer("library")
          .mayOnlyBeAccessedByLayers("report", "cli", "ui")
          .whereLayer("planning")
          .mayOnlyBeAccessedByLayers("library", "report", "cli", "ui")
          .whereLayer("signal")
          .mayOnlyBeAccessedByLayers("library", "report", "cli", "ui")
          .whereLayer("stability")
          .mayOnlyBeAccessedByLayers("planning", "library", "report", "cli", "ui")
          .whereLayer("fitting")
          .mayOnlyBeAccessedByLayers("library", "report", "cli", "ui")
          .whereLayer("acquisition")
          .mayOnlyBeAccessedByLayers("signal", "library", "report", "cli", "ui")
          .whereLayer("units")
          .mayNotAccessAnyLayer();

  @ArchTest
  static final ArchRule NO_CIRCLES = slices().matching("ringtrue.(*)..").should().beFreeOfCycles();

  @ArchTest
  static final ArchRule NUMBERS_DO_NOT_TALK =
      noClasses()
          .that()
          .resideInAnyPackage(
              "ringtrue.units..",
              "ringtrue.dynamics..",
              "ringtrue.acquisition..",
              "ringtrue.signal..",
              "ringtrue.fitting..",
              "ringtrue.stability..",
              "ringtrue.planning..")
          .should()
          .accessField(System.class, "out")
          .orShould()
          .accessField(System.class, "err")
          .because("numerical classes neither print nor log");
}

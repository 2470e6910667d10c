package ringtrue.ui.job;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.FileTime;
import java.time.Instant;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import ringtrue.library.SetUp;
import ringtrue.units.BadInputException;

/** Folders of jobs: locked, broken off, binned, removed. */
class JobFolderTest {
  @TempDir Path root;

  private static Job named(String name) {
    return Job.EMPTY.with(SetUp.Field.NAME, name);
  }

  private Path closed(String name) {
    JobFolder folder = JobFolder.create(root);
    folder.write(named(name));
    folder.close();
    return folder.path();
  }

  @Test
  void whatIsWorkedOnIsSeenAndNotOpenedTwice() {
    try (JobFolder open = JobFolder.create(root)) {
      open.write(named("open"));
      assertThat(JobFolder.in(root)).singleElement().matches(f -> f.inUse() && !f.brokenOff());
      assertThatThrownBy(() -> JobFolder.open(open.path()))
          .isInstanceOf(BadInputException.class)
          .hasMessageContaining("another window");
      assertThatThrownBy(() -> JobFolder.toBin(open.path())).isInstanceOf(BadInputException.class);
    }
    assertThat(JobFolder.in(root)).hasSize(1).allMatch(f -> !f.brokenOff());
  }

  @Test
  void aLockThatNobodyHoldsTellsOfAKill() throws Exception {
    Path path = closed("killed");
    Files.writeString(path.resolve("in-use"), "");
    assertThat(JobFolder.in(root)).singleElement().matches(JobFolder.Found::brokenOff);
    JobFolder.open(path).close();
    assertThat(JobFolder.in(root)).singleElement().matches(f -> !f.brokenOff());
  }

  @Test
  void theNewestComesFirstByAnyOfItsFiles() throws Exception {
    Path first = closed("first");
    Path second = closed("second");
    Files.setLastModifiedTime(
        second.resolve("job.json"), FileTime.from(Instant.now().minusSeconds(60)));
    Files.setLastModifiedTime(
        first.resolve("job.json"), FileTime.from(Instant.now().minusSeconds(600)));
    assertThat(JobFolder.in(root).get(0).folder()).isEqualTo(second);
    Files.writeString(first.resolve("tool-x.wav"), "");
    assertThat(JobFolder.in(root).get(0).folder()).isEqualTo(first);
  }

  @Test
  void binnedItIsNotOfferedAndComesBack() {
    Path path = closed("binned");
    Path bin = JobFolder.toBin(path);
    assertThat(path).doesNotExist();
    assertThat(JobFolder.in(root)).isEmpty();
    Path back = JobFolder.fromBin(bin);
    assertThat(back).isEqualTo(path);
    assertThat(JobFolder.job(back)).isEqualTo(named("binned"));
  }

  @Test
  void foldersOfTheSameSecondHaveNamesOfTheirOwn() {
    assertThat(closed("one")).isNotEqualTo(closed("two"));
    assertThat(JobFolder.in(root)).hasSize(2);
  }

  @Test
  void freeNamesAreFreeWithEveryEnding() throws Exception {
    try (JobFolder folder = JobFolder.create(root)) {
      assertThat(folder.freeName("tool-x", ".json", ".wav")).isEqualTo("tool-x");
      Files.writeString(folder.file("tool-x.wav"), "");
      assertThat(folder.freeName("tool-x", ".json", ".wav")).isEqualTo("tool-x-2");
      assertThat(folder.freeName("tool-x", ".json")).isEqualTo("tool-x");
    }
  }

  @Test
  void removedItIsGoneWithAllThatIsInIt() throws Exception {
    Path path = closed("gone");
    Files.writeString(Files.createDirectories(path.resolve("deep/er")).resolve("file"), "");
    JobFolder.remove(path);
    assertThat(path).doesNotExist();
  }

  @Test
  void whatCannotBeReadIsLeftOut() throws Exception {
    Path path = closed("damaged");
    Files.writeString(path.resolve("job.json"), "{ half");
    Files.createDirectories(root.resolve("empty"));
    assertThat(JobFolder.in(root)).isEmpty();
    assertThatThrownBy(() -> JobFolder.job(path)).isInstanceOf(BadInputException.class);
    assertThat(JobFolder.in(root.resolve("nowhere"))).isEmpty();
  }
}

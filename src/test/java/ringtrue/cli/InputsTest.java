package ringtrue.cli;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import org.junit.jupiter.api.Test;

/** Whatever this computer has, perhaps nothing: a list, no stack trace, exit code 0. */
class InputsTest {
  @Test
  void listsWhatThereIsAsJson() throws IOException {
    CommandRun run = CommandRun.of("inputs", "--json");
    assertThat(run.code()).isZero();
    JsonNode all = new ObjectMapper().readTree(run.out());
    assertThat(all.get("inputs").isArray()).isTrue();
    if (all.get("inputs").isEmpty()) {
      assertThat(run.err()).startsWith("remark: no sound input was found");
    }
    for (JsonNode input : all.get("inputs")) {
      assertThat(input.get("name").asText()).isNotEmpty();
      boolean offers = !input.get("offers").isEmpty();
      assertThat(input.get("remark").asText().isEmpty()).isEqualTo(offers);
    }
    assertThat(run.err()).doesNotContain("Exception");
  }

  @Test
  void listsWhatThereIsToRead() {
    CommandRun run = CommandRun.of("inputs");
    assertThat(run.code()).isZero();
    assertThat(run.err()).isEmpty();
    assertThat(run.out()).isNotBlank().doesNotContain("Exception");
  }
}

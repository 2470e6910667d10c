package ringtrue;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.Test;

/** Every library that goes into the jar is listed with its version and its licence. */
class LicencesTest {
  private static final Pattern DEPENDENCY =
      Pattern.compile(
          "<dependency>\\s*(?:<!--[^>]*-->\\s*)?<groupId>([^<]+)</groupId>\\s*"
              + "<artifactId>([^<]+)</artifactId>\\s*<version>([^<]+)</version>(.*?)</dependency>",
          Pattern.DOTALL);

  @Test
  void everyBundledLibraryIsListed() throws IOException {
    String listed;
    try (InputStream in = LicencesTest.class.getResourceAsStream("/META-INF/THIRD-PARTY.txt")) {
      listed = new String(in.readAllBytes(), StandardCharsets.UTF_8);
    }
    Matcher found = DEPENDENCY.matcher(Files.readString(Path.of("pom.xml")));
    int bundled = 0;
    while (found.find()) {
      if (!found.group(4).contains("<scope>test</scope>")) {
        assertThat(listed).contains(found.group(1) + ":" + found.group(2) + ":" + found.group(3));
        bundled++;
      }
    }
    assertThat(bundled).isGreaterThan(10);
  }
}

import java.awt.image.BufferedImage;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import javax.imageio.ImageIO;
import ringtrue.ui.kit.AppIcon;

/**
 * Writes the program's icon as the file that a platform's launcher wants: PNG, or PNG images inside
 * an ICO or ICNS file; for BuildImage.
 */
public final class IconFile {
  private static final int[] ICO = {16, 24, 32, 48, 64, 128, 256};
  private static final int[] ICNS = {128, 256, 512, 1024};
  private static final String[] ICNS_TYPES = {"ic07", "ic08", "ic09", "ic10"};

  public static void main(String[] args) throws IOException {
    Path file = Path.of(args[0]);
    String name = file.getFileName().toString();
    byte[] content =
        name.endsWith(".ico") ? ico() : name.endsWith(".icns") ? icns() : png(512);
    Files.write(file, content);
  }

  private static byte[] png(int size) throws IOException {
    BufferedImage image = new BufferedImage(size, size, BufferedImage.TYPE_INT_ARGB);
    image.createGraphics().drawImage(AppIcon.image(size), 0, 0, size, size, null);
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    ImageIO.write(image, "png", out);
    return out.toByteArray();
  }

  /** Header, an entry of 16 bytes for each image, then the images. */
  private static byte[] ico() throws IOException {
    List<byte[]> images = new ArrayList<>();
    for (int size : ICO) {
      images.add(png(size));
    }
    int all = 6 + 16 * ICO.length + images.stream().mapToInt(i -> i.length).sum();
    ByteBuffer file = ByteBuffer.allocate(all).order(ByteOrder.LITTLE_ENDIAN);
    file.putShort((short) 0).putShort((short) 1).putShort((short) ICO.length);
    int at = 6 + 16 * ICO.length;
    for (int i = 0; i < ICO.length; i++) {
      file.put((byte) ICO[i]).put((byte) ICO[i]).put((byte) 0).put((byte) 0);
      file.putShort((short) 1).putShort((short) 32).putInt(images.get(i).length).putInt(at);
      at += images.get(i).length;
    }
    images.forEach(file::put);
    return file.array();
  }

  /** Magic word and length, then for each image its type, its length with both, and the image. */
  private static byte[] icns() throws IOException {
    List<byte[]> images = new ArrayList<>();
    for (int size : ICNS) {
      images.add(png(size));
    }
    int all = 8 + images.stream().mapToInt(i -> 8 + i.length).sum();
    ByteBuffer file = ByteBuffer.allocate(all);
    file.put("icns".getBytes(StandardCharsets.US_ASCII)).putInt(all);
    for (int i = 0; i < ICNS.length; i++) {
      file.put(ICNS_TYPES[i].getBytes(StandardCharsets.US_ASCII));
      file.putInt(8 + images.get(i).length).put(images.get(i));
    }
    return file.array();
  }
}

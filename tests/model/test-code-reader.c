/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Bars and QR codes are drawn here, with the encoder of another library (libqrencode) and the symbols of ISO/IEC 15417
 * (Code 128, table 1, from memory), and read back: upright, at angles, blurred, in noise, in a large photo. A camera
 * is played by a file of pictures. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include <glib/gstdio.h>
#include <math.h>
#include <qrencode.h>
#include <string.h>

#include "bl-camera.h"
#include "bl-code-reader.h"
#include "bl-code-text.h"

#define UID "0f3c91d27a554f06b1c28e90d3ab4410"

static const char *const symbols[] = {
  "212222", "222122", "222221", "121223", "121322", "131222", "122213", "122312", "132212", "221213", "221312", "231212",
  "112232", "122132", "122231", "113222", "123122", "123221", "223211", "221132", "221231", "213212", "223112", "312131",
  "311222", "321122", "321221", "312212", "322112", "322211", "212123", "212321", "232121", "111323", "131123", "131321",
  "112313", "132113", "132311", "211313", "231113", "231311", "112133", "112331", "132131", "113123", "113321", "133121",
  "313121", "211331", "231131", "213113", "213311", "213131", "311123", "311321", "331121", "312113", "312311", "332111",
  "314111", "221411", "431111", "111224", "111422", "121124", "121421", "141122", "141221", "112214", "112412", "122114",
  "122411", "142112", "142211", "241211", "221114", "413111", "241112", "134111", "111242", "121142", "121241", "114212",
  "124112", "124211", "411212", "421112", "421211", "212141", "214121", "412121", "111143", "111341", "131141", "114113",
  "114311", "411113", "411311", "113141", "114131", "311141", "411131", "211412", "211214", "211232", "2331112",
};
#define FNC1 102
#define START_B 104
#define STOP 106

/* Dark modules: rows of a QR code, or one row that stands for bars of any height. */
typedef struct
{
  GByteArray *dark;
  int width, height; /* modules */
} Modules;

static void
add_symbol (GByteArray *dark, guint value)
{
  for (const char *at = symbols[value]; *at != '\0'; at++)
    for (int i = 0; i < *at - '0'; i++)
      {
        guint8 one = (at - symbols[value]) % 2 == 0;
        g_byte_array_append (dark, &one, 1);
      }
}

/* Code set B; GS stands for FNC1. */
static Modules
bars (const char *text)
{
  GByteArray *dark = g_byte_array_new ();
  guint sum = START_B, place = 1;

  add_symbol (dark, START_B);
  for (; *text != '\0'; text++, place++)
    {
      guint value = *text == '\x1d' ? FNC1 : (guint) (*text - ' ');
      add_symbol (dark, value);
      sum += place * value;
    }
  add_symbol (dark, sum % 103);
  add_symbol (dark, STOP);
  return (Modules){ dark, (int) dark->len, 1 };
}

static Modules
square (const char *text)
{
  QRcode *code = QRcode_encodeString (text, 0, QR_ECLEVEL_M, QR_MODE_8, 1);
  GByteArray *dark = g_byte_array_new ();

  g_assert_nonnull (code);
  for (int i = 0; i < code->width * code->width; i++)
    {
      guint8 one = code->data[i] & 1;
      g_byte_array_append (dark, &one, 1);
    }
  Modules modules = { dark, code->width, code->width };
  QRcode_free (code);
  return modules;
}

typedef struct
{
  double module; /* px */
  double angle;  /* degrees */
  double blur;   /* half width of the square it is averaged over, px */
  double noise;  /* most, of 255 */
  int width, height;
} Look;

static double
light_at (const Modules *modules, const Look *look, double x, double y)
{
  double c = cos (look->angle * G_PI / 180), s = sin (look->angle * G_PI / 180);
  double dx = x - look->width / 2.0, dy = y - look->height / 2.0;
  int column = (int) floor ((dx * c + dy * s) / look->module + modules->width / 2.0);
  int tall = modules->height > 1 ? modules->height : 40, row = (int) floor ((dy * c - dx * s) / look->module + tall / 2.0);

  if (column < 0 || column >= modules->width || row < 0 || row >= tall)
    return 225;
  return modules->dark->data[(modules->height > 1 ? row * modules->width : 0) + column] ? 35 : 225;
}

static guint8 *
picture (const Modules *modules, const Look *look)
{
  guint8 *grey = g_malloc ((gsize) look->width * (gsize) look->height);
  g_autoptr (GRand) rand = g_rand_new_with_seed (7);

  for (int y = 0; y < look->height; y++)
    for (int x = 0; x < look->width; x++)
      {
        double sum = 0;
        for (int i = 0; i < 9; i++)
          sum += light_at (modules, look, x + 0.5 + (i % 3 - 1) * look->blur, y + 0.5 + (i / 3 - 1) * look->blur);
        grey[y * look->width + x] = (guint8) CLAMP (sum / 9 + g_rand_double_range (rand, -1, 1) * look->noise, 0, 255);
      }
  return grey;
}

static void
assert_read (Modules modules, const Look *look, const char *expected)
{
  g_autofree guint8 *grey = picture (&modules, look);
  g_autoptr (GPtrArray) codes
    = bl_codes_read (grey, (guint) look->width, (guint) look->height, (gsize) look->width, NULL);

  g_test_message ("module %g px at %g degrees, blur %g, noise %g", look->module, look->angle, look->blur, look->noise);
  g_assert_cmpuint (codes->len, ==, 1);
  g_assert_cmpstr (((const BlCode *) g_ptr_array_index (codes, 0))->text, ==, expected);
  g_byte_array_unref (modules.dark);
}

static void
test_angles (void)
{
  for (double angle = 0; angle < 360; angle += 31)
    {
      Look look = { 4, angle, 0.7, 10, 560, 560 };
      assert_read (square ("benchlore:job/" UID), &look, "benchlore:job/" UID);
      look.module = 3;
      assert_read (bars ("W3-2207-0117"), &look, "W3-2207-0117");
    }
}

static void
test_poor (void)
{
  static const Look looks[] = {
    { 3, 0, 0.9, 15, 300, 300 },   /* out of focus, dim */
    { 5, 8, 1.5, 15, 400, 400 },
    { 4, 0, 0.5, 15, 3600, 2700 }, /* small on a photo of ten million pixels */
  };

  for (guint i = 0; i < G_N_ELEMENTS (looks); i++)
    assert_read (square ("W3-2207-0117"), &looks[i], "W3-2207-0117");
}

static void
test_gs1 (void)
{
  Look look = { 2, 0, 0.3, 0, 900, 300 };
  g_autoptr (BlCodeText) text = NULL;

  /* FNC1 first says GS1, later it ends a field. */
  assert_read (bars ("\x1d" "0109501101530003" "21A1\x1d" "240BX"), &look, "]C10109501101530003" "21A1\x1d" "240BX");
  text = bl_code_text_read ("]C10109501101530003" "21A1\x1d" "240BX");
  g_assert_cmpuint (text->parts->len, ==, 3);
}

static void
test_none (void)
{
  Modules none = { g_byte_array_new (), 0, 1 };
  Look look = { 4, 0, 0, 60, 640, 480 };
  g_autofree guint8 *grey = picture (&none, &look);
  g_autoptr (GPtrArray) codes = bl_codes_read (grey, 640, 480, 640, NULL);
  g_autoptr (GCancellable) cancelled = g_cancellable_new ();
  g_autoptr (GBytes) text = g_bytes_new_static ("no picture", 10);
  g_autoptr (GError) error = NULL;

  g_assert_cmpuint (codes->len, ==, 0);
  g_cancellable_cancel (cancelled);
  g_assert_null (bl_codes_read (grey, 640, 480, 640, cancelled));
  g_assert_null (bl_codes_read_image (text, NULL, &error));
  g_assert_nonnull (error);
  g_byte_array_unref (none.dark);
}

/* Begin, check and end alone, as now and then in noise: what says nothing is no code. */
static void
test_nothing_said (void)
{
  Look look = { 3, 0, 0, 0, 640, 480 };
  Modules modules = bars ("");
  g_autofree guint8 *grey = picture (&modules, &look);
  g_autoptr (GPtrArray) codes = bl_codes_read_frame (grey, 640, 480, 640);

  g_assert_cmpuint (codes->len, ==, 0);
  assert_read (bars ("A1"), &look, "A1"); /* that it is no question of the picture */
  g_byte_array_unref (modules.dark);
}

/* --- the camera --- */

typedef struct
{
  GMainLoop *loop;
  guint frames;
  char *code, *trouble;
} Watch;

static void
frame_came (BlCamera *camera, Watch *watch)
{
  int width = 0, height = 0, stride = 0;
  g_autoptr (GBytes) frame = bl_camera_get_frame (camera, &width, &height, &stride);

  g_assert_nonnull (frame);
  g_assert_cmpuint (g_bytes_get_size (frame), ==, (gsize) stride * (gsize) height);
  watch->frames++;
}

static void
code_came (BlCamera *camera, const char *text, Watch *watch)
{
  g_free (watch->code);
  watch->code = g_strdup (text);
  g_main_loop_quit (watch->loop);
}

static void
trouble_came (BlCamera *camera, const char *message, Watch *watch)
{
  g_free (watch->trouble);
  watch->trouble = g_strdup (message);
  g_main_loop_quit (watch->loop);
}

static gboolean
give_up (gpointer data)
{
  g_error ("nothing came from the camera");
  return G_SOURCE_REMOVE;
}

static void
run_camera (BlCamera *camera, Watch *watch)
{
  guint patience = g_timeout_add_seconds (60, give_up, NULL);

  g_signal_connect (camera, "frame", G_CALLBACK (frame_came), watch);
  g_signal_connect (camera, "code", G_CALLBACK (code_came), watch);
  g_signal_connect (camera, "trouble", G_CALLBACK (trouble_came), watch);
  watch->loop = g_main_loop_new (NULL, FALSE);
  bl_camera_start (camera);
  g_main_loop_run (watch->loop);
  g_main_loop_unref (watch->loop);
  g_source_remove (patience);
}

static void
watch_clear (Watch *watch)
{
  g_free (watch->code);
  g_free (watch->trouble);
}

/* Writes the picture as a portable grey map, which GStreamer's own decoders read through a PNG. */
static char *
write_picture (const char *folder, Modules modules)
{
  Look look = { 6, 12, 0.6, 12, 640, 480 };
  g_autofree guint8 *grey = picture (&modules, &look);
  g_autoptr (GByteArray) rgb = g_byte_array_new ();
  char *path = g_build_filename (folder, "frames.raw", NULL);

  /* Thirty frames, as a camera gives them. */
  for (int n = 0; n < 30; n++)
    g_byte_array_append (rgb, grey, 640 * 480);
  g_assert_true (g_file_set_contents (path, (const char *) rgb->data, (gssize) rgb->len, NULL));
  g_byte_array_unref (modules.dark);
  return path;
}

static void
test_camera (void)
{
  g_autofree char *folder = g_dir_make_tmp ("benchlore-XXXXXX", NULL);
  g_autofree char *path = write_picture (folder, square ("benchlore:job/" UID));
  g_autofree char *source = g_strdup_printf ("filesrc location=%s ! rawvideoparse width=640 height=480 format=gray8 "
                                             "framerate=10/1", path);
  g_autoptr (BlCamera) camera = bl_camera_new (source);
  Watch watch = { NULL };

  run_camera (camera, &watch);
  g_assert_cmpstr (watch.trouble, ==, NULL);
  g_assert_cmpstr (watch.code, ==, "benchlore:job/" UID);
  g_assert_cmpuint (watch.frames, >, 0);
  g_assert_true (bl_camera_is_running (camera));
  bl_camera_stop (camera);
  g_assert_false (bl_camera_is_running (camera));
  watch_clear (&watch);
  g_assert_cmpint (g_remove (path), ==, 0);
  g_assert_cmpint (g_rmdir (folder), ==, 0);
}

/* What can be wrong is told and ends it; it never makes its caller wait. */
static void
assert_trouble (const char *source, guint patience, const char *part)
{
  g_autoptr (BlCamera) camera = bl_camera_new (source);
  Watch watch = { NULL };
  gint64 begun = g_get_monotonic_time ();

  bl_camera_set_patience (camera, patience);
  bl_camera_start (camera);
  bl_camera_stop (camera);
  g_assert_cmpint (g_get_monotonic_time () - begun, <, G_USEC_PER_SEC); /* the shortest patience below */
  run_camera (camera, &watch);
  g_test_message ("%s", watch.trouble);
  g_assert_nonnull (strstr (watch.trouble, part));
  g_assert_false (bl_camera_is_running (camera));
  watch_clear (&watch);
}

static void
test_trouble (void)
{
  assert_trouble ("v4l2src device=/dev/no-such-camera", 30, "no-such-camera");
  assert_trouble ("videotestsrc num-buffers=1", 30, "stopped giving pictures");
  assert_trouble ("nosuchelement", 30, "nosuchelement");
  /* One that is there and never gives anything. */
  assert_trouble ("appsrc caps=video/x-raw,format=GRAY8,width=64,height=64,framerate=5/1", 1, "does not answer");
  if (!g_file_test ("/dev/video0", G_FILE_TEST_EXISTS))
    assert_trouble (NULL, 30, "There is no camera");
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/model/code-reader/angles", test_angles);
  g_test_add_func ("/model/code-reader/poor", test_poor);
  g_test_add_func ("/model/code-reader/gs1", test_gs1);
  g_test_add_func ("/model/code-reader/none", test_none);
  g_test_add_func ("/model/code-reader/nothing-said", test_nothing_said);
  g_test_add_func ("/model/camera/code", test_camera);
  g_test_add_func ("/model/camera/trouble", test_trouble);
  return g_test_run ();
}

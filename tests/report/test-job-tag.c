/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The label of a job, rasterised as a label printer does it and read back by a library that shares nothing with the one
 * that made the code: upright, turned, blurred, at 203 dots an inch; and what is written on it. The white around the code,
 * four squares, is what ISO/IEC 18004 asks for. */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "bl-job-tag-draw.h"

#include <glib/gstdio.h>
#include <math.h>
#include <string.h>
#include <zbar.h>

#define LINK "benchlore:job/0f3c91d27a554f06b1c28e90d3ab4410"

static BlJobTag *
example (void)
{
  BlJobTag *tag = bl_job_tag_new ();

  tag->number = 1047;
  tag->customer = g_strdup ("Kaltenbrunner Haustechnik, Filiale Nord");
  tag->unit = g_strdup ("Hearthway 350, wall unit");
  tag->board = g_strdup ("BM-W350-CTL, edition C");
  tag->serial = g_strdup ("W3-2207-0117");
  tag->complaint = g_strdup ("Operation lamp blinks five times and the fan on the roof stands still after rain");
  tag->date = g_strdup ("26 Nov 2026");
  tag->link = g_strdup (LINK);
  return tag;
}

/* Black or white, as a thermal head prints, at dpi. */
static cairo_surface_t *
rasterise (const BlJobTag *tag, BlTagSize size, double dpi)
{
  double width, height, scale = dpi / 72;
  g_autoptr (GError) error = NULL;

  bl_tag_size_mm (size, &width, &height);
  cairo_surface_t *surface = cairo_image_surface_create (CAIRO_FORMAT_RGB24, (int) ceil (width / 25.4 * dpi),
                                                         (int) ceil (height / 25.4 * dpi));
  cairo_t *cr = cairo_create (surface);
  cairo_set_source_rgb (cr, 1, 1, 1);
  cairo_paint (cr);
  cairo_scale (cr, scale, scale);
  g_assert_true (bl_job_tag_draw (tag, cr, width / 25.4 * 72, height / 25.4 * 72, &error));
  g_assert_no_error (error);
  cairo_destroy (cr);
  cairo_surface_flush (surface);
  return surface;
}

/* A photo of it: turned, enlarged, on a grey ground, blurred by averaging over so many pixels to each side. */
static guint8 *
photo_of (cairo_surface_t *label, double angle, double zoom, int blur, int *side)
{
  int w = cairo_image_surface_get_width (label), h = cairo_image_surface_get_height (label);
  *side = (int) (hypot (w, h) * zoom) + 40;
  cairo_surface_t *surface = cairo_image_surface_create (CAIRO_FORMAT_RGB24, *side, *side);
  cairo_t *cr = cairo_create (surface);
  cairo_set_source_rgb (cr, 0.55, 0.55, 0.55);
  cairo_paint (cr);
  cairo_translate (cr, *side / 2.0, *side / 2.0);
  cairo_rotate (cr, angle);
  cairo_scale (cr, zoom, zoom);
  cairo_set_source_surface (cr, label, -w / 2.0, -h / 2.0);
  cairo_paint (cr);
  cairo_destroy (cr);
  cairo_surface_flush (surface);
  const guint8 *pixels = cairo_image_surface_get_data (surface);
  int stride = cairo_image_surface_get_stride (surface);
  guint8 *grey = g_malloc0 ((gsize) *side * (gsize) *side);
  for (int y = blur; y < *side - blur; y++)
    for (int x = blur; x < *side - blur; x++)
      {
        int sum = 0;
        for (int dy = -blur; dy <= blur; dy++)
          for (int dx = -blur; dx <= blur; dx++)
            sum += pixels[(y + dy) * stride + (x + dx) * 4 + 1];
        grey[y * *side + x] = (guint8) (sum / ((2 * blur + 1) * (2 * blur + 1)));
      }
  cairo_surface_destroy (surface);
  return grey;
}

static char *
read_code (guint8 *grey, int side)
{
  zbar_image_scanner_t *scanner = zbar_image_scanner_create ();
  zbar_image_t *image = zbar_image_create ();
  char *text = NULL;

  zbar_image_set_format (image, zbar_fourcc ('Y', '8', '0', '0'));
  zbar_image_set_size (image, (unsigned) side, (unsigned) side);
  zbar_image_set_data (image, grey, (unsigned long) side * (unsigned long) side, NULL);
  if (zbar_scan_image (scanner, image) == 1)
    text = g_strdup (zbar_symbol_get_data (zbar_image_first_symbol (image)));
  zbar_image_destroy (image);
  zbar_image_scanner_destroy (scanner);
  return text;
}

static void
assert_reads (cairo_surface_t *label, double degrees, double zoom, int blur)
{
  int side;
  g_autofree guint8 *grey = photo_of (label, degrees * G_PI / 180, zoom, blur, &side);
  g_autofree char *text = read_code (grey, side);

  g_test_message ("at %g degrees, %g px a dot, blurred by %d", degrees, zoom, blur);
  g_assert_cmpstr (text, ==, LINK);
}

static void
test_code (void)
{
  g_autoptr (BlJobTag) tag = example ();

  for (guint size = 0; size < BL_N_TAG_SIZES; size++)
    {
      double dpi = size < BL_TAG_A4 ? 203 : 150;
      cairo_surface_t *label = rasterise (tag, (BlTagSize) size, dpi);
      assert_reads (label, 0, 1, 0);
      if (size < BL_TAG_A4)
        {
          assert_reads (label, 90, 1, 0);
          assert_reads (label, 180, 1, 1);
          assert_reads (label, 33, 1.3, 1);
          assert_reads (label, -75, 0.8, 0);
          assert_reads (label, 7, 1.5, 2);
        }
      cairo_surface_destroy (label);
    }
}

/* At 203.2 dots an inch every square of the code is the same number of dots wide, and none is grey. */
static void
test_dots (void)
{
  g_autoptr (BlJobTag) tag = example ();
  cairo_surface_t *label = rasterise (tag, BL_TAG_62X29, 203.2);
  const guint8 *pixels = cairo_image_surface_get_data (label);
  int stride = cairo_image_surface_get_stride (label), width = cairo_image_surface_get_width (label);
  int height = cairo_image_surface_get_height (label), shortest = width;
  int begin = width * 58 / 100; /* in the white left of the code */

  for (int y = 0; y < height; y++)
    for (int x = begin, run = 0; x < width; x++)
      {
        guint8 value = pixels[y * stride + x * 4 + 1];
        g_assert_true (value == 0 || value == 255);
        run = x > begin && value == pixels[y * stride + (x - 1) * 4 + 1] ? run + 1 : 1;
        if (x + 1 < width && value != pixels[y * stride + (x + 1) * 4 + 1] && run > 1)
          shortest = MIN (shortest, run);
      }
  /* 29 mm less two edges of 1.5 mm, for 33 squares and 8 of white: 5 dots of 1/8 mm. */
  g_assert_cmpint (shortest, ==, 5);
  cairo_surface_destroy (label);
}

static char *
text_of (const BlJobTag *tag, BlTagSize size, const char *what)
{
  g_autofree char *program = g_find_program_in_path (what), *path = NULL;
  g_autoptr (GError) error = NULL;
  char *text = NULL;
  int fd = g_file_open_tmp ("benchlore-XXXXXX.pdf", &path, &error);

  g_assert_no_error (error);
  g_assert_true (g_close (fd, NULL));
  g_assert_true (bl_job_tag_write_pdf (tag, size, path, &error));
  g_assert_no_error (error);
  if (program != NULL)
    {
      const char *const arguments[] = { program, path, g_str_equal (what, "pdftotext") ? "-" : NULL, NULL };
      g_spawn_sync (NULL, (char **) arguments, NULL, G_SPAWN_DEFAULT, NULL, NULL, &text, NULL, NULL, &error);
      g_assert_no_error (error);
    }
  g_unlink (path);
  return text;
}

static void
test_words (void)
{
  static const char *const words[] = { "1047", "Kaltenbrunner", "Hearthway 350", "BM-W350-CTL, edition C", "W3-2207-0117",
                                       "26 Nov 2026", "Operation lamp" };
  g_autoptr (BlJobTag) tag = example ();

  for (guint size = 0; size < BL_N_TAG_SIZES; size++)
    {
      g_autofree char *text = text_of (tag, (BlTagSize) size, "pdftotext");
      if (text == NULL)
        {
          g_test_skip ("pdftotext is not installed");
          return;
        }
      for (guint i = 0; i < G_N_ELEMENTS (words); i++)
        if (strstr (text, words[i]) == NULL)
          g_error ("%s is not on the label %s: %s", words[i], bl_tag_size_name ((BlTagSize) size), text);
    }
}

/* Nothing is written over the code or beyond the paper: with the longest words all dark dots but the code's lie left of
 * it, and the edges stay white. */
static void
test_room (void)
{
  g_autoptr (BlJobTag) tag = example ();
  g_autofree char *paper = text_of (tag, BL_TAG_62X29, "pdfinfo");

  if (paper != NULL) /* 62 by 29 mm */
    g_assert_nonnull (strstr (paper, "175.748 x 82.2047 pts"));
  g_free (tag->complaint);
  tag->complaint = g_strnfill (2000, 'W');
  g_free (tag->customer);
  tag->customer = g_strnfill (200, 'M');
  tag->number = 123456789;
  cairo_surface_t *label = rasterise (tag, BL_TAG_62X29, 203);
  assert_reads (label, 0, 1, 0);
  const guint8 *pixels = cairo_image_surface_get_data (label);
  int stride = cairo_image_surface_get_stride (label), width = cairo_image_surface_get_width (label);
  int height = cairo_image_surface_get_height (label), edge = (int) (1.2 / 25.4 * 203);
  for (int y = 0; y < height; y++)
    for (int x = 0; x < width; x++)
      if (y < edge || y >= height - edge || x < edge || x >= width - edge)
        g_assert_cmpint (pixels[y * stride + x * 4 + 1], ==, 255);
  cairo_surface_destroy (label);
}

static void
test_sizes (void)
{
  BlTagSize size;

  for (guint i = 0; i < BL_N_TAG_SIZES; i++)
    {
      g_assert_true (bl_tag_size_parse (bl_tag_size_name ((BlTagSize) i), &size));
      g_assert_cmpint (size, ==, i);
    }
  g_assert_false (bl_tag_size_parse ("100x100", &size));
}

static void
test_too_long (void)
{
  g_autoptr (BlJobTag) tag = example ();
  cairo_surface_t *surface = cairo_image_surface_create (CAIRO_FORMAT_RGB24, 10, 10);
  cairo_t *cr = cairo_create (surface);
  g_autoptr (GError) error = NULL;

  g_free (tag->link);
  tag->link = g_strnfill (4000, 'x');
  g_assert_false (bl_job_tag_draw (tag, cr, 175, 82, &error));
  g_assert_nonnull (error);
  cairo_destroy (cr);
  cairo_surface_destroy (surface);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/report/job-tag/sizes", test_sizes);
  g_test_add_func ("/report/job-tag/code", test_code);
  g_test_add_func ("/report/job-tag/dots", test_dots);
  g_test_add_func ("/report/job-tag/words", test_words);
  g_test_add_func ("/report/job-tag/room", test_room);
  g_test_add_func ("/report/job-tag/too-long", test_too_long);
  return g_test_run ();
}

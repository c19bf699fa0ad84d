/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The sheet of test points: every measurement has its place, numbers and cautions are there. */
#include "config.h"

#include "bl-point-sheet-draw.h"

#include <cairo-pdf.h>
#include <gdk-pixbuf/gdk-pixbuf.h>
#include <glib/gstdio.h>
#include <math.h>
#include <string.h>

static GBytes *
picture (int width, int height)
{
  g_autoptr (GdkPixbuf) pixbuf = gdk_pixbuf_new (GDK_COLORSPACE_RGB, FALSE, 8, width, height);
  char *data;
  gsize size;

  gdk_pixbuf_fill (pixbuf, 0x406040ff);
  g_assert_true (gdk_pixbuf_save_to_buffer (pixbuf, &data, &size, "png", NULL, NULL));
  return g_bytes_new_take (data, size);
}

/* A sheet with so many points in a row, each read in two states. */
static BlPointSheet *
make_sheet (guint n)
{
  BlPointSheet *sheet = bl_point_sheet_new ();
  g_autoptr (GBytes) image = picture (1200, 800);

  sheet->board = g_strdup ("RB-17, edition C");
  sheet->date = g_strdup ("2026-11-25");
  sheet->volts = 325;
  BlPointPhoto *photo = bl_point_sheet_add_photo (sheet, "front", image);
  BlPointGroup *off = bl_point_photo_add_group (photo, "Unpowered", FALSE, NAN);
  BlPointGroup *run = bl_point_photo_add_group (photo, "Running", TRUE, 325);
  for (guint i = 1; i <= n; i++)
    {
      g_autofree char *point = g_strdup_printf ("TP%u.", i), *ohms = g_strdup_printf ("%u – %u Ω", i, i + 7),
                      *volts = g_strdup_printf ("%u.5 V DC", i);
      BlPointMark *mark = g_new0 (BlPointMark, 1);
      *mark = (BlPointMark){ i, 20 + i % 20 * 58, 20 + i / 20 * 60, i % 3 == 0, i % 7 == 0 };
      g_ptr_array_add (photo->marks, mark);
      bl_point_group_add_row (off, i, point, "1", "resistance", ohms);
      bl_point_group_add_row (run, i, point, "TP0", "voltage", volts);
    }
  return sheet;
}

/* The PDF's text by pdftotext; NULL where that program is not installed. */
static char *
text_of (const BlPointSheet *sheet)
{
  g_autofree char *program = g_find_program_in_path ("pdftotext"), *path = NULL;
  g_autoptr (GError) error = NULL;
  char *text = NULL;
  int fd = g_file_open_tmp ("benchlore-XXXXXX.pdf", &path, &error);

  g_assert_no_error (error);
  g_assert_true (g_close (fd, NULL));
  g_assert_true (bl_point_sheet_write_pdf (sheet, path, &error));
  g_assert_no_error (error);
  if (program != NULL)
    {
      const char *const arguments[] = { program, "-raw", path, "-", NULL };
      g_spawn_sync (NULL, (char **) arguments, NULL, G_SPAWN_DEFAULT, NULL, NULL, &text, NULL, NULL, &error);
      g_assert_no_error (error);
    }
  g_unlink (path);
  return text;
}

static void
everything_has_a_place (gconstpointer data)
{
  guint n = GPOINTER_TO_UINT (data);
  g_autoptr (BlPointSheet) sheet = make_sheet (n);
  g_autofree char *text = text_of (sheet);

  if (text == NULL)
    {
      g_test_skip ("pdftotext is not installed");
      return;
    }
  for (guint i = 1; i <= n; i++)
    {
      g_autofree char *point = g_strdup_printf ("TP%u.", i), *volts = g_strdup_printf ("%u.5 V DC", i);
      const char *first = strstr (text, point);
      g_assert_nonnull (first);
      g_assert_nonnull (strstr (first + 1, point)); /* in both states */
      g_assert_nonnull (strstr (text, volts));
    }
  g_assert_nonnull (strstr (text, "LIVE 325 V"));
  g_assert_nonnull (strstr (text, "up to 325 V"));
  g_assert_nonnull (strstr (text, "prove dead"));
  g_assert_nonnull (strstr (text, "Local codes and licensed practice come first"));
  g_assert_null (strstr (text, "no place on this page"));
  g_assert_cmpstr (strchr (text, '\f'), ==, "\f"); /* one photo, one page */
}

/* What is dangerous goes by the limits of the shop, not by where one begins. */
static void
limits_of_the_shop (void)
{
  g_autoptr (BlPointSheet) sheet = make_sheet (3);
  g_autofree char *usual = text_of (sheet), *lax = NULL, *low = NULL, *strict = NULL;

  if (usual == NULL)
    {
      g_test_skip ("pdftotext is not installed");
      return;
    }
  sheet->limits.shock_dc = 400;
  lax = text_of (sheet);
  g_assert_null (strstr (lax, "prove dead"));
  g_assert_nonnull (strstr (lax, "Local codes and licensed practice come first"));
  sheet->limits = BL_SAFE_LIMITS;
  sheet->volts = 24;
  sheet->volts_ac = 28;
  low = text_of (sheet);
  g_assert_null (strstr (low, "prove dead"));
  sheet->limits.shock_ac = 25;
  strict = text_of (sheet);
  g_assert_nonnull (strstr (strict, "prove dead"));
}

/* More than can be read is said, not left out in silence. */
static void
too_many (void)
{
  g_autoptr (BlPointSheet) sheet = make_sheet (700);
  g_autofree char *text = text_of (sheet);

  if (text == NULL)
    g_test_skip ("pdftotext is not installed");
  else
    g_assert_nonnull (strstr (text, "have no place on this page"));
}

/* Wide, upright and large paper: nothing is drawn outside the margins. */
static void
papers (void)
{
  static const double sizes[][2]
      = { { 595.3, 841.9 }, { 841.9, 595.3 }, { 612, 792 }, { 841.9, 1190.6 }, { 1190.6, 841.9 } };
  g_autoptr (BlPointSheet) sheet = make_sheet (40);

  for (guint i = 0; i < G_N_ELEMENTS (sizes); i++)
    {
      cairo_rectangle_t extents = { -2000, -2000, 6000, 6000 };
      cairo_surface_t *surface = cairo_recording_surface_create (CAIRO_CONTENT_COLOR_ALPHA, &extents);
      cairo_t *cr = cairo_create (surface);
      g_autoptr (GError) error = NULL;
      double x, y, w, h;
      g_assert_true (bl_point_sheet_draw (sheet, 0, cr, sizes[i][0], sizes[i][1], &error));
      g_assert_no_error (error);
      cairo_recording_surface_ink_extents (surface, &x, &y, &w, &h);
      g_test_message ("%.0f x %.0f: ink %.0f, %.0f, %.0f x %.0f", sizes[i][0], sizes[i][1], x, y, w, h);
      g_assert_cmpfloat (x, >, 15);
      g_assert_cmpfloat (y, >, 15);
      g_assert_cmpfloat (x + w, <, sizes[i][0] - 15);
      g_assert_cmpfloat (y + h, <, sizes[i][1] - 15);
      cairo_destroy (cr);
      cairo_surface_destroy (surface);
    }
}

static void
no_picture (void)
{
  g_autoptr (BlPointSheet) sheet = make_sheet (3);
  g_autoptr (GBytes) rubbish = g_bytes_new_static ("no picture", 10), pdf = NULL;
  g_autoptr (GError) error = NULL;

  bl_point_sheet_add_photo (sheet, "back", rubbish);
  pdf = bl_point_sheet_to_pdf (sheet, &error);
  g_assert_null (pdf);
  g_assert_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID);
  g_assert_nonnull (strstr (error->message, "back"));
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_data_func ("/report/point-sheet/few", GUINT_TO_POINTER (4), everything_has_a_place);
  g_test_add_data_func ("/report/point-sheet/usual", GUINT_TO_POINTER (40), everything_has_a_place);
  g_test_add_data_func ("/report/point-sheet/many", GUINT_TO_POINTER (120), everything_has_a_place);
  g_test_add_func ("/report/point-sheet/limits", limits_of_the_shop);
  g_test_add_func ("/report/point-sheet/too-many", too_many);
  g_test_add_func ("/report/point-sheet/papers", papers);
  g_test_add_func ("/report/point-sheet/no-picture", no_picture);
  return g_test_run ();
}

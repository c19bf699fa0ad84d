/* SPDX-License-Identifier: GPL-3.0-or-later
 * The cautions: what every such sheet has is there, each line says where it comes from, and all of it fits on paper of
 * both sizes. */
#include "config.h"

#include "bl-cautions-draw.h"

#include <cairo-pdf.h>
#include <glib/gstdio.h>
#include <string.h>

static char *
all_words (const BlSafeLimits *limits)
{
  g_autoptr (GString) all = g_string_new (bl_caution_first ());
  guint n;
  const BlCautionGroup *groups = bl_caution_groups (&n);

  for (guint i = 0; i < n; i++)
    for (guint k = 0; k < groups[i].n; k++)
      {
        g_autofree char *text = bl_caution_text (&groups[i].cautions[k], limits);
        g_assert_null (strchr (text, '{'));
        g_assert_cmpuint (strlen (bl_caution_source (&groups[i].cautions[k])), >, 0);
        g_string_append_printf (all, "\n%s", text);
      }
  return g_string_free (g_steal_pointer (&all), FALSE);
}

/* Common practice, no source: what no sheet may lack. */
static void
test_words (void)
{
  static const char *const words[] = {
    "Local codes and licensed practice come first", "also minutes after switch-off", "known live source",
    "isolating transformer", "residual-current device", "One hand", "bleeder", "Hot ground", "CAT III",
    "Green-and-yellow", "flammable refrigerant", "fuse",
  };
  BlSafeLimits limits = { 50, 25, 8, 90 };
  g_autofree char *all = all_words (&limits);
  g_autofree char *small = g_utf8_strdown (all, -1);

  for (guint i = 0; i < G_N_ELEMENTS (words); i++)
    {
      g_test_message ("%s", words[i]);
      g_assert_nonnull (strstr (all, words[i]));
    }
  /* The shop's own limits. */
  g_assert_nonnull (strstr (all, "Above 50 V DC or 25 V AC"));
  g_assert_nonnull (strstr (all, "Below 8 V before ohms"));
  g_assert_nonnull (strstr (all, "after 90 s"));
  /* It never says that anything is safe. */
  g_assert_null (strstr (small, "is safe"));
  g_assert_null (strstr (small, "healthy"));
}

/* A4 and Letter, in points. */
static const double papers[][2] = { { 595.276, 841.89 }, { 612, 792 } };

typedef struct
{
  double least, most;
} Inked;

/* Rows that are not white. */
static Inked
inked_rows (guint page, double width, double height, guint *n)
{
  cairo_surface_t *surface = cairo_image_surface_create (CAIRO_FORMAT_RGB24, (int) width, (int) height);
  cairo_t *cr = cairo_create (surface);
  BlSafeLimits limits = BL_SAFE_LIMITS;
  Inked inked = { -1, -1 };

  cairo_set_source_rgb (cr, 1, 1, 1);
  cairo_paint (cr);
  *n = bl_cautions_draw (cr, page, width, height, &limits);
  cairo_destroy (cr);
  cairo_surface_flush (surface);
  int stride = cairo_image_surface_get_stride (surface);
  const guchar *data = cairo_image_surface_get_data (surface);
  for (int y = 0; y < (int) height; y++)
    for (int x = 0; x < (int) width * 4; x++)
      if (x % 4 != 3 && data[y * stride + x] != 0xff)
        {
          inked.most = y;
          inked.least = inked.least < 0 ? y : inked.least;
          break;
        }
  cairo_surface_destroy (surface);
  return inked;
}

static void
test_pages (void)
{
  for (guint i = 0; i < G_N_ELEMENTS (papers); i++)
    {
      guint n = 1, again;
      for (guint page = 0; page < n; page++)
        {
          Inked inked = inked_rows (page, papers[i][0], papers[i][1], &n);
          g_test_message ("page %u of %u: rows %g to %g", page + 1, n, inked.least, inked.most);
          g_assert_cmpfloat (inked.least, >=, 40);
          g_assert_cmpfloat (inked.most, <, papers[i][1] - 20);
          g_assert_cmpfloat (inked.most, >, 100);
        }
      g_assert_cmpuint (n, <=, 3);
      g_assert_cmpfloat (inked_rows (n, papers[i][0], papers[i][1], &again).most, ==, -1);
      g_assert_cmpuint (again, ==, n);
    }
}

static void
test_pdf (void)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *folder = g_dir_make_tmp ("cautions-XXXXXX", &error);
  g_autofree char *path = g_build_filename (folder, "cautions.pdf", NULL), *contents = NULL;
  BlSafeLimits limits = BL_SAFE_LIMITS;

  g_assert_true (bl_cautions_write (path, papers[0][0], papers[0][1], &limits, &error));
  g_assert_no_error (error);
  g_assert_true (g_file_get_contents (path, &contents, NULL, &error));
  g_assert_true (g_str_has_prefix (contents, "%PDF-"));
  g_unlink (path);
  g_rmdir (folder);
  g_assert_false (bl_cautions_write (path, papers[0][0], papers[0][1], &limits, &error));
  g_assert_nonnull (error);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/report/cautions/words", test_words);
  g_test_add_func ("/report/cautions/pages", test_pages);
  g_test_add_func ("/report/cautions/pdf", test_pdf);
  return g_test_run ();
}
